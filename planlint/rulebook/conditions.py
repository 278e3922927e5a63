"""Conditions of a rule as values, and how they are judged with three outcomes: true, false, not known."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Union

from planlint.graph.unknown import UnfitError, UnknownError
from planlint.rulebook.operators import OPERATORS, STATED

Ask = Callable[[str], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Operand:
    """The right-hand side: a literal in SI, or another fact; `times` it. `setting` names where the literal comes from."""

    value: Any = None
    fact: str | None = None
    times: float = 1.0
    setting: str | None = None
    times_setting: str | None = None
    text: str = ""

    def answer(self, ask: Ask) -> Any:
        """Return what to compare with."""
        if self.fact is not None:
            return ask(self.fact) * self.times
        return self.value * self.times if self.times != 1.0 else self.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    """A fact compared with an operand."""

    fact: str
    operator: str
    operand: Operand


@dataclass(frozen=True, slots=True, kw_only=True)
class AllOf:
    """Holds where all of its conditions hold."""

    conditions: tuple[Condition, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnyOf:
    """Holds where one of its conditions holds."""

    conditions: tuple[Condition, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Not:
    """Holds where its condition does not."""

    condition: Condition


Condition = Union[Test, AllOf, AnyOf, Not]


def holds(condition: Condition, ask: Ask) -> bool:
    """Judge a condition. Raises UnknownError where what is missing decides, UnfitError where the question does not fit."""
    if isinstance(condition, Test):
        return _test(condition, ask)
    if isinstance(condition, AllOf):
        return all_hold(condition.conditions, ask)
    if isinstance(condition, AnyOf):
        return any_holds(condition.conditions, ask)
    return not holds(condition.condition, ask)


def _test(test: Test, ask: Ask) -> bool:
    if test.operator == STATED:
        return _is_stated(test.fact, ask) is test.operand.value
    return OPERATORS[test.operator].test(ask(test.fact), test.operand.answer(ask))


def _is_stated(fact: str, ask: Ask) -> bool:
    try:
        ask(fact)
    except UnknownError:
        return False
    return True


def all_hold(conditions: Iterable[Condition], ask: Ask) -> bool:
    """Judge whether all hold; one that does not decides whatever is unknown about the others."""
    unknown: UnknownError | None = None
    for condition in conditions:
        try:
            if not holds(condition, ask):
                return False
        except UnknownError as error:
            unknown = unknown or error
    if unknown:
        raise unknown
    return True


def any_holds(conditions: Iterable[Condition], ask: Ask) -> bool:
    """Judge whether one holds; one that does decides whatever is unknown. A question that does not fit does not hold."""
    unknown: UnknownError | None = None
    fits = False
    for condition in conditions:
        try:
            if holds(condition, ask):
                return True
            fits = True
        except UnknownError as error:
            unknown = unknown or error
        except UnfitError:
            continue
    if unknown:
        raise unknown
    if not fits:
        raise UnfitError
    return False


def tests_in(condition: Condition) -> list[Test]:
    """Return all comparisons of a condition."""
    if isinstance(condition, Test):
        return [condition]
    if isinstance(condition, Not):
        return tests_in(condition.condition)
    return [test for inner in condition.conditions for test in tests_in(inner)]


def describe(condition: Condition) -> str:
    """Return a condition in words."""
    if isinstance(condition, Test):
        name = condition.fact.replace("_", " ")
        if condition.operator == STATED:
            return f"{name} is {'' if condition.operand.value else 'not '}stated"
        return f"{name} {OPERATORS[condition.operator].words} {condition.operand.text}"
    if isinstance(condition, Not):
        return f"not ({describe(condition.condition)})"
    word = " and " if isinstance(condition, AllOf) else " or "
    return "(" + word.join(describe(inner) for inner in condition.conditions) + ")"
