"""Computes what really limits the current through each wire: maximum flow from the sources through the fuses.

Capacities are whole milliamperes, so that sums and differences are exact; UNLIMITED stands for no limit. Single links
between loops are judged in one pass over the tree of loops; a maximum flow is computed only inside a loop.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from planlint.frozen import frozen
from planlint.graph.link import Adjacent, Link, LinkKind, Vertex, wire_key
from planlint.graph.maxflow import maximum_flow
from planlint.graph.nets import Net

UNLIMITED = 10**15


@frozen
class Inflows:
    """The current in mA that can flow into each user's vertex, and into both ends of each wire with that wire out.

    `between` names the wires that lie between two sources.
    """

    at: Mapping[Vertex, int]
    wire_ends: Mapping[str, tuple[int, int]]
    between: frozenset[str]


def inflows(
    adjacent: Adjacent,
    nets: Iterable[Net],
    sources: Mapping[Vertex, int],
    ratings: Mapping[str, int],
    users: Iterable[Vertex] = (),
    *,
    wires: bool = True,
) -> Inflows:
    """Return the inflows of the parts of a network that hold sources, those of wires only where asked for.

    `ratings` are those of the fuses by link name, `sources` the currents that vertices can give, all in mA.
    """
    at: dict[Vertex, int] = {}
    wire_ends: dict[str, tuple[int, int]] = {}
    between: set[str] = set()
    for net in nets:
        if not sources.keys().isdisjoint(net.vertices):
            tree = _Tree(adjacent, net, sources, ratings)
            at.update({user: tree.into(user) for user in users if user in net.vertices})
            ends = tree.wire_ends() if wires else {}
            wire_ends.update(ends)
            between.update(name for name in ends if tree.between(name))
    return Inflows(at=at, wire_ends=wire_ends, between=frozenset(between))


class _Tree:
    """The tree of loops of one net, and what flows over every single link between them in both directions."""

    def __init__(self, adjacent: Adjacent, net: Net, sources: Mapping[Vertex, int], ratings: Mapping[str, int]) -> None:
        self.ratings = ratings
        self.links = {link.key: link for at in net.vertices for _, link in adjacent[at]}
        self.loop_of = net.knots
        self.inside = {key for loop in self.loop_of.values() for key in loop.links}
        # What arrives at the second vertex over the link from the first, and all that feeds a vertex from outside its loop.
        self.arriving: dict[tuple[Vertex, Vertex], int] = {}
        self.feeding = {at: sources.get(at, 0) for at in net.vertices}
        giving = [at for at, current in sources.items() if current and at in net.vertices]
        order = self._outward(adjacent, giving[0] if giving else next(iter(net.vertices)))
        if len(giving) > 1:  # from a single source all flows outward
            for near, far, link in reversed(order):
                self._carry(far, near, link)
        for near, far, link in order:
            self._carry(near, far, link)

    def _outward(self, adjacent: Adjacent, root: Vertex) -> list[tuple[Vertex, Vertex, Link]]:
        """Return the single links with their near and far ends, from a root outward."""
        seen = {root}
        stack = [root]
        order: list[tuple[Vertex, Vertex, Link]] = []
        while stack:
            at = stack.pop()
            for one in self.loop_of[at].vertices if at in self.loop_of else (at,):
                seen.add(one)
                for other, link in adjacent[one]:
                    if other not in seen and link.key not in self.inside:
                        seen.add(other)
                        order.append((one, other, link))
                        stack.append(other)
        return order

    def _carry(self, start: Vertex, end: Vertex, link: Link) -> None:
        """Note what arrives at `end` from beyond `start` over the link between them."""
        flow = self.into(start, but=end)
        if link.kind is LinkKind.DEVICE:
            flow = min(flow, capacity(link, self.ratings))
        self.arriving[(start, end)] = flow
        self.feeding[end] += flow

    def _supply(self, at: Vertex, but: Vertex | None) -> int:
        """Return what feeds a vertex from outside its loop, but not over the single link from `but`."""
        return min(UNLIMITED, self.feeding[at] - (self.arriving.get((but, at), 0) if but else 0))

    def into(self, at: Vertex, but: Vertex | None = None, without: str | None = None) -> int:
        """Return the greatest flow in mA into a vertex; the single link from `but` and the link `without` are out."""
        loop = self.loop_of.get(at) if self.loop_of else None
        if loop is None:
            return self._supply(at, but)
        feeds = {vertex: self._supply(vertex, but if vertex == at else None) for vertex in loop.vertices}
        links = [self.links[key] for key in loop.links if key != without]
        return greatest_flow(links, self.ratings, feeds, at)

    def between(self, name: str) -> bool:
        """Say whether a wire lies between two sources: one beyond each end, or two that feed its knot of loops."""
        key = wire_key(name)
        first, second = self.links[key].ends
        if key not in self.inside:
            return bool(self.into(first, but=second) and self.into(second, but=first)) and first != second
        return sum(bool(self.feeding[at]) for at in self.loop_of[first].vertices) > 1

    def wire_ends(self) -> dict[str, tuple[int, int]]:
        """Return for every wire the flow in mA into its two ends with the wire taken out."""
        ends: dict[str, tuple[int, int]] = {}
        for key, link in self.links.items():
            if link.kind is LinkKind.WIRE:
                first, second = link.ends
                if key in self.inside:
                    ends[link.name] = (self.into(first, without=key), self.into(second, without=key))
                elif not self.loop_of:
                    ends[link.name] = (self._supply(first, second), self._supply(second, first))
                else:
                    ends[link.name] = (self.into(first, but=second), self.into(second, but=first))
        return ends


def capacity(link: Link, ratings: Mapping[str, int]) -> int:
    """Return the current in mA that a link lets pass for long."""
    return ratings.get(link.name, UNLIMITED) if link.kind is LinkKind.DEVICE else UNLIMITED


def greatest_flow(
    links: Iterable[Link],
    ratings: Mapping[str, int],
    feeds: Mapping[Vertex, int],
    target: Vertex,
    one_way: Iterable[tuple[Vertex, Vertex]] = (),
) -> int:
    """Return the maximum flow in mA from all feeds through links (and `one_way` pairs without limit) into a vertex.

    What is joined without limit is one place: the flow is computed between such places.
    """
    limited: list[Link] = []
    free: list[Link] = []
    for link in links:
        (limited if capacity(link, ratings) < UNLIMITED else free).append(link)
    place = _places(free)
    here = place.get(target, target)
    total = min(UNLIMITED, sum(current for at, current in feeds.items() if place.get(at, at) == here))
    arcs = [(place.get(start, start), place.get(end, end), UNLIMITED) for start, end in one_way]
    arcs += [("", at, current) for v, current in feeds.items() if current and (at := place.get(v, v)) != here]
    for link in limited:
        first, second = (place.get(at, at) for at in link.ends)
        most = capacity(link, ratings)
        arcs += [(first, second, most), (second, first, most)]
    proper = [arc for arc in arcs if arc[0] != arc[1] and arc[0] != here]
    return min(UNLIMITED, total + maximum_flow(proper, "", here))


def _places(links: Iterable[Link]) -> dict[Vertex, Vertex]:
    """Return for every vertex that links join to others one vertex that stands for all of them."""
    members: dict[Vertex, list[Vertex]] = {}
    place: dict[Vertex, Vertex] = {}
    for link in links:
        first, second = (place.setdefault(at, at) for at in link.ends)
        if first != second:
            ours, theirs = (members.setdefault(at, [at]) for at in (first, second))
            if len(ours) < len(theirs):
                first, ours, theirs = second, theirs, ours
            ours += theirs
            place.update(dict.fromkeys(theirs, first))
    return place
