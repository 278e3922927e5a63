"""Rules about a plan's own papers on small plans: what breaks them, what meets them, what leaves them unchecked."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_plans import judged, outcome

from planlint.cli.main import run

# A fan on a fuse: the smallest plan that needs a fuse, cable and ring terminals.
PLAN = """\
plan: 1
title: a fan on a fuse
revision: A
date: 2031-05-12
author: the installer
vehicle: {system: 12 V, class: hatch, body: steel-unibody}
zones: [{name: engine-bay}, {name: cabin}]
nodes:
  battery: {kind: battery, zone: engine-bay}
  main-fuse: {kind: fuse, zone: engine-bay, family: blade, rating: 10 A, label: fan 10 A}
  fan: {kind: load, zone: cabin, supply: 2 A}
  stud: {kind: ground-point, zone: cabin, fastener: M6 stud}
defaults: {wire: {gauge: 14 AWG, material: copper, insulation: 105 C, cut: 2 m}}
wires:
  tail: {from: battery.positive, to: main-fuse.line, length: 15 cm, ends: {from: {type: ring, stud: M6}}}
  feed: {from: main-fuse.load, to: fan.power, length: 1 m}
  return: {from: fan.ground, to: stud, length: 40 cm, ends: {to: {type: ring, stud: M6}}}
mounts:
  fan-mount: {holds: fan, fasteners: {type: sheet-screw, size: 4 mm}}
steps:
  - {do: mount, of: fan-mount, note: two screws}
parts:
  - {part: fuse, size: 10 A blade, amount: 1, spare: 1}
  - {part: cable, size: 14 AWG, length: 6 m}
  - {part: ring terminal, size: "M6, 14 AWG", amount: 2}
  - {part: stud with nut, size: M6, amount: 1}
documents:
  - {document: consent, signed_by: the customer, date: 2031-05-10}
"""
ELECTRICAL = PLAN.replace("title:", "scope: electrical\ntitle:")
PARTS, DOCUMENTS = PLAN[PLAN.index("parts:") : PLAN.index("documents:")], PLAN[PLAN.index("documents:") :]


def swapped(*swaps: tuple[str, str], text: str = PLAN) -> str:
    """The plan with each first part, which must be there, replaced by the second."""
    for old, new in swaps:
        assert old in text, old
        text = text.replace(old, new)
    return text


GAP, WHOLE = ["warning the plan"], "the list of parts lacks what the plan needs: "
CASES = {
    "a list that holds all": ("parts-list-gap", PLAN, []),
    "no list": ("parts-list-gap", swapped((PARTS, "")), ["? the list of parts (`parts`) of the plan"]),
    "no list, where only the circuit counts": ("parts-list-gap", swapped((PARTS, ""), text=ELECTRICAL), []),
    "another fuse": ("parts-list-gap", swapped(("10 A blade", "15 A blade")), GAP),
    "a fuse holder is no fuse": (
        "parts-list-gap",
        swapped(("part: fuse, size: 10 A", "part: fuse holder, size: 10 A")),
        GAP,
    ),
    "rating and kind in one word": (
        "parts-list-gap",
        swapped(("part: fuse, size: 10 A blade", "part: 10 A blade fuse")),
        [],
    ),
    "a fuse whose rating nobody states": (
        "parts-list-gap",
        swapped(("rating: 10 A, ", "")),
        ["? the rating of main-fuse"],
    ),
    "another cable": ("parts-list-gap", swapped(("cable, size: 14 AWG", "cable, size: 16 AWG")), GAP),
    "too little cable": ("parts-list-gap", swapped(("length: 6 m", "length: 5.5 m")), GAP),
    "a cable of two conductors": ("parts-list-gap", swapped(("14 AWG, length: 6 m", "14 AWG pair, length: 3 m")), []),
    "a cable as metric as the wire": (
        "parts-list-gap",
        swapped(
            ("gauge: 14 AWG", "gauge: 2.5 mm2"), ("cable, size: 14 AWG", "cable, size: 2.5 mm2"), ("M6, 14 AWG", "M6")
        ),
        [],
    ),
    "a ring too few": ("parts-list-gap", swapped(('14 AWG", amount: 2', '14 AWG", amount: 1')), GAP),
    "rings for another stud": ("parts-list-gap", swapped(("M6, 14 AWG", "M8, 14 AWG")), GAP),
    "rings of no stated size": ("parts-list-gap", swapped(('"M6, 14 AWG"', "not stated")), []),
    "all three said": ("revision-missing", PLAN, []),
    "no revision": ("revision-missing", swapped(("revision: A\n", "")), ["note the plan"]),
    "a date not stated": ("revision-missing", swapped(("date: 2031-05-12\n", "date: not stated\n")), ["note the plan"]),
    "a plan of the circuit alone": ("revision-missing", swapped(("revision: A\n", ""), text=ELECTRICAL), []),
    "signed": ("consent-missing", PLAN, []),
    "signed by nobody": ("consent-missing", swapped(("signed_by: the customer, ", "")), GAP),
    "no consent": ("consent-missing", swapped(("document: consent", "document: check-in")), GAP),
    "no documents": ("consent-missing", swapped((DOCUMENTS, "")), ["? the documents of the plan"]),
    "documents: none": ("consent-missing", swapped((DOCUMENTS, "documents: none\n")), GAP),
    "a good ground": (
        "plan-too-vague",
        swapped(("M6 stud", "good ground to the body")),
        ["warning the fastener of stud"],
    ),
    "screws as needed": ("plan-too-vague", swapped(("two screws", "screws As Needed")), ["warning the note of step 1"]),
    "a suitable size": ("plan-too-vague", swapped(("4 mm", "suitable")), ["warning the size of fan-mount"]),
    "no word at all": ("plan-too-vague", swapped(("fan 10 A", '"..."')), ["warning the label of main-fuse"]),
    "words that only begin alike": ("plan-too-vague", swapped(("two screws", "'etched, unsuitable tbdx'")), []),
    "figures and names": ("plan-too-vague", PLAN, []),
}


@pytest.mark.parametrize(("rule", "text", "expected"), CASES.values(), ids=CASES.keys())
def test_a_rule_about_papers(rule: str, text: str, expected: list[str]) -> None:
    """The rule finds what breaks it, leaves alone what meets it, and names what it lacks."""
    assert outcome(text, rule) == expected


def test_the_list_of_parts_is_told_by_number() -> None:
    """The finding names each fuse, cable and ring that is missing, and how many of them are there."""
    text = swapped(
        ("size: 10 A", "size: 5 A"), ("length: 6 m", "length: 5 m"), ('14 AWG", amount: 2', '14 AWG", amount: 1')
    )
    told = [one.message for one in judged(text).findings if one.rule == "parts-list-gap"]
    missing = "10 A fuse (0 of 1), cable of 14 AWG (5 m of 6 m), ring terminal M6 for 14 AWG (1 of 2)"
    assert told == [WHOLE + missing]


def test_vague_words_are_found_where_they_stand() -> None:
    """The finding points at the words themselves, in a list of steps too."""
    text = swapped(("two screws", "where needed"))
    place = next(one.place for one in judged(text).findings if one.rule == "plan-too-vague")
    assert text.splitlines()[place.span.line - 1][place.span.column - 1 :].startswith("where needed")


# The return leg of 17 m is found by a rule that anybody may accept; a source without a fuse by one that nobody may.
LONG = PLAN.replace("stud, length: 40 cm", "stud, length: 17 m")
RULE, WHY = "zero-or-implausible-length", "by: the foreman, date: 2031-05-12, reason: measured twice"


def accepting(fields: str, text: str = LONG) -> str:
    """A plan that accepts one finding."""
    return f"{text}accepted: [{{{fields}}}]\n"


ACCEPTED = {
    "all said": ("acceptance-without-reason", f"rule: {RULE}, subject: return, {WHY}", []),
    "no reason": (
        "acceptance-without-reason",
        f"rule: {RULE}, subject: return, by: me, date: 2031-05-12",
        ["error return"],
    ),
    "a blank reason": (
        "acceptance-without-reason",
        f'rule: {RULE}, subject: return, by: me, date: 2031-05-12, reason: " "',
        ["error return"],
    ),
    "nobody": (
        "acceptance-without-reason",
        f"rule: {RULE}, subject: return, date: 2031-05-12, reason: measured",
        ["error return"],
    ),
    "no day": (
        "acceptance-without-reason",
        f"rule: {RULE}, subject: return, by: me, reason: measured",
        ["error return"],
    ),
    "what nobody can accept": (
        "acceptance-without-reason",
        f"rule: source-wire-unfused, subject: tail, {WHY}",
        ["error tail"],
    ),
    "what is found": ("acceptance-stale", f"rule: {RULE}, subject: return, {WHY}", []),
    "what is not found": ("acceptance-stale", f"rule: {RULE}, subject: tail, {WHY}", ["warning tail"]),
    "a rule there is not": ("acceptance-stale", f"rule: no-such-rule, subject: return, {WHY}", ["warning return"]),
    "an element there is not": ("acceptance-stale", f"rule: {RULE}, subject: nothing, {WHY}", ["warning nothing"]),
    "what could not be checked": (
        "acceptance-stale",
        f"rule: conductor-mechanically-thin, subject: feed, {WHY}",
        ["? the loom or other cover (`protection`) of feed"],
    ),
    "a day past, with no day to judge by": (
        "acceptance-stale",
        f"rule: {RULE}, subject: return, until: 2031-06-01, {WHY}",
        [],
    ),
}


@pytest.mark.parametrize(("rule", "fields", "expected"), ACCEPTED.values(), ids=ACCEPTED.keys())
def test_a_rule_about_acceptances(rule: str, fields: str, expected: list[str]) -> None:
    """What is accepted names a reason, a person, a day, and a finding that there is."""
    text = LONG.replace("gauge: 14 AWG", "gauge: 18 AWG") if "thin" in fields else LONG
    assert outcome(accepting(fields, text), rule) == expected


@pytest.mark.parametrize("reason", ["-", ".", "...", "n/a", "N.A.", "none", "None.", "no reason", "not stated", "?"])
def test_a_word_for_nothing_is_no_reason(reason: str) -> None:
    """Whoever fills the field with a mark or a word for nothing has given no reason (common practice)."""
    fields = f'rule: {RULE}, subject: return, by: me, date: 2031-05-12, reason: "{reason}"'
    assert outcome(accepting(fields), "acceptance-without-reason") == ["error return"]
    assert judged(accepting(fields)).accepted == ()


@pytest.mark.parametrize("reason", ["none of the seats moves", "no room for more", "1.1 mohm", "gemessen"])
def test_a_reason_may_begin_with_such_a_word(reason: str) -> None:
    """A sentence or a number says something."""
    fields = f'rule: {RULE}, subject: return, by: me, date: 2031-05-12, reason: "{reason}"'
    assert outcome(accepting(fields), "acceptance-without-reason") == []


@pytest.mark.parametrize(
    ("today", "stale", "accepted"),
    [("2031-06-01", [], 1), ("2031-06-02", ["warning return"], 0), (None, [], 1)],
)
def test_an_acceptance_expires_after_its_last_day(today: str | None, stale: list[str], accepted: int) -> None:
    """On its last day it counts, a day later the finding stands and says why; without a day to judge by nothing expires."""
    text = accepting(f"rule: {RULE}, subject: return, until: 2031-06-01, {WHY}")
    result = judged(text, today)
    assert (outcome(text, "acceptance-stale", today), len(result.accepted)) == (stale, accepted)
    remarks = [one.remark for one in result.findings if one.rule == RULE]
    assert remarks == (
        [] if accepted else ["The plan accepts this finding until 2031-06-01, which is past; so it stands."]
    )


def test_a_finding_told_under_its_cause_may_stay_accepted() -> None:
    """An acceptance of what is now told as a consequence of something else is not stale."""
    text = accepting(f"rule: ground-lead-long, subject: return, {WHY}")
    below = [one.rule for told in judged(text).findings for one in told.consequences if one.subject == "return"]
    assert "ground-lead-long" in below
    assert outcome(text, "acceptance-stale") == []


@pytest.mark.parametrize(
    ("today", "code", "told"),
    [
        ("2031-06-01", 0, "1 accepted"),
        ("2031-06-02", 0, "acceptance-stale"),
        ("June", 2, "does not match the format"),
        ("2031-02-30", 2, "does not match the format"),
    ],
)
def test_the_day_to_judge_by_is_given_on_the_command_line(
    today: str, code: int, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`check --today` judges by that day; what is no day is refused."""
    text = accepting(
        f"rule: {RULE}, subject: return, until: 2031-06-01, {WHY}", LONG.replace("title", "scope: electrical\ntitle")
    )
    path = tmp_path / "fan.plan.yaml"
    path.write_text(text, encoding="utf-8")
    assert run(["check", str(path), "--today", today, "--fail-at", "never"]) == code
    output = capsys.readouterr()
    assert told in output.out + output.err
