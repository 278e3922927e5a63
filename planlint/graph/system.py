"""The equations of a circuit with some of its loads on, and the eliminations of them that serve more than once."""

from __future__ import annotations

from collections.abc import Mapping

from planlint.frozen import frozen
from planlint.graph.circuit import Draw, Equations, Grid, conduct, inject
from planlint.graph.factor import Factor, NotDefiniteError, factor
from planlint.graph.link import Vertex
from planlint.graph.piecewise import Mode, stamp_of

# An elimination serves while every load's conductance is within this share of what it was made with: a step taken with it
# still gains a digit or so, at a fifth of the cost.
_ALIKE = 0.2


@frozen
class Point:
    """Potentials by unknown, of the core or of all, and the modes of the supplies they were found with.

    `row` is the number of each vertex's unknown, None for a reference or one that floats.
    """

    row: Mapping[Vertex, int | None]
    found: list[float]
    modes: tuple[Mode, ...]

    def at(self, vertex: Vertex) -> float:
        """Return the potential of a vertex in V."""
        row = self.row[vertex]
        return 0.0 if row is None else self.found[row]

    def across(self, ends: tuple[Vertex, Vertex]) -> float:
        """Return the voltage in V from the first of two vertices to the second."""
        return self.at(ends[0]) - self.at(ends[1])


# A load as the equations see it: the current in A that it takes at no voltage, and its conductance in S.
Tangent = tuple[Draw, float, float]


@frozen
class _Made:
    """An elimination of all but the unknowns at supplies, and the conductances of the loads that it was made with."""

    siemens: list[float]
    factor: Factor

    def near(self, siemens: list[float]) -> bool:
        """Say whether the loads' conductances are about those that it was made with."""
        return all(abs(now - then) <= _ALIKE * abs(then) for now, then in zip(siemens, self.siemens, strict=True))


class System:
    """Solves for the potentials while the supplies' modes and the tangents of loads that are not linear change.

    What is straight is eliminated once; what is left to solve is the core. `exact` says whether the last solution came of an
    elimination with the very conductances of the loads.
    """

    def __init__(self, grid: Grid, linear: list[Draw]) -> None:
        self._grid = grid
        whole, first = grid.equations(linear), grid.size - grid.core
        self._straight, self._reduced = factor(whole.rows(), range(grid.size), grid.core), whole.right
        self._straight.reduce(self._reduced)
        rest = self._straight.rest
        ground = [row.pop(one) for one, row in rest.items()]
        links = [(one - first, other - first, more) for one, row in rest.items() for other, more in row.items()]
        self._base = Equations(links=links, ground=ground, right=self._reduced[first:])
        self._row = {at: None if i is None else i - first for at, i in grid.row.items() if i is None or i >= first}
        self._made: list[_Made] = []
        self.exact = True

    def begin(self, modes: tuple[Mode, ...]) -> Point:
        """Return the core without any voltage."""
        return Point(row=self._row, found=[0.0] * self._grid.core, modes=modes)

    def whole(self, core: Point) -> Point:
        """Return the potentials of all unknowns by those of the core."""
        found = self._straight.extend(self._reduced, core.found)
        return Point(row=self._grid.row, found=found, modes=core.modes)

    def forget(self) -> None:
        """Make the next elimination anew."""
        # The first of all is that without loads, which decides on the stretches again and again.
        self._made = self._made[:1]

    def solved(self, tangents: list[Tangent], start: Point, modes: tuple[Mode, ...]) -> Point | None:
        """Return the potentials with supplies in these modes, None where the equations are not positive definite.

        Solves for how far they are from those of `start`, by the currents that do not add up there: a supply that holds its
        voltage counts in millions of A, and as a difference the currents of the loads are not lost beside it. An elimination
        of an earlier step therefore changes how far a step goes, never what is right.
        """
        row = self._row
        right = self._base.missing(start.found)
        for supply, mode in zip(self._grid.circuit.supplies, modes, strict=True):
            amps = stamp_of(supply, mode).current(start.across(supply.ends))
            inject(right, row[supply.ends[0]], row[supply.ends[1]], amps)
        for draw, amps, siemens in tangents:
            inject(right, row[draw.ends[0]], row[draw.ends[1]], -amps - siemens * start.across(draw.ends))
        try:
            moved = self._factor(tangents, modes).solve(right)
        except NotDefiniteError:
            if self.exact:
                return None
            self.forget()
            return self.solved(tangents, start, modes)
        found = [volts + more for volts, more in zip(start.found, moved, strict=True)]
        return Point(row=self._row, found=found, modes=modes)

    def _factor(self, tangents: list[Tangent], modes: tuple[Mode, ...]) -> Factor:
        """Return the elimination of the equations, or that of an earlier step where the loads have hardly changed.

        The unknowns at supplies come last: where only modes have changed all others are eliminated already.
        """
        siemens = [more for _, _, more in tangents]
        made = next((one for one in self._made if one.near(siemens)), None)
        self.exact = made is None or made.siemens == siemens
        row = self._row
        if made is None:
            rows = self._base.rows()
            for draw, _, more in tangents:
                conduct(rows, row[draw.ends[0]], row[draw.ends[1]], more)
            made = _Made(siemens=siemens, factor=factor(rows, range(len(rows)), self._grid.at_supplies))
            self.forget()
            self._made.append(made)
        rest = {one: dict(beyond) for one, beyond in made.factor.rest.items()}
        for supply, mode in zip(self._grid.circuit.supplies, modes, strict=True):
            conduct(rest, row[supply.ends[0]], row[supply.ends[1]], stamp_of(supply, mode).siemens)
        return made.factor.closed(rest)
