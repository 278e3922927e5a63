"""The channels of added amplifiers, each with the two poles between which its voice coils hang."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from enum import StrEnum
from itertools import permutations
from typing import Any

from planlint.facts.case import Case, Fact
from planlint.facts.crossovers import Pair
from planlint.facts.fields import field_facts, value_of
from planlint.facts.loads_apart import apart, first_missing, loads_between
from planlint.facts.speaker_coils import islands, net, output_of
from planlint.frozen import frozen
from planlint.graph.circuits import Family
from planlint.graph.link import Vertex
from planlint.plan.audio import Amp, Output
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.text.places import Path

# The wired terminals of a channel by their pole.
_Poles = dict[str, tuple[Vertex, ...]]


class State(StrEnum):
    """How a channel is wired."""

    UNWIRED = "no wire on it"
    OPEN = "no voice coil from pole to pole"
    CLOSED = "voice coils from pole to pole"
    SHARED = "joined to another output"
    MISJOINED = "joined to what carries no music"


@frozen
class Channel:
    """One channel of an amplifier's output, called `amp.sub`, or two that one load bridges, called as the first.

    `poles` are its positive and negative, none where one has no wire; `others` are the outputs it is joined to, and the
    second of two that are bridged. `nets` are what hangs between its poles, `ends` all its wired terminals. It is `parted`
    where a load in another band bridges it besides. `missing` is the field that would tell what belongs to it: how many
    channels an output has that several pairs of terminals bear the name of, or the band of a load that is shared.
    """

    name: str
    amp: Amp
    output: Output
    state: State
    poles: Pair | None = None
    others: tuple[str, ...] = ()
    nets: frozenset[Vertex] = frozenset()
    ends: tuple[Vertex, ...] = ()
    parted: bool = False
    missing: Path | None = None

    @property
    def path(self) -> Path:
        """The place of its output in the plan."""
        return self.output.path

    @property
    def across_two(self) -> bool:
        """Whether its load is drawn between the poles of two channels."""
        return self.state is State.CLOSED and bool(self.others)


def channel_fields() -> dict[str, Fact]:
    """Return the facts that the fields of an output give, by their names in the file."""
    return {
        name: replace(fact, ask=_asks(name, upper=True), low=_asks(name, upper=False), stated=None)
        for name, fact in field_facts([Output]).items()
    }


def _asks(name: str, *, upper: bool) -> Callable[[Case, Channel], Any]:
    return lambda _case, channel: value_of(channel.output, name, name, upper=upper)


def channels(case: Case) -> tuple[Channel, ...]:
    """Return the channels of all added amplifiers, sorted by name; an output without a wire counts as one channel."""
    return case.once("channels", lambda: tuple(sorted(_channels(case), key=lambda one: one.name)))


def _channels(case: Case) -> Iterator[Channel]:
    for amp in case.plan.nodes:
        if not isinstance(amp, Amp) or amp.factory is True or not amp.outputs:
            continue
        stems = _stems(case, amp)
        pairs = _bridges(case, amp, stems)
        second = set(pairs.values())
        yield from (_channel(case, amp, stem, stems, pairs.get(stem)) for stem in stems if stem not in second)
        yield from _across(case, amp, stems)
        driven = {_output(amp, stem).name for stem in stems}
        for output in amp.outputs:
            if output.name not in driven:
                yield Channel(name=f"{amp.name}.{output.name}", amp=amp, output=output, state=State.UNWIRED)


def _stems(case: Case, amp: Amp) -> dict[str, _Poles]:
    """Return the wired poles of an amplifier by the channel to which they belong: `front-left-positive` is a pole of
    `front-left`, and one of `front` where that output is one channel."""
    found: dict[str, _Poles] = {}
    for at in sorted(case.layout.wired.get(amp.name, ())):
        stem, _, pole = at.removeprefix(f"{amp.name}.").rpartition("-")
        own = output_of(amp, stem) if pole in ("positive", "negative") else None
        if own:
            here = found.setdefault(own.name if own.channels == 1 else stem, {})
            here[pole] = (*here.get(pole, ()), at)
    return found


def _output(amp: Amp, stem: str) -> Output:
    found = output_of(amp, stem)
    assert found
    return found


def _ends(poles: _Poles) -> tuple[Vertex, ...]:
    return tuple(at for some in poles.values() for at in some)


def _bridges(case: Case, amp: Amp, stems: Mapping[str, _Poles]) -> dict[str, str]:
    """Return the channels that one load bridges: the positive of the first and the negative of the second alone."""
    owner = {at: stem for stem, poles in stems.items() for at in _ends(poles)}
    found = {}
    for stem, poles in stems.items():
        here = _poles_of(case).get(_island(case, poles["positive"][0]), ()) if list(poles) == ["positive"] else ()
        others = {owner.get(at) for at in here if at not in poles["positive"]}
        other = others.pop() if len(others) == 1 else None
        if other and list(stems[other]) == ["negative"]:
            found[stem] = other
    return found


def _channel(case: Case, amp: Amp, stem: str, stems: Mapping[str, _Poles], second: str | None) -> Channel:
    poles, beyond = stems[stem], stems[second] if second else stems[stem]
    positive, negative = poles.get("positive", (None,))[0], beyond.get("negative", (None,))[0]
    pair = (positive, negative) if positive and negative else None
    own = {*_ends(poles), *(_ends(beyond) if second else ())}
    here = {other for at in own for other in _poles_of(case)[_island(case, at)]}
    both = next((one for one in _both_ways(case, amp, stems) if stem in one.each), None)
    parted = both.each[stem] if both else None
    others = (second,) if second else () if parted else tuple(sorted({_spoken(at) for at in here - own}))
    output = _output(amp, stem)
    uncounted = output.channels is None and sum(output_of(amp, one) is output for one in stems) > 1
    return Channel(
        name=f"{amp.name}.{stem}",
        amp=amp,
        output=output,
        state=_state(case, own, pair, bool(here - own) and not parted),
        poles=pair,
        others=others,
        nets=parted or (_island(case, positive) if positive else frozenset()),
        ends=tuple(sorted(own)),
        parted=parted is not None,
        missing=(*output.path, "channels") if uncounted else both.missing if both else None,
    )


def _across(case: Case, amp: Amp, stems: Mapping[str, _Poles]) -> Iterator[Channel]:
    """Yield the bridge of each two channels that also have loads of their own in other bands."""
    for both in _both_ways(case, amp, stems):
        first, second = both.each
        yield Channel(
            name=f"{amp.name}.{first}-with-{second}",
            amp=amp,
            output=_output(amp, first),
            state=State.CLOSED,
            poles=both.poles,
            others=(second,),
            nets=both.across,
            missing=both.missing,
        )


@frozen
class _BothWays:
    """Two channels that work stereo and bridged at once: what hangs on each, the poles of the bridge and what hangs across
    these; and the field that would tell whether their bands part them, where one is missing."""

    each: Mapping[str, frozenset[Vertex]]
    poles: Pair
    across: frozenset[Vertex]
    missing: Path | None


def _both_ways(case: Case, amp: Amp, stems: Mapping[str, _Poles]) -> tuple[_BothWays, ...]:
    return case.once(("both ways", amp.name), lambda: tuple(_find_both_ways(case, stems)))


def _find_both_ways(case: Case, stems: Mapping[str, _Poles]) -> Iterator[_BothWays]:
    whole = sorted(stem for stem, poles in stems.items() if len(poles) == 2)
    for one, two in permutations(whole, 2):
        poles = {at: net(case, at) for stem in (one, two) for at in _ends(stems[stem])}
        island = _island(case, next(iter(poles)))
        if set(_poles_of(case).get(island, ())) != set(poles):
            continue
        across = stems[one]["positive"][0], stems[two]["negative"][0]
        bridge = frozenset(poles[at] for at in across)
        each = [frozenset(poles[at] for at in _ends(stems[stem])) for stem in (one, two)]
        loads = {at: load for at, load in loads_between(case, set(poles.values())).items() if len(at) == 2}
        if bridge in loads and set(loads) <= {bridge, *each} and len(loads) > 1 and apart(loads, bridge):
            nets = [loads[at].nets if at in loads else at for at in each]
            yield _BothWays(
                each={one: nets[0], two: nets[1]},
                poles=across,
                across=loads[bridge].nets,
                missing=first_missing(loads),
            )


def _spoken(pole: Vertex) -> str:
    return pole.rpartition("-")[0]


def _state(case: Case, own: set[Vertex], pair: Pair | None, shared: bool) -> State:
    if any(at in _misjoined(case) for one in own for at in _island(case, one)):
        return State.MISJOINED
    if shared:
        return State.SHARED
    if pair is None or _island(case, pair[0]) != _island(case, pair[1]):
        return State.OPEN
    return State.CLOSED


def _island(case: Case, at: Vertex) -> frozenset[Vertex]:
    """Return all nets that hang together with a vertex."""
    here = net(case, at)
    return islands(case).get(here) or frozenset({here})


def _poles_of(case: Case) -> Mapping[frozenset[Vertex], tuple[Vertex, ...]]:
    """Return by island the poles of amplifiers and radios in it."""
    return case.once("poles by island", lambda: _find_poles(case))


def _find_poles(case: Case) -> dict[frozenset[Vertex], tuple[Vertex, ...]]:
    found: dict[frozenset[Vertex], tuple[Vertex, ...]] = {}
    here = case.layout.drawn
    for at, roles in here.roles.items():
        if Role.RADIO_SPEAKER in roles or (Role.SPEAKER in roles and isinstance(here.owners[at], Amp)):
            island = _island(case, at)
            found[island] = (*found.get(island, ()), at)
    return found


def _misjoined(case: Case) -> frozenset[Vertex]:
    """Return the nets at which a wire ends that joins what must not be joined, which is told of that wire."""
    drawn = case.layout.drawn.ends
    return case.once(
        "misjoined nets", lambda: frozenset(net(case, at) for name in case.layout.conflicts for at in drawn[name])
    )


def driving_channel(case: Case, wire: Wire) -> Channel | None:
    """Return the channel of an added amplifier with which a speaker wire hangs together, None where there is none."""
    if wire.name not in case.layout.conflicts and case.layout.words.get(wire.name) != "speaker":
        return None
    ends = case.layout.drawn.ends[wire.name]
    by_end = case.once("channels by end", lambda: {at: one for one in channels(case) for at in one.ends})
    by_island = case.once("channels by island", lambda: _by_island(case))
    found = (*(by_end.get(at) for at in ends), *(by_island.get(_island(case, at)) for at in ends))
    return next((one for one in found if one), None)


def _by_island(case: Case) -> dict[frozenset[Vertex], Channel]:
    return {_island(case, at): one for one in reversed(channels(case)) for at in one.ends}


def driving_amp(case: Case, wire: Wire) -> Amp | None:
    """Return the added amplifier whose output a speaker wire carries, None where there is none."""
    channel = driving_channel(case, wire)
    return channel.amp if channel else None


def on_ground(case: Case, wire: Wire) -> bool:
    """Say whether the wire joins an output to the body or to a ground cable."""
    return _joins(case, wire, Family.GROUND)


def on_supply(case: Case, wire: Wire) -> bool:
    """Say whether the wire joins an output to a supply cable."""
    return _joins(case, wire, Family.SUPPLY)


def _joins(case: Case, wire: Wire, family: Family) -> bool:
    conflict = case.layout.conflicts.get(wire.name)
    return conflict is not None and family in conflict.joins
