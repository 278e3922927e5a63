"""The supply and ground terminals of the parts that take current."""

from __future__ import annotations

from functools import cache

from planlint.graph.link import Vertex
from planlint.plan.kinds import KINDS, Role
from planlint.plan.nodes import Node


def power_vertex(node: Node) -> Vertex | None:
    """Return the supply terminal of a node as a vertex, None for a kind that has none."""
    terminal = _terminals(node.kind)[0]
    return None if terminal is None else f"{node.name}.{terminal}"


def ground_vertex(node: Node) -> Vertex | None:
    """Return the ground terminal of a node as a vertex, None for a kind that has none."""
    terminal = _terminals(node.kind)[1]
    return None if terminal is None else f"{node.name}.{terminal}"


@cache
def _terminals(kind: str) -> tuple[str | None, str | None]:
    """Return the supply and the ground terminal of a kind of node."""
    by_role = {role: name for name, role in reversed(KINDS[kind].terminals)}
    return by_role.get(Role.POWER), by_role.get(Role.RETURN)
