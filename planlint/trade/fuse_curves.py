"""How long a fuse takes to open: the band of its family, or its maker's curve."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cache

from planlint.frozen import frozen
from planlint.trade.tables import number, table

# The band that stands in where a family has none.
ANY_FAMILY = "any"
# Just below a point of the band the step before it still holds.
BELOW = 1 - 1e-6
_SLACK = 1 + 1e-9


@frozen
class BandPoint:
    """At a current in A a fuse holds for `fastest` s (None: not told) and is open after `slowest` s (None: may never)."""

    current: float
    fastest: float | None
    slowest: float | None


@frozen
class Band:
    """The opening times of one fuse, points rising in current; `origin` is the weakest of its points.

    `assumed` says that its family has no published band and a cautious one stands in.
    """

    points: tuple[BandPoint, ...]
    source: str
    origin: str
    assumed: bool = False

    @property
    def opens_from(self) -> float:
        """The least current in A at which it is sure to open; infinite where at none."""
        return min((point.current for point in self.points if point.slowest is not None), default=math.inf)


@cache
def band_of(family: str | None, rating_a: float) -> Band:
    """Return the band of a fuse by family and rating in A; the cautious one where its family has none."""
    rows = table("fuse_bands", ("family", "from_a", "to_a", "percent", "fastest_s", "slowest_s"))
    mine = [row for row in rows if row["family"] == family and number(row, "from_a") < rating_a * _SLACK]
    mine = [row for row in mine if rating_a <= number(row, "to_a") * _SLACK]
    # A rating at the border of two ranges belongs to the lower one.
    least = min((number(row, "from_a") for row in mine), default=0.0)
    chosen = [row for row in mine if number(row, "from_a") == least]
    assumed = not chosen
    chosen = chosen or [row for row in rows if row["family"] == ANY_FAMILY]
    weakest = next((row for row in chosen if row["origin"] == "memory"), chosen[0])
    return Band(
        points=tuple(
            BandPoint(
                current=number(row, "percent") / 100 * rating_a,
                fastest=number(row, "fastest_s") if row["fastest_s"] else None,
                slowest=number(row, "slowest_s") if row["slowest_s"] else None,
            )
            for row in chosen
        ),
        source=weakest["source"],
        origin=weakest["origin"],
        assumed=assumed,
    )


def maker_band(points: Iterable[tuple[float, float]]) -> Band:
    """Return the band of a maker's curve: currents in A with the longest time in s that the fuse takes to open there."""
    rising = sorted(points)
    return Band(
        points=tuple(BandPoint(current=amps, fastest=None, slowest=seconds) for amps, seconds in rising),
        source="the maker's curve, as the plan states it",
        origin="seen",
    )


def slowest_opening(band: Band, current_a: float) -> float:
    """Return the time in s after which a fuse is sure to be open at a current in A, infinite where it may never open.

    A step: the point at or below the current holds until the next. Beyond the last point the energy I2t is constant.
    """
    at_or_below = [p for p in band.points if p.slowest is not None and p.current <= current_a * _SLACK]
    if not at_or_below:
        return math.inf
    last = at_or_below[-1]
    assert last.slowest is not None
    if last is band.points[-1] and current_a > last.current:
        return last.slowest * (last.current / current_a) ** 2
    return last.slowest


def fastest_opening(band: Band, current_a: float) -> float:
    """Return the time in s for which a fuse is sure to hold at a current in A: log-log between its points, 0 if not told."""
    told = [(point.current, point.fastest) for point in band.points if point.fastest is not None]
    above = [pair for pair in told if pair[0] >= current_a]
    below = [pair for pair in told if pair[0] <= current_a]
    if not above:
        return 0.0
    if not below or above[0][0] == below[-1][0]:
        return above[0][1]
    (x0, y0), (x1, y1) = below[-1], above[0]
    return y0 * math.exp(math.log(current_a / x0) / math.log(x1 / x0) * math.log(y1 / y0))


def worst_openings(band: Band, low_a: float, high_a: float) -> list[tuple[float, float]]:
    """Return the currents in A within an interval at which a wire is worst off, each with the time in s to open there.

    Just below each point, and the highest: between two points the opening time stays the same and a wire bears less the
    more flows; beyond the last the wire's withstand time falls faster than the constant I2t of the fuse.
    """
    found, before = [], math.inf
    for point in band.points:
        if point.slowest is not None:
            amps = point.current * BELOW
            if low_a <= amps < high_a:
                found.append((amps, before))
            before = point.slowest
    return [*found, (high_a, slowest_opening(band, high_a))]
