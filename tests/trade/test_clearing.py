"""Fuse against wire, held against published points, IEC's adiabatic formula and an independent solution of the equation."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from planlint.plan.units import gauge_area
from planlint.trade.ampacity import ampacity, column_for
from planlint.trade.clearing import worst_clearing
from planlint.trade.conductors import adiabatic_k, material_of
from planlint.trade.fuse_curves import band_of, fastest_opening, maker_band, slowest_opening, worst_openings
from planlint.trade.withstand import HotterThanInsulationError, WireHeat, wire_heat, withstand

AREAS = (0.823e-6, 3.31e-6, 8.37e-6, 21.15e-6, 53.48e-6)
MATERIALS = ("copper", "tinned-copper", "copper-clad-aluminium", "aluminium")


def heat(area: float, material: str = "copper", rating: float = 105.0, ambient: float = 30.0) -> WireHeat:
    """A wire with the ampacity of the table."""
    return wire_heat(area, material, rating, ambient, ampacity(area, rating, ambient, material))


# --- Opening times

# Family, rating in A, share of the rating, slowest opening in s: points printed on typical datasheets of ISO 8820-3 fuses
# (types F, C, E), and between two points the one below.
PUBLISHED = [
    ("blade-mini", 10, 1.35, 600.0),
    ("blade-mini", 10, 2.0, 5.0),
    ("blade-mini", 15, 3.5, 0.5),
    ("blade-mini", 10, 6.0, 0.1),
    ("blade", 20, 1.35, 600.0),
    # A published worked example: two stalled motors draw 189 % of a 10 A fuse; the only sure bound is that of 160 %.
    ("blade", 10, 1.89, 50.0),
    ("blade", 40, 6.0, 0.15),
    ("blade", 40, 1.89, 600.0),
    ("blade-maxi", 40, 2.0, 50.0),
    ("blade-maxi", 40, 6.0, 1.0),
]


@pytest.mark.parametrize(("family", "rating", "share", "seconds"), PUBLISHED)
def test_published_points_of_blade_fuses(family: str, rating: float, share: float, seconds: float) -> None:
    """A fuse is sure to be open after the time printed at the point at or below the current (ISO 8820-3, datasheets)."""
    band = band_of(family, rating)
    assert slowest_opening(band, share * rating) == seconds
    assert not band.assumed


# Strip fuses (ISO 8820-5) from memory: share of the rating, slowest opening in s.
@pytest.mark.parametrize(
    ("family", "share", "seconds"),
    [("strip", 2.0, 100.0), ("strip", 3.76, 3.0), ("strip-large", 3.76, 5.0), ("strip-large", 2.0, 15.0)],
)
def test_points_from_memory_say_so(family: str, share: float, seconds: float) -> None:
    """The bands of bolted strips are from memory, and told to be."""
    band = band_of(family, 100.0)
    assert (slowest_opening(band, share * 100.0), band.origin, band.assumed) == (seconds, "memory", False)


@pytest.mark.parametrize("family", ["anl", "anl-mini", "terminal", "glass", None])
def test_a_family_without_a_band_takes_the_cautious_one(family: str | None) -> None:
    """Below twice its rating it may never open; it is told that the band is assumed."""
    band = band_of(family, 100.0)
    assert band.assumed and band.origin == "memory"
    assert slowest_opening(band, 199.0) == math.inf
    assert [slowest_opening(band, amps) for amps in (200.0, 349.0, 350.0, 600.0)] == [15.0, 15.0, 5.0, 1.0]


def test_energy_is_constant_beyond_the_last_point() -> None:
    """At twice the current of the last point a quarter of its time (constant I2t)."""
    assert slowest_opening(band_of("blade", 10.0), 120.0) == pytest.approx(0.1 / 4)


# A 10 A mini fuse at the top of each interval: the energies that an engineering note prints beside its datasheet points.
@pytest.mark.parametrize(("amps", "energy"), [(20.0, 240000.0 / 12), (35.0, 6125.0), (60.0, 1800.0)])
def test_energy_bounds_of_a_10_a_mini_fuse(amps: float, energy: float) -> None:
    """Just below a point the time of the point before still holds: 5 s up to 35 A, 0.5 s up to 60 A, 50 s up to 20 A."""
    assert slowest_opening(band_of("blade-mini", 10.0), amps * (1 - 1e-7)) * amps**2 == pytest.approx(energy, rel=1e-6)


def test_a_makers_curve_goes_first() -> None:
    """Points of a plan's own curve: below the first it may never open."""
    band = maker_band([(160.0, 5.0), (108.0, 1800.0)])
    assert [slowest_opening(band, amps) for amps in (107.0, 108.0, 159.0, 160.0)] == [math.inf, 1800.0, 1800.0, 5.0]
    assert slowest_opening(band, 320.0) == pytest.approx(1.25)
    assert (band.assumed, band.opens_from) == (False, 108.0)


@given(st.sampled_from(["blade-mini", "blade", "blade-maxi", "strip", "strip-large", "anl"]), st.floats(1.0, 40.0))
def test_more_current_opens_no_later(family: str, share: float) -> None:
    """Opening times fall with the current, and the fast edge lies before the slow one."""
    band = band_of(family, 20.0)
    amps = share * 20.0
    assert slowest_opening(band, amps * 1.01) <= slowest_opening(band, amps)
    assert fastest_opening(band, amps) <= slowest_opening(band, amps)


# --- What a wire withstands


# Every size of both systems: 22 to 4/0 AWG (ASTM B258) and those of IEC 60228 class 5 in mm2.
SIZES = [gauge_area(number) for number in range(22, -4, -1)] + [
    mm2 * 1e-6 for mm2 in (0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120)
]


@pytest.mark.parametrize("material", MATERIALS)
@pytest.mark.parametrize("rating", [60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 150.0, 200.0])
def test_short_times_are_those_of_iec(material: str, rating: float) -> None:
    """From 20 times the ampacity up the time is k2S2/I2 within 2 % (IEC 60364-5-54 Annex A); up to it, without end.

    In air up to 6 K below what the insulation's column is made for; nearer to it the ampacity vanishes, and 20 times it is
    no short circuit any more.
    """
    for ambient in (20.0, 30.0, 50.0, column_for(rating) - 6.0):
        for area in SIZES:
            wire = heat(area, material, rating, ambient)
            k = adiabatic_k(material, ambient, wire.permitted)
            for times in (20.0, 50.0, 300.0):
                amps = times * wire.ampacity
                assert withstand(wire, amps).seconds == pytest.approx((k * area / amps) ** 2, rel=0.02), (area, ambient)
            assert withstand(wire, wire.ampacity) == withstand(wire, 0.5 * wire.ampacity)
            assert withstand(wire, wire.ampacity).seconds == math.inf
            assert withstand(wire, wire.ampacity).verified


def test_between_ampacity_and_permitted_overload_nobody_knows() -> None:
    """10 % above the ampacity the wire stays below its overload temperature: hours, unverified."""
    found = withstand(heat(21.15e-6), 1.1 * heat(21.15e-6).ampacity)
    assert (found.seconds, found.verified) == (math.inf, False)


@pytest.mark.parametrize("before", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("times", [1.6, 2.5, 6.0])
def test_the_time_is_that_of_the_differential_equation(before: float, times: float) -> None:
    """tau dT/dt = D - T from the rise of the load before, solved by scipy up to the permitted rise."""
    wire = heat(21.15e-6)
    end = wire.rise(times * wire.ampacity)

    def permitted(_t: float, rise: list[float]) -> float:
        return rise[0] - (wire.permitted - wire.ambient)

    permitted.terminal = True  # type: ignore[attr-defined]
    start = wire.rise(before * wire.ampacity)
    solved = solve_ivp(
        lambda _t, rise: [(end - rise[0]) / wire.tau],
        (0, 20 * wire.tau),
        [start],
        events=permitted,
        rtol=1e-10,
        atol=1e-9,
    )
    found = withstand(wire, times * wire.ampacity, before * wire.ampacity)
    assert found.seconds == pytest.approx(float(solved.t_events[0][0]), rel=1e-6)


# Insulation, its rating in C and the published limit in C that its permitted overload may not pass (IEC 60364-5-54).
@pytest.mark.parametrize(("rating", "limit"), [(105.0, 160.0), (110.0, 160.0), (125.0, 250.0), (200.0, 350.0)])
def test_the_overload_stays_below_the_short_circuit_limit(rating: float, limit: float) -> None:
    """50 K above the rating (ISO 6722, from memory), never above the limit of the insulation's family."""
    permitted = heat(8.37e-6, rating=rating).permitted
    assert permitted == min(rating + 50.0, limit)


def test_hot_air_leaves_no_current() -> None:
    """Where the air is as hot as the insulation may get there is no ampacity: an error of its own."""
    with pytest.raises(HotterThanInsulationError):
        wire_heat(8.37e-6, "copper", 75.0, 75.0, 10.0)


@given(st.sampled_from(MATERIALS), st.floats(1.05, 60.0), st.floats(1.01, 2.0))
def test_more_current_is_withstood_for_less_time(material: str, times: float, more: float) -> None:
    """The time falls with the current and rises with the section."""
    thin, thick = heat(8.37e-6, material), heat(13.3e-6, material)
    amps = times * thin.ampacity
    assert withstand(thin, more * amps).seconds <= withstand(thin, amps).seconds
    assert withstand(thick, amps).seconds >= withstand(thin, amps).seconds


# --- Fuse against wire


@given(
    st.sampled_from(["blade", "blade-maxi", "strip", "strip-large", "anl"]),
    st.sampled_from([10.0, 30.0, 60.0, 100.0, 150.0, 250.0]),
    st.sampled_from(AREAS),
    st.floats(0.2, 40.0),
    st.floats(1.0, 20.0),
    st.floats(0.0, 0.8),
)
def test_no_current_between_two_is_worse_than_those_looked_at(
    family: str, rating: float, area: float, low: float, width: float, load: float
) -> None:
    """A dense row of currents between the ends finds no fuse late where the few points that are looked at find none."""
    band, wire = band_of(family, rating), heat(area)
    first, last = low * rating, low * rating * width
    before = load * wire.ampacity
    found = worst_clearing(band, wire, first, last, before_a=before)
    assert first <= found.current * (1 + 1e-9) and found.current <= last * (1 + 1e-9)
    for step in range(201):
        amps = first * (last / first) ** (step / 200)
        late = slowest_opening(band, amps) > withstand(wire, amps, before).seconds
        assert not (late and found.clears), amps


def test_worst_currents_lie_just_below_each_point() -> None:
    """Of a 10 A blade fuse between 12 A and 40 A: below 135, 160, 200 and 350 %, and the last."""
    pairs = worst_openings(band_of("blade", 10.0), 12.0, 40.0)
    found = [amps for amps, _ in pairs]
    assert found == pytest.approx([13.5, 16.0, 20.0, 35.0, 40.0], rel=1e-5)
    assert all(amps < point for amps, point in zip(found, (13.5, 16.0, 20.0, 35.0), strict=False))
    assert [opens for _, opens in pairs] == [slowest_opening(band_of("blade", 10.0), amps) for amps in found]


def test_a_60_mohm_body_keeps_a_125_a_fuse_from_opening() -> None:
    """175 A never open a fuse of 125 A: the trade's example of a poor body return (common practice)."""
    found = worst_clearing(band_of("strip", 125.0), heat(21.15e-6), 175.0, 175.0)
    assert (found.opens, found.clears, found.lasts) == (math.inf, False, True)
    assert not found.withstands.verified


def test_materials_have_their_constants() -> None:
    """Copper 226, aluminium 148 A sqrt(s)/mm2 before the temperature term (IEC 60949)."""
    assert material_of("copper").k_constant == pytest.approx(226e6, rel=0.002)
    assert material_of("aluminium").k_constant == pytest.approx(148e6, rel=0.002)


@pytest.mark.parametrize(
    ("column", "rating"), [(60.0, 70.0), (90.0, 100.0), (105.0, 120.0), (125.0, 150.0), (125.0, 180.0)]
)
@pytest.mark.parametrize("area", AREAS)
def test_insulation_between_two_columns_bears_more_than_the_cooler_one(
    area: float, column: float, rating: float
) -> None:
    """With the ampacity of the column below it the cable heats alike (33 CFR 183.425 Table 5), and its limit is higher."""
    cooler, hotter = heat(area, rating=column), heat(area, rating=rating)
    assert hotter.ampacity == cooler.ampacity
    for times in (1.1, 1.5, 2.0, 5.0, 20.0):
        amps = times * cooler.ampacity
        assert hotter.rise(amps) == cooler.rise(amps)
        assert withstand(hotter, amps).seconds >= withstand(cooler, amps).seconds
