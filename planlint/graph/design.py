"""Design currents: what each battery feeds, and the current in every conductor of the supply and of the way back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from planlint.frozen import frozen
from planlint.graph.flow import Feeding, Flow, Resistance, feed, share
from planlint.graph.link import Adjacent, Link, Vertex
from planlint.graph.network import Network
from planlint.graph.sources import Source
from planlint.graph.ways import Ways, home_of
from planlint.plan.nodes import Battery, Charger
from planlint.plan.quantity import Quantity
from planlint.text.places import Path


@frozen
class Demand:
    """A user of current: its terminals, and its design current in A (None where a missing field keeps it unknown)."""

    name: str
    power: Vertex
    ground: Vertex | None
    amps: float | None
    missing: Path | None = None


@frozen
class Transfer:
    """The planned current in A from one source to another.

    `along` are the links it runs through by key, each with its share: positive from the link's first end to the second.
    """

    giver: Vertex
    taker: Vertex
    along: Mapping[str, float]
    amps: float | None
    missing: Path | None = None


@frozen
class Side:
    """The supply side, or the way back to one post (`returns`): the ways, and the flows and transfers on them."""

    returns: bool
    ways: Ways
    flows: Mapping[Vertex, Flow]
    unknown: Mapping[str, Path]
    transfers: tuple[Transfer, ...]

    def drop(self, at: Vertex, resistance: Resistance) -> float | None:
        """Return the volts lost between a vertex and its post, or None where no post serves it."""
        post = self.ways.feeding.post.get(at)
        if post is None:
            return None
        flow = self.flows[post]
        if flow.drop:
            return abs(flow.drop[at])
        return sum(abs(flow.current[link.key]) * resistance(link) for link in self.ways.feeding.way(at))

    def currents(self, key: str) -> list[float]:
        """Return the design currents of a link in A, positive from its first end to its second: that of the users it
        serves, and that of every transfer."""
        users = sum([flow.current.get(key, 0.0) for flow in self.flows.values()])
        found = [-users if self.returns else users] if users else []
        for transfer in self.transfers:
            if key in transfer.along:
                found.append(transfer.along[key] * (transfer.amps or 0.0))
        return found

    def missing(self, key: str) -> Path | None:
        """Return the field whose absence keeps a link's current unknown."""
        for transfer in self.transfers:
            if transfer.missing and key in transfer.along:
                return transfer.missing
        return self.unknown.get(key)


def supply_side(
    network: Network, sources: tuple[Source, ...], demands: tuple[Demand, ...], resistance: Resistance
) -> Side:
    """Return how current reaches the users: each is fed by the battery nearest by resistance."""
    adjacent = network.adjacent
    posts = _posts(network, sources)
    feeding = feed(adjacent, posts, resistance if _ways_differ(network, posts) else None)
    drawn = _drawn((demand.power, demand.amps) for demand in demands)
    flows = {post: share(adjacent, feeding, post, drawn, resistance) for post in dict.fromkeys(feeding.post.values())}
    knots: dict[str, tuple[Link, ...]] = {}
    for net in network.nets:
        if net.knots and not net.vertices.isdisjoint(flows):
            knots.update(net.around)
    gaps = [(demand.power, demand.missing) for demand in demands]
    transfers = _transfers(network, sources, resistance)
    ways = Ways(adjacent=adjacent, feeding=feeding, knots=knots)
    return Side(
        returns=False,
        ways=ways,
        flows=flows,
        unknown=_unknown(ways, gaps),
        transfers=transfers,
    )


def return_side(
    network: Network, ways: Ways, supply: Side, demands: tuple[Demand, ...], resistance: Resistance, post: Vertex
) -> Side:
    """Return how the current of the users that one post feeds comes back to it, by `ways`."""
    home = home_of(network, post)
    mine = [demand for demand in demands if supply.ways.feeding.post.get(demand.power) == post]
    drawn = _drawn((demand.ground, demand.amps) for demand in mine)
    # A transfer comes home at both ends; it is counted on the side of the source that takes it.
    transfers = tuple(
        replace(transfer, along=_along(ways.adjacent, ways.feeding, home_of(network, transfer.giver), resistance, 1.0))
        for transfer in supply.transfers
        if transfer.taker == post
    )
    return Side(
        returns=True,
        ways=ways,
        flows={home: share(ways.adjacent, ways.feeding, home, drawn, resistance)},
        unknown=_unknown(ways, [(demand.ground, demand.missing) for demand in mine]),
        transfers=transfers,
    )


def _ways_differ(network: Network, posts: list[Vertex]) -> bool:
    """Say whether some vertex could be fed in two ways: by two posts, or around a loop."""
    nets = [network.net_of[post] for post in posts]
    return len(set(nets)) < len(nets) or any(net.knots for net in nets)


def _unknown(ways: Ways, gaps: Iterable[tuple[Vertex | None, Path | None]]) -> dict[str, Path]:
    """Return, for every link that serves a user of unknown current, the field that is missing."""
    # Of several, the last in the order of their paths: the same whatever the order of the file.
    told = sorted([(str(missing), at, missing) for at, missing in gaps if at and missing])
    return {link.key: missing for _, at, missing in told for link in ways.way(at)}


def _drawn(pairs: Iterable[tuple[Vertex | None, float | None]]) -> dict[Vertex, float]:
    drawn: dict[Vertex, float] = {}
    for at, amps in pairs:
        if at:
            drawn[at] = drawn.get(at, 0.0) + (amps or 0.0)
    return drawn


def _posts(network: Network, sources: tuple[Source, ...]) -> list[Vertex]:
    """Return the posts that feed users: batteries; another source only where no battery is joined to it."""
    batteries = [source.vertex for source in sources if isinstance(source.node, Battery)]
    fed = {network.net_of[at] for at in batteries}
    return batteries + [source.vertex for source in sources if network.net_of[source.vertex] not in fed]


def _transfers(network: Network, sources: tuple[Source, ...], resistance: Resistance) -> tuple[Transfer, ...]:
    """Return the planned current into each charged battery and from each self-limiting source to its nearest battery."""
    # Those that limit themselves first: what they charge only the vehicle's own battery may charge beside them.
    batteries = [one for one in sources if isinstance(one.node, Battery)]
    found: list[Transfer] = []
    for source in (*(one for one in sources if not isinstance(one.node, Battery)), *batteries):
        fed = {one.taker for one in found if not isinstance(network.owners[one.giver], Battery)}
        if transfer := _transfer(network, source, sources, fed, resistance):
            found.append(transfer)
    return tuple(sorted(found, key=lambda one: [source.vertex for source in sources].index(_asked(network, one))))


def _asked(network: Network, transfer: Transfer) -> Vertex:
    """Return the end of a transfer that says what it is planned for."""
    return transfer.taker if isinstance(network.owners[transfer.giver], Battery) else transfer.giver


def _transfer(
    network: Network, source: Source, sources: tuple[Source, ...], fed: set[Vertex], resistance: Resistance
) -> Transfer | None:
    """Return what is planned between a source and its nearest other one; `fed` are the batteries that have a charger."""
    net, charged = network.net_of[source.vertex], isinstance(source.node, Battery)
    others = {o.vertex: o for o in sources if o.node.name != source.node.name and o.vertex in net.vertices}
    if charged:
        others = _givers(network, source, others, fed, resistance)
    if not others:
        return None
    feeding = feed(network.adjacent, others, resistance if net.knots or len(others) > 1 else None)
    nearest = feeding.post[source.vertex]
    amps, missing = _planned(source)
    if not (amps or missing):
        return None
    giver, taker = (nearest, source.vertex) if charged else (source.vertex, nearest)
    # Shares run from the nearest source to this one; the current from giver to taker.
    along = _along(network.adjacent, feeding, source.vertex, resistance, 1.0 if charged else -1.0)
    return Transfer(giver=giver, taker=taker, along=along, amps=amps, missing=missing)


def _is_added(source: Source) -> bool:
    return isinstance(source.node, Battery) and source.node.role == "added"


def _givers(
    network: Network, source: Source, others: dict[Vertex, Source], fed: set[Vertex], resistance: Resistance
) -> dict[Vertex, Source]:
    """Return the batteries of which the nearest may charge a battery: of an added one the first that lies on its way to the
    vehicle's own, or where that is not in reach to one with a charger.

    Neither a charger nor an alternator that lies nearer parts it from the vehicle's own.
    """
    batteries = {at: other for at, other in others.items() if isinstance(other.node, Battery)}
    own = {at: other for at, other in batteries.items() if not _is_added(other)}
    if not own and source.vertex in fed:
        return {}
    roots = own or {at: other for at, other in batteries.items() if at in fed}
    if not roots or not _is_added(source):
        return batteries
    ways = feed(network.adjacent, roots, resistance)
    at = source.vertex
    while at in ways.back:
        at = ways.back[at][0]
        if at in batteries:
            return {at: batteries[at]}
    return {}


def _planned(source: Source) -> tuple[float | None, Path | None]:
    """Return the current in A that a source's link is planned for, or the field that is missing."""
    node = source.node
    if isinstance(node, Battery):
        if isinstance(node.link, Quantity):
            return node.link.high, None
        joined = node.role == "added"
        return None, (*node.path, "link") if joined else None
    if node.factory is True or (isinstance(node, Charger) and source.vertex.endswith(".input")):
        return None, None
    return source.limit, source.limit_path


def _along(
    adjacent: Adjacent, feeding: Feeding, start: Vertex, resistance: Resistance, sign: float
) -> dict[str, float]:
    """Return the share of each link in a current that runs from a vertex's post to the vertex, times `sign`."""
    post = feeding.post.get(start)
    if post is None or post == start:
        return {}
    flow = share(adjacent, feeding, post, {start: 1.0}, resistance)
    return {key: sign * part for key, part in flow.current.items() if abs(part) > _NOTHING}


# A share below this is rounding, not current.
_NOTHING = 1e-9
