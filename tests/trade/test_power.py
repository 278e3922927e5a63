"""Power into the real load against Ohm's law and published figures."""

import pytest

from planlint.trade.power import bridged_power, power_into, rms_current


def test_square_wave_of_a_radio_chip() -> None:
    """15 V into 4 ohm are 56.25 W (car-audio magazine page on the power of radios)."""
    assert power_into(4.0, 15.0**2, 1.0) == pytest.approx(56.25)


def test_four_ohm_bridged_load_the_stage_like_two_ohm_each() -> None:
    """20 V into 2 ohm, and two times 20 V into 4 ohm, are 10 A each (audio forum post)."""
    one = power_into(2.0, 20.0**2 / 2.0, 2.0)
    both = bridged_power(4.0, 20.0**2 / 2.0, 2.0)
    assert rms_current(one, 2.0) == pytest.approx(10)
    assert rms_current(both, 4.0) == pytest.approx(10)


@pytest.mark.parametrize(
    ("load", "watts"),
    [
        (8.0, 50.0),  # the voltage of 100 W at 4 ohm: 20 V
        (4.0, 100.0),
        (2.0, 150.0),  # as stated: 8.66 A
        (1.0, 75.0),  # no more than 8.66 A
        (3.0, 400.0 / 3.0),  # 20 V, 6.67 A
    ],
)
def test_between_two_stated_loads_both_bounds_hold(load: float, watts: float) -> None:
    """An amplifier of 100 W at 4 ohm and 150 W at 2 ohm keeps its voltage and its current (Ohm's law)."""
    assert power_into(load, 100.0, 4.0, rms_current(150.0, 2.0)) == pytest.approx(watts)


def test_without_a_second_figure_voltage_alone_bounds() -> None:
    """Half the load is twice the power: the worst for a driver."""
    assert power_into(1.0, 600.0, 2.0) == pytest.approx(1200.0)
