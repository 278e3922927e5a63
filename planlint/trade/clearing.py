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
        return self.lasts and (self.withstands.verified or not math.isinf(self.opens))

    @property
    def lasts(self) -> bool:
        """Whether the wire lasts until the fuse opens, hours of withstanding that nobody verified counted as enough."""
        return self.opens <= self.withstands.seconds

    @property
    def lateness(self) -> tuple[bool, bool, float]:
        """How badly the fuse does: whether it is late, then whether it may be, then by how much."""
        seconds = self.withstands.seconds
        share = 0.0 if math.isinf(seconds) else self.opens / seconds if seconds else math.inf
        return not self.lasts, not self.clears, share


def worst_clearing(
    band: Band, wire: WireHeat, low_a: float, high_a: float, *, before_a: float = 0.0, share: float = 1.0
) -> Clearing:
    """Return a fuse against a wire at the worst current between two in A, after `before_a` of long standing.

    Through the fuse flows `share` of the current in the wire. A bolted short is judged between the currents at the wire's
    ends, a soft one from its ampacity up.
    """
    low, high = min(low_a, high_a), max(low_a, high_a)
    found = [
        Clearing(
            current=amps / share,
            opens=opens,
            withstands=withstand(wire, amps / share, before_a),
        )
        for amps, opens in worst_openings(band, low * share, high * share)
    ]
    return max(found, key=lambda one: one.lateness)
