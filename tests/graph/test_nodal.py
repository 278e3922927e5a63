"""Solved circuits, held against ngspice, scipy, closed forms, and the laws of Kirchhoff."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from spice import NGSPICE, REFERENCE, by_ngspice, by_scipy, random_circuit, vertices

from planlint.graph.circuit import Branch, Circuit, Draw
from planlint.graph.factor import NotDefiniteError, factor
from planlint.graph.nodal import CollapseError, Solution, solve_circuit
from planlint.graph.piecewise import Supply

needs_ngspice = pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")
SIZES = (5, 6, 8, 13, 20, 34, 60, 100)


def against(solution: Solution, expected: dict[str, float]) -> float:
    """The largest difference in V between two solutions, both against the same vertex."""
    ground = solution.volts[REFERENCE]
    return max(abs(solution.volts[at] - ground - volts) for at, volts in expected.items())


@needs_ngspice
@pytest.mark.parametrize("seed", range(40))
def test_potentials_are_those_of_ngspice(seed: int, tmp_path: Path) -> None:
    """Loops, several sources, loads of constant power, current and resistance: within 1e-6 V."""
    circuit = random_circuit(seed, SIZES[seed % len(SIZES)])
    assert against(solve_circuit(circuit), by_ngspice(circuit, tmp_path)) < 1e-6


@pytest.mark.parametrize("seed", range(40, 100))
def test_potentials_are_those_of_scipy(seed: int) -> None:
    """The same by sparse LU decompositions and a fixed point: within 1e-6 V."""
    circuit = random_circuit(seed, SIZES[seed % len(SIZES)])
    assert against(solve_circuit(circuit), by_scipy(circuit)) < 1e-6


@settings(max_examples=60)
@given(st.integers(0, 10**6), st.integers(4, 30), st.floats(0.01, 0.6))
def test_kirchhoff(seed: int, size: int, load: float) -> None:
    """At every vertex comes in what goes out; what the supplies give the resistances and loads take."""
    circuit = random_circuit(seed, size, load)
    solved = solve_circuit(circuit)
    into: dict[str, float] = defaultdict(float)
    for branch in circuit.branches:
        into[branch.ends[0]] -= solved.current[branch.key]
        into[branch.ends[1]] += solved.current[branch.key]
    for supply in circuit.supplies:
        into[supply.ends[0]] += solved.given[supply.key]
        into[supply.ends[1]] -= solved.given[supply.key]
    for draw in circuit.draws:
        into[draw.ends[0]] -= solved.taken[draw.key]
        into[draw.ends[1]] += solved.taken[draw.key]
    most = max(map(abs, (*solved.current.values(), *solved.given.values())))
    assert all(abs(amps) <= 1e-7 * (1 + most) for amps in into.values())
    given_watts = sum(supply.emf * solved.given[supply.key] for supply in circuit.supplies)
    lost = sum(branch.ohm * solved.current[branch.key] ** 2 for branch in circuit.branches)
    lost += sum(supply.ohm * solved.given[supply.key] ** 2 for supply in circuit.supplies)
    taken = sum(solved.across(draw.ends) * solved.taken[draw.key] for draw in circuit.draws)
    assert given_watts == pytest.approx(lost + taken, rel=1e-6)


# --- The greatest power


def one_load(watts: float, ohm: float, emf: float = 12.6, **more: float) -> Circuit:
    """One load at a battery behind `ohm` in all."""
    draw = Draw(key="amp", ends=("load", "minus"), watts=watts, rated=13.8, **more)
    return Circuit(
        branches=(Branch(key="cable", ends=("plus", "load"), ohm=0.7 * ohm),),
        supplies=(Supply(key="battery", ends=("plus", "minus"), emf=emf, ohm=0.3 * ohm),),
        draws=(draw,),
    )


@pytest.mark.parametrize("ohm", [1e-3, 1e-2, 0.5])
def test_a_load_has_a_solution_up_to_the_greatest_power(ohm: float) -> None:
    """P = E2/4R is the most a source gives (Lessons in Electric Circuits): 0.1 % less solves, 0.1 % more does not."""
    most = 12.6**2 / 4 / ohm
    solved = solve_circuit(one_load(0.999 * most, ohm))
    exact = (12.6 + math.sqrt(12.6**2 * (1 - 0.999))) / 2
    assert solved.across(("load", "minus")) == pytest.approx(exact, rel=1e-9)
    with pytest.raises(CollapseError) as error:
        solve_circuit(one_load(1.001 * most, ohm))
    assert error.value.draws == ("amp",)


def greatest_share(circuit: Circuit) -> float:
    """By which factor all loads may grow until there is no solution: bisection over scipy's fixed point from above."""
    low, high = 1e-3, 1e6
    while high / low > 1 + 1e-4:
        middle = (low * high) ** 0.5
        if fixed_point_holds(scaled(circuit, middle)):
            low = middle
        else:
            high = middle
    return low


def fixed_point_holds(circuit: Circuit) -> bool:
    """Whether loads of constant power settle when each takes the current of the voltage before (Thevenin, numpy)."""
    every = [at for at in vertices(circuit) if at != REFERENCE]
    index = {at: i for i, at in enumerate(every)}
    matrix, right = np.zeros((len(every), len(every))), np.zeros(len(every))
    for ends, ohm in [(b.ends, b.ohm) for b in circuit.branches] + [(s.ends, s.ohm) for s in circuit.supplies]:
        for one, other in (ends, ends[::-1]):
            if one in index and ends[0] != ends[1]:
                matrix[index[one], index[one]] += 1 / ohm
                if other in index:
                    matrix[index[one], index[other]] -= 1 / ohm
    for supply in circuit.supplies:
        for at, sign in zip(supply.ends, (1.0, -1.0), strict=True):
            if at in index:
                right[index[at]] += sign * supply.emf / supply.ohm
    ports = np.zeros((len(circuit.draws), len(every)))
    for row, draw in enumerate(circuit.draws):
        for at, sign in zip(draw.ends, (1.0, -1.0), strict=True):
            if at in index:
                ports[row, index[at]] += sign
    inverse = np.linalg.inv(matrix)
    open_volts, thevenin = ports @ inverse @ right, ports @ inverse @ ports.T
    watts = np.array([draw.watts for draw in circuit.draws])
    volts = open_volts.copy()
    for _ in range(3000):
        new = open_volts - thevenin @ (watts / volts)
        if np.any(new <= 0):
            return False
        if np.max(np.abs(new - volts)) < 1e-12:
            return True
        volts = new
    return False


def scaled(circuit: Circuit, factor_: float) -> Circuit:
    """The circuit with all loads times a factor."""
    return replace(circuit, draws=tuple(replace(draw, watts=factor_ * draw.watts) for draw in circuit.draws))


@pytest.mark.parametrize("seed", range(5))
def test_several_loads_collapse_where_their_currents_do_not_settle(seed: int) -> None:
    """Loads of constant power on trees with one source, all times one factor: 0.1 % below the greatest solves, above not."""
    made = random_circuit(seed, 12, 0.2)
    tree = [branch for branch in made.branches if branch.ends[0] != branch.ends[1]]
    draws = tuple(replace(draw, exponent=0.0) for draw in made.draws)
    circuit = replace(made, branches=tuple(tree), supplies=made.supplies[:1], draws=draws)
    most = greatest_share(circuit)
    solve_circuit(scaled(circuit, 0.999 * most))
    with pytest.raises(CollapseError):
        solve_circuit(scaled(circuit, 1.001 * most))


def test_a_load_below_its_lowest_voltage_is_off() -> None:
    """600 W behind 50 mohm would pull 12.6 V to 9.4 V; one that gives up below 10 V rests and the voltage is whole."""
    assert solve_circuit(one_load(600, 0.05)).across(("load", "minus")) == pytest.approx(9.4129, abs=1e-4)
    solved = solve_circuit(one_load(600, 0.05, lowest=10.0))
    assert (solved.off, solved.taken["amp"]) == (("amp",), 0.0)
    assert solved.across(("load", "minus")) == pytest.approx(12.6)
    assert solve_circuit(one_load(600, 0.05, lowest=9.4)).off == ()


def test_a_load_that_would_collapse_the_supply_lets_go_first() -> None:
    """1 kW on 50 mohm has no solution; with a lowest voltage it is off."""
    with pytest.raises(CollapseError):
        solve_circuit(one_load(1000, 0.05))
    assert solve_circuit(one_load(1000, 0.05, lowest=8.0)).off == ("amp",)


# --- Supplies with corners

RUNNING = (
    Supply(key="battery", ends=("plus", "minus"), emf=12.7, ohm=0.006, charge=5.0),
    Supply(key="alternator", ends=("output", "minus"), emf=14.2, ohm=1e-3, limit=110.0, charge=0.0),
)


# Current of the load in A; what alternator and battery then give, by hand: up to its limit the alternator gives all and
# charges with 5 A; then the battery holds its voltage and charges less, and beyond 110 A it gives the rest.
@pytest.mark.parametrize(
    ("amps", "alternator", "battery"), [(0, 5, -5), (60, 65, -5), (104, 109, -5), (107, 110, -3), (150, 110, 40)]
)
def test_an_alternator_gives_to_its_limit_and_the_battery_the_rest(
    amps: float, alternator: float, battery: float
) -> None:
    """Currents by hand (Kirchhoff); a held voltage stands on a millionth of an ohm."""
    load = Draw(key="load", ends=("plus", "minus"), watts=amps * 13.8 or 1e-9, rated=13.8, exponent=1.0)
    circuit = Circuit(
        branches=(Branch(key="charge", ends=("output", "plus"), ohm=2e-3),), supplies=RUNNING, draws=(load,)
    )
    solved = solve_circuit(circuit)
    assert solved.given["alternator"] == pytest.approx(alternator, abs=1e-6)
    assert solved.given["battery"] == pytest.approx(battery, abs=1e-6)


@given(st.floats(0, 3000), st.floats(20, 300), st.floats(1e-3, 0.02), st.floats(0, 30))
def test_supplies_keep_to_their_corners(watts: float, limit: float, ohm: float, charge: float) -> None:
    """Whatever the load: the alternator stays in its limits, and each supply lies on its own characteristic."""
    supplies = (replace(RUNNING[0], charge=charge), replace(RUNNING[1], limit=limit))
    load = Draw(key="load", ends=("plus", "minus"), watts=watts, rated=13.8)
    circuit = Circuit(
        branches=(Branch(key="charge", ends=("output", "plus"), ohm=ohm),), supplies=supplies, draws=(load,)
    )
    try:
        solved = solve_circuit(circuit)
    except CollapseError:
        assert watts > 0.9 * 12.7**2 / 4 / 0.006
        return
    alternator, battery = solved.given["alternator"], solved.given["battery"]
    assert -1e-6 <= alternator <= limit + 1e-6
    assert battery >= -charge - 1e-6
    volts = solved.across(("plus", "minus"))
    if battery > 1e-6:
        assert volts == pytest.approx(12.7 - 0.006 * battery, abs=1e-6)
    if battery < -1e-6:
        assert volts >= 12.7 - 1e-6
    if 1e-6 < alternator < limit - 1e-3:
        assert solved.across(("output", "minus")) == pytest.approx(14.2 - 1e-3 * alternator, abs=1e-6)


# --- What is no circuit


def test_islands_and_loads_without_a_source_are_named() -> None:
    """A load whose return hangs in the air is dead, its vertices float; the rest is solved."""
    circuit = one_load(100, 0.01)
    lost = Draw(key="lost", ends=("load", "nowhere"), watts=50, rated=13.8)
    apart = Branch(key="apart", ends=("nowhere", "farther"), ohm=0.1)
    solved = solve_circuit(replace(circuit, branches=(*circuit.branches, apart), draws=(*circuit.draws, lost)))
    assert (solved.dead, solved.floating) == (("lost",), ("farther", "nowhere"))
    assert solved.taken["lost"] == 0.0 and solved.taken["amp"] > 7


def test_a_branch_without_resistance_joins_its_ends() -> None:
    """Both ends have one potential; no current is told of it."""
    circuit = one_load(100, 0.01)
    joined = Branch(key="bolt", ends=("load", "post"), ohm=0.0)
    moved = replace(circuit.draws[0], ends=("post", "minus"))
    solved = solve_circuit(replace(circuit, branches=(*circuit.branches, joined), draws=(moved,)))
    assert solved.volts["post"] == solved.volts["load"]
    assert "bolt" not in solved.current


@pytest.mark.parametrize("ohm", [-0.1, math.nan])
def test_a_senseless_resistance_is_refused(ohm: float) -> None:
    """A negative resistance or none at all in a supply is named."""
    circuit = one_load(100, 0.01)
    with pytest.raises(ValueError, match="cable"):
        solve_circuit(replace(circuit, branches=(replace(circuit.branches[0], ohm=ohm),)))
    with pytest.raises(ValueError, match="battery"):
        solve_circuit(replace(circuit, supplies=(replace(circuit.supplies[0], ohm=0.0),)))


# --- The elimination


@given(st.integers(1, 9), st.integers(0, 2**32 - 1))
def test_entries_of_the_inverse_are_numpys(size: int, seed: int) -> None:
    """On the diagonal and wherever two unknowns are joined, the inverse of a random network's matrix."""
    dice = np.random.default_rng(seed)
    dense = np.diag(dice.uniform(0.1, 1e3, size))
    for _ in range(2 * size):
        i, j = dice.integers(0, size, 2)
        if i != j:
            siemens = dice.uniform(0.1, 1e4)
            dense[[i, j], [i, j]] += siemens
            dense[[i, j], [j, i]] -= siemens
    rows = [{j: float(dense[i, j]) for j in range(size) if dense[i, j] or i == j} for i in range(size)]
    joined = [(i, j) for i, row in enumerate(rows) for j in row]
    inverse, found = np.linalg.inv(dense), factor(rows).inverse()
    for i, j in joined:
        assert found[i][j] == pytest.approx(inverse[i, j], rel=1e-8, abs=1e-12)


@given(st.integers(1, 8), st.integers(0, 2**32 - 1), st.floats(0.01, 10))
def test_a_matrix_that_is_not_definite_is_refused(size: int, seed: int, shift: float) -> None:
    """A symmetric matrix is refused where numpy finds an eigenvalue below nothing, and only there."""
    dice = np.random.default_rng(seed)
    half = dice.uniform(-1, 1, (size, size))
    dense = half @ half.T + np.diag(dice.uniform(-shift, shift, size))
    least = float(np.min(np.linalg.eigvalsh(dense)))
    rows = [{j: float(dense[i, j]) for j in range(size)} for i in range(size)]
    if abs(least) < 1e-6:
        return
    if least > 0:
        assert factor(rows).solve([1.0] * size) == pytest.approx(list(np.linalg.solve(dense, np.ones(size))), rel=1e-6)
    else:
        with pytest.raises(NotDefiniteError):
            factor(rows)
