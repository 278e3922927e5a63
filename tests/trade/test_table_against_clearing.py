"""Where the trade's fuse table and the opening times of fuses disagree, over a mesh of cables, fuses and short circuits.

The table (with 1.25 times the ampacity) is what `fuse-exceeds-wire` asks, the opening times what
`clear-time-exceeds-insulation` asks, and the current of a short circuit over the rating what `fault-current-too-low` asks.
The table is common practice of the trade, the ampacity 33 CFR 183.425 Table 5, the opening times ISO 8820-3 (blades) and
from memory (the rest).
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "facts"))

from hand import ask, case_of

from planlint.plan.units import gauge_area, gauge_number
from planlint.trade.ampacity import ampacity
from planlint.trade.clearing import Clearing, worst_clearing
from planlint.trade.conductors import resistance_per_m
from planlint.trade.fuse_curves import band_of
from planlint.trade.fuses import families, fuse_resistance, trade_fuse_limit
from planlint.trade.withstand import wire_heat

GAUGES = ("18", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "4/0")
INSULATIONS = (60, 75, 80, 90, 105, 125, 150, 200)
LENGTHS = (0.5, 2.0, 6.0)
SOUND, POOR = (0.002, 0.005, 0.010), (0.020, 0.040, 0.060)
# A battery in use and the joints of the piece before the fuse, in ohm.
BEFORE = 0.006 + 0.0004


@dataclass(frozen=True)
class Point:
    """One fuse before one cable, warm from all it bears at 30 C, and a short circuit along it; `back` in ohm."""

    gauge: str
    insulation: int
    family: str
    rating: float
    length: float
    back: float
    # What the rules find: the largest fuse by the table and by the ampacity, A at the far end, the fuse at its worst.
    table: float
    thermal: float
    far: float
    clearing: Clearing

    @property
    def allowed(self) -> bool:
        """Whether the fuse is right by the table and by 1.25 times the ampacity."""
        return self.rating <= min(self.table, self.thermal)

    @property
    def late(self) -> bool:
        """Whether the cable is spoilt before the fuse is sure to be open."""
        return not self.clearing.lasts

    @property
    def multiple(self) -> float:
        """The current of a short circuit at the far end over the rating."""
        return self.far / self.rating


def point(gauge: str, insulation: int, family: str, rating: float, length: float, back: float) -> Point:
    """A point of the mesh: 12.6 V over battery, fuse, cable (20 C) with its two ends, and the way back."""
    number = gauge_number(gauge)
    assert number is not None
    area = gauge_area(number)
    bears = ampacity(area, insulation, 30.0, "copper")
    near = BEFORE + fuse_resistance(rating, 0.080) + back
    far = 12.6 / (near + resistance_per_m(area, "awg", "copper", 20.0) * length + 0.0004)
    heat = wire_heat(area, "copper", insulation, 30.0, bears)
    return Point(
        *(gauge, insulation, family, rating, length, back),
        table=trade_fuse_limit(area, "copper"),
        thermal=1.25 * bears,
        far=far,
        clearing=worst_clearing(band_of(family, rating), heat, far, 12.6 / near, before_a=bears),
    )


@cache
def mesh(returns: tuple[float, ...]) -> tuple[Point, ...]:
    """All points with these ways back."""
    fuses = [(name, rating) for name, family in families().items() for rating in family.ratings_a]
    crossed = product(GAUGES, INSULATIONS, fuses, LENGTHS, returns)
    return tuple(point(gauge, warm, *fuse, length, back) for gauge, warm, fuse, length, back in crossed)


def allowed_and_late(returns: tuple[float, ...]) -> list[Point]:
    """Right by the table, and yet the cable is spoilt: where the opening times are the stricter."""
    return [one for one in mesh(returns) if one.allowed and one.late]


# --- A sound return


def test_with_a_sound_return_the_table_is_the_stricter() -> None:
    """Up to 10 mohm: dozens of fuses are refused by the table alone for one that its opening time alone refuses."""
    refused_and_in_time = [one for one in mesh(SOUND) if not one.allowed and one.clearing.clears]
    assert len(refused_and_in_time) > 24 * len(allowed_and_late(SOUND))


def test_with_a_sound_return_only_the_largest_fuses_are_late() -> None:
    """From 350 A on even a sound return holds it below twice the rating: there fault-current-too-low is an error."""
    late = allowed_and_late(SOUND)
    assert late
    assert all(one.rating >= 350 and one.multiple < 2 for one in late)


def test_the_table_guards_against_what_a_bolted_short_circuit_does_not_ask() -> None:
    """Refused by the table and in time: what it guards against is a lasting overload, which the fuse would hold."""
    guarded = [one for one in mesh(SOUND) if one.rating > one.table and one.clearing.clears]
    opens_from = [band_of(one.family, one.rating).opens_from for one in guarded]
    # The most the cable may carry for long lies below what is sure to open the fuse in most of them.
    held = sum(amps > one.thermal / 1.25 for amps, one in zip(opens_from, guarded, strict=True))
    assert held > len(guarded) / 2


def test_where_the_ampacity_refuses_what_the_table_allows_the_insulation_is_cool() -> None:
    """Only thick cable with insulation for 90 C or less: the table is made for hotter insulation."""
    refused = [one for one in mesh(SOUND) if one.rating <= one.table and one.rating > one.thermal]
    assert refused
    assert {one.insulation for one in refused} <= {60, 75, 80, 90}
    assert {one.gauge for one in refused} <= {"2", "1", "1/0", "2/0", "4/0"}
    counted = Counter(one.insulation for one in refused)
    assert counted[60] == max(counted.values())


# --- A poor return


def test_with_a_poor_return_fuses_right_by_the_table_are_late_where_too_little_flows() -> None:
    """From 20 mohm on: nearly all below three times the rating, where fault-current-too-low speaks; most below two."""
    late = allowed_and_late(POOR)
    below = Counter(min(int(one.multiple), 3) for one in late)
    assert below[0] + below[1] > below[2] > below[3] > 0
    assert below[3] < 0.05 * len(late)


def test_a_poor_return_makes_more_of_them_late_than_a_sound_one() -> None:
    """What lets the table down is the way back, not the cable."""
    shares = [len(allowed_and_late(returns)) / sum(one.allowed for one in mesh(returns)) for returns in (SOUND, POOR)]
    assert shares[1] > 5 * shares[0]


def test_exceptions_by_family() -> None:
    """Small blades never are late; at twice the rating and more only the families whose band is slow there.

    A maxi blade may take 50 s up to 3.5 times its rating and 7 s up to 6 times, a strip 100 s up to 3 times.
    """
    late = allowed_and_late(POOR) + allowed_and_late(SOUND)
    assert {one.family for one in late}.isdisjoint({"blade", "blade-mini"})
    assert {one.family for one in late if 2 <= one.multiple < 3} == {"blade-maxi", "strip"}
    assert {one.family for one in late if one.multiple >= 3} == {"blade-maxi"}
    assert all(one.clearing.opens >= 7 for one in late)


def test_the_one_region_in_which_the_opening_times_speak_alone() -> None:
    """Right by the table, three times the rating and more, and late: maxi blades at the top of what the table allows."""
    alone = [one for one in allowed_and_late(POOR) if one.multiple >= 3]
    assert {(one.gauge, one.rating) for one in alone} <= {("8", 50.0), ("6", 70.0), ("6", 80.0)}
    assert all(one.rating > 0.85 * one.table for one in alone)


def test_exceptions_by_insulation() -> None:
    """Late ones are found in every class, in those up to 90 C more of them than in hotter ones.

    Hot insulation spares none: the cable is warm from all that it bears, and then as near to its own limit.
    """
    counted = Counter(one.insulation for one in allowed_and_late(POOR))
    assert set(counted) == set(INSULATIONS)
    cool, hot = ([counted[warm] for warm in INSULATIONS if (warm <= 90) is cooler] for cooler in (True, False))
    assert sum(cool) / len(cool) > sum(hot) / len(hot)


def test_hours_that_nobody_verified_are_told_only_below_twice_the_rating() -> None:
    """A fuse that may never open before a cable that lasts for hours: there fault-current-too-low is an error."""
    unsure = [one for one in mesh(POOR) if one.clearing.lasts and not one.clearing.clears]
    assert unsure
    assert all(one.multiple < 2 for one in unsure)


# --- The mesh is what the rules ask


@pytest.mark.parametrize("seed", range(30))
def test_a_plan_is_judged_as_its_point_of_the_mesh(seed: int) -> None:
    """The same battery, fuse, cable and body as a plan: the facts that the three rules read are those of the point."""
    dice = random.Random(seed)
    late = allowed_and_late(POOR)
    one = dice.choice(late if seed % 2 else mesh(SOUND + POOR))
    case = case_of(
        {
            "battery": {"kind": "battery", "resistance": "6 mohm"},
            "fuse": {"kind": "fuse", "family": one.family, "rating": f"{one.rating} A"},
            "amp": "amp",
        },
        [
            # So short and thick that its ends are all there is of it.
            "lead: battery.positive > fuse.line, 4/0 AWG, 1 mm",
            f"feed: fuse.load > amp.power, {one.gauge} AWG, {one.length} m, insulation={one.insulation} C",
        ],
        vehicle={"body": "steel-unibody", "body_resistance": f"{one.back * 1000:g} mohm"},
    )
    assert ask(case, "wire", "feed", "fault_current") == pytest.approx(one.far, rel=1e-3)
    assert ask(case, "wire", "feed", "fuse_limit") == one.table
    assert 1.25 * ask(case, "wire", "feed", "ampacity") == pytest.approx(one.thermal)
    assert ask(case, "wire", "feed", "protecting_rating") == one.rating
    assert ask(case, "wire", "feed", "opens_in_time") is one.clearing.clears
