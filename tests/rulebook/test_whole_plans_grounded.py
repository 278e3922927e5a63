"""What attacks on conductors, grounds and papers of whole plans once found missing, falsely blamed or told badly."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome, remedies

PLAN = """\
plan: 1
title: One amplifier behind the cabin
scope: electrical
vehicle: {class: pickup, system: 12 V, body: steel-frame, body_resistance: 1 mohm measured}
zones: [{name: bay, kind: engine-bay}, {name: cab, kind: cabin}, {name: box, kind: cargo}]
defaults: {wire: {material: copper, insulation: 105 C, stranding: fine, type: primary}}
groups:
  power: {gauge: 4 AWG}
  speaker: {gauge: 12 AWG, length: 6 ft}
nodes:
  battery: {kind: battery, zone: bay}
  main: {kind: fuse, zone: bay, family: strip, rating: 80 A, voltage: 32 V, interrupts: 5 kA}
  amp: {kind: amp, zone: box, class: D, outputs: {sub: {power: 300 W, at: 2 ohm, channels: 2}}}
  strap: {kind: body-bond, joins: [box, main], gauge: 2 AWG}
  stud: {kind: ground-point, zone: box, section: box, member: floor, fastener: M8 stud with serrated nut}
  left: {kind: speaker, zone: box, impedance: 2 ohm}
  right: {kind: speaker, zone: box, impedance: 2 ohm}
wires:
  tail: {group: power, from: battery.positive, to: main.line, length: 6 in}
  feed: {group: power, from: main.load, to: amp.power, length: 14 ft}
  ground: {group: power, from: amp.ground, to: stud, length: 14 in}
  left-plus: {group: speaker, from: amp.sub-left-positive, to: left.positive}
  left-minus: {group: speaker, from: amp.sub-left-negative, to: left.negative}
  right-plus: {group: speaker, from: amp.sub-right-positive, to: right.positive}
  right-minus: {group: speaker, from: amp.sub-right-negative, to: right.negative}
"""


def roots(text: str) -> list[str]:
    """The findings that stand on their own, as `rule subject`."""
    return [f"{one.rule} {one.subject}" for one in judged(text).findings]


def test_the_plan_is_sound() -> None:
    """Nothing is found in the plan that the tests here break; a strap that says what it joins needs no wire."""
    assert roots(PLAN) == []


def test_a_strap_that_joins_nothing_is_not_wired() -> None:
    """A strap that neither is wired nor says what it joins was forgotten."""
    assert outcome(changed(PLAN, ("joins: [box, main], ", "")), "node-unconnected") == ["warning strap"]


# What stands once in `defaults` is one finding, at the wire that asks for most: 105 C in the engine bay (33 CFR 183.425).
@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("insulation: 105 C", "insulation: 75 C", "insulation-too-cool-for-zone feed"),
        ("stranding: fine", "stranding: solid", "conductor-solid feed"),
        ("type: primary", "type: building", "conductor-solid feed"),
    ],
)
def test_what_is_stated_once_is_told_once_where_most_is_asked(old: str, new: str, told: str) -> None:
    """One line of `defaults` that is wrong for every wire is one finding, of the wire that asks for more than the others."""
    assert roots(changed(PLAN, (old, new))) == [told]


def test_insulation_is_told_where_most_of_it_is_asked() -> None:
    """Of wires with one rating, the one in the engine bay is told, since what suits it suits the others too."""
    cool = changed(PLAN, ("insulation: 105 C", "insulation: 75 C"))
    assert messages(cool, "insulation-too-cool-for-zone") == [
        "feed lies in the bay with insulation for 75 C; at least 105 C there"
    ]


def test_a_thread_is_told_in_inches_where_the_plan_measures_in_feet() -> None:
    """A part of a foot is told in inches: M6 is 0.236 in, M8 0.315 in (and 5/16 in, 7.9 mm, is enough for 2 AWG)."""
    weak = changed(PLAN, ("M8 stud", "M6 stud"), ("power: {gauge: 4 AWG}", "power: {gauge: 2 AWG}"))
    assert messages(weak, "ground-fastener-weak") == [
        "stud holds 2 AWG by a thread of 0.236 in; at least 0.311 in from 2 AWG up"
    ]


# Feet typed as metres, feet as inches, a slipped point: 14 ft are 4.27 m.
@pytest.mark.parametrize(
    ("length", "found"),
    [("16 m", ["warning feed"]), ("14 in", ["warning feed"]), ("0.43 m", ["warning feed"]), ("4.3 m", []), ("1 m", [])],
)
def test_a_run_through_the_cabin_is_as_long_as_a_cabin(length: str, found: list[str]) -> None:
    """From the engine bay to the cargo area behind the cabin no cable is shorter than a metre."""
    assert outcome(changed(PLAN, ("14 ft", length)), "zero-or-implausible-length") == found


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("main: {kind: fuse, zone: bay", "main: {kind: fuse, zone: cab"),
        ("{name: cab, kind: cabin}, {name: box, kind: cargo}", "{name: box, kind: cargo}, {name: cab, kind: cabin}"),
        ("main: {kind: fuse, zone: bay", "main: {kind: fuse"),
    ],
)
def test_a_run_that_may_pass_by_the_cabin_may_be_short(old: str, new: str) -> None:
    """A run that ends in the cabin, or to a cargo area before it, or from nobody knows where, may be short."""
    assert outcome(changed(PLAN, ("14 ft", "30 in"), (old, new)), "zero-or-implausible-length") == []


def test_what_is_lost_in_a_length_that_cannot_be_right_follows_from_it() -> None:
    """The length is told, and what would be lost on such a way stands under it."""
    (found,) = judged(changed(PLAN, ("14 ft", "40 m"), ("300 W", "280 W"))).findings
    assert (found.rule, found.subject) == ("zero-or-implausible-length", "feed")
    assert {one.rule for one in found.consequences} >= {"supply-drop-high", "total-drop-high"}


PAPERS = """\
id: "7"
revision: "1"
date: 2031-05-05
author: the installer
documents: [{document: consent, signed_by: the owner}]
"""
PARTS = """\
parts:
  - {part: cable, size: 4 AWG, length: 6 m}
  - {part: cable, size: 12 AWG, length: 12 m}
  - {part: fuse, size: 80 A strip, spare: 1}
  - {part: stud, size: M8}
"""
WHOLE = changed(PLAN, ("scope: electrical\n", PAPERS)) + PARTS


@pytest.mark.parametrize(
    ("fastener", "found"),
    [
        ("M8 stud with serrated nut", []),
        ("M10 bolt of the seat rail with serrated washer", []),
        ("7/16 in bolt of the belt anchor with serrated washer", []),
        ("M10 bolt with serrated washer", ["warning the plan"]),
    ],
)
def test_bolts_of_seats_and_belts_are_not_bought(fastener: str, found: list[str]) -> None:
    """The list of parts holds no bolt that the vehicle has already, whatever else is wrong with a ground there."""
    assert outcome(changed(WHOLE, ("M8 stud with serrated nut", fastener)), "parts-list-gap") == found


def test_what_nobody_can_accept_is_taken_out() -> None:
    """An acceptance with reason, name and day of what nobody may answer for is not mended by stating them."""
    accepted = (
        "accepted: [{rule: ground-on-belt-anchor, subject: stud, reason: it fits, by: the owner, date: 2031-05-05}]\n"
    )
    belted = changed(PLAN, ("member: floor", "member: belt-anchor")) + accepted
    assert remedies(belted, "acceptance-without-reason") == ["Take the acceptance out, and mend what was found."]
