"""The parts of a network that hang together, each with its loops."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planlint.graph.link import Adjacent, Link, Vertex
from planlint.graph.loops import Knot, links_around, loops_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Net:
    """A part of the network that hangs together; `knots` are its loops by vertex, none where it has no loops, `around`
    all links of the same knot for every link that lies on a loop."""

    vertices: frozenset[Vertex]
    knots: Mapping[Vertex, Knot]
    around: Mapping[str, tuple[Link, ...]]


def nets_of(adjacent: Adjacent) -> tuple[Net, ...]:
    """Return the parts of a network that hang together."""
    seen: set[Vertex] = set()
    nets = []
    for start in adjacent:
        if start in seen:
            continue
        part, met = [start], 0
        seen.add(start)
        for at in part:
            for other, _ in adjacent[at]:
                # Each link is met at both of its ends, one that leads from a vertex to itself once.
                met += 2 if other == at else 1
                if other not in seen:
                    seen.add(other)
                    part.append(other)
        # A part without loops has one link less than vertices.
        if met > 2 * (len(part) - 1):
            links = {link.key: link for at in part for _, link in adjacent[at]}
            knots = loops_of(links)
            nets.append(Net(vertices=frozenset(part), knots=knots, around=links_around(knots, links)))
        else:
            nets.append(Net(vertices=frozenset(part), knots={}, around={}))
    return tuple(nets)
