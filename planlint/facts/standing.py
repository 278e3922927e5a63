"""What a rule may ask about where a device stands: first or behind another, beside another, before a user, in a return."""

from __future__ import annotations

from planlint.facts import conductor, limiting, protection, user, wiring
from planlint.facts.case import Case
from planlint.facts.device import Device, circuit, devices, served
from planlint.graph.flow import feed
from planlint.graph.link import LinkKind, Vertex, rating_of, rating_path
from planlint.graph.protection import UNLIMITED
from planlint.graph.reach import look_ahead
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Breaker


def first_behind_source(case: Case, device: Device) -> bool:
    """Say whether it is the first that current from a battery or another source of the plan comes to."""
    return device.name in case.once("first devices", lambda: _first_devices(case))


def _first_devices(case: Case) -> frozenset[str]:
    starts = [source.vertex for source in case.layout.sources if not source.fused]
    ahead = (look_ahead(case.layout.network, start, "") for start in starts)
    return frozenset(link.name for one in ahead for link in one.devices)


def upstream_rating(case: Case, device: Device) -> float:
    """Return what can flow into it in A before a fuse upstream opens. Raises UnfitError where nothing limits that."""
    flow = max(_flow_into(case, at) for at in device.link.ends)
    if not 0 < flow < UNLIMITED:
        raise UnfitError
    return flow / 1000


def return_parts(case: Case, wire: Wire) -> tuple[Node, ...]:
    """Return the parts that hold the fuses and breakers at the two ends of a ground wire: themselves, or their block."""
    return tuple({device.node.name: device.node for device in return_fuses(case, wire)}.values())


def fuses_before(case: Case, device: Device) -> tuple[Device, ...]:
    """Return the fuses before it that let least pass, one for each source."""
    wires = [one for at in device.link.ends for one in case.layout.wires_at(at)]
    keys = {link.key for one in wires for link in case.layout.fuses_toward_sources(one)} - {device.link.key}
    return tuple(other for other in devices(case) if other.link.key in keys)


def _flow_into(case: Case, at: Vertex) -> int:
    """Return in mA what the wires at a vertex can bring to it from their far ends."""
    total = 0
    for one in case.layout.network.wires_at.get(at, ()):
        if one.name not in case.layout.conflicts:
            into = protection.wire_limit(case, one)
            total += into[0] if case.layout.network.ends[one.name][1] == at else into[1]
    return total


def parallel_fuses(case: Case, device: Device) -> tuple[Device, ...]:
    """Return the fuses, itself among them, that join the same two places with only cable between; none where it is alone."""
    groups = case.once("parallel devices", lambda: _parallel_groups(case))
    return groups.get(device.name, ())


def _parallel_groups(case: Case) -> dict[str, tuple[Device, ...]]:
    if not any(net.knots for net in case.layout.network.nets):
        return {}  # fuses side by side make a loop
    place = _joints(case)
    groups: dict[frozenset[Vertex], list[Device]] = {}
    for device in devices(case):
        sides = frozenset(place.get(at, at) for at in device.link.ends)
        if len(sides) == 2:
            groups.setdefault(sides, []).append(device)
    several = [sorted(group, key=lambda one: one.name) for group in groups.values() if len(group) > 1]
    return {device.name: tuple(group) for group in several for device in group}


def _joints(case: Case) -> dict[Vertex, Vertex]:
    """Return for every vertex that cable joins to others one vertex that stands for all of them."""
    adjacent = case.layout.network.adjacent
    place: dict[Vertex, Vertex] = {}
    for start in adjacent:
        stack = [start] if start not in place else []
        while stack:
            at = stack.pop()
            if place.setdefault(at, start) == start:
                stack += [o for o, link in adjacent[at] if link.kind is LinkKind.WIRE and o not in place]
    return place


def cable_between(case: Case, device: Device) -> float:
    """Return the cable in m between it and the nearest of the fuses parallel to it, on the side where there is more."""
    others = [other for other in parallel_fuses(case, device) if other.name != device.name]
    if not others:
        raise UnfitError
    return min(max(_apart(case, at, other) for at in device.link.ends) for other in others)


def _apart(case: Case, start: Vertex, other: Device) -> float:
    """Return the cable in m from a vertex to the nearer end of another fuse.

    Raises UnknownError where the way may lead by a wire whose length is not stated: such a wire is first taken as nothing.
    """
    adjacent = case.layout.network.adjacent
    cable = {at: [pair for pair in around if pair[1].wire] for at, around in adjacent.items()}
    ways = feed(cable, [start], lambda link: _length(link.wire))
    found = [[link.wire for link in ways.way(at) if link.wire] for at in other.link.ends if at in ways.post]
    nearest = min(found, key=lambda wires: (sum(map(_length, wires)), [wire.name for wire in wires]))
    return sum(conductor.length(wire) for wire in sorted(nearest, key=lambda wire: wire.name))


def _length(wire: Wire | None) -> float:
    return wire.length.high if wire and isinstance(wire.length, Quantity) else 0.0


def return_fuses(case: Case, wire: Wire) -> tuple[Device, ...]:
    """Return the fuses and breakers at the two ends of a ground wire, but for breakers that part both legs at once."""
    found = case.once("devices by end", lambda: _devices_by_end(case))
    ends = case.layout.network.ends[wire.name]
    return tuple(one for at in ends for one in found.get(at, ()) if not _parts_both_legs(case, one, wire))


def _parts_both_legs(case: Case, device: Device, wire: Wire) -> bool:
    """Say whether it is one pole of a breaker whose other pole opens the supply of all that comes home by the wire."""
    if not isinstance(device.node, Breaker):
        return False
    tied = [one for one in devices(case) if _tied(device.node, one.node) and circuit(case, one) in ("supply", "charge")]
    fed = {node.name for one in tied for node in served(case, one)}
    return bool(tied) and wiring.users_by_wire(case).get(wire.name, frozenset()) <= fed


def _tied(one: Breaker, other: Node) -> bool:
    return isinstance(other, Breaker) and (one.tied_to == other.name or other.tied_to == one.name)


def _devices_by_end(case: Case) -> dict[Vertex, tuple[Device, ...]]:
    found: dict[Vertex, tuple[Device, ...]] = {}
    for device in devices(case):
        for at in device.link.ends:
            found[at] = (*found.get(at, ()), device)
    return found


def inflow(case: Case, node: Node) -> float:
    """Return what can flow into the user's supply terminal in A before a fuse opens.

    Raises UnfitError where no source feeds it, or no fuse or limit of a source stands before it.
    """
    return case.once(("into user", node.name), lambda: _inflow(case, node))


def _inflow(case: Case, node: Node) -> float:
    limits, power = case.layout.limits, user.power_of(case, node)
    flow = limits.into(power)
    if limits.unknown and flow != limits.into(power, unknown=0):
        near = [device.link for device in feeding_fuses(case, node) if rating_of(device.link) is None]
        raise UnknownError(rating_path(near[0]) if near else limits.unknown[0])
    if not 0 < flow < UNLIMITED:
        raise UnfitError
    return flow / 1000


def feeding_fuses(case: Case, node: Node) -> tuple[Device, ...]:
    """Return the fuses nearest to the user that limit what can flow into it."""
    wires = user.supply_wires(case, node)
    parts = [part.path for wire in wires for part in limiting.protecting_fuses(case, wire)]
    return tuple(device for device in devices(case) if device.path in parts)
