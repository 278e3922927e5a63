"""Design currents: what each battery feeds, and the current in every conductor of the supply and of the way back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import networkx as nx

from planlint.graph.flow import Feeding, Flow, Resistance, feed, loops_of, share
from planlint.graph.network import BODY_HUB, Link, LinkKind, Network, Vertex
from planlint.graph.sources import Source
from planlint.plan.nodes import Battery, Charger, GroundPoint
from planlint.plan.quantity import Quantity
from planlint.text.places import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """A user of current: its terminals, and its design current in A (None where a missing field keeps it unknown)."""

    name: str
    power: Vertex
    ground: Vertex | None
    amps: float | None
    missing: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """The planned current in A from one source to another, and the links (by key) it runs through."""

    giver: Vertex
    taker: Vertex
    keys: frozenset[str]
    amps: float | None
    missing: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """The supply side or the return side: which post serves each vertex, the flows, and the transfers."""

    graph: nx.MultiGraph[Vertex]
    feeding: Feeding
    flows: Mapping[Vertex, Flow]
    knots: Mapping[str, frozenset[str]]
    unknown: Mapping[str, Path]
    transfers: tuple[Transfer, ...]

    def way(self, at: Vertex) -> list[Link]:
        """Return all links that carry current between a vertex and its post."""
        return [
            _link(self.graph, key, ends)
            for key, ends in _way(self.graph, self.feeding, self.knots, at).items()
        ]

    def drop(self, at: Vertex) -> float | None:
        """Return the volts lost between a vertex and its post, or None where no post serves it."""
        post = self.feeding.post.get(at)
        return None if post is None else abs(self.flows[post].drop[at])

    def current(self, key: str) -> float:
        """Return the design current of a link in A: that of the users it serves plus that of the transfers it carries."""
        users = sum(abs(flow.current.get(key, 0.0)) for flow in self.flows.values())
        return users + sum(transfer.amps or 0.0 for transfer in self.transfers if key in transfer.keys)

    def missing(self, key: str) -> Path | None:
        """Return the field whose absence keeps a link's current unknown."""
        gaps = [transfer.missing for transfer in self.transfers if key in transfer.keys and transfer.missing]
        return self.unknown.get(key) or (gaps[0] if gaps else None)


def supply_side(
    network: Network, sources: tuple[Source, ...], demands: tuple[Demand, ...], resistance: Resistance
) -> Side:
    """Return how current reaches the users: each is fed by the battery nearest by resistance."""
    graph = _parts_with(network.graph, [source.vertex for source in sources])
    feeding = feed(graph, _posts(graph, sources), resistance)
    regions: dict[Vertex, list[Vertex]] = {}
    for at, post in feeding.post.items():
        regions.setdefault(post, []).append(at)
    drawn = _drawn((demand.power, demand.amps) for demand in demands)
    flows = {post: share(graph.subgraph(region), post, drawn, resistance) for post, region in regions.items()}
    gaps = [(demand.power, demand.missing) for demand in demands]
    return _side(graph, feeding, flows, gaps, _transfers(graph, sources, resistance))


def return_side(
    network: Network, supply: Side, demands: tuple[Demand, ...], resistance: Resistance, post: Vertex
) -> Side:
    """Return how the current of the users that one post feeds comes back to it."""
    home = home_of(network, post)
    graph = _ground_graph(network, home)
    mine = [demand for demand in demands if supply.feeding.post.get(demand.power) == post]
    feeding = feed(graph, [home], resistance)
    flow = share(graph, home, _drawn((demand.ground, demand.amps) for demand in mine), resistance)
    gaps = [(demand.ground, demand.missing) for demand in mine]
    transfers = [
        _transfer_back(graph, feeding, network, transfer)
        for transfer in supply.transfers
        if home in (home_of(network, transfer.taker), home_of(network, transfer.giver))
    ]
    # A transfer comes home at both ends; it is counted on the side of the battery that takes it.
    kept = [t for t in transfers if t.taker == home]
    return _side(graph, feeding, {home: flow}, gaps, tuple(kept))


def home_of(network: Network, post: Vertex) -> Vertex:
    """Return the vertex at which the current of a source comes home."""
    node = network.owners[post]
    if isinstance(node, Battery):
        return f"{node.name}.negative"
    if isinstance(node, Charger):
        return f"{node.name}.ground"
    return BODY_HUB


def measured_ground(link: Link) -> Quantity | None:
    """Return the measured resistance from a ground joint to the battery's negative post, where the plan states it."""
    if link.kind is LinkKind.GROUND_JOINT and isinstance(link.node, GroundPoint):
        stated = link.node.resistance
        return stated if isinstance(stated, Quantity) else None
    return None


def _side(
    graph: nx.MultiGraph[Vertex],
    feeding: Feeding,
    flows: dict[Vertex, Flow],
    gaps: Iterable[tuple[Vertex | None, Path | None]],
    transfers: tuple[Transfer, ...],
) -> Side:
    knots = loops_of(graph)
    unknown = {
        key: missing for at, missing in gaps if at and missing for key in _way(graph, feeding, knots, at)
    }
    return Side(graph=graph, feeding=feeding, flows=flows, knots=knots, unknown=unknown, transfers=transfers)


def _way(
    graph: nx.MultiGraph[Vertex], feeding: Feeding, knots: Mapping[str, frozenset[str]], at: Vertex
) -> dict[str, tuple[Vertex, Vertex]]:
    """Return the keys and ends of the links between a vertex and its post, loops whole."""
    keys: dict[str, tuple[Vertex, Vertex]] = {}
    for back, key in feeding.way(at):
        if key in knots:
            inside = {k: (u, v) for u, v, k in graph.edges(keys=True) if k in knots[key]}
            keys.update(inside)
        else:
            keys[key] = (at, back)
        at = back
    return keys


def _link(graph: nx.MultiGraph[Vertex], key: str, ends: tuple[Vertex, Vertex]) -> Link:
    link: Link = graph.edges[ends[0], ends[1], key]["link"]
    return link


def _drawn(pairs: Iterable[tuple[Vertex | None, float | None]]) -> dict[Vertex, float]:
    drawn: dict[Vertex, float] = {}
    for at, amps in pairs:
        if at:
            drawn[at] = drawn.get(at, 0.0) + (amps or 0.0)
    return drawn


def _parts_with(graph: nx.MultiGraph[Vertex], vertices: list[Vertex]) -> nx.MultiGraph[Vertex]:
    """Return the parts of a network that hold any of these vertices."""
    kept: set[Vertex] = set()
    for at in vertices:
        if at in graph and at not in kept:
            kept |= nx.node_connected_component(graph, at)
    return nx.MultiGraph(graph.subgraph(kept))


def _posts(graph: nx.MultiGraph[Vertex], sources: tuple[Source, ...]) -> list[Vertex]:
    """Return the posts that feed users: batteries; another source only where no battery is joined to it."""
    batteries = [source.vertex for source in sources if isinstance(source.node, Battery)]
    fed = set(_parts_with(graph, batteries))
    return batteries + [source.vertex for source in sources if source.vertex not in fed]


def _transfers(
    graph: nx.MultiGraph[Vertex], sources: tuple[Source, ...], resistance: Resistance
) -> tuple[Transfer, ...]:
    """Return the planned current into each charged battery and from each self-limiting source to its nearest battery."""
    found = []
    for source in sources:
        others = [other for other in sources if other.node.name != source.node.name]
        feeding = feed(graph, [other.vertex for other in others], resistance)
        if not (way := feeding.way(source.vertex)):
            continue
        nearest = feeding.post[source.vertex]
        charged = isinstance(source.node, Battery)
        amps, missing = _planned(source, {o.vertex: o for o in others}[nearest])
        if amps or missing:
            giver, taker = (nearest, source.vertex) if charged else (source.vertex, nearest)
            keys = frozenset(key for _, key in way)
            found.append(Transfer(giver=giver, taker=taker, keys=keys, amps=amps, missing=missing))
    return tuple(found)


def _planned(source: Source, nearest: Source) -> tuple[float | None, Path | None]:
    """Return the current in A that a source's link is planned for, or the field that is missing."""
    node = source.node
    if isinstance(node, Battery):
        if isinstance(node.link, Quantity):
            return node.link.high, None
        joined = node.role == "added" and isinstance(nearest.node, Battery)
        return None, (*node.path, "link") if joined else None
    if node.factory is True or (isinstance(node, Charger) and source.vertex.endswith(".input")):
        return None, None
    return source.limit, source.limit_path


def _transfer_back(
    graph: nx.MultiGraph[Vertex], feeding: Feeding, network: Network, transfer: Transfer
) -> Transfer:
    """Return a transfer as it comes back between the negatives of its two ends."""
    giver, taker = home_of(network, transfer.giver), home_of(network, transfer.taker)
    keys = frozenset(key for _, key in feeding.way(giver))
    return Transfer(giver=giver, taker=taker, keys=keys, amps=transfer.amps, missing=transfer.missing)


def _ground_graph(network: Network, home: Vertex) -> nx.MultiGraph[Vertex]:
    """Return the part of the return network around a post's home.

    A ground point whose resistance to the battery is measured leads home by that resistance instead of by the body.
    """
    graph = nx.MultiGraph(network.graph)
    graph.add_node(home)
    for u, v, key, link in list(graph.edges(keys=True, data="link")):
        if measured_ground(link):
            graph.remove_edge(u, v, key)
            at = link.ends[0]
            home_link = Link(kind=link.kind, name=link.name, ends=(at, home), node=link.node)
            graph.add_edge(at, home, key=key, link=home_link)
    return nx.MultiGraph(graph.subgraph(nx.node_connected_component(graph, home)))
