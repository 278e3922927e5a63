"""What a rule may ask about a ground wire: whose current comes back through it, and how it compares with their supply."""

from __future__ import annotations

from planlint.facts import conductor, wiring
from planlint.facts.case import Case
from planlint.facts.demand import user_current
from planlint.facts.leads import chained_through
from planlint.facts.wire import circuit
from planlint.graph.link import wire_key
from planlint.graph.unknown import UnfitError
from planlint.graph.users import ground_vertex, power_vertex
from planlint.plan.model import Wire
from planlint.plan.nodes import Charger, Node
from planlint.trade.conductors import material_of

# What a wire carries for others beside this share is no reason for a thicker ground (common practice).
_NEARLY_ALL = 0.9
# Two sizes of different systems or metals that conduct alike to this share count as alike.
_AS_WELL = 0.95


def return_for(case: Case, wire: Wire) -> tuple[Node, ...]:
    """Return the users whose current comes back through a ground wire."""
    names = wiring.users_by_wire(case).get(wire.name, frozenset())
    return tuple(case.nodes[name] for name in sorted(names))


def return_gauge(case: Case, wire: Wire) -> float:
    """Return the area in m2 of a ground wire together with those beside it: from the same terminal of one user, or
    between the same two places."""
    return sum(conductor.area(other) for other in _beside(case, wire))


def sole_return(case: Case, wire: Wire) -> bool:
    """Say whether the current of the users it serves has no other way back than this wire and those beside it: no body and
    no cable of the vehicle maker's that it shares them with."""
    beside = {wire_key(other.name) for other in _beside(case, wire)}
    around = (side.ways.knots.get(wire_key(wire.name), ()) for side in wiring.sides(case, wire))
    return all(link.key in beside for links in around for link in links)


def _beside(case: Case, wire: Wire) -> tuple[Wire, ...]:
    return case.once(("beside ground", wire.name), lambda: _find_beside(case, wire))


def _find_beside(case: Case, wire: Wire) -> tuple[Wire, ...]:
    user = grounded_user(case, wire)
    ends = case.layout.network.ends[wire.name]
    if user is None:
        return _between(case, ends)
    # What grounds another part through this terminal is no parallel of it.
    served = wiring.users_by_wire(case)
    here = case.layout.wires_at(ground_vertex(user))
    return tuple(other for other in here if served.get(other.name) == served.get(wire.name))


def _between(case: Case, ends: tuple[str, str]) -> tuple[Wire, ...]:
    every = case.layout.network.ends
    return tuple(w for w in case.layout.wires_at(ends[0]) if set(every[w.name]) == set(ends))


def supply_gauge(case: Case, wire: Wire) -> float:
    """Return, for a ground wire, the area in m2 of the supply wires that serve the same users, nearest to them.

    Of a charger the larger of input and output: what it takes and what it gives run against each other in its ground.
    """
    areas = [conductor.area(other) for other in supply_wires(case, wire)]
    return max(areas) if isinstance(grounded_user(case, wire), Charger) else sum(areas)


def conducts_as_well(case: Case, wire: Wire) -> bool:
    """Say whether a ground wire, with those beside it, conducts as well as the supply wires of the same users, whatever each
    is made of: areas go with resistivities. No where one of them does not state its material.
    """
    supply, back = supply_wires(case, wire), _beside(case, wire)
    if not all(isinstance(one.material, str) for one in (*supply, *back)):
        return False
    there = [_conductance(case, one) for one in supply]
    wanted = max(there) if isinstance(grounded_user(case, wire), Charger) else sum(there)
    return sum(_conductance(case, one) for one in back) >= _AS_WELL * wanted


def _conductance(case: Case, wire: Wire) -> float:
    """Return the conductance of a metre of the wire in S."""
    return conductor.area(wire) * 1e6 / material_of(conductor.material(case, wire)).rho20


def supply_wires(case: Case, wire: Wire) -> tuple[Wire, ...]:
    """Return, for a ground wire, the supply wires that serve just the same users, nearest to them: one, or those in
    parallel. Where none serves just the same, all those that serve one of them alone, or as good as alone.

    Raises UnfitError for other wires, and where it serves no user that a supply wire serves.
    """
    if circuit(case, wire) != "ground":
        raise UnfitError
    users = wiring.users_by_wire(case).get(wire.name, frozenset())
    same = _common_supply(case, users) or _common_supply(case, users - _crossing(case, users))
    if not same:
        users -= _crossing(case, users)
        single = [_own_supply(case, user) for user in sorted(users)]
        same = tuple({wire.name: wire for wires in single for wire in wires}.values())
    if not same:
        raise UnfitError
    return same


def _crossing(case: Case, users: frozenset[str]) -> frozenset[str]:
    """Return the chargers among users that another battery feeds than all the rest: on the way home of these, what a
    charger takes and what it gives run against each other."""
    demands, post = wiring.demands_by_name(case), wiring.supply(case).ways.feeding.post
    chargers = frozenset(name for name in users if isinstance(case.nodes[name], Charger))
    others = {post.get(demands[name].power) for name in users - chargers}
    return frozenset(name for name in chargers if others and post.get(demands[name].power) not in others)


def _own_supply(case: Case, user: str) -> tuple[Wire, ...]:
    """Return the supply wires nearest to a user that serve it alone; where it passes power on, the one of which it takes
    nearly all."""
    alone = _nearest_supply(case, user, frozenset([user]))
    if alone:
        return alone
    demand, side = wiring.demands_by_name(case)[user], wiring.supply(case)
    for link in wiring.user_way(case, demand):
        if link.wire and link.wire.name not in case.layout.network.makers:
            amps = wiring.link_current(case, link.key, (side,))
            if link.key in side.ways.knots or user_current(case, case.nodes[user]) < _NEARLY_ALL * amps:
                break
            return (link.wire,)
    return ()


def _common_supply(case: Case, users: frozenset[str]) -> tuple[Wire, ...]:
    """Return the supply wires nearest to these users that serve just them: such a wire lies on the way of each."""
    if not users:
        return ()
    return case.once(("common supply", users), lambda: _nearest_supply(case, min(users), users))


def _nearest_supply(case: Case, user: str, users: frozenset[str]) -> tuple[Wire, ...]:
    """Return the supply wires nearest to a user that serve just these users: those that share its first joint."""
    by_wire = wiring.users_by_wire(case)
    demand = wiring.demands_by_name(case)[user]
    for link in wiring.user_way(case, demand):
        if link.wire and link.wire.name not in case.layout.network.makers and by_wire[link.wire.name] == users:
            parallel = wiring.supply(case).ways.knots.get(link.key, (link,))
            ends = case.layout.network.ends
            at = set(ends[link.wire.name])
            beside = [o.wire for o in parallel if o.wire and at & set(ends[o.wire.name]) & {demand.power}]
            return tuple(beside) or (link.wire,)
    return ()


def mirrors_supply(case: Case, wire: Wire) -> bool:
    """Say whether supply wires that serve just the same users are together no thicker than the ground wire: what limits
    the one limits the other, and is told of the supply wire."""
    users = wiring.users_by_wire(case).get(wire.name, frozenset())
    same = _common_supply(case, users)
    if not same or sum(map(conductor.area, same)) > return_gauge(case, wire) * (1 + 1e-9):
        return False
    # What charges a second battery may come home by it as well.
    limits = case.layout.limits
    return max(limits.fed(wire.name)) <= sum(max(limits.fed(other.name)) for other in same)


def grounded_user(case: Case, wire: Wire) -> Node | None:
    """Return the user at whose ground terminal the wire ends, None where it ends at none."""
    for end in wire.ends:
        node = case.nodes[end.node]
        if ground_vertex(node) == f"{end.node}.{end.terminal}" and power_vertex(node):
            return node
    return None


def chained_leads(case: Case, wire: Wire) -> tuple[Wire, ...]:
    """Return the wires by which other parts are grounded through the user whose ground wire this is, where the wire is as
    thick as that user alone needs it."""
    user = grounded_user(case, wire)
    if user is None:
        return ()
    here = case.layout.wires_at(ground_vertex(user))
    leads = tuple(other for other in here if other is not wire and chained_through(case, other) is user)
    own = sum(conductor.area(other) for other in _own_supply(case, user.name)) if leads else 0.0
    return leads if return_gauge(case, wire) >= own else ()


def power_beside(case: Case, wire: Wire) -> str:
    """Return the supply terminal of the user at whose ground terminal the wire ends, as a wire's end is written."""
    user = grounded_user(case, wire)
    power = power_vertex(user) if user else None
    if power is None:
        raise UnfitError
    return power
