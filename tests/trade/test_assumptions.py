"""Assumed values are those of the trade reference, carry their unit, and lie within their plausible range."""

import pytest

from planlint.plan.quantity import Dimension, show
from planlint.trade.assumptions import assumption, assumptions
from planlint.trade.tables import ORIGINS

# Defaults of the trade reference (common practice unless the table says otherwise), in SI.
DEFAULTS = {
    "joint_resistance": (0.0002, Dimension.RESISTANCE),
    "fuse_drop_at_rating": (0.080, Dimension.VOLTAGE),
    "ground_joint_resistance": (0.0005, Dimension.RESISTANCE),
    "signal_power_gap": (0.15, Dimension.LENGTH),
    "body_resistance": (0.002, Dimension.RESISTANCE),
    "battery_resistance": (0.006, Dimension.RESISTANCE),
    "battery_resistance_lowest": (0.004, Dimension.RESISTANCE),
    "battery_capacity": (216000.0, Dimension.CHARGE),
    "design_voltage": (13.8, Dimension.VOLTAGE),
    "rating_voltage": (14.4, Dimension.VOLTAGE),
    "short_circuit_voltage": (12.6, Dimension.VOLTAGE),
    "insulation_class": (75.0, Dimension.TEMPERATURE),
    "ambient_engine_bay": (50.0, Dimension.TEMPERATURE),
    "ambient_elsewhere": (30.0, Dimension.TEMPERATURE),
    "conductor_temperature": (50.0, Dimension.TEMPERATURE),
    "short_circuit_temperature": (20.0, Dimension.TEMPERATURE),
    "longest_tap": (0.4572, Dimension.LENGTH),
    "usable_charge_lead": (0.5, Dimension.RATIO),
    "usable_charge_lithium": (0.8, Dimension.RATIO),
    "efficiency_a": (0.20, Dimension.RATIO),
    "efficiency_ab": (0.60, Dimension.RATIO),
    "efficiency_gh": (0.65, Dimension.RATIO),
    "efficiency_d_mono": (0.80, Dimension.RATIO),
    "efficiency_d_full": (0.75, Dimension.RATIO),
    "credibility_margin": (1.10, Dimension.RATIO),
    "music_share": (0.35, Dimension.RATIO),
    "control_source_limit": (0.3, Dimension.CURRENT),
    "turn_on_draw": (0.020, Dimension.CURRENT),
    "standby_draw": (0.002, Dimension.CURRENT),
    "diode_drop": (0.7, Dimension.VOLTAGE),
    "amp_input_max": (4.0, Dimension.VOLTAGE),
    "converter_input_max": (20.0, Dimension.VOLTAGE),
    "crank_minimum": (6.0, Dimension.VOLTAGE),
    "alternator_idle_share": (0.50, Dimension.RATIO),
    "factory_draw_share": (0.45, Dimension.RATIO),
    "battery_charge_current": (5.0, Dimension.CURRENT),
    "unknown_battery_charge": (5.0, Dimension.CURRENT),
    "thermal_factor": (1.25, Dimension.RATIO),
    "fuse_load_share": (0.80, Dimension.RATIO),
    "restraint_wait": (900.0, Dimension.TIME),
}


def test_every_assumption_is_checked_here() -> None:
    """No assumed value is added without its figure being written down a second time."""
    assert set(assumptions()) == set(DEFAULTS)


@pytest.mark.parametrize(("name", "expected"), DEFAULTS.items())
def test_assumed_values(name: str, expected: tuple[float, Dimension]) -> None:
    """Each value is the trade's default in SI, inside its own range, with meaning, source and origin."""
    found = assumption(name)
    value, dimension = expected
    assert found.value == pytest.approx(value)
    assert found.dimension is dimension
    assert found.low <= found.value <= found.high
    assert found.meaning and found.source
    assert found.origin in ORIGINS
    assert show(found.value, found.dimension, found.unit)


def test_body_resistance_is_told_in_its_unit() -> None:
    """Assumptions are shown as the trade speaks of them."""
    found = assumption("body_resistance")
    assert show(found.value, found.dimension, found.unit) == "2 mohm"


def test_an_unknown_assumption_is_named() -> None:
    """An assumption there is not is refused with those there are."""
    with pytest.raises(ValueError, match="there are joint_resistance"):
        assumption("luck")
