"""Tells results to other programs: JSON as `schemas/report.schema.json` describes it, quantities in SI."""

from __future__ import annotations

import json
import math
from typing import Any

from planlint.judge.result import AcceptedFinding, AssumedValue, Place, Result, Told, Unchecked
from planlint.report.beside import assumed_text
from planlint.rulebook.findings import FactUsed
from planlint.rulebook.model import Severity


def render_json(results: tuple[Result, ...]) -> str:
    """Return the report of all results as JSON: the same bytes for the same results, ASCII for any stream."""
    report = {"report": 1, "plans": [_plan(result) for result in results]}
    return json.dumps(report, indent=2, allow_nan=False) + "\n"


def _plan(result: Result) -> dict[str, Any]:
    counts = {severity.word: result.count(severity) for severity in sorted(Severity, reverse=True)}
    gaps = [*map(_unchecked, result.unchecked), *_sections(result.sections), *_sections(result.ruleless)]
    counts |= {"accepted": len(result.accepted), "cannot_check": len(gaps)}
    return {
        "plan": result.plan,
        "verdict": result.verdict.value,
        "counts": counts,
        "findings": [_finding(finding) for finding in result.findings],
        "accepted": [_accepted(one) for one in result.accepted],
        "cannot_check": gaps,
        "assumed": [_assumed(one) for one in result.assumed],
    }


def _finding(finding: Told) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "severity": finding.severity.word,
        "subject": _subject(finding),
        "message": finding.message if not finding.remark else f"{finding.message}. {finding.remark}",
        "place": _place(finding.place),
        "related": [{"message": place.message, "place": _place(place)} for place in finding.related],
        "facts": {fact.name: _fact(fact) for fact in finding.facts},
        "remedy": finding.remedy,
        "sources": [{"origin": one.origin, **({"cite": one.cite} if one.cite else {})} for one in finding.sources],
        "consequences": [
            {
                "rule": one.rule,
                "severity": one.severity.word,
                "subject": _subject(one),
                "message": one.message,
            }
            for one in finding.consequences
        ],
    }


def _subject(finding: Told) -> dict[str, str]:
    return {"about": finding.about, "name": finding.subject}


def _place(place: Place) -> dict[str, int]:
    span = place.span
    return {
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
    }


def _fact(fact: FactUsed) -> dict[str, Any] | str:
    return fact.value if isinstance(fact.value, str) else {"value": _number(fact.value), "unit": fact.unit}


def _number(value: float) -> float | None:
    """Return a number that JSON can hold, to nine digits; None where there is no limit."""
    return None if not math.isfinite(value) else float(f"{value:.9g}")


def _accepted(accepted: AcceptedFinding) -> dict[str, Any]:
    extra = {"reason": accepted.reason, "by": accepted.by, "until": accepted.until or None}
    return _finding(accepted.finding) | extra


def _unchecked(gap: Unchecked) -> dict[str, Any]:
    return {"needs": gap.needs, "rules": list(gap.rules), "place": _place(gap.place)}


def _sections(sections: tuple[str, ...]) -> list[dict[str, Any]]:
    """Return parts of a plan, left out or judged by no rule, as one thing that was not checked."""
    start = {"line": 1, "column": 1, "end_line": 1, "end_column": 1}
    return [{"needs": ", ".join(sections), "rules": [], "place": start}] if sections else []


def _assumed(one: AssumedValue) -> dict[str, Any]:
    return {
        "name": one.name,
        "about": one.about,
        "meaning": one.meaning,
        "value": one.value if isinstance(one.value, str) else _number(one.value),
        "unit": one.unit,
        "rules": list(one.rules),
        "subjects": list(one.subjects),
        "fails_beyond": None if one.turns_at is None else _number(one.turns_at),
        "text": assumed_text(one),
    }
