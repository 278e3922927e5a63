"""Puts the conditions of a rule into words for a person of the trade."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from planlint.report.plain import fold
from planlint.rulebook.conditions import AllOf, AnyOf, Condition, Not, Test
from planlint.rulebook.operators import OPERATORS, STATED
from planlint.rulebook.phrases import noun, spaced

_DEEPER = "    "
_HEAD = re.compile(r" (?:at|beside|between|from|in|of|that|through|whose|without)\b")  # what follows the noun itself
_TURNED = {
    "is": "is_not",
    "is_not": "is",
    "among": "not_among",
    "not_among": "among",
    "at_least": "less_than",
    "less_than": "at_least",
    "at_most": "more_than",
    "more_than": "at_most",
}
_WHOLE, _ALONE = "the plan is of the whole job", "the plan is of the circuit alone"
# Comparisons that nearly every rule makes, by fact and value: what they say, and what their opposites say.
_SAID: dict[tuple[str, object], tuple[str, str]] = {
    ("factory", True): ("it is the vehicle maker's", "it is not the vehicle maker's"),
    ("factory", False): ("it is not the vehicle maker's", "it is the vehicle maker's"),
    ("scope", "whole"): (_WHOLE, _ALONE),
    ("scope", "electrical"): (_ALONE, _WHOLE),
}


def condition_lines(condition: Condition, otherwise: str = "") -> list[str]:
    """Return a condition as an item of a list, its groups as lists below it; `otherwise` tells what follows where it
    does not hold."""
    return _lines(straight(condition), otherwise, _DEEPER)


def _lines(condition: Condition, otherwise: str, indent: str) -> list[str]:
    first, rest = f"{indent}- ", f"{indent}  "
    if isinstance(condition, Test):
        return fold(f"{comparison(condition)}{otherwise}", first, rest)
    if isinstance(condition, Not):
        return _lines(straight(condition), otherwise, indent)
    words = "one of these is true" if isinstance(condition, AnyOf) else "all of these are true"
    below = [line for one in condition.conditions for line in _lines(one, "", indent + _DEEPER)]
    return [*fold(f"{words}{otherwise}:", first, rest), *below]


def straight(condition: Condition) -> Condition:
    """Return a condition that says the same without `not`, and without groups of one or of their own kind in them."""
    if isinstance(condition, Not):
        return turned(condition.condition)
    return condition if isinstance(condition, Test) else _group(type(condition), map(straight, condition.conditions))


def turned(condition: Condition) -> Condition:
    """Return, without `not`, the condition that holds where this one does not."""
    if isinstance(condition, Not):
        return straight(condition.condition)
    if isinstance(condition, Test):
        if condition.operator == STATED:
            return replace(condition, operand=replace(condition.operand, value=not condition.operand.value))
        return replace(condition, operator=_TURNED[condition.operator])
    return _group(AllOf if isinstance(condition, AnyOf) else AnyOf, map(turned, condition.conditions))


def _group(kind: type[AllOf] | type[AnyOf], members: Iterable[Condition]) -> Condition:
    flat: list[Condition] = []
    for one in members:
        flat += one.conditions if isinstance(one, kind) else (one,)
    return flat[0] if len(flat) == 1 else kind(conditions=tuple(flat))


def comparison(test: Test) -> str:
    """Return one comparison in words: `length is at most 18 in (fuse reach)`, `sealed: no`, `there is no first
    fuse`."""
    name, value = noun(test.fact), test.operand.value
    if test.operator == STATED:
        return f"{name} is {'' if value else 'not '}stated"
    negated = test.operator == "is_not"
    if test.operator in ("is", "is_not") and test.operand.fact is None:
        if (test.fact, value) in _SAID:
            return _SAID[test.fact, value][negated]
        if isinstance(value, bool):
            return f"{spaced(test.fact)}: {'no' if value is negated else 'yes'}"
        if value is None:
            return _there_is(name) if negated else _there_is(f"no {name}")
    return f"{name} {OPERATORS[test.operator].words} {test.operand.text}"


def _there_is(name: str) -> str:
    """Return that there is something: `there is a first fuse`, `there are no ground leads`."""
    head = _HEAD.split(name)[0]
    if head.endswith("s"):
        return f"there are {name}"
    article = "" if name.startswith("no ") else "an " if name[0] in "aeiou" else "a "
    return f"there is {article}{name}"
