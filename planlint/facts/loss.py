"""What a rule may ask about a speaker's cables: how much of the power they keep for themselves."""

from __future__ import annotations

from planlint.facts import conductor
from planlint.facts.case import Case
from planlint.graph.circuit import conduct
from planlint.graph.factor import NotDefiniteError, factor
from planlint.graph.link import Vertex, wire_key
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Crossover, Speaker
from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity

# Two vertices with the resistance between them in ohm.
_Link = tuple[Vertex, Vertex, float]
# A passive crossover passes its own band as good as whole.
_THROUGH_OHM = 1e-6
_OUTPUTS = ("amp", "radio", "factory-amp")


def cable_loss(case: Case, speaker: Node) -> float:
    """Return the power that the cables on a speaker's output turn to heat, as a share of what the voice coils get.

    For one voice coil it is the resistance of both cables over its impedance. Behind a passive crossover a speaker counts
    alone, since each plays its own band. Raises UnfitError where no added cables lead to it from two terminals of an output.
    """
    return case.once(("cable loss", speaker.name), lambda: _cable_loss(case, speaker))


def speaker_wires(case: Case, speaker: Node) -> tuple[Wire, ...]:
    """Return the added cables that end at a speaker."""
    return tuple(wire for wire in _cables(case) if any(end.node == speaker.name for end in wire.ends))


def _cables(case: Case) -> tuple[Wire, ...]:
    return case.once("speaker cables", lambda: tuple(wire for wire in case.plan.wires if _is_cable(case, wire)))


def _is_cable(case: Case, wire: Wire) -> bool:
    return case.layout.words.get(wire.name) == "speaker" and wire.name not in case.layout.network.makers


def _cable_loss(case: Case, speaker: Node) -> float:
    if not isinstance(speaker, Speaker) or not speaker_wires(case, speaker):
        raise UnfitError
    simple = _pair_loss(case, speaker)
    if simple is not None:
        return simple
    ends, through = case.layout.network.ends, _crossovers(case)
    speakers = [node for node in case.plan.nodes if isinstance(node, Speaker)]
    coils = {one.name: _coils(case, one) for one in speakers}
    pairs = [ends[wire.name] for wire in _cables(case)] + through
    here = _reached(coils[speaker.name], pairs + [pair for some in coils.values() for pair in some])
    alone = any(at in here for pair in through for at in pair)
    playing = (
        [speaker] if alone else [one for one in speakers if any(at in here for pair in coils[one.name] for at in pair)]
    )
    cables = [(*ends[w.name], _resistance(case, w)) for w in _cables(case) if ends[w.name][0] in here]
    loads = [(*pair, _impedance(one)) for one in playing for pair in coils[one.name]]
    joints = [(a, b, _THROUGH_OHM) for a, b in through if a in here]
    volts = _volts([*cables, *loads, *joints], _poles(case, here))
    return _power(cables, volts) / _power(loads, volts)


def _pair_loss(case: Case, speaker: Speaker) -> float | None:
    """Return the loss where one cable leads from each pole of an output to one voice coil, None for all other ways."""
    coils, at = _coils(case, speaker), case.layout.network.wires_at
    cables = [wires[0] for pair in coils[:1] for end in pair if len(wires := at[end]) == 1]
    if len(coils) != 1 or len(cables) != 2 or not all(_is_cable(case, one) for one in cables):
        return None
    far = {end for one in cables for end in case.layout.network.ends[one.name]} - set(coils[0])
    owners = case.layout.network.owners
    if len(far) != 2 or not all(len(at[end]) == 1 and owners[end].kind in _OUTPUTS for end in far):
        return None
    return sum(_resistance(case, one) for one in cables) / _impedance(speaker)


def _coils(case: Case, speaker: Speaker) -> list[tuple[Vertex, Vertex]]:
    """Return the wired voice coils of a speaker, each by its two vertices."""
    wired = case.layout.wired.get(speaker.name, set())
    begun = [at.removesuffix("positive") for at in sorted(wired) if at.endswith("positive")]
    return [(f"{at}positive", f"{at}negative") for at in begun if f"{at}negative" in wired]


def _crossovers(case: Case) -> list[tuple[Vertex, Vertex]]:
    """Return how crossovers join their inputs to their outputs, pole to pole."""
    found = []
    for node in case.plan.nodes:
        wired = sorted(case.layout.wired.get(node.name, ())) if isinstance(node, Crossover) else []
        inputs = [at for at in wired if at.startswith(f"{node.name}.in-")]
        found += [
            (a, b) for a in inputs for b in wired if b not in inputs and a.rsplit("-", 1)[1] == b.rsplit("-", 1)[1]
        ]
    return found


def _reached(start: list[tuple[Vertex, Vertex]], pairs: list[tuple[Vertex, Vertex]]) -> set[Vertex]:
    here = {at for pair in start for at in pair}
    while more := {at for pair in pairs if (pair[0] in here) != (pair[1] in here) for at in pair} - here:
        here |= more
    return here


def _poles(case: Case, here: set[Vertex]) -> tuple[Vertex, Vertex]:
    owners = case.layout.network.owners
    poles = sorted(at for at in here if at in owners and owners[at].kind in _OUTPUTS)
    if len(poles) != 2:
        raise UnfitError
    return poles[0], poles[1]


def _resistance(case: Case, wire: Wire) -> float:
    return conductor.link_resistance(case, case.layout.network.links[wire_key(wire.name)])


def _impedance(speaker: Speaker) -> float:
    if speaker.impedance is None:
        raise UnknownError((*speaker.path, "impedance"))
    if not isinstance(speaker.impedance, Quantity) or not speaker.impedance.low:
        raise UnfitError
    return speaker.impedance.low


def _volts(links: list[_Link], poles: tuple[Vertex, Vertex]) -> dict[Vertex, float]:
    """Return the potentials in V where 1 A flows in at one pole and out at the other, by Kirchhoff's laws."""
    vertices = sorted({at for a, b, _ in links for at in (a, b)} - {poles[1]})
    index = {at: i for i, at in enumerate(vertices)}
    rows: list[dict[int, float]] = [{i: 0.0} for i in range(len(vertices))]
    for a, b, ohm in links:
        conduct(rows, index.get(a), index.get(b), 1 / ohm)
    right = [1.0 if at == poles[0] else 0.0 for at in vertices]
    try:
        return {poles[1]: 0.0, **dict(zip(vertices, factor(rows).solve(right), strict=True))}
    except NotDefiniteError:  # something hangs on neither pole
        raise UnfitError from None


def _power(links: list[_Link], volts: dict[Vertex, float]) -> float:
    return sum((volts[a] - volts[b]) ** 2 / ohm for a, b, ohm in links)
