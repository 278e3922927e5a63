"""Random circuits as a vehicle has them, and an independent solver of them: ngspice."""

from __future__ import annotations

import random
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import numpy as np
from dense import REFERENCE, Dense

from planlint.graph.circuit import Branch, Circuit, Draw
from planlint.graph.piecewise import HELD_OHM, Supply

NGSPICE = shutil.which("ngspice")


# --- Circuits


def random_circuit(seed: int, size: int, load: float = 0.5, kinds: tuple[float, ...] = (0.0, 1.0, 2.0)) -> Circuit:
    """A supply side and a return side with loops, one to four sources, loads of these kinds at any two places.

    Branches have 0.1 mohm to 1 ohm. `load` is the share of E2/4 that the loads' power times the resistances between them
    comes to at the worst place: below 1 there is a solution (the drop never exceeds half the voltage).
    """
    dice = random.Random(seed)
    half = max(2, size // 2)
    branches: list[Branch] = []
    for side in "sr":
        pairs = [(i, dice.randrange(i)) for i in range(1, half)]
        pairs += [(dice.randrange(half), dice.randrange(half)) for _ in range(dice.randrange(1 + half // 3))]
        for i, j in pairs:
            ohm = 10 ** dice.uniform(-4, 0)
            branches.append(Branch(key=f"b{len(branches)}", ends=(f"{side}{i}", f"{side}{j}"), ohm=ohm))
    places = [0, *dice.sample(range(1, half), min(half - 1, dice.randrange(4)))]
    supplies = tuple(
        Supply(key=f"e{i}", ends=(f"s{i}", f"r{i}"), emf=dice.uniform(12.0, 14.4), ohm=dice.uniform(2e-3, 2e-2))
        for i in places
    )
    draws = []
    for i in range(max(len(kinds), half // 2)):
        ends = (f"s{dice.randrange(half)}", f"r{dice.randrange(half)}")
        kind = kinds[i % len(kinds)]
        if kind == 2.0 and dice.random() < 0.3:
            # A resistance may lie between any two places, also on one side.
            ends = (f"s{dice.randrange(half)}", f"s{dice.randrange(half)}")
        draws.append(Draw(key=f"d{i}", ends=ends, watts=dice.uniform(0.2, 1.8), rated=13.8, exponent=kind))
    circuit = Circuit(branches=tuple(branches), supplies=supplies, draws=tuple(draws))
    crossing = replace(circuit, draws=tuple(draw for draw in draws if draw.ends[1][0] == "r"))
    most = float(np.max(Dense(crossing).seen() @ np.array([draw.watts for draw in crossing.draws])))
    return scaled(circuit, load * 12.0**2 / 4 / most)


def cornered(seed: int, size: int, kinds: tuple[float, ...]) -> Circuit:
    """A random circuit whose one to three supplies have corners: batteries, alternators, a converter at its limit."""
    dice = random.Random(seed)
    circuit = random_circuit(seed, size, dice.choice((0.05, 0.1, 0.2, 0.4, 0.7)), kinds)
    supplies = []
    for i, supply in enumerate(circuit.supplies[:3]):
        kind = dice.randrange(3) if i else 0
        if kind == 0:
            supplies.append(replace(supply, emf=dice.uniform(12.0, 12.8), charge=dice.uniform(0, 20)))
        elif kind == 1:
            limit = dice.uniform(5, 120)
            supplies.append(replace(supply, emf=dice.uniform(13.8, 14.6), charge=0.0, limit=limit))
        else:
            supplies.append(replace(supply, limit=dice.uniform(5, 120)))
    return replace(circuit, supplies=tuple(supplies))


def scaled(circuit: Circuit, share: float, kinds: tuple[float, ...] = (0.0, 0.5, 1.0, 1.5, 2.0)) -> Circuit:
    """The circuit with all loads of these kinds times a share."""
    draws = (replace(draw, watts=share * draw.watts) if draw.exponent in kinds else draw for draw in circuit.draws)
    return replace(circuit, draws=tuple(draws))


# --- ngspice


class NotConvergedError(Exception):
    """ngspice came to no operating point."""


def by_ngspice(circuit: Circuit, folder: Path) -> dict[str, float]:
    """The potentials by ngspice's operating point, begun at open circuit; loads of constant power are clamped at 1 V."""
    lines = ["* circuit"]
    name = {REFERENCE: "0"}
    for branch in circuit.branches:
        first, second = (name.get(at, at) for at in branch.ends)
        if first != second:
            lines.append(f"R{branch.key} {first} {second} {branch.ohm!r}")
    for supply in circuit.supplies:
        lines += _netlist_of(supply, *(name.get(at, at) for at in supply.ends))
    for draw in circuit.draws:
        first, second = (name.get(at, at) for at in draw.ends)
        if first != second:
            amps = f"{draw.watts / draw.rated!r} * (max(V({first},{second}), 1) / {draw.rated!r})^{draw.exponent - 1!r}"
            if draw.exponent == 2.0:
                lines.append(f"R{draw.key} {first} {second} {draw.rated**2 / draw.watts!r}")
            else:
                lines.append(f"B{draw.key} {first} {second} I = {amps}")
    pairs = [one.ends for one in circuit.branches] + [one.ends for one in circuit.supplies]
    every = sorted({at for ends in pairs for at in ends} - {REFERENCE})
    high = max((supply.emf for supply in circuit.supplies), default=0.0)
    lines += [f".nodeset V({at})={high if at.startswith('s') else 0.0!r}" for at in every]
    lines += [".option reltol=1e-10 vntol=1e-10 abstol=1e-10 gmin=1e-15 itl1=2000", ".control", "op", "set numdgt=16"]
    lines += ["set width=4000", *(f"print v({at})" for at in every), ".endc", ".end"]
    file = folder / "circuit.cir"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert NGSPICE
    run = subprocess.run([NGSPICE, "-b", str(file)], capture_output=True, text=True, check=False, timeout=120)
    found = {REFERENCE: 0.0}
    for line in run.stdout.splitlines():
        if line.startswith("v(") and " = " in line:
            left, right = line.split(" = ")
            found[left[2:-1]] = float(right)
    if len(found) != len(every) + 1:
        raise NotConvergedError(run.stdout[-2000:] + run.stderr[-2000:])
    return found


def _netlist_of(supply: Supply, first: str, second: str) -> list[str]:
    """A source behind a resistance; with corners a source of current whose value is its whole characteristic."""
    if supply.charge is None and supply.limit == np.inf:
        source = f"V{supply.key} i_{supply.key} {second} {supply.emf!r}"
        return [source, f"R{supply.key} i_{supply.key} {first} {supply.ohm!r}"]
    below = f"({supply.emf!r} - V({first},{second}))"
    amps = f"{below} * {1 / supply.ohm!r}"
    if supply.charge is not None:
        amps = f"max({-supply.charge!r}, min({amps}, {below} * {1 / HELD_OHM!r}))"
    if supply.limit != np.inf:
        amps = f"min({supply.limit!r}, {amps})"
    return [f"B{supply.key} {second} {first} I = {amps}"]
