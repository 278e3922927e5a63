"""Tells why nothing is judged: a file that cannot be read as a plan, or a fault of planlint itself."""

from __future__ import annotations

import codecs
from dataclasses import replace

from planlint.judge.result import Place, Result, Told, Verdict
from planlint.plan.values import Fault
from planlint.rulebook.model import Severity
from planlint.text.document import Document
from planlint.text.places import Span, split_lines
from planlint.text.problems import PLAN_FORMAT, Problem
from planlint.text.reader import BYTES_TO_READ

OWN_FAULT = "planlint-fault"
TITLES = {
    PLAN_FORMAT: "Not written as a plan is",
    "endpoint-unknown": "Wire ends at nothing",
    "id-duplicate": "Name used twice",
    "required-field-missing": "Field is missing",
    "unit-ambiguous": "Number without a unit",
    OWN_FAULT: "A fault of planlint itself",
}
"""What findings of the file itself are called, by id; they are no rules."""

_START = Span(line=1, column=1, end_line=1, end_column=1)


def unreadable(name: str, title: str, problems: tuple[Problem, ...], raw: bytes) -> Result:
    """Return the Result of a file with problems; `raw` are its bytes, `title` the plan's title where it
    could be read."""
    lines = split_lines(_text(raw))
    findings = tuple(_told(problem, lines) for problem in sorted(problems, key=lambda p: (p.span, p.message)))
    return Result(plan=name, title=title, verdict=Verdict.UNREADABLE, findings=findings)


def unreadable_file(name: str, trouble: str, remedy: str) -> Result:
    """Return the Result of a file that could not be read from disk."""
    problem = Problem(rule=PLAN_FORMAT, message=_sentence(trouble), remedy=remedy, span=_START)
    told = replace(_told(problem, []), title="File that cannot be read")
    return Result(plan=name, title="", verdict=Verdict.UNREADABLE, findings=(told,))


def own_fault(name: str, title: str, error: BaseException, rules: tuple[str, ...] = ()) -> Result:
    """Return the Result of a plan at which planlint itself failed; `rules` are those it fails at, where that
    is known."""
    named = f"{len(rules)} rules, {rules[0]} among them" if len(rules) > 1 else "".join(rules)
    at = f" while judging {named}" if rules else ""
    problem = Problem(
        rule=OWN_FAULT,
        message=f"planlint met a fault of its own{at} ({where(error)}); the plan is not judged.",
        remedy="This is no fault of the plan. Please report it with this line, the plan, and what "
        "`planlint --version` says.",
        span=_START,
    )
    return unreadable(name, title, (problem,), b"")


def where(error: BaseException) -> str:
    """Return the kind of an error and where in planlint it arose, without words that change from run to
    run."""
    place, step = "", error.__traceback__
    while step is not None:
        module = str(step.tb_frame.f_globals.get("__name__", ""))
        if module.startswith("planlint."):
            place = f" in {module}, line {step.tb_lineno}"
        step = step.tb_next
    return f"{type(error).__name__}{place}"


def problem_of(document: Document, fault: Fault) -> Problem:
    """Return a fault of the plan as a problem with its place in the text."""
    return Problem(
        rule=fault.rule,
        message=_sentence(fault.message),
        remedy=fault.remedy[:1].upper() + fault.remedy[1:],
        span=document.span(fault.path),
        path=document.nearest(fault.path),
    )


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?")) else text + "."


def _text(raw: bytes) -> str:
    """Return the bytes as text to quote from, whatever they are."""
    marks = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
    return raw[:BYTES_TO_READ].decode("utf-16" if raw.startswith(marks) else "utf-8-sig", "replace")


def _told(problem: Problem, lines: list[str]) -> Told:
    index = problem.span.line - 1
    return Told(
        rule=problem.rule,
        title=TITLES.get(problem.rule, TITLES[PLAN_FORMAT]),
        severity=Severity.ERROR,
        about="file",
        subject=".".join(str(step) for step in problem.path),
        message=problem.message,
        remedy=problem.remedy,
        remark="",
        place=Place(span=problem.span, line=lines[index] if index < len(lines) else ""),
    )
