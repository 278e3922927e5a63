"""Continuous current a conductor may carry, by size, insulation, surrounding temperature and material."""

from __future__ import annotations

import math
from functools import cache, lru_cache

from planlint.plan.units import gauge_area, gauge_number
from planlint.trade.conductors import material_of
from planlint.trade.curves import Points, log_log
from planlint.trade.tables import Row, TableError, number, table

CLASSES_C = (60, 75, 80, 90, 105, 125, 200)
"""Insulation temperatures for which 33 CFR 183.425 Table 5 has a column, in degrees Celsius."""
TABLE_AMBIENT_C = 30.0
ENGINE_SPACE_C = 50.0


@lru_cache(maxsize=4096)
def ampacity(area_m2: float, insulation_c: float, ambient_c: float, material: str) -> float:
    """Return the continuous current in A; 0 where the surroundings are as hot as the insulation may get.

    33 CFR 183.425 Table 5 in the column at or below the stated rating, log-log in area between its sizes;
    cooler ratings are derived from its 60 C column by equal heat loss (computed). Below 18 AWG the trade's
    fuse limit for copper (common practice). Raises ValueError for an unknown material or a senseless area.
    """
    if not 0 < area_m2 < math.inf:
        raise ValueError(f"a conductor of {area_m2} m2 carries no current")
    column_c = column_for(insulation_c)
    derating = ambient_factor(min(column_c, insulation_c), ambient_c)
    return base_ampacity(area_m2, insulation_c) * derating * material_of(material).ampacity_factor


def column_for(insulation_c: float) -> int:
    """Return the Table 5 column at or below an insulation rating; the lowest one for anything cooler."""
    return max((column for column in CLASSES_C if column <= insulation_c), default=CLASSES_C[0])


def base_ampacity(area_m2: float, insulation_c: float) -> float:
    """Return the ampacity of copper in A at 30 C, before any factor."""
    column_c = column_for(insulation_c)
    points = _columns()[column_c]
    smallest, largest = points[0][0], points[-1][0]
    if area_m2 < smallest * (1 - 1e-9):
        return _thin(area_m2) * _cooler_than_table(insulation_c)
    # Beyond 4/0 AWG with the root of the area: cautious, as published tables rise with its power 0.6.
    within = log_log(min(area_m2, largest), points)
    beyond = math.sqrt(max(area_m2 / largest, 1.0))
    return within * beyond * _cooler_than_table(insulation_c)


def _cooler_than_table(insulation_c: float) -> float:
    """Scale the 60 C column to a cooler rating: current goes with the root of the permitted rise."""
    if insulation_c >= CLASSES_C[0]:
        return 1.0
    return math.sqrt(max(insulation_c - TABLE_AMBIENT_C, 0.0) / (CLASSES_C[0] - TABLE_AMBIENT_C))


def ambient_factor(conductor_c: float, ambient_c: float) -> float:
    """Return the factor for another ambient than 30 C: sqrt((Tc - Ta)/(Tc - 30)), formula of NEC 310.15(B).

    At 50 C it is the engine-space factor of 33 CFR 183.425 Table 5 note 1. That published figure also bounds
    the formula on both sides, so that a hotter place never gains; for 200 C it means no reduction up to 50 C.
    """
    if ambient_c >= conductor_c:
        return 0.0
    if conductor_c <= TABLE_AMBIENT_C:
        return 1.0
    formula = math.sqrt((conductor_c - ambient_c) / (conductor_c - TABLE_AMBIENT_C))
    published = _engine_space().get(conductor_c)
    if published is None:
        return formula
    if math.isclose(ambient_c, ENGINE_SPACE_C, rel_tol=1e-9):
        return published
    return max(formula, published) if ambient_c < ENGINE_SPACE_C else min(formula, published)


@cache
def bundling_factor(conductors: int) -> float:
    """Return the factor on the ampacity of each of several conductors loaded in one bundle (33 CFR 183.425 Table 5 note 2).

    The regulation asks for it from 50 V; below that it is the stricter choice. Raises ValueError for less than one.
    """
    if conductors < 1:
        raise ValueError(f"a bundle of {conductors} conductors bears nothing")
    rows = table("bundling", ("conductors_from", "factor"))
    return number([row for row in rows if number(row, "conductors_from") <= conductors][-1], "factor")


@cache
def _columns() -> dict[int, Points]:
    """Return area-to-current points of every Table 5 column, rising in area."""
    columns = tuple(f"at_{column}c_a" for column in CLASSES_C)
    rows = table("ampacity", ("awg", *columns))
    return {
        column: tuple((awg_area(row), number(row, name)) for row in rows)
        for column, name in zip(CLASSES_C, columns, strict=True)
    }


def awg_area(row: Row) -> float:
    """Return the area in m2 of the `awg` cell of a table row; raises TableError."""
    size = gauge_number(row["awg"])
    if size is None:
        raise TableError(f"column awg: {row['awg']!r} is no AWG size")
    return gauge_area(size)


@cache
def _engine_space() -> dict[float, float]:
    rows = table("engine_space", ("insulation_c", "factor_at_50c"))
    return {number(row, "insulation_c"): number(row, "factor_at_50c") for row in rows}


def _thin(area_m2: float) -> float:
    """Return the trade's fuse limit for copper thinner than 18 AWG; by area below the thinnest listed."""
    points = fuse_limits()
    thinnest, limit = points[0]
    if area_m2 < thinnest * (1 - 1e-9):
        return limit * area_m2 / thinnest
    return log_log(area_m2, points)


@cache
def fuse_limits() -> Points:
    """Return area-to-fuse points of the trade's table (common practice), rising in area."""
    rows = table("fuse_limits", ("awg", "largest_fuse_a"))
    return tuple((awg_area(row), number(row, "largest_fuse_a")) for row in rows)
