"""The report for a person: every thing a result holds is told, safely, at 80 columns, in one order."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from made_results import ALL, BODY, BROKEN, FAR, GAP, MATERIAL, MINOR_GAP, SOUND, UNCHECKED, UNREADABLE, place

from planlint.judge.result import AssumedValue, Result, Verdict
from planlint.report.caution import CAUTION
from planlint.report.plain import WIDTH, columns
from planlint.report.text import render_text

COLOUR = re.compile(r"\x1b\[[0-9;]*m")  # select graphic rendition, ECMA-48


def one_line(text: str) -> str:
    """The report with its line ends and indentation taken out."""
    return " ".join(text.split())


@pytest.mark.parametrize("result", ALL, ids=lambda result: result.plan)
def test_no_line_is_wider_than_the_report(result: Result) -> None:
    """Every line fits 80 columns, wide characters counted as two."""
    assert [line for line in render_text((result,)).split("\n") if columns(line) > WIDTH] == []


@pytest.mark.parametrize("result", ALL, ids=lambda result: result.plan)
def test_colour_changes_no_word(result: Result) -> None:
    """Without its colours the coloured report is the plain one."""
    coloured = render_text((result,), colour=True)
    assert (COLOUR.sub("", coloured), coloured != COLOUR.sub("", coloured)) == (render_text((result,)), True)


@pytest.mark.parametrize("colour", [False, True])
def test_nothing_of_a_plan_takes_effect(colour: bool) -> None:
    """Control characters in title and text are shown by number; only the report's own colours remain."""
    report = COLOUR.sub("", render_text((BROKEN,), colour=colour))
    assert ("\x1b" in report, "Demo car\\u001b[2J" in report, "# \\u001b[31m" in report) == (
        False,
        True,
        True,
    )


def test_a_finding_is_told_in_order() -> None:
    """Place, sentence, line with marks, remedy, related places, consequences; then what was not checked,
    assumed, verdict."""
    report = one_line(render_text((BROKEN,)))
    parts = [
        "error: First fuse is too far",
        "feed-front, line 21 (main-fuse-too-far)",
        "at most 18 in.",
        "length: 90 cm",
        "~~~~~",
        "do Move main-fuse",
        "see main-fuse, line 8: the first fuse",
        "see line 22: the same at feed-2",
        "also error, source-wire-unfused:",
        "warning: Too much voltage",
        "Accepted by someone",
        "its material is not stated; accepted by the foreman until 2031-05-31: jacket says copper",
        "Not checked",
        "the length of converter-feed (line 31): conductor-overloaded and 2 more rules could not judge; an error could",
        "the gauge of turn-on (line 35): total-drop-high could not judge",
        "any holes, mounts, steps, tests or documents",
        "Assumed",
        "resistance of a steel unibody: 2 mohm; above 5.03 mohm sub-amp would break total-drop-high",
        "material of feed-rear: copper-clad aluminium",
        "Verdict: broken; 1 error, 1 warning, 1 note, 1 accepted, 2 not stated",
        "planlint checks a plan, not the work.",
    ]
    positions = [report.find(part) for part in parts]
    assert (min(positions) >= 0, positions == sorted(positions)) == (True, True), dict(
        zip(parts, positions, strict=True)
    )


def assumed(*abouts: str, **changed: Any) -> list[AssumedValue]:
    """The assumption of a material for wires of these names."""
    return [replace(MATERIAL, about=one, meaning=f"material of {one}", **changed) for one in abouts]


def test_the_wires_of_one_assumption_are_told_together() -> None:
    """Wires with the same stand-in share a line, a few of many named; another value or turn has its own."""
    parted = [*assumed("e", shown="copper"), *assumed("f", turns="it would break x"), BODY]
    result = replace(SOUND, assumed=(*assumed("sub-a", "sub-b"), *parted))
    told = one_line(render_text((result,))).split("state it ")[1].split(" Verdict")[0]
    assert told == (
        "- material of f: copper-clad aluminium; it would break x "
        "- resistance of a steel unibody: 2 mohm; above 5.03 mohm sub-amp would break total-drop-high "
        "- material of sub-a and sub-b: copper-clad aluminium - material of e: copper"
    )


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("a", "material of a: "),
        ("a b c", "material of a, b and c: "),
        ("a b c d", "material of a, b, c and 1 more: "),
        ("a b c d e", "material of a, b, c and 2 more: "),
    ],
)
def test_a_few_of_many_wires_are_named(names: str, said: str) -> None:
    """Up to three wires of an assumption are named, and how many more there are is said."""
    result = replace(SOUND, assumed=tuple(assumed(*names.split())))
    assert f"- {said}copper-clad aluminium Verdict" in one_line(render_text((result,)))


def test_an_element_in_brackets_is_joined_in_them() -> None:
    """An assumption of a figure names its elements at the end, in brackets."""
    joints = [replace(BODY, about=one, meaning=f"one joint ({one})", turns="") for one in ("a", "joint")]
    report = one_line(render_text((replace(SOUND, assumed=tuple(joints)),)))
    assert "- one joint (a and joint): 2 mohm Verdict" in report


def test_more_assumptions_than_eight_lines_are_counted() -> None:
    """Eight lines of assumptions are listed; what stands behind the others is counted one by one."""
    lines = [one for number in range(9) for one in assumed(f"a{number}", f"b{number}", shown=f"metal {number}")]
    report = one_line(render_text((replace(SOUND, assumed=tuple(lines)),)))
    assert "- material of a7 and b7: metal 7 - 2 more like these Verdict" in report


@pytest.mark.parametrize(
    ("result", "verdict"),
    [
        (SOUND, "Verdict: ready (electrical only); no findings"),
        (replace(SOUND, verdict=Verdict.READY), "Verdict: ready; no findings"),
        (UNCHECKED, "Verdict: unchecked; no findings, 1 not stated; an error could hide there"),
        (UNREADABLE, "Verdict: unreadable; 1 error; nothing was judged"),
        (replace(BROKEN, findings=(FAR, FAR), accepted=(), unchecked=()), "Verdict: broken; 2 errors"),
    ],
)
def test_the_verdict_is_one_line(result: Result, verdict: str) -> None:
    """The verdict with its counts stands on a line of its own."""
    assert f"  {verdict}" in render_text((result,)).split("\n")


@pytest.mark.parametrize("results", [(), (SOUND,), ALL])
def test_every_report_ends_with_the_caution(results: tuple[Result, ...]) -> None:
    """Whatever was judged, the last words are the caution."""
    assert one_line(render_text(results)).endswith(CAUTION)


def test_several_plans_end_in_one_line_each() -> None:
    """After several reports every plan is named once more with its verdict and counts."""
    lines = [line.split() for line in render_text(ALL).split("\n")]
    start = lines.index(["4", "plans"])
    assert [line[-1] if "no" not in line else "findings" for line in lines[start + 1 : start + 2]] == ["stated"]
    assert [" ".join(line[:1]) for line in lines[start + 1 : start + 5]] == [
        "broken",
        "ready",
        "unchecked",
        "unreadable",
    ]


def test_a_field_that_many_lack_is_one_line() -> None:
    """Twelve wires without a length are one missing thing: a few are named with their lines, the others counted."""
    gaps = tuple(replace(GAP, needs=f"the length of wire-{n}") for n in range(12))
    report = one_line(render_text((replace(UNCHECKED, unchecked=gaps),)))
    assert "the length of wire-0 (line 31), wire-1 (line 31), wire-10 (line 31) and 9 more: conductor-over" in report


def test_the_three_fields_that_most_wait_for_go_first_and_the_rest_are_counted() -> None:
    """Of five missing fields those behind which an error could hide lead, then those of most subjects."""
    major = [replace(GAP, needs=f"the {field} of amp") for field in ("power", "gauge")]
    minor = [replace(MINOR_GAP, needs=f"the {field} of amp") for field in ("label", "colour", "mass")]
    wide = replace(minor[0], subjects=("amp", "converter"))
    report = one_line(render_text((replace(UNCHECKED, unchecked=(minor[1], minor[2], wide, *major)),)))
    order = [report.find(f"the {field} of amp") for field in ("gauge", "power", "label")]
    assert (min(order) > 0, order == sorted(order)) == (True, True)
    assert "2 more fields, which 1 rule would need" in report
    assert "mass" not in report and "colour" not in report


def test_a_file_without_a_line_to_quote_is_told_without_one() -> None:
    """Where there is no text, as of a file that is not there, no empty quotation is shown."""
    missing = replace(UNREADABLE.findings[0], place=place(1, "", ""), subject="")
    report = render_text((replace(UNREADABLE, findings=(missing,)),))
    assert ("~" in report, "line 1" in report, "      (unit-ambiguous)" in report) == (False, False, True)


def test_a_span_over_several_lines_is_marked_to_the_end_of_its_first() -> None:
    """Of a value that spans lines the first is quoted, marked from where it begins to its end."""
    spot = place(3, "    route: [a,", "[a,")
    spot = replace(spot, span=replace(spot.span, end_line=5, end_column=2))
    lines = render_text((replace(UNREADABLE, findings=(replace(FAR, place=spot),)),)).split("\n")
    at = lines.index(" " * 10 + "route: [a,")
    assert lines[at + 1] == " " * 17 + "~~~"
