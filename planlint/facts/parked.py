"""What a rule may ask about a parked vehicle: what it and the added devices draw while all is off."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import turn_on
from planlint.facts.case import Case
from planlint.graph.link import Link, Vertex
from planlint.graph.turn_on import Parked
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.users import power_vertex
from planlint.plan.nodes import Capacitor, Load, Node
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
    on = case.once("turned on while parked", lambda: _turned_on(case))
    resting = case.total("resting", devices, lambda node: _rest(case, node, on=node.name in on))
    return resting + case.once("coils while parked", lambda: _coil_draws(case))


def _turned_on(case: Case) -> frozenset[str]:
    live = turn_on.asleep(case).live
    return frozenset(node.name for at, node in turn_on.leads(case).inputs.items() if at in live)


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
    return tuple(case.nodes[name] for name in sorted(names) if permanently_on(case, case.nodes[name]))


def permanently_on(case: Case, node: Node) -> tuple[Node, ...]:
    """Return the parts that the node keeps turned on in a parked vehicle, with every switch off.

    Raises UnknownError where nobody knows whether the node is always live.
    """
    live = turn_on.always_live(node)
    if live is None and turn_on.turns_on(case, node):
        raise UnknownError((*node.path, "circuit"))
    if not live:
        return ()
    found = turn_on.inputs_of(case, _held_by(case, turn_on.source_vertices(case, node)), node)
    return tuple(one for one in found if _stays_on(case, one))


def _held_by(case: Case, starts: tuple[Vertex, ...]) -> dict[Vertex, Link | None]:
    """Return what terminals hold live in a parked vehicle: of what comes to them through a relay that another source
    keeps closed nothing, but all that is live only through the relays whose coils they hold."""
    state = turn_on.asleep(case)
    held = state.energised - _self_held(case)
    found = state.reach(starts, but=held)
    ahead = [name for name in sorted(held) if f"{name}.coil-positive" in found]
    for name in ahead:
        without = state.reach(turn_on.constants(case), but={name})
        found |= {at: None for at in state.live if at not in without and at not in found}
        ahead += [one for one in sorted(held) if one not in ahead and f"{one}.coil-positive" in found]
    return found


def _self_held(case: Case) -> frozenset[str]:
    """Return the relays whose coils only their own contacts hold in a parked vehicle."""
    return case.once("relays that hold themselves", lambda: _find_self_held(case))


def _find_self_held(case: Case) -> frozenset[str]:
    state, starts = turn_on.asleep(case), turn_on.constants(case)
    return frozenset(name for name in state.energised if f"{name}.coil-positive" not in state.reach(starts, but={name}))


def _stays_on(case: Case, node: Node) -> bool:
    """Say whether a part with a voltage at its turn-on terminal is on in a parked vehicle: a relay whose coil is grounded, a
    device whose supply may be live."""
    state = turn_on.asleep(case)
    if node.kind == "relay":
        return node.name in state.energised
    power = power_vertex(node)
    if power not in turn_on.leads(case).network.wires_at:
        return True
    return power in state.live or power in state.reach(turn_on.undecided(case))


def left_on(case: Case, node: Node) -> str:
    """Return the names of the parts that the node keeps turned on in a parked vehicle."""
    return " and ".join(one.name for one in permanently_on(case, node))


def _counts(node: Node) -> bool:
    return node.factory is not True and not isinstance(node, Capacitor) and node.kind not in ("radio", "factory-amp")


def _rest(case: Case, node: Node, *, on: bool) -> float:
    """Return what a device draws in a parked vehicle in A: where it stays on without music, as far as that is stated."""
    idle = getattr(node, "idle", None)
    return idle.high if on and isinstance(idle, Quantity) else standby(case, node)


def standby(case: Case, node: Node) -> float:
    """Return what a device draws while it rests in A; where it is not stated what the trade takes of electronics.

    Raises UnknownError for a motor, a heater or a lamp: nobody knows what switches it off.
    """
    stated = getattr(node, "standby", None)
    if stated is None and isinstance(node, Load) and node.type in ("motor", "heater", "lamp"):
        raise UnknownError((*node.path, "standby"))
    if isinstance(stated, Quantity):
        return stated.high
    return 0.0 if isinstance(stated, NotApplicable) else float(case.assume("standby_draw", node.name))


def parked_draw(case: Case, vehicle: Vehicle) -> float:
    """Return what the parked vehicle and the added devices draw together in A; of the vehicle nothing where it is not
    stated."""
    own = vehicle.key_off_draw
    return added_parked_draw(case, vehicle) + (own.high if isinstance(own, Quantity) else 0.0)
