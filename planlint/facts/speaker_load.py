"""What a rule may ask about a channel of an amplifier: the load its voice coils are, and the power they get."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.facts.channel import Channel, State, channels
from planlint.facts.conductor import stated
from planlint.facts.crossovers import Pair, by_band, passages
from planlint.facts.fields import value_of
from planlint.facts.speaker_coils import (
    Coil,
    between_nets,
    coils,
    direct_islands,
    each_alone,
    impedance,
    know_capacitors,
    linked,
    net,
)
from planlint.frozen import frozen
from planlint.graph.coils import CoilNetwork, solve_coils
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Speaker
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.plan.values import NotApplicable
from planlint.trade.power import bridged_power, power_into, rms_current

# Parts of a voltage below this are rounding: the coil carries nothing.
_NOTHING = 1e-9


@frozen
class Playing:
    """The voice coils of a channel in one band of its crossovers, and the network that they are."""

    coils: tuple[Coil, ...]
    network: CoilNetwork

    def share(self, index: int) -> float:
        """Return the part of the channel's power that a coil gets."""
        ohm = impedance(self.coils[index].speaker)
        return self.network.parts[index] ** 2 * self.network.ohm / ohm if ohm else 0.0


def playing(case: Case, channel: Channel) -> tuple[Playing, ...]:
    """Return what a channel drives, once for each band of the passive crossovers behind it.

    Raises UnknownError where a coil's impedance is not stated, UnfitError where no coil closes the way from pole to pole,
    or where another output or the body is joined to it, which is told as what it is.
    """
    return case.once(("playing", channel.name), lambda: _playing(case, channel))


def _playing(case: Case, channel: Channel) -> tuple[Playing, ...]:
    if channel.missing:
        raise UnknownError(channel.missing)
    if channel.poles is None or channel.state is not State.CLOSED:
        raise UnfitError
    know_capacitors(direct_drivers(case, channel))
    poles = between_nets(case, channel.poles)
    mine = tuple(coil for some in coils(case).values() for coil in some if _within(case, channel, coil.ends))
    links = [(*between_nets(case, coil.ends), impedance(coil.speaker)) for coil in mine]
    found = []
    for band in by_band(one for one in passages(case) if _within(case, channel, one.ends)):
        for left_out in each_alone(mine):
            kept = [
                (a, a if coil.speaker.name in left_out else b, ohm)
                for coil, (a, b, ohm) in zip(mine, links, strict=True)
            ]
            joints = [between_nets(case, one.ends) for one in band] + [(a, b) for a, b, ohm in kept if not ohm]
            network = solve_coils(joints, [(a, b, ohm or 1.0) for a, b, ohm in kept], poles)
            if network:
                found.append(Playing(coils=mine, network=network))
    if not found:
        raise UnfitError
    return tuple(found)


def _within(case: Case, channel: Channel, ends: Pair) -> bool:
    """Say whether what lies between two vertices hangs on the channel."""
    return channel.nets.issuperset(between_nets(case, ends))


def bridges(case: Case, channel: Channel) -> bool:
    """Say whether the channel is two that are bridged: stated of its output, or drawn so.

    Raises UnknownError where an output that its maker permits to bridge does not say whether it is, UnfitError where
    nothing hangs between its poles.
    """
    unused = channel.state is State.UNWIRED and not isinstance(channel.output.load, Quantity)
    if unused or channel.state in (State.OPEN, State.MISJOINED):
        raise UnfitError
    output = channel.output
    if channel.across_two or output.bridged is True:
        return True
    # Loads that hang on another output too show that its poles are those of one channel.
    if channel.state is State.SHARED or channel.parted:
        return False
    several = isinstance(output.channels, int) and output.channels > 1
    if output.bridged is None and isinstance(output.lowest_bridged, Quantity) and not several and _whole(channel):
        raise UnknownError((*output.path, "bridged"))
    return False


def _whole(channel: Channel) -> bool:
    """Say whether the channel bears its output's own name: no part of that name tells one channel from another."""
    return channel.name == f"{channel.amp.name}.{channel.output.name}"


def other_outputs(_case: Case, channel: Channel) -> str | None:
    """Return the outputs between which the channel's voice coils hang too, None where it has them to itself."""
    return " and ".join(channel.others) if channel.state is State.SHARED else None


def told_with(case: Case, channel: Channel) -> str:
    """Return what its channels have in common of which one finding tells: their output, or all outputs that are joined."""
    if channel.state is State.SHARED:
        together = linked((one.name, other) for one in channels(case) for other in (one.name, *one.others))
        return " and ".join(sorted(together[channel.name]))
    return f"{channel.amp.name}.{channel.output.name}"


def wired(_case: Case, channel: Channel) -> bool:
    """Say whether a wire ends at the channel."""
    return channel.state is not State.UNWIRED


def load_seen(case: Case, channel: Channel) -> float:
    """Return the load in ohm that the channel's voice coils are as they are wired, in the worst band of its crossovers;
    where nothing is wired to its output, the load that the planner states.

    Raises UnknownError where a coil's impedance is not stated, UnfitError where nothing is wired or stated.
    """
    if channel.state is not State.UNWIRED:
        return min(one.network.ohm for one in playing(case, channel))
    if channel.output.load is None or not isinstance(channel.output.load, Quantity):
        raise UnfitError
    return channel.output.load.low


def half_load(case: Case, channel: Channel) -> float:
    """Return the load in ohm that each of two bridged channels sees: half of the load between them."""
    return load_seen(case, channel) / 2.0


def lowest_across(_case: Case, channel: Channel) -> float:
    """Return the lowest load in ohm permitted across two bridged channels: the stated one, or twice that of each channel,
    whichever is more. Raises UnknownError where neither is stated."""
    output = channel.output
    limits = [one.high for one in (output.lowest_bridged,) if isinstance(one, Quantity)]
    limits += [2.0 * one.high for one in (output.lowest,) if isinstance(one, Quantity)]
    if not limits:
        raise UnknownError((*output.path, "lowest_bridged"))
    return max(limits)


def may_bridge(_case: Case, channel: Channel) -> bool:
    """Say whether the plan leaves it open that two channels are bridged: it does not say that no load is permitted there."""
    return not isinstance(channel.output.lowest_bridged, NotApplicable)


def drivers(case: Case, channel: Channel) -> tuple[Speaker, ...]:
    """Return the speakers whose voice coils hang between the channel's poles."""
    if channel.poles is None or channel.state in (State.UNWIRED, State.OPEN):
        return ()
    found = {
        name: some[0].speaker
        for name, some in coils(case).items()
        if any(_within(case, channel, one.ends) for one in some)
    }
    return tuple(found[name] for name in sorted(found))


def direct_drivers(case: Case, channel: Channel) -> tuple[Speaker, ...]:
    """Return those of its speakers that neither a passive crossover nor a capacitor of their own sets apart from others."""
    if channel.poles is None or channel.state is State.SHARED:
        return ()
    here = direct_islands(case).get(net(case, channel.poles[0]), frozenset())
    every = coils(case)
    direct = [one for one in drivers(case, channel) if any(net(case, c.ends[0]) in here for c in every[one.name])]
    plain = [one for one in direct if one.series_capacitor is not True]
    return tuple(plain or direct)


def loading_drivers(case: Case, channel: Channel) -> tuple[Speaker, ...]:
    """Return the speakers that make up the channel's load in the band in which it is lowest."""
    every = drivers(case, channel)
    if channel.state is not State.CLOSED:
        return every
    worst = min(playing(case, channel), key=lambda one: one.network.ohm)
    names = {coil.speaker.name for index, coil in enumerate(worst.coils) if carries(worst, index)}
    return tuple(one for one in every if one.name in names) or every


def other_parts(case: Case, channel: Channel) -> tuple[Node, ...]:
    """Return the other parts whose outputs are joined to the channel."""
    names = {one.partition(".")[0] for one in channel.others} - {channel.amp.name}
    return tuple(case.nodes[name] for name in sorted(names) if name in case.nodes)


def driver_count(case: Case, channel: Channel) -> int:
    """Return how many speakers share the channel without a crossover before them."""
    return len(direct_drivers(case, channel))


def unlike(case: Case, channel: Channel) -> str | None:
    """Return in what the speakers that share a channel differ: impedance, power, or the part of the power that they get as
    they are wired; None where in nothing.

    Raises UnknownError where one of them does not state it.
    """
    shared = direct_drivers(case, channel)
    ohms = {impedance(one) for one in shared}
    watts = {float(value_of(one, "power", "power", upper=False)) for one in shared}
    words = [word for word, all_of in (("impedance", ohms), ("power", watts)) if len(all_of) > 1]
    if not words and not _share_alike(case, channel, shared):
        words = ["the part of the power that they get as they are wired"]
    return " and ".join(words) or None


def _share_alike(case: Case, channel: Channel, shared: tuple[Speaker, ...]) -> bool:
    """Say whether like speakers get like parts of a channel's power; rounding and 5 % are no difference."""
    if channel.state is not State.CLOSED:
        return True
    for one in playing(case, channel):
        parts = [
            sum(one.share(index) for index, coil in enumerate(one.coils) if coil.speaker.name == speaker.name)
            for speaker in shared
        ]
        if min(parts) < 0.95 * max(parts):
            return False
    return True


def power_given(case: Case, channel: Channel, ohm: float) -> float:
    """Return the power in W that a channel gives into a load: what its stated power comes to there, at most what its gain
    is set for. Cables are left out, so it is a little more than the voice coils get.

    Raises UnknownError where the power or the load it is stated for is missing.
    """
    output = channel.output
    watts, at = stated(output.power, (*output.path, "power")).high, stated(output.at, (*output.path, "at")).high
    halves = channel.across_two and output.bridged is not True
    given = (bridged_power if halves else power_into)(ohm, watts, at, _current_bound(channel))
    if isinstance(output.gain_target, Quantity):
        volts = output.gain_target.high * (2.0 if halves else 1.0)
        given = min(given, volts**2 / ohm)
    return given


def _current_bound(channel: Channel) -> float | None:
    """Return the RMS current in A at the power stated into the lowest load, None where none is stated."""
    output = channel.output
    lowest = output.lowest_bridged if output.bridged is True else output.lowest
    if isinstance(output.power_at_lowest, Quantity) and isinstance(lowest, Quantity) and lowest.low:
        return rms_current(output.power_at_lowest.high, lowest.low)
    return None


def carries(one: Playing, index: int) -> bool:
    """Say whether a voice coil carries current."""
    return abs(one.network.parts[index]) > _NOTHING
