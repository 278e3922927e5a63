"""Puts into words what stands beside the findings: what was accepted, not checked and assumed."""

from __future__ import annotations

from planlint.judge.result import AcceptedFinding, AssumedValue, Result, Unchecked
from planlint.report.plain import fold
from planlint.rulebook.model import Severity

_MOST = 8
"""As many missing or assumed things are listed; how many more there are is said."""


def accepted_lines(accepted: tuple[AcceptedFinding, ...]) -> list[str]:
    """Return a line for each accepted finding: what is accepted, why, by whom and until when."""
    return [line for one in accepted for line in _item(_accepted(one))]


def _accepted(accepted: AcceptedFinding) -> str:
    finding = accepted.finding
    until = f" until {accepted.until}" if accepted.until else ""
    what = f"{finding.subject}, line {finding.place.span.line} ({finding.severity.word}, {finding.rule})"
    return f"{what}: {finding.message}; accepted by {accepted.by}{until}: {accepted.reason}"


def unchecked_lines(result: Result) -> list[str]:
    """Return a line for each thing the plan does not state, those behind which an error could hide first."""
    lines = [line for gap in result.unchecked[:_MOST] for line in _item(_gap(gap))]
    rest = result.unchecked[_MOST:]
    if rest:
        rules = {rule for gap in rest for rule in gap.rules}
        lines += _item(f"{len(rest)} more, which {_rules(len(rules))} would need")
    if result.sections:
        first, names = result.sections[0], listed(result.sections, "or")
        lines += _item(
            f"any {names}: these parts of the job were not judged; write `{first}: none` where there are "
            f"none,"
            " or `scope: electrical` where only the circuit is in question"
        )
    return lines


def _gap(gap: Unchecked) -> str:
    named = listed(gap.rules, "and")
    if len(gap.rules) > 2:
        named = f"{gap.rules[0]} and {_rules(len(gap.rules) - 1, 'more ')}"
    error = "; an error could hide here" if gap.severity is Severity.ERROR else ""
    return f"{gap.needs}, line {gap.place.span.line}: {named} could not judge{error}"


def assumed_lines(assumed: tuple[AssumedValue, ...]) -> list[str]:
    """Return a line for each assumption that the plan could replace by what it states, those that decide
    first."""
    shown = sorted((one for one in assumed if one.open), key=lambda one: not one.turns)
    lines = [line for one in shown[:_MOST] for line in _item(assumed_text(one))]
    if len(shown) > _MOST:
        lines += _item(f"{len(shown) - _MOST} more like these")
    return lines


def assumed_text(one: AssumedValue) -> str:
    """Return an assumption in one sentence: what it is, its value, and where it decides."""
    return "; ".join(filter(None, (f"{one.meaning}: {one.shown}", one.turns)))


def listed(words: tuple[str, ...], last: str) -> str:
    """Return words as a list, `a, b and c`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def _rules(count: int, more: str = "") -> str:
    return f"{count} {more}rule{'' if count == 1 else 's'}"


def _item(text: str) -> list[str]:
    return fold(text, "    - ")
