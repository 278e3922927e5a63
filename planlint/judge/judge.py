"""Judges the text of one plan: reads, builds, asks the rules, and tells it with places."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from planlint.facts.case import Case
from planlint.judge.accept import accept
from planlint.judge.result import Place, Result, Told, Unchecked, Verdict
from planlint.judge.tell import Teller
from planlint.plan.build import build
from planlint.plan.model import Plan
from planlint.plan.values import Fault
from planlint.rulebook.evaluate import judge_case
from planlint.rulebook.findings import Gap
from planlint.rulebook.load import shipped_rulebook
from planlint.rulebook.model import Rule, Severity
from planlint.shipped import schema_text
from planlint.text.document import Document
from planlint.text.encoding import decode
from planlint.text.places import Span, split_lines
from planlint.text.problems import Problem
from planlint.text.reader import BYTES_TO_READ, read
from planlint.text.shape import check_shape

SECTIONS = ("holes", "mounts", "steps", "tests", "documents")


@cache
def plan_schema() -> dict[str, Any]:
    """Return the schema of a plan file."""
    schema: dict[str, Any] = json.loads(schema_text("plan.schema.json"))
    return schema


def judge(
    raw: bytes,
    name: str,
    *,
    rules: tuple[Rule, ...] | None = None,
    fail_at: Severity | None = Severity.ERROR,
) -> Result:
    """Return the Result of judging the bytes of one plan file.

    `name` is the plan's name in reports. A finding at or above `fail_at` breaks the plan; None lets none do so.
    """
    reading = read(raw)
    if reading.document is None:
        text = decode(raw[:BYTES_TO_READ])
        return _unreadable(name, "", reading.problems, text if isinstance(text, str) else "")
    plan, problems = plan_of(reading.document)
    if plan is None:
        return _unreadable(name, _title(reading.document), problems, reading.document.text)
    return judge_plan(
        plan, reading.document, name, shipped_rulebook().rules if rules is None else rules, fail_at
    )


def plan_of(document: Document) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Return the plan of a document, or None and all problems of the document."""
    problems = check_shape(document, plan_schema())
    if problems:
        return None, problems
    building = build(document.data)
    if building.faults:
        return None, tuple(_problem(document, fault) for fault in building.faults)
    return building.plan, ()


def judge_plan(
    plan: Plan, document: Document, name: str, rules: tuple[Rule, ...], fail_at: Severity | None
) -> Result:
    """Return the Result of judging a plan that could be read."""
    judgement = judge_case(Case(plan), rules)
    teller = Teller(document)
    findings, accepted = accept(plan, judgement.findings, teller)
    unchecked = _unchecked(judgement.gaps, teller)
    sections = _left_out(plan, document)
    return Result(
        plan=name,
        title=plan.title,
        verdict=_verdict(
            findings, unchecked, fail_at, electrical=bool(sections) or plan.scope == "electrical"
        ),
        findings=findings,
        accepted=accepted,
        unchecked=unchecked,
        assumed=tuple(teller.assumed(one) for one in judgement.assumed),
        sections=sections,
    )


def _verdict(
    findings: tuple[Told, ...],
    unchecked: tuple[Unchecked, ...],
    fail_at: Severity | None,
    *,
    electrical: bool,
) -> Verdict:
    if fail_at is not None:
        if any(finding.severity >= fail_at for finding in findings):
            return Verdict.BROKEN
    if any(gap.severity is Severity.ERROR for gap in unchecked):
        return Verdict.UNCHECKED
    return Verdict.READY_ELECTRICAL if electrical else Verdict.READY


def _left_out(plan: Plan, document: Document) -> tuple[str, ...]:
    if plan.scope == "electrical":
        return ()
    return tuple(section for section in SECTIONS if document.data.get(section) is None)


def _title(document: Document) -> str:
    title = document.data.get("title")
    return title if isinstance(title, str) else ""


def _unreadable(name: str, title: str, problems: tuple[Problem, ...], text: str) -> Result:
    lines = split_lines(text)
    findings = tuple(_told(problem, lines) for problem in sorted(problems, key=lambda p: (p.span, p.message)))
    return Result(plan=name, title=title, verdict=Verdict.UNREADABLE, findings=findings)


def unreadable_file(name: str, trouble: str) -> Result:
    """Return the Result of a file that could not be read from disk."""
    problem = Problem(
        rule="plan-format",
        message=trouble[:1].upper() + trouble[1:] + ".",
        remedy="Check the path and its permissions: `planlint check cars/van.plan.yaml`.",
        span=Span(line=1, column=1, end_line=1, end_column=1),
    )
    return _unreadable(name, "", (problem,), "")


def _told(problem: Problem, lines: list[str]) -> Told:
    index = problem.span.line - 1
    return Told(
        rule=problem.rule,
        title=TITLES.get(problem.rule, "The file cannot be read as a plan"),
        severity=Severity.ERROR,
        about="file",
        subject=".".join(str(step) for step in problem.path),
        message=problem.message,
        remedy=problem.remedy,
        remark="",
        place=Place(span=problem.span, line=lines[index] if index < len(lines) else ""),
    )


TITLES = {
    "plan-format": "Not as a plan is written",
    "endpoint-unknown": "Wire ends at nothing",
    "id-duplicate": "Name used twice",
    "required-field-missing": "Field is missing",
    "unit-ambiguous": "Number without a unit",
}


def _problem(document: Document, fault: Fault) -> Problem:
    message = fault.message[:1].upper() + fault.message[1:]
    return Problem(
        rule=fault.rule,
        message=message if message.endswith(".") else message + ".",
        remedy=fault.remedy[:1].upper() + fault.remedy[1:],
        span=document.span(fault.path),
        path=fault.path,
    )


def _unchecked(gaps: tuple[Gap, ...], teller: Teller) -> tuple[Unchecked, ...]:
    """Return the gaps grouped by what is missing, the most severe and most far-reaching first."""
    groups: dict[tuple[str | int, ...], list[Gap]] = {}
    for gap in gaps:
        groups.setdefault(gap.path, []).append(gap)
    found = [
        Unchecked(
            needs=group[0].needs,
            rules=tuple(sorted({gap.rule.id for gap in group})),
            subjects=tuple(sorted({gap.subject for gap in group})),
            severity=max(gap.severity for gap in group),
            place=teller.place(path),
        )
        for path, group in groups.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.severity, -len(one.rules), one.needs)))
