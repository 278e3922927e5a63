"""The report for programs: valid by its schema, in SI, findings known by rule and names."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from made_results import ALL, BROKEN
from small_world import ACCEPTED, SOUND, UNCHECKED, UNREADABLE, WARNED, small_rulebook
from small_world import BROKEN as BROKEN_TEXT

from planlint.judge.judge import judge
from planlint.judge.result import Result
from planlint.judge.unreadable import own_fault, unreadable_file
from planlint.report.json import render_json
from planlint.shipped import schema_text

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.plan.yaml"))
SHAPE: dict[str, Any] = json.loads(schema_text("report.schema.json"))
SCHEMA = Draft202012Validator(SHAPE)
TEXTS = {
    "sound": SOUND,
    "broken": BROKEN_TEXT,
    "warned": WARNED,
    "unchecked": UNCHECKED,
    "accepted": ACCEPTED,
    "unreadable": UNREADABLE,
    "whole": SOUND.replace("scope: electrical\n", ""),
    "no yaml": "plan: [",
    "empty": "",
    "control": "plan: \0",
}


def report(results: tuple[Result, ...]) -> Any:
    """The report as a program reads it; numbers that JSON lacks are refused."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON (RFC 8259)")

    return json.loads(render_json(results), parse_constant=refuse)


def errors(data: Any) -> list[str]:
    """Every way in which a report departs from its schema."""
    return [f"{error.json_path}: {error.message}" for error in SCHEMA.iter_errors(data)]


def of_text(text: str) -> Result:
    """A text of the small world, judged."""
    return judge(text.encode(), "car.plan.yaml", rules=small_rulebook().rules)


def test_the_schema_is_one() -> None:
    """The schema of the report is itself valid."""
    Draft202012Validator.check_schema(SHAPE)
    assert SHAPE["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("name", TEXTS)
def test_a_judged_text_gives_a_valid_report(name: str) -> None:
    """Sound, broken, unchecked, accepted and unreadable plans are told as the schema says."""
    assert errors(report((of_text(TEXTS[name]),))) == []


def test_hand_made_results_give_a_valid_report() -> None:
    """Everything a result can hold fits the schema, no limit and no number among it."""
    assert errors(report(ALL)) == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_the_examples_give_valid_reports(path: Path) -> None:
    """Whatever the shipped rules say of the examples fits the schema."""
    assert errors(report((judge(path.read_bytes(), path.name),))) == []


@pytest.mark.parametrize(
    "result",
    [
        unreadable_file("a\\udcff", "there is no file", "Name one."),
        own_fault("a", "", KeyError("x"), ("a-rule",)),
    ],
)
def test_what_was_not_judged_gives_a_valid_report(result: Result) -> None:
    """A file that is not there and a fault of planlint itself fit the schema too."""
    assert errors(report((result,))) == []


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (lambda plan: plan.update(line=3), "line"),
        (lambda plan: plan["findings"][0].pop("remedy"), "remedy"),
        (lambda plan: plan["findings"][0].update(severity="fatal"), "fatal"),
        (lambda plan: plan["accepted"][0].pop("until"), "until"),
        (lambda plan: plan["findings"][0]["facts"]["unfused_reach"].update(value="0.9"), "0.9"),
    ],
)
def test_the_schema_refuses_what_a_report_is_not(change: Any, word: str) -> None:
    """The schema is strict: an unknown name, a missing one or a wrong value is found."""
    data = report((BROKEN,))
    change(data["plans"][0])
    assert any(word in error for error in errors(data))


def test_accepted_findings_stay_listed() -> None:
    """An accepted finding keeps all that it says, with reason, name and last day, and is counted apart."""
    plan = report((of_text(ACCEPTED),))["plans"][0]
    told = plan["accepted"][0]
    assert (
        plan["verdict"],
        plan["counts"]["error"],
        plan["counts"]["accepted"],
        [told[key] for key in ("rule", "severity", "message", "reason", "by", "until")],
    ) == (
        "ready (electrical only)",
        0,
        1,
        ["cable-long", "error", "feed-rear is 40 m long; at most 10 m", "a bus", "the foreman", "2031-05-31"],
    )


def test_no_limit_is_null_and_numbers_are_in_si() -> None:
    """JSON has no infinity: what has no limit is null; lengths are in metres whatever the plan's unit."""
    facts = report((BROKEN,))["plans"][0]["findings"][0]["facts"]
    assert facts == {
        "unfused_reach": {"value": 0.9, "unit": "m"},
        "protecting_rating": {"value": None, "unit": "A"},
        "first_fuse": "main-fuse",
    }


def identities(text: str) -> set[tuple[str, str, str]]:
    """What a baseline keeps of the findings of a text: rule and names."""
    findings = report((of_text(text),))["plans"][0]["findings"]
    return {(one["rule"], one["subject"]["about"], one["subject"]["name"]) for one in findings}


def test_a_finding_is_known_by_rule_and_names_never_by_line() -> None:
    """Comments, blank lines and another order move every line and change no identity."""
    head, wires = BROKEN_TEXT.split("wires:\n")
    moved = "# moved\n\n" + head + "wires:\n" + "".join(reversed(wires.splitlines(keepends=True)))
    assert identities(moved) == identities(BROKEN_TEXT) == {("cable-long", "wire", "feed-rear")}


def test_left_out_sections_are_one_thing_not_checked() -> None:
    """A whole plan without its later sections says so in one entry without rules."""
    plan = report((of_text(TEXTS["whole"]),))["plans"][0]
    assert (
        [(gap["needs"], gap["rules"]) for gap in plan["cannot_check"]],
        plan["counts"]["cannot_check"],
    ) == (
        [("holes, mounts, steps, tests, documents", [])],
        1,
    )


def test_the_report_is_ascii() -> None:
    """Names in any script survive every stream, since the bytes are ASCII."""
    data = render_json((replace(BROKEN, plan="車.plan.yaml"),))
    assert (data.isascii(), json.loads(data)["plans"][0]["plan"]) == (True, "車.plan.yaml")
