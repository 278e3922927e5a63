"""What a relay's coil draws."""

from __future__ import annotations


def coil_current(volts: float, ohm: float) -> float:
    """Return the current in A through a coil of so many ohm at so many volts: Ohm's law, V / R.

    Raises ValueError for a coil without resistance.
    """
    if ohm <= 0:
        raise ValueError(f"a coil has more than {ohm} ohm")
    return volts / ohm
