"""Computes what limits the current in ground wires: what can flow into them through the users they serve, as shorts."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from planlint.graph.link import Link, LinkKind, Vertex
from planlint.graph.nets import Net
from planlint.graph.network import Network
from planlint.graph.protection import UNLIMITED, greatest_flow
from planlint.plan.kinds import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class _Given:
    """What a net of ground wires is judged with: sources and ratings in mA, the flow into each user, users by ground."""

    sources: Mapping[Vertex, int]
    ratings: Mapping[str, int]
    into_users: Mapping[Vertex, int]
    homes: Collection[Vertex]
    served: Mapping[Vertex, Vertex]


def return_inflows(
    network: Network,
    sources: Mapping[Vertex, int],
    ratings: Mapping[str, int],
    into_users: Mapping[Vertex, int],
    homes: Collection[Vertex],
    only: str | None = None,
) -> dict[str, tuple[int, int]]:
    """Return for every ground wire (or the one named) the current in mA that can flow into each end from users beyond it.

    An end counts only where the wire's other end leads to one of the sources' `homes`, where their current comes back. A
    wire that serves one user bears what can flow into that user; one that serves several, their maximum flow together.
    """
    users = {ground: power for ground, power in _users(network).items() if power in into_users}
    ends: dict[str, tuple[int, int]] = {}
    nets = (
        network.nets if only is None else [network.net_of[at] for at in network.ends[only][:1] if at in network.net_of]
    )
    for net in nets:
        served = {at: power for at, power in users.items() if at in net.vertices}
        if served and not net.vertices.isdisjoint(homes):
            given = _Given(sources=sources, ratings=ratings, into_users=into_users, homes=homes, served=served)
            ends.update(_net_inflows(network, net, given, only))
    return ends


def _users(network: Network) -> dict[Vertex, Vertex]:
    """Return the supply vertex of every user by its ground vertex."""
    pairs = {}
    for at, roles in network.roles.items():
        if Role.RETURN in roles:
            name = network.owners[at].name
            power = next(
                (f"{name}.{t}" for t in ("power", "input", "positive") if _is_power(network, f"{name}.{t}")),
                None,
            )
            if power:
                pairs[at] = power
    return pairs


def _is_power(network: Network, at: Vertex) -> bool:
    return Role.POWER in network.roles.get(at, ())


def _net_inflows(network: Network, net: Net, given: _Given, only: str | None) -> dict[str, tuple[int, int]]:
    """Return the inflows of one ground net by counting users and homes on both sides of every single link."""
    links = {link.key: link for at in net.vertices for _, link in network.adjacent[at]}
    inside = {key for knot in set(net.knots.values()) for key in knot.links}
    parts = _parts(network, net, inside, given)
    return {
        link.name: (_into(network, net, link, 0, parts, given), _into(network, net, link, 1, parts, given))
        for link in links.values()
        if link.kind is LinkKind.WIRE and only in (None, link.name)
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """What lies on one side of a link: how many users, the sum of their numbers (which names a single one), homes."""

    users: int
    numbers: int
    homes: int

    def plus(self, other: _Part, sign: int = 1) -> _Part:
        return _Part(
            users=self.users + sign * other.users,
            numbers=self.numbers + sign * other.numbers,
            homes=self.homes + sign * other.homes,
        )


def _parts(network: Network, net: Net, inside: set[str], given: _Given) -> dict[tuple[str, Vertex], _Part]:
    """Count users and homes on both sides of every link that alone joins two parts of a net, in one walk."""
    root = next(iter(net.vertices))
    order, parent = [root], {root: (root, "")}
    for at in order:
        for other, link in network.adjacent[at]:
            if other not in parent:
                parent[other] = (at, link.key)
                order.append(other)
    served = given.served
    number = {at: index for index, at in enumerate(served)}
    count = {
        at: _Part(users=int(at in served), numbers=number.get(at, 0), homes=int(at in given.homes)) for at in order
    }
    for at in reversed(order[1:]):
        above = parent[at][0]
        count[above] = count[above].plus(count[at])
    parts: dict[tuple[str, Vertex], _Part] = {}
    for at in order[1:]:
        above, key = parent[at]
        if key not in inside:
            parts[key, at] = count[at]
            parts[key, above] = count[root].plus(count[at], -1)
    return parts


def _into(
    network: Network, net: Net, link: Link, end: int, parts: dict[tuple[str, Vertex], _Part], given: _Given
) -> int:
    """Return the current in mA into one end of a ground wire, with the wire out."""
    at, far = link.ends[end], link.ends[1 - end]
    near, beyond = parts.get((link.key, at)), parts.get((link.key, far))
    if near and beyond and (not near.users or not beyond.homes):
        return 0
    if near and near.users == 1:
        return min(UNLIMITED, given.into_users[list(given.served.values())[near.numbers]])
    return _flow(network, net, link.key, at, given)


def _flow(network: Network, net: Net, without: str, target: Vertex, given: _Given) -> int:
    """Return the maximum flow in mA from the sources through users as shorts into a vertex of a ground net."""
    fed = [net] + [network.net_of[power] for power in given.served.values()]
    links = {
        link.key: link
        for vertices in {one.vertices for one in fed}
        for at in vertices
        for _, link in network.adjacent[at]
        if link.key != without
    }
    feeds = {at: current for at, current in given.sources.items() if any(at in one.vertices for one in fed)}
    shorts = [(power, ground) for ground, power in given.served.items()]
    return greatest_flow(links.values(), given.ratings, feeds, target, shorts)
