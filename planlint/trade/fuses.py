"""Fuse families with their ratings, and the fuse a conductor may have."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType

from planlint.frozen import frozen
from planlint.trade.ampacity import fuse_limits
from planlint.trade.conductors import material_of
from planlint.trade.curves import log_log
from planlint.trade.tables import number, table

_SLACK = 1 + 1e-9


@frozen
class Interrupting:
    """A fault current in A that a fuse may be asked to break at up to this voltage in V."""

    current_a: float
    voltage_v: float
    source: str
    origin: str


@frozen
class FuseFamily:
    """A body of fuse in the trade's words; `iso_type` is its ISO 8820 type or ''; ratings in A, rising."""

    name: str
    iso_type: str
    ratings_a: tuple[float, ...]
    interrupting: tuple[Interrupting, ...]
    source: str
    origin: str


@cache
def families() -> Mapping[str, FuseFamily]:
    """Return the fuse families by name."""
    breaking = table("interrupting", ("family", "interrupts_a", "at_v"))
    found = {}
    for row in table("fuse_families", ("family", "iso_8820_type", "ratings_a")):
        name = row["family"]
        found[name] = FuseFamily(
            name=name,
            iso_type=row["iso_8820_type"],
            ratings_a=tuple(float(rating) for rating in row["ratings_a"].split()),
            interrupting=tuple(
                Interrupting(
                    current_a=number(point, "interrupts_a"),
                    voltage_v=number(point, "at_v"),
                    source=point["source"],
                    origin=point["origin"],
                )
                for point in breaking
                if point["family"] == name
            ),
            source=row["source"],
            origin=row["origin"],
        )
    return MappingProxyType(found)


def family_of(name: str) -> FuseFamily:
    """Return the family of this name; raises ValueError naming those there are."""
    found = families().get(name)
    if found is None:
        raise ValueError(f"no fuse family {name!r}; there are {', '.join(families())}")
    return found


def in_series(family: str, rating_a: float) -> bool:
    """Return whether this family is made with this rating in A; raises ValueError for an unknown family."""
    return any(abs(rating_a / made - 1) <= 1e-9 for made in family_of(family).ratings_a)


def interrupting_rating(family: str, system_v: float) -> Interrupting | None:
    """Return what a family is published to break on a system of this voltage, None where unpublished.

    Raises ValueError for an unknown family.
    """
    fit = [point for point in family_of(family).interrupting if point.voltage_v >= system_v]
    return min(fit, key=lambda point: point.voltage_v, default=None)


@cache
def standard_ratings() -> tuple[float, ...]:
    """Return the fuse ratings in A that are commonly made (common practice), rising."""
    return tuple(number(row, "rating_a") for row in table("standard_ratings", ("rating_a",)))


def standard_at_or_below(limit_a: float) -> float:
    """Return the largest standard rating not above a limit in A; 0 where even the smallest is too large."""
    place = bisect_right(standard_ratings(), limit_a * _SLACK)
    return standard_ratings()[place - 1] if place else 0.0


def standard_at_or_above(load_a: float) -> float | None:
    """Return the smallest standard rating not below a current in A; None beyond the largest."""
    return next((rating for rating in standard_ratings() if rating * _SLACK >= load_a), None)


@lru_cache(maxsize=4096)
def trade_fuse_limit(area_m2: float, material: str) -> float:
    """Return the largest fuse in A the trade allows on a conductor (common practice).

    The table's own value at its AWG sizes; other areas log-log between neighbours and then down to a standard
    rating; below 22 AWG by area, above 4/0 AWG no more than for 4/0. Clad and aluminium times their ampacity
    factor, not rounded. Raises ValueError for an unknown material.
    """
    return _copper_limit(area_m2) * material_of(material).ampacity_factor


def _copper_limit(area_m2: float) -> float:
    points = fuse_limits()
    (thinnest, least), (thickest, most) = points[0], points[-1]
    if area_m2 < thinnest / _SLACK:
        return standard_at_or_below(least * area_m2 / thinnest)
    if area_m2 > thickest:
        return most
    limit = log_log(area_m2, points)
    return limit if limit in {tabled for _, tabled in points} else standard_at_or_below(limit)


def thermal_limit(derated_ampacity_a: float, factor: float) -> float:
    """Return the rating in A above which a fuse holds while insulation cooks: factor x derated ampacity."""
    return factor * derated_ampacity_a


def fuse_resistance(rating_a: float, drop_at_rating_v: float) -> float:
    """Return the resistance of a fuse in ohm from the voltage it drops at its rating (80 mV is assumed)."""
    return drop_at_rating_v / rating_a
