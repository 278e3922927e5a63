"""Judges the text of one plan: reads, builds, asks the rules, and tells it with places."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from planlint.facts.case import Case
from planlint.judge.accept import accept
from planlint.judge.leave_out import without
from planlint.judge.numbers import numbers_of
from planlint.judge.result import Result, Told, Unchecked, Verdict
from planlint.judge.tell import Teller
from planlint.judge.unreadable import own_fault, problem_of, unreadable
from planlint.plan.build import build
from planlint.plan.model import Plan
from planlint.rulebook.evaluate import judge_case
from planlint.rulebook.findings import Gap
from planlint.rulebook.load import shipped_rulebook
from planlint.rulebook.model import Rule, Severity
from planlint.shipped import schema_text
from planlint.text.document import Document
from planlint.text.pause import no_garbage_search
from planlint.text.problems import ID_DUPLICATE, Problem
from planlint.text.reader import read
from planlint.text.shape import check_shape

# The sections of the work, each with the kind of subject as which rules judge its elements.
SECTIONS = {"holes": "hole", "mounts": "mount", "steps": "step", "tests": "test", "documents": "document"}


@cache
def plan_schema() -> dict[str, Any]:
    """Return the schema of a plan file. Raises ShippedDataMissingError."""
    schema: dict[str, Any] = json.loads(schema_text("plan.schema.json"))
    return schema


def judge(
    raw: bytes,
    name: str,
    *,
    rules: tuple[Rule, ...] | None = None,
    fail_at: Severity = Severity.ERROR,
    today: str | None = None,
    numbers: bool = False,
) -> Result:
    """Return the Result of judging the bytes of one plan file.

    `name` is the plan's name in reports. A finding at or above `fail_at` breaks the plan. `today`, as
    year-month-day, is the day by which what the plan accepts may have expired; without it nothing has. `numbers`
    asks for the numbers of a table too. Whatever the
    bytes, and whatever fails in planlint itself, the outcome is a Result; only where planlint's own files
    are damaged it raises RulebookError or ShippedDataMissingError.
    """
    rules = shipped_rulebook().rules if rules is None else rules
    plan_schema()
    try:
        with no_garbage_search():
            return _judge(raw, name, rules, fail_at, today, numbers=numbers)
    except Exception as error:
        return own_fault(name, "", error)


def _judge(
    raw: bytes, name: str, rules: tuple[Rule, ...], fail_at: Severity, today: str | None, *, numbers: bool
) -> Result:
    reading = read(raw)
    document = reading.document or reading.draft
    if document is None:
        return unreadable(name, "", reading.problems, raw)
    plan, problems = plan_of(document)
    if plan is None or reading.problems:
        others = tuple(problem for problem in problems if not _is_caused(problem, reading.problems))
        return unreadable(name, _title(document), reading.problems + others, raw)
    try:
        return judge_plan(plan, document, name, rules, fail_at, today, numbers=numbers)
    except Exception as error:
        return own_fault(name, plan.title, error, _failing(plan, rules))


def _is_caused(problem: Problem, by: tuple[Problem, ...]) -> bool:
    """Say whether a problem only follows from one that the reader has told: of a value that it could not take over."""
    unread = (one.path for one in by if one.rule != ID_DUPLICATE and one.path)
    return problem.path[-1:] == ("",) or any(problem.path[: len(path)] == path for path in unread)


def _failing(plan: Plan, rules: tuple[Rule, ...]) -> tuple[str, ...]:
    """Return the rules at which judging fails, each tried alone."""
    return tuple(rule.id for rule in rules if _fails(plan, rule))


def _fails(plan: Plan, rule: Rule) -> bool:
    try:
        judge_case(Case(plan), (rule,))
    except Exception:
        return True
    return False


def plan_of(document: Document) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Return the plan of a document, or None and all problems of the document.

    What has the right shape is read although something else has not, so that all mistakes are told at once.
    """
    problems = check_shape(document, plan_schema())
    sound, spoiled = without(document.data, problems)
    building = build(sound, spoiled)
    problems += tuple(problem_of(document, fault) for fault in building.faults)
    return (None, problems) if problems else (building.plan, ())


def judge_plan(
    plan: Plan,
    document: Document,
    name: str,
    rules: tuple[Rule, ...],
    fail_at: Severity,
    today: str | None = None,
    *,
    numbers: bool = False,
) -> Result:
    """Return the Result of judging a plan that could be read."""
    case = Case(plan, today)
    judgement = judge_case(case, rules)
    teller = Teller(document, plan.origins)
    findings, accepted = accept(plan, judgement.findings, teller, today)
    unchecked = _unchecked(judgement.gaps, teller)
    sections, ruleless = _left_out(plan, document), _ruleless(plan, document, rules)
    electrical = bool(sections or ruleless) or plan.scope == "electrical"
    unjudged = not plan.wires or any(gap.severity is Severity.ERROR for gap in unchecked)
    return Result(
        plan=name,
        title=plan.title,
        verdict=_verdict(findings, fail_at, unjudged=unjudged, electrical=electrical),
        findings=findings,
        accepted=accepted,
        unchecked=unchecked,
        assumed=tuple(teller.assumed(one) for one in judgement.assumed),
        sections=sections,
        ruleless=ruleless,
        numbers=numbers_of(case) if numbers else None,
    )


def _verdict(findings: tuple[Told, ...], fail_at: Severity, *, unjudged: bool, electrical: bool) -> Verdict:
    if any(finding.severity >= fail_at for finding in findings):
        return Verdict.BROKEN
    if unjudged:
        return Verdict.UNCHECKED
    return Verdict.READY_ELECTRICAL if electrical else Verdict.READY


def _left_out(plan: Plan, document: Document) -> tuple[str, ...]:
    work = () if plan.scope == "electrical" else SECTIONS
    return (*(() if plan.wires else ("wires",)), *(one for one in work if document.data.get(one) is None))


def _ruleless(plan: Plan, document: Document, rules: tuple[Rule, ...]) -> tuple[str, ...]:
    """Return the sections of the work that the plan has and no rule judges."""
    judged = {rule.about for rule in rules}
    stated = (
        () if plan.scope == "electrical" else (one for one in SECTIONS if document.data.get(one) not in (None, "none"))
    )
    return tuple(section for section in stated if SECTIONS[section] not in judged)


def _title(document: Document) -> str:
    title = document.data.get("title")
    return title if isinstance(title, str) else ""


def _unchecked(gaps: tuple[Gap, ...], teller: Teller) -> tuple[Unchecked, ...]:
    """Return the gaps grouped by what is missing, the most severe and most far-reaching first."""
    groups: dict[tuple[str | int, ...], list[Gap]] = {}
    for gap in gaps:
        groups.setdefault(gap.path, []).append(gap)
    found = [
        Unchecked(
            section=str(path[0]),
            needs=group[0].needs,
            rules=tuple(sorted({gap.rule.id for gap in group})),
            subjects=tuple(sorted({gap.subject for gap in group})),
            severity=max(gap.severity for gap in group),
            place=teller.place(path),
        )
        for path, group in groups.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.severity, -len(one.rules), one.needs)))
