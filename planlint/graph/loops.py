"""Finds the loops of a network: where current can go two ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import networkx as nx

from planlint.frozen import frozen
from planlint.graph.link import Adjacent, Link, Vertex


@frozen
class Knot:
    """Loops that hang together: their vertices, and the keys of their links."""

    vertices: frozenset[Vertex]
    links: frozenset[str]


def loops_of(links: Mapping[str, Link]) -> dict[Vertex, Knot]:
    """Return for every vertex on a loop the knot it lies on; `links` are by key."""
    core = _without_branches(links)
    if not core:
        return {}
    graph: nx.MultiGraph[Vertex] = nx.MultiGraph()
    for key, link in core.items():
        graph.add_edge(*link.ends, key=key)
    if len(core) > len(graph):
        # Several loops: they may be joined by links that lie on none.
        apart: list[tuple[Vertex, Vertex]] = list(nx.bridges(graph))  # type: ignore[arg-type]
        between = {key for first, second in apart for key in graph[first][second]}
        core = {key: link for key, link in core.items() if key not in between}
        graph.remove_edges_from(apart)
    found: dict[Vertex, Knot] = {}
    for part in nx.connected_components(graph):
        if len(part) > 1:
            keys = frozenset(key for key, link in core.items() if link.ends[0] in part)
            found.update(dict.fromkeys(part, Knot(vertices=frozenset(part), links=keys)))
    return found


def _without_branches(links: Mapping[str, Link]) -> dict[str, Link]:
    """Return the links that are left when dead ends are taken off until there are none; what has no loops vanishes."""
    at: dict[Vertex, set[str]] = {}
    for key, link in links.items():
        if link.ends[0] != link.ends[1]:
            for end in link.ends:
                at.setdefault(end, set()).add(key)
    ends = [vertex for vertex, keys in at.items() if len(keys) == 1]
    while ends:
        vertex = ends.pop()
        if not at[vertex]:
            continue
        key = at[vertex].pop()
        first, second = links[key].ends
        other = second if first == vertex else first
        at[other].discard(key)
        if len(at[other]) == 1:
            ends.append(other)
    left = {key for keys in at.values() for key in keys}
    return {key: link for key, link in links.items() if key in left}


def knots_of(adjacent: Adjacent, vertices: Iterable[Vertex]) -> dict[str, tuple[Link, ...]]:
    """Return for every link that lies on a loop all links of that knot of loops; `vertices` hang together."""
    inside = set(vertices)
    links = {link.key: link for at in inside for other, link in adjacent[at] if other != at and other in inside}
    if len(links) < len(inside):
        return {}
    return links_around(loops_of(links), links)


def links_around(knots: Mapping[Vertex, Knot], links: Mapping[str, Link]) -> dict[str, tuple[Link, ...]]:
    """Return for every link that lies on a loop all links of its knot, in the order of their keys."""
    around: dict[str, tuple[Link, ...]] = {}
    for knot in set(knots.values()):
        around.update(dict.fromkeys(knot.links, tuple(links[key] for key in sorted(knot.links))))
    return around
