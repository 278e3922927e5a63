"""What a rule may ask about staying on: for how long, through a start of the engine, and by what a device wakes itself."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import turn_on
from planlint.facts.case import Case
from planlint.graph.link import LinkKind
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


def _grounds(case: Case, switch: Switch, relay: Node) -> bool:
    """Say whether a switch on the ground side of a relay's coil alone keeps it from being on for ever."""
    here, state = turn_on.leads(case), turn_on.asleep(case)
    if relay.kind != "relay" or relay.name in state.energised:
        return False
    return grounded(here, relay, lambda link: only_diodes(link) or link.name == switch.name)


def wakes_by_itself(case: Case, node: Node) -> bool:
    """Say whether an added device senses its input and no lead turns it on."""
    senses = getattr(node, "sense", None) in ("dc", "signal")
    return senses and node.factory is not True and not turn_on.turn_on_sources(case, node)


def survives_start(case: Case, node: Node) -> bool:
    """Say whether what a circuit of the vehicle turns on stays on while the engine starts: it does itself, or all those
    parts hold up. Raises UnfitError for what is no such circuit, UnknownError where neither is stated.
    """
    if not isinstance(node, ControlSource):
        raise UnfitError
    if node.in_crank is None:
        raise UnknownError((*node.path, "in_crank"))
    driven = turn_on.turns_on(case, node)
    return node.in_crank is True or all(getattr(one, "holds_up", None) is True for one in driven)


def sensed_volts(case: Case, node: Node) -> float:
    """Return the steady voltage in V that a device senses which wakes by it: the least of the radio's outputs at its inputs.

    Raises UnfitError for other devices, and where its inputs come from no output of a radio or of the maker's amplifier;
    UnknownError where the plan does not state it.
    """
    if getattr(node, "sense", None) != "dc" or not wakes_by_itself(case, node):
        raise UnfitError
    return min(_told(case, node, "dc"))


def sensed_signal(case: Case, node: Node) -> float:
    """Return the largest signal in V (RMS) that reaches a device which wakes by the signal: of the radio's outputs at its
    inputs. Raises as `sensed_volts` does.
    """
    if getattr(node, "sense", None) != "signal" or not wakes_by_itself(case, node):
        raise UnfitError
    return max(_told(case, node, "highest"))


def sensed_outputs(case: Case, node: Node) -> tuple[RadioOutput, ...]:
    """Return the outputs of radios at the inputs of a device that wakes by itself."""
    return tuple(sorted(_outputs_at(case, node), key=lambda one: one.path)) if wakes_by_itself(case, node) else ()


def _told(case: Case, node: Node, field: str) -> list[float]:
    found = []
    for output in sensed_outputs(case, node):
        stated = getattr(output, field)
        if not isinstance(stated, Quantity):
            raise UnknownError((*output.path, field))
        found.append(stated.low)
    if not found:
        raise UnfitError
    return found


def _outputs_at(case: Case, node: Node) -> Iterator[RadioOutput]:
    """Yield the outputs of radios whose terminals are joined by wire to the device's inputs, as far as they are told of."""
    here = case.layout.network
    front = [at for at in here.roles if at.startswith(f"{node.name}.input")]
    seen = set(front)
    for at in front:
        for other, link in here.adjacent.get(at, ()):
            if link.kind is LinkKind.WIRE and other not in seen:
                seen.add(other)
                front.append(other)
    names = {at for at in seen if not {Role.RADIO_SPEAKER, Role.LINE}.isdisjoint(here.roles.get(at, ()))}
    for at in sorted(names):
        owner = here.owners[at]
        terminal = at.removeprefix(f"{owner.name}.")
        for output in owner.outputs if isinstance(owner, Radio) else ():
            if terminal == output.name or terminal.startswith(f"{output.name}-"):
                yield output
