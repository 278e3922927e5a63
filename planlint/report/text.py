"""Tells results to a person at a terminal: what is wrong, where, and what to do about it."""

from __future__ import annotations

from planlint.judge.result import Place, Result, Told, Verdict
from planlint.report.beside import accepted_lines, assumed_lines, ruleless_lines, unchecked_lines
from planlint.report.caution import CAUTION
from planlint.report.ink import Ink
from planlint.report.plain import WIDTH, fold, quote, safe
from planlint.rulebook.model import Severity

_IN = " " * 6  # where a finding's own lines begin


def render_text(results: tuple[Result, ...], *, colour: bool = False) -> str:
    """Return the report of all results, ending with the caution."""
    ink = Ink(colour=colour)
    lines: list[str] = []
    for result in results:
        lines += [*_plan(result, ink), ""]
    if len(results) > 1:
        lines += [*_overview(results, ink), ""]
    lines += fold(CAUTION)
    return "\n".join(lines) + "\n"


def _plan(result: Result, ink: Ink) -> list[str]:
    lines = [ink(safe(result.plan), "head")]
    if result.title.strip():
        lines += fold(result.title)
    for number, finding in enumerate(result.findings, 1):
        lines += ["", *_finding(number, finding, ink)]
    for title, part in (
        ("Accepted by someone", accepted_lines(result.accepted)),
        ("Not checked, since the plan does not state", unchecked_lines(result)),
        ("Not checked, since there are no rules for it", ruleless_lines(result.ruleless)),
        ("Assumed, since the plan does not state it", assumed_lines(result.assumed)),
    ):
        if part:
            lines += ["", ink(f"  {title}", "head"), *part]
    return [*lines, "", *_verdict(result, ink)]


def _finding(number: int, finding: Told, ink: Ink) -> list[str]:
    word = finding.severity.word
    lines = [ink(line, word) for line in fold(f"{word}: {finding.title}", f"{number:>4}  ", _IN)]
    lines += [ink(line, "quiet") for line in fold(_whereabouts(finding), _IN)]
    lines += fold(" ".join(filter(None, (_sentence(finding.message), finding.remark))), _IN)
    lines += _quoted(finding.place, ink)
    lines += _labelled("do", finding.remedy, ink)
    for place in finding.related:
        lines += _labelled("see", _related(place), ink)
    for one in finding.consequences:
        lines += _labelled("also", f"{one.severity.word}, {one.rule}: {one.message}", ink)
    return lines


def _whereabouts(finding: Told) -> str:
    line = f"line {finding.place.span.line}"
    if not finding.place.line and finding.about == "file":
        return f"({finding.rule})"
    return f"{finding.subject}, {line} ({finding.rule})" if finding.subject else f"{line} ({finding.rule})"


def _related(place: Place) -> str:
    """Say what stands at a related place; its words may name the element already."""
    line = f"line {place.span.line}"
    if not place.name or place.name in place.message.split():
        return f"{line}: {place.message}"
    return f"{place.name}, {line}: {place.message}"


def _labelled(label: str, text: str, ink: Ink) -> list[str]:
    first, *rest = fold(text, f"{_IN}{label:<6}")
    # Coloured after folding, so that colour changes no line's length.
    return [_IN + ink(label, "head") + first[len(_IN) + len(label) :], *rest]


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else text + "."


def _quoted(place: Place, ink: Ink) -> list[str]:
    """Return the line of the plan with the span marked below it, set off by blank lines."""
    if not place.line.strip():
        return []
    span = place.span
    end = span.end_column - 1 if span.end_line == span.line else len(place.line)
    shown, marks = quote(place.line, span.column - 1, end, WIDTH - len(_IN) - 4)
    return ["", f"{_IN}    {shown}", f"{_IN}    {ink(marks, 'mark')}"]


def _verdict(result: Result, ink: Ink) -> list[str]:
    reason = {
        Verdict.UNCHECKED: "an error could hide there",
        Verdict.UNREADABLE: "nothing was judged",
    }.get(result.verdict, "")
    text = "; ".join(filter(None, (f"Verdict: {result.verdict.value}", _counts(result), reason)))
    return [ink(line, _VERDICT_INK.get(result.verdict, "error")) for line in fold(text, "  ")]


_VERDICT_INK = {Verdict.READY: "good", Verdict.READY_ELECTRICAL: "good", Verdict.UNCHECKED: "warning"}


def _counts(result: Result) -> str:
    """Count everything the report lists, `1 error, 2 accepted, 3 not stated`."""
    found = [(result.count(severity), severity.word) for severity in sorted(Severity, reverse=True)]
    words = [f"{count} {word}{'s' if count > 1 else ''}" for count, word in found if count] or ["no findings"]
    others = ((len(result.accepted), "accepted"), (len(result.unchecked), "not stated"))
    return ", ".join([*words, *(f"{count} {word}" for count, word in others if count)])


def _overview(results: tuple[Result, ...], ink: Ink) -> list[str]:
    """Return one line a plan."""
    widest = max(len(result.verdict.value) for result in results)
    lines = [ink(f"{len(results)} plans", "head")]
    for result in results:
        verdict = ink(f"{result.verdict.value:<{widest}}", _VERDICT_INK.get(result.verdict, "error"))
        lines.append(f"  {verdict}  {safe(result.plan)}: {_counts(result)}")
    return lines
