"""Solves the circuit of a plan by nodal analysis: what every load gets, and whether the supply bears it at all."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from planlint.frozen import frozen
from planlint.graph.circuit import Circuit, Draw, Equations, Grid, conduct, inject
from planlint.graph.factor import NotDefiniteError, factor
from planlint.graph.link import Vertex
from planlint.graph.piecewise import Mode, first_modes, next_modes, stamp_of

# Newton's steps double the digits that are right: a load voltage that moves by less than this share has settled.
_SETTLED = 1e-12
# A solution that a circuit loaded this much less still has, and the whole circuit not, is beyond its greatest power.
_FINEST_STEP = 1e-4


@frozen
class Solution:
    """The potentials of vertices in V, each island's against its own reference; `islands` says which island each is in.

    `current` is that of every branch in A from its first end to its second (none for branches of 0 ohm), `given` that of
    every supply out of its positive end, `taken` that of every load; `off` are loads below their lowest voltage,
    `dead` those through which no current can flow, `floating` the vertices that no supply is joined to.
    """

    volts: Mapping[Vertex, float]
    islands: Mapping[Vertex, int]
    current: Mapping[str, float]
    given: Mapping[str, float]
    taken: Mapping[str, float]
    off: tuple[str, ...]
    dead: tuple[str, ...]
    floating: tuple[Vertex, ...]

    def across(self, ends: tuple[Vertex, Vertex]) -> float:
        """Return the voltage in V from the first of two vertices of one island to the second."""
        return self.volts[ends[0]] - self.volts[ends[1]]


class CollapseError(Exception):
    """The loads ask for more than the supply can give; `draws` are those at which the voltage falls, lowest first."""

    def __init__(self, draws: tuple[str, ...]) -> None:
        super().__init__(", ".join(draws))
        self.draws = draws


def solve_circuit(circuit: Circuit) -> Solution:
    """Return the operating point of a circuit that is reached from rest.

    Kirchhoff's laws as nodal equations, loads by Newton's method from their open-circuit voltages. Raises CollapseError
    where there is none, ValueError for a negative resistance or a supply without any.
    """
    solver = _Solver(circuit)
    off: list[str] = []
    while True:
        on = [draw for draw in solver.live if draw.key not in off]
        point = solver.operate(on)
        if isinstance(point, CollapseError):
            tripped = _first_below(solver.live, off, point.draws)
            if tripped is None:
                raise point
            off.append(tripped)
            continue
        below = [draw for draw in on if point.across(draw.ends) < draw.lowest * (1 - _SETTLED)]
        if not below:
            return solver.told(point, on, tuple(off))
        off.append(min(below, key=lambda draw: (point.across(draw.ends) / draw.lowest, draw.key)).key)


def _first_below(live: list[Draw], off: list[str], falling: tuple[str, ...]) -> str | None:
    """Return the load that lets go first where the voltage collapses: of those with a lowest voltage the one lowest."""
    may = {draw.key for draw in live if draw.lowest > 0 and draw.key not in off}
    return next((key for key in falling if key in may), None)


@frozen
class _Point:
    """Potentials by vertex while the circuit is being solved, and the modes of the supplies that they were found with."""

    volts: Mapping[Vertex, float]
    modes: tuple[Mode, ...]

    def across(self, ends: tuple[Vertex, Vertex]) -> float:
        return self.volts[ends[0]] - self.volts[ends[1]]


# A load as the equations see it: the current in A that it takes at no voltage, and its conductance in S.
_Tangent = tuple[Draw, float, float]


class _Solver:
    """Finds the potentials of a circuit with some of its loads on."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._grid = Grid(circuit)
        self.live = [draw for draw in circuit.draws if self._grid.is_live(draw)]

    def operate(self, draws: list[Draw]) -> _Point | CollapseError:
        """Return the potentials with these loads on, or how they collapse."""
        bent = [draw for draw in draws if draw.exponent not in (1.0, 2.0)]
        base = self._grid.equations([draw for draw in draws if draw.exponent in (1.0, 2.0)])
        done = self._settled(base, [], first_modes(self._circuit.supplies))
        if low := [draw for draw in draws if done.across(draw.ends) <= 0]:
            return _collapse(low, [done.across(draw.ends) for draw in low])
        share, step = 0.0, 1.0
        while share < 1.0:
            aim = min(1.0, share + step)
            found = self._newton(base, [replace(draw, watts=aim * draw.watts) for draw in bent], done)
            if isinstance(found, _Point):
                done, share, step = found, aim, 2 * step
            elif step <= _FINEST_STEP:
                return found
            else:
                step /= 4
        return done

    def _newton(self, base: Equations, bent: list[Draw], start: _Point) -> _Point | CollapseError:
        """Return the solution that Newton's method reaches from potentials of lesser loads, or how it fails.

        It fails where it meets a voltage of 0, or a singular Jacobian on the way there, or stops closing in.
        """
        point = start
        volts = [point.across(draw.ends) for draw in bent]
        closing = math.inf
        while bent:
            tangents = [
                (draw, draw.current(v) - draw.slope(v) * v, draw.slope(v)) for draw, v in zip(bent, volts, strict=True)
            ]
            found = self._solved(base, tangents, point.modes)
            if found and self._wanted(found) != found.modes:
                # The currents as they are now decide on which stretch each supply works.
                here = self._settled(
                    base, [(draw, draw.current(v), 0.0) for draw, v in zip(bent, volts, strict=True)], found.modes
                )
                found = self._solved(base, tangents, here.modes)
            if found is None:
                return _collapse(bent, volts)
            new = [found.across(draw.ends) for draw in bent]
            if any(v <= 0 for v in new):
                return _collapse(bent, new)
            change = max(abs(v - before) / before for v, before in zip(new, volts, strict=True))
            moved, point, volts = found.modes != point.modes, found, new
            if change <= _SETTLED and self._wanted(point) == point.modes:
                break
            if change > 0.9 * closing and not moved:
                return _collapse(bent, new)
            closing = change
        return point

    def _wanted(self, point: _Point, *, careful: bool = False) -> tuple[Mode, ...]:
        return next_modes(self._circuit.supplies, point.modes, point.across, careful=careful)

    def _settled(self, base: Equations, tangents: list[_Tangent], modes: tuple[Mode, ...]) -> _Point:
        """Return the potentials where the loads take constant currents, each supply on the stretch that they ask for."""
        seen: set[tuple[Mode, ...]] = set()
        while True:
            point = self._solved(base, tangents, modes)
            assert point, "conductances alone are always positive definite"
            wanted = self._wanted(point, careful=modes in seen)
            if wanted == modes:
                return point
            seen.add(modes)
            modes = wanted

    def _solved(self, base: Equations, tangents: list[_Tangent], modes: tuple[Mode, ...]) -> _Point | None:
        """Return the potentials with supplies in these modes, None where the equations are not positive definite."""
        rows, right = [dict(row) for row in base.rows], list(base.right)
        for supply, mode in zip(self._circuit.supplies, modes, strict=True):
            stamp = stamp_of(supply, mode)
            first, second = (self._grid.row(at) for at in stamp.ends)
            conduct(rows, first, second, stamp.siemens)
            inject(right, first, second, stamp.amps)
        for draw, amps, siemens in tangents:
            first, second = (self._grid.row(at) for at in draw.ends)
            conduct(rows, first, second, siemens)
            inject(right, first, second, -amps)
        try:
            found = factor(rows).solve(right)
        except NotDefiniteError:
            return None
        volts = {
            at: found[i] if (i := self._grid.index.get(to)) is not None else 0.0 for at, to in self._grid.place.items()
        }
        return _Point(volts=volts, modes=modes)

    def told(self, point: _Point, on: list[Draw], off: tuple[str, ...]) -> Solution:
        """Return the solution as it is told."""
        circuit = self._circuit
        running = {draw.key: draw for draw in on}
        return Solution(
            volts=point.volts,
            islands={at: self._grid.islands[to] for at, to in self._grid.place.items()},
            current={branch.key: point.across(branch.ends) / branch.ohm for branch in self._grid.resistances},
            given={
                supply.key: stamp_of(supply, mode).current(point.across(supply.ends))
                for supply, mode in zip(circuit.supplies, point.modes, strict=True)
            },
            taken={
                draw.key: draw.current(point.across(draw.ends)) if draw.key in running else 0.0
                for draw in circuit.draws
            },
            off=off,
            dead=tuple(draw.key for draw in circuit.draws if draw.watts > 0 and not self._grid.is_live(draw)),
            floating=tuple(
                sorted(at for at, to in self._grid.place.items() if self._grid.islands[to] not in self._grid.fed)
            ),
        )


def _collapse(bent: list[Draw], volts: list[float]) -> CollapseError:
    falling = sorted(zip(bent, volts, strict=True), key=lambda pair: (pair[1] / pair[0].rated, pair[0].key))
    return CollapseError(tuple(draw.key for draw, _ in falling))
