"""Every published worked example that was collected for this project is a test, or it is said why it is none here.

The names are those of the project's collection of examples; beside each stand the test that holds it and a figure that is
printed in the source, which must stand in that test's file.
"""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).parent
Held = dict[str, tuple[str, float]]

AREAS: Held = {
    "liec-wire-area": ("test_area_of_a_round_wire", 0.008155),
    "neets-strands": ("test_area_of_stranded_wire", 304),
    "neets-12strand": ("test_area_of_stranded_wire", 1920000),
}
RESISTANCES: Held = {
    "liec-busbar": ("test_bus_bar", 27.604e-6),
    "os-12awg-20m": ("test_resistance_of_12_awg", 0.104),
    "neets-runs": ("test_long_runs_of_solid_wire", 4.05),
    "liec-temperature": ("test_warm_wire_starves_its_load", 15.909),
    "os-double-r": ("test_temperature_that_doubles_resistance", 276.4),
}
DROPS: Held = {
    "faa-11-7-1": ("test_faa_drops", 0.942),
    "faa-11-7-2": ("test_faa_row_over_its_own_limit", 0.504),
    "faa-11-7-4": ("test_faa_drops", 6.12),
    "faa-11-8-1": ("test_faa_drops", 0.98),
    "faa-11-8-3": ("test_faa_drops", 3.93),
    "faa-11-8-4": ("test_faa_drops", 6.88),
    "faa-bulletin-0v5": ("test_half_volt_run_of_the_aircraft_bulletin", 0.006),
    "os-cord": ("test_good_and_poor_cords", 1.5),
    "pvr_04": ("test_good_and_poor_cords", 7.5),
}
WIRES: Held = {
    "abyc-pump-3pct": ("test_bilge_pump_of_the_boat_catalogue", 6270.8),
    "liec-longrun-size": ("test_long_run_needs_two_nought", 116035),
    "cfr-engine-4awg": ("test_engine_space_derating", 136),
    "cfr-bundle-4-0": ("test_engine_space_and_bundle_derating", 189.1),
}
CIRCUITS: Held = {
    "liec-cells-parallel": ("test_cells_in_parallel_are_one_of_less_resistance", 0.04),
    "liec-load-test-1": ("test_loads_on_a_source", 13.187),
    "liec-load-test-3": ("test_loads_on_a_source", 9.583),
    "liec-load-test-4": ("test_loads_on_a_source", 7.5),
    "liec-ohm-18v": ("test_loads_on_a_source", 6),
    "liec-ohm-36v": ("test_loads_on_a_source", 12),
    "os-headlight-r": ("test_loads_on_a_source", 4.8),
    "os-starter-r": ("test_loads_on_a_source", 0.0733),
    "os-series-12v": ("test_three_resistances_in_series", 3.6),
    "os-parallel-12v": ("test_three_resistances_side_by_side", 0.92),
    "os-terminal-voltage": ("test_loads_on_a_source", 1.188),
    "os-starter-corroded": ("test_corroded_joints_cost_most_of_the_power", 320),
    "os-charging-heat": ("test_a_battery_that_is_charged", 40.0),
    "batt_01": ("test_loads_on_a_source", 11.9),
    "batt_02": ("test_loads_on_a_source", 20.0),
    "batt_04": ("test_a_battery_that_is_charged", 0.375),
    "batt_05": ("test_internal_resistance_from_two_loads", 0.4),
    "batt_07": ("test_corroded_joints_cost_most_of_the_power", 2000),
    "batt_08": ("test_corroded_joints_cost_most_of_the_power", 80.0),
    "pvr_01": ("test_loads_on_a_source", 2.5),
    "pvr_02": ("test_loads_on_a_source", 34.3),
    "pvr_08": ("test_loads_on_a_source", 200),
    "sp_02": ("test_three_resistances_side_by_side", 14.92),
    "sp_03": ("test_a_wire_before_two_loads", 5.11),
    "sp_05": ("test_headlight_and_starter_in_series", 29.6),
    "sp_06": ("test_loads_on_a_source", 2.0),
}
SHORT_CIRCUITS: Held = {
    "batt_10": ("test_short_circuits", 50.0),
    "batt_11": ("test_short_circuits", 14.0),
    "pvr_07": ("test_the_power_of_a_short_circuit", 144e3),
    "fuse_10": ("test_the_short_circuit_of_a_battery_by_its_cranking_current", 1500),
}
FUSES_AND_BANDS: Held = {
    "fuse_01": ("test_fuse_of_a_ten_ampere_circuit", 12.5),
    "fuse_03": ("test_stalled_motors_on_a_blade_fuse", 18.9),
    "fuse_04": ("test_published_drops_of_fuses", 0.21),
    "fuse_06": ("test_published_drops_of_fuses", 0.13),
    "fuse_07": ("test_published_drops_of_fuses", 0.218),
    "fuse_09": ("test_fuse_of_14_awg", 15.0),
}
WITHSTAND: Held = {
    "sc-01": ("test_without_loss_of_heat_a_wire_lasts_as_iec_says", 2.7498),
    "sc-02": ("test_without_loss_of_heat_a_wire_lasts_as_iec_says", 7.7776),
    "sc-03": ("test_without_loss_of_heat_a_wire_lasts_as_iec_says", 4.6911),
    "sc-04": ("test_without_loss_of_heat_a_wire_lasts_as_iec_says", 5.9158),
    "sc-05": ("test_without_loss_of_heat_a_wire_lasts_as_iec_says", 2.2868),
    "sc-06": ("test_without_loss_of_heat_a_wire_lasts_as_iec_says", 925617),
    "sc-07": ("test_without_loss_of_heat_a_wire_lasts_as_iec_says", 37824960),
    "sc-08": ("test_worked_constants", 114.836),
    "sc-09": ("test_worked_constants", 94.553),
    "sc-10": ("test_worked_constants", 142.686),
}
LEVELS: Held = {
    "amp_01": ("test_voltage_behind_a_power", 7.7),
    "amp_02": ("test_peaks_behind_a_radio_channel", 13.27),
    "amp_04": ("test_voltage_behind_a_power", 31.6),
    "amp_10": ("test_decibels_of_amplifier_stages", 11.76),
    "amp_11": ("test_decibels_of_amplifier_stages", 40),
    "amp_13": ("test_voltage_behind_a_power", 56.25),
}
CHARGING: Held = {
    "liec-amp-hours": ("test_how_long_a_battery_lasts", 20),
    "batt_13": ("test_how_long_a_battery_lasts", 180),
    "batt_14": ("test_how_long_a_battery_lasts", 10),
    "pvr_05": ("test_how_long_a_battery_lasts", 1.58),
    "chg_02": ("test_what_a_textbook_car_asks_of_its_alternator", 44),
    "chg_03": ("test_how_hard_a_load_of_52_a_works_two_alternators", 87),
    "chg_05": ("test_the_input_current_of_500_w_at_13_8_v", 36.2),
    "chg_06": ("test_the_share_of_an_alternator_near_idle", 16),
}
SPEAKERS: Held = {
    "sp_08": ("test_coils_of_eight_ohm_in_parallel", 2.66),
    "sp_09": ("test_coils_of_eight_ohm_in_parallel", 2.0),
    "amp_05": ("test_four_ohm_bridged_load_the_stage_like_two_ohm_each", 10),
    "amp_07": ("test_input_power_by_class", 4000),
    "amp_08": ("test_input_power_by_class", 1667),
}
COILS: Held = {
    "rel_02": ("test_coil_of_a_high_current_relay", 0.156),
    "rel_03": ("test_coils_of_mini_relays", 0.15),
}
MISPRINTS: Held = {
    "bad_01": ("test_misprinted_mean_power_at_ten_decibels_of_crest", 10),
    "bad_05": ("test_what_is_left_to_charge_with", 11),
    "bad_04": ("test_faa_misprints", 0.366),
    "FAA Table 11-7 row 4 V": ("test_faa_misprints", 3.60),
    "College Physics 20.4, 1 km of 00 gauge": ("test_misprinted_heat_of_a_kilometre_of_wire", 25.5),
    "University Physics 10.2, series-parallel": ("test_a_wire_before_two_loads", 5.10),
    "bad_02": ("test_misprinted_fuse_of_a_245_a_cable", 245.0),
    "bad_03": ("test_misprinted_current_of_an_amplifier", 20),
    "bad_06": ("test_misprinted_resistance_of_a_coil", 400.0),
    "bad_07": ("test_misprinted_resistance_of_a_healthy_battery", 0.038),
}
KINDS = {
    "areas": AREAS,
    "resistances": RESISTANCES,
    "drops": DROPS,
    "choice and ampacity of wires": WIRES,
    "circuits": CIRCUITS,
    "short circuits": SHORT_CIRCUITS,
    "fuses and bands": FUSES_AND_BANDS,
    "withstand": WITHSTAND,
    "levels": LEVELS,
    "charging and stored charge": CHARGING,
    "speakers and amplifiers": SPEAKERS,
    "relay coils": COILS,
    "misprints": MISPRINTS,
}

# Examples that are no test of conductors, drop, fuses, bands, short circuits and withstand, and why.
ELSEWHERE = {
    "altitude is no field of a plan: the air at sea level is taken": ("faa-ex-2a",),
    "a formula from memory of which the page with its result was not found": ("faa-ex-2b",),
}
# As many as the collection has of each beginning: so a line that is lost here is noticed.
COLLECTED = {
    "faa": 9, "abyc": 1, "liec": 11, "os": 10, "neets": 3, "cfr": 2, "batt": 10, "pvr": 6, "sp": 6, "amp": 9, "fuse": 7,
    "chg": 4, "rel": 2, "bad": 7, "sc": 10,
}  # fmt: skip


@cache
def suite() -> dict[str, frozenset[float]]:
    """By the name of a test the numbers that stand in its file."""
    found = {}
    for file in TESTS.rglob("test_*.py"):
        if file == Path(__file__):
            continue
        tree = ast.parse(file.read_text(encoding="utf-8"))
        constants = [node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)]
        numbers = frozenset(float(value) for value in constants if isinstance(value, int | float))
        names = [node.name for node in tree.body if isinstance(node, ast.FunctionDef)]
        found.update({name: numbers for name in names if name.startswith("test_")})
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_is_held_by_a_test(kind: str) -> None:
    """The test is there, and the printed figure stands in its file."""
    for example, (name, figure) in KINDS[kind].items():
        assert name in suite(), example
        assert float(figure) in suite()[name], example


def test_no_example_is_forgotten_and_none_is_counted_twice() -> None:
    """Of each beginning as many as were collected, each under one kind or left to others with a reason."""
    every = [example for kind in KINDS.values() for example in kind]
    every += [example for examples in ELSEWHERE.values() for example in examples]
    assert len(set(every)) == len(every)
    begin = [example.replace("_", "-").split("-")[0] for example in every if " " not in example]
    assert {one: begin.count(one) for one in begin} == COLLECTED


def test_a_figure_that_is_in_no_test_is_missed() -> None:
    """The check can fail: a figure nobody prints stands in no file."""
    assert all(0.123454321 not in numbers for numbers in suite().values())
