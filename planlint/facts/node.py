"""What a rule may ask about any node."""

from __future__ import annotations

from planlint.facts import wiring
from planlint.facts.case import Case
from planlint.facts.demand import power_vertex
from planlint.graph.nets import Net
from planlint.graph.network import vertex
from planlint.plan.kinds import KINDS, Role
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node


def open_terminals(case: Case, node: Node) -> str | None:
    """Return the terminals that should be wired and are not, None where all are; `any terminal` where none is."""
    wired = _wired(case)
    if node.name not in wired:
        return "any terminal"
    missing = [name for name in _required(case, node) if vertex(node, name) not in wired[node.name]]
    return " and ".join(missing) or None


def _required(case: Case, node: Node) -> tuple[str, ...]:
    """Return the terminals that must be wired; the vehicle maker grounds the main battery, and nobody an added one."""
    added = isinstance(node, Battery) and node.role == "added"
    return (*KINDS[node.kind].required, *(("negative",) if added else ()))


def fed(case: Case, node: Node) -> bool:
    """Say whether a source of the plan reaches the node's supply terminal; true of nodes that have none, or none wired."""
    here = wiring.network(case)
    power = power_vertex(node)
    if power is None or power not in here.wires_at or power not in here.net_of:
        return True
    return here.net_of[power] in case.once("fed nets", lambda: _fed_nets(case))


def _fed_nets(case: Case) -> set[Net]:
    """Return the parts of the network in which a source stands."""
    here = wiring.network(case)
    giving = {Role.SOURCE, Role.TURN_ON_SOURCE}
    return {here.net_of[at] for at, roles in here.roles.items() if at in here.net_of and giving.intersection(roles)}


def _wired(case: Case) -> dict[str, set[str]]:
    """Return by node name the vertices at which a wire ends, wires in conflict included: they are told once."""
    return case.once("wired", lambda: _wired_in(case))


def _wired_in(case: Case) -> dict[str, set[str]]:
    drawn = wiring.drawn_network(case)
    found: dict[str, set[str]] = {}
    for at in drawn.wires_at:
        found.setdefault(drawn.owners[at].name, set()).add(at)
    return found


def wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the wires that end at the node."""
    return tuple(wire for wire in case.plan.wires if any(end.node == node.name for end in wire.ends))


def wire_count(case: Case, node: Node) -> int:
    """Return how many wires end at the node."""
    return len(wires(case, node))
