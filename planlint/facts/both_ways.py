"""Loads across two channels at once: two that work stereo and bridged, and two amplifiers strapped to one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, permutations

from planlint.facts.case import Case
from planlint.facts.crossovers import Pair
from planlint.facts.loads_apart import apart, first_missing, loads_between
from planlint.facts.speaker_coils import island_of, net, output_of, poles_by_island
from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.plan.audio import Amp
from planlint.plan.quantity import Quantity
from planlint.text.places import Path

# The wired terminals of a channel by their pole.
Poles = dict[str, tuple[Vertex, ...]]


def ends_of(poles: Poles) -> tuple[Vertex, ...]:
    """Return the wired terminals of a channel."""
    return tuple(at for some in poles.values() for at in some)


@frozen
class BothWays:
    """Two channels that work stereo and bridged at once: what hangs on each, the poles of the bridge and what hangs across
    these; and the field that would tell whether their bands part them, where one is missing."""

    each: Mapping[str, frozenset[Vertex]]
    poles: Pair
    across: frozenset[Vertex]
    missing: Path | None


def both_ways(case: Case, amp: Amp, stems: Mapping[str, Poles]) -> tuple[BothWays, ...]:
    """Return the pairs of an amplifier's channels that work stereo and bridged at once; `stems` are all of its channels."""
    return case.once(("both ways", amp.name), lambda: tuple(_find_both_ways(case, stems)))


def _find_both_ways(case: Case, stems: Mapping[str, Poles]) -> Iterator[BothWays]:
    whole = sorted(stem for stem, poles in stems.items() if len(poles) == 2)
    for one, two in permutations(whole, 2):
        poles = {at: net(case, at) for stem in (one, two) for at in ends_of(stems[stem])}
        island = island_of(case, next(iter(poles)))
        if set(poles_by_island(case).get(island, ())) != set(poles):
            continue
        across = stems[one]["positive"][0], stems[two]["negative"][0]
        bridge = frozenset(poles[at] for at in across)
        each = [frozenset(poles[at] for at in ends_of(stems[stem])) for stem in (one, two)]
        loads = {at: load for at, load in loads_between(case, set(poles.values())).items() if len(at) == 2}
        if bridge in loads and set(loads) <= {bridge, *each} and len(loads) > 1 and apart(loads, bridge):
            nets = [loads[at].nets if at in loads else at for at in each]
            yield BothWays(
                each={one: nets[0], two: nets[1]},
                poles=across,
                across=loads[bridge].nets,
                missing=first_missing(loads),
            )


@frozen
class Strap:
    """A load between the positive poles of two amplifiers whose negatives are joined: the channels of both, the one that
    bears less first, the poles between which the load hangs, and all terminals."""

    amps: tuple[Amp, Amp]
    stems: tuple[str, str]
    poles: Pair
    ends: tuple[Vertex, ...]


def straps(case: Case, stems: Mapping[str, Mapping[str, Poles]]) -> Iterator[Strap]:
    """Yield the loads across two amplifiers of which the maker permits a load across two channels.

    `stems` are the channels by amplifier. One amplifier turns the signal over and each drives half of the load, as the two
    halves of a bridge do: common practice with amplifiers made to be linked.
    """
    whole = [(name, stem) for name, some in stems.items() for stem, poles in some.items() if len(poles) == 2]
    for one, other in combinations(sorted(whole), 2):
        if one[0] == other[0] or not (_may(case, one) and _may(case, other)):
            continue
        first, second = stems[one[0]][one[1]], stems[other[0]][other[1]]
        if _alone(case, first["negative"], second["negative"]) and _across(case, first["positive"], second["positive"]):
            pair = sorted(((one, first), (other, second)), key=lambda each: -_lowest(case, each[0]))
            (near, near_poles), (far, far_poles) = pair
            yield Strap(
                amps=(_amp(case, near), _amp(case, far)),
                stems=(near[1], far[1]),
                poles=(near_poles["positive"][0], far_poles["positive"][0]),
                ends=(*ends_of(near_poles), *ends_of(far_poles)),
            )


def _amp(case: Case, channel: tuple[str, str]) -> Amp:
    found = case.nodes[channel[0]]
    assert isinstance(found, Amp)
    return found


def _may(case: Case, channel: tuple[str, str]) -> bool:
    return _lowest(case, channel) > 0


def _lowest(case: Case, channel: tuple[str, str]) -> float:
    """Return the lowest load in ohm permitted across two channels, 0 where none is stated."""
    output = output_of(_amp(case, channel), channel[1])
    return output.lowest_bridged.high if output and isinstance(output.lowest_bridged, Quantity) else 0.0


def _alone(case: Case, one: tuple[Vertex, ...], other: tuple[Vertex, ...]) -> bool:
    """Say whether poles are joined, with nothing else on them."""
    here = island_of(case, one[0])
    return len(here) == 1 and set(poles_by_island(case).get(here, ())) == {*one, *other}


def _across(case: Case, one: tuple[Vertex, ...], other: tuple[Vertex, ...]) -> bool:
    """Say whether a load hangs between poles, and between no others."""
    here = island_of(case, one[0])
    return net(case, one[0]) != net(case, other[0]) and set(poles_by_island(case).get(here, ())) == {*one, *other}
