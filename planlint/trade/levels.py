"""Levels of a signal: voltage into a load, decibels, inputs side by side."""

from __future__ import annotations

import math
from collections.abc import Iterable


def rms_voltage(power_w: float, load_ohm: float) -> float:
    """Return the RMS voltage in V that gives a power in a load: sqrt(P R) (Ohm's law; the target for setting a gain)."""
    return math.sqrt(power_w * load_ohm)


def decibels(ratio: float) -> float:
    """Return a ratio of voltages above 0 in decibels: 20 log10 (IEC 60027-3)."""
    return 20.0 * math.log10(ratio)


def side_by_side(ohms: Iterable[float]) -> float:
    """Return the resistance in ohm of several above 0 joined in parallel, infinite where there is none."""
    conductance = sum(1.0 / ohm for ohm in ohms)
    return 1.0 / conductance if conductance else math.inf
