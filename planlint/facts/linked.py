"""What a rule may ask about two parts that a signal wire links: the voltage between their grounds."""

from __future__ import annotations

from planlint.facts import user, wiring
from planlint.facts.case import Case
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.users import ground_vertex
from planlint.plan.model import Wire


def ground_difference(case: Case, one: Wire) -> float:
    """Return the volts between the grounds of the two parts that a signal wire links, at design currents.

    Raises UnfitError where one of them takes no current from the battery that feeds the other.
    """
    demands = wiring.demands_by_name(case)
    mine = [demands.get(end.node) for end in one.ends]
    first, second = mine
    if first is None or second is None or not first.ground or not second.ground or first.name == second.name:
        raise UnfitError
    feeding = wiring.supply(case).ways.feeding.post
    posts = {feeding.get(demand.power) for demand in (first, second)}
    if len(posts) != 1 or None in posts:
        raise UnfitError
    return abs(user.return_drop(case, case.nodes[first.name]) - user.return_drop(case, case.nodes[second.name]))


def balanced_input(case: Case, one: Wire) -> bool:
    """Say whether the wire leads to a balanced or isolated input. Raises UnknownError where that is not stated."""
    inputs = [case.nodes[end.node] for end in one.ends if end.terminal.startswith("input")]
    for node in inputs:
        if getattr(node, "input_balanced", False) is None:
            raise UnknownError((*node.path, "input_balanced"))
    return any(getattr(node, "input_balanced", False) is True for node in inputs)


def linked_grounds(case: Case, one: Wire) -> tuple[Wire, ...]:
    """Return the ground wires of both parts that the signal links."""
    return tuple(w for end in one.ends for w in user.ground_wires(case, case.nodes[end.node]))


def grounds_linked(case: Case, one: Wire) -> str:
    """Return what a difference between the grounds of two linked parts comes from: the points where they are grounded, or
    the parts themselves where they share one. Signals with the same answer have one cause."""
    ground = case.layout.network.ends
    parts = [case.nodes[end.node] for end in one.ends]
    points = [
        {at for wire in user.ground_wires(case, part) for at in ground[wire.name] if at != ground_vertex(part)}
        for part in parts
    ]
    told = parts if points[0] & points[1] or not all(points) else ()
    return " and ".join(sorted(part.name for part in told) or sorted({at for ends in points for at in ends}))


def receiver_ground(case: Case, one: Wire) -> tuple[Wire, ...]:
    """Return the ground wires of the part to which the signal leads."""
    return tuple(w for end in one.ends[1:] for w in user.ground_wires(case, case.nodes[end.node]))
