"""Solved circuits, held against ngspice, scipy, and the laws of Kirchhoff."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import pytest
from dense import REFERENCE, by_scipy
from hypothesis import given, settings
from hypothesis import strategies as st
from spice import NGSPICE, by_ngspice, random_circuit

from planlint.graph.circuit import Branch, Circuit, Draw
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
    circuit = random_circuit(seed, SIZES[seed % len(SIZES)], 0.3 + 0.1 * (seed % 7))
    assert against(solve_circuit(circuit), by_ngspice(circuit, tmp_path)) < 1e-6


@pytest.mark.parametrize("seed", range(40))
def test_potentials_are_those_of_scipy(seed: int) -> None:
    """The same by scipy's root finder on dense matrices, loads of broken exponents among them: within 1e-6 V."""
    kinds = (0.0, 1.0, 2.0) if seed % 2 else (0.0, 0.5, 1.0, 1.5, 2.0)
    circuit = random_circuit(seed, SIZES[seed % len(SIZES)], 0.3 + 0.1 * (seed % 7), kinds)
    assert against(solve_circuit(circuit), by_scipy(circuit)) < 1e-6


@settings(max_examples=60)
@given(st.integers(0, 10**6), st.integers(4, 40), st.floats(0.01, 0.95))
def test_kirchhoff(seed: int, size: int, load: float) -> None:
    """At every vertex comes in what goes out; what the supplies give the resistances and loads take."""
    circuit = random_circuit(seed, size, load, (0.0, 0.5, 1.0, 1.5, 2.0))
    solved = solve_circuit(circuit)
    into: dict[str, float] = defaultdict(float)
    flows = [(branch.ends, solved.current[branch.key]) for branch in circuit.branches]
    flows += [(supply.ends[::-1], solved.given[supply.key]) for supply in circuit.supplies]
    flows += [(draw.ends, solved.taken[draw.key]) for draw in circuit.draws]
    for (start, end), amps in flows:
        into[start] -= amps
        into[end] += amps
    most = max(abs(amps) for _, amps in flows)
    assert all(abs(amps) <= 1e-9 * most for amps in into.values())
    gained = sum(supply.emf * solved.given[supply.key] for supply in circuit.supplies)
    lost = sum(branch.ohm * solved.current[branch.key] ** 2 for branch in circuit.branches)
    lost += sum(supply.ohm * solved.given[supply.key] ** 2 for supply in circuit.supplies)
    taken = sum(solved.across(draw.ends) * solved.taken[draw.key] for draw in circuit.draws)
    assert gained == pytest.approx(lost + taken, rel=1e-9)


def ladder(links: int, ohm: float, far: float) -> Circuit:
    """A load behind `far` ohm at the end of a chain of stretches of `ohm`, the return without any length."""
    chain = tuple(Branch(key=f"b{i}", ends=(f"s{i}", f"s{i + 1}"), ohm=ohm) for i in range(links))
    return Circuit(
        branches=(*chain, Branch(key="far", ends=(f"s{links}", "load"), ohm=far)),
        supplies=(Supply(key="battery", ends=("s0", "r0"), emf=12.6, ohm=5e-3),),
        draws=(Draw(key="lamp", ends=("load", "r0"), watts=0.02, rated=13.8),),
    )


@pytest.mark.parametrize(("ohm", "far"), [(1e-4, 1e3), (1e-5, 1e3), (10.0, 1e-4), (1e-7, 1.0)])
def test_resistances_of_every_size_lie_side_by_side(ohm: float, far: float) -> None:
    """Ten decades of resistance in one circuit of 2,000 vertices: the closed form of a constant power to nine digits."""
    solved = solve_circuit(ladder(2000, ohm, far) if ohm < 1 else ladder(20, ohm, far))
    whole = 5e-3 + (2000 if ohm < 1 else 20) * ohm + far
    exact = (12.6 + math.sqrt(12.6**2 - 4 * whole * 0.02)) / 2
    assert solved.across(("load", "r0")) == pytest.approx(exact, rel=1e-9)


# --- What is no circuit


PLAIN = Circuit(
    branches=(Branch(key="cable", ends=("plus", "load"), ohm=7e-3),),
    supplies=(Supply(key="battery", ends=("plus", "minus"), emf=12.6, ohm=3e-3),),
    draws=(Draw(key="amp", ends=("load", "minus"), watts=100, rated=13.8),),
)


def test_islands_and_loads_without_a_source_are_named() -> None:
    """A load whose return hangs in the air is dead, its vertices float; the rest is solved."""
    lost = Draw(key="lost", ends=("load", "nowhere"), watts=50, rated=13.8)
    apart = Branch(key="apart", ends=("nowhere", "farther"), ohm=0.1)
    solved = solve_circuit(replace(PLAIN, branches=(*PLAIN.branches, apart), draws=(*PLAIN.draws, lost)))
    assert (solved.dead, solved.floating) == (("lost",), ("farther", "nowhere"))
    assert solved.taken["lost"] == 0.0 and solved.taken["amp"] > 7


def test_a_load_across_one_vertex_is_dead() -> None:
    """Both its ends at one place, or at two joined without resistance: no current can flow."""
    joined = Branch(key="bolt", ends=("load", "post"), ohm=0.0)
    same = Draw(key="same", ends=("load", "load"), watts=50, rated=13.8)
    bolted = Draw(key="bolted", ends=("load", "post"), watts=50, rated=13.8)
    solved = solve_circuit(replace(PLAIN, branches=(*PLAIN.branches, joined), draws=(*PLAIN.draws, same, bolted)))
    assert (solved.dead, solved.taken["same"], solved.taken["bolted"]) == (("same", "bolted"), 0.0, 0.0)


def test_a_branch_without_resistance_joins_its_ends() -> None:
    """Both ends have one potential; no current is told of it."""
    joined = Branch(key="bolt", ends=("load", "post"), ohm=0.0)
    moved = replace(PLAIN.draws[0], ends=("post", "minus"))
    solved = solve_circuit(replace(PLAIN, branches=(*PLAIN.branches, joined), draws=(moved,)))
    assert solved.volts["post"] == solved.volts["load"]
    assert "bolt" not in solved.current


def test_two_batteries_with_separate_returns_are_two_islands() -> None:
    """Neither knows of the other: the voltages are those of each alone, and a load between them is dead."""
    other = Supply(key="second", ends=("plus2", "minus2"), emf=12.0, ohm=1e-2)
    lamp = Draw(key="lamp", ends=("plus2", "minus2"), watts=12.0, rated=12.0, exponent=2.0)
    between = Draw(key="between", ends=("plus", "minus2"), watts=12.0, rated=12.0)
    both = replace(PLAIN, supplies=(*PLAIN.supplies, other), draws=(*PLAIN.draws, lamp, between))
    solved, alone = solve_circuit(both), solve_circuit(PLAIN)
    assert solved.across(("load", "minus")) == alone.across(("load", "minus"))
    assert solved.across(("plus2", "minus2")) == pytest.approx(12.0 * 12.0 / 12.01)
    assert solved.islands["plus"] != solved.islands["plus2"]
    assert solved.dead == ("between",)


def test_a_circuit_without_loads_or_supplies_is_solved() -> None:
    """Without loads the source's voltage is everywhere, without supplies everything floats; nothing is a circuit too."""
    idle = solve_circuit(replace(PLAIN, draws=()))
    assert idle.across(("load", "minus")) == pytest.approx(12.6)
    assert idle.given["battery"] == pytest.approx(0, abs=1e-9)
    assert solve_circuit(replace(PLAIN, supplies=())).floating == ("load", "minus", "plus")
    assert solve_circuit(Circuit(branches=(), supplies=())).volts == {}


def test_a_supply_shorted_without_resistance_gives_all_it_has() -> None:
    """12.6 V on its own 3 mohm: 4200 A by Ohm's law."""
    short = Branch(key="wrench", ends=("plus", "minus"), ohm=0.0)
    solved = solve_circuit(replace(PLAIN, branches=(*PLAIN.branches, short), draws=()))
    assert solved.given["battery"] == pytest.approx(4200)


def test_a_load_the_wrong_way_round_has_no_operating_point() -> None:
    """At a voltage of nothing or less no power can be had, whatever the supply could give."""
    turned = replace(PLAIN.draws[0], ends=("minus", "load"))
    with pytest.raises(CollapseError) as error:
        solve_circuit(replace(PLAIN, draws=(turned,)))
    assert error.value.draws == ("amp",)


@pytest.mark.parametrize("ohm", [-0.1, math.nan, math.inf])
def test_a_senseless_resistance_is_refused(ohm: float) -> None:
    """A resistance below nothing, unknown or endless is named, and so is a supply without any."""
    with pytest.raises(ValueError, match="cable"):
        solve_circuit(replace(PLAIN, branches=(replace(PLAIN.branches[0], ohm=ohm),)))
    with pytest.raises(ValueError, match="battery"):
        solve_circuit(replace(PLAIN, supplies=(replace(PLAIN.supplies[0], ohm=min(ohm, 0.0)),)))


AMP, BATTERY = PLAIN.draws[0], PLAIN.supplies[0]


@pytest.mark.parametrize(
    "draw",
    [replace(AMP, watts=-1.0), replace(AMP, watts=math.nan), replace(AMP, rated=0.0), replace(AMP, exponent=math.inf)],
)
def test_a_senseless_load_is_refused(draw: Draw) -> None:
    """A load that gives, or has no rated voltage, is named."""
    with pytest.raises(ValueError, match="amp"):
        solve_circuit(replace(PLAIN, draws=(draw,)))


@pytest.mark.parametrize(
    "supply",
    [
        replace(BATTERY, emf=math.nan),
        replace(BATTERY, limit=-1.0),
        replace(BATTERY, charge=-1.0),
        replace(BATTERY, charge=math.inf),
    ],
)
def test_a_senseless_supply_is_refused(supply: Supply) -> None:
    """A supply without a voltage, or with a limit below nothing, is named."""
    with pytest.raises(ValueError, match="battery"):
        solve_circuit(replace(PLAIN, supplies=(supply,)))
