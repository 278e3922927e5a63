"""Tells results to a person at a terminal: what is wrong, where, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass

from planlint.judge.result import AcceptedFinding, AssumedValue, Place, Result, Told, Unchecked, Verdict
from planlint.report.caution import CAUTION
from planlint.report.plain import fold, safe
from planlint.rulebook.model import Severity

WIDTH = 80
_MOST = 3
_INK = {"error": "31;1", "warning": "33;1", "note": "36;1", "good": "32;1", "quiet": "2", "head": "1"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """Colours words where the terminal shows colours."""

    colour: bool

    def __call__(self, text: str, kind: str) -> str:
        """Return the text in the colour of its kind, plain where there is no colour."""
        return f"\x1b[{_INK[kind]}m{text}\x1b[0m" if self.colour and text else text


def render_text(results: tuple[Result, ...], *, colour: bool = False, width: int = WIDTH) -> str:
    """Return the report of all results, ending with the caution."""
    ink = Ink(colour=colour)
    lines: list[str] = []
    for result in results:
        lines += [*_plan(result, ink, width), ""]
    if len(results) > 1:
        lines += [*_overview(results, ink), ""]
    lines += fold(CAUTION, width)
    return "\n".join(lines) + "\n"


def _plan(result: Result, ink: Ink, width: int) -> list[str]:
    lines = [ink(safe(result.plan), "head")]
    if result.title:
        lines += fold(result.title, width, "  ")
    for finding in result.findings:
        lines += ["", *_finding(finding, ink, width)]
    for title, part in (
        ("Accepted by someone", [line for one in result.accepted for line in _accepted(one, width)]),
        ("Could not be checked", _unchecked(result, ink, width)),
        ("Assumed, since the plan does not state it", _assumed(result.assumed, width)),
    ):
        if part:
            lines += ["", ink(f"  {title}", "head"), *part]
    return [*lines, "", *_verdict(result, ink, width)]


def _finding(finding: Told, ink: Ink, width: int) -> list[str]:
    word = finding.severity.word
    head = f"  {finding.title}"
    lines = [f"{ink(head, word)} {ink(f'[{word}: {finding.rule}]', word)}"]
    if len(head) + len(word) + len(finding.rule) + 5 > width:
        lines = [*(ink(line, word) for line in fold(finding.title, width, "  "))]
        lines.append(ink(f"  [{word}: {finding.rule}]", word))
    lines += fold(finding.message, width, "    ")
    lines += _quote(finding.place, ink, width)
    if finding.remark:
        lines += fold(finding.remark, width, "    ")
    for place in finding.related:
        lines += fold(f"{place.message}: line {place.span.line}, {place.line.strip()}", width, "    see  ")[
            :1
        ]
    lines += fold(finding.remedy, width, "    do   ")
    for consequence in finding.consequences:
        text = f"{consequence.severity.word} {consequence.rule}: {consequence.message}"
        lines += fold(text, width, "    also ")
    return lines


def _quote(place: Place, ink: Ink, width: int) -> list[str]:
    """Return the line of the plan with the span marked below it."""
    number = f"{place.span.line:>6} "
    start, line = place.span.column - 1, place.line
    end = place.span.end_column - 1 if place.span.end_line == place.span.line else len(line)
    room = width - len(number) - 2
    cut = max(0, min(start - 12, len(line) - room)) if len(line) > room else 0
    before, marked = safe(line[cut:start]), safe(line[start:end])
    shown = (before + marked + safe(line[end:]))[:room]
    under = " " * len(before) + "~" * max(1, min(len(marked), room - len(before)))
    return [ink(number, "quiet") + "  " + shown, " " * (len(number) + 2) + ink(under, "head")]


def _accepted(accepted: AcceptedFinding, width: int) -> list[str]:
    finding = accepted.finding
    until = f" until {accepted.until}" if accepted.until else ""
    text = f"{finding.rule} at {finding.subject}: {accepted.reason} ({accepted.by}{until})"
    return fold(text, width, "    - ")


def _unchecked(result: Result, ink: Ink, width: int) -> list[str]:
    del ink
    lines: list[str] = []
    for gap in result.unchecked[:_MOST]:
        lines += fold(_gap_text(gap), width, "    - ")
    rest = result.unchecked[_MOST:]
    if rest:
        rules = len({rule for gap in rest for rule in gap.rules})
        lines += fold(
            f"{len(rest)} more fields, without which {_rules(rules)} could not judge", width, "    - "
        )
    if result.sections:
        lines += fold(
            f"the plan has no {_list(result.sections)}; say `holes: none` where that is meant",
            width,
            "    - ",
        )
    return lines


def _gap_text(gap: Unchecked) -> str:
    named = _list(gap.rules) if len(gap.rules) <= 2 else f"{gap.rules[0]} and {len(gap.rules) - 1} more"
    error = " (error-class)" if gap.severity is Severity.ERROR else ""
    return f"line {gap.place.span.line}: {gap.needs} is not stated: {named}{error}"


def _assumed(assumed: tuple[AssumedValue, ...], width: int) -> list[str]:
    lines: list[str] = []
    shown = [one for one in assumed if one.open]
    # Those that decide come first.
    for one in sorted(shown, key=lambda one: not one.turns)[: 2 * _MOST]:
        lines += fold(f"{one.text}{'; ' + one.turns if one.turns else ''}", width, "    - ")
    if len(shown) > 2 * _MOST:
        lines.append(f"    - {len(shown) - 2 * _MOST} more like these")
    return lines


def _rules(count: int) -> str:
    return "1 rule" if count == 1 else f"{count} rules"


def _list(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _verdict(result: Result, ink: Ink, width: int) -> list[str]:
    counts = _counts(result)
    reason = {
        Verdict.UNCHECKED: "an error-class rule could not be checked",
        Verdict.UNREADABLE: "the file is not a plan yet",
    }.get(result.verdict, "")
    text = "; ".join(part for part in (result.verdict.value, counts, reason) if part)
    good = result.verdict in (Verdict.READY, Verdict.READY_ELECTRICAL)
    kind = "good" if good else "warning" if result.verdict is Verdict.UNCHECKED else "error"
    return [ink(line, kind) for line in fold(f"Verdict: {text}", width, "  ")]


def _counts(result: Result) -> str:
    named = [(severity.word, result.count(severity)) for severity in sorted(Severity, reverse=True)]
    named.append(("accepted", len(result.accepted)))
    words = [
        f"{count} {word}{'s' if count > 1 and word != 'accepted' else ''}" for word, count in named if count
    ]
    return ", ".join(words) or "no findings"


def _overview(results: tuple[Result, ...], ink: Ink) -> list[str]:
    """Return one line a plan."""
    widest = max(len(result.verdict.value) for result in results)
    head = [ink(f"{len(results)} plans", "head")]
    return head + [f"  {result.verdict.value:<{widest}}  {safe(result.plan)}" for result in results]
