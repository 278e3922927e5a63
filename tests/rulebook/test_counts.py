"""For every rule in `rules/`, none exempt: a fault, a plan in which it holds, and one in which it cannot check."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from matrix import EXAMPLES, RULES, document_of, planted

from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.build import build
from planlint.plan.defaults import fill
from planlint.plan.model import Plan
from planlint.rulebook import conditions
from planlint.rulebook.compile import facts_named
from planlint.rulebook.evaluate import judge_case, outcome_of
from planlint.rulebook.model import Rule

# A field's place with the names of elements and the numbers in lists left open.
Pattern = tuple[str, ...]
# Without these an element is none: the schema demands them.
DEMANDED = (
    *("*", "plan", "nodes", "name", "kind", "from", "to", "do", "test", "part", "document", "rule", "subject"),
    "not_applicable",
)
NAMED = ("nodes", "wires", "holes", "mounts", "groups", "outputs")


def patterns(data: Any, at: Pattern = ()) -> Iterator[Pattern]:
    """Every field that some element of a plan states, by its pattern."""
    if isinstance(data, dict):
        for key, value in data.items():
            here = (*at, "*" if at and at[-1] in NAMED else str(key))
            yield here
            yield from patterns(value, here)
    elif isinstance(data, list):
        for value in data:
            yield from patterns(value, (*at, "*"))


def without(data: Any, pattern: Pattern) -> Any:
    """The data with a field left out of every element that states it."""
    first, *rest = pattern
    if isinstance(data, list):
        return [without(value, tuple(rest)) for value in data] if first == "*" and rest else data
    if not isinstance(data, dict):
        return data
    if not rest:
        return {key: value for key, value in data.items() if key != first}
    return {key: without(value, tuple(rest)) if first in ("*", key) else value for key, value in data.items()}


def plans_of(data: dict[str, Any]) -> Iterator[Plan]:
    """A plan as it is, and once for each field with that field left out everywhere."""
    filled = {key: value for key, value in fill(data).data.items() if key not in ("defaults", "groups")}
    whole = without(filled, ("zones", "*", "segment"))
    for pattern in (("",), *dict.fromkeys(patterns(whole))):
        if pattern[-1] not in DEMANDED:
            building = build(without(whole, pattern))
            if not building.faults:
                yield building.plan


# A converter that takes its current from an amplifier's terminal, behind a small fuse right there.
TAPPED = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
defaults: {wire: {material: copper, insulation: 105 C, length: 10 cm}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  main-fuse: {kind: fuse, zone: engine-bay, rating: 80 A}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 400 W, at: 2 ohm}}}
  small-fuse: {kind: fuse, zone: cargo, rating: 3 A}
  converter: {kind: converter, zone: cargo, supply: 0.3 A}
  stud: {kind: ground-point, zone: cargo, member: floor, surface: bare-metal}
wires:
  front: {from: battery.positive, to: main-fuse.line, gauge: 4 AWG}
  rear: {from: main-fuse.load, to: amp.power, gauge: 4 AWG}
  amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG}
  tap: {from: amp.power, to: small-fuse.line, gauge: 18 AWG}
  tap-rest: {from: small-fuse.load, to: converter.power, gauge: 18 AWG}
  converter-ground: {from: converter.ground, to: stud, gauge: 18 AWG}
"""


class Seen:
    """What the rules came to over all plans: those that held, those that could not be checked, those that met an unknown."""

    def __init__(self) -> None:
        self.held: set[str] = set()
        self.unchecked: dict[str, str] = {}
        self.unknown: set[str] = set()

    def add(self, plan: Plan, rules: tuple[Rule, ...]) -> None:
        """Judge one plan."""
        case = Case(plan)
        judgement = judge_case(case, rules)
        self.unchecked.update({gap.rule.id: gap.needs for gap in judgement.gaps})
        broken = {(finding.rule.id, finding.subject) for finding in judgement.findings}
        for rule in rules:
            for element in SUBJECTS[rule.about].elements(case):
                outcome = outcome_of(case, rule, element)
                if outcome.applies and not outcome.missing and (rule.id, element.name) not in broken:
                    self.held.add(rule.id)
                if outcome.applies and any(lacks(case, rule, name, element) for name in facts_named(rule)):
                    self.unknown.add(rule.id)


def lacks(case: Case, rule: Rule, name: str, element: Any) -> bool:
    """Whether a fact has no answer for want of a field."""
    try:
        SUBJECTS[rule.about].facts[name].ask(case, element)
    except UnknownError:
        return True
    except UnfitError:
        return False
    return False


@cache
def seen() -> Seen:
    """What came of every sound example, whole and with each field left out in turn."""
    found = Seen()
    for example in EXAMPLES:
        data = document_of(example.read_text(encoding="utf-8")).data
        assert isinstance(data, dict)
        for plan in plans_of(data):
            found.add(plan, tuple(RULES.values()))
    return found


def cannot_check(rule: Rule) -> str | None:
    """What a rule was found to lack: in the examples, behind a tap, or where its own faults make a subject for it."""
    if rule.id in seen().unchecked:
        return seen().unchecked[rule.id]
    found = Seen()
    for text in (TAPPED, *(one.text for example in EXAMPLES for one in planted(example, rule, 1))):
        data = document_of(text).data
        assert isinstance(data, dict)
        for plan in plans_of(data):
            found.add(plan, (rule,))
            if rule.id in found.unchecked:
                return found.unchecked[rule.id]
    return None


def weighs_absence(rule: Rule) -> bool:
    """Whether a rule itself says what it makes of a field that is not stated."""
    every = (*rule.when, *(requirement.condition for requirement in rule.require))
    return any(test.operator == "stated" for one in every for test in conditions.tests_in(one))


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_rule_has_a_fault(name: str) -> None:
    """The matrix plants each fault and fails for one that fits no example, so that there is one is enough here."""
    assert RULES[name].faults


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_rule_applies_and_holds_somewhere(name: str) -> None:
    """In one of the sound examples, or in one of them with a field left out, the rule applies and holds."""
    assert name in seen().held


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_rule_that_lacks_a_field_cannot_check(name: str) -> None:
    """Where leaving a field out leaves a rule without an answer, it says so or judges the absence itself."""
    if name in seen().unknown and not weighs_absence(RULES[name]):
        assert cannot_check(RULES[name]), "it met an unknown and never said that it could not check"
