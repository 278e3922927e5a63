"""What a rule may ask about a speaker's cables: how much of the power they keep for themselves."""

from __future__ import annotations

from planlint.facts import conductor
from planlint.facts.case import Case
from planlint.facts.speaker_coils import Coil, coils, impedance, linked, passages
from planlint.graph.coils import solve_coils
from planlint.graph.link import Vertex, wire_key
from planlint.graph.unknown import UnfitError
from planlint.plan.audio import Speaker
from planlint.plan.model import Wire
from planlint.plan.nodes import Node

# Two vertices with the resistance between them in ohm.
_Link = tuple[Vertex, Vertex, float]
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
    ends, through, every = case.layout.network.ends, [one.ends for one in passages(case)], coils(case)
    mine = every[speaker.name]
    pairs = [ends[wire.name] for wire in _cables(case)] + through
    together = linked(pairs + [coil.ends for some in every.values() for coil in some])
    here = frozenset(at for coil in mine for end in coil.ends for at in together[end])
    alone = any(at in here for pair in through for at in pair)
    playing = mine if alone else [coil for some in every.values() for coil in some if coil.ends[0] in here]
    cables = [(*ends[w.name], _resistance(case, w)) for w in _cables(case) if ends[w.name][0] in here]
    loads = [(*coil.ends, _resisting(coil)) for coil in playing]
    return _lost(cables, loads, [pair for pair in through if pair[0] in here], _poles(case, here))


def _lost(
    cables: list[_Link], loads: list[_Link], through: list[tuple[Vertex, Vertex]], poles: tuple[Vertex, Vertex]
) -> float:
    found = solve_coils(through, [*cables, *loads], poles)
    parts = found.parts if found else ()
    watts = [part**2 / ohm for part, (_, _, ohm) in zip(parts, [*cables, *loads], strict=False)]
    heard = sum(watts[len(cables) :])
    if not heard:
        raise UnfitError
    return sum(watts[: len(cables)]) / heard


def _pair_loss(case: Case, speaker: Speaker) -> float | None:
    """Return the loss where one cable leads from each pole of an output to one voice coil, None for all other ways."""
    mine: tuple[Coil, ...] = coils(case)[speaker.name]
    at = case.layout.network.wires_at
    cables = [wires[0] for coil in mine[:1] for end in coil.ends if len(wires := at[end]) == 1]
    if len(mine) != 1 or len(cables) != 2 or not all(_is_cable(case, one) for one in cables):
        return None
    far = {end for one in cables for end in case.layout.network.ends[one.name]} - set(mine[0].ends)
    owners = case.layout.network.owners
    if len(far) != 2 or not all(len(at[end]) == 1 and owners[end].kind in _OUTPUTS for end in far):
        return None
    return sum(_resistance(case, one) for one in cables) / _resisting(mine[0])


def _resisting(coil: Coil) -> float:
    ohm = impedance(coil.speaker)
    if not ohm:
        raise UnfitError
    return ohm


def _poles(case: Case, here: frozenset[Vertex]) -> tuple[Vertex, Vertex]:
    owners = case.layout.network.owners
    poles = sorted(at for at in here if at in owners and owners[at].kind in _OUTPUTS)
    if len(poles) != 2:
        raise UnfitError
    return poles[0], poles[1]


def _resistance(case: Case, wire: Wire) -> float:
    return conductor.link_resistance(case, case.layout.network.links[wire_key(wire.name)])
