"""The voice coils of a plan as they are wired, and what hangs together through them and through passive crossovers."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from planlint.facts.case import Case
from planlint.facts.crossovers import Pair, passages
from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Output, Speaker
from planlint.plan.kinds import Role
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity


@frozen
class Coil:
    """A voice coil of which both ends are wired, by its two vertices."""

    speaker: Speaker
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


def net(case: Case, at: Vertex) -> Vertex:
    """Return one name for all vertices that wires join to this one, or an amplifier inside itself."""
    return case.once(("speaker net", at), lambda: _net(case, at))


def _net(case: Case, at: Vertex) -> Vertex:
    here = _drawn_net(case, at)
    return min(case.once("joined in amps", lambda: linked(_twins(case))).get(here, {here}))


def _drawn_net(case: Case, at: Vertex) -> Vertex:
    part = case.layout.network.net_of.get(at)
    return case.once(("net name", id(part)), lambda: min(part.vertices)) if part else at


def _twins(case: Case) -> list[Pair]:
    """Return the nets of like poles of one channel that has several pairs of terminals."""
    first: dict[tuple[str, str], Vertex] = {}
    found = []
    for amp in case.plan.nodes:
        if not isinstance(amp, Amp):
            continue
        for at in sorted(case.layout.wired.get(amp.name, ())):
            stem, _, pole = at.removeprefix(f"{amp.name}.").rpartition("-")
            own = output_of(amp, stem) if pole in ("positive", "negative") else None
            if own and own.channels == 1:
                twin = first.setdefault((own.name, f"{amp.name}.{pole}"), at)
                found.append((_drawn_net(case, twin), _drawn_net(case, at)))
    return found


def output_of(amp: Amp, stem: str) -> Output | None:
    """Return the output that a channel belongs to: the one with the longest name that its own begins with."""
    fitting = (one for one in amp.outputs if f"{stem}-".startswith(f"{one.name}-"))
    return max(fitting, key=lambda one: len(one.name), default=None)


def between_nets(case: Case, pair: Pair) -> Pair:
    """Return the nets in which two vertices lie."""
    return net(case, pair[0]), net(case, pair[1])


def islands(case: Case) -> Mapping[Vertex, frozenset[Vertex]]:
    """Return by net all nets that voice coils and crossovers link with it."""
    return case.once("islands of coils", lambda: linked(_coil_pairs(case) + _joints(case)))


def island_of(case: Case, at: Vertex) -> frozenset[Vertex]:
    """Return all nets that hang together with a vertex."""
    here = net(case, at)
    return islands(case).get(here) or frozenset({here})


def poles_by_island(case: Case) -> Mapping[frozenset[Vertex], tuple[Vertex, ...]]:
    """Return by island the poles of amplifiers and radios in it."""
    return case.once("poles by island", lambda: _poles_by_island(case))


def _poles_by_island(case: Case) -> dict[frozenset[Vertex], tuple[Vertex, ...]]:
    found: dict[frozenset[Vertex], tuple[Vertex, ...]] = {}
    here = case.layout.drawn
    for at, roles in here.roles.items():
        if Role.RADIO_SPEAKER in roles or (Role.SPEAKER in roles and isinstance(here.owners[at], Amp)):
            island = island_of(case, at)
            found[island] = (*found.get(island, ()), at)
    return found


def direct_islands(case: Case) -> Mapping[Vertex, frozenset[Vertex]]:
    """Return by net all nets that voice coils link with it, without a crossover between."""
    return case.once("direct islands", lambda: linked(_coil_pairs(case)))


def bands_before(case: Case, speaker: Node) -> frozenset[bool | None]:
    """Return the bands of the crossovers' outputs to which a speaker is wired, as `Passage.bass` tells them; none where no
    crossover stands before it."""
    here = case.once("behind crossovers", lambda: _behind(case))
    outs = {net(case, one.ends[1]): one.bass for one in passages(case)}
    reached = {
        at for coil in coils(case).get(speaker.name, ()) for end in coil.ends for at in here.get(net(case, end), ())
    }
    return frozenset(outs[at] for at in reached if at in outs)


def _behind(case: Case) -> Mapping[Vertex, frozenset[Vertex]]:
    """Return what voice coils link where a net that several bands of a crossover have in common links nothing."""
    bands: dict[tuple[str, Vertex], set[str]] = {}
    for one in passages(case):
        bands.setdefault((one.crossover, net(case, one.ends[1])), set()).add(one.band)
    common = {at for (_, at), some in bands.items() if len(some) > 1}
    pairs = (tuple(at for at in pair if at not in common) for pair in _coil_pairs(case))
    return linked((pair[0], pair[-1]) for pair in pairs if pair)


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


def each_alone(mine: tuple[Coil, ...]) -> tuple[frozenset[str], ...]:
    """Return which speakers to leave out in turn: those with a capacitor in series play alone, and so do the others."""
    with_capacitor = frozenset(coil.speaker.name for coil in mine if coil.speaker.series_capacitor is True)
    others = frozenset(coil.speaker.name for coil in mine) - with_capacitor
    return (with_capacitor, others) if with_capacitor and others else (frozenset(),)


def know_capacitors(together: Collection[Speaker]) -> None:
    """Raise UnknownError where a tweeter shares a channel with other speakers and the plan does not say whether a capacitor
    gives it a band of its own."""
    open_ones = [one for one in together if one.type == "tweeter" and one.series_capacitor is None]
    if open_ones and any(one.type != "tweeter" for one in together):
        raise UnknownError((*open_ones[0].path, "series_capacitor"))


def impedance(speaker: Speaker) -> float:
    """Return the nominal impedance of one of its voice coils in ohm, of a range the lower end.

    Raises UnknownError where it is not stated, UnfitError where it does not apply.
    """
    if speaker.impedance is None:
        raise UnknownError((*speaker.path, "impedance"))
    if not isinstance(speaker.impedance, Quantity):
        raise UnfitError
    return speaker.impedance.low
