"""Supplies whose current has corners: a battery that gives or takes, an alternator that gives up to its limit."""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from enum import StrEnum

from planlint.frozen import frozen
from planlint.graph.link import Vertex

# A supply that holds its voltage does so to this many ohm: 0.1 mV at 100 A.
HELD_OHM = 1e-6
# The resistance in ohm behind which a regulated source, of which nothing else is known, holds its voltage.
STIFF_OHM = 1e-3
# One that gives or takes a fixed current still has this conductance in S (12 nA at 12 V): else nothing would say where a
# circuit without any other stands, and in which direction it leaves the stretch.
_LEAK = 1e-9
_SLACK = 1e-9
_ROUNDED = 16 * sys.float_info.epsilon


class Mode(StrEnum):
    """On which stretch of its characteristic a supply works."""

    GIVE = "gives behind its resistance"
    HOLD = "holds its voltage"
    FULL = "gives its limit"
    TAKE = "takes its charge current"


@frozen
class Supply:
    """A supply between two vertices, positive first: `emf` in V behind `ohm`, giving at most `limit` A.

    `charge` is the current in A that it takes at most: once its voltage is above `emf` it takes that current whatever the
    voltage (0: a diode). None lets current in as it lets it out.
    """

    key: str
    ends: tuple[Vertex, Vertex]
    emf: float
    ohm: float
    limit: float = math.inf
    charge: float | None = None

    def most(self, ohm: float) -> float:
        """Return the current in A that it drives through a resistance."""
        return min(self.limit, self.emf / (self.ohm + ohm))


@frozen
class Stamp:
    """A supply as the equations see it: a current in A out of its positive end, and a conductance in S across it."""

    ends: tuple[Vertex, Vertex]
    amps: float
    siemens: float

    def current(self, volts: float) -> float:
        """Return the current in A that it gives at a voltage in V."""
        return self.amps - self.siemens * volts


def stamp_of(supply: Supply, mode: Mode) -> Stamp:
    """Return a supply in a mode as the equations see it."""
    if mode is Mode.FULL:
        return Stamp(ends=supply.ends, amps=supply.limit, siemens=_LEAK)
    if mode is Mode.TAKE:
        return Stamp(ends=supply.ends, amps=-(supply.charge or 0.0), siemens=_LEAK)
    ohm = supply.ohm if mode is Mode.GIVE else min(supply.ohm, HELD_OHM)
    return Stamp(ends=supply.ends, amps=supply.emf / ohm, siemens=1.0 / ohm)


def first_modes(supplies: tuple[Supply, ...]) -> tuple[Mode, ...]:
    """Return the modes to begin with: all give."""
    return tuple(Mode.GIVE for _ in supplies)


def next_modes(
    supplies: tuple[Supply, ...],
    modes: tuple[Mode, ...],
    across: Callable[[tuple[Vertex, Vertex]], float],
    *,
    careful: bool,
) -> tuple[Mode, ...]:
    """Return the modes that the voltages across the supplies ask for; `careful` changes only the first that differs.

    Changing one at a time, always the first, comes to an end (Murty's least-index method for a P-matrix, which the
    conductances of a network are).
    """
    wanted = tuple(_mode(supply, mode, across(supply.ends)) for supply, mode in zip(supplies, modes, strict=True))
    if not careful:
        return wanted
    for place, (mode, asked) in enumerate(zip(modes, wanted, strict=True)):
        if mode != asked:
            return (*modes[:place], asked, *modes[place + 1 :])
    return modes


def _mode(supply: Supply, mode: Mode, volts: float) -> Mode:
    """Return the next stretch of the characteristic toward the voltage found, the same where it lies on this one."""
    stamp = stamp_of(supply, mode)
    given = stamp.current(volts)
    # A held voltage is a difference of large currents: what is lost of them in rounding is no current.
    tiny = max(_SLACK, _ROUNDED * stamp.siemens * abs(volts), _SLACK * abs(given))
    if mode is Mode.GIVE:
        if given > supply.limit + tiny:
            return Mode.FULL
        return Mode.HOLD if supply.charge is not None and given < -tiny else mode
    if mode is Mode.FULL:
        return Mode.GIVE if (supply.emf - volts) / supply.ohm < supply.limit - tiny else mode
    if mode is Mode.HOLD:
        if given > tiny:
            return Mode.GIVE
        return Mode.TAKE if given < -(supply.charge or 0.0) - tiny else mode
    # It takes its charge current only while the voltage is above its own.
    return Mode.HOLD if volts < supply.emf + HELD_OHM * (supply.charge or 0.0) * (1 - _SLACK) else mode
