"""Shares design currents among conductors and sums the voltage they lose, from one battery post outward."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from heapq import heapify, heappop, heappush

from planlint.frozen import frozen
from planlint.graph.circuit import conduct
from planlint.graph.factor import factor
from planlint.graph.link import Adjacent, Link, Vertex

Resistance = Callable[[Link], float]

# Closed contacts have no resistance of their own; this much keeps the equations solvable and is 0.1 microvolt per ampere.
_CONTACT_OHM = 1e-7


@frozen
class Feeding:
    """Which post feeds each vertex by the way of least resistance, and the step back toward it (nearest vertices first)."""

    post: Mapping[Vertex, Vertex]
    back: Mapping[Vertex, tuple[Vertex, Link]]

    def way(self, at: Vertex) -> list[Link]:
        """Return the links from a vertex back to its post, nearest first."""
        links = []
        while at in self.back:
            at, link = self.back[at]
            links.append(link)
        return links


def feed(
    adjacent: Adjacent, posts: Iterable[Vertex], resistance: Resistance | None = None, *, without: str = ""
) -> Feeding:
    """Return for every vertex the post that reaches it with the least resistance (by default: over the fewest links).

    Ties go by name; the link `without` (by key) is left out.
    """
    if resistance is None:
        return _over_fewest(adjacent, posts, without)
    post: dict[Vertex, Vertex] = {}
    back: dict[Vertex, tuple[Vertex, Link]] = {}
    links: dict[str, Link] = {}
    heap: list[tuple[float, Vertex, Vertex, str, Vertex]] = [(0.0, p, "", "", p) for p in posts if p in adjacent]
    heapify(heap)
    while heap:
        ohm, origin, came_from, key, at = heappop(heap)
        if at in post:
            continue
        post[at] = origin
        if key:
            back[at] = (came_from, links[key])
        for other, link in adjacent[at]:
            if other not in post and link.key != without:
                links[link.key] = link
                heappush(heap, (ohm + resistance(link), origin, at, link.key, other))
    return Feeding(post=post, back=back)


def _over_fewest(adjacent: Adjacent, posts: Iterable[Vertex], without: str) -> Feeding:
    post: dict[Vertex, Vertex] = {}
    back: dict[Vertex, tuple[Vertex, Link]] = {}
    links: dict[str, Link] = {}
    near: list[tuple[Vertex, Vertex, str, Vertex]] = [(p, "", "", p) for p in posts if p in adjacent]
    while near:
        next_ones = []
        for origin, came_from, key, at in sorted(near):
            if at in post:
                continue
            post[at] = origin
            if key:
                back[at] = (came_from, links[key])
            for other, link in adjacent[at]:
                if other not in post and link.key != without:
                    links[link.key] = link
                    next_ones.append((origin, at, link.key, other))
        near = next_ones
    return Feeding(post=post, back=back)


@frozen
class Flow:
    """Currents in A by link key, from the first to the second end of the link where they are positive.

    They run from the post outward. `drop` is the volts lost between the post and each vertex where loops made it known
    together with the currents, else empty: it is then the sum along the way.
    """

    current: Mapping[str, float]
    drop: Mapping[Vertex, float]


def share(
    adjacent: Adjacent,
    feeding: Feeding,
    post: Vertex,
    drawn: Mapping[Vertex, float],
    resistance: Resistance,
) -> Flow:
    """Return how currents drawn at vertices (A) flow from a post to what it feeds, by Ohm's and Kirchhoff's laws.

    Vertices that the post does not feed are left out. Without loops no resistance is asked for.
    """
    mine = [at for at, by in feeding.post.items() if by == post]
    inside = set(mine)
    links = {link.key: link for at in mine for other, link in adjacent[at] if other in inside and other != at}
    if len(links) == len(mine) - 1:
        return _share_tree(feeding, mine, drawn)
    return _share_loops(post, mine, list(links.values()), drawn, resistance)


def _share_tree(feeding: Feeding, outward: list[Vertex], drawn: Mapping[Vertex, float]) -> Flow:
    """Without loops each link carries what is drawn beyond it."""
    beyond = {at: drawn.get(at, 0.0) for at in outward}
    current: dict[str, float] = {}
    for at in reversed(outward[1:]):
        before, link = feeding.back[at]
        current[link.key] = beyond[at] if link.ends[1] == at else -beyond[at]
        beyond[before] += beyond[at]
    return Flow(current=current, drop={})


def _share_loops(
    post: Vertex, mine: list[Vertex], links: list[Link], drawn: Mapping[Vertex, float], resistance: Resistance
) -> Flow:
    """With loops the currents share as the resistances have it: one linear system."""
    unknowns = [at for at in mine if at != post]
    index = {at: i for i, at in enumerate(unknowns)}
    rows: list[dict[int, float]] = [{i: 0.0} for i in range(len(unknowns))]
    siemens = {link.key: 1.0 / max(resistance(link), _CONTACT_OHM) for link in links}
    for link in links:
        conduct(rows, index.get(link.ends[0]), index.get(link.ends[1]), siemens[link.key])
    volts = factor(rows).solve([drawn.get(at, 0.0) for at in unknowns])
    drop = {post: 0.0, **dict(zip(unknowns, volts, strict=True))}
    current = {link.key: (drop[link.ends[1]] - drop[link.ends[0]]) * siemens[link.key] for link in links}
    return Flow(current=current, drop=drop)
