"""The channels of added amplifiers, each with the two poles between which its voice coils hang."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from enum import StrEnum
from typing import Any

from planlint.facts.case import Case, Fact
from planlint.facts.fields import field_facts, value_of
from planlint.facts.speaker_coils import Pair, islands, net
from planlint.frozen import frozen
from planlint.graph.circuits import Family
from planlint.graph.link import Vertex
from planlint.plan.audio import Amp, Output
from planlint.plan.kinds import Role
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
    second of two that are bridged.
    """

    name: str
    amp: Amp
    output: Output
    state: State
    poles: Pair | None = None
    others: tuple[str, ...] = ()

    @property
    def path(self) -> Path:
        """The place of its output in the plan."""
        return self.output.path

    @property
    def across_two(self) -> bool:
        """Whether its load is drawn between the poles of two channels."""
        return self.poles is not None and _spoken(self.poles[0]) != _spoken(self.poles[1])


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
        driven = {_output(amp, stem).name for stem in stems}
        for output in amp.outputs:
            if output.name not in driven:
                yield Channel(name=f"{amp.name}.{output.name}", amp=amp, output=output, state=State.UNWIRED)


def _stems(case: Case, amp: Amp) -> dict[str, dict[str, Vertex]]:
    """Return the wired poles of an amplifier by what their names begin with: `sub-positive` is a pole of `sub`."""
    found: dict[str, dict[str, Vertex]] = {}
    for at in sorted(case.layout.wired.get(amp.name, ())):
        stem, _, pole = at.removeprefix(f"{amp.name}.").rpartition("-")
        if pole in ("positive", "negative") and any(f"{stem}-".startswith(f"{one.name}-") for one in amp.outputs):
            found.setdefault(stem, {})[pole] = at
    return found


def _output(amp: Amp, stem: str) -> Output:
    """Return the output that a channel belongs to: the one with the longest name that its own begins with."""
    fitting = (one for one in amp.outputs if f"{stem}-".startswith(f"{one.name}-"))
    return max(fitting, key=lambda one: len(one.name))


def _bridges(case: Case, amp: Amp, stems: Mapping[str, dict[str, Vertex]]) -> dict[str, str]:
    """Return the channels that one load bridges: the positive of the first and the negative of the second alone."""
    ends = {at: stem for stem, poles in stems.items() for at in poles.values()}
    found = {}
    for stem, poles in stems.items():
        here = _poles_of(case).get(_island(case, poles["positive"]), ()) if "positive" in poles else ()
        others = [at for at in here if at != poles.get("positive")]
        other = ends.get(others[0]) if len(poles) == len(others) == 1 else None
        if other and list(stems[other]) == ["negative"]:
            found[stem] = other
    return found


def _channel(case: Case, amp: Amp, stem: str, stems: Mapping[str, dict[str, Vertex]], second: str | None) -> Channel:
    poles = stems[stem]
    positive, negative = poles.get("positive"), (stems[second] if second else poles).get("negative")
    pair = (positive, negative) if positive and negative else None
    own = {at for at in (positive, negative) if at}
    here = {other for at in own for other in _poles_of(case)[_island(case, at)]}
    others = (second,) if second else tuple(sorted({_spoken(at) for at in here - own}))
    return Channel(
        name=f"{amp.name}.{stem}",
        amp=amp,
        output=_output(amp, stem),
        state=_state(case, own, pair, bool(here - own)),
        poles=pair,
        others=others,
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
    by_island = case.once("channels by island", lambda: _by_island(case))
    found = (by_island.get(_island(case, at)) for at in case.layout.drawn.ends[wire.name])
    return next((one for one in found if one), None)


def _by_island(case: Case) -> dict[frozenset[Vertex], Channel]:
    wired = [one for one in channels(case) if one.state is not State.UNWIRED]
    poles = ((at, one) for one in reversed(wired) for at in case.layout.wired[one.amp.name])
    return {_island(case, at): one for at, one in poles if _spoken(at) == one.name}


def driving_amp(case: Case, wire: Wire) -> Amp | None:
    """Return the added amplifier whose output a speaker wire carries, None where there is none."""
    channel = driving_channel(case, wire)
    return channel.amp if channel else None


def on_ground(case: Case, wire: Wire) -> bool:
    """Say whether the wire joins an output to the body or to a ground cable."""
    conflict = case.layout.conflicts.get(wire.name)
    return conflict is not None and Family.GROUND in conflict.joins
