"""Networks of up to 500 vertices against ngspice and scipy; run before a release, with `pytest tests/long`."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "graph"))

from dense import REFERENCE, by_scipy, by_stretches, greatest_share
from spice import NGSPICE, by_ngspice, cornered, random_circuit, scaled

from planlint.graph.circuit import Circuit
from planlint.graph.nodal import CollapseError, solve_circuit
from planlint.graph.piecewise import HELD_OHM

SIZES = (5, 9, 17, 40, 80, 140, 220, 320, 420, 500)


def farthest(circuit: Circuit, expected: dict[str, float]) -> float:
    """By how many V the solution lies off another one at most."""
    solved = solve_circuit(circuit)
    ground = solved.volts[REFERENCE]
    return max(abs(solved.volts[at] - ground - volts) for at, volts in expected.items())


@pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")
@pytest.mark.parametrize("seed", range(1000, 1220))
def test_large_networks_are_those_of_ngspice(seed: int, tmp_path: Path) -> None:
    """220 networks with loops, several sources and all kinds of loads: within 1e-6 V."""
    circuit = random_circuit(seed, SIZES[seed % len(SIZES)], 0.3 + 0.1 * (seed % 7))
    assert farthest(circuit, by_ngspice(circuit, tmp_path)) < 1e-6


@pytest.mark.parametrize("seed", range(1000, 1220))
def test_large_networks_are_those_of_scipy(seed: int) -> None:
    """The same networks by scipy's root finder on dense matrices: within 1e-6 V."""
    circuit = random_circuit(seed, SIZES[seed % len(SIZES)], 0.3 + 0.1 * (seed % 7))
    assert farthest(circuit, by_scipy(circuit)) < 1e-6


@pytest.mark.parametrize("kinds", [(0.0,), (0.0, 1.0, 2.0)])
@pytest.mark.parametrize("seed", range(2000, 2040))
def test_the_greatest_power_is_met_from_both_sides(seed: int, kinds: tuple[float, ...]) -> None:
    """0.1 % below the tip of the nose solves, 0.1 % above does not."""
    circuit = random_circuit(seed, (6, 10, 16, 24, 40)[seed % 5], 0.5, kinds)
    most = greatest_share(circuit)
    solve_circuit(scaled(circuit, 0.999 * most, (0.0,)))
    with pytest.raises(CollapseError):
        solve_circuit(scaled(circuit, 1.001 * most, (0.0,)))


@pytest.mark.parametrize("kinds", [(0.0, 1.0, 2.0), (0.0, 0.5, 1.0, 1.5, 2.0), (0.0, 1.5), (0.5, 2.0, 1.5)])
@pytest.mark.parametrize("seed", range(3000, 3250))
def test_supplies_with_corners_work_where_trying_all_stretches_finds_them(seed: int, kinds: tuple[float, ...]) -> None:
    """The highest of all solutions, or none; a held voltage is off by the drop of at most 40 A on HELD_OHM."""
    circuit = cornered(seed, 8, kinds)
    expected = by_stretches(circuit)
    if expected:
        assert farthest(circuit, expected[0]) < 1e-6 + 40 * HELD_OHM
    else:
        with pytest.raises(CollapseError):
            solve_circuit(circuit)
