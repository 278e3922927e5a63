"""Power of an amplifier's channel into the load it really has."""

from __future__ import annotations

import math


def power_into(load_ohm: float, power_w: float, at_ohm: float, most_current_a: float | None = None) -> float:
    """Return the power in W into a load, by the power that is stated into another: U2 / R, at most I2 R.

    The supply inside an amplifier bounds its voltage: what it swings into the rated load it swings into any other
    (Ohm's law). `most_current_a` bounds it in a load below: the current at the power stated into the lowest load. Between
    two stated loads the result is at most what either bound gives.
    """
    by_voltage = power_w * at_ohm / load_ohm
    return by_voltage if most_current_a is None else min(by_voltage, most_current_a**2 * load_ohm)


def bridged_power(load_ohm: float, power_w: float, at_ohm: float, most_current_a: float | None = None) -> float:
    """Return the power in W of two like channels bridged into a load: each drives half of it.

    The two swing against each other, so the load gets twice the voltage of one (any textbook of amplifiers).
    """
    return 2.0 * power_into(load_ohm / 2.0, power_w, at_ohm, most_current_a)


def rms_current(power_w: float, ohm: float) -> float:
    """Return the RMS current in A of a power in a load: root of P / R (Joule's law)."""
    return math.sqrt(power_w / ohm)
