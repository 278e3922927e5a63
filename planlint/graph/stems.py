"""The part of a network that lies between some of its places, found without walking through all of it."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.graph.link import Adjacent, Link, Vertex
from planlint.graph.nets import Net


class Stems:
    """The ways of one net, as seen from any one of its vertices outward."""

    def __init__(self, adjacent: Adjacent, net: Net) -> None:
        self._around = net.around
        root = next(iter(net.vertices))
        self._inward: dict[Vertex, tuple[Vertex, Link] | None] = {root: None}
        order = [root]
        for at in order:
            for other, link in adjacent[at]:
                if other not in self._inward:
                    self._inward[other] = (at, link)
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
                step = self._inward[at]
                if step is None:
                    break
                at, link = step
                if link.key not in found:
                    found.update({one.key: one for one in self._around.get(link.key, (link,))})
        return found
