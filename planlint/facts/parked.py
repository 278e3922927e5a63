"""What a rule may ask about a parked vehicle: what it and the added devices draw while all is off."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import turn_on
from planlint.facts.case import Case
from planlint.graph.turn_on import Parked
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.nodes import Capacitor, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Contacts
from planlint.plan.values import NotApplicable
from planlint.plan.vehicle import Vehicle


def added_parked_draw(case: Case, _vehicle: Vehicle) -> float:
    """Return what the added devices draw from the batteries of a parked vehicle in A, each as it rests; of coils that stay
    energised what they draw. Relays without current in their coils are open, switches as they were left: closed.

    Raises UnfitError where the plan adds none, UnknownError naming what is missing.
    """
    return case.once("added parked draw", lambda: _added_parked_draw(case))


def _added_parked_draw(case: Case) -> float:
    # Which are live the drawing and the circuits decide, whatever is assumed of their currents.
    devices = case.once("live while parked", lambda: _live_devices(case))
    on = {node.name for at, node in turn_on.leads(case).inputs.items() if at in turn_on.asleep(case).live}
    return sum(_rest(case, node, on=node.name in on) for node in devices) + case.once("coils while parked", lambda: _coil_draws(case))


def _coil_draws(case: Case) -> float:
    return sum(turn_on.coil_draw(case, one) for one in _coils(case, turn_on.asleep(case)))


def _live_devices(case: Case) -> tuple[Node, ...]:
    """Return the added devices that a parked vehicle supplies. Raises UnfitError where the plan adds none,
    UnknownError where nobody knows of the circuit."""
    here = case.layout.network
    if not any(_counts(node) for node in here.users.values()):
        raise UnfitError
    state = turn_on.asleep(case)
    added = [(at, node) for at, node in sorted(here.users.items()) if _counts(node)]
    live = state.reach(turn_on.constants(case), switches=True)
    for one in turn_on.undecided(case):
        maybe = state.reach([one], switches=True)
        if any(at in maybe and at not in live for at, _ in added):
            raise UnknownError((*here.owners[one].path, "circuit"))
    return tuple(node for at, node in added if at in live)


def _coils(case: Case, state: Parked) -> Iterator[Contacts]:
    """Yield the added relays and isolators whose coils have current in a parked vehicle."""
    for at, node in sorted(turn_on.leads(case).inputs.items()):
        on = node.name in state.energised if node.kind == "relay" else at in state.live
        if on and isinstance(node, Contacts) and node.factory is not True:
            yield node


def kept_on_by(case: Case, _vehicle: Vehicle) -> tuple[Node, ...]:
    """Return what keeps a part turned on in a parked vehicle."""
    names = {turn_on.leads(case).network.owners[at].name for at in turn_on.constants(case)}
    return tuple(case.nodes[name] for name in sorted(names) if turn_on.permanently_on(case, case.nodes[name]))


def _counts(node: Node) -> bool:
    return node.factory is not True and not isinstance(node, Capacitor) and node.kind not in ("radio", "factory-amp")


def _rest(case: Case, node: Node, *, on: bool) -> float:
    """Return what a device draws in a parked vehicle in A: where it stays on without music, as far as that is stated."""
    idle = getattr(node, "idle", None)
    return idle.high if on and isinstance(idle, Quantity) else standby(case, node)


def standby(case: Case, node: Node) -> float:
    """Return what a device draws while it rests in A; where it is not stated what the trade takes."""
    stated = getattr(node, "standby", None)
    if isinstance(stated, Quantity):
        return stated.high
    return 0.0 if isinstance(stated, NotApplicable) else float(case.assume("standby_draw", node.name))


def parked_draw(case: Case, vehicle: Vehicle) -> float:
    """Return what the parked vehicle and the added devices draw together in A; of the vehicle nothing where it is not
    stated."""
    own = vehicle.key_off_draw
    return added_parked_draw(case, vehicle) + (own.high if isinstance(own, Quantity) else 0.0)
