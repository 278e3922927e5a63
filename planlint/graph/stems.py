"""Walks through a network: outward from one place of a net, done once, and around a place."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.graph.link import Adjacent, Link, Vertex
from planlint.graph.nets import Net


class Stems:
    """The ways of one net, as seen from any one of its vertices outward.

    `inward` has for each vertex, in the order of the walk, the one before it and the link from there; nothing for the root.
    """

    def __init__(self, adjacent: Adjacent, net: Net) -> None:
        self._around = net.around
        self.root = root = next(iter(net.vertices))
        self.inward: dict[Vertex, tuple[Vertex, Link] | None] = {root: None}
        order = [root]
        for at in order:
            for other, link in adjacent[at]:
                if other not in self.inward:
                    self.inward[other] = (at, link)
                    order.append(other)

    def between(self, places: Iterable[Vertex]) -> dict[str, Link]:
        """Return by key all links by which current can run between these places of the net, and few others.

        What leads from each to the root holds every way from one to another, loops on it whole.
        """
        found: dict[str, Link] = {}
        seen: set[Vertex] = set()
        for place in places:
            at = place
            while at not in seen:
                seen.add(at)
                step = self.inward[at]
                if step is None:
                    break
                at, link = step
                if link.key not in found:
                    found.update({one.key: one for one in self._around.get(link.key, (link,))})
        return found


class Walks:
    """What is joined to what in a network, and the stems of its nets."""

    def __init__(self, adjacent: Adjacent) -> None:
        self._adjacent = adjacent
        self._stems: dict[Net, Stems] = {}

    def stems(self, net: Net) -> Stems:
        """Return the ways of a net."""
        if net not in self._stems:
            self._stems[net] = Stems(self._adjacent, net)
        return self._stems[net]

    def joined(self, without: str, start: Vertex, *past: Vertex) -> set[Vertex]:
        """Return the vertices that a vertex is joined to without the link of a key and not past others."""
        near = {start}
        front = [start]
        for at in front:
            for other, link in self._adjacent[at]:
                if other not in near and other not in past and link.key != without:
                    near.add(other)
                    front.append(other)
        return near
