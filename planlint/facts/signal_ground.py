"""What a rule may ask about the ground of what a line signal links, and about the supply cables that it runs beside."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import linked
from planlint.facts.case import Case
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.users import ground_vertex, power_vertex
from planlint.plan.audio import Converter
from planlint.plan.model import Segment, Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.trade.assumptions import convention

# Common practice: a run of more than this beside a supply cable is remarked, whatever is unknown of another.
_REMARKED_M = 1.0


def output_wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the line signals that lead from a part's outputs to an input that is not said to be balanced."""
    found = (wire for at in case.layout.signals.outputs.get(node.name, ()) for wire in case.layout.wires_at(at))
    return tuple(wire for wire in found if _unbalanced(case, wire))


def _unbalanced(case: Case, wire: Wire) -> bool:
    try:
        return not linked.balanced_input(case, wire)
    except UnknownError:
        return True


def takes_power(case: Case, node: Node) -> bool:
    """Say whether a part takes current from the supply."""
    return power_vertex(node) in case.layout.network.wires_at


def grounds_apart(case: Case, node: Node) -> bool:
    """Say whether a part and one that it feeds by an unbalanced signal are grounded at different points."""
    return any(_apart(case, wire) for wire in output_wires(case, node))


def _apart(case: Case, wire: Wire) -> bool:
    points = [_ground_ends(case, case.nodes[end.node]) for end in wire.ends]
    return all(points) and not points[0] & points[1]


def _ground_ends(case: Case, node: Node) -> set[str]:
    """Return what the ground wires of a part lead to."""
    ground = ground_vertex(node)
    ends = case.layout.network.ends
    return {at for wire in case.layout.wires_at(ground) for at in ends[wire.name] if at != ground}


def amp_ground_difference(case: Case, node: Node) -> float:
    """Return the most volts between the ground of a part and of one grounded elsewhere that it feeds, unbalanced.

    Raises UnknownError where it is not stated whether an input is balanced, UnfitError where none is grounded elsewhere.
    """
    apart = [wire for wire in output_wires(case, node) if _apart(case, wire)]
    volts = [_volts(case, wire) for wire in apart if not linked.balanced_input(case, wire)]
    known = [one for one in volts if one is not None]
    if not known:
        raise UnfitError
    return max(known)


def _volts(case: Case, wire: Wire) -> float | None:
    try:
        return linked.ground_difference(case, wire)
    except UnfitError:
        return None


def ground_leads_of(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the added wires at the part's ground terminal."""
    return case.layout.wires_at(ground_vertex(node))


def other_zone(case: Case, node: Node) -> str:
    """Return the nearest zone in the file's order in which the part does not stand. Raises UnfitError without one."""
    names = [zone.name for zone in case.plan.zones]
    here = names.index(node.zone) if node.zone in names else 0
    others = sorted((abs(i - here), name) for i, name in enumerate(names) if i != here)
    if not others:
        raise UnfitError
    return others[0][1]


def run_beside_supply(case: Case, wire: Wire) -> float:
    """Return the length in m over which a wire runs close to a supply cable, as the stretches of either tell.

    Raises UnknownError for a gap or a length that is not stated, also where both follow the same part of the vehicle on the
    same side and neither says how far they are apart; UnfitError where no wire of the plan has a route.
    """
    if not any(one.route for one in case.plan.wires):
        raise UnfitError
    if not wire.route:
        raise UnknownError((*wire.path, "route"))
    beside = list(_beside(case, wire))
    near = sum(_length(segment) for segment, _ in beside if _close(segment))
    told = {other.name for _, other in beside}
    untold = _same_way(wire, [one for name, one in sorted(_supplies(case).items()) if name not in told])
    if untold and near <= _REMARKED_M:
        raise UnknownError((*untold.path, "gap"))
    return near


def supply_beside(case: Case, wire: Wire) -> tuple[Wire, ...]:
    """Return the supply cables beside which a wire runs."""
    found = {other.name: other for _, other in _beside(case, wire)}
    return tuple(found[name] for name in sorted(found))


def _supplies(case: Case) -> dict[str, Wire]:
    """Return the supply cables of a plan by name."""
    return case.once("supply cables", lambda: _find_supplies(case))


def _find_supplies(case: Case) -> dict[str, Wire]:
    words = case.layout.words
    return {one.name: one for one in case.plan.wires if words.get(one.name) in ("supply", "charge")}


def _same_way(wire: Wire, supplies: list[Wire]) -> Segment | None:
    """Return the first stretch of a wire that follows what a stretch of a supply cable follows, on the same side."""
    ways = {_way(segment) for one in supplies for segment in one.route} - {None}
    return next((segment for segment in wire.route if not segment.beside and _way(segment) in ways), None)


def _way(segment: Segment) -> tuple[str, str, str] | None:
    zone, along, side = segment.zone, segment.along, segment.side
    told = isinstance(zone, str) and isinstance(along, str) and isinstance(side, str) and along != "other"
    return (str(zone), str(along), str(side)) if told else None


def _beside(case: Case, wire: Wire) -> Iterator[tuple[Segment, Wire]]:
    """Yield the stretches on which a wire and a supply cable lie side by side, once each, with the cable."""
    supplies = _supplies(case)
    told = {name for segment in wire.route for name in segment.beside}
    for segment in wire.route:
        for name in sorted(supplies.keys() & set(segment.beside))[:1]:
            yield segment, supplies[name]
    for name in sorted(supplies):
        for segment in supplies[name].route if name not in told else ():
            if wire.name in segment.beside:
                yield segment, supplies[name]


def _close(segment: Segment) -> bool:
    if not isinstance(segment.gap, Quantity):
        raise UnknownError((*segment.path, "gap"))
    return segment.gap.low < convention("signal_power_gap") * (1 - 1e-9)


def _length(segment: Segment) -> float:
    if not isinstance(segment.length, Quantity):
        raise UnknownError((*segment.path, "length"))
    return segment.length.high


def signal_gap(_case: Case, _wire: Wire) -> float:
    """Return the distance in m that an unbalanced line signal keeps from a supply cable."""
    return convention("signal_power_gap")


def its_zone(case: Case, wire: Wire) -> str:
    """Return the zone of the part to which a wire leads. Raises UnfitError where that is not stated."""
    zone = case.nodes[wire.to.node].zone
    if not isinstance(zone, str):
        raise UnfitError
    return zone


def any_supply(case: Case, _wire: Wire) -> str:
    """Return the name of a supply cable of the plan. Raises UnfitError where there is none."""
    found = min((name for name, word in case.layout.words.items() if word == "supply"), default=None)
    if found is None:
        raise UnfitError
    return found


def shield_return(case: Case, user: Node) -> Node | None:
    """Return the part through the shield of whose signal cable the supply current of a converter or processor comes back for
    want of a ground wire of its own, None where it has one."""
    here, signals = case.layout.network, case.layout.signals
    if not isinstance(user, Converter) or power_vertex(user) not in here.wires_at:
        raise UnfitError
    if ground_vertex(user) in here.wires_at:
        return None
    ends = (at for out in signals.outputs.get(user.name, ()) for at in signals.joined[out].inputs)
    fed = {here.owners[at].name for at in ends if ground_vertex(here.owners[at]) in here.wires_at}
    return case.nodes[min(fed)] if fed else None
