"""Computes what limits the current in ground wires: what can flow into them through the users they serve, as shorts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import networkx as nx

from planlint.graph.network import Link, LinkKind, Network, Vertex
from planlint.graph.protection import UNLIMITED
from planlint.plan.kinds import Role


def return_inflows(
    network: Network,
    sources: Mapping[Vertex, int],
    ratings: Mapping[str, int],
    into_users: Mapping[Vertex, int],
) -> dict[str, tuple[int, int]]:
    """Return for every ground wire the current in mA that can flow into each end from users beyond it.

    An end counts only where the wire's other end leads home to a battery's negative. A wire that serves one user bears
    what can flow into that user; one that serves several bears their maximum flow together.
    """
    users = _users(network)
    ends: dict[str, tuple[int, int]] = {}
    for net in nx.connected_components(network.graph):
        served = {at: power for at, power in users.items() if at in net and power in into_users}
        if served and any(_is_home(network, at) for at in net):
            ends.update(_net_inflows(network, frozenset(net), served, (sources, ratings, into_users)))
    return ends


_Given = tuple[Mapping[Vertex, int], Mapping[str, int], Mapping[Vertex, int]]


def _users(network: Network) -> dict[Vertex, Vertex]:
    """Return the supply vertex of every user by its ground vertex."""
    pairs = {}
    for at, roles in network.roles.items():
        if Role.RETURN in roles:
            name = network.owners[at].name
            power = next(
                (f"{name}.{t}" for t in ("power", "input", "positive") if _is_power(network, f"{name}.{t}")),
                None,
            )
            if power:
                pairs[at] = power
    return pairs


def _is_power(network: Network, at: Vertex) -> bool:
    return Role.POWER in network.roles.get(at, ())


def _is_home(network: Network, at: Vertex) -> bool:
    return at.endswith(".negative") and network.owners[at].kind == "battery"


def _net_inflows(
    network: Network, net: frozenset[Vertex], served: dict[Vertex, Vertex], given: _Given
) -> dict[str, tuple[int, int]]:
    """Return the inflows of one ground net by counting users and homes on both sides of every single link."""
    graph = nx.MultiGraph(network.graph.subgraph(net))
    simple = nx.MultiGraph(graph)
    simple.remove_edges_from(list(nx.selfloop_edges(simple, keys=True)))
    single = {next(iter(simple[u][v])) for u, v in nx.bridges(simple)}
    parts = _parts(simple, single, network, served)
    ends: dict[str, tuple[int, int]] = {}
    for link in _wires(graph):
        ends[link.name] = (
            _into(network, graph, link, 0, parts, served, given),
            _into(network, graph, link, 1, parts, served, given),
        )
    return ends


def _wires(graph: nx.MultiGraph[Vertex]) -> list[Link]:
    return [link for _, _, link in graph.edges(data="link") if link.kind is LinkKind.WIRE]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """What lies on one side of a link: how many users, the sum of their numbers (which names a single one), homes."""

    users: int
    numbers: int
    homes: int

    def plus(self, other: _Part, sign: int = 1) -> _Part:
        return _Part(
            users=self.users + sign * other.users,
            numbers=self.numbers + sign * other.numbers,
            homes=self.homes + sign * other.homes,
        )


def _parts(
    graph: nx.MultiGraph[Vertex], single: set[str], network: Network, served: dict[Vertex, Vertex]
) -> dict[tuple[str, Vertex], _Part]:
    """Count users and homes on both sides of every link that alone joins two parts of a net, in one walk."""
    root = next(iter(graph))
    order, parent = [root], {root: (root, "")}
    for at in order:
        for other, edges in graph.adj[at].items():
            if other not in parent:
                parent[other] = (at, next(iter(edges)))
                order.append(other)
    number = {at: index for index, at in enumerate(served)}
    count = {
        at: _Part(users=int(at in served), numbers=number.get(at, 0), homes=int(_is_home(network, at)))
        for at in order
    }
    for at in reversed(order[1:]):
        above = parent[at][0]
        count[above] = count[above].plus(count[at])
    parts: dict[tuple[str, Vertex], _Part] = {}
    for at in order[1:]:
        above, key = parent[at]
        if key in single:
            parts[key, at] = count[at]
            parts[key, above] = count[root].plus(count[at], -1)
    return parts


def _into(
    network: Network,
    graph: nx.MultiGraph[Vertex],
    link: Link,
    end: int,
    parts: dict[tuple[str, Vertex], _Part],
    served: dict[Vertex, Vertex],
    given: _Given,
) -> int:
    """Return the current in mA into one end of a ground wire, with the wire out."""
    key, at, far = f"wire {link.name}", link.ends[end], link.ends[1 - end]
    near, beyond = parts.get((key, at)), parts.get((key, far))
    if near and beyond and (not near.users or not beyond.homes):
        return 0
    if near and near.users == 1:
        return min(UNLIMITED, given[2][list(served.values())[near.numbers]])
    return _flow(network, graph, key, at, served, given)


def _flow(
    network: Network,
    graph: nx.MultiGraph[Vertex],
    without: str,
    target: Vertex,
    served: dict[Vertex, Vertex],
    given: _Given,
) -> int:
    """Return the maximum flow in mA from the sources through users as shorts into a vertex of a ground net."""
    sources, ratings, _ = given
    flow: nx.DiGraph[str] = nx.DiGraph()
    supply = (e for e in network.graph.edges(keys=True, data="link") if e[0] not in graph)
    for u, v, key, link in (*supply, *graph.edges(keys=True, data="link")):
        if key != without and u != v:
            capacity = ratings.get(link.name, UNLIMITED) if link.kind is LinkKind.DEVICE else UNLIMITED
            for a, b in ((u, v), (v, u)):
                known = flow.edges[a, b]["capacity"] if flow.has_edge(a, b) else 0
                flow.add_edge(a, b, capacity=known + capacity)
    for ground, power in served.items():
        flow.add_edge(power, ground, capacity=UNLIMITED)
    for at, amps in sources.items():
        flow.add_edge("", at, capacity=amps)
    if target not in flow or "" not in flow:
        return 0
    return min(UNLIMITED, int(nx.maximum_flow_value(flow, "", target)))
