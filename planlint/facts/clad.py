"""What a rule may ask about a wire of clad aluminium: what it would be and do in copper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from planlint.facts import conductor, user, wiring
from planlint.facts.case import Case
from planlint.graph.unknown import UnfitError
from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.plan.units import gauge_area
from planlint.trade.conductors import material_of


def stated_as_clad(_case: Case, wire: Wire) -> bool:
    """Say whether the plan states that the wire is of clad aluminium."""
    return isinstance(wire.material, str) and wire.material.startswith("copper-clad")


def users_served(case: Case, wire: Wire) -> tuple[Node, ...]:
    """Return the devices whose current runs through the wire, to them or back."""
    names = wiring.users_by_wire(case).get(wire.name, frozenset())
    return tuple(case.nodes[name] for name in sorted(names))


def served_supply_drop(case: Case, wire: Wire) -> float:
    """Return the most volts lost on the way to any device that the wire serves."""
    return _worst(case, wire, user.supply_drop)


def served_total_drop(case: Case, wire: Wire) -> float:
    """Return the most volts lost on the way to any device that the wire serves, and back."""
    return _worst(case, wire, user.total_drop)


def served_return_drop(case: Case, wire: Wire) -> float:
    """Return the most volts lost on the way back from any device that the wire serves."""
    return _worst(case, wire, user.return_drop)


def copper_return_drop(case: Case, wire: Wire) -> float:
    """Return the most volts that would be lost on the way back from any device that the wire serves, were all clad cable
    copper."""
    return served_return_drop(_in_copper(case), wire)


def copper_supply_drop(case: Case, wire: Wire) -> float:
    """Return the most volts that would be lost on the way to any device that the wire serves, were all clad cable
    copper."""
    return served_supply_drop(_in_copper(case), wire)


def copper_total_drop(case: Case, wire: Wire) -> float:
    """Return the most volts that would be lost on both legs to any device that the wire serves, were all clad cable
    copper."""
    return served_total_drop(_in_copper(case), wire)


def _worst(case: Case, wire: Wire, drop: Callable[[Case, Node], float]) -> float:
    served = users_served(case, wire)
    if not served:
        raise UnfitError
    return max(drop(case, one) for one in served)


def _in_copper(case: Case) -> Case:
    return case.once("in copper", lambda: _with_copper(case))


def _with_copper(case: Case) -> Case:
    wires = tuple(replace(wire, material="copper") if stated_as_clad(case, wire) else wire for wire in case.plan.wires)
    return Case(replace(case.plan, wires=wires))


def copper_ampacity(case: Case, wire: Wire) -> float:
    """Return the current in A that a copper wire of the same size could carry without end where it lies."""
    return conductor.wire_ampacity(case, replace(wire, material="copper"))


def copper_fuse_limit(case: Case, wire: Wire) -> float:
    """Return the largest fuse in A that the trade's table allows on a copper wire of the same size."""
    return conductor.fuse_limit(case, replace(wire, material="copper"))


def gauge_in_its_metal(case: Case, wire: Wire) -> float:
    """Return the area in m2 that the wire's own metal needs to conduct as copper of its size does; in AWG the next size.

    Areas go with resistivities. Sizes count as reached within 1 %, as two numbers of AWG for clad of the poorer class.
    """
    ratio = material_of(conductor.material(case, wire)).rho20 / material_of("copper").rho20
    area = conductor.area(wire) * ratio
    if not isinstance(wire.gauge, Quantity) or wire.gauge.unit != "AWG":
        return area
    numbers = (gauge_area(number) for number in range(40, -4, -1))
    return next((size for size in numbers if size >= area * 0.99), area)
