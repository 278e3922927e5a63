"""What a rule may ask about the filters before a speaker on an added amplifier: their edges and their lock."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from planlint.facts.case import Case
from planlint.facts.channel import Channel, State
from planlint.facts.signal_band import chain
from planlint.facts.speaker import driven_by
from planlint.graph.signals import channel_of, fed_by, output_entry
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Band, Output, Processor, Speaker
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.plan.values import NotApplicable
from planlint.text.places import Path

_Sharper = Callable[[Iterable[float]], float]
_FIELDS = ("high_pass", "low_pass", "high_pass_locked")


def _driving(case: Case, speaker: Node) -> tuple[Channel, ...]:
    """Return the channels that drive the speaker; where outputs are joined that is told, and nobody can tell the band."""
    found = tuple(one for one in driven_by(case, speaker) if one.state is not State.SHARED)
    if not found:
        raise UnfitError
    return found


def locked_frequency(case: Case, speaker: Node) -> float:
    """Return the frequency in Hz below which the speaker is filtered by what nobody changes by chance, 0 where nothing does.

    Raises UnknownError where a filter, or the lock on one that would count for more, is not stated.
    """
    return min(_locked_edge(case, channel) for channel in _driving(case, speaker))


def _locked_edge(case: Case, channel: Channel) -> float:
    filters = list(_filters(case, channel))
    edges = [(one.high_pass.low, one.high_pass_locked) for one in filters if isinstance(one.high_pass, Quantity)]
    locked = max((edge for edge, lock in edges if lock is True), default=0.0)
    if any(lock is None and edge > locked for edge, lock in edges):
        raise UnknownError((*channel.path, "high_pass_locked"))
    if not edges and any(one.high_pass is None for one in filters):
        raise UnknownError((*channel.path, "high_pass"))
    return locked


def filter_count(case: Case, speaker: Node) -> int:
    """Return how many units filter the speaker one after another: its amplifier, and a processor before that."""
    return max(len(list(_filters(case, channel))) for channel in _driving(case, speaker))


def lowest_frequency(case: Case, speaker: Node) -> float:
    """Return the frequency in Hz below which what drives the speaker is filtered, 0 where it is not: by the amplifier, by
    a processor before it, or, for what is no subwoofer, by a radio that gives nothing lower.

    Raises UnknownError where neither the amplifier's output nor the processor before it states its filter, or where both say
    that they have none and the radio does not state what it gives.
    """
    # That a radio gives a subwoofer no more bass is told of the signal; it is no filter that guards a port.
    sub = isinstance(speaker, Speaker) and speaker.type == "sub"
    return min(_edge(case, channel, "high_pass", max, radio=not sub) for channel in _driving(case, speaker))


def has_low_pass(case: Case, speaker: Node) -> bool:
    """Say whether what drives the speaker is filtered above some frequency."""
    return _highest(case, speaker) > 0


def highest_frequency(case: Case, speaker: Node) -> float:
    """Return the frequency in Hz above which what drives the speaker is filtered. Raises UnfitError where it is not."""
    found = _highest(case, speaker)
    if not found:
        raise UnfitError
    return found


def _highest(case: Case, speaker: Node) -> float:
    edges = [_edge(case, channel, "low_pass", min, radio=True) for channel in _driving(case, speaker)]
    return max(edges) if all(edges) else 0.0


def _edge(case: Case, channel: Channel, field: str, sharper: _Sharper, *, radio: bool) -> float:
    """Return the edge in Hz of a channel's filters of one sort, the sharper of several; 0 where there is none."""
    found = [getattr(one, field) for one in _filters(case, channel)]
    edges = [one.low if field == "high_pass" else one.high for one in found if isinstance(one, Quantity)]
    if not edges and any(not isinstance(one, NotApplicable) for one in found):
        raise UnknownError((*channel.path, field))
    edges += _radio_edge(case, channel, field, needed=not edges) if radio else []
    return float(sharper(edges)) if edges else 0.0


def _radio_edge(case: Case, channel: Channel, field: str, *, needed: bool) -> list[float]:
    """Return the edge of what the vehicle gives, nothing where it gives no signal or a part on the way changes it.

    Raises UnknownError where it is not stated and `needed`.
    """
    way = chain(case, channel.amp, _stem(channel))
    attribute = "from_" if field == "high_pass" else "to"
    edges = []
    for radio, name in way.origins if not way.any_states("restores_bass") else ():
        entry = output_entry(radio, name)
        stated = getattr(entry, attribute, None)
        if stated is None and needed:
            raise UnknownError((*radio.path, "outputs", entry.name if entry else name, attribute.removesuffix("_")))
        if not isinstance(stated, Quantity):
            return []
        edges.append(stated.low if field == "high_pass" else stated.high)
    return [min(edges) if field == "high_pass" else max(edges)] if edges else []


def _filters(case: Case, channel: Channel) -> Iterator[Output | Band]:
    """Yield what filters a channel: its output, and the output of a processor that feeds it."""
    yield channel.output
    bands = case.once(("bands before", channel.name), lambda: _bands(case, channel))
    if bands:
        yield bands[0] if len(bands) == 1 else _agreed(bands)


def _bands(case: Case, channel: Channel) -> tuple[Band, ...]:
    """Return the outputs of processors that feed a channel, or may: all that feed its amplifier where no name tells."""
    signals, owners = case.layout.signals, case.layout.network.owners
    inputs = fed_by(_stem(channel), signals.inputs.get(channel.amp.name, ()))
    found: dict[Path, Band] = {}
    for out in (out for at in inputs for out in signals.joined[at].outputs):
        owner, name = owners[out], channel_of(out).removeprefix("output-")
        fitting = (
            [one for one in owner.outputs if f"{name}-".startswith(f"{one.name}-")]
            if isinstance(owner, Processor)
            else []
        )
        if fitting:
            band = max(fitting, key=lambda one: len(one.name))
            found[band.path] = band
    return tuple(found.values())


def _agreed(bands: tuple[Band, ...]) -> Band:
    """Return what several outputs of which one feeds a channel say alike; where they differ nobody can tell."""
    first = bands[0]
    alike = {name: getattr(first, name) for name in _FIELDS if len({_plain(getattr(one, name)) for one in bands}) == 1}
    return Band(path=first.path, name=first.name, **alike)


def _plain(value: Any) -> Any:
    if isinstance(value, Quantity):
        return value.low, value.high
    return NotApplicable if isinstance(value, NotApplicable) else value


def _stem(channel: Channel) -> str:
    """Return the name of a channel, of two that are bridged that of the first, as its amplifier calls it."""
    return channel.name.removeprefix(f"{channel.amp.name}.").partition("-with-")[0]
