"""Benchmark: a network of 2,000 nodes in four scenarios with all its short circuits against one sparse solve by scipy."""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from statistics import median

import numpy as np
import numpy.typing as npt
from scipy.sparse import coo_matrix, csc_matrix  # type: ignore[import-untyped]
from scipy.sparse.linalg import spsolve  # type: ignore[import-untyped]

from planlint.graph.circuit import Branch, Circuit, Draw, conduct
from planlint.graph.factor import factor
from planlint.graph.nodal import solve_circuit
from planlint.graph.piecewise import Supply

Array = npt.NDArray[np.float64]
HALF = 1000
# Share of the loads' power, and whether the alternator turns.
SCENARIOS = {"resting": (0.002, False), "music": (0.35, True), "full": (1.0, True), "full, engine off": (1.0, False)}
BATTERIES = {0: (12.7, 0.004), 1: (12.65, 0.006), 2: (12.7, 0.005)}
ALTERNATOR = Supply(key="alternator", ends=("s3", "r3"), emf=14.2, ohm=2e-3, limit=160.0, charge=0.0)


def network(near: bool, loads: int, loops: int, seed: int = 1) -> Circuit:
    """Return supply and return side as trees with some loops each, and loads of 3 kW between two places of them.

    `near` makes each load's return that of its own place: such a network comes apart more easily, and for scipy too.
    """
    dice = random.Random(seed)
    branches: list[Branch] = []
    for side in "sr":
        pairs = [(i, dice.randrange(max(0, i // 4 - 2), max(1, i // 3))) for i in range(1, HALF)]
        pairs += [(one, (one + dice.randrange(1, 30)) % HALF) for one in dice.sample(range(HALF), loops)]
        for i, j in pairs:
            ohm = 10 ** dice.uniform(-4, -1) if max(i, j) > 60 else 10 ** dice.uniform(-4, -3)
            branches.append(Branch(key=f"b{len(branches)}", ends=(f"{side}{i}", f"{side}{j}"), ohm=ohm))
    batteries = [
        Supply(key=f"battery {at}", ends=(f"s{at}", f"r{at}"), emf=emf, ohm=ohm, charge=10.0)
        for at, (emf, ohm) in BATTERIES.items()
    ]
    draws = tuple(
        Draw(
            key=f"d{i}",
            ends=(f"s{first}", f"r{first if near else second}"),
            watts=dice.uniform(2, 10) * 500 / loads,
            rated=13.8,
            exponent=(0.0, 1.0, 2.0)[i % 3],
        )
        for i, (first, second) in enumerate((dice.randrange(HALF), dice.randrange(HALF)) for _ in range(loads))
    )
    return Circuit(branches=tuple(branches), supplies=(*batteries, ALTERNATOR), draws=draws)


def scenario(circuit: Circuit, share: float, engine: bool) -> Circuit:
    """Return the circuit with a share of its loads, and without its alternator where the engine is off."""
    supplies = circuit.supplies if engine else tuple(one for one in circuit.supplies if one is not ALTERNATOR)
    draws = tuple(replace(draw, watts=share * draw.watts) for draw in circuit.draws)
    return replace(circuit, supplies=supplies, draws=draws)


def prospective(circuit: Circuit) -> dict[str, list[float]]:
    """Return per battery the current in A into a short circuit from each point of the supply side to its negative post.

    The path out has the effective resistance from the battery's post to the point, over all ways at once.
    """
    found = {}
    for supply in circuit.supplies:
        if supply is ALTERNATOR:
            continue
        rows: list[dict[int, float]] = [{i: 0.0} for i in range(HALF)]
        post = int(supply.ends[0][1:])
        for branch in circuit.branches:
            if branch.ends[0][0] == "s":
                first, second = (int(at[1:]) for at in branch.ends)
                conduct(rows, None if first == post else first, None if second == post else second, 1.0 / branch.ohm)
        rows[post][post] = 1.0 / supply.ohm
        inverse = factor(rows).inverse()
        found[supply.key] = [supply.emf / (supply.ohm + (0.0 if at == post else inverse[at][at])) for at in range(HALF)]
    return found


def matrix(circuit: Circuit) -> tuple[csc_matrix, Array]:
    """Return the nodal matrix against the first return point, supplies behind their resistance and loads as resistances."""
    number = {f"{side}{i}": place * HALF + i - 1 for place, side in enumerate("rs") for i in range(HALF)}
    parts = [(one.ends, 1.0 / one.ohm) for one in circuit.branches]
    parts += [(one.ends, 1.0 / one.ohm) for one in circuit.supplies]
    parts += [(one.ends, one.watts / one.rated**2) for one in circuit.draws]
    entries = []
    for ends, siemens in parts:
        first, second = (number[at] for at in ends)
        entries += [(first, first, siemens), (second, second, siemens)]
        entries += [(first, second, -siemens), (second, first, -siemens)]
    rows, columns, values = zip(*(entry for entry in entries if min(entry[:2]) >= 0), strict=True)
    size = 2 * HALF - 1
    made = coo_matrix((values, (rows, columns)), shape=(size, size))
    right = np.zeros(size)
    for supply in circuit.supplies:
        for at, sign in zip(supply.ends, (1.0, -1.0), strict=True):
            if number[at] >= 0:
                right[number[at]] += sign * supply.emf / supply.ohm
    return made.tocsc(), right


def seconds(work: Callable[[], object]) -> float:
    """Return the processor time in s that a piece of work takes."""
    start = time.process_time()
    work()
    return time.process_time() - start


def main(rounds: int = 9) -> None:
    """Run the benchmark on several kinds of network."""
    for near, loads, loops in ((False, 500, 40), (True, 500, 40), (True, 300, 10), (True, 900, 10), (True, 300, 120)):
        places = "the same places of both sides" if near else "any two places"
        print(f"{loads} loads between {places}, {loops} loops on each side:")
        measure(network(near, loads, loops), rounds)


def measure(circuit: Circuit, rounds: int) -> None:
    """Print the times for a network, and the ratios of all of them to one solve by scipy."""
    cases = {name: scenario(circuit, *how) for name, how in SCENARIOS.items()}
    ready = matrix(circuit)
    works: dict[str, Callable[[], object]] = {
        **{name: partial(solve_circuit, case) for name, case in cases.items()},
        "short circuits": partial(prospective, circuit),
        "scipy": partial(spsolve, *ready),
        "scipy with building": lambda: spsolve(*matrix(circuit)),
    }
    agree(circuit, ready)
    measured = [{name: seconds(work) for name, work in works.items()} for _ in range(rounds)]
    for name in works:
        print(f"{name:20} {1000 * median(one[name] for one in measured):7.1f} ms")
    ours = [sum(one[name] for name in (*cases, "short circuits")) for one in measured]
    for name in ("scipy", "scipy with building"):
        ratios = [mine / one[name] for mine, one in zip(ours, measured, strict=True)]
        print(f"all against {name}: {median(ratios):.1f} times (median of {rounds} rounds, {min(ratios):.1f} at best)")


def agree(circuit: Circuit, ready: tuple[csc_matrix, Array]) -> None:
    """Print by how much the solver and scipy differ where both solve the same: plain sources, all loads resistances."""
    plain = tuple(replace(one, limit=math.inf, charge=None) for one in circuit.supplies)
    draws = tuple(replace(draw, exponent=2.0) for draw in circuit.draws)
    solved = solve_circuit(replace(circuit, supplies=plain, draws=draws))
    volts = [0.0, *spsolve(*ready)]
    every = [f"{side}{i}" for side in "rs" for i in range(HALF)]
    worst = max(abs(solved.volts[at] - solved.volts["r0"] - v) for at, v in zip(every, volts, strict=True))
    print(f"largest difference from scipy as a linear network: {worst:.1e} V")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
