"""Short circuits in plans: currents by hand, and what the rules make of them."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_plans import judged, messages, outcome

from planlint.facts.case import Case
from planlint.facts.short import prospective
from planlint.judge.judge import plan_of
from planlint.text.reader import read

EXAMPLES = Path(__file__).parents[2] / "examples"


def case_of(text: str) -> Case:
    """The case of a plan that can be read."""
    document = read(text.encode()).document
    assert document
    plan, problems = plan_of(document)
    assert plan and not problems
    return Case(plan)


# The current that the far battery alone drives into a short circuit at the other end of a link, by hand: 12.6 V over 6 mohm,
# cable at 20 C, 0.2 mohm a lug, 80 mV at rating a fuse, and the poorer way back (common practice).
@pytest.mark.parametrize(
    ("example", "post", "at", "amps"),
    [
        ("two-batteries", "front-battery.positive", "rear-battery.positive", 770),
        ("show-wagon", "front-battery.positive", "rear-battery.positive", 1080),
    ],
)
def test_a_battery_reaches_the_other_end_of_its_link(example: str, post: str, at: str, amps: float) -> None:
    """The current through the fuse of the far battery, the near one taken out, within 5 %."""
    text = (EXAMPLES / f"{example}.plan.yaml").read_text(encoding="utf-8")
    assert prospective(case_of(text), post, at) == pytest.approx(amps, rel=0.05)


PLAN = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, body_resistance: 2 mohm measured}
defaults: {wire: {material: copper, insulation: 105 C, gauge: 4 AWG}}
nodes:
  battery: {kind: battery, zone: engine-bay, resistance: 5 mohm measured}
  fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 80 A, interrupts: 5 kA}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: cargo, member: floor, surface: bare-metal}
wires:
  tail: {from: battery.positive, to: fuse.line, length: 15 cm}
  feed: {from: fuse.load, to: amp.power, length: 5 m}
  ground: {from: amp.ground, to: stud, length: 40 cm}
"""
# Cable 0.831 mohm/m at 20 C: tail 0.525, feed 4.555, fuse 1, ground 0.732 with 0.5 of the stud, body 2, battery 5 mohm.
BY_HAND = 12.6 / (0.525 + 4.555 + 1.0 + 0.732 + 0.5 + 2.0 + 5.0) * 1000


def test_the_current_of_a_short_circuit_by_hand() -> None:
    """12.6 V over battery, cable at 20 C, fuse, ground lead and body."""
    assert prospective(case_of(PLAN), "battery.positive", "amp.power") == pytest.approx(BY_HAND, rel=0.01)


@pytest.mark.parametrize(
    ("body", "found"),
    [
        ("2 mohm", []),
        ("40 mohm", []),
        ("41 mohm", ["warning feed"]),
        ("66 mohm", ["warning feed"]),
        ("67 mohm", ["error feed"]),
    ],
)
def test_a_poor_body_keeps_the_fuse_from_opening(body: str, found: list[str]) -> None:
    """Three times 80 A leave 52.5 mohm for the whole loop, twice 78.75 mohm; all but the body has 12.31 mohm."""
    assert outcome(PLAN.replace("2 mohm measured", f"{body} measured"), "fault-current-too-low") == found


def test_what_a_fuse_must_break_by_hand() -> None:
    """Right behind the fuse: 12.6 V over battery 5, tail 0.525, fuse 1, body 2 mohm are 1.48 kA."""
    text = PLAN.replace("interrupts: 5 kA", "interrupts: 1000 A")
    assert outcome(text, "interrupt-rating-low") == ["error fuse"]
    assert "1478" in messages(text, "interrupt-rating-low")[0]
    assert outcome(PLAN, "interrupt-rating-low") == []
    assert outcome(PLAN.replace("family: strip, ", "").replace(", interrupts: 5 kA", ""), "interrupt-rating-low") == [
        "? the breaking capacity (`interrupts`) of fuse"
    ]


def test_a_thin_wire_burns_before_a_large_fuse_opens() -> None:
    """20 AWG, 0.52 mm2, behind 80 A: a short circuit of some hundred amperes is withstood for a fraction of a second."""
    text = PLAN.replace("to: amp.power, length: 5 m", "to: amp.power, gauge: 20 AWG, length: 1 m")
    assert outcome(text, "clear-time-exceeds-insulation") == ["error feed"]
    assert outcome(PLAN, "clear-time-exceeds-insulation") == []


def test_a_makers_curve_decides() -> None:
    """The plan's own curve goes before the family's band: a slow one is late, a quick one is not."""
    slow = PLAN.replace("interrupts: 5 kA", "interrupts: 5 kA, curve: [{current: 160 A, opens: 60 min}]")
    quick = PLAN.replace("interrupts: 5 kA", "interrupts: 5 kA, curve: [{current: 100 A, opens: 1 s}]")
    assert outcome(slow, "clear-time-exceeds-insulation") == ["error feed"]
    assert outcome(quick, "clear-time-exceeds-insulation") == []


def test_where_opening_times_come_from_is_said() -> None:
    """A band from memory, and one that is assumed, are told in the finding."""
    thin = PLAN.replace("to: amp.power, length: 5 m", "to: amp.power, gauge: 20 AWG, length: 1 m")
    assert "(opening times: memory)" in messages(thin, "clear-time-exceeds-insulation")[0]
    anl = thin.replace("family: strip", "family: anl")
    assert "(opening times: assumed)" in messages(anl, "clear-time-exceeds-insulation")[0]
    assert judged(anl).findings
