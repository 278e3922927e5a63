"""The greatest power a supply can give: what is below it is solved, what is above is recognised, and who lets go."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from dense import by_scipy, greatest_share
from hypothesis import given, settings
from hypothesis import strategies as st
from spice import random_circuit, scaled

from planlint.graph.circuit import Branch, Circuit, Draw
from planlint.graph.nodal import CollapseError, solve_circuit
from planlint.graph.piecewise import Supply

AT = ("load", "minus")


def loads_at_one_place(ohm: float, *draws: Draw, emf: float = 12.6) -> Circuit:
    """Loads at a battery behind `ohm` in all."""
    return Circuit(
        branches=(Branch(key="cable", ends=("plus", "load"), ohm=0.7 * ohm),),
        supplies=(Supply(key="battery", ends=("plus", "minus"), emf=emf, ohm=0.3 * ohm),),
        draws=draws,
    )


def load(key: str, watts: float, exponent: float = 0.0, lowest: float = 0.0) -> Draw:
    """A load at that place."""
    return Draw(key=key, ends=AT, watts=watts, rated=13.8, exponent=exponent, lowest=lowest)


@pytest.mark.parametrize("ohm", [1e-3, 1e-2, 0.5, 100.0])
def test_a_load_has_a_solution_up_to_the_greatest_power(ohm: float) -> None:
    """P = E2/4R is the most a source gives (maximum power transfer theorem): 0.1 % less solves, 0.1 % more does not."""
    most = 12.6**2 / 4 / ohm
    solved = solve_circuit(loads_at_one_place(ohm, load("amp", 0.999 * most)))
    exact = (12.6 + math.sqrt(12.6**2 * (1 - 0.999))) / 2
    assert solved.across(AT) == pytest.approx(exact, rel=1e-9)
    with pytest.raises(CollapseError) as error:
        solve_circuit(loads_at_one_place(ohm, load("amp", 1.001 * most)))
    assert error.value.draws == ("amp",)


@given(st.floats(1e-3, 1.0), st.floats(0, 0.4), st.floats(0, 2.0), st.floats(0.05, 1.0))
def test_the_greatest_power_beside_other_loads(ohm: float, current: float, conductance: float, part: float) -> None:
    """A constant current lowers E, a resistance lowers E and R alike (Thevenin's theorem); two loads share what is left."""
    amps, siemens = current * 12.6 / ohm, conductance / ohm
    emf, inner = (12.6 - ohm * amps) / (1 + ohm * siemens), ohm / (1 + ohm * siemens)
    most = emf**2 / 4 / inner
    others = (load("steady", amps * 13.8, 1.0), load("heater", siemens * 13.8**2, 2.0))
    for share, solves in ((0.999, True), (1.001, False)):
        pair = (load("one", share * most * part), load("two", share * most * (1 - part)))
        circuit = loads_at_one_place(ohm, *others, *pair)
        if solves:
            exact = (emf + math.sqrt(emf**2 * (1 - 0.999))) / 2
            assert solve_circuit(circuit).across(AT) == pytest.approx(exact, rel=1e-6)
        else:
            with pytest.raises(CollapseError) as error:
                solve_circuit(circuit)
            assert {"one"} <= set(error.value.draws)


@pytest.mark.parametrize("kinds", [(0.0,), (0.0, 1.0, 2.0)])
@pytest.mark.parametrize("seed", range(12))
def test_several_loads_have_a_solution_up_to_the_tip_of_the_nose(seed: int, kinds: tuple[float, ...]) -> None:
    """Loads of constant power anywhere, all times one share, steady ones beside: solved 0.1 % below the greatest only."""
    circuit = random_circuit(seed, (6, 8, 12, 20)[seed % 4], 0.5, kinds)
    most = greatest_share(circuit)
    below = scaled(circuit, 0.999 * most, (0.0,))
    solved, expected = solve_circuit(below), by_scipy(below)
    assert all(solved.volts[at] - solved.volts["r0"] == pytest.approx(v, abs=1e-6) for at, v in expected.items())
    with pytest.raises(CollapseError):
        solve_circuit(scaled(circuit, 1.001 * most, (0.0,)))


def test_a_constant_current_that_would_turn_the_voltage_collapses() -> None:
    """Beyond the short-circuit current E/R no constant current can be had; every load that falls is named."""
    solve_circuit(loads_at_one_place(0.1, load("amp", 0.999 * 126 * 13.8, 1.0)))
    with pytest.raises(CollapseError) as error:
        solve_circuit(loads_at_one_place(0.1, load("amp", 1.001 * 126 * 13.8, 1.0), load("lamp", 1.0)))
    assert error.value.draws == ("amp", "lamp")


def test_a_load_of_constant_power_can_turn_the_voltage_of_another() -> None:
    """Two loads behind one cable, one of them behind more: its constant current alone could be had, beside the other not.

    15 A through 0.1 and 0.6 ohm leave 2.1 V of 12.6 V; the heater at the first place takes that away.
    """
    more = Branch(key="more", ends=("load", "far"), ohm=0.6)
    steady = Draw(key="steady", ends=("far", "minus"), watts=15 * 13.8, rated=13.8, exponent=1.0)
    made = loads_at_one_place(0.1, load("heater", 260))
    assert solve_circuit(replace(made, branches=(*made.branches, more), draws=(steady,))).across(
        ("far", "minus")
    ) == pytest.approx(12.6 - 15 * 0.7)
    with pytest.raises(CollapseError) as error:
        solve_circuit(replace(made, branches=(*made.branches, more), draws=(*made.draws, steady)))
    assert error.value.draws == ("steady", "heater")


# --- Lowest voltages


def test_a_load_below_its_lowest_voltage_is_off() -> None:
    """600 W behind 50 mohm pull 12.6 V to 9.4129 V (quadratic formula); one that gives up below 10 V leaves it whole."""
    exact = (12.6 + math.sqrt(12.6**2 - 4 * 0.05 * 600)) / 2
    assert solve_circuit(loads_at_one_place(0.05, load("amp", 600))).across(AT) == pytest.approx(exact)
    solved = solve_circuit(loads_at_one_place(0.05, load("amp", 600, lowest=10.0)))
    assert solved.off == ("amp",)
    assert solved.across(AT) == pytest.approx(12.6)
    assert solved.taken["amp"] == 0.0
    assert solve_circuit(loads_at_one_place(0.05, load("amp", 600, lowest=exact - 1e-6))).off == ()
    assert solve_circuit(loads_at_one_place(0.05, load("amp", 600, lowest=exact + 1e-6))).off == ("amp",)


def test_a_load_that_would_collapse_the_supply_lets_go_first() -> None:
    """1 kW on 50 mohm has no solution; with a lowest voltage it is off, and one without stays on."""
    with pytest.raises(CollapseError):
        solve_circuit(loads_at_one_place(0.05, load("amp", 1000)))
    assert solve_circuit(loads_at_one_place(0.05, load("amp", 1000, lowest=8.0), load("lamp", 50))).off == ("amp",)


def test_a_load_whose_voltage_comes_back_is_on_again() -> None:
    """The radio lets go first, below 11.5 V, but that does not help; once the amplifier lets go, it may play."""
    loads = (load("radio", 20, lowest=11.5), load("amp", 400, lowest=11.4))
    assert solve_circuit(loads_at_one_place(0.05, *loads)).off == ("amp",)


@settings(max_examples=60)
@given(st.integers(0, 10**6), st.lists(st.floats(0, 12.5), min_size=1, max_size=9), st.floats(0.1, 3.0))
def test_none_is_off_needlessly(seed: int, lowest: list[float], share: float) -> None:
    """What is on has its lowest voltage; each load that is off would not, were it on beside those that are."""
    made = random_circuit(seed, 10, share, (0.0, 1.0))
    draws = tuple(replace(draw, lowest=lowest[i % len(lowest)]) for i, draw in enumerate(made.draws))
    circuit = replace(made, draws=draws)
    try:
        solved = solve_circuit(circuit)
    except CollapseError as error:
        stay = tuple(draw for draw in draws if draw.lowest == 0.0)
        assert {draw.key for draw in stay} & set(error.draws)
        with pytest.raises(CollapseError):
            solve_circuit(replace(circuit, draws=stay))
        return
    on = tuple(draw for draw in draws if draw.key not in solved.off)
    assert all(solved.across(draw.ends) >= draw.lowest * (1 - 1e-9) for draw in on)
    for draw in draws:
        if draw.key in solved.off:
            tried = (*on, draw)
            try:
                again = solve_circuit(replace(circuit, draws=tuple(replace(one, lowest=0.0) for one in tried)))
            except CollapseError:
                continue
            assert any(again.across(one.ends) < one.lowest for one in tried)
