"""What a rule may ask about a channel of an amplifier: the load its voice coils are, and the power they get."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.facts.channel import Channel, State
from planlint.facts.conductor import stated
from planlint.facts.speaker_coils import (
    Coil,
    between_nets,
    by_band,
    coils,
    direct_islands,
    impedance,
    islands,
    net,
    passages,
)
from planlint.frozen import frozen
from planlint.graph.coils import CoilNetwork, solve_coils
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Speaker
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
    if channel.poles is None or channel.state is not State.CLOSED:
        raise UnfitError
    poles = between_nets(case, channel.poles)
    here = islands(case).get(poles[0], frozenset())
    mine = tuple(coil for some in coils(case).values() for coil in some if net(case, coil.ends[0]) in here)
    links = [(*between_nets(case, coil.ends), impedance(coil.speaker)) for coil in mine]
    found = []
    for band in by_band(one for one in passages(case) if net(case, one.ends[0]) in here):
        for left_out in _each_alone(mine):
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


def _each_alone(mine: tuple[Coil, ...]) -> tuple[frozenset[str], ...]:
    """Return which speakers to leave out in turn: those with a capacitor in series play alone, and so do the others."""
    with_capacitor = frozenset(coil.speaker.name for coil in mine if coil.speaker.series_capacitor is True)
    others = frozenset(coil.speaker.name for coil in mine) - with_capacitor
    return (with_capacitor, others) if with_capacitor and others else (frozenset(),)


def bridges(case: Case, channel: Channel) -> bool:
    """Say whether the channel is two that are bridged: stated of its output, or drawn so.

    Raises UnknownError where an output that its maker permits to bridge does not say whether it is, UnfitError where
    nothing hangs between its poles.
    """
    if channel.state in (State.OPEN, State.MISJOINED):
        raise UnfitError
    output = channel.output
    if channel.across_two or output.bridged is True:
        return True
    several = isinstance(output.channels, int) and output.channels > 1
    if output.bridged is None and output.lowest_bridged is not None and not several and _whole(channel):
        raise UnknownError((*output.path, "bridged"))
    return False


def _whole(channel: Channel) -> bool:
    """Say whether the channel bears its output's own name: no part of that name tells one channel from another."""
    return channel.name == f"{channel.amp.name}.{channel.output.name}"


def other_outputs(_case: Case, channel: Channel) -> str | None:
    """Return the outputs between which the channel's voice coils hang too, None where it has them to itself."""
    return " and ".join(channel.others) if channel.state is State.SHARED else None


def told_with(_case: Case, channel: Channel) -> str:
    """Return what its channels have in common of which one finding tells: their output, or all outputs that are joined."""
    if channel.state is State.SHARED:
        return " and ".join(sorted({channel.name, *channel.others}))
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
    here = islands(case).get(net(case, channel.poles[0]), frozenset())
    every = coils(case)
    found = {name: some[0].speaker for name, some in every.items() if any(net(case, c.ends[0]) in here for c in some)}
    return tuple(found[name] for name in sorted(found))


def direct_drivers(case: Case, channel: Channel) -> tuple[Speaker, ...]:
    """Return those of its speakers that neither a passive crossover nor a capacitor of their own sets apart from others."""
    if channel.poles is None:
        return ()
    here = direct_islands(case).get(net(case, channel.poles[0]), frozenset())
    every = coils(case)
    direct = [one for one in drivers(case, channel) if any(net(case, c.ends[0]) in here for c in every[one.name])]
    plain = [one for one in direct if one.series_capacitor is not True]
    return tuple(plain or direct)


def driver_count(case: Case, channel: Channel) -> int:
    """Return how many speakers share the channel without a crossover before them."""
    return len(direct_drivers(case, channel))


def unlike(case: Case, channel: Channel) -> str | None:
    """Return in what the speakers that share a channel differ: impedance or power, None where in neither.

    Raises UnknownError where one of them does not state it.
    """
    shared = direct_drivers(case, channel)
    ohms = {impedance(one) for one in shared}
    watts = {stated(one.power, (*one.path, "power")).low for one in shared}
    return " and ".join(word for word, all_of in (("impedance", ohms), ("power", watts)) if len(all_of) > 1) or None


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
