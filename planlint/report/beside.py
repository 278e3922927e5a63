"""Puts into words what stands beside the findings: what was accepted, not checked and assumed."""

from __future__ import annotations

from dataclasses import replace

from planlint.judge.result import AcceptedFinding, AssumedValue, Result, Unchecked
from planlint.report.plain import fold
from planlint.rulebook.model import Severity
from planlint.rulebook.phrases import listed

_MOST = 8
"""As many assumed things are listed; how many more there are is said."""
_MOST_FIELDS = 3
"""As many missing fields are listed, of as many elements each."""


def accepted_lines(accepted: tuple[AcceptedFinding, ...]) -> list[str]:
    """Return a line for each accepted finding: what is accepted, why, by whom and until when."""
    return [line for one in accepted for line in _item(_accepted(one))]


def _accepted(accepted: AcceptedFinding) -> str:
    finding = accepted.finding
    until = f" until {accepted.until}" if accepted.until else ""
    what = f"{finding.subject}, line {finding.place.span.line} ({finding.severity.word}, {finding.rule})"
    return f"{what}: {finding.message}; accepted by {accepted.by}{until}: {accepted.reason}"


def unchecked_lines(result: Result) -> list[str]:
    """Return a line for each field that elements of a section do not state, those behind which an error could hide and
    that most rules wait for first; then what parts of the job the plan leaves out."""
    fields: dict[tuple[str, str], list[Unchecked]] = {}
    for gap in result.unchecked:
        fields.setdefault((gap.section, gap.field), []).append(gap)
    groups = sorted(fields.values(), key=_usefulness)
    lines = [line for group in groups[:_MOST_FIELDS] for line in _item(_gaps(group))]
    rest = [gap for group in groups[_MOST_FIELDS:] for gap in group]
    if rest:
        count, waiting = len(groups) - _MOST_FIELDS, len({rule for gap in rest for rule in gap.rules})
        lines += _item(f"{count} more field{'' if count == 1 else 's'}, which {_rules(waiting)} would need")
    if "wires" in result.sections:
        lines += _item("any wires: nothing of the circuit could be judged; an error could hide here")
    if work := tuple(section for section in result.sections if section != "wires"):
        first, names = work[0], listed(work, "or")
        lines += _item(
            f"any {names}: these parts of the job were not judged; write `{first}: none` where there are "
            f"none,"
            " or `scope: electrical` where only the circuit is in question"
        )
    return lines


def ruleless_lines(sections: tuple[str, ...]) -> list[str]:
    """Return a line for the parts of the job that no rule judges."""
    return _item(f"{listed(sections, 'and')}: check these parts of the job yourself") if sections else []


def _usefulness(group: list[Unchecked]) -> tuple[int, int, str]:
    """Return the order of a missing field: worst severity first, then the one that most judgements wait for."""
    return (
        -max(gap.severity for gap in group),
        -sum(len(gap.rules) * len(gap.subjects) for gap in group),
        group[0].needs,
    )


def _gaps(group: list[Unchecked]) -> str:
    rules = tuple(sorted({rule for gap in group for rule in gap.rules}))
    named = listed(rules, "and") if len(rules) < 3 else f"{rules[0]} and {_rules(len(rules) - 1, 'more ')}"
    error = "; an error could hide here" if any(gap.severity is Severity.ERROR for gap in group) else ""
    # `whether the box is covered` names its element itself.
    first = group[0]
    lacking = f"{first.field} of {_elements(group)}" if first.element else f"{first.needs} ({_line(first)})"
    return f"{lacking}: {named} could not judge{error}"


def _elements(group: list[Unchecked]) -> str:
    """Name the elements that lack a field, with their lines, a few of many."""
    ordered = sorted(group, key=lambda gap: (gap.place.span, gap.element))
    return _few(tuple(f"{gap.element} ({_line(gap)})" for gap in ordered))


def _line(gap: Unchecked) -> str:
    return f"line {gap.place.span.line}"


def assumed_lines(assumed: tuple[AssumedValue, ...]) -> list[str]:
    """Return a line for each assumption that the plan could replace by what it states, those that decide
    first."""
    groups: dict[tuple[str, ...], list[AssumedValue]] = {}
    for one in sorted((one for one in assumed if one.open), key=lambda one: not one.turns):
        groups.setdefault((*_around(one), one.shown, one.turns), []).append(one)
    shown = list(groups.values())
    lines = [line for group in shown[:_MOST] for line in _item(_assumed(group))]
    if rest := sum(len(group) for group in shown[_MOST:]):
        lines += _item(f"{rest} more like these")
    return lines


def _around(one: AssumedValue) -> tuple[str, str]:
    """Return what stands before and behind the element in the meaning of an assumption made for one."""
    before, _, behind = one.meaning.rpartition(one.about) if one.about else (one.meaning, "", "")
    return before, behind


def _assumed(group: list[AssumedValue]) -> str:
    """Return the same assumption made for several elements in one sentence, with a few of many named."""
    if len(group) == 1:
        return assumed_text(group[0])
    before, behind = _around(group[0])
    named = _few(tuple(one.about for one in group))
    return assumed_text(replace(group[0], meaning=f"{before}{named}{behind}"))


def _few(names: tuple[str, ...]) -> str:
    """Return names as a list, a few of many."""
    more = len(names) - _MOST_FIELDS
    return listed((*names[:_MOST_FIELDS], *([f"{more} more"] if more > 0 else [])), "and")


def assumed_text(one: AssumedValue) -> str:
    """Return an assumption in one sentence: what it is, its value, and where it decides."""
    return "; ".join(filter(None, (f"{one.meaning}: {one.shown}", one.turns)))


def _rules(count: int, more: str = "") -> str:
    return f"{count} {more}rule{'' if count == 1 else 's'}"


def _item(text: str) -> list[str]:
    return fold(text, "    - ")
