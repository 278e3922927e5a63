"""What attacks on conductors, grounds and papers of whole plans once found missing, falsely blamed or told badly."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome, remedies

from planlint.judge.judge import judge

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
        "stud holds 2 AWG by a thread of 0.236 in; at least 7.9 mm (0.311 in) from 2 AWG up"
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


# A conductor of 21.2 mm2 (4 AWG, ASTM B258) needs an outside diameter of 6.7 mm where it fills 60 % of the cable.
@pytest.mark.parametrize(("diameter", "found"), [("9.8 mm", []), ("6.6 mm", ["warning feed"]), ("6.8 mm", [])])
def test_a_conductor_goes_into_its_cable(diameter: str, found: list[str]) -> None:
    """A size that no cable of the stated outside diameter holds is found, whatever its number means in the other system."""
    text = changed(PLAN, ("length: 14 ft}", f"length: 14 ft, diameter: {diameter}}}"))
    assert outcome(text, "gauge-statement-conflict") == found
    assert [one for one in messages(text, "gauge-statement-conflict") if "other system" in one] == []


def test_a_number_read_in_the_wrong_system_leads_what_follows_from_it() -> None:
    """4 mm2 for 4 AWG is told, with the fuse that is then too large and the voltage that is then lost under it."""
    lugs = "ends: {both: {barrel: 4 AWG}}"
    text = changed(PLAN, ("power: {gauge: 4 AWG}", f"power: {{gauge: 4 mm2, {lugs}}}"))
    (found,) = judged(text).findings
    assert (found.rule, found.severity.word) == ("gauge-statement-conflict", "error")
    assert {one.rule for one in found.consequences} >= {"fuse-exceeds-wire", "supply-drop-high"}


def test_a_thin_cable_of_a_group_is_told_once() -> None:
    """Speakers whose cables take over their size from one line lose too much by that one line."""
    thin = changed(PLAN, ("speaker: {gauge: 12 AWG, length: 6 ft}", "speaker: {gauge: 22 AWG, length: 9 ft}"))
    (found,) = [one for one in judged(thin).findings if one.rule == "speaker-cable-loss"]
    assert (found.subject, [one.message for one in found.related][-1]) == ("left", "the same at right")


def test_thin_cables_of_their_own_are_told_each() -> None:
    """Where each speaker's cable states its own size, each is told."""
    own = changed(PLAN, ("speaker: {gauge: 12 AWG, length: 6 ft}", "speaker: {length: 9 ft}")).replace(
        "{group: speaker,", "{group: speaker, gauge: 22 AWG,"
    )
    assert [one for one in roots(own) if one.startswith("speaker-cable-loss")] == [
        "speaker-cable-loss left",
        "speaker-cable-loss right",
    ]


def test_all_vague_words_of_a_text_are_told() -> None:
    """A text that is vague twice says so at once, and a word that stands twice is told once."""
    text = changed(PLAN, ("M8 stud with serrated nut", "a suitable bolt, suitable washer and good ground"))
    text = text.replace("fastener: a suitable", 'fastener: "a suitable').replace("good ground}", 'good ground"}')
    assert messages(text, "plan-too-vague") == [
        "the fastener of stud says `suitable` and `good ground`, which nobody can check"
    ]


def test_a_cable_home_that_loses_too_much_is_made_thicker() -> None:
    """What to do about a return that is all cable does not depend on the body."""
    text = changed(PLAN, ("amp.ground, to: stud, length: 14 in", "amp.ground, to: battery.negative, length: 36 ft"))
    assert remedies(text, "return-drop-high") == [
        "Use thicker or shorter cable on the way back; where the body is part of it, a better ground point or a return "
        "cable to the battery, and measure the body."
    ]


def test_a_number_where_a_text_belongs_is_put_in_quotes() -> None:
    """The remedy for `revision: 3` is no number again."""
    (told,) = judge(f"revision: 3\n{PLAN}".encode(), "small.plan.yaml").findings
    assert told.remedy == 'Write it as a text, in quotes: `revision: "3"`.'
    assert judge(f'revision: "3"\n{PLAN}'.encode(), "small.plan.yaml").findings == ()


@pytest.mark.parametrize(("length", "found"), [("4 mm", ["warning ground"]), ("0 m", ["warning ground"]), ("1 cm", [])])
def test_no_cable_is_shorter_than_its_ends(length: str, found: list[str]) -> None:
    """Metres typed as millimetres leave no cable between two lugs."""
    assert outcome(changed(PLAN, ("length: 14 in", f"length: {length}")), "zero-or-implausible-length") == found


@pytest.mark.parametrize(
    ("listed", "written", "found"),
    [
        ("{part: cable, size: 4 AWG, length: 6 m}", "{part: cable, size: 21 mm², length: 6 m}", []),
        ("{part: cable, size: 4 AWG, length: 6 m}", "{part: cable, size: 21 sq mm, length: 6 m}", []),
        ("{part: cable, size: 4 AWG, length: 6 m}", "{part: cable, size: 10 sq mm, length: 6 m}", ["warning the plan"]),
        ("80 A strip", "80 amp strip", []),
        ("80 A strip", "80-amp strip", []),
        ("80 A strip", "8 amp strip", ["warning the plan"]),
    ],
)
def test_a_list_of_parts_is_read_as_people_write_it(listed: str, written: str, found: list[str]) -> None:
    """Square millimetres and amperes are written in several ways on lists of parts."""
    assert outcome(changed(WHOLE, (listed, written)), "parts-list-gap") == found


def test_a_hexagon_screw_is_a_bolt() -> None:
    """A list may call a bolt a hexagon screw, but not a sheet screw."""
    bolted = changed(WHOLE, ("M8 stud with serrated nut", "M8 bolt with serrated washer"))
    assert outcome(changed(bolted, ("part: stud", "part: hex screw")), "parts-list-gap") == []
    assert outcome(changed(bolted, ("part: stud", "part: sheet screw")), "parts-list-gap") == ["warning the plan"]


def test_a_cut_that_may_be_short_is_told_at_its_shorter_end() -> None:
    """Of a cut given as a range the shorter end is judged, and told."""
    text = changed(WHOLE, ("length: 14 ft}", "length: 14 ft, cut: 14..18 ft}"))
    (told,) = [one for one in messages(text, "cut-length-short") if one.startswith("feed ")]
    assert told.startswith("feed is cut to 14 ft for a run of 14 ft;")


@pytest.mark.parametrize(("reason", "found"), [("ok", ["error ground"]), ("ok by measurement of 1.1 mohm", [])])
def test_ok_is_no_reason(reason: str, found: list[str]) -> None:
    """Who accepts a finding says why; that it is fine is what the acceptance says already."""
    accepted = (
        f"accepted: [{{rule: ground-lead-long, subject: ground, reason: {reason}, by: the owner, date: 2031-05-05}}]\n"
    )
    text = changed(PLAN, ("length: 14 in", "length: 2 ft")) + accepted
    assert outcome(text, "acceptance-without-reason") == found
