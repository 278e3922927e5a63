"""What a rule may ask about a speaker's cables: how much of the power they keep for themselves."""

from __future__ import annotations

import math

from planlint.facts import conductor
from planlint.facts.case import Case
from planlint.facts.channel import State
from planlint.facts.crossovers import Pair, passages
from planlint.facts.speaker import driven_by
from planlint.facts.speaker_coils import Coil, coils, each_alone, impedance, know_capacitors, linked, net
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
    """Return the resistance of the cables to a speaker as a share of what they feed: by how much more voltage its voice
    coils would get without it.

    For one voice coil it is the resistance of both cables over its impedance; a cable that feeds several speakers counts
    against their common load, a lead to one for that one alone (Ohm's law). Behind a passive crossover a speaker counts
    alone, since each plays its own band, and so do those with a capacitor in series and those without. Raises UnfitError
    where no added cables lead to it from two poles of an output.
    """
    return case.once(("cable loss", speaker.name), lambda: _cable_loss(case, speaker))


def speaker_wires(case: Case, speaker: Node) -> tuple[Wire, ...]:
    """Return the added cables that end at a speaker."""
    return tuple(wire for wire in _cables(case) if any(end.node == speaker.name for end in wire.ends))


def size_taken_over(case: Case, speaker: Node) -> str | None:
    """Return the line of defaults or of a group from which all cables to the speaker take over their size, None where they
    do not take it from one."""
    lines = {case.plan.origins.get((*wire.path, "gauge")) for wire in speaker_wires(case, speaker)}
    line = lines.pop() if len(lines) == 1 else None
    return None if line is None else " ".join(map(str, line))


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
    know_capacitors([coil.speaker for coil in playing])
    silent = next(some for some in each_alone(tuple(playing)) if speaker.name not in some)
    loads = [(*coil.ends, _resisting(coil)) for coil in playing if coil.speaker.name not in silent]
    mine_at = {coil.ends for coil in mine}
    joints = [pair for pair in through if pair[0] in here]
    found = []
    for one, other in _poles(case, speaker, here):
        inside = [(some[0], at) for some in (one, other) for at in some[1:]]
        found.append(_lost(cables, loads, [*joints, *inside], (one[0], other[0]), mine_at))
    return max(found)


def _lost(cables: list[_Link], loads: list[_Link], through: list[Pair], poles: Pair, mine: set[Pair]) -> float:
    """Return by what share more voltage the coils at `mine` would get if the cables had no resistance."""
    real = solve_coils(through, [*loads, *cables], poles)
    ideal = solve_coils([*through, *((a, b) for a, b, _ in cables)], loads, poles)
    watts = [
        sum(part**2 for part, (a, b, _) in zip(found.parts, loads, strict=False) if (a, b) in mine)
        for found in (real, ideal)
        if found
    ]
    if len(watts) < 2 or not all(watts):
        raise UnfitError
    # Speakers in one network may gain what a poor lead keeps from others.
    return max(0.0, math.sqrt(watts[1] / watts[0]) - 1.0)


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


def _poles(case: Case, speaker: Speaker, here: frozenset[Vertex]) -> list[tuple[list[Vertex], list[Vertex]]]:
    """Return the terminals of each output that drives the speaker by its two poles: a channel may have several pairs."""
    owners = case.layout.network.owners
    poles = sorted(at for at in here if at in owners and owners[at].kind in _OUTPUTS)
    if len(poles) == 2:
        return [([poles[0]], [poles[1]])]
    found = []
    for channel in driven_by(case, speaker):
        if channel.poles and channel.state is State.CLOSED:
            nets = [net(case, at) for at in channel.poles]
            ends = channel.ends or channel.poles
            found.append(
                ([at for at in ends if net(case, at) == nets[0]], [at for at in ends if net(case, at) == nets[1]])
            )
    if not found:
        raise UnfitError
    return found


def _resistance(case: Case, wire: Wire) -> float:
    return conductor.link_resistance(case, case.layout.network.links[wire_key(wire.name)])
