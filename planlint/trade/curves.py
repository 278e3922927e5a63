"""Reads between the points of a table on logarithmic scales, as sizes and ratings of the trade are spaced."""

from __future__ import annotations

import math
from bisect import bisect_left

Points = tuple[tuple[float, float], ...]
_SAME = 1e-9


def log_log(x: float, points: Points) -> float:
    """Return y at x on a straight line in log(x), log(y) between neighbours; a tabled x gives its own y.

    `points` rise in x; x must lie within them (relative slack 1e-9), or ValueError is raised.
    """
    place = bisect_left(points, (x * (1 - _SAME),))
    if place < len(points) and points[place][0] <= x * (1 + _SAME):
        return points[place][1]
    if not 0 < place < len(points):
        raise ValueError(f"{x} lies outside {points[0][0]} to {points[-1][0]}")
    (x0, y0), (x1, y1) = points[place - 1], points[place]
    return y0 * math.exp(math.log(x / x0) / math.log(x1 / x0) * math.log(y1 / y0))
