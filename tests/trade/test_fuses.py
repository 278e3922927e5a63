"""Fuse limits and families against the trade's table, 33 CFR 183.455 and the ISO 8820 type names."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.plan.quantity import Dimension, parse
from planlint.trade.ampacity import ampacity
from planlint.trade.conductors import material_of, materials
from planlint.trade.fuses import (
    families,
    family_of,
    fuse_resistance,
    in_series,
    interrupting_rating,
    standard_at_or_above,
    standard_at_or_below,
    standard_ratings,
    thermal_limit,
    trade_fuse_limit,
)


def gauge(size: str) -> float:
    """Return the area in m2 of an AWG size."""
    return parse(f"{size} AWG", Dimension.AREA).low


# The fuse the trade puts on a copper conductor (common practice, about 300 circular mil per ampere): AWG, A.
TRADE_FUSES = {
    "22": 3, "20": 5, "18": 7.5, "16": 10, "14": 15, "12": 20, "10": 30, "8": 50, "6": 80, "4": 125,
    "2": 200, "1": 225, "1/0": 300, "2/0": 350, "3/0": 400, "4/0": 500,
}  # fmt: skip


@pytest.mark.parametrize(("size", "amps"), TRADE_FUSES.items())
def test_the_trade_table_is_given_as_it_is_taught(size: str, amps: float) -> None:
    """Each AWG size has the trade's fuse, clad and aluminium that times their ampacity factor, unrounded."""
    assert trade_fuse_limit(gauge(size), "copper") == amps
    assert trade_fuse_limit(gauge(size), "copper-clad-aluminium") == pytest.approx(0.78 * amps)


@pytest.mark.parametrize("size", [size for size in TRADE_FUSES if size not in ("22", "20")])
@pytest.mark.parametrize("rating", [75, 105])
def test_trade_fuses_respect_the_boat_rule_on_usual_cable(size: str, rating: int) -> None:
    """No trade fuse exceeds 150 % of the ampacity of 75 or 105 C cable (33 CFR 183.455(c)(1), Table 5)."""
    assert trade_fuse_limit(gauge(size), "copper") <= 1.5 * ampacity(gauge(size), rating, 30.0, "copper")


def test_trade_fuses_break_the_boat_rule_on_the_coolest_cable() -> None:
    """On 60 C cable the four largest sizes of the trade table exceed 150 % (33 CFR 183.455(c)(1))."""
    over = [
        size
        for size in TRADE_FUSES
        if trade_fuse_limit(gauge(size), "copper") > 1.5 * ampacity(gauge(size), 60.0, 30.0, "copper")
    ]
    assert over == ["1/0", "2/0", "3/0", "4/0"]


# Metric sizes and the AWG size the trade reference says they nearly equal.
@pytest.mark.parametrize(
    ("area_mm2", "amps"),
    [
        (0.75, 5),
        (1, 7.5),
        (2.5, 15),
        (4, 20),
        (6, 30),
        (10, 50),
        (16, 80),
        (25, 125),
        (35, 200),
        (50, 250),
        (70, 350),
    ],
)
def test_metric_sizes_round_down_to_a_standard_fuse(area_mm2: float, amps: float) -> None:
    """Metric limits, worked by hand log-log between AWG neighbours, end on the standard rating below."""
    assert trade_fuse_limit(area_mm2 * 1e-6, "copper") == amps


@given(exponent=st.floats(-7.5, -3.5), material=st.sampled_from(sorted(materials())))
def test_a_thicker_wire_never_gets_a_smaller_fuse(exponent: float, material: str) -> None:
    """The limit never falls with area, is a made rating for copper and never more than for 4/0 AWG."""
    area = 10**exponent
    limit = trade_fuse_limit(area, material)
    assert limit <= trade_fuse_limit(area * 1.05, material)
    copper = limit / material_of(material).ampacity_factor
    assert any(math.isclose(copper, made) for made in (0.0, *standard_ratings()))
    assert copper <= 500 * (1 + 1e-12)


# Thermal limits the trade reference prints (1.25 x derated ampacity): AWG, insulation C, ambient C, A.
@pytest.mark.parametrize(
    ("size", "rating", "ambient", "amps"),
    [("4/0", 105, 50, 473), ("4", 75, 50, 117), ("2", 75, 50, 159), ("1/0", 75, 50, 216)],
)
def test_thermal_limits_of_the_trade_reference(size: str, rating: int, ambient: int, amps: int) -> None:
    """The four printed thermal limits are met to the ampere; each lies below the trade fuse and rules."""
    limit = thermal_limit(ampacity(gauge(size), rating, ambient, "copper"), 1.25)
    assert limit == pytest.approx(amps, abs=0.5)
    assert limit < trade_fuse_limit(gauge(size), "copper")


# Family words of the plan and their ISO 8820 type, where there is one (ISO 8820-3 and -5).
ISO_TYPES = {
    "blade-mini": "F", "blade": "C", "blade-maxi": "E", "glass": "", "anl-mini": "", "anl": "",
    "strip": "SF30", "strip-large": "SF51", "terminal": "",
}  # fmt: skip


def test_families_carry_their_iso_type() -> None:
    """The plan's words for fuses map to the types of ISO 8820-3 and ISO 8820-5."""
    assert {name: family.iso_type for name, family in families().items()} == ISO_TYPES


@pytest.mark.parametrize("name", ISO_TYPES)
def test_ratings_rise_and_belong_to_the_series(name: str) -> None:
    """Each series rises strictly, contains its own ratings and nothing between or beyond them."""
    ratings = family_of(name).ratings_a
    assert list(ratings) == sorted(set(ratings))
    assert all(in_series(name, rating) for rating in ratings)
    assert not in_series(name, ratings[-1] + 1)
    assert not in_series(name, ratings[0] + 0.1)


def test_strip_fuses_stay_within_iso_8820_5() -> None:
    """SF 30 and SF 51 together are made from 30 to 500 A (scope of ISO 8820-5:2015)."""
    both = family_of("strip").ratings_a + family_of("strip-large").ratings_a
    assert (min(both), max(both)) == (30, 500)


def test_terminal_fuses_span_what_is_published() -> None:
    """Terminal fuses are made from 30 to 300 A (a published range)."""
    ratings = family_of("terminal").ratings_a
    assert (ratings[0], ratings[-1]) == (30, 300)


@pytest.mark.parametrize(
    ("family", "system_v", "amps"),
    [
        ("blade", 12.0, 1000),  # typical datasheet, 32 V
        ("blade-maxi", 24.0, 1000),  # typical datasheet, 32 V
        ("strip", 12.0, 1000),  # the lower of ISO 8820-5:2015 (2000 A) and a trade page (1000 A)
        ("strip-large", 12.0, 2000),  # ISO 8820-5:2015 scope, 32 V
        ("anl", 12.0, 6000),  # marine trade pages, 32 V
        ("terminal", 12.0, 10000),  # 10 000 A at 14 V
        ("terminal", 24.0, 5000),  # 5000 A at 32 V (memory)
        ("terminal", 48.0, 2000),  # 2000 A at 58 V (memory)
    ],
)
def test_published_interrupting_ratings(family: str, system_v: float, amps: float) -> None:
    """A family's published interrupting rating is the one for a voltage at or above the system's."""
    published = interrupting_rating(family, system_v)
    assert published is not None
    assert published.current_a == amps
    assert published.voltage_v >= system_v


@pytest.mark.parametrize(
    ("family", "system_v"), [("glass", 12.0), ("anl-mini", 12.0), ("blade", 48.0), ("strip-large", 48.0)]
)
def test_unpublished_interrupting_ratings_are_unknown(family: str, system_v: float) -> None:
    """Where nothing is published, or only for a lower voltage, the answer is unknown and not a number."""
    assert interrupting_rating(family, system_v) is None


def test_an_unknown_family_is_named() -> None:
    """A family there is not is refused with those there are."""
    with pytest.raises(ValueError, match="there are blade-mini, blade"):
        in_series("cube", 10.0)


@pytest.mark.parametrize(
    ("amps", "below", "above"),
    [
        (0.5, 0.0, 1.0),
        (7.5, 7.5, 7.5),
        (9.99, 7.5, 10.0),
        (44.0, 40.0, 50.0),
        (80.0, 80.0, 80.0),
        (900.0, 500.0, None),
    ],
)
def test_standard_ratings_on_both_sides(amps: float, below: float, above: float | None) -> None:
    """A current finds the made ratings at or below and at or above it, rounding noise included."""
    assert standard_at_or_below(amps) == below
    assert standard_at_or_above(amps) == above
    if below == amps:
        assert standard_at_or_below(amps * (1 - 1e-12)) == amps
        assert standard_at_or_above(amps * (1 + 1e-12)) == amps


# Printed on typical blade-fuse datasheets: rating A, voltage drop at rating mV, and drop / rating mohm.
@pytest.mark.parametrize(("rating", "drop_mv", "mohm"), [(20, 98, 4.90), (40, 96, 2.40), (40, 75, 1.875)])
def test_fuse_resistance_from_its_drop(rating: float, drop_mv: float, mohm: float) -> None:
    """The hot resistance of a fuse follows from the voltage drop its datasheet prints."""
    assert fuse_resistance(rating, drop_mv / 1000) * 1000 == pytest.approx(mohm)
