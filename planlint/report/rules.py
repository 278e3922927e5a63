"""Lists the rules and settings in force and where they come from, and what is wrong with rule files."""

from __future__ import annotations

from itertools import groupby

from planlint.plan.quantity import show
from planlint.report.plain import fold, safe
from planlint.rulebook.load import Rulebook
from planlint.rulebook.model import Rule
from planlint.trade.assumptions import Assumption, assumptions

# How a figure is known, in words for a reader.
_ORIGINS = {"seen": "read there", "memory": "from memory"}


def render_rules(rules: tuple[Rule, ...]) -> str:
    """Return the list of rules by group with their settings, then the values that stand in for what plans
    leave out."""
    lines = fold(f"{_count(len(rules), 'rule')} in force; `planlint why RULE` tells what one asks and why.")
    ordered = sorted(rules, key=lambda rule: (rule.group, rule.id))
    for group, members in groupby(ordered, key=lambda rule: rule.group):
        lines += ["", group, *(line for rule in members for line in _rule(rule))]
    lines += [
        "",
        *fold("Values that stand in for what a plan does not state, or that a computation rests on"),
        "",
    ]
    lines += [line for one in assumptions().values() for line in _assumption(one)]
    return "\n".join(lines) + "\n"


def _rule(rule: Rule) -> list[str]:
    lines = fold(f"{rule.id}: {rule.title}", f"  {rule.severity.word:<9}", " " * 11)
    lines += fold(f"from {rule.file}", " " * 11)
    for setting in rule.settings:
        lines += fold(f"{setting.name} = {setting.text}: {setting.meaning}", " " * 13, " " * 15)
    return lines


def _assumption(one: Assumption) -> list[str]:
    shown = show(one.value, one.dimension, one.unit)
    origin = _ORIGINS.get(one.origin, one.origin)
    return fold(f"{one.name} = {shown}: {one.meaning} ({one.source}; {origin})", "  ", "      ")


def render_verified(book: Rulebook, troubles: list[tuple[str, str]], files: int) -> str:
    """Return what is wrong with rule files, by file and line, and the verdict; `troubles` are files that
    cannot be read."""
    told = [(file, 0, 0, trouble) for file, trouble in troubles]
    told += [
        (
            one.file,
            one.problem.span.line,
            one.problem.span.column,
            f"{one.problem.message} {one.problem.remedy}",
        )
        for one in book.problems
    ]
    lines: list[str] = []
    for file, problems in groupby(sorted(told), key=lambda one: one[0]):
        lines.append(safe(file))
        for _, line, _, text in problems:
            lines += fold(f"line {line}: {text}" if line else text, "  ", "    ")
        lines.append("")
    if told:
        lines += fold(f"Refused: {_count(len(told), 'problem')} in {_count(files, 'rule file')}.")
    else:
        lines += fold(f"Sound: {_count(len(book.rules), 'rule')}.")
    return "\n".join(lines) + "\n"


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
