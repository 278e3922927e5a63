"""Random small networks of links for the tests of this room, and the same as networkx graphs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import networkx as nx
from hypothesis import strategies as st

from planlint.graph.link import Link, LinkKind, Vertex
from planlint.graph.nets import Net, nets_of
from planlint.graph.protection import UNLIMITED

KINDS = (LinkKind.WIRE, LinkKind.WIRE, LinkKind.DEVICE, LinkKind.CONTACT)
RATINGS = (0, 1, 2, 3, 5, 8, 1000, 7500, UNLIMITED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Web:
    """A random network: its links by key, who is beside whom, its parts, and the fuse ratings in mA by name."""

    links: Mapping[str, Link]
    adjacent: Mapping[Vertex, list[tuple[Vertex, Link]]]
    nets: tuple[Net, ...]
    ratings: Mapping[str, int]

    @property
    def wires(self) -> list[Link]:
        """The wires of the network."""
        return [link for link in self.links.values() if link.kind is LinkKind.WIRE]


def link(name: str, kind: LinkKind, first: Vertex, second: Vertex) -> Link:
    """A link of this kind between two vertices."""
    return Link(key=f"{kind.value} {name}", kind=kind, name=name, ends=(first, second))


def web_of(links: Iterable[Link], ratings: Mapping[str, int]) -> Web:
    """The network of these links."""
    by_key = {one.key: one for one in links}
    adjacent: dict[Vertex, list[tuple[Vertex, Link]]] = {}
    for one in by_key.values():
        first, second = one.ends
        adjacent.setdefault(first, []).append((second, one))
        adjacent.setdefault(second, [])
        if first != second:
            adjacent[second].append((first, one))
    return Web(links=by_key, adjacent=adjacent, nets=nets_of(adjacent), ratings=ratings)


def multigraph(links: Iterable[Link]) -> nx.MultiGraph[Vertex]:
    """The links as a networkx graph."""
    graph: nx.MultiGraph[Vertex] = nx.MultiGraph()
    for one in links:
        graph.add_edge(*one.ends, key=one.key)
    return graph


@st.composite
def webs(draw: st.DrawFn, most_vertices: int = 7, most_links: int = 11) -> Web:
    """A random network with loops, parallel links, links from a vertex to itself, and several parts."""
    at = st.integers(0, draw(st.integers(1, most_vertices - 1))).map("v{}".format)
    ends = draw(st.lists(st.tuples(st.sampled_from(KINDS), at, at), min_size=1, max_size=most_links))
    links = [link(f"l{i}", kind, first, second) for i, (kind, first, second) in enumerate(ends)]
    fuses = [one.name for one in links if one.kind is LinkKind.DEVICE]
    return web_of(links, {name: draw(st.sampled_from(RATINGS)) for name in fuses})


def feeds(web: Web) -> st.SearchStrategy[dict[Vertex, int]]:
    """Up to three sources at vertices of a network with what they give in mA, limited or not."""
    return st.dictionaries(
        st.sampled_from(sorted(web.adjacent)), st.sampled_from((UNLIMITED, 4, 900, 40_000)), min_size=1, max_size=3
    )


def flow_into(
    links: Iterable[Link],
    ratings: Mapping[str, int],
    sources: Mapping[Vertex, int],
    target: Vertex,
    one_way: Iterable[tuple[Vertex, Vertex]] = (),
) -> int:
    """The maximum flow into a vertex by networkx, over all links of a network."""
    graph: nx.DiGraph[Vertex] = nx.DiGraph()
    graph.add_nodes_from(["every source", target])
    arcs = [("every source", at, given) for at, given in sources.items()]
    arcs += [(start, end, UNLIMITED) for start, end in one_way]
    for one in links:
        most = ratings[one.name] if one.kind is LinkKind.DEVICE else UNLIMITED
        arcs += [(*one.ends, most), (*one.ends[::-1], most)]
    for start, end, most in arcs:
        before = graph.get_edge_data(start, end, {"capacity": 0})["capacity"]
        graph.add_edge(start, end, capacity=before + most)
    return min(UNLIMITED, int(nx.maximum_flow_value(graph, "every source", target)))
