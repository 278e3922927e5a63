"""What a rule may ask about the load on the vehicle's own supply: its battery, its cables to the body, its circuits."""

from __future__ import annotations

import math

from planlint.facts import charging, conductor
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.ways import home_of
from planlint.plan.model import Wire
from planlint.plan.nodes import Alternator, FactoryCircuit, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import GroundPoint
from planlint.plan.values import NotApplicable
from planlint.plan.vehicle import Vehicle


def added_draw(case: Case, _vehicle: Vehicle) -> float:
    """Return what the job takes from the vehicle's own battery and circuits at full power in A: users, chargers and the
    planned current of links to other batteries."""
    return case.once("added draw", lambda: _added_draw(case))


def _added_draw(case: Case) -> float:
    return charging.drawn(case, charging.own_posts(case), 1.0) + charging.links_from(case, charging.main_post(case))


def added_bound(_case: Case, vehicle: Vehicle) -> float:
    """Return what the vehicle's maker allows to be added in A; without end where the plan says that no limit applies."""
    if isinstance(vehicle.added_limit, NotApplicable):
        return math.inf
    return stated(vehicle.added_limit, ("vehicle", "added_limit")).low


def strap_demand(case: Case, vehicle: Vehicle) -> float:
    """Return what comes back through the cables from battery and engine to the body at full power in A: what the job takes
    and the vehicle's own draw."""
    return added_draw(case, vehicle) + stated(vehicle.factory_draw, ("vehicle", "factory_draw")).high


def strap_ampacity(case: Case, _vehicle: Vehicle) -> float:
    """Return what the cables from the battery to the body bear together in A, or those at the engine where that is less.

    Raises UnfitError where the plan draws neither.
    """
    sums = [sum([conductor.wire_ampacity(case, one) for one in cables]) for cables in _straps(case) if cables]
    if not sums:
        raise UnfitError
    return min(sums)


def straps(case: Case, _vehicle: Vehicle) -> tuple[Wire, ...]:
    """Return the cables from battery and engine to the body that the plan draws, the weakest first."""
    return tuple(sorted((one for cables in _straps(case) for one in cables), key=_size))


def _size(cable: Wire) -> tuple[float, str]:
    return (cable.gauge.low if isinstance(cable.gauge, Quantity) else 0.0, cable.name)


def straps_missing(case: Case, vehicle: Vehicle) -> str | None:
    """Return which of the vehicle's cables to the body the plan does not draw: `battery to body`, `engine to body`.

    A hybrid or electric vehicle has no alternator whose current had to leave the engine.
    """
    body, engine = _straps(case)
    missing = [] if body else ["battery to body"]
    if not engine and vehicle.drive not in ("hybrid", "electric"):
        missing.append("engine to body")
    return " and ".join(missing) or None


def _straps(case: Case) -> tuple[tuple[Wire, ...], tuple[Wire, ...]]:
    return case.once("straps", lambda: _find_straps(case))


def _find_straps(case: Case) -> tuple[tuple[Wire, ...], tuple[Wire, ...]]:
    """Return the cables from the main battery's negative to the body, and those from the engine to body or battery."""
    # Of two batteries in series the lower one's negative is home.
    post = home_of(case.layout.network, charging.main_post(case))
    body, engine = [], []
    for one in sorted(case.plan.wires, key=lambda wire: wire.name):
        places = {_place(case, end.node, f"{end.node}.{end.terminal}" == post) for end in one.ends}
        if places == {"battery", "body"}:
            body.append(one)
        elif "engine" in places and len(places - {None}) == 2:
            engine.append(one)
    return tuple(body), tuple(engine)


def _place(case: Case, name: str, is_post: bool) -> str | None:
    """Return which of battery, engine and body a wire's end lies at, None for none of them."""
    at = case.nodes[name]
    if is_post:
        return "battery"
    if isinstance(at, Alternator):
        return "engine"
    if isinstance(at, GroundPoint):
        return {"engine": "engine", "battery-negative": "battery"}.get(str(at.member), "body")
    return None


def added_on_circuit(case: Case, circuit: Node) -> float:
    """Return what the job takes from a fused circuit of the vehicle in A."""
    if not isinstance(circuit, FactoryCircuit):
        raise UnfitError
    return charging.drawn(case, frozenset({f"{circuit.name}.out"}), 1.0)


def circuit_draw(case: Case, circuit: Node) -> float:
    """Return what flows through a fused circuit of the vehicle in A: what drew from it before, and what the job adds.

    That a draw does not apply says that nothing hung on it before.
    """
    before = getattr(circuit, "draw", None)
    added = added_on_circuit(case, circuit)
    return added if isinstance(before, NotApplicable) else added + stated(before, (*circuit.path, "draw")).high


def circuit_fuse(_case: Case, circuit: Node) -> float:
    """Return the rating in A of a vehicle circuit's fuse: of the one planned and the maker's own the smaller."""
    ratings = [getattr(circuit, field, None) for field in ("fuse", "original_fuse")]
    found = [one.low for one in ratings if isinstance(one, Quantity)]
    if not found:
        raise UnknownError((*circuit.path, "original_fuse"))
    return min(found)
