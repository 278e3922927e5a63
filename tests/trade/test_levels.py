"""Levels against published worked examples, and against scipy's and pint's own decibels and roots."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.trade.levels import decibels, rms_voltage, side_by_side

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize(
    ("watts", "ohm", "volts", "cut"),
    [
        # An electronics question-and-answer page on a 15 W radio channel; it prints 7.7 V, cut.
        (15, 4, 7.7, 0.05),
        # An audio installer's how-to page on setting gain.
        (500, 2, 31.6, 0.05),
        # A car-audio magazine's page: 15 V across 4 ohm are 56.25 W.
        (56.25, 4, 15, 1e-9),
    ],
)
def test_voltage_behind_a_power(watts: float, ohm: float, volts: float, cut: float) -> None:
    """The root of power times load is the printed voltage, within the digits printed."""
    assert rms_voltage(watts, ohm) == pytest.approx(volts, abs=cut)


def test_peaks_behind_a_radio_channel() -> None:
    """15 W into 4 ohm are printed as 11 V of peak and 22 V from peak to peak; 22 W as twice that, and 13.27 V, of peak."""
    peak = math.sqrt(2) * rms_voltage(15, 4)
    assert (round(peak), round(2 * peak)) == (11, 22)
    assert rms_voltage(2 * 22, 4) == pytest.approx(13.27, abs=0.005)


def test_decibels_of_amplifier_stages() -> None:
    """Lessons in Electric Circuits (T. Kuphaldt): 10 mV to 1 V are 40 dB; power gains of 3 and 5 are 4.77 and 6.99 dB,
    together 11.76 dB. A gain of power is the square of that of voltage."""
    assert decibels(1.0 / 0.01) == pytest.approx(40)
    three, five = decibels(math.sqrt(3)), decibels(math.sqrt(5))
    assert three == pytest.approx(4.77, abs=0.005)
    assert five == pytest.approx(6.99, abs=0.005)
    assert three + five == pytest.approx(11.76, abs=0.005)


def test_misprinted_mean_power_at_ten_decibels_of_crest() -> None:
    """A handbook prints 10 W for the mean of 1000 W at a crest factor of 10 dB; the sine's peak, 10 dB down, gives 200 W."""
    printed, load = 10, 2.0
    peak = math.sqrt(2) * rms_voltage(1000, load)
    mean = peak / 10 ** (10 / 20)
    assert decibels(peak / mean) == pytest.approx(10)
    assert mean**2 / load == pytest.approx(200)
    assert mean**2 / load != pytest.approx(printed, rel=0.5)


@given(st.floats(1e-3, 1e4))
def test_decibels_are_those_of_pint(ratio: float) -> None:
    """Pint, a library of units, knows the decibel of a ratio of powers: the square of one of voltages."""
    theirs = REGISTRY.Quantity(ratio**2, "dimensionless").to("decibel").magnitude
    assert decibels(ratio) == pytest.approx(theirs, abs=1e-9)


@given(st.lists(st.floats(1e-2, 1e6), min_size=1, max_size=6))
def test_resistances_side_by_side_share_one_voltage(ohms: list[float]) -> None:
    """At one volt the currents add up (Kirchhoff), and none at all flows without a resistance."""
    assert 1.0 / side_by_side(ohms) == pytest.approx(math.fsum(1.0 / ohm for ohm in ohms))
    assert side_by_side([]) == math.inf
