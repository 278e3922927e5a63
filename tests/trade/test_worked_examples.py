"""Published worked examples of wire area, resistance, drop, choice of wire, temperature and derating."""

import math
from collections.abc import Mapping

import pytest

from planlint.plan.quantity import Dimension, parse
from planlint.trade.ampacity import ampacity
from planlint.trade.amplifiers import design_current
from planlint.trade.assumptions import assumption
from planlint.trade.conductors import LAY_FACTOR, at_temperature, material_of, ohm_per_m, resistance_per_m
from planlint.trade.drop import area_for_drop, length_for_drop, voltage_drop
from planlint.trade.fuse_curves import band_of, fastest_opening, slowest_opening
from planlint.trade.fuses import (
    fuse_resistance,
    standard_at_or_above,
    standard_at_or_below,
    trade_fuse_limit,
)

FOOT = parse("1 ft", Dimension.LENGTH).low
CIRCULAR_MIL = parse("1 cmil", Dimension.AREA).low
OHM_CMIL_PER_FT = 1.66243e-9  # ohm*m; Lessons in Electric Circuits vol. I DC, ch. 12


def gauge(size: str) -> float:
    """Return the area in m2 of an AWG size."""
    return parse(f"{size} AWG", Dimension.AREA).low


FAA = "FAA AC 43.13-1B CHG 1 (9/27/01), chapter 11 section 5, "
# Source, resistance in ohm per foot, run in feet, ampere, printed drop in volt, half the last printed digit.
FAA_DROPS = [
    (FAA + "Table 11-7 row 1", 0.00044, 107, 20, 0.942, 0.0005),
    (FAA + "Table 11-7 row 2", 0.00028, 90, 20, 0.504, 0.0005),
    (FAA + "Table 11-7 row 4", 0.00306, 100, 20, 6.12, 0.05),
    (FAA + "Table 11-8 row 1", 0.00126, 39, 20, 0.98, 0.005),
    (FAA + "Table 11-8 row 3", 0.00126, 156, 20, 3.93, 0.005),
    (FAA + "Table 11-8 row 4", 0.00126, 273, 20, 6.88, 0.005),
]


@pytest.mark.parametrize(("source", "per_foot", "feet", "amps", "printed", "rounding"), FAA_DROPS)
def test_faa_drops(source: str, per_foot: float, feet: float, amps: float, printed: float, rounding: float) -> None:
    """The drop of a run is the one printed, and the printed drop allows the printed run."""
    per_m = per_foot / FOOT
    length = parse(f"{feet} ft", Dimension.LENGTH).low
    assert voltage_drop(amps, per_m, length) == pytest.approx(printed, abs=rounding), source
    assert length_for_drop(per_m, amps, printed) == pytest.approx(length, rel=rounding / printed), source


def test_faa_row_over_its_own_limit() -> None:
    """FAA Table 11-7 row 2 prints 0.504 V for a limit of 0.5 V (read off a chart): 1 % too long."""
    assert voltage_drop(20, 0.00028 / FOOT, 90 * FOOT) > 0.5
    assert length_for_drop(0.00028 / FOOT, 20, 0.5) < 90 * FOOT


# Known misprints: source, ohm per foot, feet, ampere, correct volt, printed volt. Runs are from memory.
MISPRINTS = [
    (FAA + "Table 11-8 row 0.5 V", 0.00126, 19.5, 20, 0.4914, 0.366),
    (FAA + "Table 11-7 row 4 V", 0.00202, 88, 20, 3.555, 3.60),
]


@pytest.mark.parametrize(("source", "per_foot", "feet", "amps", "correct", "printed"), MISPRINTS)
def test_faa_misprints(source: str, per_foot: float, feet: float, amps: float, correct: float, printed: float) -> None:
    """Two printed drops are wrong: the computation gives the corrected figure and not the printed one."""
    computed = voltage_drop(amps, per_foot / FOOT, feet * FOOT)
    assert computed == pytest.approx(correct, abs=0.0005), source
    assert abs(computed - printed) > 0.04, source


def test_half_volt_run_of_the_aircraft_bulletin() -> None:
    """9 A in 0.006 ohm/ft may run 9 ft 3 in for 0.5 V (aircraft bulletin after AC 43.13-1B, p. 1)."""
    run = length_for_drop(0.006 / FOOT, 9, 0.5)
    assert run == pytest.approx(parse("9 ft 3 in", Dimension.LENGTH).low, abs=0.02 * FOOT)


# AWG and SAE J1127/J1128 areas in circular mils as reproduced side by side in a marine catalogue.
SAE_CIRCULAR_MILS = {
    "18": 1537, "16": 2336, "14": 3702, "12": 5833, "10": 9343, "8": 14810, "6": 24538, "4": 37360,
    "2": 62450, "1": 77790, "1/0": 98980, "2/0": 125100, "3/0": 158600, "4/0": 205500,
}  # fmt: skip


def smallest(area_m2: float, sizes: Mapping[str, float]) -> str:
    """Return the first size, from thin to thick, that has at least this area."""
    return next(size for size, circular_mils in sizes.items() if circular_mils * CIRCULAR_MIL >= area_m2)


AWG_CIRCULAR_MILS = {size: gauge(size) / CIRCULAR_MIL for size in SAE_CIRCULAR_MILS}
K_10_75 = 10.75 * OHM_CMIL_PER_FT


def test_bilge_pump_of_the_boat_catalogue() -> None:
    """10 A over 21 ft at 3 % of 12 V needs 12 AWG but 10 SAE (small-craft wiring catalogue, K = 10.75)."""
    needed = area_for_drop(K_10_75, 10, 21 * FOOT, 0.36)
    assert needed / CIRCULAR_MIL == pytest.approx(6270.8, rel=1e-4)
    assert smallest(needed, AWG_CIRCULAR_MILS) == "12"
    assert smallest(needed, SAE_CIRCULAR_MILS) == "10"


# 3 % of 12 V table (ABYC E-11, catalogue reprint), circuit length in feet -> size by current; SAE areas.
# Its rows 25, 30, 50 and 60 disagree with its formula and with each other: misprints, left out. Two cells of
# row 10 (20 A and 50 A) follow the AWG area.
ABYC_CURRENTS = (5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100)
ABYC_ROWS = {
    10: "18 14 12 12 10 10 8 8 6 6 6 4 4",
    15: "16 12 10 10 8 8 6 6 4 4 4 2 2",
    20: "14 10 10 8 6 6 6 4 4 2 2 2 2",
    40: "10 8 6 6 4 4 2 2 1 1/0 1/0 2/0 2/0",
    70: "8 6 4 2 2 1 1/0 2/0 3/0 3/0 4/0 4/0",
}


@pytest.mark.parametrize(
    ("feet", "amps", "printed"),
    [
        (feet, amps, size)
        for feet, row in ABYC_ROWS.items()
        for amps, size in zip(ABYC_CURRENTS, row.split(), strict=False)
    ],
)
def test_three_percent_table(feet: int, amps: int, printed: str) -> None:
    """Every cell of the 3 % table is the smallest size with the area the drop demands (ABYC E-11)."""
    sizes: Mapping[str, float] = AWG_CIRCULAR_MILS if (feet, amps) in ((10, 20), (10, 50)) else SAE_CIRCULAR_MILS
    assert smallest(area_for_drop(K_10_75, amps, feet * FOOT, 0.36), sizes) == printed


def test_area_of_a_round_wire() -> None:
    """0.1019 in is 10 AWG: 0.008155 in2, 10 384 circular mils (Lessons in Electric Circuits I, ch. 12)."""
    assert gauge("10") / (FOOT / 12) ** 2 == pytest.approx(0.008155, abs=1e-6)
    assert gauge("10") / CIRCULAR_MIL == pytest.approx((1000 * 0.1019) ** 2, rel=1e-4)


# NEETS module 4 (NAVEDTRA 14176), chapter 1 A6 and assignment 1 question 1-8: strands, diameter mil, cmil.
@pytest.mark.parametrize(("strands", "mils", "printed"), [(19, 4, 304), (12, 400, 1920000)])
def test_area_of_stranded_wire(strands: int, mils: float, printed: int) -> None:
    """Circular mils of a stranded wire are diameter squared times strands (NEETS module 4)."""
    metal_m2 = strands * math.pi / 4 * (mils * 25.4e-6) ** 2
    assert parse(f"{printed} cmil", Dimension.AREA).low == pytest.approx(metal_m2, rel=1e-12)


def test_long_run_needs_two_nought() -> None:
    """0.2 ohm over 2300 ft needs 116 035 cmil: 2/0 (Lessons in Electric Circuits I, ch. 12)."""
    needed = area_for_drop(10.09 * OHM_CMIL_PER_FT, 25, 2300 * FOOT, 5)
    assert needed / CIRCULAR_MIL == pytest.approx(116035, rel=1e-4)
    assert smallest(needed, AWG_CIRCULAR_MILS) == "2/0"


def test_bus_bar() -> None:
    """A 4 x 3 cm aluminium bar 125 cm long has 27.604 microohm (Lessons in Electric Circuits, ch. 12)."""
    assert ohm_per_m(2.65e-8, 0.0, 0.04 * 0.03, 20.0) * 1.25 == pytest.approx(27.604e-6, abs=1e-9)


def test_warm_wire_starves_its_load() -> None:
    """Two 15 ohm wires at 35 C leave 12.42 V of 14 V (Lessons in Electric Circuits I, ch. 12)."""
    wire = at_temperature(15.0, 0.004041, 35.0)
    assert wire == pytest.approx(15.909, abs=0.0005)
    current = 14 / (250 + 2 * wire)
    assert current == pytest.approx(0.049677, abs=5e-7)
    assert voltage_drop(current, wire, 1.0) == pytest.approx(0.79, abs=0.005)
    assert current * 250 == pytest.approx(12.42, abs=0.005)


def test_temperature_that_doubles_resistance() -> None:
    """Copper doubles its resistance at 276.4 C (OpenStax University Physics 2, section 9.3)."""
    assert at_temperature(1.0, 0.0039, 276.4) == pytest.approx(2.0, abs=2e-4)


def test_resistance_of_12_awg() -> None:
    """20 m of 12 AWG have 0.104 ohm (OpenStax College Physics 2e, section 20.3, rho 1.72e-8)."""
    assert ohm_per_m(1.72e-8, 0.0, gauge("12"), 20.0) * 20 == pytest.approx(0.104, abs=0.0005)
    stranded = resistance_per_m(gauge("12"), "awg", "copper", 20.0) * 20
    assert stranded == pytest.approx(0.104 * LAY_FACTOR, rel=0.005)


# NEETS module 4 (NAVEDTRA 14176), assignment 1, question 1-12: size, feet, ohm per 1000 ft at 25 C, ohm.
@pytest.mark.parametrize(("size", "feet", "per_kft", "ohms"), [("12", 2500, 1.62, 4.05), ("7", 6000, 0.508, 3.05)])
def test_long_runs_of_solid_wire(size: str, feet: int, per_kft: float, ohms: float) -> None:
    """Solid copper at 25 C has the printed resistance per 1000 ft and per run (NEETS module 4)."""
    copper = material_of("copper")
    solid = ohm_per_m(copper.rho20, copper.alpha20, gauge(size), 25.0)
    assert solid * 1000 * FOOT == pytest.approx(per_kft, rel=0.002)
    assert solid * feet * FOOT == pytest.approx(ohms, abs=0.006)


def test_misprinted_heat_of_a_kilometre_of_wire() -> None:
    """1 km of 2/0 at 100 A loses 2.55 kW, where OpenStax College Physics section 20.4 prints 25.5 W."""
    drop = voltage_drop(100, ohm_per_m(1.72e-8, 0.0, gauge("2/0"), 20.0), 1000)
    assert drop * 100 == pytest.approx(2550, abs=5)
    assert drop * 100 > 90 * 25.5


def test_engine_space_derating() -> None:
    """4 AWG at 105 C carries 136 A in an engine space (33 CFR 183.425 Table 5, note 1, reprint)."""
    assert ampacity(gauge("4"), 105.0, 50.0, "copper") == pytest.approx(136, abs=0.5)


def test_engine_space_and_bundle_derating() -> None:
    """4/0 at 105 C in an engine space among 7 to 24 wires carries 189.1 A (33 CFR 183.425)."""
    assert ampacity(gauge("4/0"), 105.0, 50.0, "copper") * 0.5 == pytest.approx(189.1, abs=0.1)


def test_clad_run_of_the_trade() -> None:
    """5.5 m of 4 AWG have 4.6 mohm in copper and 7.3 mohm in clad at 20 C (trade reference)."""
    copper, clad = (
        resistance_per_m(gauge("4"), "awg", name, 20.0) * 5.5 * 1e3 for name in ("copper", "copper-clad-aluminium")
    )
    assert [copper, clad] == pytest.approx([4.6, 7.3], abs=0.05)


# OpenStax College Physics 2e, sections 20.2 and 20.4, extension cords: ohm, printed volt and watt at 5 A.
@pytest.mark.parametrize(("ohm", "volts", "watts"), [(0.06, 0.3, 1.5), (0.3, 1.5, 7.5)])
def test_good_and_poor_cords(ohm: float, volts: float, watts: float) -> None:
    """A cord loses the printed voltage and power (OpenStax College Physics 2e)."""
    drop = voltage_drop(5.0, ohm, 1.0)
    assert drop == pytest.approx(volts, abs=5e-4)
    assert drop * 5.0 == pytest.approx(watts, abs=5e-3)


# Published fuses: source, rating in A, resistance in ohm, current in A, printed volt and half its last digit.
FUSES = [
    ("fuse voltage-drop chart, 10 A blade fuse", 10, 0.0077, 0.13, 0.001, 5e-5),
    ("trade-journal chart of 2017 and a datasheet, 15 A mini fuse", 15, 0.00458, 0.218, 0.001, 5e-6),
    ("datasheet of a 7.5 A mini fuse, 0.21 W at 4.36 A", 7.5, 0.01085, 4.36, 0.21 / 4.36, 0.005 / 4.36),
]


@pytest.mark.parametrize(("source", "rating", "ohm", "amps", "printed", "rounding"), FUSES)
def test_published_drops_of_fuses(
    source: str, rating: float, ohm: float, amps: float, printed: float, rounding: float
) -> None:
    """A fuse drops the printed voltage, and its resistance lies where ours are assumed to lie."""
    assert voltage_drop(amps, ohm, 1.0) == pytest.approx(printed, abs=rounding), source
    assumed = assumption("fuse_drop_at_rating")
    low, high = (fuse_resistance(rating, drop) for drop in (assumed.low, assumed.high))
    assert low < ohm < high, source


def test_stalled_motors_on_a_blade_fuse() -> None:
    """Two of 9 A at 12 V draw 18.9 A at 12.6 V through 10 A: open after 0.15 to 50 s (robot power notes, ISO 8820-3)."""
    amps = 2 * 9.0 * 12.6 / 12.0
    assert amps == pytest.approx(18.9)
    band = band_of("blade", 10)
    assert slowest_opening(band, amps) == 50.0
    assert 0.15 <= fastest_opening(band, amps) <= 0.25


def test_fuse_of_a_ten_ampere_circuit() -> None:
    """A fuse against overload has 125 % of its circuit's 10 A: 12.5 A, so 15 A (US Navy electronics training, retold)."""
    needed = 10.0 / assumption("fuse_load_share").value
    assert needed == pytest.approx(12.5)
    assert standard_at_or_above(needed) == 15


def test_fuse_of_14_awg() -> None:
    """14 AWG copper takes a fuse of 15 A (FAA AC 43.13-1B, Table 11-3)."""
    assert trade_fuse_limit(gauge("14"), "copper") == 15


def test_misprinted_fuse_of_a_245_a_cable() -> None:
    """Notes print 250 A as the size between 231 A and 245 A: no standard fuse lies there, 225 A is the next below."""
    assert standard_at_or_below(245) == 225
    assert standard_at_or_above(231) == 250


# Source, watt, efficiency, volt, printed ampere, half its last digit; watts that go in over the volts.
SUPPLY_CURRENTS = [
    ("car-magazine article, 500 W that go in", 500, 1.0, 13.8, 36.2, 0.05),
    ("car-audio web handbook, section 6.5, class A, 4000 W go in", 1000, 0.25, 13.8, 4000 / 13.8, 0.05),
    ("car-audio web handbook, section 6.5, class AB, 1667 W go in", 1000, 0.6, 13.8, 1667 / 13.8, 0.05),
]


@pytest.mark.parametrize(("source", "watts", "efficiency", "volts", "printed", "rounding"), SUPPLY_CURRENTS)
def test_supply_currents(
    source: str, watts: float, efficiency: float, volts: float, printed: float, rounding: float
) -> None:
    """What goes in is what comes out over the efficiency, as a current at the supply's voltage."""
    assert design_current(watts, efficiency, volts) == pytest.approx(printed, abs=rounding), source


def test_misprinted_current_of_an_amplifier() -> None:
    """400 W at 69 % draw 42 A at 13.8 V, where a battery page prints 20 A: it multiplied by the efficiency."""
    assert design_current(400, 0.69, 13.8) == pytest.approx(42.0, abs=0.05)
    assert design_current(400, 0.69, 13.8) > 2 * 20
