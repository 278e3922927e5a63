"""What a rule may ask about the vehicle's own audio as it was found, and about what the job changes of it."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.facts.signal_tap import tapped
from planlint.graph.signals import channel_of, output_entry
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Radio, Tap
from planlint.plan.kinds import Role
from planlint.plan.nodes import Node
from planlint.plan.vehicle import Vehicle
from planlint.trade.approvals import regulation_10_applies


def takes_factory_signal(case: Case, _vehicle: Vehicle) -> bool:
    """Say whether an added part takes its signal from an output of the vehicle's own."""
    return case.once("takes factory signal", lambda: bool(_levels_taken(case)))


def _levels_taken(case: Case) -> set[Role]:
    """Return at which levels added parts take the vehicle's signal: line or speaker."""
    signals, here = case.layout.signals, case.layout.network
    found: set[Role] = set()
    for name in sorted(signals.inputs):
        if not isinstance(case.nodes[name], Radio):
            joined = (signals.joined[at] for at in signals.inputs[name])
            outputs = (at for one in joined for at in one.outputs if isinstance(here.owners[at], Radio))
            found |= {role for at in outputs for role in here.roles[at]}
    taps = any(node.kind == "tap" and node.name in case.layout.wired for node in case.plan.nodes)
    return found | {Role.RADIO_SPEAKER} if taps else found


def factory_amp_told(case: Case, vehicle: Vehicle) -> str:
    """Return whether the vehicle has an amplifier of its own: none, present, or unknown where speaker wiring is tapped and
    nobody says.

    Raises UnknownError where nobody says and only a line output is used.
    """
    if isinstance(vehicle.factory_amp, str):
        return vehicle.factory_amp
    if any(node.kind == "factory-amp" for node in case.plan.nodes):
        return "present"
    if vehicle.factory_amp is not None:
        raise UnfitError
    if Role.RADIO_SPEAKER in case.once("levels taken", lambda: _levels_taken(case)):
        return "unknown"
    raise UnknownError(("vehicle", "factory_amp"))


def cancels_noise(case: Case, vehicle: Vehicle) -> bool:
    """Say whether the vehicle cancels noise by its speakers. Raises UnfitError where nobody says and no factory audio is
    drawn, UnknownError where it is drawn."""
    if isinstance(vehicle.noise_cancelling, str):
        return vehicle.noise_cancelling == "present"
    if vehicle.noise_cancelling is not None or not any(isinstance(node, Radio) for node in case.plan.nodes):
        raise UnfitError
    raise UnknownError(("vehicle", "noise_cancelling"))


def adds_amplifier(case: Case, _vehicle: Vehicle) -> bool:
    """Say whether an amplifier is added, so that more or other bass plays in the vehicle."""
    return any(isinstance(node, Amp) and node.factory is not True for node in case.plan.nodes)


def audio_link(case: Case, node: Node) -> str | None:
    """Return the data bus that carries the sound away from a radio whose speaker wires are tapped, None where none does.

    Raises UnknownError where that is not stated, UnfitError where no speaker output is tapped.
    """
    if not tapped_at_radio(case, node):
        raise UnfitError
    channels = [channel_of(at) for at in tapped(case, node)]
    entries = [output_entry(node, channel) for channel in channels if isinstance(node, Radio)]
    if any(entry and entry.type == "bus" for entry in entries):
        return "data bus"
    vehicle = case.plan.vehicle
    if isinstance(vehicle.audio_bus, str):
        return None if vehicle.audio_bus == "none" else vehicle.audio_bus
    if vehicle.audio_bus is not None or vehicle.factory_amp == "none":
        return None
    raise UnknownError(("vehicle", "audio_bus"))


def tapped_at_radio(case: Case, node: Node) -> bool:
    """Say whether a radio's speaker outputs are tapped, or a tap is at the plug of a radio that nobody drew."""
    if not isinstance(node, Tap):
        return bool(tapped(case, node))
    joined = case.layout.signals.joined
    mine = [joined[at] for at in (f"{node.name}.positive", f"{node.name}.negative") if at in joined]
    return node.place == "radio-plug" and bool(mine) and not any(one.outputs for one in mine)


def approval_asked(case: Case, node: Node) -> bool:
    """Say whether UN Regulation 10 applies to what is fitted where the vehicle is registered.

    Raises UnknownError where its region is not stated, or is none that the trade's table knows.
    """
    applies = regulation_10_applies(region(case, node))
    if applies is None:
        raise UnknownError(("vehicle", "region"))
    return applies


def region(case: Case, _node: Node) -> str:
    """Return where the vehicle is registered."""
    return str(value_of(case.plan.vehicle, "region", "region"))
