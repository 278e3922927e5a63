"""Supply current of amplifiers: efficiency by class, design current, and which stated powers are credible."""

from __future__ import annotations

# Class and whether there is one channel -> the assumption that holds its efficiency.
_EFFICIENCY = {
    ("a", True): "efficiency_a",
    ("a", False): "efficiency_a",
    ("ab", True): "efficiency_ab",
    ("ab", False): "efficiency_ab",
    ("g", True): "efficiency_gh",
    ("g", False): "efficiency_gh",
    ("h", True): "efficiency_gh",
    ("h", False): "efficiency_gh",
    ("d", True): "efficiency_d_mono",
    ("d", False): "efficiency_d_full",
}


def efficiency_assumption(amp_class: str, mono: bool) -> str | None:
    """Return the name of the assumed efficiency for a class (`AB`, `D`), None where no figure is known."""
    return _EFFICIENCY.get((amp_class.casefold(), mono))


def design_current(power_w: float, efficiency: float, voltage_v: float, fuses_a: float | None = None) -> float:
    """Return the supply current in A at full power: P / (efficiency V), at most the sum of on-board fuses."""
    current_a = power_w / (efficiency * voltage_v)
    return current_a if fuses_a is None else min(current_a, fuses_a)


def credible_power(efficiency: float, fuses_a: float, margin: float, rating_voltage_v: float) -> float:
    """Return the largest power in W that on-board fuses make credible: margin x efficiency x V x their sum.

    Common practice: margin 1.1 at 14.4 V, the rating voltage of ANSI/CTA-2006 (see the assumptions).
    """
    return margin * efficiency * rating_voltage_v * fuses_a


def supply_exponent(amp_class: str) -> float:
    """Return how an amplifier's supply current goes with its supply voltage at a given output: power as V to this.

    A linear output stage (A, AB, G, H) draws from its supply the current that it gives its load, whatever the voltage: 1.
    A switching one (D) turns power over, and draws more at less voltage: 0. So is any other, the worse of the two.
    """
    return 1.0 if amp_class.casefold() in ("a", "ab", "b", "g", "h") else 0.0
