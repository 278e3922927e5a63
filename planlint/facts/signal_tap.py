"""What a rule may ask about the outputs of the vehicle that are tapped: their load, factory speaker and chimes."""

from __future__ import annotations

import re
from collections.abc import Iterator

from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.graph.link import Vertex
from planlint.graph.signals import Joined, channel_of, output_entry, pole_of
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Converter, Radio, RadioOutput, Speaker, Tap
from planlint.plan.kinds import Role
from planlint.plan.nodes import Node
from planlint.plan.work import Check
from planlint.text.places import Path
from planlint.trade import levels

# Common practice: a radio takes more than 40 to 200 ohm for an open output, so above this one stays unknown beside it.
_OPEN_OHM = 100.0
_WORD = re.compile(r"[a-z0-9]+")


def tapped(case: Case, radio: Node) -> tuple[Vertex, ...]:
    """Return one terminal of each speaker channel of the vehicle's that leads to a tap or an added input, sorted."""
    return case.once(("tapped", radio.name), lambda: _tapped(case, radio))


def _tapped(case: Case, radio: Node) -> tuple[Vertex, ...]:
    signals, roles = case.layout.signals, case.layout.network.roles
    found: dict[str, Vertex] = {}
    for at in signals.outputs.get(radio.name, ()):
        joined = signals.joined[at]
        leads_away = joined.taps or _added_inputs(case, joined)
        # The positive wire speaks for its channel where both are drawn: negatives may be joined by mistake.
        if (
            Role.RADIO_SPEAKER in roles[at]
            and leads_away
            and (pole_of(at) != "negative" or channel_of(at) not in found)
        ):
            found[channel_of(at)] = at
    return tuple(found[channel] for channel in sorted(found))


def _added_inputs(case: Case, joined: Joined) -> tuple[Vertex, ...]:
    owners = case.layout.network.owners
    return tuple(at for at in joined.inputs if owners[at].factory is not True and not isinstance(owners[at], Radio))


def taps_speakers(case: Case, radio: Node) -> bool:
    """Say whether a speaker output of the vehicle's is tapped."""
    return bool(tapped(case, radio))


def senses_load(case: Case, radio: Node) -> bool:
    """Say whether a tapped speaker output looks for its load, as it is taken to do where nobody says."""
    if not isinstance(radio, Radio):
        raise UnfitError
    return any(_senses(radio, at) for at in tapped(case, radio))


def _senses(radio: Radio, at: Vertex) -> bool:
    entry = output_entry(radio, channel_of(at))
    return entry is None or (entry.detects_load is not False and entry.type not in ("line", "bus"))


def open_load(case: Case, radio: Node) -> float:
    """Return the highest resistance in ohm that a tapped speaker output with its factory speaker gone still sees, where the
    radio looks for a load; 0 where speakers or load devices remain on all.

    Whether it looks for one counts as yes where nobody says. Raises UnknownError where it is not stated what became of the
    speaker, or how much an input loads the output, unless a known one is open already.
    """
    if not isinstance(radio, Radio):
        raise UnfitError
    known, missing = [0.0], None
    for at in tapped(case, radio):
        try:
            known.append(_load(case, radio, at))
        except UnknownError as error:
            missing = missing or error.path
    if missing and max(known) <= _OPEN_OHM:
        raise UnknownError(missing)
    return max(known)


def _load(case: Case, radio: Radio, at: Vertex) -> float:
    if not _senses(radio, at):
        return 0.0
    joined = case.layout.signals.joined[at]
    receivers = [case.layout.network.owners[one] for one in _added_inputs(case, joined)]
    if any(getattr(one, "loads_radio", None) is True for one in receivers):
        return 0.0
    if not _speaker_gone(case, radio, at):
        return 0.0
    unique = {one.name: one for one in receivers if isinstance(one, (Amp, Converter))}
    ohms = [float(value_of(unique[name], "input_resistance", "input_resistance")) for name in sorted(unique)]
    return min(levels.side_by_side(ohm for ohm in ohms if ohm > 0), _NOTHING_THERE)


# An output with nothing on it, in ohm.
_NOTHING_THERE = 1e9


def _speaker_gone(case: Case, radio: Radio, at: Vertex) -> bool:
    """Say whether the factory speaker is taken off a channel. Raises UnknownError where that is not stated."""
    joined = case.layout.signals.joined[at]
    if any(isinstance(case.layout.network.owners[coil], Speaker) for coil in joined.coils):
        return False
    told = [tap.factory_speaker for tap in joined.taps if isinstance(tap, Tap)]
    entry = output_entry(radio, channel_of(at))
    told.append(entry.factory_speaker if entry else None)
    if "kept" in told:
        return False
    if "removed" in told:
        return True
    raise UnknownError(_fate_path(radio, joined, at))


def _fate_path(radio: Radio, joined: Joined, at: Vertex) -> Path:
    if joined.taps:
        return (*joined.taps[0].path, "factory_speaker")
    entry = output_entry(radio, channel_of(at))
    return (*radio.path, "outputs", entry.name if entry else channel_of(at), "factory_speaker")


def open_outputs(case: Case, radio: Node) -> str | None:
    """Return the tapped outputs that too little loads, None where there are none known."""
    if not isinstance(radio, Radio):
        return None
    return " and ".join(one for one, ohm in _loads(case, radio) if ohm > _OPEN_OHM) or None


def _loads(case: Case, radio: Radio) -> Iterator[tuple[str, float]]:
    for at in tapped(case, radio):
        try:
            yield channel_of(at), _load(case, radio, at)
        except UnknownError:
            continue


def tapped_outputs(case: Case, radio: Node) -> tuple[RadioOutput, ...]:
    """Return what the plan says of the speaker outputs of the vehicle's that are tapped."""
    if not isinstance(radio, Radio):
        return ()
    entries = (output_entry(radio, channel_of(at)) for at in tapped(case, radio))
    return tuple({entry.name: entry for entry in entries if entry}.values())


def speakers_gone(case: Case, radio: Node) -> bool:
    """Say whether the factory speaker is taken off every tapped output."""
    return isinstance(radio, Radio) and all(_speaker_gone(case, radio, at) for at in tapped(case, radio))


def tap_nodes(case: Case, radio: Node) -> tuple[Node, ...]:
    """Return the taps on the speaker outputs of the vehicle's."""
    found = {tap.name: tap for at in tapped(case, radio) for tap in case.layout.signals.joined[at].taps}
    return tuple(found[name] for name in sorted(found))


def receivers(case: Case, radio: Node) -> tuple[Node, ...]:
    """Return the added parts whose inputs take the signal of its speaker outputs."""
    owners = case.layout.network.owners
    joined = (case.layout.signals.joined[at] for at in tapped(case, radio))
    found = {owners[at].name: owners[at] for one in joined for at in _added_inputs(case, one)}
    return tuple(found[name] for name in sorted(found))


def chimes_cut(case: Case, radio: Node) -> str | None:
    """Return the outputs that carry chimes and whose factory speaker is taken off, None where there are none.

    Raises UnknownError where it is not stated which speaker sounds the chimes, or what becomes of the one that does.
    """
    if not isinstance(radio, Radio) or not tapped(case, radio):
        raise UnfitError
    cut, missing = [], None
    for at in tapped(case, radio):
        try:
            if _carries_chimes(case, radio, at) and _speaker_gone(case, radio, at):
                cut.append(channel_of(at))
        except UnknownError as error:
            missing = missing or error.path
    if missing and not cut:
        raise UnknownError(missing)
    return " and ".join(cut) or None


def _carries_chimes(case: Case, radio: Radio, at: Vertex) -> bool:
    """Say whether chimes sound through a channel: as its output says, else where the vehicle's words name all of its own."""
    entry = output_entry(radio, channel_of(at))
    if entry and isinstance(entry.carries_chimes, bool):
        return entry.carries_chimes
    told = case.plan.vehicle.chime_speaker
    if isinstance(told, str):
        mine = set(_WORD.findall(channel_of(at))) - {"speaker"}
        return bool(mine) and mine <= set(_WORD.findall(told.lower()))
    if told is not None or not _may_be_gone(case, radio, at):
        return False
    raise UnknownError(("vehicle", "chime_speaker"))


def _may_be_gone(case: Case, radio: Radio, at: Vertex) -> bool:
    try:
        return _speaker_gone(case, radio, at)
    except UnknownError:
        return True


def polarity_checked(case: Case, node: Node) -> bool:
    """Say whether the polarity of a speaker-level tap is measured: as the tap says, or where it says nothing by a test at
    it, at what it takes the signal from or at what takes it in.

    Raises UnknownError where neither the tap nor a list of tests tells, UnfitError for what is no such tap.
    """
    spots = _polarity_spots(case, node)
    if isinstance(node, Tap) and node.polarity_test is not None:
        return bool(value_of(node, "polarity_test", "polarity_test"))
    if case.plan.tests is None:
        raise UnknownError((*node.path, "polarity_test") if isinstance(node, Tap) else ("tests",))
    return bool(_polarity_tests(case.plan.tests, spots))


def _polarity_spots(case: Case, node: Node) -> set[str]:
    signals, owners = case.layout.signals, case.layout.network.owners
    if isinstance(node, Tap):
        joined = [
            signals.joined[at] for at in (f"{node.name}.positive", f"{node.name}.negative") if at in signals.joined
        ]
        outputs = [at for one in joined for at in one.outputs]
        # A tap whose far side nobody drew is at speaker level too, unless a line output feeds it.
        if outputs and not any(Role.RADIO_SPEAKER in case.layout.network.roles[at] for at in outputs):
            raise UnfitError
        return {node.name, *(owners[at].name for one in joined for at in (*one.outputs, *one.inputs))}
    direct = [signals.joined[at] for at in tapped(case, node)]
    direct = [one for one in direct if not one.taps]
    if not direct or case.plan.scope == "electrical":
        raise UnfitError
    return {node.name, *(owners[at].name for one in direct for at in one.inputs)}


def _polarity_tests(tests: tuple[Check, ...], spots: set[str]) -> list[Check]:
    return [test for test in tests if test.test == "driver-polarity" and spots & set(test.of)]
