"""A circuit of resistances, supplies and loads, and its nodal equations."""

from __future__ import annotations

import math
from collections.abc import Iterable

from planlint.frozen import frozen
from planlint.graph.factor import order_with_core
from planlint.graph.link import Vertex
from planlint.graph.piecewise import Supply

Rows = list[dict[int, float]] | dict[int, dict[int, float]]


@frozen
class Branch:
    """A resistance in ohm between two vertices; 0 joins them."""

    key: str
    ends: tuple[Vertex, Vertex]
    ohm: float


@frozen
class Draw:
    """A load between two vertices: it takes `watts` at `rated` V, in proportion to V to the power of `exponent`.

    Exponent 0 is constant power, 1 constant current, 2 a resistance; below `lowest` V it is off.
    """

    key: str
    ends: tuple[Vertex, Vertex]
    watts: float
    rated: float
    exponent: float = 0.0
    lowest: float = 0.0

    @property
    def straight(self) -> bool:
        """Whether the current is a straight line over the voltage: a constant current, or a resistance."""
        return self.exponent in (1.0, 2.0)

    def current(self, volts: float) -> float:
        """Return the current in A at a voltage in V."""
        return float(self.watts / self.rated * (volts / self.rated) ** (self.exponent - 1.0))

    def slope(self, volts: float) -> float:
        """Return by how many A the current grows with each V."""
        return (self.exponent - 1.0) * self.current(volts) / volts


@frozen
class Circuit:
    """Resistances, supplies and loads between vertices."""

    branches: tuple[Branch, ...]
    supplies: tuple[Supply, ...]
    draws: tuple[Draw, ...] = ()


@frozen
class Equations:
    """Conductances in S between unknowns and from each to the reference, and the currents that flow in at each in A."""

    links: list[tuple[int, int, float]]
    ground: list[float]
    right: list[float]

    def rows(self) -> list[dict[int, float]]:
        """Return the conductances by row, free to be changed: the reference under a row's own number."""
        rows = [{one: siemens} for one, siemens in enumerate(self.ground)]
        for one, other, siemens in self.links:
            rows[one][other] = siemens
        return rows

    def missing(self, volts: list[float]) -> list[float]:
        """Return by how many A the currents at each row do not add up at these potentials.

        That of a conductance counts alike at both its ends, so that what is lost to rounding flows through it alone.
        """
        right = [amps - siemens * v for amps, siemens, v in zip(self.right, self.ground, volts, strict=True)]
        for one, other, siemens in self.links:
            amps = siemens * (volts[one] - volts[other])
            right[one] -= amps
            right[other] += amps
        return right


class Grid:
    """The circuit as equations: vertices that are joined without resistance are one, one of each island is the reference."""

    def __init__(self, circuit: Circuit) -> None:
        check(circuit)
        self.circuit = circuit
        self.place = _merged(circuit)
        self.resistances = [branch for branch in circuit.branches if branch.ohm > 0]
        self.islands = self._find_islands()
        references: dict[int, Vertex] = {}
        for supply in circuit.supplies:
            at = self.place[supply.ends[1]]
            references.setdefault(self.islands[at], at)
        self.fed = set(references)
        self.live = [draw for draw in circuit.draws if self._is_live(draw)]
        index, self.core = self._numbered(set(references.values()))
        self.size = len(index)
        # The number of each vertex's unknown, None for a reference or one that floats.
        self.row = {at: index.get(to) for at, to in self.place.items()}
        self.at_supplies = len({self.row[at] for one in circuit.supplies for at in one.ends} - {None})

    def _is_live(self, draw: Draw) -> bool:
        """Say whether current can flow through a load: its ends apart, in one island that has a supply."""
        first, second = (self.place[at] for at in draw.ends)
        return first != second and self.islands[first] == self.islands[second] in self.fed and draw.watts > 0

    def _find_islands(self) -> dict[Vertex, int]:
        joined = [branch.ends for branch in self.resistances] + [supply.ends for supply in self.circuit.supplies]
        found = _united([(self.place[a], self.place[b]) for a, b in joined], self.place.values())
        numbers: dict[Vertex, int] = {}
        return {at: numbers.setdefault(root, len(numbers)) for at, root in found.items()}

    def _numbered(self, references: set[Vertex]) -> tuple[dict[Vertex, int], int]:
        """Return the unknowns numbered in the order in which they are best eliminated, those at supplies last.

        With it how many come last that are the core: those at supplies and at loads that are not straight, and what lies
        amid many of them. All before them is the same whatever these do.
        """
        every = dict.fromkeys(self.place.values())
        unknowns = [at for at in every if self.islands[at] in self.fed and at not in references]
        number = {at: i for i, at in enumerate(unknowns)}
        beside: list[set[int]] = [set() for _ in unknowns]
        parts = [one.ends for one in self.resistances] + [one.ends for one in self.circuit.supplies]
        for ends in [*parts, *(one.ends for one in self.live if one.exponent != 1.0)]:
            first, second = (number.get(self.place[at]) for at in ends)
            if first is not None and second is not None and first != second:
                beside[first].add(second)
                beside[second].add(first)
        bent = [one.ends for one in self.live if not one.straight]
        last, held = (
            {number[self.place[at]] for ends in some for at in ends if self.place[at] in number}
            for some in ([one.ends for one in self.circuit.supplies], bent)
        )
        order, core = order_with_core(beside, held, last)
        return {unknowns[i]: rank for rank, i in enumerate(order)}, core

    def equations(self, linear: list[Draw]) -> Equations:
        """Return the equations of the resistances and of loads that are straight."""
        rows: list[dict[int, float]] = [{i: 0.0} for i in range(self.size)]
        right = [0.0] * len(rows)
        for branch in self.resistances:
            conduct(rows, self.row[branch.ends[0]], self.row[branch.ends[1]], 1.0 / branch.ohm)
        for draw in linear:
            first, second = (self.row[at] for at in draw.ends)
            if draw.exponent == 2.0:
                conduct(rows, first, second, draw.watts / draw.rated**2)
            else:
                inject(right, first, second, -draw.watts / draw.rated)
        ground = [row.pop(one) for one, row in enumerate(rows)]
        links = [(one, other, siemens) for one, row in enumerate(rows) for other, siemens in row.items()]
        return Equations(links=links, ground=ground, right=right)


def conduct(rows: Rows, first: int | None, second: int | None, siemens: float) -> None:
    """Note a conductance between two unknowns in the row of the lower number; None is the reference."""
    if first is None:
        first, second = second, first
    if first is None or first == second:
        return
    if second is None:
        rows[first][first] += siemens
    else:
        low, high = min(first, second), max(first, second)
        rows[low][high] = rows[low].get(high, 0.0) + siemens


def inject(right: list[float], first: int | None, second: int | None, amps: float) -> None:
    """Note a current that flows in at the first unknown and out at the second."""
    if first is not None:
        right[first] += amps
    if second is not None:
        right[second] -= amps


def check(circuit: Circuit) -> None:
    """Raise ValueError naming what no circuit has: a resistance below 0, a supply without any, a load that gives."""
    for branch in circuit.branches:
        if not 0 <= branch.ohm < math.inf:
            raise ValueError(f"{branch.key} has a resistance of {branch.ohm} ohm")
    for supply in circuit.supplies:
        if not 0 < supply.ohm < math.inf:
            raise ValueError(f"{supply.key} has an internal resistance of {supply.ohm} ohm")
        if not (math.isfinite(supply.emf) and supply.limit >= 0 and 0 <= (supply.charge or 0.0) < math.inf):
            raise ValueError(
                f"{supply.key} gives {supply.emf} V, at most {supply.limit} A, and takes {supply.charge} A"
            )
    for draw in circuit.draws:
        if not (0 <= draw.watts < math.inf and 0 < draw.rated < math.inf and math.isfinite(draw.exponent)):
            raise ValueError(f"{draw.key} takes {draw.watts} W at {draw.rated} V, exponent {draw.exponent}")


def _merged(circuit: Circuit) -> dict[Vertex, Vertex]:
    """Return for every vertex the one that stands for all it is joined to without resistance."""
    ends = [one.ends for one in circuit.branches]
    ends += [one.ends for one in circuit.supplies]
    ends += [one.ends for one in circuit.draws]
    return _united(
        [branch.ends for branch in circuit.branches if branch.ohm == 0], [at for pair in ends for at in pair]
    )


def _united(pairs: Iterable[tuple[Vertex, Vertex]], every: Iterable[Vertex]) -> dict[Vertex, Vertex]:
    parent = {at: at for at in every}

    def root(at: Vertex) -> Vertex:
        while parent[at] != at:
            parent[at] = parent[parent[at]]
            at = parent[at]
        return at

    for first, second in pairs:
        parent[root(first)] = root(second)
    return {at: root(at) for at in parent}
