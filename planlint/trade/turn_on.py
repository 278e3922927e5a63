"""What a relay's coil draws, and what its contacts bear."""

from __future__ import annotations

# Shares of their rating that a relay's contacts carry for long: with loads that take no more when they are switched on, and
# with motors, lamps and capacitors, which take several times as much (common practice).
STEADY_SHARE, SURGE_SHARE = 0.8, 0.5


def coil_current(volts: float, ohm: float) -> float:
    """Return the current in A through a coil of so many ohm at so many volts: Ohm's law, V / R.

    Raises ValueError for a coil without resistance.
    """
    if ohm <= 0:
        raise ValueError(f"a coil has more than {ohm} ohm")
    return volts / ohm
