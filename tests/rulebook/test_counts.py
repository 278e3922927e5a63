"""For every rule in `rules/`, none exempt: a fault, a plan in which it holds, and one in which it cannot check."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from matrix import EXAMPLES, RULES, document_of

from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.build import build
from planlint.plan.defaults import fill
from planlint.plan.model import Plan
from planlint.rulebook import conditions
from planlint.rulebook.evaluate import judge_case, outcome_of
from planlint.rulebook.model import Rule

# A field's place with the names of elements and the numbers in lists left open.
Pattern = tuple[str, ...]
# The sections whose keys are names.
NAMED = ("nodes", "wires", "holes", "mounts", "outputs")
# Without these an element is none, or a reason is no reason: the schema demands them.
DEMANDED = (
    *("*", "plan", "nodes", "name", "kind", "from", "to", "do", "test", "part", "document", "rule", "subject"),
    "not_applicable",
)
# No example uses what these plans do: a converter that takes its current from an amplifier's terminal, behind a small
# fuse right there; and clad cable under the bonnet, a breaker, two fuses side by side and two runs behind one fuse.
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
PARALLEL = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
defaults: {wire: {material: copper, insulation: 105 C, length: 10 cm, gauge: 4 AWG}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  breaker: {kind: breaker, zone: engine-bay, rating: 80 A, reset: manual}
  one: {kind: fuse, zone: cargo, rating: 40 A}
  two: {kind: fuse, zone: cargo, rating: 40 A}
  bar: {kind: bus, zone: cargo}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 400 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: cargo, member: floor, surface: bare-metal}
wires:
  front: {from: battery.positive, to: breaker.line}
  rear: {from: breaker.load, to: one.line, material: copper-clad-aluminium, length: 4 m}
  across: {from: breaker.load, to: two.line, length: 4 m}
  on-one: {from: one.load, to: bar}
  beside-one: {from: one.line, to: two.line}
  on-two: {from: two.load, to: bar}
  feed: {from: bar, to: amp.power}
  twin: {from: bar, to: amp.power}
  ground: {from: amp.ground, to: stud}
"""
# An isolator that the charging voltage closes suits an alternator of fixed voltage alone.
ISOLATED = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, alternator: {rating: 120 A, control: fixed}}
defaults: {wire: {material: copper, insulation: 105 C, length: 10 cm, gauge: 4 AWG}}
nodes:
  front: {kind: battery, role: main, chemistry: agm}
  front-fuse: {kind: fuse, rating: 100 A}
  isolator: {kind: isolator, rating: 150 A, control: voltage}
  rear-fuse: {kind: fuse, rating: 100 A}
  rear: {kind: battery, role: added, chemistry: agm, link: 60 A}
  stud: {kind: ground-point, member: floor, surface: bare-metal}
wires:
  link-1: {from: front.positive, to: front-fuse.line}
  link-2: {from: front-fuse.load, to: isolator.line}
  link-3: {from: isolator.load, to: rear-fuse.load}
  link-4: {from: rear-fuse.line, to: rear.positive}
  rear-ground: {from: rear.negative, to: stud}
"""


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


def spelt_out(data: dict[str, Any]) -> dict[str, Any]:
    """The data of a plan with all that is said once for many written at each of them."""
    filled = {key: value for key, value in fill(data).data.items() if key not in ("defaults", "groups")}
    return dict(without(without(filled, ("wires", "*", "group")), ("zones", "*", "segment")))


def states(data: Any, path: tuple[str | int, ...]) -> bool:
    """Whether the data of a plan say something at a path."""
    for step in path:
        if isinstance(data, list):
            data = data[step] if isinstance(step, int) and step < len(data) else None
        else:
            data = data.get(step) if isinstance(data, dict) else None
    return data not in (None, "not stated")


class Seen:
    """What the rules came to over all plans.

    `held` are those that applied and held in a plan as it is, `unchecked` what was missing where one could not be
    checked, `unknown` the facts of the others that lacked a field and `judged` the rules of these broken by just that.
    """

    def __init__(self) -> None:
        self.held: set[str] = set()
        self.unchecked: dict[str, str] = {}
        self.unknown: dict[str, set[str]] = {}
        self.judged: set[str] = set()
        self.tried: dict[Pattern, int] = {}

    def add(self, data: dict[str, Any]) -> None:
        """Judge a plan as it is, and once for each field with that field left out everywhere."""
        whole = spelt_out(data)
        self.add_holding(Case(_plan(whole)))
        for pattern in dict.fromkeys(patterns(whole)):
            if pattern[-1] in DEMANDED:
                continue
            left = without(whole, pattern)
            building = build(left)
            # What other elements name cannot be left out: that is a plan nobody can read.
            if not building.faults:
                self.tried[pattern] = self.tried.get(pattern, 0) + 1
                self.add_lacking(building.plan, left)

    def add_holding(self, case: Case) -> None:
        """Note which rules hold in a plan as it is."""
        judge_case(case, tuple(RULES.values()))
        for rule in RULES.values():
            outcomes = (outcome_of(case, rule, element) for element in SUBJECTS[rule.about].elements(case))
            if any(one.applies and not one.broken and not one.missing for one in outcomes):
                self.held.add(rule.id)

    def add_lacking(self, plan: Plan, data: dict[str, Any]) -> None:
        """Note what is not known in a plan that lacks a field, of the rules that always had an answer so far."""
        case = Case(plan)
        open_rules = [rule for rule in RULES.values() if rule.id not in self.unchecked]
        # Rules about what a plan accepts look back on the findings of all others.
        looks_back = plan.accepted and any(rule.about == "acceptance" for rule in open_rules)
        for gap in judge_case(case, tuple(RULES.values() if looks_back else open_rules)).gaps:
            assert not states(data, gap.path), f"{gap.rule.id} lacks {gap.needs}, which the plan states"
            self.unchecked.setdefault(gap.rule.id, gap.needs)
        for rule in open_rules:
            if rule.id not in self.unchecked:
                self._unknown(case, rule)

    def _unknown(self, case: Case, rule: Rule) -> None:
        for element in SUBJECTS[rule.about].elements(case):
            lacking = {name for name in facts_read(rule) if lacks(case, rule, name, element)}
            if lacking:
                self.unknown.setdefault(rule.id, set()).update(lacking)
                if outcome_of(case, rule, element).broken:
                    self.judged.add(rule.id)


def _plan(data: dict[str, Any]) -> Plan:
    building = build(data)
    assert not building.faults, building.faults
    return building.plan


def facts_read(rule: Rule) -> set[str]:
    """The facts on which a rule decides whether it applies and whether it holds."""
    every = (*rule.when, *(requirement.condition for requirement in rule.require))
    tests = [test for one in every for test in conditions.tests_in(one)]
    return {name for test in tests for name in (test.fact, test.operand.fact) if name}


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
    """What came of every sound example and of the plans above, whole and with each field left out in turn."""
    found = Seen()
    for text in (TAPPED, PARALLEL, ISOLATED, *(example.read_text(encoding="utf-8") for example in EXAMPLES)):
        data = document_of(text).data
        assert isinstance(data, dict)
        found.add(data)
    return found


def test_nearly_every_field_is_left_out_in_turn() -> None:
    """The counts below rest on plans that lack a field: those fields are many, of all sections, and read as plans."""
    tried = seen().tried
    assert len(tried) > 250
    assert {"vehicle", "zones", "nodes", "wires", "holes", "mounts", "steps", "tests", "parts", "documents"} <= {
        pattern[0] for pattern in tried
    }
    assert {("vehicle", "body"), ("nodes", "*", "rating"), ("wires", "*", "gauge"), ("tests",)} <= tried.keys()


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_rule_has_a_fault(name: str) -> None:
    """The matrix plants each fault and fails for one that fits no example, so that there is one is enough here."""
    assert RULES[name].faults


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_rule_applies_and_holds_somewhere(name: str) -> None:
    """In an example, or in one of the plans above, with nothing left out, the rule applies to something and holds."""
    assert name in seen().held


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_rule_that_reads_an_optional_field_says_when_it_cannot_check(name: str) -> None:
    """Some plan leaves a rule unchecked, unless its facts lack nothing whatever is left out, or the lack is its finding.

    `pytest -rP` shows for each rule which of the three it is.
    """
    found = seen()
    if name in found.unchecked:
        print(f"{name}: could not check without {found.unchecked[name]}")
    elif name not in found.unknown:
        print(f"{name}: always has an answer, whichever field is left out")
    else:
        lacking = ", ".join(sorted(found.unknown[name]))
        assert name in found.judged, f"without an answer to {lacking} it passed, or did not apply"
        print(f"{name}: finds fault with the lack of {lacking}")
