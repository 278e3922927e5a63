"""How long a wire withstands an overload or a short circuit before its insulation is spoilt."""

from __future__ import annotations

import math
from functools import lru_cache

from planlint.frozen import frozen
from planlint.trade.ampacity import column_for
from planlint.trade.conductors import adiabatic_k

# A timed overload step of ISO 6722 (from memory) lies this many kelvin above the rating of the insulation.
_OVERLOAD_K = 50.0
# Short-circuit limits of insulation in C (IEC 60364-5-54 Annex A), by the highest rating in C of cable made with it:
# PVC, cross-linked, silicone.
_LIMITS = ((110.0, 160.0), (160.0, 250.0), (math.inf, 350.0))


class HotterThanInsulationError(ValueError):
    """The air around the wire is as hot as its insulation may get: no current is permitted at all."""


@frozen
class WireHeat:
    """A wire as it heats: `ampacity` in A where it lies, temperatures in C, `k` in A sqrt(s)/m2 from ambient to `permitted`,
    `tau` its time constant in s. `rating` is what the conductor comes to at the ampacity."""

    ampacity: float
    rating: float
    ambient: float
    permitted: float
    adiabatic: float
    tau: float

    def rise(self, current_a: float) -> float:
        """Return the rise in K that a current in A leads to in the long run: the rating's rise at the ampacity."""
        return (self.rating - self.ambient) * (current_a / self.ampacity) ** 2


@frozen
class Withstand:
    """For how long in s a wire withstands a current.

    `verified` is false where the current is above its ampacity and its end temperature within the permitted overload: that
    is hours, and no standard says how many.
    """

    seconds: float
    verified: bool = True


@lru_cache(maxsize=4096)
def wire_heat(area_m2: float, material: str, rating_c: float, ambient_c: float, ampacity_a: float) -> WireHeat:
    """Return a wire as it heats, with one time constant: k2S2 = Iz2 tau dmax/drated.

    k is the adiabatic constant of IEC 60364-5-54 Annex A from ambient to the permitted overload temperature. The ampacity
    is that of a column of the table, which may be cooler than the insulation: the conductor then stays as cool at it.
    Raises HotterThanInsulationError, ValueError for an unknown material.
    """
    rated = min(rating_c, column_for(rating_c))
    if ambient_c >= rated or ampacity_a <= 0:
        raise HotterThanInsulationError(f"{ambient_c} C around insulation for {rating_c} C")
    permitted = min(rating_c + _OVERLOAD_K, next(limit for most, limit in _LIMITS if rating_c <= most))
    k = adiabatic_k(material, ambient_c, permitted)
    ratio = (permitted - ambient_c) / (rated - ambient_c)
    return WireHeat(
        ampacity=ampacity_a,
        rating=rated,
        ambient=ambient_c,
        permitted=permitted,
        adiabatic=k * area_m2,
        tau=(k * area_m2 / ampacity_a) ** 2 / ratio,
    )


def withstand(wire: WireHeat, current_a: float, before_a: float = 0.0) -> Withstand:
    """Return for how long a wire withstands a current in A that follows on another, `before_a`, of long standing.

    t = tau ln((D - d0)/(D - dmax)). Infinite up to the ampacity; above it, where D stays below dmax, unverified.
    """
    if current_a <= wire.ampacity * (1 + 1e-9):
        return Withstand(seconds=math.inf)
    end, start, most = wire.rise(current_a), wire.rise(before_a), wire.permitted - wire.ambient
    if end <= most:
        return Withstand(seconds=math.inf, verified=False)
    if start >= most:
        return Withstand(seconds=0.0)
    return Withstand(seconds=-wire.tau * math.log1p((start - most) / (end - start)))
