"""Computes what really limits the current through each wire: maximum flow from the sources through the fuses.

Capacities are whole milliamperes, so that sums and differences are exact; UNLIMITED stands for no limit. Single wires
between loops are judged in one pass over the tree of loops; a maximum flow is computed only inside a loop.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import networkx as nx

from planlint.graph.network import Link, LinkKind, Vertex

UNLIMITED = 10**15

# The ends of a link, and its key in the graph.
Bridge = tuple[Vertex, Vertex, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Inflows:
    """The current in mA that can flow into each user's vertex, and into both ends of each wire with that wire out."""

    at: Mapping[Vertex, int]
    wire_ends: Mapping[str, tuple[int, int]]


def inflows(
    graph: nx.MultiGraph[Vertex],
    sources: Mapping[Vertex, int],
    ratings: Mapping[str, int],
    users: Iterable[Vertex] = (),
) -> Inflows:
    """Return the inflows of a network whose fuses have `ratings` (by link name) and whose `sources` give these currents."""
    tree = _Tree(graph, sources, ratings)
    return Inflows(at={user: tree.into(user) for user in users if user in graph}, wire_ends=tree.wire_ends())


class _Tree:
    """The tree of loops of a network, and the flow over every single link between them in both directions."""

    def __init__(
        self, graph: nx.MultiGraph[Vertex], sources: Mapping[Vertex, int], ratings: Mapping[str, int]
    ) -> None:
        self.graph, self.sources, self.ratings = graph, sources, ratings
        self.bridges = _bridges(graph)
        rest = nx.MultiGraph(graph)
        rest.remove_edges_from(self.bridges)
        self.loops = [frozenset(part) for part in nx.connected_components(rest)]
        self.loop_of = {at: index for index, loop in enumerate(self.loops) for at in loop}
        self.joined: dict[Vertex, list[tuple[Vertex, str]]] = defaultdict(list)
        for u, v, key in self.bridges:
            self.joined[u].append((v, key))
            self.joined[v].append((u, key))
        # What arrives at the second vertex over the bridge from the first, and all that feeds a vertex from outside its loop.
        self.arriving: dict[tuple[Vertex, Vertex], int] = {}
        self.feeding = {at: sources.get(at, 0) for at in graph}
        order = self._outward()
        for near, far, key in reversed(order):
            self._carry(far, near, key)
        for near, far, key in order:
            self._carry(near, far, key)

    def _outward(self) -> list[Bridge]:
        """Return the bridges as (near end, far end, key), each tree of loops from a root outward."""
        seen: set[int] = set()
        order: list[Bridge] = []
        for root in range(len(self.loops)):
            if root in seen:
                continue
            seen.add(root)
            stack = [root]
            while stack:
                for at in self.loops[stack.pop()]:
                    for other, key in self.joined[at]:
                        beyond = self.loop_of[other]
                        if beyond not in seen:
                            seen.add(beyond)
                            order.append((at, other, key))
                            stack.append(beyond)
        return order

    def _carry(self, start: Vertex, end: Vertex, key: str) -> None:
        """Note what arrives at `end` from beyond `start` over the bridge between them."""
        flow = min(self.into(start, but=end), self._capacity(start, end, key))
        self.arriving[(start, end)] = flow
        self.feeding[end] += flow

    def _capacity(self, u: Vertex, v: Vertex, key: str) -> int:
        link: Link = self.graph.edges[u, v, key]["link"]
        return self.ratings.get(link.name, UNLIMITED) if link.kind is LinkKind.DEVICE else UNLIMITED

    def _supply(self, at: Vertex, but: Vertex | None) -> int:
        """Return what feeds a vertex from outside its loop, but not over the bridge from `but`."""
        return min(UNLIMITED, self.feeding[at] - (self.arriving.get((but, at), 0) if but else 0))

    def into(self, at: Vertex, but: Vertex | None = None, without: str | None = None) -> int:
        """Return the greatest flow in mA into a vertex; the bridge from `but` and the link `without` are taken out."""
        loop = self.loops[self.loop_of[at]]
        if len(loop) == 1:
            return self._supply(at, but)
        flow: nx.DiGraph[str] = nx.DiGraph()
        for u, v, key in self.graph.subgraph(loop).edges(keys=True):
            if key != without and u != v:
                _widen(flow, u, v, self._capacity(u, v, key))
                _widen(flow, v, u, self._capacity(u, v, key))
        for vertex in loop:
            _widen(flow, "", vertex, self._supply(vertex, but if vertex == at else None))
        return min(UNLIMITED, int(nx.maximum_flow_value(flow, "", at)))

    def wire_ends(self) -> dict[str, tuple[int, int]]:
        """Return for every wire the flow in mA into its two ends with the wire taken out."""
        bridged = {key for _, _, key in self.bridges}
        ends: dict[str, tuple[int, int]] = {}
        for _, _, key, link in self.graph.edges(keys=True, data="link"):
            if link.kind is not LinkKind.WIRE:
                continue
            first, second = link.ends
            if key in bridged:
                ends[link.name] = (self.into(first, but=second), self.into(second, but=first))
            else:
                ends[link.name] = (self.into(first, without=key), self.into(second, without=key))
        return ends


def _bridges(graph: nx.MultiGraph[Vertex]) -> list[Bridge]:
    """Return the links whose removal parts the network."""
    simple = nx.MultiGraph(graph)
    simple.remove_edges_from(list(nx.selfloop_edges(simple, keys=True)))
    return [(u, v, next(iter(simple[u][v]))) for u, v in nx.bridges(simple)]


def _widen(flow: nx.DiGraph[str], u: str, v: str, capacity: int) -> None:
    """Add capacity between two vertices; parallel links add up."""
    if flow.has_edge(u, v):
        capacity += flow.edges[u, v]["capacity"]
    flow.add_edge(u, v, capacity=capacity)
