"""Networks of small plans written as tables, for the tests of this room."""

from __future__ import annotations

from typing import Any

from planlint.graph.network import Network, build_network
from planlint.plan.build import build
from planlint.plan.model import Plan


def plan_of(nodes: dict[str, str | dict[str, Any]], wires: list[str]) -> Plan:
    """A plan of nodes (a kind, or all its fields) and wires written as `name: from > to, length`; the length may miss.

    A wire whose name ends in `*` is the vehicle maker's.
    """
    data: dict[str, Any] = {"plan": 1, "nodes": {}, "wires": {}}
    for name, node in nodes.items():
        data["nodes"][name] = {"kind": node} if isinstance(node, str) else node
    for line in wires:
        name, _, rest = line.partition(": ")
        ends, _, length = rest.partition(", ")
        start, _, end = ends.partition(" > ")
        wire = {"from": start, "to": end, **({"length": length} if length else {})}
        data["wires"][name.rstrip("*")] = {**wire, **({"factory": True} if name.endswith("*") else {})}
    building = build(data)
    assert building.faults == (), building.faults
    return building.plan


def network_of(nodes: dict[str, str | dict[str, Any]], wires: list[str]) -> Network:
    """The network of such a plan."""
    return build_network(plan_of(nodes, wires))
