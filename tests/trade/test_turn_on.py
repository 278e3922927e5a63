"""Currents of relay coils against published sheets of relays."""

from __future__ import annotations

import pytest

from planlint.trade.turn_on import coil_current, contact_rating


def test_coil_of_a_high_current_relay() -> None:
    """A sheet of a 70 A plug-in relay: 90 ohm, 10 % less at worst; printed 0.156 A at 12.6 V."""
    assert coil_current(12.6, 90.0 * (1 - 0.1)) == pytest.approx(0.156, abs=0.0005)


def test_coils_of_mini_relays() -> None:
    """An information sheet of mini relays: 60 to 80 ohm, printed 0.15 to 0.2 A at 12 V."""
    assert coil_current(12.0, 80.0) == pytest.approx(0.15)
    assert coil_current(12.0, 60.0) == pytest.approx(0.2)


def test_misprinted_resistance_of_a_coil() -> None:
    """A forum prints 400 to 500 ohm for a relay of 0.15 A at 12 V: that takes 80 ohm; 400 ohm draw a fifth of it."""
    assert coil_current(12.0, 80.0) == pytest.approx(0.15)
    assert coil_current(12.0, 400.0) == pytest.approx(0.03)
    assert coil_current(12.0, 500.0) < 0.15 / 5


def test_a_coil_without_resistance_is_none() -> None:
    """What has no resistance would short its source."""
    with pytest.raises(ValueError, match="more than 0"):
        coil_current(12.0, 0.0)


# The published points of a 70 A relay: current in A by the temperature of the air in C (a data sheet).
PUBLISHED = {23.0: 70.0, 85.0: 50.0, 125.0: 30.0}


@pytest.mark.parametrize("start", PUBLISHED)
@pytest.mark.parametrize("air", PUBLISHED)
def test_contacts_carry_in_hot_air_what_a_data_sheet_says(start: float, air: float) -> None:
    """From each published point to each hotter one: never more than is published, and at most 8 % less."""
    found = contact_rating(PUBLISHED[start], start, air)
    published = PUBLISHED[max(start, air)]
    assert 0.92 * published <= found <= published


def test_no_contact_carries_anything_where_its_coil_would_burn() -> None:
    """In air as hot as the parts may be there is no room for heat."""
    assert contact_rating(30.0, 85.0, 150.0) == 0.0
