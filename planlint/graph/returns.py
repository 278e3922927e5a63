"""Computes what limits the current in ground wires: what can flow into them through the users they serve, as shorts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from planlint.frozen import frozen
from planlint.graph.link import Link, LinkKind, Vertex, wire_key
from planlint.graph.nets import Net
from planlint.graph.network import Network
from planlint.graph.protection import UNLIMITED, greatest_flow
from planlint.graph.stems import Stems, Walks
from planlint.graph.users import ground_vertex
from planlint.plan.nodes import Battery, Node

Ends = tuple[int, int]
NOTHING: Ends = (0, 0)


class Returns:
    """How the current of some sources comes back through the ground wires to their `homes`.

    `users` are by supply terminal what the current runs through, as shorts; `sources`, `ratings` and `into_users` (what can
    flow into each of those terminals) are in mA. All returns of a network share its `walks`.
    """

    def __init__(
        self,
        network: Network,
        sources: Mapping[Vertex, int],
        ratings: Mapping[str, int],
        users: Mapping[Vertex, Node],
        into_users: Mapping[Vertex, int],
        homes: frozenset[Vertex],
        walks: Walks,
    ) -> None:
        self._network = network
        self._sources = sources
        self._ratings = ratings
        self._users = users
        self._into_users = into_users
        self._homes = homes
        self._nets: dict[Net, _GroundNet | None] = {}
        self._joint: dict[frozenset[Vertex], int] = {}
        self._walks = walks

    def ends(self, wire: str) -> Ends:
        """Return the current in mA that can flow into each end of a ground wire from users beyond it.

        An end counts only where the wire's other end leads to one of the homes. A wire that serves one user bears what
        can flow into that user; one that serves several, their maximum flow together.
        """
        net = self._network.net_of.get(self._network.ends[wire][0])
        if net is None:
            return NOTHING
        if net not in self._nets:
            self._nets[net] = self._ground_net(net)
        ground = self._nets[net]
        link = ground.links.get(wire_key(wire)) if ground else None
        return (self._into(ground, link, 0), self._into(ground, link, 1)) if ground and link else NOTHING

    def _ground_net(self, net: Net) -> _GroundNet | None:
        """Return a net with the users it serves, None where it serves none or leads to no home."""
        pairs = [(_back_vertex(node), power) for power, node in self._users.items()]
        served = {g: p for g, p in pairs if g and g in net.vertices and p in self._into_users}
        if not served or net.vertices.isdisjoint(self._homes):
            return None
        links = {link.key: link for at in net.vertices for _, link in self._network.adjacent[at]}
        parts = _parts(self._walks.stems(net), net, served, self._homes)
        fused = any(link.kind is LinkKind.DEVICE for link in links.values())
        return _GroundNet(net=net, links=links, served=served, parts=parts, fused=fused)

    def _into(self, ground: _GroundNet, link: Link, end: int) -> int:
        """Return the current in mA into one end of a ground wire, with the wire out."""
        at, far = link.ends[end], link.ends[1 - end]
        if (link.key, at) not in ground.parts:
            # What could only come here past the other end, or only leave past this one, stays out of the wire.
            leads_home = at != far and not self._homes.isdisjoint(self._walks.joined(link.key, far, at))
            return self._flow(ground, link.key, at, far) if leads_home else 0
        users, number, _ = ground.parts[link.key, at]
        if not users or not ground.parts[link.key, far][2]:
            return 0
        if users == 1:
            return min(UNLIMITED, self._into_users[list(ground.served.values())[number]])
        return self._flow(ground, link.key, at, far)

    def _flow(self, ground: _GroundNet, without: str, target: Vertex, far: Vertex) -> int:
        """Return the maximum flow in mA from the sources through users as shorts into the end of a wire of a ground net,
        by no way past its far end, nor past the only home: what has come there goes no farther."""
        past = {far} | (self._homes - {target} if len(self._homes) == 1 else set())
        if ground.fused:
            links = [link for link in ground.links.values() if link.key != without and past.isdisjoint(link.ends)]
            served = {at: power for at, power in ground.served.items() if at not in past}
            return self._from_sources(served, target, links)
        # Grounds without fuses let all pass that comes through the users they join.
        near = self._walks.joined(without, target, *sorted(past))
        users = frozenset(at for at in ground.served if at in near)
        if users not in self._joint:
            served = {at: ground.served[at] for at in users}
            bars = [Link(key="", kind=LinkKind.BODY, name="", ends=(at, target)) for at in served]
            self._joint[users] = self._from_sources(served, target, bars)
        return self._joint[users]

    def _from_sources(self, served: Mapping[Vertex, Vertex], target: Vertex, grounds: Iterable[Link]) -> int:
        """Return the maximum flow in mA from the sources through the users served and through grounds into a vertex."""
        network = self._network
        fed = {network.net_of[power] for power in served.values()} | {network.net_of[target]}
        feeds = {at: current for at, current in self._sources.items() if network.net_of[at] in fed}
        supply: dict[str, Link] = {}
        for net in fed:
            if target not in net.vertices:
                supply |= self._walks.stems(net).between(at for at in (*feeds, *served.values()) if at in net.vertices)
        shorts = [(power, at) for at, power in served.items()]
        return greatest_flow([*supply.values(), *grounds], self._ratings, feeds, target, shorts)


def _back_vertex(node: Node) -> Vertex | None:
    """Return the terminal at which the current leaves a user, or a battery that another source charges."""
    return f"{node.name}.negative" if isinstance(node, Battery) else ground_vertex(node)


# What lies on one side of a link: how many users, the sum of their numbers (which names a single one), how many homes.
_Part = tuple[int, int, int]


@frozen
class _GroundNet:
    """A net with the users it serves, supply vertex by ground vertex, and what lies on both sides of its single links."""

    net: Net
    links: Mapping[str, Link]
    served: Mapping[Vertex, Vertex]
    parts: Mapping[tuple[str, Vertex], _Part]
    fused: bool


def _parts(
    stems: Stems, net: Net, served: Mapping[Vertex, Vertex], homes: frozenset[Vertex]
) -> dict[tuple[str, Vertex], _Part]:
    """Count users and homes on both sides of every link that alone joins two parts of a net, in one walk."""
    inside = {key for knot in set(net.knots.values()) for key in knot.links}
    number = {at: index for index, at in enumerate(served)}
    count = {at: (int(at in served), number.get(at, 0), int(at in homes)) for at in stems.inward}
    outward = [(at, *step) for at, step in stems.inward.items() if step]
    for at, above, _ in reversed(outward):
        count[above] = _plus(count[above], count[at])
    whole = count[stems.root]
    parts: dict[tuple[str, Vertex], _Part] = {}
    for at, above, link in outward:
        if link.key not in inside:
            parts[link.key, at] = count[at]
            parts[link.key, above] = _plus(whole, count[at], -1)
    return parts


def _plus(one: _Part, other: _Part, sign: int = 1) -> _Part:
    return one[0] + sign * other[0], one[1] + sign * other[1], one[2] + sign * other[2]
