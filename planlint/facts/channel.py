"""The channels of added amplifiers, each with the two poles between which its voice coils hang."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from enum import StrEnum
from typing import Any

from planlint.facts.both_ways import Poles, Strap, both_ways, ends_of, straps
from planlint.facts.case import Case, Fact
from planlint.facts.crossovers import Pair
from planlint.facts.fields import field_facts, value_of
from planlint.facts.speaker_coils import island_of, net, output_of, poles_by_island
from planlint.frozen import frozen
from planlint.graph.circuits import Family
from planlint.graph.link import Vertex
from planlint.plan.audio import Amp, Output
from planlint.plan.model import Wire
from planlint.text.places import Path


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
        strapped = _strapped(case, amp)
        apart = {*pairs.values(), *strapped}
        yield from (_channel(case, amp, stem, stems, pairs.get(stem)) for stem in stems if stem not in apart)
        yield from (_straps(case, one) for one in strapped.values() if one.amps[0] is amp)
        yield from _across(case, amp, stems)
        driven = {_output(amp, stem).name for stem in stems}
        for output in amp.outputs:
            if output.name not in driven:
                yield Channel(name=f"{amp.name}.{output.name}", amp=amp, output=output, state=State.UNWIRED)


def _stems(case: Case, amp: Amp) -> dict[str, Poles]:
    """Return the wired poles of an amplifier by the channel to which they belong: `front-left-positive` is a pole of
    `front-left`, and one of `front` where that output is one channel."""
    found: dict[str, Poles] = {}
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


def _bridges(case: Case, amp: Amp, stems: Mapping[str, Poles]) -> dict[str, str]:
    """Return the channels that one load bridges: the positive of the first and the negative of the second alone."""
    owner = {at: stem for stem, poles in stems.items() for at in ends_of(poles)}
    found = {}
    for stem, poles in stems.items():
        here = (
            poles_by_island(case).get(island_of(case, poles["positive"][0]), ()) if list(poles) == ["positive"] else ()
        )
        others = {owner.get(at) for at in here if at not in poles["positive"]}
        other = others.pop() if len(others) == 1 else None
        if other and list(stems[other]) == ["negative"]:
            found[stem] = other
    return found


def _channel(case: Case, amp: Amp, stem: str, stems: Mapping[str, Poles], second: str | None) -> Channel:
    poles, beyond = stems[stem], stems[second] if second else stems[stem]
    positive, negative = poles.get("positive", (None,))[0], beyond.get("negative", (None,))[0]
    pair = (positive, negative) if positive and negative else None
    own = {*ends_of(poles), *(ends_of(beyond) if second else ())}
    here = {other for at in own for other in poles_by_island(case)[island_of(case, at)]}
    both = next((one for one in both_ways(case, amp, stems) if stem in one.each), None)
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
        nets=parted or (island_of(case, positive) if positive else frozenset()),
        ends=tuple(sorted(own)),
        parted=parted is not None,
        missing=(*output.path, "channels") if uncounted else both.missing if both else None,
    )


def _across(case: Case, amp: Amp, stems: Mapping[str, Poles]) -> Iterator[Channel]:
    """Yield the bridge of each two channels that also have loads of their own in other bands."""
    for both in both_ways(case, amp, stems):
        first, second = both.each
        yield Channel(
            name=f"{amp.name}.{first}-with-{second}",
            amp=amp,
            output=_output(amp, first),
            state=_state(case, set(both.poles), both.poles, False),
            poles=both.poles,
            others=(second,),
            nets=both.across,
            missing=both.missing,
        )


def _strapped(case: Case, amp: Amp) -> dict[str, Strap]:
    """Return by channel of an amplifier the load that it bears together with a second amplifier."""
    found = case.once("strapped amps", lambda: tuple(straps(case, _added_stems(case))))
    return {stem: one for one in found for owner, stem in zip(one.amps, one.stems, strict=True) if owner is amp}


def _added_stems(case: Case) -> dict[str, dict[str, Poles]]:
    added = (one for one in case.plan.nodes if isinstance(one, Amp) and one.factory is not True)
    return {one.name: _stems(case, one) for one in added}


def _straps(case: Case, strap: Strap) -> Channel:
    (one, other), (first, second) = strap.amps, strap.stems
    return Channel(
        name=f"{one.name}.{first}-with-{other.name}",
        amp=one,
        output=_output(one, first),
        state=_state(case, set(strap.poles), strap.poles, False),
        poles=strap.poles,
        others=(f"{other.name}.{second}",),
        nets=island_of(case, strap.poles[0]),
        ends=strap.ends,
    )


def _spoken(pole: Vertex) -> str:
    return pole.rpartition("-")[0]


def _state(case: Case, own: set[Vertex], pair: Pair | None, shared: bool) -> State:
    if any(at in _misjoined(case) for one in own for at in island_of(case, one)):
        return State.MISJOINED
    if shared:
        return State.SHARED
    if pair is None or island_of(case, pair[0]) != island_of(case, pair[1]):
        return State.OPEN
    return State.CLOSED


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
    found = (*(by_end.get(at) for at in ends), *(by_island.get(island_of(case, at)) for at in ends))
    return next((one for one in found if one), None)


def _by_island(case: Case) -> dict[frozenset[Vertex], Channel]:
    return {island_of(case, at): one for one in reversed(channels(case)) for at in one.ends}


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
