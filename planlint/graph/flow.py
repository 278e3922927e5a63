"""Shares design currents among conductors and sums the voltage they lose, from one battery post outward."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from heapq import heappop, heappush

import networkx as nx

from planlint.graph.elimination import solve
from planlint.graph.network import Link, Vertex

Resistance = Callable[[Link], float]
Step = tuple[Vertex, str]

# Closed contacts have no resistance of their own; this much keeps the equations solvable and is 0.1 microvolt per ampere.
_CONTACT_OHM = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """Currents in A by link key (from the first to the second end of the link), and volts lost from `post` to each vertex."""

    post: Vertex
    current: Mapping[str, float]
    drop: Mapping[Vertex, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeding:
    """Which post feeds each vertex by the way of least resistance, and the step back toward it."""

    post: Mapping[Vertex, Vertex]
    back: Mapping[Vertex, Step]

    def way(self, at: Vertex) -> list[Step]:
        """Return the steps (vertex, link key) from a vertex back to its post."""
        steps = []
        while at in self.back:
            at, key = self.back[at]
            steps.append((at, key))
        return steps


def feed(graph: nx.MultiGraph[Vertex], posts: Iterable[Vertex], resistance: Resistance) -> Feeding:
    """Return for every vertex the post that reaches it with the least resistance (ties: by name)."""
    post: dict[Vertex, Vertex] = {}
    back: dict[Vertex, Step] = {}
    heap: list[tuple[float, Vertex, Vertex, str, Vertex]] = [(0.0, p, "", "", p) for p in posts if p in graph]
    heap.sort()
    while heap:
        ohm, origin, came_from, key, at = heappop(heap)
        if at in post:
            continue
        post[at] = origin
        if key:
            back[at] = (came_from, key)
        for other, edges in graph.adj[at].items():
            if other not in post:
                for onward, data in edges.items():
                    heappush(heap, (ohm + resistance(data["link"]), origin, at, onward, other))
    return Feeding(post=post, back=back)


def steps_of(graph: nx.MultiGraph[Vertex], feeding: Feeding, at: Vertex) -> list[Link]:
    """Return the links from a vertex back to its post, nearest first."""
    links = []
    for back, key in feeding.way(at):
        links.append(graph.edges[at, back, key]["link"])
        at = back
    return links


def share(
    graph: nx.MultiGraph[Vertex], post: Vertex, drawn: Mapping[Vertex, float], resistance: Resistance
) -> Flow:
    """Return how currents drawn at vertices (A) flow from the post: Ohm's and Kirchhoff's laws, one linear system.

    Vertices that the post does not reach are left out.
    """
    reached = nx.node_connected_component(graph, post)
    unknowns = sorted(reached - {post})
    index = {at: i for i, at in enumerate(unknowns)}
    matrix: list[dict[int, float]] = [{i: 0.0} for i in range(len(unknowns))]
    for u, v, link in graph.subgraph(reached).edges(data="link"):
        _stamp(matrix, index.get(u), index.get(v), 1.0 / max(resistance(link), _CONTACT_OHM))
    volts = solve(matrix, [drawn.get(at, 0.0) for at in unknowns])
    drop = {post: 0.0, **dict(zip(unknowns, volts, strict=True))}
    current = {
        key: (drop[link.ends[1]] - drop[link.ends[0]]) / max(resistance(link), _CONTACT_OHM)
        for _, _, key, link in graph.subgraph(reached).edges(keys=True, data="link")
    }
    return Flow(post=post, current=current, drop=drop)


def _stamp(matrix: list[dict[int, float]], i: int | None, j: int | None, siemens: float) -> None:
    """Add a conductance between two unknowns; None is the post."""
    if i == j:
        return
    for one, other in ((i, j), (j, i)):
        if one is not None:
            matrix[one][one] += siemens
            if other is not None:
                matrix[one][other] = matrix[one].get(other, 0.0) - siemens


def loops_of(graph: nx.MultiGraph[Vertex]) -> dict[str, frozenset[str]]:
    """Return for every link that lies on a loop the keys of all links of that knot of loops."""
    if graph.number_of_edges() < graph.number_of_nodes():
        # A connected network without loops has one link less than vertices; several parts may hide one.
        parts = nx.number_connected_components(graph)
        if graph.number_of_edges() == graph.number_of_nodes() - parts:
            return {}
    rest = nx.MultiGraph(graph)
    simple = nx.MultiGraph(graph)
    simple.remove_edges_from(list(nx.selfloop_edges(simple, keys=True)))
    rest.remove_edges_from([(u, v, key) for u, v in nx.bridges(simple) for key in simple[u][v]])
    knots: dict[str, frozenset[str]] = {}
    for part in nx.connected_components(rest):
        keys = frozenset(key for _, _, key in rest.subgraph(part).edges(keys=True))
        knots.update(dict.fromkeys(keys, keys))
    return knots
