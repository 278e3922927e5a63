"""What a rule may ask about a wire."""

from __future__ import annotations

import math

from planlint.facts import conductor, wiring
from planlint.facts.case import Case
from planlint.facts.demand import ground_vertex, power_vertex
from planlint.graph.circuits import Family
from planlint.graph.network import block_fuse, rating_of, wire_key
from planlint.graph.protection import UNLIMITED
from planlint.graph.reach import Ahead
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.nodes import BlockOutput, Distribution, Node
from planlint.plan.quantity import Quantity


def circuit(case: Case, wire: Wire) -> str:
    """Return what the wire is for, from what it joins: supply, charge, ground, turn-on, data, line-signal,
    speaker-signal or speaker."""
    word = case.once("circuit words", lambda: _circuits(case)).get(wire.name)
    if word is None:
        raise UnfitError
    return word


def _circuits(case: Case) -> dict[str, str]:
    """Return by wire name what each wire is for; a supply wire that sources can feed from both ends is a charge wire."""
    most, wrong = wiring.limits(case).most, wiring.conflicts(case)
    words = {}
    for name, family in wiring.circuits(case).items():
        if family is not None and name not in wrong:
            charge = family is Family.SUPPLY and all(most.get(name, (0, 0)))
            words[name] = "charge" if charge else family.value
    return words


def reckoned_material(case: Case, wire: Wire) -> str:
    """Return the conductor material that the computation takes."""
    return conductor.material(case, wire)


def insulation(case: Case, wire: Wire) -> float:
    """Return the temperature rating of the insulation in C, the assumed one where none is stated."""
    return conductor.insulation(case, wire)


def ambient(case: Case, wire: Wire) -> float:
    """Return the highest air temperature in C along the wire."""
    return conductor.ambient(case, wire)


def ampacity(case: Case, wire: Wire) -> float:
    """Return the current in A that the wire may carry without end where it lies."""
    return case.once(("ampacity", wire.name), lambda: conductor.wire_ampacity(case, wire))


def fuse_limit(case: Case, wire: Wire) -> float:
    """Return the largest fuse in A that the trade's table allows on the wire."""
    return conductor.fuse_limit(case, wire)


def current(case: Case, wire: Wire) -> float:
    """Return the design current in A: of all users it serves and of the transfers it carries."""
    return case.once(("design current", wire.name), lambda: _current(case, wire))


def _current(case: Case, wire: Wire) -> float:
    key, total = wire_key(wire.name), 0.0
    for side in wiring.sides(case):
        if missing := side.missing(key):
            raise UnknownError(missing, f"the current in {wire.name}")
        # In a loop the wire's share rests on all resistances of the loop.
        for link in side.knots.get(key, ()):
            conductor.link_resistance(case, link)
        total += side.current(key)
    return total


def protecting_rating(case: Case, wire: Wire) -> float:
    """Return what limits the current through the wire, in A: the larger of what can flow into its two ends.

    Where no fuse stands before the wire, or the wire steps down from a thicker one, the fuse it comes to next limits its
    load; whether that fuse is near enough is another question. Raises UnfitError where no fuse limits it at all.
    """
    return case.once(("protecting rating", wire.name), lambda: _protecting_rating(case, wire))


def _protecting_rating(case: Case, wire: Wire) -> float:
    ahead = max(wiring.wire_limit(case, wire.name))
    if not ahead:
        raise UnfitError
    if ahead >= UNLIMITED or steps_down(case, wire):
        beyond = rating_beyond(case, wire)
        if beyond is not None:
            return min(beyond, ahead / 1000)
        if ahead >= UNLIMITED:
            raise UnfitError
    return ahead / 1000


def rating_beyond(case: Case, wire: Wire) -> float | None:
    """Return the sum in A of the fuses that all current through the wire must pass next, None where some passes none."""
    fuses = own_fuses(case, wire)
    if fuses is None:
        return None
    total = 0.0
    for link in fuses.devices:
        rating = rating_of(link)
        if rating is None:
            raise UnknownError(conductor.rating_path(link), f"the rating of {link.name}")
        total += rating.high
    return total


def own_fuses(case: Case, wire: Wire) -> Ahead | None:
    """Return the fuses that all current through the wire must pass beyond it, None where some passes none."""
    start = downstream_end(case, wire)
    if start is None:
        return None
    beyond = wiring.ahead(case, wire, start)
    return beyond if beyond.devices and not beyond.open_ends else None


def downstream_end(case: Case, wire: Wire) -> str | None:
    """Return the vertex at the end away from the only source that feeds the wire, None where both ends are fed."""
    first, second = wiring.network(case).ends[wire.name]
    fed = wiring.limits(case).most.get(wire.name, (0, 0))
    if bool(fed[0]) == bool(fed[1]):
        return None
    return second if fed[0] else first


def upstream_end(case: Case, wire: Wire) -> str | None:
    """Return the vertex at the end from which the wire is fed, None where both ends or none are fed."""
    first, second = wiring.network(case).ends[wire.name]
    down = downstream_end(case, wire)
    return None if down is None else first if down == second else second


def protecting_fuses(case: Case, wire: Wire) -> tuple[Node, ...]:
    """Return the fuses and fused blocks nearest to the wire that limit its current."""
    return case.once(("protecting fuses", wire.name), lambda: _protecting_fuses(case, wire))


def _protecting_fuses(case: Case, wire: Wire) -> tuple[Node, ...]:
    beyond = own_fuses(case, wire) if steps_down(case, wire) else None
    links = beyond.devices if beyond else wiring.fuses_toward_sources(case, wire)
    if not links and (beyond := own_fuses(case, wire)):
        links = beyond.devices
    nodes = {link.node.name: link.node for link in links if link.node}
    return tuple(nodes[name] for name in sorted(nodes))


def steps_down(case: Case, wire: Wire) -> bool:
    """Say whether a thicker conductor feeds the wire at a joint, with no fuse between and not at a source's terminal."""
    return case.once(("steps down", wire.name), lambda: bool(feeding_wires(case, wire, thicker=True)))


def feeding_wires(case: Case, wire: Wire, *, thicker: bool = False) -> tuple[Wire, ...]:
    """Return the added wires that feed this one at a joint without a fuse between."""
    start = upstream_end(case, wire)
    if start is None:
        return ()
    found = []
    for other in wiring.wires_joined(case, start):
        if other.name != wire.name and downstream_end(case, other) in wiring.joined(case, start):
            if not thicker or conductor.area(other) > conductor.area(wire) * (1 + 1e-9):
                found.append(other)
    return tuple(found)


def fed_by(case: Case, wire: Wire) -> Wire:
    """Return the thickest wire that feeds this one at a joint without a fuse between."""
    feeders = feeding_wires(case, wire)
    if not feeders:
        raise UnfitError
    return max(
        feeders, key=lambda other: (other.gauge.low if isinstance(other.gauge, Quantity) else 0.0, other.name)
    )


def own_fuse_reach(case: Case, wire: Wire) -> float:
    """Return the cable in m from the joint that feeds the wire to the farthest of the wire's own first fuses.

    Raises UnfitError where some of its current passes none.
    """
    beyond = own_fuses(case, wire)
    if beyond is None:
        raise UnfitError
    if beyond.unknown:
        raise UnknownError((*beyond.unknown.path, "length"), f"the length of {beyond.unknown.name}")
    return conductor.length(wire) + beyond.cable


def has_own_fuse(case: Case, wire: Wire) -> bool:
    """Say whether all current through the wire must pass a fuse beyond it."""
    return own_fuses(case, wire) is not None


def tapped_from(case: Case, wire: Wire) -> Node | None:
    """Return the device from whose supply terminal the wire takes power onward, None where it takes it elsewhere."""
    start = upstream_end(case, wire)
    network = wiring.network(case)
    if start is None or Role.POWER not in network.roles.get(start, ()) or not feeding_wires(case, wire):
        return None
    return network.owners[start]


def return_for(case: Case, wire: Wire) -> tuple[Node, ...]:
    """Return the users whose current comes back through a ground wire."""
    names = wiring.users_by_wire(case).get(wire.name, frozenset())
    return tuple(wiring.node_named(case, name) for name in sorted(names))


def supply_gauge(case: Case, wire: Wire) -> float:
    """Return, for a ground wire, the area in m2 of the thickest supply wire that serves only the users it serves."""
    return conductor.area(supply_wire(case, wire))


def supply_wire(case: Case, wire: Wire) -> Wire:
    """Return, for a ground wire, the thickest supply wire that serves only the users it serves."""
    by_wire = wiring.users_by_wire(case)
    users = by_wire.get(wire.name, frozenset())
    demands = (demand for demand in wiring.all_demands(case) if demand.name in users)
    wires = (link.wire for demand in demands for link in wiring.user_way(case, demand) if link.wire)
    fitting = {
        other.name: other for other in wires if by_wire[other.name] <= users and other.factory is not True
    }
    if not fitting:
        raise UnfitError
    return max(fitting.values(), key=lambda other: (conductor.area(other), other.name))


def tapped_kind(case: Case, wire: Wire) -> str:
    """Return the kind of the device from whose supply terminal the wire takes power onward."""
    device = tapped_from(case, wire)
    if device is None:
        raise UnfitError
    return device.kind


def upstream_rating(case: Case, wire: Wire) -> float:
    """Return what can flow into the wire from its sources before a fuse opens, in A; infinite where nothing limits it."""
    flow = max(wiring.wire_limit(case, wire.name))
    if not flow:
        raise UnfitError
    return math.inf if flow >= UNLIMITED else flow / 1000


def block_output(case: Case, wire: Wire) -> BlockOutput | None:
    """Return the fused output of a distribution block at which the wire ends, None where it ends at none."""
    for end in wire.ends:
        node = wiring.node_named(case, end.node)
        if isinstance(node, Distribution) and (output := block_fuse(node, end.terminal)):
            return output
    return None


def larger_user(case: Case, wire: Wire) -> Node | None:
    """Return another user of the most current, where it takes more than the users that the wire serves, else None."""
    mine = wiring.users_by_wire(case).get(wire.name, frozenset())
    others = [d for d in wiring.all_demands(case) if d.name not in mine and d.amps is not None]
    largest = max(others, key=lambda demand: (demand.amps or 0.0, demand.name), default=None)
    if largest is None or (largest.amps or 0.0) <= current(case, wire):
        return None
    return wiring.node_named(case, largest.name)


def grounded_user(case: Case, wire: Wire) -> Node | None:
    """Return the user at whose ground terminal the wire ends, None where it ends at none."""
    for end in wire.ends:
        node = wiring.node_named(case, end.node)
        if ground_vertex(node) == f"{end.node}.{end.terminal}" and power_vertex(node):
            return node
    return None


def to_node(case: Case, wire: Wire) -> Node:
    """Return the node at the wire's second end."""
    return wiring.node_named(case, wire.to.node)


def to_kind(case: Case, wire: Wire) -> str:
    """Return the kind of the node at the wire's second end."""
    return to_node(case, wire).kind
