"""A plan written at those ends of its ranges at which the most current flows."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, TypeVar

from planlint.plan.model import Plan, Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.plan.vehicle import Vehicle

# Of these the lower end lets more flow, of all others (sizes, ratings, limits) the upper.
_LOWER = ("length", "resistance", "body_resistance", "drop")

Part = TypeVar("Part", Wire, Node, Vehicle)


def at_most(plan: Plan) -> Plan:
    """Return the plan with the short and thick end of every range, and with copper where no material is stated."""
    wires = (replace(one, material="copper") if one.material is None else one for one in plan.wires)
    return replace(
        plan,
        wires=tuple(_narrowed(one) for one in wires),
        nodes=tuple(_narrowed(one) for one in plan.nodes),
        vehicle=_narrowed(plan.vehicle),
    )


def _narrowed(part: Part) -> Part:
    stated = ((one.name, getattr(part, one.name)) for one in fields(part))
    ends: dict[str, Any] = {name: _end(name, value) for name, value in stated if isinstance(value, Quantity)}
    return replace(part, **ends)


def _end(name: str, value: Quantity) -> Quantity:
    end = value.low if name in _LOWER else value.high
    return replace(value, low=end, high=end)
