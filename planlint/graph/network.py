"""Builds the two graphs of a plan: components joined by wires, and the terminal-level network derived from it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from itertools import product

import networkx as nx

from planlint.plan.kinds import Role, terminal_role
from planlint.plan.model import End, Plan, Wire
from planlint.plan.nodes import Battery, BlockOutput, Distribution, Node, Relay
from planlint.plan.quantity import Quantity
from planlint.plan.values import NotApplicable

Vertex = str
BODY_HUB: Vertex = "the vehicle body"


class LinkKind(Enum):
    """What joins two vertices of the terminal network."""

    WIRE = "wire"
    DEVICE = "fuse or breaker"
    CONTACT = "contact"
    GROUND_JOINT = "joint to the body"
    BODY = "body"


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One conducting element between two terminals."""

    kind: LinkKind
    name: str
    ends: tuple[Vertex, Vertex]
    wire: Wire | None = None
    node: Node | None = None
    output: BlockOutput | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """The terminal-level network of a plan in one state of its changeover relays."""

    plan: Plan
    nodes: dict[str, Node]
    graph: nx.MultiGraph[Vertex]
    roles: dict[Vertex, tuple[Role, ...]]
    owners: dict[Vertex, Node]
    wires_at: dict[Vertex, tuple[Wire, ...]]

    def without(self, wires: set[str]) -> Network:
        """Return the network with the named wires taken out."""
        graph = self.graph.copy()
        graph.remove_edges_from(
            [edge for edge in graph.edges(keys=True) if edge[2] in {f"wire {w}" for w in wires}]
        )
        return Network(
            plan=self.plan,
            nodes=self.nodes,
            graph=graph,
            roles=self.roles,
            owners=self.owners,
            wires_at=self.wires_at,
        )


def components(plan: Plan) -> nx.MultiGraph[str]:
    """Return the graph of a plan's nodes joined by its wires: the plan as a person draws it."""
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from((node.name, {"node": node}) for node in plan.nodes)
    graph.add_edges_from((wire.from_.node, wire.to.node, wire.name, {"wire": wire}) for wire in plan.wires)
    return graph


def vertex(node: Node, terminal: str) -> Vertex:
    """Return the vertex of a terminal; terminals that a part joins inside without a fuse share one."""
    if isinstance(node, Distribution):
        return f"{node.name}.{terminal}" if block_fuse(node, terminal) else f"{node.name}.in"
    if node.kind == "tap":
        return f"{node.name}.{terminal.removeprefix('out-')}"
    if node.kind == "body-bond":
        return f"{node.name}.a"
    return f"{node.name}.{terminal}"


def end_vertex(nodes: dict[str, Node], end: End) -> Vertex:
    """Return the vertex at which a wire ends."""
    return vertex(nodes[end.node], end.terminal)


def block_fuse(block: Distribution, terminal: str) -> BlockOutput | None:
    """Return the output of a distribution block that bears a fuse (its rating stated or not), else None."""
    for output in block.outputs:
        if output.name == terminal and not isinstance(output.fuse, NotApplicable):
            return output
    return None


def changeover_states(plan: Plan) -> list[frozenset[str]]:
    """Return the states of the plan's changeover relays, each as the set of relays that rest (normally closed side)."""
    wired = {(end.node, end.terminal) for wire in plan.wires for end in wire.ends}
    both = [
        node.name
        for node in plan.nodes
        if isinstance(node, Relay) and {(node.name, "normally-open"), (node.name, "normally-closed")} <= wired
    ]
    # NOTE: eight relays give 256 states; more are judged all working and all resting.
    if len(both) > 8:
        return [frozenset(), frozenset(both)]
    return [
        frozenset(name for name, rests in zip(both, choice, strict=True) if rests)
        for choice in product((False, True), repeat=len(both))
    ]


def build_network(plan: Plan, resting: frozenset[str] = frozenset()) -> Network:
    """Return the terminal network of a plan; switches and isolators are closed, `resting` relays stand on their resting side."""
    nodes = {node.name: node for node in plan.nodes}
    graph: nx.MultiGraph[Vertex] = nx.MultiGraph()
    roles: dict[Vertex, list[Role]] = {}
    owners: dict[Vertex, Node] = {}
    wires_at: dict[Vertex, list[Wire]] = {}
    for wire in plan.wires:
        ends = tuple(end_vertex(nodes, end) for end in wire.ends)
        for end, at in zip(wire.ends, ends, strict=True):
            node = nodes[end.node]
            owners[at] = node
            role = terminal_role(node, end.terminal)
            if role and role not in roles.setdefault(at, []):
                roles[at].append(role)
            wires_at.setdefault(at, []).append(wire)
        _add(graph, Link(kind=LinkKind.WIRE, name=wire.name, ends=(ends[0], ends[1]), wire=wire))
    for node in plan.nodes:
        for link in _inside(node, resting):
            _add(graph, link)
            for at in link.ends:
                owners.setdefault(at, node)
    return Network(
        plan=plan,
        nodes=nodes,
        graph=graph,
        roles={at: tuple(found) for at, found in roles.items()},
        owners=owners,
        wires_at={at: tuple(found) for at, found in wires_at.items()},
    )


def _add(graph: nx.MultiGraph[Vertex], link: Link) -> None:
    graph.add_edge(*link.ends, key=f"{link.kind.value} {link.name}", link=link)


def _inside(node: Node, resting: frozenset[str]) -> list[Link]:
    """Return the links inside a part, from terminal to terminal and to the body."""
    name = node.name
    if node.kind in ("fuse", "breaker"):
        return [Link(kind=LinkKind.DEVICE, name=name, ends=(f"{name}.line", f"{name}.load"), node=node)]
    if node.kind in ("switch", "isolator"):
        return [Link(kind=LinkKind.CONTACT, name=name, ends=(f"{name}.line", f"{name}.load"), node=node)]
    if isinstance(node, Relay):
        side = "normally-closed" if name in resting else "normally-open"
        return [Link(kind=LinkKind.CONTACT, name=name, ends=(f"{name}.common", f"{name}.{side}"), node=node)]
    if isinstance(node, Distribution):
        return [
            Link(
                kind=LinkKind.DEVICE,
                name=f"{name}.{output.name}",
                ends=(f"{name}.in", f"{name}.{output.name}"),
                node=node,
                output=output,
            )
            for output in node.outputs
            if block_fuse(node, output.name)
        ]
    if node.kind in ("ground-point", "alternator"):
        return _to_body(node)
    if isinstance(node, Battery) and node.role != "added":
        return [Link(kind=LinkKind.BODY, name=name, ends=(f"{name}.negative", BODY_HUB), node=node)]
    return []


def _to_body(node: Node) -> list[Link]:
    """Return the links from a ground point through the body of its zone to the body as a whole."""
    terminal = f"{node.name}.{'case' if node.kind == 'alternator' else 'body'}"
    zone = node.zone if isinstance(node.zone, str) else ""
    body = f"the body in {zone or 'an unnamed zone'}"
    return [
        Link(kind=LinkKind.GROUND_JOINT, name=node.name, ends=(terminal, body), node=node),
        Link(kind=LinkKind.BODY, name=body, ends=(body, BODY_HUB)),
    ]


def rating_of(link: Link) -> Quantity | None:
    """Return the rating of a fuse or breaker as stated, or None where it is not."""
    stated = link.output.fuse if link.output else getattr(link.node, "rating", None)
    return stated if isinstance(stated, Quantity) else None
