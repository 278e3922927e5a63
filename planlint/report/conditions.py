"""Puts the conditions of a rule into words for a person of the trade."""

from __future__ import annotations

from planlint.report.plain import fold
from planlint.rulebook.conditions import AnyOf, Condition, Not, Test
from planlint.rulebook.operators import OPERATORS, STATED

_DEEPER = "    "


def condition_lines(condition: Condition, lead: str = "", indent: str = _DEEPER) -> list[str]:
    """Return a condition as an item of a list after `lead`; the members of a group as items below it."""
    first = f"{indent}- {lead}"
    if isinstance(condition, Test):
        return fold(comparison(condition), first, f"{indent}  ")
    if isinstance(condition, Not):
        return _group("none of these holds:", (condition.condition,), first, indent)
    if len(condition.conditions) == 1:
        return condition_lines(condition.conditions[0], lead, indent)
    words = "one of these holds:" if isinstance(condition, AnyOf) else "all of these hold:"
    return _group(words, condition.conditions, first, indent)


def _group(words: str, members: tuple[Condition, ...], first: str, indent: str) -> list[str]:
    below = [line for one in members for line in condition_lines(one, "", indent + _DEEPER)]
    return [*fold(words, first, f"{indent}  "), *below]


def comparison(test: Test) -> str:
    """Return one comparison in words: `unfused reach is at most 18 in`, `factory: no`, `no open
    terminals`."""
    name, value = spaced(test.fact), test.operand.value
    if test.operator == STATED:
        return f"{name} is {'' if value else 'not '}stated"
    negated = test.operator == "is_not"
    if test.operator in ("is", "is_not") and test.operand.fact is None:
        if isinstance(value, bool):
            return f"{name}: {'no' if value is negated else 'yes'}"
        if value is None:
            return f"{name}: any" if negated else f"no {name}"
    return f"{name} {OPERATORS[test.operator].words} {test.operand.text}"


def spaced(name: str) -> str:
    """Return a name of a fact or setting as words."""
    return name.replace("_", " ")
