"""Quantities are read, refused and shown as people write them; conversions agree with the pint library."""

import math
import time

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.plan.quantity import BASES, Quantity, QuantityError, parse, show, show_quantity
from planlint.plan.units import (
    EXAMPLES,
    SPELLINGS,
    UNITS,
    Dimension,
    gauge_area,
    gauge_name,
    gauge_number,
    nearest_gauge,
    readable_unit,
)

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()

# Every unit of ours beside the name a general library has for it, and the SI unit of its dimension.
PINT_NAMES = {
    Dimension.LENGTH: ("meter", {"m": "m", "cm": "cm", "mm": "mm", "ft": "foot", "in": "inch"}),
    Dimension.AREA: ("meter**2", {"mm2": "mm**2", "kcmil": "1000*circular_mil", "cmil": "circular_mil"}),
    Dimension.CURRENT: ("ampere", {"A": "A", "mA": "mA", "kA": "kA"}),
    Dimension.VOLTAGE: ("volt", {"V": "V", "mV": "mV"}),
    Dimension.RESISTANCE: ("ohm", {"ohm": "ohm", "mohm": "milliohm", "kohm": "kiloohm", "Mohm": "megaohm"}),
    Dimension.POWER: ("watt", {"W": "W", "kW": "kW"}),
    Dimension.CHARGE: ("coulomb", {"Ah": "ampere_hour", "mAh": "milliampere_hour"}),
    Dimension.TEMPERATURE: ("degC", {"C": "degC", "F": "degF"}),
    Dimension.TORQUE: ("newton*meter", {"N.m": "N*m", "lbf.ft": "lbf*foot", "lbf.in": "lbf*inch"}),
    Dimension.TIME: ("second", {"s": "s", "ms": "ms", "min": "minute", "h": "hour"}),
    Dimension.MASS: ("kilogram", {"kg": "kg", "g": "g", "lb": "pound", "oz": "ounce"}),
    Dimension.VOLUME: ("meter**3", {"L": "liter", "ft3": "foot**3"}),
    Dimension.FREQUENCY: ("hertz", {"Hz": "Hz", "kHz": "kHz"}),
    Dimension.CAPACITANCE: ("farad", {"F": "farad", "mF": "millifarad", "uF": "microfarad"}),
    Dimension.FORCE: ("newton", {"N": "N", "kN": "kN", "lbf": "lbf"}),
    Dimension.RATIO: ("dimensionless", {"%": "percent"}),
}
LIBRARY_UNITS = [
    (dimension, symbol, name, si) for dimension, (si, names) in PINT_NAMES.items() for symbol, name in names.items()
]


def library_value(number: float, name: str, si: str) -> float:
    """Return `number name` in the SI unit by the pint library."""
    factor, _, unit = name.rpartition("*") if name.startswith("1000*") else ("1", "", name)
    return float(REGISTRY.Quantity(number * float(factor), unit).to(si).magnitude)


def test_library_names_cover_every_unit() -> None:
    """No unit but the gauge, which pint does not know, goes without its check against the library."""
    ours = {(dimension, unit.symbol) for dimension, units in UNITS.items() for unit in units}
    assert ours - {(dimension, symbol) for dimension, symbol, _, _ in LIBRARY_UNITS} == {(Dimension.AREA, "AWG")}


@pytest.mark.parametrize(("dimension", "symbol", "name", "si"), LIBRARY_UNITS)
@given(thousandths=st.integers(min_value=0, max_value=999_999_999))
def test_every_unit_converts_as_pint_does(
    dimension: Dimension, symbol: str, name: str, si: str, thousandths: int
) -> None:
    """A number in any unit has the SI value that the general library pint gives it."""
    text = f"{thousandths / 1000:.3f}"
    read = parse(f"{text} {symbol}", dimension)
    expected = library_value(float(text), name, si)
    assert math.isclose(read.low, expected, rel_tol=1e-12, abs_tol=1e-12)
    assert read.low == read.high
    assert (read.unit, read.dimension, read.basis) == (symbol, dimension, "")


@pytest.mark.parametrize("dimension", Dimension)
def test_other_spellings_mean_the_same(dimension: Dimension) -> None:
    """Every typographic variant of a unit reads as the unit itself and takes its symbol."""
    for spelling, unit in SPELLINGS[dimension].items():
        assert parse(f"2 {spelling}", dimension) == parse(f"2 {unit.symbol}", dimension)
        assert parse(f"2{spelling}", dimension).unit == unit.symbol


@pytest.mark.parametrize(
    ("text", "dimension", "low", "high", "unit", "basis"),
    [
        ("17 ft 6 in", Dimension.LENGTH, 5.334, 5.334, "ft", ""),
        ("17ft6in", Dimension.LENGTH, 5.334, 5.334, "ft", ""),
        ("5.2 m measured", Dimension.LENGTH, 5.2, 5.2, "m", "measured"),
        ("2..4 m", Dimension.LENGTH, 2.0, 4.0, "m", ""),
        ("2 .. 4 m estimated", Dimension.LENGTH, 2.0, 4.0, "m", "estimated"),
        ("40 cm..2 m", Dimension.LENGTH, 0.4, 2.0, "m", ""),
        ("0..0 m", Dimension.LENGTH, 0.0, 0.0, "m", ""),
        ("17 ft 6 in..18 ft", Dimension.LENGTH, 5.334, 5.4864, "ft", ""),
        ("1 F", Dimension.CAPACITANCE, 1.0, 1.0, "F", ""),
        ("221 F", Dimension.TEMPERATURE, 105.0, 105.0, "F", ""),
        ("-40 C", Dimension.TEMPERATURE, -40.0, -40.0, "C", ""),
        ("−40..60 °C", Dimension.TEMPERATURE, -40.0, 60.0, "C", ""),
        ("60 Ah maker", Dimension.CHARGE, 216000.0, 216000.0, "Ah", "maker"),
        ("20%", Dimension.RATIO, 0.2, 0.2, "%", ""),
        (".5 mm2", Dimension.AREA, 5e-7, 5e-7, "mm2", ""),
    ],
)
def test_forms_a_plan_may_use(text: str, dimension: Dimension, low: float, high: float, unit: str, basis: str) -> None:
    """Feet with inches, ranges, bases and the two meanings of F are read as the design page has them."""
    read = parse(text, dimension)
    assert (read.low, read.high) == pytest.approx((low, high), rel=1e-12)
    assert (read.unit, read.basis) == (unit, basis)


def test_gauge_ranges_name_the_same_two_wires_in_either_order() -> None:
    """Gauge numbers fall as wires grow, so `4..8 AWG` and `8..4 AWG` are one range, low end the thin wire."""
    thin_first = parse("8..4 AWG", Dimension.AREA)
    assert thin_first == parse("4..8 AWG", Dimension.AREA)
    assert (thin_first.low, thin_first.high) == (gauge_area(8), gauge_area(4))


# ASTM B258 sizes: circular mils as printed in Lessons in Electric Circuits (T. Kuphaldt), Reference volume,
# copper wire gage table.
PUBLISHED_CIRCULAR_MILS = {
    "4/0": 211600, "3/0": 167800, "2/0": 133100, "1/0": 105500, "1": 83690, "2": 66370, "3": 52630,
    "4": 41740, "5": 33100, "6": 26250, "7": 20820, "8": 16510, "9": 13090, "10": 10380,
    "11": 8234, "12": 6530, "13": 5178, "14": 4107, "15": 3257, "16": 2583, "17": 2048,
    "18": 1624, "19": 1288, "20": 1022, "21": 810.1, "22": 642.5, "23": 509.5, "24": 404.0,
}  # fmt: skip


@pytest.mark.parametrize(("size", "circular_mils"), PUBLISHED_CIRCULAR_MILS.items())
def test_gauge_areas_match_the_published_column(size: str, circular_mils: float) -> None:
    """ASTM B258 geometry gives the printed circular mils of every size within 0.06 %."""
    area = parse(f"{size} AWG", Dimension.AREA).low
    assert area == pytest.approx(parse(f"{circular_mils} cmil", Dimension.AREA).low, rel=6e-4)


@pytest.mark.parametrize(
    ("text", "same"),
    [("0 AWG", "1/0 AWG"), ("00 AWG", "2/0 AWG"), ("000 AWG", "3/0 AWG"), ("0000 AWG", "4/0 AWG")],
)
def test_zeros_are_the_large_sizes(text: str, same: str) -> None:
    """Sizes written as rows of noughts are the ones written with a slash, and are shown so."""
    assert parse(text, Dimension.AREA) == parse(same, Dimension.AREA)
    assert show_quantity(parse(text, Dimension.AREA)) == same


@pytest.mark.parametrize("number", range(-3, 41))
def test_gauges_survive_being_shown(number: int) -> None:
    """Every size from 40 to 4/0 is found again from its area and from its name."""
    assert nearest_gauge(gauge_area(number)) == number
    assert gauge_number(gauge_name(number)) == number
    assert parse(show(gauge_area(number), Dimension.AREA, "AWG"), Dimension.AREA).low == gauge_area(number)


@pytest.mark.parametrize("area", [0.0, -1.0, math.inf, gauge_area(4) * 1.02, 2e-3, 1e-12])
def test_an_area_that_is_no_gauge_has_no_number(area: float) -> None:
    """Nothing, too much, too little and what lies between two sizes are no AWG size."""
    assert nearest_gauge(area) is None


@pytest.mark.parametrize(
    ("text", "dimension", "found", "example"),
    [
        ("", Dimension.LENGTH, "nothing", "5.2 m"),
        ("5", Dimension.LENGTH, "without a unit", "5 m"),
        ("4", Dimension.AREA, "without a unit", "4 AWG"),
        ("25", Dimension.AREA, "without a unit", "25 mm2"),
        ("2..4", Dimension.LENGTH, "without a unit", "4 m"),
        ("5,2 m", Dimension.LENGTH, "comma", "5.2 m"),
        ("80 A", Dimension.LENGTH, "which is a current", "5.2 m"),
        ("4 mm", Dimension.AREA, "`4 mm`", "4 mm2"),
        ("4 gauge", Dimension.AREA, "`4 gauge`", "4 AWG"),
        ("80 amps", Dimension.CURRENT, "`80 amps`", "80 A"),
        ("80 a", Dimension.CURRENT, "`80 a`", "80 A"),
        ("5 kohms", Dimension.RESISTANCE, "`5 kohms`", "5 kohm"),
        ("5 metrs", Dimension.LENGTH, "unknown unit `metrs`", "5 m"),
        ("5 parsec", Dimension.LENGTH, "unknown unit `parsec`", "5.2 m"),
        ("-5 m", Dimension.LENGTH, "`-5 m`", "5 m"),
        ("-80 A", Dimension.CURRENT, "`-80 A`", "80 A"),
        ("-300 C", Dimension.TEMPERATURE, "absolute zero", "105 C"),
        ("-1 AWG", Dimension.AREA, "no AWG size", "2/0 AWG"),
        ("5/0 AWG", Dimension.AREA, "no AWG size", "4 AWG"),
        ("4.5 AWG", Dimension.AREA, "no AWG size", "4 AWG"),
        ("41 AWG", Dimension.AREA, "no AWG size", "4 AWG"),
        ("1/0 m", Dimension.LENGTH, "`1/0 m`", "5.2 m"),
        ("3/8 in", Dimension.LENGTH, "fraction", "0.375 in"),
        ("6 in 17 ft", Dimension.LENGTH, "`6 in 17 ft`", "17 ft 6 in"),
        ("4..2 m", Dimension.LENGTH, "first end is the larger", "2 m..4 m"),
        ("2-4 m", Dimension.LENGTH, "`2-4 m`", "2..4 m"),
        ("2 to 4 m", Dimension.LENGTH, "`2 to 4 m`", "2..4 m"),
        ("2...4 m", Dimension.LENGTH, "`2...4 m`", "2..4 m"),
        ("..4 AWG", Dimension.AREA, "`..4 AWG`", "2..4 AWG"),
        ("5 m ± 1", Dimension.LENGTH, "tolerance", "5.2 m"),
        ("5 ± 1 m", Dimension.LENGTH, "tolerance", "5.2 m"),
        ("measured 5 m", Dimension.LENGTH, "at the front", "5 m measured"),
        ("5 m roughly", Dimension.LENGTH, "`roughly` after the unit", "5 m"),
        ("nan m", Dimension.LENGTH, "`nan m`", "5.2 m"),
        ("inf A", Dimension.CURRENT, "`inf A`", "80 A"),
        ("1e5 m", Dimension.LENGTH, "power of ten", "5.2 m"),
        ("1234567890 m", Dimension.LENGTH, "too many digits", "5.2 m"),
        ("9" * 5000 + " m", Dimension.LENGTH, "too long", "5.2 m"),
        ("measured", Dimension.LENGTH, "`measured`", "5.2 m"),
        ("__import__('os')", Dimension.LENGTH, "`__import__", "5.2 m"),
    ],
)
def test_refusals_say_what_was_found_and_what_to_write(
    text: str, dimension: Dimension, found: str, example: str
) -> None:
    """A text that is no quantity is refused in people's words with the right form beside it."""
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)
    assert found in caught.value.found
    assert caught.value.example == example
    assert f"for example `{example}`" in str(caught.value)


@given(
    text=st.one_of(st.text(max_size=80), st.from_regex(r"\A[-0-9., /]{1,12}[A-Za-z0-9%±. ]{0,12}\Z")),
    dimension=st.sampled_from(Dimension),
)
def test_any_text_is_read_or_refused_with_a_valid_example(text: str, dimension: Dimension) -> None:
    """No text breaks the reader, and the example of every refusal is itself accepted."""
    try:
        read = parse(text, dimension)
    except QuantityError as error:
        read = parse(error.example, dimension)
    assert math.isfinite(read.low) and read.low <= read.high


@pytest.mark.parametrize("text", [" " * 10**6, "5" * 10**6, "5 " + "ft" * 10**6, "1 ft" * 15, "5" + " " * 58 + "x"])
def test_hostile_texts_cost_no_time(text: str) -> None:
    """Texts made to keep a pattern busy are refused at once."""
    started = time.perf_counter()
    with pytest.raises(QuantityError):
        parse(text, Dimension.LENGTH)
    assert time.perf_counter() - started < 0.5


@pytest.mark.parametrize("dimension", Dimension)
def test_examples_are_quantities(dimension: Dimension) -> None:
    """The example shown for a dimension is accepted with and without every basis word."""
    assert show_quantity(parse(EXAMPLES[dimension], dimension)) == EXAMPLES[dimension]
    for basis in BASES:
        assert parse(f"{EXAMPLES[dimension]} {basis}", dimension).basis == basis


@pytest.mark.parametrize(
    ("value", "dimension", "unit", "expected"),
    [
        (0.45, Dimension.LENGTH, "mm", "450 mm"),
        (5.21, Dimension.LENGTH, "ft", "17.1 ft"),
        (gauge_area(4), Dimension.AREA, "AWG", "4 AWG"),
        (gauge_area(0) * 1.009, Dimension.AREA, "AWG", "1/0 AWG"),
        (25e-6, Dimension.AREA, "AWG", "25 mm2"),
        (0.0031, Dimension.RESISTANCE, "mohm", "3.1 mohm"),
        (1234.6, Dimension.POWER, "W", "1235 W"),
        (123456789.0, Dimension.POWER, "W", "123456789 W"),
        (9.996, Dimension.CURRENT, "A", "10 A"),
        (0.09996, Dimension.CURRENT, "A", "0.1 A"),
        (-1e-15, Dimension.TEMPERATURE, "C", "0 C"),
        (0.0, Dimension.VOLTAGE, "V", "0 V"),
        (-17.77777777777778, Dimension.TEMPERATURE, "F", "0 F"),
        (105.0, Dimension.TEMPERATURE, "F", "221 F"),
        (0.205, Dimension.RATIO, "%", "20.5 %"),
        (math.inf, Dimension.CURRENT, "A", "unlimited"),
        (math.nan, Dimension.CURRENT, "A", "unknown"),
    ],
)
def test_values_are_shown_for_people(value: float, dimension: Dimension, unit: str, expected: str) -> None:
    """Shown values are rounded sensibly, keep whole numbers, and have no exponent or negative zero."""
    assert show(value, dimension, unit) == expected


def test_a_unit_of_another_dimension_cannot_show_a_value() -> None:
    """Asking for a length in ampere is a mistake of the caller and is refused."""
    with pytest.raises(ValueError, match="does not measure a length"):
        show(1.0, Dimension.LENGTH, "A")


@pytest.mark.parametrize(("dimension", "symbol", "name", "si"), LIBRARY_UNITS)
@given(number=st.floats(min_value=0.001, max_value=99_999_999))
def test_what_is_shown_reads_back(dimension: Dimension, symbol: str, name: str, si: str, number: float) -> None:
    """A shown value, read again, is the value within the digits shown, whatever the unit."""
    value = library_value(number, name, si)
    again = parse(show(value, dimension, symbol, 8), dimension)
    near_zero = 1e-8 if dimension is Dimension.TEMPERATURE else 0.0
    assert again.low == pytest.approx(value, rel=1e-6, abs=near_zero)


@given(
    ends=st.tuples(st.integers(0, 99999), st.integers(0, 99999)),
    unit=st.sampled_from(["m", "cm", "mm", "ft", "in"]),
)
def test_quantities_read_back_as_they_are_shown(ends: tuple[int, int], unit: str) -> None:
    """What show_quantity writes is the same quantity again, ranges included."""
    low, high = sorted(ends)
    read = parse(f"{low}..{high} {unit}", Dimension.LENGTH)
    again = parse(show_quantity(read), Dimension.LENGTH)
    assert [again.low, again.high] == pytest.approx([read.low, read.high], rel=1e-6)
    assert again.unit == unit


def test_a_range_of_mixed_form_is_shown_with_both_units() -> None:
    """A gauge range of which one end is no AWG size shows each end in its own unit."""
    read = parse("25 mm2..2 AWG", Dimension.AREA)
    assert show_quantity(read) == "25 mm2..2 AWG"


@pytest.mark.parametrize(
    ("value", "dimension", "unit"),
    [
        (0.36, Dimension.VOLTAGE, "V"),
        (0.05, Dimension.VOLTAGE, "mV"),
        (0.0031, Dimension.RESISTANCE, "mohm"),
        (2.0, Dimension.RESISTANCE, "ohm"),
        (20e3, Dimension.RESISTANCE, "kohm"),
        (5.2, Dimension.LENGTH, "m"),
        (0.02, Dimension.LENGTH, "mm"),
        (90.0, Dimension.TIME, "min"),
        (0.0, Dimension.TIME, "min"),
        (0.0, Dimension.LENGTH, "m"),
        (21e-6, Dimension.AREA, "mm2"),
        (60.0, Dimension.RATIO, "%"),
    ],
)
def test_computed_values_find_a_readable_unit(value: float, dimension: Dimension, unit: str) -> None:
    """A value that no plan wrote is told in the unit people would use, and that unit can show it."""
    assert readable_unit(value, dimension) == unit
    assert show(value, dimension, unit).endswith(f" {unit}")


def test_quantities_are_values() -> None:
    """Equal texts give equal, hashable quantities that cannot be changed."""
    read = parse("5.2 m", Dimension.LENGTH)
    assert read == Quantity(dimension=Dimension.LENGTH, low=5.2, high=5.2, unit="m")
    assert len({read, parse("5.20 m", Dimension.LENGTH)}) == 1
    with pytest.raises(AttributeError):
        read.low = 1.0  # type: ignore[misc]
