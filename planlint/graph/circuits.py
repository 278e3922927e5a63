"""Finds what each wire is for from what it joins, and the wires that join what must not be joined."""

from __future__ import annotations

from collections import deque
from enum import StrEnum

import networkx as nx

from planlint.frozen import frozen
from planlint.graph.link import Vertex, wire_key
from planlint.graph.network import Network
from planlint.plan.kinds import Role
from planlint.plan.model import Wire


class Family(StrEnum):
    """What kind of conductor a terminal belongs to."""

    SUPPLY = "supply"
    GROUND = "ground"
    TURN_ON = "turn-on"
    SIGNAL = "line-signal"
    RADIO = "speaker-signal"
    SPEAKER = "speaker"
    DATA = "data"


FAMILY: dict[Role, Family] = {
    Role.SOURCE: Family.SUPPLY,
    Role.POWER: Family.SUPPLY,
    Role.NEGATIVE: Family.GROUND,
    Role.RETURN: Family.GROUND,
    Role.BODY: Family.GROUND,
    Role.TURN_ON: Family.TURN_ON,
    Role.TURN_ON_SOURCE: Family.TURN_ON,
    Role.INPUT: Family.SIGNAL,
    Role.LINE: Family.SIGNAL,
    Role.RADIO_SPEAKER: Family.RADIO,
    Role.SPEAKER: Family.SPEAKER,
    Role.DATA: Family.DATA,
}
# A turn-on lead may be fed from the supply, and a small device from a turn-on lead; a tap leaves the factory speaker on.
_TOGETHER = (
    frozenset({Family.SUPPLY, Family.TURN_ON}),
    frozenset({Family.SIGNAL, Family.RADIO, Family.SPEAKER}),
    frozenset({Family.GROUND}),
    frozenset({Family.DATA}),
)


@frozen
class Conflict:
    """A wire that joins two kinds of conductor which must stay apart."""

    wire: Wire
    joins: tuple[Family, Family]
    shorts: bool


def families_at(network: Network, at: Vertex) -> set[Family]:
    """Return the families of a vertex's own roles (empty for a joint)."""
    roles = network.roles.get(at)
    return {FAMILY[role] for role in roles if role is not Role.THROUGH} if roles else set()


def compatible(families: set[Family]) -> bool:
    """Say whether conductors of these families may be joined."""
    return len(families) < 2 or any(families <= group for group in _TOGETHER)


def find_conflicts(network: Network) -> tuple[Conflict, ...]:
    """Return the wires at fault for every net that joins incompatible families; each is taken out in turn."""
    conflicts: list[Conflict] = []
    work = network
    nets = [net.vertices for net in network.nets]
    while nets:
        net = nets.pop()
        if compatible(_families(work, net)):
            continue
        conflict = _conflict_in(work, net)
        conflicts.append(conflict)
        work = work.without({conflict.wire.name})
        nets.extend(part.vertices for part in work.nets if part.vertices <= net)
    return tuple(sorted(conflicts, key=lambda conflict: conflict.wire.name))


def _families(network: Network, net: frozenset[Vertex]) -> set[Family]:
    roles = {role for at in net for role in network.roles.get(at, ())}
    return {FAMILY[role] for role in roles if role is not Role.THROUGH}


def _conflict_in(network: Network, net: frozenset[Vertex]) -> Conflict:
    """Return the wire at fault in a mixed net: the one whose removal leaves two clean sides.

    Of several that would do, the one farthest from the supply: what ends there was meant for another place.
    """
    path = _mixing_path(network, net)
    for wire in reversed(path):
        sides = _sides(network, wire, net)
        if sides and all(compatible(_families(network, side)) for side in sides):
            return _conflict(network, wire, sides)
    worst = max(path, key=lambda wire: (_joins_directly(network, wire), wire.name))
    return _conflict(network, worst, _sides(network, worst, net) or (net, net))


def _joins_directly(network: Network, wire: Wire) -> bool:
    first, second = network.ends[wire.name]
    return not compatible(families_at(network, first) | families_at(network, second))


def _mixing_path(network: Network, net: frozenset[Vertex]) -> list[Wire]:
    """Return the wires of a shortest path between two vertices of incompatible families."""
    start_family = min((family for at in net for family in families_at(network, at)), key=lambda f: f.value)
    clean = {at for at in net if start_family in families_at(network, at)}
    parents: dict[Vertex, tuple[Vertex, Wire | None]] = {}
    queue = deque(sorted(clean))
    seen = set(queue)
    while queue:
        at = queue.popleft()
        if not compatible(families_at(network, at) | {start_family}):
            return _walk_back(parents, at)
        for other, link in sorted(network.adjacent[at], key=lambda pair: (pair[0], pair[1].key)):
            if other not in seen:
                seen.add(other)
                parents[other] = (at, link.wire)
                queue.append(other)
    # The mixture is among the other families: start from one of them instead.
    rest = frozenset(net - clean) or net
    return _mixing_path(network, rest) if rest != net else _any_wires(network, net)


def _walk_back(parents: dict[Vertex, tuple[Vertex, Wire | None]], at: Vertex) -> list[Wire]:
    wires = []
    while at in parents:
        at, wire = parents[at]
        if wire is not None:
            wires.append(wire)
    return wires


def _any_wires(network: Network, net: frozenset[Vertex]) -> list[Wire]:
    return sorted({w.name: w for at in net for w in network.wires_at.get(at, ())}.values(), key=lambda w: w.name)


def _sides(network: Network, wire: Wire, net: frozenset[Vertex]) -> tuple[frozenset[Vertex], frozenset[Vertex]] | None:
    """Return the two parts of the net that the wire alone joins, or None where it does not part it."""
    first, second = network.ends[wire.name]
    graph = network.graph.subgraph(net).copy()
    graph.remove_edge(first, second, key=wire_key(wire.name))
    side = nx.node_connected_component(graph, first)
    if second in side:
        return None
    return frozenset(side), frozenset(nx.node_connected_component(graph, second))


def _conflict(network: Network, wire: Wire, sides: tuple[frozenset[Vertex], frozenset[Vertex]]) -> Conflict:
    first, second = (_families(network, side) for side in sides)
    joins = _clash(first, second)
    return Conflict(wire=wire, joins=joins, shorts=_shorts(network, sides))


def _clash(first: set[Family], second: set[Family]) -> tuple[Family, Family]:
    """Return one family of each side that must not be joined."""
    for one in sorted(first, key=lambda f: f.value):
        for other in sorted(second, key=lambda f: f.value):
            if not compatible({one, other}):
                return one, other
    mixed = sorted(first | second, key=lambda f: f.value)
    return mixed[0], mixed[-1]


def _shorts(network: Network, sides: tuple[frozenset[Vertex], frozenset[Vertex]]) -> bool:
    """Say whether a source stands on one side and the body or a battery's negative on the other."""
    roles = [{role for at in side for role in network.roles.get(at, ())} for side in sides]
    negative = {Role.NEGATIVE, Role.BODY}
    return any(Role.SOURCE in one and negative & other for one, other in (roles, roles[::-1]))


def wire_families(network: Network) -> dict[str, Family | None]:
    """Return for every wire the family it belongs to, or None where nothing it joins tells."""
    of_net: dict[Vertex, set[Family]] = {}
    for net in network.nets:
        families = _families(network, net.vertices)
        of_net.update(dict.fromkeys(net.vertices, families))
        if families == _FED_LEADS:
            of_net.update({at: {Family.SUPPLY} for at in _trunk(network, net.vertices)})
    return {
        wire.name: None if wire.name in network.series else _family(network, wire, of_net)
        for wire in network.plan.wires
    }


# A wire that touches a turn-on terminal is a turn-on lead though the supply feeds it, and so on down this list.
_PRECEDENCE = (
    Family.DATA,
    Family.TURN_ON,
    Family.SUPPLY,
    Family.GROUND,
    Family.SPEAKER,
    Family.RADIO,
    Family.SIGNAL,
)


def _family(network: Network, wire: Wire, of_net: dict[Vertex, set[Family]]) -> Family | None:
    first, second = network.ends[wire.name]
    # A wire in conflict is out of the network, and so may its ends be.
    nets = of_net.get(first, set()), of_net.get(second, set())
    own = families_at(network, first) | families_at(network, second)
    if own == {Family.SIGNAL} and Family.RADIO in nets[0]:
        return Family.RADIO
    if own == {Family.SUPPLY, Family.TURN_ON} and any(
        Role.POWER in network.roles.get(at, ()) for at in (first, second)
    ):
        return Family.SUPPLY
    for family in _PRECEDENCE:
        if family in (own or _joined(*nets)):
            return family
    return None


def _joined(first: set[Family], second: set[Family]) -> set[Family]:
    """Return what a wire between two joints belongs to: a branch to a turn-on terminal leaves the trunk at one of it."""
    return second if first == {Family.SUPPLY} else first


_FED_LEADS = {Family.SUPPLY, Family.TURN_ON}


def _trunk(network: Network, net: frozenset[Vertex]) -> set[Vertex]:
    """Return, of a net in which a supply also feeds turn-on leads, the vertices between its sources and its users: what is
    left when dead ends that are neither are cut off one after the other. Nothing where no source stands in it."""
    keeps = {at for at in net if {Role.SOURCE, Role.POWER} & set(network.roles.get(at, ()))}
    if not any(Role.SOURCE in network.roles[at] for at in keeps):
        return set()
    left = {at: len(network.adjacent[at]) for at in net}
    ends = [at for at, many in left.items() if many < 2 and at not in keeps]
    for at in ends:
        del left[at]
        for other, _ in network.adjacent[at]:
            if other in left:
                left[other] -= 1
                if left[other] == 1 and other not in keeps:
                    ends.append(other)
    return set(left)
