"""Finds the loops of a network: where current can go two ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import networkx as nx

from planlint.graph.network import Adjacent, Link, Vertex


def loops_of(links: Mapping[str, Link]) -> dict[Vertex, nx.MultiGraph[Vertex]]:
    """Return for every vertex on a loop the knot of loops it lies on, as a graph with the links' keys."""
    graph: nx.MultiGraph[Vertex] = nx.MultiGraph()
    graph.add_edges_from((*link.ends, key, {}) for key, link in links.items() if link.ends[0] != link.ends[1])
    graph.remove_edges_from([(u, v, next(iter(graph[u][v]))) for u, v in nx.bridges(graph)])
    parts = (part for part in nx.connected_components(graph) if len(part) > 1)
    knots = (nx.MultiGraph(graph.subgraph(part)) for part in parts)
    return {at: knot for knot in knots for at in knot}


def knots_of(adjacent: Adjacent, vertices: Iterable[Vertex]) -> dict[str, tuple[Link, ...]]:
    """Return for every link that lies on a loop all links of that knot of loops; `vertices` hang together."""
    inside = set(vertices)
    links = {
        link.key: link for at in inside for other, link in adjacent[at] if other != at and other in inside
    }
    if len(links) < len(inside):
        return {}
    knots: dict[str, tuple[Link, ...]] = {}
    for knot in {id(knot): knot for knot in loops_of(links).values()}.values():
        keys = sorted(key for _, _, key in knot.edges(keys=True))
        knots.update(dict.fromkeys(keys, tuple(links[key] for key in keys)))
    return knots
