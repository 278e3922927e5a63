"""Supply current of amplifiers against published figures, and which power figures are credible."""

import math

import pytest

from planlint.trade.amplifiers import credible_power, design_current, efficiency_assumption
from planlint.trade.assumptions import assumption

# I = P / (efficiency V), tabled in the load reference: W, efficiency, A at 12.6, 13.8 and 14.4 V.
SUPPLY_CURRENT = [
    (300, 0.60, (39.68, 36.23, 34.72)), (300, 0.80, (29.76, 27.17, 26.04)),
    (500, 0.60, (66.14, 60.39, 57.87)), (500, 0.80, (49.60, 45.29, 43.40)),
    (1000, 0.60, (132.28, 120.77, 115.74)), (1000, 0.80, (99.21, 90.58, 86.81)),
]  # fmt: skip


@pytest.mark.parametrize(("power", "efficiency", "amps"), SUPPLY_CURRENT)
def test_design_current_at_three_voltages(power: int, efficiency: float, amps: tuple[float, ...]) -> None:
    """The supply current of rated power is that of the table within its rounding."""
    computed = [design_current(power, efficiency, voltage) for voltage in (12.6, 13.8, 14.4)]
    assert computed == pytest.approx(list(amps), abs=0.006)


@pytest.mark.parametrize(("efficiency", "input_w"), [(0.25, 4000), (0.6, 1667)])
def test_input_power_by_class(efficiency: float, input_w: float) -> None:
    """1000 W out takes 4000 W in class A and 1667 W in class AB (car-audio web handbook, section 6.5)."""
    assert design_current(1000.0, efficiency, 13.8) * 13.8 == pytest.approx(input_w, abs=0.5)


def test_two_printed_mistakes_are_mistakes() -> None:
    """Published pages that leave efficiency out (36.2 A) or multiply by it (20 A) are far too low."""
    # A car magazine divides 500 W by 13.8 V alone; a web page multiplies 400 W by 69 % instead of dividing.
    assert design_current(500.0, 0.6, 13.8) > 1.6 * 36.2
    assert design_current(400.0, 0.69, 13.8) == pytest.approx(42.0, abs=0.05)
    assert design_current(400.0, 0.69, 13.8) > 2 * 20


def test_on_board_fuses_cap_the_current() -> None:
    """No amplifier draws more for long than its own fuses carry (common practice)."""
    assert design_current(1000.0, 0.6, 13.8, fuses_a=60.0) == 60.0
    assert design_current(300.0, 0.8, 13.8, fuses_a=60.0) == design_current(300.0, 0.8, 13.8)


@pytest.mark.parametrize(
    ("amp_class", "mono", "efficiency"),
    [
        ("AB", False, 0.60),
        ("ab", True, 0.60),
        ("D", True, 0.80),
        ("D", False, 0.75),
        ("A", True, 0.20),
        ("H", False, 0.65),
        ("G", True, 0.65),
    ],
)
def test_efficiency_by_class(amp_class: str, mono: bool, efficiency: float) -> None:
    """Classes have the trade's planning efficiency (handbooks: AB 0.50 to 0.65, D 0.75 to 0.92)."""
    name = efficiency_assumption(amp_class, mono)
    assert name is not None
    assert assumption(name).value == pytest.approx(efficiency)


@pytest.mark.parametrize("amp_class", ["B", "T", "other", ""])
def test_other_classes_have_no_assumed_efficiency(amp_class: str) -> None:
    """A class without a known figure is unknown; none is made up."""
    assert efficiency_assumption(amp_class, True) is None


def test_no_class_beats_theory() -> None:
    """Class A stays below 25 % and class AB below pi/4, the limits of ideal output stages."""
    assert assumption("efficiency_a").high <= 0.25
    assert assumption("efficiency_ab").high <= math.pi / 4


def test_a_power_beyond_the_fuses_is_not_credible() -> None:
    """Two 30 A fuses make at most 760 W of class D credible: 1.1 x 0.80 x 14.4 V x 60 A (common practice)."""
    assert credible_power(0.80, 60.0, 1.1, 14.4) == pytest.approx(760.32)
