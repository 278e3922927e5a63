"""Faults of supply and charging planted into whole jobs by one edit each, as students make them (common practice)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from small_plans import judged, outcome

from planlint.judge.result import Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"
JOBS = ("hatchback", "pickup", "sedan", "show-wagon", "two-batteries")


def job(name: str, *edits: tuple[str, str]) -> str:
    """The text of a whole job with the first occurrence of each old text replaced."""
    text = (EXAMPLES / f"{name}.plan.yaml").read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text, f"{old!r} is not in {name}"
        text = text.replace(old, new, 1)
    return text


# Job, the one edit, the rule that must catch it and what it says.
EDITS = {
    "a return on the battery's post, past its sensor (sedan)": (
        *("sedan", ("from: ground-block, to: body-point", "from: ground-block, to: battery.negative")),
        *("battery-sensor-bypassed", "warning block-ground"),
    ),
    "a charger's return there (pickup)": (
        *("pickup", ("from: charger.ground, to: charger-point", "from: charger.ground, to: main-battery.negative")),
        *("battery-sensor-bypassed", "warning charger-ground"),
    ),
    "a second battery's negative there (pickup)": (
        *("pickup", ("from: aux-battery.negative, to: body-point", "from: aux-battery.negative, to: main-battery.negative")),
        *("battery-sensor-bypassed", "warning aux-ground"),
    ),
    "a box without its vent (van)": (
        *("two-batteries", ("enclosure: vented-outside", "enclosure: none")),
        *("aux-battery-unvented", "error rear-battery"),
    ),
    "a box without its vent (wagon)": (
        *("show-wagon", ("enclosure: vented-outside", "enclosure: none")),
        *("aux-battery-unvented", "error rear-battery"),
    ),
    "no hold-down (van)": (
        *("two-batteries", ("hold_down: steel frame over the case on 4 x M8 through bolts with plates", "hold_down: none")),
        *("battery-not-restrained", "error rear-battery"),
    ),
    "a hold-down for the engine bay in the load area (wagon)": (
        *("show-wagon", ("hold_down_strength: 12 kN", "hold_down_strength: 0.6 kN")),
        *("battery-not-restrained", "error rear-battery"),
    ),
    "a lithium battery where a lead one was, the isolator kept (van)": (
        *("two-batteries", ("role: added\n    chemistry: agm", "role: added\n    chemistry: lifepo4")),
        *("lithium-charge-unlimited", "error rear-battery"),
    ),
    "the same in the wagon": (
        *("show-wagon", ("role: added, chemistry: agm", "role: added, chemistry: lifepo4")),
        *("lithium-charge-unlimited", "error rear-battery"),
    ),
    "the isolator's cover left out (van)": (
        *("two-batteries", ("suppression: diode,\n     cover: true", "suppression: diode,\n     cover: false")),
        *("live-stud-uncovered", "error isolator"),
    ),
    "a tank below the second battery (van)": (
        *("two-batteries", ("true\n    fuel: none-near", "true\n    fuel: 80 mm\n    fuel_side: above")),
        *("battery-near-fuel", "error rear-battery"),
    ),
    "an electric sedan": (
        *("sedan", ("drive: combustion", "drive: electric")),
        *("dcdc-budget-short", "warning vehicle"),
    ),
    "the body cable of a small car in the wagon": (
        *("sedan", ("from: battery.negative, to: maker-stud, factory: true, gauge: 50 mm2",
                    "from: battery.negative, to: maker-stud, factory: true, gauge: 10 mm2")),
        *("battery-body-strap-not-upgraded", "warning vehicle"),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("name", "edit", "rule", "expected"), EDITS.values(), ids=EDITS)
def test_one_edit_of_a_whole_job_is_caught(name: str, edit: tuple[str, str], rule: str, expected: str) -> None:
    """The rule says so of that element alone, and said nothing before."""
    assert outcome(job(name), rule) == []
    assert expected in outcome(job(name, edit), rule)
    assert [one for one in outcome(job(name, edit), rule) if not one.startswith("?")] == [expected]


@pytest.mark.parametrize("name", JOBS)
def test_an_alternator_that_gives_45_per_cent_less_is_too_small(name: str) -> None:
    """Each of the five jobs leaves its alternator less than that to spare."""
    text = job(name)
    rating = re.search(r"alternator: \{rating: (\d+) A", text)
    assert rating
    small = text.replace(rating[0], f"alternator: {{rating: {int(rating[1]) * 0.55:g} A", 1)
    assert outcome(text, "alternator-budget-short") == []
    assert outcome(small, "alternator-budget-short") == ["warning vehicle"]


def test_a_hold_down_that_is_left_out_is_no_pass() -> None:
    """Nobody says that there is none, nor what it bears: the plan is not ready."""
    text = re.sub(r"    hold_down.*\n", "", job("two-batteries"))
    assert judged(text).verdict is Verdict.UNCHECKED
    assert outcome(text, "battery-not-restrained") == [
        "? the strength of the hold-down (`hold_down_strength`) of rear-battery"
    ]


def test_a_return_on_the_body_beyond_the_sensor_is_sound() -> None:
    """The same cable to a body point beside the post is what the vehicle makers ask for."""
    for name in ("pickup", "sedan"):
        assert outcome(job(name), "battery-sensor-bypassed") == []


SHORT = """\
plan: 1
vehicle: {system: 12 V, body: steel-unibody}
nodes:
  battery: {kind: battery}
  main-fuse: {kind: fuse, family: strip, rating: 100 A, interrupts: 5 kA}
  amp: {kind: amp, class: D, outputs: {sub: {power: 750 W, at: 2 ohm}}}
  floor-stud: {kind: ground-point, member: floor}
wires:
  front: {from: battery.positive, to: main-fuse.line, gauge: 4 AWG, material: copper, insulation: 105 C, length: 15 cm}
  rear: {from: main-fuse.load, to: amp.power, gauge: 4 AWG, material: copper, insulation: 105 C, length: 4 m}
  ground: {from: amp.ground, to: floor-stud, gauge: 4 AWG, material: copper, insulation: 105 C, length: 40 cm}
"""


def test_a_short_plan_with_one_battery_is_judged_without_noise() -> None:
    """Its battery is the vehicle's own in its place: no rule about batteries asks for vent, hold-down, fuel or cover."""
    asked = {rule for gap in judged(SHORT).unchecked for rule in gap.rules}
    places = {"aux-battery-unvented", "battery-not-restrained", "battery-near-fuel", "live-stud-uncovered"}
    assert asked.isdisjoint(places | {"lithium-charge-unlimited", "voltage-system-mismatch", "dcdc-budget-short"})
    assert judged(SHORT).verdict is not Verdict.UNCHECKED


def test_a_short_plan_of_an_electric_vehicle_is_told_what_it_needs() -> None:
    """750 W / (0.8 x 13.8 V) = 67.9 A are more than anybody should add unasked."""
    text = SHORT.replace("system: 12 V,", "system: 12 V, drive: electric,")
    assert outcome(text, "dcdc-budget-short") == ["warning vehicle"]
