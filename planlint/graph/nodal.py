"""Solves the circuit of a plan by nodal analysis: what every load gets, and whether the supply bears it at all."""

from __future__ import annotations

import math
from collections.abc import Mapping

from planlint.frozen import frozen
from planlint.graph.circuit import Circuit, Draw, Grid
from planlint.graph.link import Vertex
from planlint.graph.piecewise import Mode, first_modes, next_modes, stamp_of
from planlint.graph.system import Point, System, Tangent

# Newton's steps double the digits that are right: a load voltage that moves by less than this share has settled.
_SETTLED = 1e-10
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
    where there is none, ValueError for a negative resistance, a supply without any, or a load that gives.
    """
    solver = _Solver(circuit)
    on, off = solver.live, list[Draw]()
    while True:
        point = solver.operate(on)
        if isinstance(point, Point):
            falling = _below(on, point)
            if not falling:
                break
        else:
            falling = [draw for draw in point.draws if draw.lowest > 0]
            if not falling:
                raise CollapseError(tuple(draw.key for draw in point.draws))
        off.append(falling[0])
        on = [draw for draw in on if draw is not falling[0]]
    for draw in tuple(off):
        # Without those that let go later it may do after all.
        again = solver.operate([*on, draw])
        if isinstance(again, Point) and not _below([*on, draw], again):
            point, on = again, [*on, draw]
            off.remove(draw)
    return solver.told(point, on, off)


def _below(draws: list[Draw], point: Point) -> list[Draw]:
    """Return the loads below their lowest voltage, the one that is lowest for it first."""
    able = (draw for draw in draws if draw.lowest > 0)
    below = [draw for draw in able if point.across(draw.ends) < draw.lowest * (1 - _SETTLED)]
    return sorted(below, key=lambda draw: (point.across(draw.ends) / draw.lowest, draw.key))


@frozen
class _Fall:
    """No operating point; these loads' voltages fall, lowest first."""

    draws: list[Draw]


class _Solver:
    """Finds the potentials of a circuit with some of its loads on."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._grid = Grid(circuit)
        self.live = self._grid.live

    def operate(self, draws: list[Draw]) -> Point | _Fall:
        """Return the potentials with these loads on, or how they fall.

        Where Newton's method does not reach the whole loads at one go they grow in steps, so that it follows the
        operating point; what cannot be passed by the finest step is the greatest power.
        """
        bent = [draw for draw in draws if not draw.straight]
        system = System(self._grid, [draw for draw in draws if draw.straight])
        rest = system.begin(first_modes(self._circuit.supplies))
        idle = [(draw, 0.0, 0.0) for draw in bent]
        done = self._settled(system, idle, rest)
        done = system.solved(idle, done, done.modes) or done
        if turned := _turned(draws, system.whole(done)):
            return turned
        share, step = 0.0, 1.0
        while share < 1.0:
            aim = min(1.0, share + step)
            found = self._newton(system, bent, aim, done)
            if isinstance(found, Point):
                done, share, step = found, aim, 2 * step
            elif step <= _FINEST_STEP:
                return found
            else:
                step /= 4
        point = system.whole(done)
        return _turned(draws, point) or point

    def _newton(self, system: System, bent: list[Draw], share: float, start: Point) -> Point | _Fall:
        """Return the solution that Newton's method reaches with a share of the loads, or how it fails.

        It fails where it meets a voltage of 0, or a singular Jacobian on the way there, or stops closing in, or comes
        back to stretches of the supplies that it had left.
        """
        point, closing = start, math.inf
        volts = [point.across(draw.ends) for draw in bent]
        been = {point.modes}
        while bent:
            tangents = [_tangent(draw, share, v) for draw, v in zip(bent, volts, strict=True)]
            found = system.solved(tangents, point, point.modes)
            if found is None or self._wanted(found) != found.modes:
                # The currents as they are now decide on which stretch each supply works.
                here = self._settled(system, _held(tangents, volts), point)
                found = system.solved(tangents, point, here.modes)
            if found is None:
                return _fall(bent, point)
            new = [found.across(draw.ends) for draw in bent]
            moved = found.modes != point.modes
            change = max(abs(v - before) / before for v, before in zip(new, volts, strict=True))
            closes = moved or change < (0.9 if system.exact else 0.2) * closing
            if min(new) <= 0 or (moved and found.modes in been) or not closes:
                if system.exact:
                    return _fall(bent, found)
                # Not the loads but the elimination of an earlier step may be at fault.
                system.forget()
                continue
            point, volts = found, new
            if change <= _SETTLED and self._wanted(point) == point.modes:
                break
            been.add(point.modes)
            closing = math.inf if moved else change
        return point

    def _wanted(self, point: Point, *, careful: bool = False) -> tuple[Mode, ...]:
        return next_modes(self._circuit.supplies, point.modes, point.across, careful=careful)

    def _settled(self, system: System, tangents: list[Tangent], start: Point) -> Point:
        """Return the potentials, each supply on the stretch asked for, where no load takes less at more voltage.

        Once the modes have come round they change one at a time, which comes to an end; what comes round even then
        differs by rounding alone.
        """
        seen: set[tuple[bool, tuple[Mode, ...]]] = set()
        careful, modes = False, start.modes
        while True:
            point = system.solved(tangents, start, modes)
            assert point, "conductances alone are always positive definite"
            careful = careful or (False, modes) in seen
            wanted = self._wanted(point, careful=careful)
            if wanted == modes or (careful, modes) in seen:
                return point
            seen.add((careful, modes))
            modes = wanted

    def told(self, point: Point, on: list[Draw], off: list[Draw]) -> Solution:
        """Return the solution as it is told."""
        circuit, grid = self._circuit, self._grid
        running, live = {draw.key for draw in on}, {draw.key for draw in self.live}
        return Solution(
            volts={at: point.at(at) for at in grid.place},
            islands={at: grid.islands[to] for at, to in grid.place.items()},
            current={branch.key: point.across(branch.ends) / branch.ohm for branch in grid.resistances},
            given={
                supply.key: stamp_of(supply, mode).current(point.across(supply.ends))
                for supply, mode in zip(circuit.supplies, point.modes, strict=True)
            },
            taken={
                draw.key: draw.current(point.across(draw.ends)) if draw.key in running else 0.0
                for draw in circuit.draws
            },
            off=tuple(draw.key for draw in off),
            dead=tuple(draw.key for draw in circuit.draws if draw.watts > 0 and draw.key not in live),
            floating=tuple(sorted(at for at, to in grid.place.items() if grid.islands[to] not in grid.fed)),
        )


def _tangent(draw: Draw, share: float, volts: float) -> Tangent:
    """Return the tangent to a share of a load's current at a voltage."""
    current, slope = share * draw.current(volts), share * draw.slope(volts)
    return draw, current - slope * volts, slope


def _held(tangents: list[Tangent], volts: list[float]) -> list[Tangent]:
    """Return loads that take less at more voltage as the constant currents that they take at these voltages."""
    return [
        (draw, amps, slope) if slope > 0 else (draw, amps + slope * v, 0.0)
        for (draw, amps, slope), v in zip(tangents, volts, strict=True)
    ]


def _turned(draws: list[Draw], point: Point) -> _Fall | None:
    """Return how the loads fall where one is left without voltage: only a resistance takes then what it can get."""
    steady = [draw for draw in draws if draw.exponent != 2.0]
    return _fall(steady, point) if any(point.across(draw.ends) <= 0 for draw in steady) else None


def _fall(draws: list[Draw], point: Point) -> _Fall:
    """Return how the loads fall: first the one that is lowest for its lowest or else its rated voltage."""
    return _Fall(
        draws=sorted(draws, key=lambda draw: (point.across(draw.ends) / (draw.lowest or draw.rated), draw.key))
    )
