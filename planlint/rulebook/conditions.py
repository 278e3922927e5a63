"""Conditions of a rule as values, and as functions with three outcomes: true, false, not known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from planlint.facts.case import Case, Fact, Yields
from planlint.frozen import frozen
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.rulebook.operators import OPERATORS, STATED
from planlint.text.places import Path

# A compiled condition: judges an element of a case. Raises UnknownError where what is missing decides, UnfitError where
# the question does not fit.
Check = Callable[[Case, Any], bool]


@frozen
class Operand:
    """The right-hand side: a literal in SI, or another fact; `times` it. `setting` names where the literal comes from."""

    value: Any = None
    fact: str | None = None
    times: float = 1.0
    setting: str | None = None
    times_setting: str | None = None
    text: str = ""


@frozen
class Test:
    """A fact compared with an operand."""

    fact: str
    operator: str
    operand: Operand


@frozen
class AllOf:
    """Holds where all of its conditions hold."""

    conditions: tuple[Condition, ...]


@frozen
class AnyOf:
    """Holds where one of its conditions holds."""

    conditions: tuple[Condition, ...]


@frozen
class Not:
    """Holds where its condition does not."""

    condition: Condition


Condition = Test | AllOf | AnyOf | Not


def always(_case: Case, _element: Any) -> bool:
    """Hold, whatever is asked about."""
    return True


def checker(condition: Condition, facts: Mapping[str, Fact]) -> Check:
    """Return a condition compiled to a function."""
    if isinstance(condition, Test):
        return _test(condition, facts)
    if isinstance(condition, AllOf):
        return all_hold(tuple(checker(inner, facts) for inner in condition.conditions))
    if isinstance(condition, AnyOf):
        return any_holds(tuple(checker(inner, facts) for inner in condition.conditions))
    inner = checker(condition.condition, facts)
    return lambda case, element: not inner(case, element)


def _test(test: Test, facts: Mapping[str, Fact]) -> Check:
    fact, operand = facts[test.fact], test.operand
    ask = fact.low if fact.low and test.operator in ("at_least", "less_than") else fact.ask
    if test.operator == STATED:
        stated = fact.stated or partial(_is_stated, ask)
        return lambda case, element: stated(case, element) is operand.value
    compare = OPERATORS[test.operator].test
    if operand.fact is not None:
        # Of a range what the plan states counts at its worse end: as a limit not to be passed, the lower.
        right_side = facts[operand.fact]
        lower = right_side.low if test.operator in ("at_most", "more_than") else None
        other, times = lower or right_side.ask, operand.times
        if times == 1.0:
            return lambda case, element: compare(ask(case, element), other(case, element))
        return lambda case, element: compare(ask(case, element), other(case, element) * times)
    right = operand.value * operand.times if operand.times != 1.0 else operand.value
    return _words(facts[test.fact], test.operator, right) or (lambda case, element: compare(ask(case, element), right))


def _words(fact: Fact, operator: str, right: Any) -> Check | None:
    """Return the check of a word or flag, which most conditions ask; it is the same as the operator's, and quicker."""
    ask = fact.ask
    if fact.yields is Yields.WORD and operator in ("among", "not_among"):
        words, inside = frozenset(right), operator == "among"
        return lambda case, element: (ask(case, element) in words) is inside
    if fact.yields in (Yields.WORD, Yields.FLAG) and operator == "is":
        return lambda case, element: bool(ask(case, element) == right)
    return None


def _is_stated(ask: Callable[[Case, Any], Any], case: Case, element: Any) -> bool:
    try:
        ask(case, element)
    except UnknownError:
        return False
    return True


def all_hold(checks: tuple[Check, ...]) -> Check:
    """Return the check whether all hold; one that does not decides whatever is unknown about the others."""
    if not checks:
        return always
    if len(checks) == 1:
        return checks[0]

    def check(case: Case, element: Any) -> bool:
        missing: Path | None = None
        for one in checks:
            try:
                if not one(case, element):
                    return False
            except UnknownError as error:
                missing = missing or error.path
        if missing:
            # A fresh one: held by this frame, which it would hold too, it would keep the whole case.
            raise UnknownError(missing)
        return True

    return check


def any_holds(checks: tuple[Check, ...]) -> Check:
    """Return the check whether one holds; one that does decides whatever is unknown.

    A question that does not fit does not hold; where none fits, neither does the whole.
    """

    def check(case: Case, element: Any) -> bool:
        missing: Path | None = None
        fits = False
        for one in checks:
            try:
                if one(case, element):
                    return True
                fits = True
            except UnknownError as error:
                missing = missing or error.path
            except UnfitError:
                continue
        if missing:
            # A fresh one: held by this frame, which it would hold too, it would keep the whole case.
            raise UnknownError(missing)
        if not fits:
            raise UnfitError
        return False

    return check


def margin(condition: Condition, facts: Mapping[str, Fact]) -> Callable[[Case, Any], float] | None:
    """Return how far a comparison of numbers is from turning: more than 0 while it holds; None for other conditions.

    Of several of which one is enough, the one that is farthest from failing says it.
    """
    if isinstance(condition, AnyOf):
        several = [margin(inner, facts) for inner in condition.conditions]
        known = [one for one in several if one]
        return (lambda case, element: max(one(case, element) for one in known)) if len(known) == len(several) else None
    if not isinstance(condition, Test) or condition.operator not in ("at_most", "at_least"):
        return None
    fact, operand = facts[condition.fact], condition.operand
    sign = 1.0 if condition.operator == "at_most" else -1.0

    def limit(case: Case, element: Any) -> float:
        value = facts[operand.fact].ask(case, element) if operand.fact else operand.value
        return float(value) * operand.times

    ask = fact.low if fact.low and sign < 0 else fact.ask
    return lambda case, element: sign * (limit(case, element) - float(ask(case, element)))


def tests_in(condition: Condition) -> list[Test]:
    """Return all comparisons of a condition."""
    if isinstance(condition, Test):
        return [condition]
    if isinstance(condition, Not):
        return tests_in(condition.condition)
    return [test for inner in condition.conditions for test in tests_in(inner)]


def judged_low(condition: Condition) -> frozenset[str]:
    """Return the facts of which a condition takes the lower end, where the plan states a range."""
    found = set()
    for test in tests_in(condition):
        if test.operator in ("at_least", "less_than"):
            found.add(test.fact)
        elif test.operand.fact and test.operator in ("at_most", "more_than"):
            found.add(test.operand.fact)
    return frozenset(found)


def split_gates(when: tuple[Condition, ...], facts: Mapping[str, Fact]) -> tuple[list[Condition], list[Condition]]:
    """Return the conditions that the drawing alone answers, and all others."""
    gates = [one for one in when if all(facts[test.fact].drawn and not test.operand.fact for test in tests_in(one))]
    return gates, [one for one in when if one not in gates]
