"""What a rule may ask about the protection of a wire: what limits its current, where it is fed and tapped."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

from planlint.facts import conductor, wiring
from planlint.facts.case import Case
from planlint.facts.wire import circuit
from planlint.graph.flow import feed
from planlint.graph.link import Link, LinkKind, rating_of, rating_path
from planlint.graph.protection import UNLIMITED
from planlint.graph.reach import Ahead
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import BlockOutput
from planlint.trade.assumptions import convention


def protecting_rating(case: Case, wire: Wire) -> float:
    """Return what limits the current through the wire, in A: the larger of what can flow into its two ends.

    Where no fuse stands before the wire, or the wire steps down from a thicker one, the fuse it comes to next limits its
    load; whether that fuse is near enough is another question. Raises UnfitError where no fuse limits it at all.
    """
    return case.once(("protecting rating", wire.name), lambda: _protecting_rating(case, wire))


def _protecting_rating(case: Case, wire: Wire) -> float:
    into = wire_limit(case, wire)
    ahead = max(into)
    if not ahead:
        raise UnfitError
    # A ground wire bears what comes through its users; the way on to the battery has no fuses.
    if circuit(case, wire) != "ground" and (ahead >= UNLIMITED or steps_down(case, wire)):
        beyond = rating_beyond(case, wire)
        if beyond is not None:
            # What another source can push into the far end counts too; what comes without a limit comes by another run.
            other = min(into) / 1000 if min(into) < UNLIMITED <= ahead else 0.0
            return max(min(beyond, ahead / 1000), other)
    if ahead >= UNLIMITED:
        raise UnfitError
    return ahead / 1000


def wire_limit(case: Case, wire: Wire) -> tuple[int, int]:
    """Return the inflows in mA at both ends of a wire, switches in their worst state.

    Raises UnknownError where a rating that is not stated decides.
    """
    limits = case.layout.limits
    if limits.rest_on_unknown(wire.name):
        near = case.layout.fuses_toward_sources(wire)
        deciding = next((rating_path(link) for link in near if rating_of(link) is None), None)
        raise UnknownError(deciding or limits.unknown[0])
    return limits.fed(wire.name)


def rating_beyond(case: Case, wire: Wire) -> float | None:
    """Return the sum in A of the fuses that all current through the wire must pass next, None where some passes none."""
    fuses = own_fuses(case, wire)
    if fuses is None:
        return None
    total = 0.0
    for link in fuses.devices:
        rating = rating_of(link)
        if rating is None:
            raise UnknownError(rating_path(link))
        total += rating.high
    return total


def own_fuses(case: Case, wire: Wire) -> Ahead | None:
    """Return the fuses that all current through the wire must pass beyond it, None where some passes none."""
    start = downstream_end(case, wire)
    beyond = _beyond_loop(case, wire) if start is None else case.layout.ahead(wire, start)
    return beyond if beyond and beyond.devices and not beyond.open_ends else None


def _beyond_loop(case: Case, wire: Wire) -> Ahead | None:
    """Return what lies beyond a wire to both of whose ends a source comes unlimited, by itself and by another run.

    The source itself is then met by the other run, which is no way out of the fuses.
    """
    if min(case.layout.limits.fed(wire.name)) < UNLIMITED or wire.name in case.layout.limits.between_sources:
        return None
    roles = case.layout.network.roles
    nearest = min((case.layout.ahead(wire, end) for end in case.layout.network.ends[wire.name]), key=lambda a: a.cable)
    return replace(nearest, open_ends=tuple(at for at in nearest.open_ends if Role.SOURCE not in roles[at]))


def downstream_end(case: Case, wire: Wire) -> str | None:
    """Return the vertex at the end away from the source that feeds the wire.

    Fed from both ends, it is the end away from the one source that nothing limits; None where there is no telling.
    """
    first, second = case.layout.network.ends[wire.name]
    into = case.layout.limits.fed(wire.name)
    if bool(into[0]) == bool(into[1]) and (into[0] >= UNLIMITED) == (into[1] >= UNLIMITED):
        return None
    return second if into[0] > into[1] else first


def upstream_end(case: Case, wire: Wire) -> str | None:
    """Return the vertex at the end from which the wire is fed, None where there is no telling."""
    first, second = case.layout.network.ends[wire.name]
    down = downstream_end(case, wire)
    return None if down is None else first if down == second else second


def protecting_fuses(case: Case, wire: Wire) -> tuple[Node | BlockOutput, ...]:
    """Return the fuses nearest to the wire that limit its current: nodes, and fused outputs of distribution blocks."""
    found = [link.output or link.node for link in _limiting(case, wire)]
    return tuple(element for element in found if element is not None)


def limited_by(case: Case, wire: Wire) -> str | None:
    """Return the names of the fuses nearest to the wire that limit its current, None where none does."""
    return " and ".join(link.name for link in _limiting(case, wire)) or None


def counting(case: Case, wire: Wire) -> str:
    """Return in words how far what can flow into the wire is counted: of a ground wire all that comes home by it at once."""
    if circuit(case, wire) != "ground":
        return "before a fuse opens"
    fuses = limited_by(case, wire)
    return f"if all that comes home by it is shorted at once{f' (fuses: {fuses})' if fuses else ''}"


def _limiting(case: Case, wire: Wire) -> tuple[Link, ...]:
    return case.once(("limiting", wire.name), lambda: _find_limiting(case, wire))


def _find_limiting(case: Case, wire: Wire) -> tuple[Link, ...]:
    users = wiring.users_by_wire(case).get(wire.name, frozenset())
    if circuit(case, wire) == "ground":
        demands = [demand for demand in wiring.all_demands(case) if demand.name in users]
        links = [_first_device(wiring.user_way(case, demand)) for demand in demands]
        found = {link.name: link for link in links if link}
        through_users = sum(rating.high for link in found.values() if (rating := rating_of(link)))
        if through_users * 1000 < max(case.layout.limits.fed(wire.name)) and (between := _between_batteries(case)):
            found = {link.name: link for link in between}
        return tuple(found[name] for name in sorted(found))
    # The same fuses as those whose ratings are the wire's protecting rating.
    into = max(case.layout.limits.fed(wire.name))
    if into >= UNLIMITED or steps_down(case, wire):
        beyond, amps = own_fuses(case, wire), rating_beyond(case, wire)
        if beyond and amps is not None and amps * 1000 <= into:
            return beyond.devices
    return case.layout.fuses_toward_sources(wire)


def _between_batteries(case: Case) -> list[Link]:
    """Return for every two batteries that charge each other the fuse on the way that lets least pass."""
    posts = [source.vertex for source in case.layout.sources if isinstance(source.node, Battery)]
    found = []
    for first, second in combinations(posts, 2):
        way = feed(case.layout.network.adjacent, [first]).way(second)
        fuses = [
            (rating.high, link.name, link)
            for link in way
            if link.kind is LinkKind.DEVICE and (rating := rating_of(link))
        ]
        found += [min(fuses)[2]] if fuses else []
    return found


def _first_device(way: list[Link]) -> Link | None:
    return next((link for link in way if link.kind is LinkKind.DEVICE), None)


def steps_down(case: Case, wire: Wire) -> bool:
    """Say whether the conductor gets thinner at the wire's start: a thicker one feeds it there with no fuse between, not
    at a source's terminal, or it is tapped from a fuse too large for it on the way to its own."""
    return case.once(
        ("steps down", wire.name),
        lambda: bool(feeding_wires(case, wire, thicker=True)) or tapped_fuse(case, wire) is not None,
    )


def tapped_fuse(case: Case, wire: Wire) -> Node | None:
    """Return the fuse right at the wire's start, where it is too large for the wire and one near beyond it is smaller."""
    start = upstream_end(case, wire)
    fuse = _fuse_at(case, start) if start else None
    # A fuse that suits the wire is no step, whatever comes behind it.
    if fuse is None or upstream_rating(case, wire) <= conductor.fuse_limit(case, wire) * (1 + 1e-9):
        return None
    beyond = rating_beyond(case, wire)
    if beyond is None or beyond >= upstream_rating(case, wire):
        return None
    # Farther away it is no fuse of a tap: the wire is one that its own fuse does not suit.
    return fuse if own_fuse_reach(case, wire) <= convention("longest_tap") else None


def _fuse_at(case: Case, start: str) -> Node | None:
    """Return the fuse through which current comes to a joint, of several the first by name."""
    here = case.layout.network
    fuses = [
        link
        for at in case.layout.joined(start)
        for other, link in here.adjacent.get(at, ())
        if link.kind is LinkKind.DEVICE and any(_feeds(case, one, (other,)) for one in here.wires_at.get(other, ()))
    ]
    if fuses:
        return min(fuses, key=lambda link: link.name).node
    return next((one.node for one in case.layout.sources if one.fused and one.vertex == start), None)


def feeding_wires(case: Case, wire: Wire, *, thicker: bool = False) -> tuple[Wire, ...]:
    """Return the added wires that feed this one at a joint without a fuse between; none at a source's own terminal."""
    start = upstream_end(case, wire)
    joint = case.layout.joined(start) if start else ()
    roles = case.layout.network.roles
    if start is None or any(Role.SOURCE in roles.get(at, ()) for at in joint):
        return ()
    found = [o for o in case.layout.wires_joined(start) if o.name != wire.name and _feeds(case, o, joint)]
    if not thicker or not found:
        return tuple(found)
    least = conductor.area(wire) * (1 + 1e-9)
    return tuple(other for other in found if conductor.area(other) > least)


def _feeds(case: Case, wire: Wire, joint: tuple[str, ...]) -> bool:
    """Say whether current can come to a joint through a wire: whether its far end is fed."""
    ends = case.layout.network.ends[wire.name]
    into = case.layout.limits.fed(wire.name)
    return any(into[1 - near] and ends[near] in joint for near in (0, 1))


def fed_by(case: Case, wire: Wire) -> Wire | Node:
    """Return the thickest wire that feeds this one at a joint without a fuse between, else the fuse it is tapped from."""
    feeders = feeding_wires(case, wire)
    if not feeders:
        fuse = tapped_fuse(case, wire)
        if fuse is None:
            raise UnfitError
        return fuse
    return max(feeders, key=lambda other: (other.gauge.low if isinstance(other.gauge, Quantity) else 0.0, other.name))


def own_fuse_reach(case: Case, wire: Wire) -> float:
    """Return the cable in m from the joint that feeds the wire to the farthest of the wire's own first fuses.

    Raises UnfitError where some of its current passes none.
    """
    beyond = own_fuses(case, wire)
    if beyond is None:
        raise UnfitError
    if beyond.unknown:
        raise UnknownError((*beyond.unknown.path, "length"))
    return conductor.length(wire) + beyond.cable


def is_tap(case: Case, wire: Wire) -> bool:
    """Say whether a wire steps down and comes to fuses of its own so soon that being short guards it."""
    try:
        return steps_down(case, wire) and own_fuse_reach(case, wire) <= convention("longest_tap")
    except UnfitError:
        return False


def has_own_fuse(case: Case, wire: Wire) -> bool:
    """Say whether all current through the wire must pass a fuse beyond it."""
    return own_fuses(case, wire) is not None


def tapped_from(case: Case, wire: Wire) -> Node | None:
    """Return the device from whose supply terminal the wire takes power onward, None where it takes it elsewhere."""
    # Where the wire is live from both ends it brings current to that terminal as well.
    start = upstream_end(case, wire) if 0 in case.layout.limits.fed(wire.name) else None
    network = case.layout.network
    if start is None or Role.POWER not in network.roles.get(start, ()) or not feeding_wires(case, wire):
        return None
    return network.owners[start]


def upstream_rating(case: Case, wire: Wire) -> float:
    """Return what can flow into the wire from its sources before a fuse opens, in A; infinite where nothing limits it."""
    flow = max(wire_limit(case, wire))
    if not flow:
        raise UnfitError
    return math.inf if flow >= UNLIMITED else flow / 1000


def taps_for_capacitor(case: Case, wire: Wire) -> bool:
    """Say whether the wire only joins a capacitor to a device's supply terminal, or a device to a capacitor's."""
    device = tapped_from(case, wire)
    down = downstream_end(case, wire)
    ends = [device, case.layout.network.owners[down] if down else None]
    return any(node is not None and node.kind == "capacitor" for node in ends)
