"""The voice coils of a plan as they are wired: what hangs together, and how passive crossovers lead into it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product

from planlint.facts.case import Case
from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Crossover, Speaker
from planlint.plan.quantity import Quantity

Pair = tuple[Vertex, Vertex]


@frozen
class Coil:
    """A voice coil of which both ends are wired, by its two vertices."""

    speaker: Speaker
    ends: Pair


@frozen
class Passage:
    """A pole of a passive crossover's input joined to the same pole of one of its outputs, in that output's band."""

    crossover: str
    band: str
    ends: Pair


def coils(case: Case) -> Mapping[str, tuple[Coil, ...]]:
    """Return the wired voice coils by speaker, sorted by its name."""
    return case.once("voice coils", lambda: {one.name: _coils(case, one) for one in _speakers(case)})


def _speakers(case: Case) -> list[Speaker]:
    return sorted((node for node in case.plan.nodes if isinstance(node, Speaker)), key=lambda one: one.name)


def _coils(case: Case, speaker: Speaker) -> tuple[Coil, ...]:
    wired = case.layout.wired.get(speaker.name, set())
    begun = [at.removesuffix("positive") for at in sorted(wired) if at.endswith("positive")]
    pairs = [(f"{at}positive", f"{at}negative") for at in begun if f"{at}negative" in wired]
    return tuple(Coil(speaker=speaker, ends=pair) for pair in pairs)


def passages(case: Case) -> tuple[Passage, ...]:
    """Return how passive crossovers join their inputs to their outputs, pole to pole."""
    return case.once("passages", lambda: tuple(_passages(case)))


def _passages(case: Case) -> Iterable[Passage]:
    for node in sorted((node for node in case.plan.nodes if isinstance(node, Crossover)), key=lambda one: one.name):
        wired = sorted(case.layout.wired.get(node.name, ()))
        inputs = [at for at in wired if at.startswith(f"{node.name}.in-")]
        for into, out in product(inputs, wired):
            start, pole = out.rsplit("-", 1) if "-" in out else (out, "")
            if out not in inputs and into.rsplit("-", 1)[1] == pole:
                yield Passage(crossover=node.name, band=start.partition(".out-")[2], ends=(into, out))


def net(case: Case, at: Vertex) -> Vertex:
    """Return one name for all vertices that wires join to this one."""
    return case.once(("speaker net", at), lambda: _net(case, at))


def _net(case: Case, at: Vertex) -> Vertex:
    part = case.layout.network.net_of.get(at)
    return case.once(("net name", id(part)), lambda: min(part.vertices)) if part else at


def between_nets(case: Case, pair: Pair) -> Pair:
    """Return the nets in which two vertices lie."""
    return net(case, pair[0]), net(case, pair[1])


def islands(case: Case) -> Mapping[Vertex, frozenset[Vertex]]:
    """Return by net all nets that voice coils and crossovers link with it."""
    return case.once("islands of coils", lambda: linked(_coil_pairs(case) + _joints(case)))


def direct_islands(case: Case) -> Mapping[Vertex, frozenset[Vertex]]:
    """Return by net all nets that voice coils link with it, without a crossover between."""
    return case.once("direct islands", lambda: linked(_coil_pairs(case)))


def _coil_pairs(case: Case) -> list[Pair]:
    return [between_nets(case, coil.ends) for some in coils(case).values() for coil in some]


def _joints(case: Case) -> list[Pair]:
    return [between_nets(case, one.ends) for one in passages(case)]


def linked(pairs: Iterable[Pair]) -> dict[Vertex, frozenset[Vertex]]:
    """Return by vertex all vertices that the pairs link with it, itself among them."""
    found: dict[Vertex, set[Vertex]] = {}
    for a, b in pairs:
        merged = found.get(a, {a}) | found.get(b, {b})
        found.update(dict.fromkeys(merged, merged))
    return {at: frozenset(some) for at, some in found.items()}


def by_band(these: Iterable[Passage]) -> list[tuple[Passage, ...]]:
    """Return the passages that conduct together: a crossover leads each frequency to one of its outputs.

    Crossovers with outputs of the same names part at the same frequencies; of others every combination is taken.
    """
    of: dict[str, dict[str, list[Passage]]] = {}
    for one in these:
        of.setdefault(one.crossover, {}).setdefault(one.band, []).append(one)
    names = [tuple(sorted(bands)) for bands in of.values()]
    if len(set(names)) <= 1:
        together = [[of[crossover][band] for crossover in of] for band in (names[0] if names else ())]
    else:
        together = [list(choice) for choice in product(*(list(bands.values()) for bands in of.values()))]
    return [tuple(one for some in choice for one in some) for choice in together] or [()]


def impedance(speaker: Speaker) -> float:
    """Return the nominal impedance of one of its voice coils in ohm, of a range the lower end.

    Raises UnknownError where it is not stated, UnfitError where it does not apply.
    """
    if speaker.impedance is None:
        raise UnknownError((*speaker.path, "impedance"))
    if not isinstance(speaker.impedance, Quantity):
        raise UnfitError
    return speaker.impedance.low
