"""Values that stand in for what a plan does not state, or that fix how things are computed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from planlint.frozen import frozen
from planlint.plan.quantity import Dimension, parse
from planlint.trade.tables import Row, TableError, table


@frozen
class Assumption:
    """One assumed value in SI (temperatures in degrees Celsius) and the range to seek a break-even in.

    `unit` is the one in which people read it; `low` and `high` bound what is plausible. `field` is the field of the plan
    that takes its place, '' for a convention of the computation; `worse` is the end of the range toward which plans fail.
    """

    name: str
    dimension: Dimension
    value: float
    low: float
    high: float
    unit: str
    meaning: str
    source: str
    origin: str
    field: str
    worse: str


@cache
def assumptions() -> Mapping[str, Assumption]:
    """Return all assumptions by name, in the order of their table."""
    rows = table("assumptions", ("name", "dimension", "value", "unit", "low", "high", "meaning", "field", "worse"))
    return MappingProxyType({row["name"]: _assumption(row) for row in rows})


def assumption(name: str) -> Assumption:
    """Return the assumption of this name; raises ValueError for an unknown one."""
    found = assumptions().get(name)
    if found is None:
        raise ValueError(f"no assumption {name!r}; there are {', '.join(assumptions())}")
    return found


@cache
def convention(name: str) -> float:
    """Return the value in SI of an entry that no field of a plan replaces: a convention of the computation."""
    entry = assumption(name)
    if entry.field:
        raise ValueError(f"{name} stands in for the field {entry.field}: it must be noted where it is used")
    return entry.value


def _assumption(row: Row) -> Assumption:
    dimension = Dimension(row["dimension"])
    value, low, high = (parse(f"{row[cell]} {row['unit']}", dimension) for cell in ("value", "low", "high"))
    if not low.low <= value.low <= high.low:
        raise TableError(f"assumptions.csv: {row['name']} lies outside its own range")
    return Assumption(
        name=row["name"],
        dimension=dimension,
        value=value.low,
        low=low.low,
        high=high.low,
        unit=value.unit,
        meaning=row["meaning"],
        source=row["source"],
        origin=row["origin"],
        field=row["field"],
        worse=row["worse"],
    )
