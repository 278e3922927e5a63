"""What findings say: the numbers that were judged, in words that fit them."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from matrix import document_of
from small_plans import changed, judged, messages
from test_one_cause import PLAN

from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS
from planlint.judge.judge import plan_of
from planlint.judge.result import Place, Unchecked
from planlint.plan.quantity import Dimension
from planlint.report.beside import unchecked_lines
from planlint.rulebook.load import shipped_rulebook
from planlint.rulebook.model import Rule, Severity
from planlint.rulebook.wording import unit_for, written
from planlint.text.places import Span


def test_of_a_range_the_end_that_was_judged_is_told() -> None:
    """A fuse of 40 to 80 A opens, at its lower end, below the 67 A of both amplifiers together (by hand: 45.3 + 21.7 A)."""
    text = changed(PLAN, ("family: strip, rating: 100 A", "family: strip, rating: 40..80 A"))
    expected = "bass and mids draw 67 A together through main-fuse, which is rated 40 A: it will open"
    assert messages(text, "main-fuse-below-branch-sum") == [expected]
    found = next(one for one in judged(text).findings if one.rule == "main-fuse-below-branch-sum")
    assert next(fact.value for fact in found.facts if fact.name == "rating") == 40


BETWEEN = """\
plan: 1
title: Two batteries joined without a fuse
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: engine-bay}, {name: cargo}]
nodes:
  second: {kind: battery, role: added, zone: cargo}
  battery: {kind: battery, zone: engine-bay}
wires:
  link: {from: battery.positive, to: second.positive, gauge: 4 AWG, length: 5 m}
"""


def test_a_run_between_two_sources_names_both() -> None:
    """Whichever end the wire is drawn from, its two sources are two."""
    turned = changed(
        BETWEEN, ("from: battery.positive, to: second.positive", "from: second.positive, to: battery.positive")
    )
    for text in (BETWEEN, turned):
        (message,) = messages(text, "two-source-run-one-fuse")
        assert "battery" in message
        assert "second" in message


def test_a_material_that_is_not_stated_is_remarked_on_with_what_copper_would_do() -> None:
    """45.3 A overload 14 AWG of copper (35 A at 105 C, 33 CFR 183.425 Table 5) as well as of clad aluminium."""
    text = changed(PLAN, ("material: copper, ", ""), ("gauge: 6 AWG", "gauge: 14 AWG"))
    found = next(one for one in judged(text).findings if one.rule == "conductor-overloaded")
    assert found.remark.endswith("; with copper this would be found as well.")


@pytest.mark.parametrize(
    ("value", "stated", "unit"),
    [(7.8, "40 cm", "m"), (7.8, "400 cm", "cm"), (0.18, "40 cm", "cm"), (7.8, "10 in", "ft"), (0.3, "10 in", "in")],
)
def test_a_length_is_told_in_a_unit_that_fits_its_size(value: float, stated: str, unit: str) -> None:
    """The plan's unit, unless the length is ten times what the plan gives in it: 7.8 m and not 780 cm."""
    plan, _ = plan_of(document_of(changed(BETWEEN, ("5 m", stated))))
    assert plan is not None
    assert unit_for(Case(plan), plan.wires[0], Dimension.LENGTH, value) == unit


@pytest.mark.parametrize(
    ("stated", "told"),
    [
        ("900 mm", "18 in (457 mm)"),
        ("90 cm", "18 in (45.7 cm)"),
        ("0.9 m", "18 in (45.7 cm)"),
        ("36 in", "18 in"),
        ("3 ft", "1.5 ft"),
    ],
)
def test_a_limit_that_the_plans_unit_cannot_say_round_is_told_as_the_rule_has_it_too(stated: str, told: str) -> None:
    """18 in are 457.2 mm (1 in = 25.4 mm exactly): nobody knows the limit by the name of 0.457 m."""
    text = changed(PLAN, ("length: 15 cm", f"length: {stated}"))
    (message,) = messages(text, "main-fuse-too-far")
    assert message.endswith(f"; at most {told}")


@pytest.mark.parametrize(("stated", "other"), [("10 mm2", "10 AWG"), ("4 AWG", "4 mm2")])
def test_the_other_reading_of_a_size_is_told_in_the_other_system(stated: str, other: str) -> None:
    """10 AWG are 5.26 mm2 (ASTM B258), which nobody reads off a jacket: it is told as 10 AWG."""
    text = changed(BETWEEN, ("gauge: 4 AWG", f"gauge: {stated}, ends: {{both: {{barrel: {other}}}}}"))
    (message,) = messages(text, "gauge-statement-conflict")
    assert message.endswith(f"the same number in the other system, {other}")


def test_several_fuses_in_a_return_are_told_in_good_grammar() -> None:
    """The wire into a block with two fused outputs meets both fuses."""
    outputs = "out-1: {fuse: 80 A}, out-2: {fuse: 80 A}"
    text = changed(
        PLAN,
        ("  stud:", "  star: {kind: distribution, zone: cargo, outputs: {" + outputs + "}}\n  stud:"),
        ("bass.ground, to: stud", "bass.ground, to: star.out-1"),
        (
            "mids.ground, to: stud, group: branch, length: 40 cm}",
            "mids.ground, to: star.out-2, gauge: 6 AWG, length: 40 cm}\n"
            "  star-ground: {from: star.in, to: stud, gauge: 2 AWG, length: 20 cm}",
        ),
    )
    told = [one for one in judged(text).findings if one.rule == "fuse-in-return"]
    assert len(told) == 1
    assert "stands" not in told[0].message
    assert told[0].message.startswith("the current comes back by ")


def test_a_missing_flag_is_named_with_its_element() -> None:
    """What a part is or is not names the part within the sentence: nothing stands behind it but its line."""
    flag = Unchecked(
        section="nodes",
        needs="whether fuse is accessible",
        rules=("fuse-not-accessible",),
        subjects=("fuse",),
        severity=Severity.WARNING,
        place=Place(span=Span(line=7, column=1, end_line=7, end_column=2), line=""),
    )
    told = " ".join(" ".join(unchecked_lines(replace(judged(PLAN), unchecked=(flag,)))).split())
    assert told == "- whether fuse is accessible (line 7): fuse-not-accessible could not judge"


def test_a_fastener_of_which_nobody_knows_what_locks_it_is_asked_for_that() -> None:
    """The plan states a bolt and its thread, so that asking for `the fastener` would tell its author nothing."""
    ground = ("resistance: 1 mohm measured", "member: floor, fastener: M8 through bolt")
    (gap,) = [one for one in judged(changed(PLAN, ground)).unchecked if "ground-fastener-weak" in one.rules]
    assert gap.needs == "the bolt, its thread and what locks it (`fastener`) of stud"


@pytest.mark.parametrize(
    ("stated", "told"),
    [
        ("copper-clad-aluminium", "feed is of copper-clad aluminium and lies in the engine bay"),
        ("copper-clad-aluminium-15", "feed is of copper-clad aluminium (15 % copper) and lies in the engine bay"),
    ],
)
def test_values_of_a_plan_are_told_as_people_write_them(stated: str, told: str) -> None:
    """Keys such as `engine-bay` are for the plan, not for a sentence."""
    feed = "feed: {from: main-fuse.load, to: block.in, gauge: 2 AWG, "
    text = changed(PLAN, (feed, f"{feed}material: {stated}, "))
    assert told in messages(text, "clad-in-harsh-zone")
    plan, _ = plan_of(document_of(text))
    assert plan is not None
    rule = next(one for one in shipped_rulebook().rules if one.id == "clad-in-harsh-zone")
    assert written("{material}, {harsh_zone}", rule, Case(plan), plan.wires[1]) == f"{stated}, engine-bay"


def test_an_output_that_a_finding_points_to_is_named_with_its_part() -> None:
    """A block has many outputs and an amplifier several: the part's name alone says nothing."""
    text = changed(PLAN, ("out-2: {fuse: 30 A", "out-2: {fuse: 100 A"))
    found = next(one for one in judged(text).findings if one.rule == "fuse-exceeds-wire")
    assert ("block.out-2", "what limits its current") in [(one.name, one.message) for one in found.related]


PLURAL = re.compile(r"\{(\w+)\}(?: of cable)? (?:are|were|come|flow|hang|lead|leave|lie|run)\b")


@pytest.mark.parametrize("rule", shipped_rulebook().rules, ids=lambda rule: rule.id)
def test_a_measure_is_one_thing(rule: Rule) -> None:
    """`45 A flows`, `0.9 V is lost`: a number with its unit takes its verb in the singular."""
    said = " ".join(words for words in (rule.says, *(one.says for one in rule.require)) if words)
    measures = {name for name, fact in SUBJECTS[rule.about].facts.items() if isinstance(fact.yields, Dimension)}
    assert measures.intersection(PLURAL.findall(said)) == set()
