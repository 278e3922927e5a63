"""Judges a case by rules: every rule for every subject ends in one of four outcomes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from planlint.facts.case import Case, Found, Use, Yields
from planlint.facts.channel import Channel
from planlint.facts.device import Device
from planlint.facts.table import SUBJECTS, answer, place_of
from planlint.frozen import frozen
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Wire
from planlint.plan.quantity import Dimension
from planlint.rulebook.breakeven import Pairs, assumptions_of
from planlint.rulebook.compile import facts_named
from planlint.rulebook.conditions import Check, always, judged_low
from planlint.rulebook.findings import (
    Assumed,
    FactUsed,
    Finding,
    Gap,
    Related,
    one_for_each_cause,
    under_their_causes,
)
from planlint.rulebook.gates import apart, asked
from planlint.rulebook.model import Requirement, Rule
from planlint.rulebook.wording import NOT_STATED, UNFIT, fill, say, spoken
from planlint.text.places import Path


@frozen
class Outcome:
    """What a rule came to for one subject: broken requirements, what is missing, and whether it applied."""

    applies: bool
    broken: tuple[Requirement, ...] = ()
    missing: tuple[tuple[Requirement, UnknownError], ...] = ()


@frozen
class Judgement:
    """All that judging a case by rules left behind, in a fixed order."""

    findings: tuple[Finding, ...]
    gaps: tuple[Gap, ...]
    assumed: tuple[Assumed, ...]


def judge_case(case: Case, rules: tuple[Rule, ...]) -> Judgement:
    """Judge a case by rules: first the plan, then, with what was found, what the plan accepts of it."""
    findings: list[Finding] = []
    gaps: list[Gap] = []
    used: dict[Use, Pairs] = {}
    of_plan, of_acceptances = apart(rules)
    _judge(case, of_plan, findings, gaps, used)
    case.found = _found(rules, findings, gaps)
    _judge(case, of_acceptances, findings, gaps, used)
    # Sorted before they are grouped, so that the order of the file changes nothing.
    findings.sort(key=lambda finding: (finding.rule.id, finding.subject))
    told = one_for_each_cause(under_their_causes(findings))
    return Judgement(
        findings=tuple(sorted(told, key=lambda f: (-f.severity, f.rule.id, f.subject))),
        gaps=tuple(sorted(gaps, key=lambda gap: (gap.needs, gap.rule.id, gap.subject))),
        assumed=assumptions_of(case, used, is_broken),
    )


def _found(rules: tuple[Rule, ...], findings: list[Finding], gaps: list[Gap]) -> Found:
    return Found(
        rules={rule.id: rule.acceptable != "no" for rule in rules},
        findings={(one.rule.id, one.subject): one.rule.can_accept(one.severity) for one in findings},
        gaps={(gap.rule.id, gap.subject): gap.path for gap in gaps},
    )


def _judge(
    case: Case, rules: tuple[Rule, ...], findings: list[Finding], gaps: list[Gap], used: dict[Use, Pairs]
) -> None:
    """Judge a case by rules and add what comes of it."""
    noted = case.noted
    for rule, elements in asked(case, rules):
        applies = rule.applies_past_gates
        for element in elements:
            outcome = _outcome(case, rule, element, applies)
            uses = case.take_uses() if noted[0] else 0
            if outcome is _NOT_APPLICABLE or (outcome is _HOLDS and not uses):
                continue
            if outcome.broken:
                findings.append(_finding(case, rule, element, outcome.broken, case.uses_of(uses)))
                case.take_uses()
            if outcome.missing:
                gaps += [_gap(rule, element, requirement, error) for requirement, error in outcome.missing]
            for use in case.uses_of(uses) if uses else ():
                used.setdefault(use, []).append((rule, element, bool(outcome.broken)))


def is_broken(case: Case, rule: Rule, element: Any) -> bool:
    """Say whether a rule is broken by an element."""
    return bool(outcome_of(case, rule, element).broken)


_NOT_APPLICABLE = Outcome(applies=False)
_HOLDS = Outcome(applies=True)


def outcome_of(case: Case, rule: Rule, element: Any) -> Outcome:
    """Return the outcome of a rule for an element."""
    return _outcome(case, rule, element, rule.applies)


def _outcome(case: Case, rule: Rule, element: Any, applies: Check) -> Outcome:
    if applies is not always:
        try:
            if not applies(case, element):
                return _NOT_APPLICABLE
        except UnfitError:
            return _NOT_APPLICABLE
        except UnknownError as error:
            worst = max(rule.require, key=lambda requirement: requirement.severity)
            return Outcome(applies=True, missing=((worst, error.with_traceback(None)),))
    broken: list[Requirement] = []
    missing: list[tuple[Requirement, UnknownError]] = []
    for requirement in rule.require:
        try:
            if not requirement.check(case, element):
                broken.append(requirement)
        except UnknownError as error:
            missing.append((requirement, error.with_traceback(None)))
        except UnfitError:
            continue
    if not broken and not missing:
        return _HOLDS
    return Outcome(applies=True, broken=tuple(broken), missing=_that_matter(broken, missing))


def _that_matter(
    broken: list[Requirement], missing: list[tuple[Requirement, UnknownError]]
) -> tuple[tuple[Requirement, UnknownError], ...]:
    """Return the worst unknown requirement where it could be worse than what is known to be broken."""
    known = max((requirement.severity for requirement in broken), default=0)
    worse = [pair for pair in missing if pair[0].severity > known]
    return (max(worse, key=lambda pair: pair[0].severity),) if worse else ()


def _gap(rule: Rule, element: Any, requirement: Requirement, error: UnknownError) -> Gap:
    return Gap(rule=rule, severity=requirement.severity, subject=element.name, path=error.path, needs=error.needs)


def _finding(case: Case, rule: Rule, element: Any, broken: tuple[Requirement, ...], uses: Iterable[Use]) -> Finding:
    worst = max(broken, key=lambda requirement: requirement.severity)
    related, elements = _related(case, rule, element)
    low = judged_low(worst.condition)
    return Finding(
        rule=rule,
        severity=worst.severity,
        own=worst.severity,
        rank=rule.require.index(worst),
        subject=element.name,
        path=place_of(element, worst.mark),
        message=fill(worst.says or rule.says, rule, case, element, low),
        remedy=fill(worst.remedy or rule.remedy, rule, case, element, low),
        remark=_remark(case, rule, element, uses),
        facts=tuple(_fact_used(case, rule, name, element, low=name in low) for name in facts_named(rule)),
        related=related,
        touches=frozenset(_touched(element).union(*(_touched(e) for e in elements if not isinstance(e, Wire))))
        - _givers(case, rule, element),
        after=frozenset(("wire", e.name) for e in elements if isinstance(e, Wire)),
        cause=_cause(case, rule, element, worst.mark),
        shared=_shared(case, element, worst.mark),
        comes_home=rule.about == "wire" and _known(case, rule, "circuit", element) == "ground",
    )


def _cause(case: Case, rule: Rule, element: Any, mark: str | None) -> str | None:
    """Return what several findings of a rule may have in common: what the rule names, else the one line of defaults or of
    a group from which their elements took over the value that is wrong."""
    if rule.one_cause is not None:
        cause = spoken(case, rule.about, rule.one_cause, element)
        if cause not in ("none", UNFIT, NOT_STATED):
            return cause
    shared = _shared(case, element, mark)
    return None if shared is None else f"stated once: {shared}"


def _shared(case: Case, element: Any, mark: str | None) -> Path | None:
    """Return the place from which the element, and others with it, took over the field that the finding marks."""
    return case.plan.origins.get(place_of(element, mark))


def _related(case: Case, rule: Rule, element: Any) -> tuple[tuple[Related, ...], list[Any]]:
    """Return the other places a finding points at, and their elements."""
    related, elements = [], []
    for fact, words in rule.point_to:
        try:
            value = answer(case, rule.about, fact, element)
        except (UnknownError, UnfitError):
            continue
        for other in value if isinstance(value, tuple) else (value,):
            if other is not None and other.name != element.name:
                related.append(Related(path=other.path, message=words))
                elements.append(other)
    return tuple(related), elements


def _givers(case: Case, rule: Rule, element: Any) -> set[tuple[str, str]]:
    """Return the device from whose terminal a wire takes power onward: nothing it lacks comes from that wire."""
    giver = _known(case, rule, "tapped_from", element) if rule.about == "wire" else None
    return set() if giver is None else {("node", giver.name)}


def _known(case: Case, rule: Rule, fact: str, element: Any) -> Any:
    """Return the answer to a fact, None where there is none."""
    try:
        return answer(case, rule.about, fact, element)
    except (UnknownError, UnfitError):
        return None


def _touched(element: Any) -> set[tuple[str, str]]:
    if isinstance(element, Wire):
        return {("wire", element.name), *(("node", end.node) for end in element.ends)}
    if isinstance(element, Device):
        return {("node", element.name), ("node", element.node.name)}
    if isinstance(element, Channel):
        return {("node", element.name), ("node", element.amp.name)}
    return {("node", element.name)}


def _fact_used(case: Case, rule: Rule, name: str, element: Any, *, low: bool) -> FactUsed:
    yields = SUBJECTS[rule.about].facts[name].yields
    try:
        value = answer(case, rule.about, name, element, low=low)
    except UnknownError:
        return FactUsed(name=name, value=NOT_STATED, unit="", text=NOT_STATED)
    except UnfitError:
        return FactUsed(name=name, value=UNFIT, unit="", text=UNFIT)
    text = say(case, yields, value, element)
    if isinstance(yields, Dimension) and isinstance(value, float):
        return FactUsed(name=name, value=value, unit=SI_UNITS[yields], text=text)
    if yields is Yields.COUNT and value is not None:
        return FactUsed(name=name, value=float(value), unit="1", text=text)
    # Programs get the value as a plan writes it.
    return FactUsed(name=name, value=value if isinstance(value, str) else text, unit="", text=text)


SI_UNITS = {
    Dimension.LENGTH: "m",
    Dimension.AREA: "m2",
    Dimension.CURRENT: "A",
    Dimension.VOLTAGE: "V",
    Dimension.RESISTANCE: "ohm",
    Dimension.POWER: "W",
    Dimension.CHARGE: "C",
    Dimension.TEMPERATURE: "degC",
    Dimension.TORQUE: "N.m",
    Dimension.TIME: "s",
    Dimension.MASS: "kg",
    Dimension.VOLUME: "m3",
    Dimension.FREQUENCY: "Hz",
    Dimension.CAPACITANCE: "F",
    Dimension.FORCE: "N",
    Dimension.RATIO: "1",
}


def _remark(case: Case, rule: Rule, element: Any, uses: Iterable[Use]) -> str:
    """Say where a finding rests on materials that the plan does not state: it might not stand with copper."""
    silent = sorted({use.about for use in uses if use.name == "material"})
    # Whether the material is stated is no question of what it is.
    if not silent or rule.mark == "material":
        return ""
    copper = case
    for name in silent:
        copper = copper.with_instead(Use(name="material", about=name), "copper")
    found = "would be found as well" if is_broken(copper, rule, element) else "would not be found"
    named = " and ".join(silent) if len(silent) < 4 else f"{len(silent)} wires"
    return f"The material of {named} is not stated and was reckoned as clad aluminium; with copper this {found}."
