"""What a relay's coil draws, and what its contacts carry in hot air."""

from __future__ import annotations

import math

# The temperature in C at which contacts may carry nothing more: heat goes with the square of the current. Fitted below the
# published points of a 70 A automotive relay: 70 A at 23 C, 50 A at 85 C, 30 A at 125 C.
_HOTTEST_C = 145.0


def contact_rating(rating: float, rated_at: float, air: float) -> float:
    """Return the current in A that contacts carry in air of some C, which carry `rating` in air of `rated_at`; never more
    than that. Source: data sheets of automotive relays, heating by I^2 R."""
    if air <= rated_at:
        return rating
    if air >= _HOTTEST_C:
        return 0.0
    return rating * math.sqrt((_HOTTEST_C - air) / (_HOTTEST_C - rated_at))


def coil_current(volts: float, ohm: float) -> float:
    """Return the current in A through a coil of so many ohm at so many volts: Ohm's law, V / R.

    Raises ValueError for a coil without resistance.
    """
    if ohm <= 0:
        raise ValueError(f"a coil has more than {ohm} ohm")
    return volts / ohm
