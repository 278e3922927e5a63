"""A second solver of circuits, independent of ours: scipy with dense matrices."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize_scalar, root  # type: ignore[import-untyped]

from planlint.graph.circuit import Circuit
from planlint.graph.piecewise import Supply

REFERENCE = "r0"
Array = npt.NDArray[np.float64]
Ends = tuple[str, str]


class Dense:
    """A circuit of plain sources as dense matrices: `open` volts across its loads, `seen` ohm between them."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        parts = [one.ends for one in circuit.branches] + [one.ends for one in circuit.supplies]
        parts += [one.ends for one in circuit.draws]
        self.names = sorted({at for ends in parts for at in ends} - {REFERENCE})
        self.index = {at: i for i, at in enumerate(self.names)}
        resistances = self.column([branch.ends for branch in circuit.branches])
        self.passive = resistances.T @ np.diag([1 / branch.ohm for branch in circuit.branches]) @ resistances
        self.sources = self.column([supply.ends for supply in circuit.supplies])
        self.ports = self.column([draw.ends for draw in circuit.draws])
        behind = np.array([1 / supply.ohm for supply in circuit.supplies])
        self.matrix = self.passive + self.sources.T @ np.diag(behind) @ self.sources
        self.right = self.sources.T @ (behind * np.array([supply.emf for supply in circuit.supplies]))

    def column(self, every: list[Ends]) -> Array:
        """The incidence of branches: one row each, 1 where it begins and -1 where it ends."""
        made = np.zeros((len(every), len(self.names)))
        for row, ends in enumerate(every):
            for at, sign in zip(ends, (1.0, -1.0), strict=True):
                if at in self.index:
                    made[row, self.index[at]] += sign
        return made

    def seen(self) -> Array:
        """Ohm seen from each load to each other."""
        return np.asarray(self.ports @ np.linalg.solve(self.matrix, self.ports.T))

    def open(self) -> Array:
        """Volts across the loads while none takes anything."""
        return np.asarray(self.ports @ np.linalg.solve(self.matrix, self.right))

    def amps(self, across: Array) -> Array:
        """What the loads take at these volts, and how that changes with them, one row each."""
        draws = self.circuit.draws
        watts, rated = np.array([draw.watts for draw in draws]), np.array([draw.rated for draw in draws])
        kind = np.array([draw.exponent for draw in draws])
        if not draws:
            return np.zeros((2, 0))
        # Where a step of the search runs below nothing a load takes what it takes at 1 mV.
        volts = np.where(kind == 2.0, across, np.maximum(across, 1e-3))
        amps = np.where(kind == 2.0, watts * volts / rated**2, watts / rated * (np.abs(volts) / rated) ** (kind - 1))
        slope = np.where(kind == 2.0, watts / rated**2, (kind - 1) * amps / np.where(volts == 0.0, 1.0, volts))
        return np.array([amps, slope])


def by_scipy(circuit: Circuit) -> dict[str, float]:
    """The potentials by scipy's root finder (Powell's hybrid method) from open circuit."""
    dense = Dense(circuit)

    def rest(volts: Array) -> Array:
        return np.asarray(dense.matrix @ volts - dense.right + dense.ports.T @ dense.amps(dense.ports @ volts)[0])

    def slope(volts: Array) -> Array:
        return np.asarray(dense.matrix + (dense.ports.T * dense.amps(dense.ports @ volts)[1]) @ dense.ports)

    start = np.linalg.solve(dense.matrix, dense.right)
    volts = root(rest, start, jac=slope, method="hybr", tol=1e-13).x
    for _ in range(2):
        # The finder stops at its own idea of rounding; two steps of Newton's bring the last digits.
        volts = volts - np.linalg.solve(slope(volts), rest(volts))
    assert np.max(np.abs(rest(volts))) < 1e-6
    return {REFERENCE: 0.0, **{at: float(volts[i]) for at, i in dense.index.items()}}


# A stretch of a supply by its equation a V + b I = c, and the lowest and highest V and I on it.
Stretch = tuple[float, float, float, tuple[float, float], tuple[float, float]]


def stretches(supply: Supply) -> list[Stretch]:
    """The characteristic of a supply in its straight parts, a held voltage taken as exact."""
    least = -np.inf if supply.charge is None else 0.0
    limit, anything = supply.limit, (-np.inf, np.inf)
    made: list[Stretch] = [(1.0, supply.ohm, supply.emf, anything, (least, limit))]
    if limit < np.inf:
        made.append((0.0, 1.0, limit, (-np.inf, supply.emf - supply.ohm * limit), anything))
    if supply.charge is not None:
        made.append((1.0, 0.0, supply.emf, anything, (-supply.charge, 0.0)))
        made.append((0.0, 1.0, -supply.charge, (supply.emf, np.inf), anything))
    return made


def by_stretches(circuit: Circuit) -> list[dict[str, float]]:
    """All solutions found of a circuit with supplies with corners, highest first: each combination of stretches tried."""
    dense = Dense(circuit)
    solutions = []
    for combination in itertools.product(*(stretches(supply) for supply in circuit.supplies)):
        for share in (1.0, 0.9, 0.75, 0.55):
            found = _on(dense, combination, share)
            if found is not None:
                solutions.append(found)
    solutions.sort(key=lambda volts: -float(np.sum(dense.ports @ volts)))
    return [{REFERENCE: 0.0, **{at: float(volts[i]) for at, i in dense.index.items()}} for volts in solutions]


def _on(dense: Dense, combination: tuple[Stretch, ...], share: float) -> Array | None:
    """The solution with each supply on its stretch that the root finder meets from a share of the highest voltage."""
    size, many = len(dense.names), len(combination)
    a, b, c = (np.array([stretch[i] for stretch in combination], dtype=float) for i in range(3))
    matrix = np.block([[dense.passive, -dense.sources.T], [a[:, None] * dense.sources, np.diag(b)]])
    right = np.concatenate([np.zeros(size), c])
    ports = np.hstack([dense.ports, np.zeros((len(dense.ports), many))])

    def rest(x: Array) -> Array:
        return np.asarray(matrix @ x - right + ports.T @ dense.amps(ports @ x)[0])

    def slope(x: Array) -> Array:
        return np.asarray(matrix + (ports.T * dense.amps(ports @ x)[1]) @ ports)

    high = share * max(supply.emf for supply in dense.circuit.supplies)
    start = np.array([high if at.startswith("s") else 0.0 for at in dense.names] + [0.0] * many)
    x, good = _newton(rest, slope, start)
    across, amps = dense.sources @ x[:size], x[size:]
    inside = all(
        low - 1e-7 <= v <= high + 1e-7 and least - 1e-7 <= i <= most + 1e-7
        for v, i, (_, _, _, (low, high), (least, most)) in zip(across, amps, combination, strict=True)
    )
    positive = all(v > 1e-2 or draw.exponent == 2.0 for v, draw in zip(ports @ x, dense.circuit.draws, strict=True))
    return x[:size] if good and inside and positive else None


def _newton(rest: Callable[[Array], Array], slope: Callable[[Array], Array], x: Array) -> tuple[Array, bool]:
    """A few dozen of Newton's steps, and whether they have come to rest."""
    for _ in range(60):
        try:
            step = np.linalg.solve(slope(x), rest(x))
        except np.linalg.LinAlgError:
            return x, False
        x = x - step
        if np.max(np.abs(step)) < 1e-11:
            return x, True
    return x, False


def greatest_share(circuit: Circuit) -> float:
    """By which share the loads of constant power may grow, all alike, until there is no solution: the tip of the nose.

    Continuation by the voltage of the load that is worst off instead of by the share, so that the curve is followed round
    its tip; plain sources.
    """
    dense = Dense(circuit)
    seen, open_volts = dense.seen(), dense.open()
    constant = np.array([draw.exponent == 0.0 for draw in circuit.draws])
    watts = np.array([draw.watts for draw in circuit.draws])
    worst = int(np.argmax(np.where(constant, seen @ (watts * constant) / np.maximum(open_volts**2, 1e-9), -1.0)))

    def rest(unknowns: Array, volts: float) -> Array:
        across = unknowns.copy()
        across[worst] = volts
        amps = dense.amps(across)[0]
        return np.asarray(across - open_volts + seen @ np.where(constant, unknowns[worst] * amps, amps))

    def share_at(volts: float, start: Array) -> Array:
        return np.asarray(root(rest, start, args=(volts,), tol=1e-13).x)

    unknowns = open_volts.copy()
    unknowns[worst] = 0.0
    best = -np.inf
    for volts in np.linspace(0.999 * open_volts[worst], 0.1 * open_volts[worst], 90):
        start, unknowns = unknowns, share_at(float(volts), unknowns)
        if unknowns[worst] < best:
            break
        best = float(unknowns[worst])
    step = 0.0101 * open_volts[worst]
    tip = minimize_scalar(
        lambda volts: -share_at(volts, start)[worst], bounds=(volts - step, volts + 2.5 * step), method="bounded"
    )
    return -float(tip.fun)
