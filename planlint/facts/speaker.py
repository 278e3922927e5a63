"""What a rule may ask about a speaker on an added amplifier: its power, its polarity, its coils and its filters."""

from __future__ import annotations

from collections.abc import Mapping

from planlint.facts.case import Case
from planlint.facts.channel import Channel, channels
from planlint.facts.fields import value_of
from planlint.facts.speaker_coils import bands_before, coils
from planlint.facts.speaker_load import carries, direct_drivers, drivers, playing, power_given
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Enclosure, Speaker
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity

# No tweeter is this large, and no bass channel has one (common practice).
_TWEETER_M = 0.06
_BASS_HZ = 500.0


def driven_by(case: Case, speaker: Node) -> tuple[Channel, ...]:
    """Return the channels of added amplifiers that drive the speaker."""
    return case.once("channels by speaker", lambda: _by_speaker(case)).get(speaker.name, ())


def driving_amps(case: Case, speaker: Node) -> tuple[Amp, ...]:
    """Return the added amplifiers that drive the speaker."""
    return tuple({channel.amp.name: channel.amp for channel in driven_by(case, speaker)}.values())


def driving_outputs(case: Case, speaker: Node) -> str:
    """Return the outputs whose channels drive the speaker: what one filter of an output does, it does to all of them."""
    return " and ".join(sorted({f"{one.amp.name}.{one.output.name}" for one in _driving(case, speaker)}))


def _by_speaker(case: Case) -> Mapping[str, tuple[Channel, ...]]:
    found: dict[str, tuple[Channel, ...]] = {}
    for channel in channels(case):
        for one in drivers(case, channel):
            found[one.name] = (*found.get(one.name, ()), channel)
    return found


def _driving(case: Case, speaker: Node) -> tuple[Channel, ...]:
    found = driven_by(case, speaker)
    if not found:
        raise UnfitError
    return found


def _own(node: Node) -> Speaker:
    """Return the node as the speaker that it is. Raises UnfitError where it is none."""
    if not isinstance(node, Speaker):
        raise UnfitError
    return node


def driven(case: Case, speaker: Node) -> bool:
    """Say whether an added amplifier drives the speaker."""
    return bool(driven_by(case, speaker))


def set_apart(case: Case, speaker: Node) -> bool:
    """Say whether a passive crossover gives the speaker a band of its own above the bass, or a capacitor beside drivers
    without one."""
    alone = all(speaker not in direct_drivers(case, channel) for channel in _driving(case, speaker))
    return alone and (_own(speaker).series_capacitor is True or True not in bands_before(case, speaker))


def bass_kept_away(case: Case, node: Node) -> bool:
    """Say whether a passive part keeps the bass from the speaker: a capacitor in series, or an output of a crossover above
    the bass; of a mid or a tweeter any output that is not named for the bass."""
    speaker = _own(node)
    if speaker.series_capacitor is True:
        return True
    bands = bands_before(case, speaker)
    return bands == {False} or (speaker.type in ("mid", "tweeter") and set_apart(case, speaker))


def bass_alone(case: Case, speaker: Node) -> bool:
    """Say whether a passive crossover lets no more than the bass through to the speaker, as far as its output is named."""
    bands = bands_before(case, speaker)
    return bool(bands) and False not in bands


def driver_power(case: Case, speaker: Node) -> float:
    """Return the power in W that a speaker gets: from each channel what that gives into its real load, by the parts of its
    voice coils in it, in the band of a crossover that gives it most.

    Raises UnknownError where an impedance or the amplifier's power is not stated, UnfitError for a tweeter or mid behind
    a passive crossover, whose part of the music nobody states.
    """
    return case.once(("driver power", speaker.name), lambda: _driver_power(case, _own(speaker)))


def _driver_power(case: Case, speaker: Speaker) -> float:
    if speaker.type in ("tweeter", "mid") and set_apart(case, speaker):
        raise UnfitError
    if speaker.type == "tweeter" and speaker.series_capacitor is None and bands_before(case, speaker):
        raise UnknownError((*speaker.path, "series_capacitor"))
    return sum(_power_from(case, channel, speaker) for channel in _driving(case, speaker))


def _power_from(case: Case, channel: Channel, speaker: Speaker) -> float:
    watts = 0.0
    for one in playing(case, channel):
        mine = sum(one.share(index) for index, coil in enumerate(one.coils) if coil.speaker.name == speaker.name)
        if mine and one.network.ohm:
            watts = max(watts, mine * power_given(case, channel, one.network.ohm))
    return watts


def driver_rating(case: Case, node: Node) -> float:
    """Return the continuous power in W that the voice coils which are wired take: of two coils with one left open, half."""
    speaker = _own(node)
    rated = float(value_of(speaker, "power", "power", upper=False))
    total = speaker.coils
    return rated * min(1.0, len(live_coils(case, speaker)) / total) if isinstance(total, int) else rated


def live_coils(case: Case, speaker: Node) -> tuple[str, ...]:
    """Return the voice coils of a speaker that carry current, by their first vertex."""
    parts = case.once(("coil parts", speaker.name), lambda: _parts(case, speaker))
    return tuple(sorted({at for at, _ in parts}))


def _parts(case: Case, speaker: Node) -> tuple[tuple[str, bool], ...]:
    """Return for the voice coils that carry current whether the positive end is the nearer one to the positive pole."""
    found = set()
    for channel in _driving(case, speaker):
        for one in playing(case, channel):
            for index, coil in enumerate(one.coils):
                if coil.speaker.name == speaker.name and carries(one, index):
                    found.add((coil.ends[0], one.network.parts[index] > 0))
    return tuple(sorted(found))


def coils_left_open(case: Case, node: Node) -> int:
    """Return how many voice coils carry nothing though the plan does not say that they stay open on purpose.

    A speaker drawn with `positive` and `negative` alone is one of a single coil, where it does not say how many it has.
    Raises UnknownError where that is not stated of one that is drawn coil by coil.
    """
    speaker = _own(node)
    if all(not one.network.ohm for channel in _driving(case, speaker) for one in playing(case, channel)):
        # A short circuit across the output is told of that.
        raise UnfitError
    live = len(live_coils(case, speaker))
    if speaker.coils is None and _drawn_whole(case, speaker):
        return 0
    if not isinstance(speaker.coils, int):
        raise UnknownError((*speaker.path, "coils"))
    declared = speaker.open_coils if isinstance(speaker.open_coils, int) else 0
    return max(0, speaker.coils - live - declared)


def _drawn_whole(case: Case, speaker: Node) -> bool:
    whole = (f"{speaker.name}.positive", f"{speaker.name}.negative")
    return [coil.ends for coil in coils(case)[speaker.name]] == [whole]


def wired_polarity(case: Case, speaker: Node) -> str:
    """Return how the speaker is wired: `normal` with its positive end toward the amplifier's positive pole, `inverted`,
    or `mixed` where its voice coils work against each other."""
    toward = {normal for _, normal in case.once(("coil parts", speaker.name), lambda: _parts(case, speaker))}
    if not toward:
        raise UnfitError
    return "mixed" if len(toward) > 1 else "normal" if toward.pop() else "inverted"


def expected_polarity(case: Case, node: Node) -> str:
    """Return how the speaker should be wired: as the plan states, else like those that work with it."""
    speaker, own = _own(node), wired_polarity(case, node)
    if isinstance(speaker.polarity, str):
        return speaker.polarity
    fellows = {wired_polarity(case, one) for one in fellow_drivers(case, speaker) if one.polarity is None}
    return own if own == "normal" or (own == "inverted" and fellows <= {own}) else "normal"


def fellow_drivers(case: Case, node: Node) -> tuple[Speaker, ...]:
    """Return the other driven speakers of the same type in the same enclosure, on the same output or on its pair on the
    other side; of a subwoofer all others, since the bass of one reaches the other wherever they stand."""
    speaker, mine = _own(node), driven_by(case, node)
    outputs, sides = {channel.path for channel in mine}, {_either_side(channel) for channel in mine}
    paired = (one for one in channels(case) if one.path in outputs or _either_side(one) in sides)
    beside = {one.name for channel in paired for one in drivers(case, channel)}
    if speaker.type == "sub":
        beside |= {one.name for one in case.plan.nodes if isinstance(one, Speaker) and one.type == "sub"}
    if isinstance(speaker.enclosure, str):
        beside |= case.once("speakers by enclosure", lambda: _by_enclosure(case))[speaker.enclosure]
    fellows = (case.nodes[name] for name in sorted(beside - {speaker.name}))
    return tuple(one for one in fellows if isinstance(one, Speaker) and one.type == speaker.type and driven(case, one))


def _either_side(channel: Channel) -> str:
    """Return the name of a channel without its side: what `front-left` and `front-right` have in common."""
    return channel.name.replace("left", "").replace("right", "")


def _by_enclosure(case: Case) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for one in case.plan.nodes:
        if isinstance(one, Speaker) and isinstance(one.enclosure, str):
            found.setdefault(one.enclosure, set()).add(one.name)
    return found


def may_be_tweeter(case: Case, node: Node) -> bool:
    """Say whether the speaker is a tweeter: stated, or ruled out by its size or by the bass channel that drives it.

    Raises UnknownError where nothing tells.
    """
    speaker = _own(node)
    if isinstance(speaker.type, str):
        return speaker.type == "tweeter"
    if isinstance(speaker.diameter, Quantity) and speaker.diameter.low > _TWEETER_M:
        return False
    if all(_plays_bass_only(channel) for channel in _driving(case, speaker)):
        return False
    raise UnknownError((*speaker.path, "type"))


def _plays_bass_only(channel: Channel) -> bool:
    low = channel.output.low_pass
    return channel.output.band == "bass" or (isinstance(low, Quantity) and low.high <= _BASS_HZ)


def speakers_on_output(case: Case, speaker: Node) -> int:
    """Return how many speakers hang on the outputs that drive the speaker, itself among them."""
    paths = {channel.path for channel in _driving(case, speaker)}
    every = {one.name for channel in channels(case) if channel.path in paths for one in drivers(case, channel)}
    return len(every)


def box_tuning(case: Case, node: Node) -> float:
    """Return the frequency in Hz to which the port of the speaker's enclosure is tuned, of a range the upper end.

    Raises UnknownError where that is not stated, or in which of the enclosures that the plan draws it works, UnfitError
    where it works in none of them, or in a closed one.
    """
    name = _own(node).enclosure
    if name is None and any(isinstance(one, Enclosure) for one in case.plan.nodes):
        raise UnknownError((*node.path, "enclosure"))
    box = case.nodes.get(name) if isinstance(name, str) else None
    if not isinstance(box, Enclosure):
        raise UnfitError
    return float(value_of(box, "tuning", "tuning", upper=True))
