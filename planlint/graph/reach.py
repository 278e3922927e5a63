"""Follows the cable from each source to the first fuse, and finds what it reaches without one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heappop, heappush

from planlint.frozen import frozen
from planlint.graph.link import Link, LinkKind, Vertex, wire_key
from planlint.graph.network import Network
from planlint.graph.sources import Source
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.quantity import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A fuse, a user or another source that cable from a source comes to, and the cable to it in m.

    `unknown` is the first wire on the way whose length is not stated; `cable` then leaves it out.
    """

    name: str
    cable: float
    unknown: Wire | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beyond:
    """What lies beyond a point before any fuse: the farthest fuse in a run, the farthest fuse inside a distribution
    block, a fuse at an unknown distance, the nearest user or source without a fuse."""

    in_run: Stop | None = None
    in_block: Stop | None = None
    blind: Stop | None = None
    open_end: Stop | None = None


_NOTHING = Beyond()


@frozen
class Reach:
    """What one added wire leads to, away from a source and before any fuse.

    `leaves`: it is the first added wire at its source. `before`: the added wire that feeds it.
    """

    source: Source
    wire: Wire
    leaves: bool
    before: Wire | None
    beyond: Beyond


@dataclass(slots=True, kw_only=True)
class _Step:
    """A vertex on the way out from a source. `fresh`: no added wire lies between the source and here."""

    at: Vertex
    parent: _Step | None
    link: Link | None
    cable: float
    unknown: Wire | None
    fresh: bool
    beyond: Beyond = _NOTHING


def reaches_from(network: Network, source: Source) -> tuple[Reach, ...]:
    """Return the reach of every added wire that the source feeds before the first fuse, outward.

    The vehicle maker's own cables count as part of the source. Where cables form a loop the shortest way is measured.
    """
    steps, closing = _walk(network, source.vertex)
    reached = {step.at for step in steps}
    for step in steps:
        step.beyond = _own_stops(network, source.vertex, step, reached)
    for step in reversed(steps):
        if step.parent:
            step.parent.beyond = _merge(step.parent.beyond, _from_before(step))
    tree = [_reach(network, source, step) for step in steps if step.link and _added(network, step.link)]
    loops = [_loop_reach(source, wire, first, second) for wire, first, second in closing]
    return tuple(tree + loops)


def _walk(network: Network, start: Vertex, without: str = "") -> tuple[list[_Step], list[tuple[Wire, _Step, _Step]]]:
    """Return the steps outward, nearest first, and the added wires that close loops with the steps at their ends."""
    steps: dict[Vertex, _Step] = {}
    closing: list[tuple[Wire, _Step, _Step]] = []
    used: set[str] = set()
    heap: list[tuple[float, str, Vertex, str]] = [(0.0, "", start, "")]
    links: dict[str, Link] = {}
    while heap:
        cable, key, at, came_from = heappop(heap)
        if key in used:
            continue
        used.add(key)
        link, parent = links.get(key), steps.get(came_from)
        if at in steps:
            if link and parent and link.wire and _added(network, link):
                closing.append((link.wire, parent, steps[at]))
            continue
        steps[at] = _Step(
            at=at,
            parent=parent,
            link=link,
            cable=cable,
            unknown=_first_unknown(network, parent, link),
            fresh=parent is None or (parent.fresh and not (link and _added(network, link))),
        )
        if parent and _is_battery(network, at):
            continue
        for onward, other in _onward(network, at):
            if onward.key != without:
                links[onward.key] = onward
                heappush(heap, (cable + (_cable(network, onward) or 0.0), onward.key, other, at))
    return list(steps.values()), closing


def _is_battery(network: Network, at: Vertex) -> bool:
    """Say whether a vertex is a battery's post: what lies beyond it is that battery's. Other sources are mere joints."""
    return Role.SOURCE in network.roles.get(at, ()) and network.owners[at].kind == "battery"


def _first_unknown(network: Network, parent: _Step | None, link: Link | None) -> Wire | None:
    if parent and parent.unknown:
        return parent.unknown
    return link.wire if link and _cable(network, link) is None else None


def _added(network: Network, link: Link) -> bool:
    return link.wire is not None and link.wire.name not in network.makers


def _onward(network: Network, at: Vertex) -> Iterator[tuple[Link, Vertex]]:
    for other, link in network.adjacent.get(at, ()):
        if link.kind in (LinkKind.WIRE, LinkKind.CONTACT):
            yield link, other


def _cable(network: Network, link: Link) -> float | None:
    """Return the cable length in m of a link (0 for contacts and the maker's own cables), None where not stated."""
    if link.wire is None or not _added(network, link):
        return 0.0
    return link.wire.length.high if isinstance(link.wire.length, Quantity) else None


def _from_before(step: _Step) -> Beyond:
    """Return what lies beyond a step as it counts for the cable before it.

    A fuse beyond a user that is reached without one guards what is taken from that user's terminal, not the run to it.
    """
    end = step.beyond.open_end
    return Beyond(open_end=end) if end and end.name == step.at else step.beyond


def _own_stops(network: Network, start: Vertex, step: _Step, reached: set[Vertex]) -> Beyond:
    """Return what stands at a step's own vertex: fuses, or the user or source that it is."""
    beyond = _NOTHING
    for link in _devices_at(network, step.at):
        if reached.issuperset(link.ends):
            continue  # a fuse that cable without one leads around guards nothing
        stop = Stop(name=link.name, cable=step.cable, unknown=step.unknown)
        place = "blind" if step.unknown else "in_block" if link.output else "in_run"
        beyond = _merge(beyond, Beyond(**{place: stop}))
    if step.at != start and _ENDS & set(network.roles.get(step.at, ())):
        beyond = _merge(beyond, Beyond(open_end=Stop(name=step.at, cable=step.cable, unknown=step.unknown)))
    return beyond


_ENDS = {Role.POWER, Role.SOURCE, Role.TURN_ON}


def _merge(one: Beyond, other: Beyond) -> Beyond:
    if one is _NOTHING or other is _NOTHING:
        return one if other is _NOTHING else other
    return Beyond(
        in_run=_farther(one.in_run, other.in_run),
        in_block=_farther(one.in_block, other.in_block),
        blind=one.blind or other.blind,
        open_end=_nearer(one.open_end, other.open_end),
    )


def _farther(one: Stop | None, other: Stop | None) -> Stop | None:
    return one or other if one is None or other is None else max(one, other, key=_cable_to)


def _nearer(one: Stop | None, other: Stop | None) -> Stop | None:
    return one or other if one is None or other is None else min(one, other, key=_cable_to)


def _cable_to(stop: Stop) -> tuple[float, str]:
    return stop.cable, stop.name


def _reach(network: Network, source: Source, step: _Step) -> Reach:
    assert step.parent and step.link and step.link.wire
    above: _Step | None = step.parent
    while above and not (above.link and _added(network, above.link)):
        above = above.parent
    return Reach(
        source=source,
        wire=step.link.wire,
        leaves=step.parent.fresh,
        before=above.link.wire if above and above.link else None,
        beyond=_from_before(step),
    )


def _loop_reach(source: Source, wire: Wire, first: _Step, second: _Step) -> Reach:
    """Return the reach of a wire that closes a loop: what lies beyond either end."""
    fresh = first.fresh or second.fresh
    return Reach(
        source=source,
        wire=wire,
        leaves=fresh,
        before=None if fresh else wire,
        beyond=_merge(first.beyond, second.beyond),
    )


@frozen
class Ahead:
    """The first fuses beyond a wire, the cable in m from the wire's end to the farthest of them, and the users or
    sources met without a fuse. `unknown` is a wire on the way whose length is not stated."""

    devices: tuple[Link, ...]
    cable: float
    open_ends: tuple[Vertex, ...]
    unknown: Wire | None


def look_ahead(network: Network, start: Vertex, wire_name: str) -> Ahead:
    """Return what lies beyond a wire, from its end at `start`."""
    steps, _ = _walk(network, start, without=wire_key(wire_name))
    devices: dict[str, Link] = {}
    cable, unknown = 0.0, None
    for step in steps:
        for link in _devices_at(network, step.at):
            devices[link.name] = link
            cable, unknown = max(cable, step.cable), unknown or step.unknown
    ends = (step.at for step in steps if _ENDS & set(network.roles.get(step.at, ())))
    ordered = tuple(devices[name] for name in sorted(devices))
    return Ahead(devices=ordered, cable=cable, open_ends=tuple(ends), unknown=unknown)


def _devices_at(network: Network, at: Vertex) -> list[Link]:
    return [link for _, link in network.adjacent.get(at, ()) if link.kind is LinkKind.DEVICE]
