"""Whether a fuse opens before the wire behind it is spoilt."""

from __future__ import annotations

import math

from planlint.frozen import frozen
from planlint.trade.fuse_curves import Band, worst_openings
from planlint.trade.withstand import WireHeat, Withstand, withstand


@frozen
class Clearing:
    """A fuse against a wire at the current in A at which the wire is worst off: s to open at the slowest, s to withstand."""

    current: float
    opens: float
    withstands: Withstand

    @property
    def clears(self) -> bool:
        """Whether the fuse is sure to be open in time; where it may never open, unverified hours are not enough."""
        return not self.lateness[1]

    @property
    def lasts(self) -> bool:
        """Whether the wire lasts until the fuse opens, hours of withstanding that nobody verified counted as enough."""
        return not self.lateness[0]

    @property
    def lateness(self) -> tuple[bool, bool, float]:
        """How badly the fuse does: whether it is late, then whether it may be, then by how much."""
        return _lateness(self.opens, self.withstands)


def worst_clearing(
    band: Band, wire: WireHeat, low_a: float, high_a: float, *, before_a: float = 0.0, share: float = 1.0
) -> Clearing:
    """Return a fuse against a wire at the worst current between two in A, after `before_a` of long standing.

    Through the fuse flows `share` of the current in the wire. A bolted short is judged between the currents at the wire's
    ends, a soft one from its ampacity up.
    """
    low, high = min(low_a, high_a), max(low_a, high_a)
    worst, most = None, (False, False, -1.0)
    for amps, opens in worst_openings(band, low * share, high * share):
        lasts = withstand(wire, amps / share, before_a)
        lateness = _lateness(opens, lasts)
        if lateness > most:
            worst, most = (amps / share, opens, lasts), lateness
    assert worst, "the highest current is always tried"
    return Clearing(current=worst[0], opens=worst[1], withstands=worst[2])


def _lateness(opens: float, withstands: Withstand) -> tuple[bool, bool, float]:
    seconds = withstands.seconds
    lasts = opens <= seconds
    clears = lasts and (withstands.verified or not math.isinf(opens))
    share = 0.0 if math.isinf(seconds) else opens / seconds if seconds else math.inf
    return not lasts, not clears, share
