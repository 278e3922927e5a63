"""Plants every fault of every rule in plans and says what came of it; shared by the quick and the long test."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS, place_of
from planlint.judge.judge import judge, plan_of
from planlint.judge.result import Result, Told
from planlint.rulebook.evaluate import judge_case
from planlint.rulebook.load import shipped_rulebook
from planlint.rulebook.model import PlantedFault, Rule
from planlint.rulebook.plant import plant, suits
from planlint.text.document import Document
from planlint.text.places import Span
from planlint.text.reader import read

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.plan.yaml"))
RULES = {rule.id: rule for rule in shipped_rulebook().rules}


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """A fault planted at one element of one example: the text, the result before and after."""

    example: str
    rule: Rule
    fault: PlantedFault
    subject: str
    paths: tuple[tuple[str | int, ...], ...]
    text: str
    before: Result
    after: Result


def document_of(text: str) -> Document:
    """The document of a readable text."""
    reading = read(text.encode())
    assert reading.document, reading.problems
    return reading.document


def planted(example: Path, rule: Rule, most: int) -> Iterator[Planted]:
    """Every fault of a rule at up to `most` elements of an example that it suits."""
    text = example.read_text(encoding="utf-8")
    document = document_of(text)
    plan, problems = plan_of(document)
    assert plan and not problems
    case = Case(plan)
    judge_case(case, tuple(RULES.values()))
    before = judge(text.encode(), example.name)
    for fault in rule.faults:
        fitting = [e for e in SUBJECTS[rule.about].elements(case) if suits(case, rule, fault, e)]
        done = 0
        for element in fitting:
            edited = plant(document, case, rule, fault, element)
            if edited is None or done == most:
                continue
            done += 1
            paths = tuple(dict.fromkeys(place_of(element, requirement.mark) for requirement in rule.require))
            after = judge(edited.encode(), example.name)
            yield Planted(
                example=example.name,
                rule=rule,
                fault=fault,
                subject=element.name,
                paths=paths,
                text=edited,
                before=before,
                after=after,
            )


def new_findings(one: Planted) -> list[Told]:
    """The findings that the fault brought, those already there left out."""
    known = {(told.rule, told.subject) for told in one.before.findings}
    return [told for told in one.after.findings if (told.rule, told.subject) not in known]


def complaints(one: Planted) -> list[str]:
    """What is wrong with the outcome of a planted fault: not found, in the wrong place, or something unrelated found."""
    where = f"{one.example}: {one.rule.id} at {one.subject} ({one.fault.text})"
    # Where the edit breaks another rule from which this one follows, it is told there.
    every = [told for finding in new_findings(one) for told in (finding, *finding.consequences)]
    found = [told for told in every if told.rule == one.rule.id]
    wrong = []
    if not found:
        wrong.append(f"{where}: not found; {[(t.rule, t.subject) for t in one.after.findings]}")
    elif one.subject not in (spots := spots_of(found)):
        wrong.append(f"{where}: found at {[told.subject for told in found]}")
    else:
        wrong += _misplaced(one, spots[one.subject], where)
    for told in new_findings(one):
        if told.rule not in (one.rule.id, *one.fault.also):
            wrong.append(f"{where}: unrelated {told.rule} at {told.subject}: {told.message}")
    return wrong + [
        f"{where}: {first} and {second} are told of one subject at one place" for first, second in twice(one)
    ]


def spots_of(found: list[Told]) -> dict[str, Span]:
    """By subject where a finding is told, those it is told as one with included."""
    same = "the same at "
    beside = [place for told in found for place in told.related if place.message.startswith(same)]
    return {place.message.removeprefix(same): place.span for place in beside} | {
        told.subject: told.place.span for told in found
    }


def twice(one: Planted) -> list[tuple[str, str]]:
    """The rules that report the fault twice: both at one place and of one subject, neither under the other as its cause."""
    new = [(told.rule, told.subject, told.place.span) for told in new_findings(one)]
    return [(a[0], b[0]) for a, b in combinations(new, 2) if a[0] != b[0] and a[1:] == b[1:]]


def _inside(value: object, step: str | int) -> object:
    """What stands at one step into a value, None where there is nothing."""
    if isinstance(value, dict):
        return value.get(step)
    return value[step] if isinstance(value, list) and isinstance(step, int) and step < len(value) else None


def _misplaced(one: Planted, told: Span, where: str) -> list[str]:
    """Whether the finding stands at a field its rule speaks of, or at its element's name where that field is missing."""
    document = document_of(one.text)
    spans = [_span_at(document, at) for at in one.paths]
    return [] if told in spans else [f"{where}: at {told}, expected {spans}"]


def _span_at(document: Document, at: tuple[str | int, ...]) -> Span:
    """Where a finding about this place stands."""
    value: object = document.data
    for step in at:
        value = _inside(value, step)
    named = value is None or len(at) <= 2
    # A list or mapping is pointed at by its name.
    inner = document.key_span(at) if isinstance(value, (dict, list)) else document.span(at)
    return document.key_span(at[:2]) if named else inner
