"""Builds the two graphs of a plan: components joined by wires, and the terminal-level network derived from it."""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from itertools import product

import networkx as nx

from planlint.frozen import frozen
from planlint.graph.link import BODY_HUB, Adjacent, Link, LinkKind, Vertex, wire_key
from planlint.graph.nets import Net, nets_of
from planlint.graph.users import power_vertex
from planlint.plan.kinds import Role, terminal_role
from planlint.plan.model import End, Plan, Wire
from planlint.plan.nodes import Battery, Node
from planlint.plan.runs import BlockOutput, Distribution, Relay
from planlint.plan.values import NotApplicable


@frozen
class Network:
    """The terminal-level network of a plan in one state of its changeover relays.

    `links` are by key, and `adjacent` has the same as neighbours of each vertex, for walks; `net_of` says in which part
    each vertex lies; `ends` are the vertices at which each wire ends; `devices` are the fuses and breakers, `makers` the
    vehicle maker's own wires; `users` are the nodes that take current, by their wired supply terminals; `series` are the
    pairs of batteries in series by the wire between them, the higher first.
    """

    plan: Plan
    nodes: Mapping[str, Node]
    links: Mapping[str, Link]
    adjacent: Adjacent
    nets: tuple[Net, ...]
    net_of: Mapping[Vertex, Net]
    ends: Mapping[str, tuple[Vertex, Vertex]]
    devices: tuple[Link, ...]
    makers: frozenset[str]
    series: Mapping[str, tuple[str, str]]
    roles: Mapping[Vertex, tuple[Role, ...]]
    owners: Mapping[Vertex, Node]
    wires_at: Mapping[Vertex, tuple[Wire, ...]]
    users: Mapping[Vertex, Node]

    def without(self, wires: AbstractSet[str]) -> Network:
        """Return the network with the named wires taken out."""
        if not wires:
            return self
        gone = {wire_key(name) for name in wires}
        links = {key: link for key, link in self.links.items() if key not in gone}
        return _network(self.plan, links, self.ends, self.series, self.roles, self.owners, self.wires_at)

    @property
    def graph(self) -> nx.MultiGraph[Vertex]:
        """The terminals joined by links, each link an edge under its key."""
        graph: nx.MultiGraph[Vertex] = nx.MultiGraph()
        for key, link in self.links.items():
            graph.add_edge(*link.ends, key=key, link=link)
        return graph


def components(plan: Plan) -> nx.MultiGraph[str]:
    """Return the graph of a plan's nodes joined by its wires: the plan as a person draws it."""
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from((node.name, {"node": node}) for node in plan.nodes)
    for wire in plan.wires:
        graph.add_edge(wire.from_.node, wire.to.node, key=wire.name, wire=wire)
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


# The maker's own cable leads between these, or between parts that the maker put there.
_MAKERS_ENDS = frozenset(
    {
        *("battery", "alternator", "ground-point", "bus", "distribution"),
        *("radio", "factory-amp", "factory-circuit", "control-source"),
    }
)


def laid_by_maker(nodes: Mapping[str, Node], wire: Wire) -> bool:
    """Say whether a wire is the vehicle maker's own: said to be, and not one that feeds or grounds an added part."""
    if wire.factory is not True:
        return False
    ends = (nodes[end.node] for end in wire.ends)
    return all(node.factory is True or node.kind in _MAKERS_ENDS for node in ends)


def end_vertex(nodes: dict[str, Node], end: End) -> Vertex:
    """Return the vertex at which a wire ends."""
    return vertex(nodes[end.node], end.terminal)


def block_fuse(block: Distribution, terminal: str) -> BlockOutput | None:
    """Return the output of a distribution block that bears a fuse (its rating stated or not), else None."""
    for output in block.outputs:
        if output.name == terminal:
            unfused = output.fuse is None and block.fused is False
            return None if unfused or isinstance(output.fuse, NotApplicable) else output
    if block.fused is True and terminal.startswith("out"):
        return BlockOutput(path=(*block.path, "outputs", terminal), name=terminal)
    return None


def changeover_states(plan: Plan) -> list[frozenset[str]]:
    """Return the states of the plan's changeover relays, each as the set of relays that rest (normally closed side)."""
    relays = [node.name for node in plan.nodes if isinstance(node, Relay)]
    wired = {(end.node, end.terminal) for wire in plan.wires for end in wire.ends} if relays else set()
    both = [name for name in relays if {(name, "normally-open"), (name, "normally-closed")} <= wired]
    # NOTE: eight relays give 256 states; more are judged all working and all resting.
    if len(both) > 8:
        return [frozenset(), frozenset(both)]
    return [
        frozenset(name for name, rests in zip(both, choice, strict=True) if rests)
        for choice in product((False, True), repeat=len(both))
    ]


def _only_resting(plan: Plan) -> frozenset[str]:
    if not any(isinstance(node, Relay) for node in plan.nodes):
        return frozenset()
    sides = {
        (end.node, end.terminal) for wire in plan.wires for end in wire.ends if end.terminal.startswith("normally-")
    }
    return frozenset(name for name, side in sides if side == "normally-closed" and (name, "normally-open") not in sides)


def build_network(plan: Plan, resting: frozenset[str] = frozenset()) -> Network:
    """Return the terminal network of a plan: switches and isolators closed, `resting` relays on their resting side, and so
    those of which no other side is wired."""
    resting |= _only_resting(plan)
    nodes = {node.name: node for node in plan.nodes}
    links: list[Link] = []
    roles: dict[Vertex, tuple[Role, ...]] = {}
    owners: dict[Vertex, Node] = {}
    wires_at: dict[Vertex, tuple[Wire, ...]] = {}
    wire_ends: dict[str, tuple[Vertex, Vertex]] = {}
    series = series_of(plan, nodes)
    for wire in plan.wires:
        ends = wire_ends[wire.name] = end_vertex(nodes, wire.from_), end_vertex(nodes, wire.to)
        for end, at in zip(wire.ends, ends, strict=True):
            owners[at] = nodes[end.node]
            role = terminal_role(owners[at], end.terminal)
            if role and role not in roles.get(at, ()):
                roles[at] = (*roles.get(at, ()), role)
            wires_at[at] = (*wires_at.get(at, ()), wire)
        # Two batteries in series are one source of twice the voltage: their link is no conductor of either circuit.
        if wire.name not in series:
            links.append(Link(key=wire_key(wire.name), kind=LinkKind.WIRE, name=wire.name, ends=ends, wire=wire))
    upper = {high for high, _ in series.values()}
    for node in plan.nodes:
        inner = _in_block(node, owners) if isinstance(node, Distribution) else _inside(node, resting, upper)
        for kind, name, ends, output in inner:
            links.append(Link(key=f"{kind} {name}", kind=kind, name=name, ends=ends, node=node, output=output))
            for at in ends:
                owners.setdefault(at, node)
    return _network(plan, {link.key: link for link in links}, wire_ends, series, roles, owners, wires_at)


def series_of(plan: Plan, nodes: Mapping[str, Node]) -> dict[str, tuple[str, str]]:
    """Return by wire name the batteries that a wire puts in series, the one with the higher potential first."""
    found: dict[str, tuple[str, str]] = {}
    if sum(isinstance(node, Battery) for node in plan.nodes) < 2:
        return found
    for wire in plan.wires:
        by_terminal = {end.terminal: end.node for end in wire.ends if isinstance(nodes[end.node], Battery)}
        upper, lower = by_terminal.get("negative"), by_terminal.get("positive")
        if upper and lower and upper != lower:
            found[wire.name] = (upper, lower)
    return found


def _network(
    plan: Plan,
    links: Mapping[str, Link],
    ends: Mapping[str, tuple[Vertex, Vertex]],
    series: Mapping[str, tuple[str, str]],
    roles: Mapping[Vertex, tuple[Role, ...]],
    owners: Mapping[Vertex, Node],
    wires_at: Mapping[Vertex, tuple[Wire, ...]],
) -> Network:
    adjacent: dict[Vertex, list[tuple[Vertex, Link]]] = {}
    for link in links.values():
        first, second = link.ends
        adjacent.setdefault(first, []).append((second, link))
        if first != second:
            adjacent.setdefault(second, []).append((first, link))
    nets = nets_of(adjacent)
    nodes = {node.name: node for node in plan.nodes}
    return Network(
        plan=plan,
        nodes=nodes,
        links=links,
        adjacent=adjacent,
        nets=nets,
        net_of={at: net for net in nets for at in net.vertices},
        ends=ends,
        series=series,
        makers=frozenset(wire.name for wire in plan.wires if laid_by_maker(nodes, wire)),
        devices=tuple(link for link in links.values() if link.kind is LinkKind.DEVICE),
        roles=roles,
        owners=owners,
        wires_at=wires_at,
        users={at: node for node in plan.nodes if (at := power_vertex(node)) in wires_at and at},
    )


_Inner = tuple[LinkKind, str, tuple[Vertex, Vertex], BlockOutput | None]


def _inside(node: Node, resting: frozenset[str], upper: set[str]) -> list[_Inner]:
    """Return the links inside a part, from terminal to terminal and to the body."""
    name = node.name
    if node.kind in ("fuse", "breaker"):
        return [(LinkKind.DEVICE, name, (f"{name}.line", f"{name}.load"), None)]
    if node.kind in ("switch", "isolator", "diode"):
        return [(LinkKind.CONTACT, name, (f"{name}.line", f"{name}.load"), None)]
    if isinstance(node, Relay):
        side = "normally-closed" if name in resting else "normally-open"
        return [(LinkKind.CONTACT, name, (f"{name}.common", f"{name}.{side}"), None)]
    if node.kind in ("ground-point", "alternator"):
        return _to_body(node)
    if isinstance(node, Battery) and node.role != "added" and name not in upper:
        return [(LinkKind.BODY, name, (f"{name}.negative", BODY_HUB), None)]
    return []


def _in_block(block: Distribution, owners: Mapping[Vertex, Node]) -> list[_Inner]:
    """Return the fuses of a block: those listed, and where every output is fused those of the other outputs in use."""
    name = block.name
    used = [at.partition(".")[2] for at, node in owners.items() if node is block] if block.fused is True else []
    outputs = (block_fuse(block, terminal) for terminal in dict.fromkeys([*(o.name for o in block.outputs), *used]))
    return [
        (LinkKind.DEVICE, f"{name}.{output.name}", (f"{name}.in", f"{name}.{output.name}"), output)
        for output in outputs
        if output
    ]


def _to_body(node: Node) -> list[_Inner]:
    """Return the links from a ground point through the body of its zone to the body as a whole."""
    terminal = f"{node.name}.{'case' if node.kind == 'alternator' else 'body'}"
    zone = node.zone if isinstance(node.zone, str) else ""
    body = f"the body in {zone or 'an unnamed zone'}"
    return [
        (LinkKind.GROUND_JOINT, node.name, (terminal, body), None),
        (LinkKind.BODY, body, (body, BODY_HUB), None),
    ]
