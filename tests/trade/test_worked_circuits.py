"""Published worked examples of sources, drops, shares of current, bad joints and short circuits, through the solver."""

from __future__ import annotations

import pytest

from planlint.graph.circuit import Branch, Circuit, Draw
from planlint.graph.nodal import CollapseError, Solution, solve_circuit
from planlint.graph.piecewise import Supply

KUPHALDT = "Lessons in Electric Circuits vol. I DC (T. Kuphaldt), "
COLLEGE = "OpenStax College Physics 2e, "
UNIVERSITY = "OpenStax University Physics vol. 2, "
# What a textbook calls ideal has this many ohm here: far less than any printed digit shows.
IDEAL = 1e-9
LOAD = ("plus", "minus")


def resistor(key: str, ohm: float, ends: tuple[str, str] = LOAD) -> Draw:
    """A resistance as a load."""
    return Draw(key=key, ends=ends, watts=1 / ohm, rated=1.0, exponent=2.0)


def on_source(emf: float, inner: float, *draws: Draw, wires: float = 0.0) -> Solution:
    """Loads on one source behind its own resistance and wires."""
    branches = (Branch(key="wires", ends=("post", "plus"), ohm=wires),)
    source = Supply(key="source", ends=("post", "minus"), emf=emf, ohm=inner)
    return solve_circuit(Circuit(branches=branches, supplies=(source,), draws=draws))


# Source, emf in V, ohm inside, ohm of wires, load in ohm, printed A and V at the load, half the last printed digits.
LOADED = [
    (KUPHALDT + "ch. 11, battery ratings, fully charged", 13.2, 0.1, 0.0, 100, None, 13.187, 0.0, 0.0005),
    (KUPHALDT + "ch. 11, battery ratings, moderately discharged", 11.5, 20, 0.0, 100, None, 9.583, 0.0, 0.0005),
    (KUPHALDT + "ch. 11, battery ratings, dead", 7.5, 50, 0.0, 100, None, 5.0, 0.0, 0.0005),
    (KUPHALDT + "ch. 11, battery construction", 10.0, 0.2, 0.0, 1.0, 8.333, None, 0.0005, 0.0),
    (KUPHALDT + "ch. 10, Thevenin's theorem", 11.2, 0.8, 0.0, 2.0, 4.0, 8.0, 0.05, 0.05),
    (COLLEGE + "section 21.2, light load", 12.0, 0.1, 0.0, 10.0, 1.188, 11.9, 0.0005, 0.05),
    (COLLEGE + "section 21.2, heavy load", 12.0, 0.1, 0.0, 0.5, 20.0, 10.0, 0.05, 0.05),
    (COLLEGE + "section 21.2, aged battery", 12.0, 0.5, 0.0, 0.5, 12.0, 6.0, 0.05, 0.05),
    (COLLEGE + "section 21.2, starter", 12.0, 0.01, 0.0, 0.05, 200, 10.0, 0.5, 0.05),
    (COLLEGE + "section 21.2, starter, corroded joints", 12.0, 0.01, 0.09, 0.05, 80.0, 4.0, 0.05, 0.05),
    (COLLEGE + "section 20.2, headlight", 12.0, IDEAL, 0.0, 4.8, 2.5, 12.0, 0.05, 0.05),
    (COLLEGE + "section 20.2, starter motor", 11.0, IDEAL, 0.0, 0.0733, 150, 11.0, 0.5, 0.05),
    (COLLEGE + "section 20.4, cold headlight", 12.0, IDEAL, 0.0, 0.35, 34.3, 12.0, 0.05, 0.05),
    (KUPHALDT + "ch. 2, electric power at 18 V", 18, IDEAL, 0.0, 3, 6, 18, 1e-6, 1e-6),
    (KUPHALDT + "ch. 2, electric power at 36 V", 36, IDEAL, 0.0, 3, 12, 36, 1e-6, 1e-6),
    (UNIVERSITY + "10.2, series string of 9 ohm", 18, IDEAL, 0.0, 9, 2.0, 18, 0.05, 1e-6),
    (COLLEGE + "section 20.6, worn cord of 2 ohm with 200 W", 20, IDEAL, 0.0, 2, 10, 200 / 10, 0.05, 0.05),
]


@pytest.mark.parametrize(("source", "emf", "inner", "wires", "load", "amps", "volts", "near_a", "near_v"), LOADED)
def test_loads_on_a_source(
    source: str,
    emf: float,
    inner: float,
    wires: float,
    load: float,
    amps: float | None,
    volts: float | None,
    near_a: float,
    near_v: float,
) -> None:
    """A load gets the printed current and voltage."""
    solved = on_source(emf, inner, resistor("load", load), wires=wires)
    if amps is not None:
        assert solved.taken["load"] == pytest.approx(amps, abs=near_a), source
    if volts is not None:
        assert solved.across(LOAD) == pytest.approx(volts, abs=near_v), source


def test_corroded_joints_cost_most_of_the_power() -> None:
    """0.09 ohm leave 320 W of 2000 W (OpenStax College Physics 2e, section 21.2)."""
    clean, corroded = (on_source(12.0, 0.01, resistor("load", 0.05), wires=ohm) for ohm in (0.0, 0.09))
    powers = [solved.taken["load"] * solved.across(LOAD) for solved in (clean, corroded)]
    assert powers == pytest.approx([2000, 320], abs=0.5)


def test_a_battery_that_is_charged() -> None:
    """12 V behind 0.4 ohm take 10 A at 16 V (OpenStax University Physics 2, 10.1); 0.375 ohm 8 A at 15 V (College, 21.2)."""
    for inner, volts, amps, source in (
        (0.4, 16.0, 10.0, UNIVERSITY + "10.1"),
        (0.375, 15.0, 8.0, COLLEGE + "21.2"),
    ):
        battery = Supply(key="battery", ends=LOAD, emf=12.0, ohm=inner)
        charger = Supply(key="charger", ends=LOAD, emf=volts, ohm=IDEAL)
        solved = solve_circuit(Circuit(branches=(), supplies=(battery, charger)))
        assert solved.given["battery"] == pytest.approx(-amps, abs=1e-4), source
        # The first prints the heat too: 40.0 W.
        assert inner != 0.4 or solved.given["battery"] ** 2 * inner == pytest.approx(40.0, abs=0.05)


def test_internal_resistance_from_two_loads() -> None:
    """5.0 A more cost 2.0 V at the terminals of a battery of 0.4 ohm (OpenStax College Physics 2e, 21.2, exercise)."""
    volts = [
        on_source(12.0, 0.4, Draw(key="load", ends=LOAD, watts=amps, rated=1.0, exponent=1.0)).across(LOAD)
        for amps in (3.0, 3.0 + 5.0)
    ]
    assert volts[0] - volts[1] == pytest.approx(2.0)


def test_cells_in_parallel_are_one_of_less_resistance() -> None:
    """Five cells of 2 V behind 0.2 ohm are 2 V behind 0.04 ohm (Lessons in Electric Circuits I, ch. 11)."""
    cells = tuple(Supply(key=f"cell{i}", ends=LOAD, emf=2.0, ohm=0.2) for i in range(5))
    solved = solve_circuit(Circuit(branches=(), supplies=cells, draws=(resistor("load", 0.06),)))
    assert solved.taken["load"] == pytest.approx(2.0 / (0.04 + 0.06))


def test_three_resistances_in_series() -> None:
    """12 V over 1, 6 and 13 ohm: 0.6 A, drops of 0.6, 3.6 and 7.8 V (OpenStax College Physics 2e, section 21.1)."""
    ends = [("plus", "a"), ("a", "b"), ("b", "minus")]
    source = Supply(key="source", ends=LOAD, emf=12.0, ohm=IDEAL)
    branches = (Branch(key="r0", ends=ends[0], ohm=1.0), Branch(key="r1", ends=ends[1], ohm=6.0))
    solved = solve_circuit(Circuit(branches=branches, supplies=(source,), draws=(resistor("r2", 13.0, ends[2]),)))
    assert solved.taken["r2"] == pytest.approx(0.6)
    assert [solved.across(pair) for pair in ends] == pytest.approx([0.6, 3.6, 7.8])


def test_three_resistances_side_by_side() -> None:
    """12 V on 1, 6 and 13 ohm: 12.0, 2.0 and 0.92 A, 14.92 A between them (OpenStax College Physics 2e, section 21.1)."""
    solved = on_source(12.0, IDEAL, *(resistor(f"r{i}", ohm) for i, ohm in enumerate((1.0, 6.0, 13.0))))
    assert [solved.taken[f"r{i}"] for i in range(3)] == pytest.approx([12.0, 2.0, 0.92], abs=0.005)
    assert solved.given["source"] == pytest.approx(14.92, abs=0.005)


def test_a_wire_before_two_loads() -> None:
    """1 ohm of wire before 6 and 13 ohm: 2.35 A, 9.65 V, 1.61 A (OpenStax College Physics 2e, section 21.1).

    The same circuit in University Physics, section 10.2, prints 5.10 ohm, cut from 5.105 ohm: a misprint.
    """
    solved = on_source(12.0, IDEAL, resistor("six", 6.0), resistor("thirteen", 13.0), wires=1.0)
    assert solved.given["source"] == pytest.approx(2.35, abs=0.005)
    assert solved.across(LOAD) == pytest.approx(9.65, abs=0.005)
    assert solved.taken["six"] == pytest.approx(1.61, abs=0.005)
    whole = 12.0 / solved.given["source"]
    assert whole == pytest.approx(5.11, abs=0.005)
    assert abs(whole - 5.10) > 0.005


def test_headlight_and_starter_in_series() -> None:
    """30 W and 2400 W at 12 V, wrongly in series, turn 29.6 W to heat (OpenStax College Physics 2e, section 21.1)."""
    solved = on_source(12.0, IDEAL, resistor("lamp", 12.0**2 / 30), wires=12.0**2 / 2400)
    assert 12.0 * solved.given["source"] == pytest.approx(29.6, abs=0.05)


# Source, emf in V, ohm inside, printed ampere.
SHORTED = [
    (KUPHALDT + "ch. 11, battery construction", 10.0, 0.2, 50.0),
    (KUPHALDT + "ch. 10, Thevenin's theorem", 11.2, 0.8, 14.0),
]


@pytest.mark.parametrize(("source", "emf", "inner", "printed"), SHORTED)
def test_short_circuits(source: str, emf: float, inner: float, printed: float) -> None:
    """A source's short-circuit current is the printed one."""
    assert on_source(emf, inner, resistor("short", IDEAL)).taken["short"] == pytest.approx(printed, rel=1e-6), source


def test_the_short_circuit_of_a_battery_by_its_cranking_current() -> None:
    """650 A cold cranking, from 12.6 V to 7.2 V: 1517 A, where ABYC E-11 Table V.A asks 1500 A of the main fuse."""
    solved = on_source(12.6, (12.6 - 7.2) / 650, resistor("short", IDEAL))
    assert solved.taken["short"] == pytest.approx(1500, rel=0.012)


def test_the_power_of_a_short_circuit() -> None:
    """120 V over 0.1 ohm turn 144 kW to heat (OpenStax College Physics 2e, section 20.6)."""
    solved = on_source(120.0, IDEAL, resistor("short", 0.1))
    assert solved.taken["short"] * solved.across(LOAD) == pytest.approx(144e3, abs=500)


def test_the_most_that_a_source_gives() -> None:
    """11.2 V behind 0.8 ohm give 39.2 W at most (Lessons in Electric Circuits I, ch. 10)."""
    for watts, solves in ((39.15, True), (39.25, False)):
        load = Draw(key="load", ends=LOAD, watts=watts, rated=11.2)
        if solves:
            assert on_source(11.2, 0.8, load).across(LOAD) * 5 > 11.2 / 2
        else:
            with pytest.raises(CollapseError):
                on_source(11.2, 0.8, load)


def test_misprinted_resistance_of_a_healthy_battery() -> None:
    """A page on batteries prints 0.09 and 0.038 ohm for one that holds 10 V at 200 A: that takes no more than 0.013 ohm."""
    drain = Draw(key="drain", ends=LOAD, watts=200.0, rated=1.0, exponent=1.0)
    assert on_source(12.6, 0.013, drain).across(LOAD) == pytest.approx(10.0)
    assert on_source(12.6, 0.038, drain).across(LOAD) < 6.0
    with pytest.raises(CollapseError):
        on_source(12.6, 0.09, drain)
