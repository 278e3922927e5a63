"""Voltage drop along a run, and the size or length that a permitted drop leaves."""

from __future__ import annotations


def voltage_drop(current_a: float, resistance_per_m: float, length_m: float) -> float:
    """Return the drop in volt along one conductor: I r L."""
    return current_a * resistance_per_m * length_m


def area_for_drop(rho: float, current_a: float, length_m: float, drop_v: float) -> float:
    """Return the least metal area in m2 that keeps a permitted drop: rho I L / V, with rho in ohm*m."""
    return rho * current_a * length_m / drop_v


def length_for_drop(resistance_per_m: float, current_a: float, drop_v: float) -> float:
    """Return the longest run in m that keeps a permitted drop: V / (I r)."""
    return drop_v / (current_a * resistance_per_m)
