"""What a rule may ask about staying on: for how long, through a start of the engine, and by what a device wakes itself."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from planlint.facts import relay, signal, turn_on
from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.graph.link import Vertex
from planlint.graph.signals import channel_of, output_entry
from planlint.graph.turn_on import grounded, only_diodes
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Converter, Radio, RadioOutput
from planlint.plan.kinds import Role
from planlint.plan.nodes import ControlSource, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Switch
from planlint.plan.values import NotApplicable

# What goes off with the key does so at once; these may stay on, or be woken by an alarm or a door.
_RETAINED = ("radio-remote", "bus-interface")


def stays_on(case: Case, node: Node) -> float:
    """Return how long in s what the node turns on may stay on after the vehicle was left.

    Asked of a radio, of a circuit that the radio or an interface holds on, of a switch between what is always live and a
    turn-on terminal, and of a device that wakes by itself; raises UnfitError for all else, UnknownError where it is not
    stated.
    """
    if not _holds_on(case, node):
        raise UnfitError
    stated = getattr(node, "hold_time", None)
    if isinstance(stated, NotApplicable):
        raise UnfitError
    if not isinstance(stated, Quantity):
        raise UnknownError((*node.path, "hold_time"))
    return stated.high


def _holds_on(case: Case, node: Node) -> bool:
    if isinstance(node, Switch):
        return bool(_switched_by(case, node))
    if isinstance(node, Radio):
        return bool(turn_on.turns_on(case, node))
    if isinstance(node, ControlSource):
        return node.circuit in _RETAINED and bool(turn_on.turns_on(case, node))
    return isinstance(node, (Amp, Converter)) and wakes_by_itself(case, node)


def _switched_by(case: Case, node: Switch) -> tuple[Node, ...]:
    """Return the parts that a switch alone keeps from being on for ever."""
    here, state = turn_on.leads(case), turn_on.asleep(case)
    ends = [at for at in (f"{node.name}.line", f"{node.name}.load") if at in state.live]
    others = [at for at in (f"{node.name}.line", f"{node.name}.load") if at not in state.live]
    beyond = state.reach(others) if ends and others else {}
    return tuple(
        owner for at, owner in here.inputs.items() if at in beyond or (at in state.live and _grounds(case, node, owner))
    )


def _grounds(case: Case, switch: Switch, coil: Node) -> bool:
    """Say whether a switch on the ground side of a relay's coil alone keeps it from being on for ever."""
    here, state = turn_on.leads(case), turn_on.asleep(case)
    if coil.kind != "relay" or coil.name in state.energised:
        return False
    return grounded(here, coil, lambda link: only_diodes(link) or link.name == switch.name)


def wakes_by_itself(case: Case, node: Node) -> bool:
    """Say whether an added device senses its input and no lead turns it on."""
    senses = getattr(node, "sense", None) in ("dc", "signal")
    return senses and node.factory is not True and not turn_on.turn_on_sources(case, node)


def survives_start(case: Case, node: Node) -> bool:
    """Say whether what a circuit of the vehicle turns on stays on while the engine starts: it does itself, or all those
    parts hold up or are turned on by another that stays.

    Raises UnfitError for what is no such circuit, UnknownError where neither is stated.
    """
    if not isinstance(node, ControlSource):
        raise UnfitError
    return value_of(node, "in_crank", "in_crank") is True or all(
        _stays_through(case, node, one) for one in turn_on.turns_on(case, node)
    )


def _stays_through(case: Case, source: Node, driven: Node) -> bool:
    """Say whether what a circuit turns on stays on when that circuit goes off in a start: another one that stays on turns it
    on too, or it holds up; a relay where all that its contacts turn on does so, and they supply nothing."""
    others = (one for one in turn_on.turn_on_sources(case, driven) if one is not source)
    if any(getattr(one, "in_crank", None) is True for one in others):
        return True
    if driven.kind != "relay":
        return getattr(driven, "holds_up", None) is True
    woken, supplied = relay.switched(case, driven)
    return bool(woken) and not supplied and all(getattr(one, "holds_up", None) is True for one in woken)


def sensed_volts(case: Case, node: Node) -> float:
    """Return the least steady voltage in V of the outputs at the inputs of a device that wakes by it; a line output has none
    unless the plan states one.

    Raises UnfitError for other devices and where no output is wired to its inputs, UnknownError where it is not stated.
    """
    if getattr(node, "sense", None) != "dc" or not wakes_by_itself(case, node):
        raise UnfitError
    return min(_told(case, node, _steady))


def sensed_signal(case: Case, node: Node) -> float:
    """Return the largest signal in V (RMS) that reaches a device which wakes by it. Raises as `sensed_volts` does."""
    if getattr(node, "sense", None) != "signal" or not wakes_by_itself(case, node):
        raise UnfitError
    return max(_told(case, node, lambda case, at: signal.output_level(case, at, upper=False)))


def sensed_outputs(case: Case, node: Node) -> tuple[RadioOutput, ...]:
    """Return the outputs of radios, as far as they are told of, at the inputs of a device that wakes by itself."""
    if not wakes_by_itself(case, node):
        return ()
    entries = (_entry(case, at) for at in signal.sources_of(case, node))
    found = {entry.path: entry for entry in entries if entry}
    return tuple(found[path] for path in sorted(found))


def _told(case: Case, node: Node, volts: Callable[[Case, Vertex], float]) -> list[float]:
    found = []
    for at in signal.sources_of(case, node):
        with suppress(UnfitError):
            found.append(volts(case, at))
    if not found:
        raise UnfitError
    return found


def _steady(case: Case, at: Vertex) -> float:
    """Return the steady voltage in V of an output. Raises UnknownError where a speaker output does not state it."""
    owner, entry = case.layout.network.owners[at], _entry(case, at)
    if entry and entry.dc is not None:
        return float(value_of(entry, "dc", "dc", upper=False))
    if Role.LINE in case.layout.network.roles[at]:
        return 0.0
    if not isinstance(owner, Radio):
        raise UnfitError
    raise UnknownError((*owner.path, "outputs", entry.name if entry else channel_of(at), "dc"))


def _entry(case: Case, at: Vertex) -> RadioOutput | None:
    owner = case.layout.network.owners[at]
    return output_entry(owner, channel_of(at)) if isinstance(owner, Radio) else None
