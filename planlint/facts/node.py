"""What a rule may ask about any node."""

from __future__ import annotations

import re

from planlint.facts import turn_on, wiring
from planlint.facts.case import Case
from planlint.graph.link import Vertex
from planlint.graph.network import vertex
from planlint.graph.users import power_vertex
from planlint.plan.audio import Converter, Speaker
from planlint.plan.kinds import KINDS
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node

_OTHER = re.compile("(?:positive|negative)$")


def open_terminals(case: Case, node: Node) -> str | None:
    """Return the terminals that should be wired and are not, None where all are; `any terminal` where none is."""
    wired = case.layout.wired
    if node.name not in wired:
        return "any terminal" if KINDS[node.kind].terminals else None
    missing = [name for name in _required(case, node) if vertex(node, name) not in wired[node.name]]
    if isinstance(node, Speaker):
        missing += _half_wired(node, wired[node.name])
    return " and ".join(missing) or None


def _half_wired(node: Speaker, wired: set[Vertex]) -> list[str]:
    """Return the terminals of a speaker's coils of which only the other one is wired."""
    poles = [at.removeprefix(f"{node.name}.") for at in sorted(wired)]
    others = (_OTHER.sub(lambda match: "negative" if match[0] == "positive" else "positive", pole) for pole in poles)
    return [other for other in others if other not in poles]


def _required(case: Case, node: Node) -> tuple[str, ...]:
    """Return the terminals that must be wired; the vehicle maker grounds the main battery, and nobody an added one. A
    converter that works without a supply needs none."""
    if isinstance(node, Converter) and node.type == "passive":
        return ()
    added = isinstance(node, Battery) and node.role == "added"
    return (*KINDS[node.kind].required, *(("negative",) if added else ()))


def fed(case: Case, node: Node) -> bool:
    """Say whether a source of the plan reaches the node's supply terminal, on either side of a changeover relay; true of
    nodes that have none, or none wired."""
    here = case.layout.network
    power = power_vertex(node)
    if power is None or power not in here.wires_at or power not in here.net_of:
        return True
    return here.net_of[power] in case.layout.fed_nets or power in turn_on.reached(case)


def wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the wires that end at the node."""
    return case.once("wires by node", lambda: _wires_by_node(case)).get(node.name, ())


def _wires_by_node(case: Case) -> dict[str, tuple[Wire, ...]]:
    found: dict[str, list[Wire]] = {}
    for wire in case.plan.wires:
        for name in dict.fromkeys(end.node for end in wire.ends):
            found.setdefault(name, []).append(wire)
    return {name: tuple(wires) for name, wires in found.items()}


def ungrounded_users(case: Case, node: Node) -> tuple[Node, ...]:
    """Return, of a ground point or bar at which no wire ends, the users of current from which no wire leads home."""
    if node.kind not in ("ground-point", "bus") or wires(case, node):
        return ()
    return case.once("users without a way home", lambda: _without_way_home(case))


def _without_way_home(case: Case) -> tuple[Node, ...]:
    lacking = (case.nodes[one.name] for one in wiring.all_demands(case) if not wiring.leads_home(case, one))
    return tuple(sorted(lacking, key=lambda user: user.name))


def wire_count(case: Case, node: Node) -> int:
    """Return how many wires end at the node."""
    return len(wires(case, node))
