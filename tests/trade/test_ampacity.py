"""Ampacity against 33 CFR 183.425 Table 5, its notes and reprints, and the ambient factors of the NEC."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.plan.quantity import Dimension, parse
from planlint.trade.ampacity import CLASSES_C, ambient_factor, ampacity, base_ampacity, bundling_factor, column_for
from planlint.trade.conductors import material_of, materials


def gauge(size: str) -> float:
    """Return the area in m2 of an AWG size."""
    return parse(f"{size} AWG", Dimension.AREA).low


# 33 CFR 183.425 Table 5, allowable amperage of conductors at 30 C: columns 60, 75, 80, 90, 105, 125, 200 C.
TABLE_5 = {
    "18": (10, 10, 15, 20, 20, 25, 25),
    "16": (15, 15, 20, 25, 25, 30, 35),
    "14": (20, 20, 25, 30, 35, 40, 45),
    "12": (25, 25, 35, 40, 45, 50, 55),
    "10": (40, 40, 50, 55, 60, 70, 70),
    "8": (55, 65, 70, 70, 80, 90, 100),
    "6": (80, 95, 100, 100, 120, 125, 135),
    "4": (105, 125, 130, 135, 160, 170, 180),
    "3": (120, 145, 150, 155, 180, 195, 210),
    "2": (140, 170, 175, 180, 210, 225, 240),
    "1": (165, 195, 210, 210, 245, 265, 280),
    "1/0": (195, 230, 245, 245, 285, 305, 325),
    "2/0": (225, 265, 285, 285, 330, 355, 370),
    "3/0": (260, 310, 330, 330, 385, 410, 430),
    "4/0": (300, 360, 385, 385, 445, 475, 510),
}


@pytest.mark.parametrize("size", TABLE_5)
@pytest.mark.parametrize("column", range(7))
def test_every_cell_of_table_5(size: str, column: int) -> None:
    """Each of the 105 cells of 33 CFR 183.425 Table 5 is given exactly for copper at 30 C."""
    assert ampacity(gauge(size), CLASSES_C[column], 30.0, "copper") == TABLE_5[size][column]


# NEC ampacities of single copper conductors in free air at 30 C (60 and 75 C), Lessons in Electric Circuits
# (T. Kuphaldt), Reference volume; the regulation's columns equal them from 6 AWG up.
NEC_FREE_AIR = {
    "6": (80, 95), "4": (105, 125), "2": (140, 170), "1": (165, 195), "1/0": (195, 230), "2/0": (225, 265),
    "3/0": (260, 310), "4/0": (300, 360),
}  # fmt: skip


@pytest.mark.parametrize(("size", "expected"), NEC_FREE_AIR.items())
def test_large_sizes_equal_nec_free_air(size: str, expected: tuple[int, int]) -> None:
    """A second published table, NEC free air, has the same 60 and 75 C figures for 6 AWG and larger."""
    assert tuple(ampacity(gauge(size), rating, 30.0, "copper") for rating in (60.0, 75.0)) == expected


# 33 CFR 183.425 Table 5 note 1, engine spaces (50 C); only 0.85 was seen in print, the others from memory.
ENGINE_SPACE = {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89, 200: 1.00}


@pytest.mark.parametrize(("rating", "factor"), ENGINE_SPACE.items())
def test_engine_space_factors(rating: int, factor: float) -> None:
    """At 50 C the factor of note 1 holds, which spares 200 C insulation (33 CFR 183.425 Table 5 note 1)."""
    assert ambient_factor(rating, 50.0) == factor
    assert ampacity(gauge("4"), rating, 50.0, "copper") == pytest.approx(factor * TABLE_5["4"][CLASSES_C.index(rating)])


def test_heat_resistant_insulation_is_spared_up_to_engine_space() -> None:
    """200 C insulation keeps its full table value from 30 to 50 C and loses above it."""
    assert [ambient_factor(200, ambient) for ambient in (30.0, 40.0, 50.0)] == [1.0, 1.0, 1.0]
    assert ambient_factor(200, 60.0) == pytest.approx(math.sqrt(140 / 170))


# Allowable amperage of UL 1426 boat cable, 105 C, as a maker reprints 33 CFR 183.425 with notes 1 and 2:
# outside and inside engine spaces, alone, 3 bundled, 4 to 6, 7 to 24.
REPRINT_105C = {
    "18": (20, 17, 14, 11.9, 12, 10.2, 10, 8.5),
    "16": (25, 21.3, 17.5, 14.9, 15, 12.8, 12.5, 10.6),
    "14": (35, 29.8, 24.5, 20.8, 21, 17.9, 17.5, 14.9),
    "12": (45, 38.3, 31.5, 26.8, 27, 23, 22.5, 19.1),
    "10": (60, 51, 42, 35.7, 36, 30.6, 30, 25.5),
    "8": (80, 68, 56, 47.6, 48, 40.8, 40, 34),
    "6": (120, 102, 84, 71.4, 72, 61.2, 60, 51),
    "4": (160, 136, 112, 95.2, 96, 81.6, 80, 68),
    "2": (210, 178.5, 147, 125, 126, 107.1, 105, 89.3),
    "1": (245, 208.3, 171.5, 145.8, 147, 125, 122.5, 104.1),
    "1/0": (285, 242.3, 199.5, 169.6, 171, 145.4, 142.5, 121.1),
    "2/0": (330, 280.5, 231, 196.4, 198, 168.3, 165, 140.3),
    "3/0": (385, 327.3, 269.5, 229.1, 231, 196.4, 192.5, 163.6),
    "4/0": (445, 378.3, 311.5, 264.8, 267, 227, 222.5, 189.1),
}


@pytest.mark.parametrize(("size", "printed"), REPRINT_105C.items())
def test_reprint_for_105_c_cable(size: str, printed: tuple[float, ...]) -> None:
    """All eight columns of the reprint follow from the computed ampacity and note 2, within its rounding."""
    outside, inside = (ampacity(gauge(size), 105.0, ambient, "copper") for ambient in (30.0, 50.0))
    computed = [
        value * bundled for bundled in (1.0, 0.7, 0.6, 0.5) for value in (outside, inside)
    ]  # 33 CFR 183.425 Table 5 note 2
    assert computed == pytest.approx(list(printed), abs=0.1)


# The same reprinted in whole amperes for engine spaces.
REPRINT_WHOLE_AMPS = {
    "18": 17, "16": 21, "14": 30, "12": 38, "10": 51, "8": 68, "6": 102, "4": 136, "3": 153, "2": 178,
    "1": 208, "1/0": 242, "2/0": 280, "3/0": 327, "4/0": 378,
}  # fmt: skip


@pytest.mark.parametrize(("size", "printed"), REPRINT_WHOLE_AMPS.items())
def test_reprint_in_whole_amperes(size: str, printed: int) -> None:
    """A second reprint of 105 C cable in engine spaces is met within half an ampere."""
    assert ampacity(gauge(size), 105.0, 50.0, "copper") == pytest.approx(printed, abs=0.5 + 1e-9)


# NFPA 70 table 310.15(B)(1), 30 C base: highest ambient of the row, factor at 60, 75 and 90 C.
NEC_AMBIENT = [
    (10, 1.29, 1.2, 1.15), (15, 1.22, 1.15, 1.12), (20, 1.15, 1.11, 1.08), (25, 1.08, 1.05, 1.04),
    (30, 1.0, 1.0, 1.0), (35, 0.91, 0.94, 0.96), (40, 0.82, 0.88, 0.91), (45, 0.71, 0.82, 0.87),
    (50, 0.58, 0.75, 0.82), (55, 0.41, 0.67, 0.76), (60, None, 0.58, 0.71), (65, None, 0.47, 0.65),
    (70, None, 0.33, 0.58), (75, None, None, 0.5), (80, None, None, 0.41), (85, None, None, 0.29),
]  # fmt: skip


@pytest.mark.parametrize(("ambient", "t60", "t75", "t90"), NEC_AMBIENT)
def test_ambient_factors_match_the_nec(ambient: int, t60: float, t75: float | None, t90: float | None) -> None:
    """The ambient factor is that of NFPA 70 table 310.15(B)(1) within 0.006, and 0 at the rating."""
    for rating, factor in ((60, t60), (75, t75), (90, t90)):
        expected = 0.0 if factor is None else factor
        assert ambient_factor(rating, ambient) == pytest.approx(expected, abs=0.006)


@pytest.mark.parametrize(
    ("rating", "column"),
    [
        (60, 60),
        (70, 60),
        (75, 75),
        (79.9, 75),
        (85, 80),
        (90, 90),
        (100, 90),
        (105, 105),
        (110, 105),
        (150, 125),
        (250, 200),
    ],
)
def test_a_rating_between_columns_uses_the_lower(rating: float, column: int) -> None:
    """Insulation rated between two columns of Table 5 gets no credit above the lower one."""
    assert column_for(rating) == column
    assert ampacity(gauge("4"), rating, 30.0, "copper") == TABLE_5["4"][CLASSES_C.index(column)]


def test_cooler_insulation_than_any_column_is_derived() -> None:
    """45 C insulation carries the 60 C figure times the root of half the rise, and 0 at 45 C ambient."""
    assert base_ampacity(gauge("4"), 45.0) == pytest.approx(105 * math.sqrt(0.5))
    assert ampacity(gauge("4"), 45.0, 40.0, "copper") == pytest.approx(105 * math.sqrt(5 / 30))
    assert ampacity(gauge("4"), 45.0, 45.0, "copper") == 0.0
    assert ampacity(gauge("4"), 25.0, 20.0, "copper") == 0.0


# Ampacity as the trade reference prints it: AWG, 105 C, 105 C in the engine bay, 75 C.
TRADE_REFERENCE = [
    ("22", 3, 2.6, 3), ("20", 5, 4.3, 5), ("18", 20, 17, 10), ("16", 25, 21, 15), ("14", 35, 30, 20),
    ("12", 45, 38, 25), ("10", 60, 51, 40), ("8", 80, 68, 65), ("6", 120, 102, 95), ("4", 160, 136, 125),
    ("2", 210, 178, 170), ("1", 245, 208, 195), ("1/0", 285, 242, 230), ("2/0", 330, 280, 265),
    ("3/0", 385, 327, 310), ("4/0", 445, 378, 360),
]  # fmt: skip


@pytest.mark.parametrize(("size", "cabin", "engine_bay", "cool"), TRADE_REFERENCE)
def test_trade_reference_columns(size: str, cabin: float, engine_bay: float, cool: float) -> None:
    """The trade's own table is met within its rounding, thin gauges by fuse limit (common practice)."""
    area = gauge(size)
    assert ampacity(area, 105.0, 30.0, "copper") == cabin
    assert ampacity(area, 105.0, 50.0, "copper") == pytest.approx(engine_bay, abs=0.5 + 1e-9)
    assert ampacity(area, 75.0, 30.0, "copper") == cool


def test_hair_wires_scale_with_their_metal() -> None:
    """28 AWG carries about a quarter of what 22 AWG may, as its area is (common practice)."""
    assert ampacity(gauge("28"), 105.0, 30.0, "copper") == pytest.approx(3 * gauge("28") / gauge("22"))


# NEC 310.17 free air, 75 C copper, from memory: kcmil, ampere.
NEC_BEYOND = [(250, 405), (300, 445), (350, 505), (400, 545), (500, 620), (750, 785), (1000, 935)]


@pytest.mark.parametrize(("kcmil", "amps"), NEC_BEYOND)
def test_beyond_the_table_stays_below_the_nec(kcmil: int, amps: int) -> None:
    """Sizes above 4/0 AWG are extended cautiously: never above NEC free air, never below 4/0 itself."""
    area = parse(f"{kcmil} kcmil", Dimension.AREA).low
    assert 360 < ampacity(area, 75.0, 30.0, "copper") <= amps


@pytest.mark.parametrize("material", sorted(materials()))
def test_other_metals_carry_less(material: str) -> None:
    """No material beats copper; those with a tabled resistivity go with the root of conductivity."""
    factor = ampacity(gauge("4"), 105.0, 30.0, material) / 160
    assert factor == pytest.approx(material_of(material).ampacity_factor)
    root = math.sqrt(material_of("copper").rho20 / material_of(material).rho20)
    assert root - 0.011 <= factor <= root + 1e-9


# ISO 10133:2012 Annex A, 105 C (from memory, so only a plausibility bound): mm2, ampere.
ISO_10133_105C = [
    (2.5, 35),
    (4, 45),
    (6, 60),
    (10, 90),
    (16, 130),
    (25, 170),
    (35, 210),
    (50, 270),
    (70, 330),
    (95, 390),
]


@pytest.mark.parametrize(("area_mm2", "amps"), ISO_10133_105C)
def test_metric_sizes_lie_near_iso_10133(area_mm2: float, amps: int) -> None:
    """Reading between AWG sizes in log area stays within 15 % of ISO 10133's metric table (memory)."""
    assert ampacity(area_mm2 * 1e-6, 105.0, 30.0, "copper") == pytest.approx(amps, rel=0.15)


@given(
    exponent=st.floats(-7.5, -3.5),
    rating=st.floats(40, 220),
    ambient=st.floats(-40, 219),
    material=st.sampled_from(sorted(materials())),
)
def test_more_metal_more_heat_resistance_and_colder_never_hurt(
    exponent: float, rating: float, ambient: float, material: str
) -> None:
    """Ampacity never falls with area or insulation rating, never rises with ambient, and is finite."""
    area = 10**exponent
    here = ampacity(area, rating, ambient, material)
    assert 0 <= here < math.inf
    assert ampacity(area * 1.05, rating, ambient, material) >= here
    assert ampacity(area, rating, ambient + 1, material) <= here * (1 + 1e-12)
    assert base_ampacity(area, rating + 5) >= base_ampacity(area, rating)
    assert ambient < rating or here == 0.0


@pytest.mark.parametrize("area", [0.0, -1e-6, math.inf, math.nan])
def test_no_area_carries_no_current(area: float) -> None:
    """A conductor without a sensible area is refused."""
    with pytest.raises(ValueError, match="carries no current"):
        ampacity(area, 105.0, 30.0, "copper")


# Allowable amperage for UL 1426 boat cable at 105 C outside engine spaces, a cable maker's table (33 CFR 183.425 with its
# notes applied): size, one alone, in a bundle of three, of four to six, of seven to twenty-four.
BUNDLES = [
    ("16", 25, 17.5, 15, 12.5),
    ("10", 60, 42, 36, 30),
    ("8", 80, 56, 48, 40),
    ("4", 160, 112, 96, 80),
    ("1/0", 285, 199.5, 171, 142.5),
    ("4/0", 445, 311.5, 267, 222.5),
]


@pytest.mark.parametrize(("size", "alone", "three", "few", "many"), BUNDLES)
def test_cables_in_a_bundle_bear_less(size: str, alone: float, three: float, few: float, many: float) -> None:
    """The factor for bundles gives the printed figures, at both ends of each of its steps."""
    base = ampacity(gauge(size), 105.0, 30.0, "copper")
    found = [base * bundling_factor(count) for count in (1, 2, 3, 4, 6, 7, 24)]
    assert found == pytest.approx([alone, alone, three, few, few, many, many], rel=0.005)


def test_a_large_bundle_and_none() -> None:
    """From 25 conductors on the factor is 0.4 (33 CFR 183.425 Table 5 note 2); a bundle of nothing is refused."""
    assert bundling_factor(25) == bundling_factor(99) == pytest.approx(0.4)
    with pytest.raises(ValueError, match="bundle of 0"):
        bundling_factor(0)
