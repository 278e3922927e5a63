"""What holds for every plan: how it is written changes nothing, places point right, thicker wires add no danger."""

from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Data, plans, texts, twice_written_plans, written_plans

from planlint.facts.case import Case
from planlint.judge.judge import judge, judge_plan, plan_of
from planlint.judge.result import Place, Result, Told, Verdict
from planlint.judge.unreadable import OWN_FAULT
from planlint.plan.units import gauge_area
from planlint.report.json import render_json
from planlint.rulebook.evaluate import outcome_of
from planlint.rulebook.load import shipped_rulebook
from planlint.rulebook.model import Severity
from planlint.text.document import Document
from planlint.text.reader import read

RULES = {rule.id: rule for rule in shipped_rulebook().rules}
EXAMPLES = sorted((Path(__file__).resolve().parent.parent / "examples").rglob("*.plan.yaml"))


def judged(text: str) -> Result:
    """The result of a readable plan."""
    result = judge(text.encode(), "random.plan.yaml")
    assert result.verdict is not Verdict.UNREADABLE, (result.findings, text)
    return result


def document_of(text: str) -> Document:
    """The document of a readable text."""
    document = read(text.encode()).document
    assert document is not None
    return document


def all_told(result: Result) -> list[Told]:
    """Every finding of a result: those that stand, accepted ones, and the consequences under them."""
    found = [*result.findings, *(one.finding for one in result.accepted)]
    for one in found:
        found.extend(one.consequences)
    return found


@given(written_plans())
def test_every_readable_plan_is_judged(written: tuple[Data, str]) -> None:
    """No random plan meets a fault of planlint's own, and each is read as the data it was written from."""
    data, text = written
    assert document_of(text).data == data
    assert [told.message for told in all_told(judged(text)) if told.rule == OWN_FAULT] == []


def in_si(told: Told) -> tuple[Any, ...]:
    """A finding without its words: rule, subject, severity, other places by name, facts, consequences."""
    facts = tuple((fact.name, fact.value, fact.unit) for fact in told.facts)
    related = tuple((place.name, place.message) for place in told.related)
    return told.rule, told.subject, told.severity, related, facts, tuple(in_si(one) for one in told.consequences)


def told_alike(one: Any, other: Any) -> bool:
    """Say whether two nests of tuples agree, numbers within 1e-9."""
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(told_alike, one, other))
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    return bool(one == other)


@given(twice_written_plans())
def test_order_comments_styles_and_units_change_no_finding(pair: tuple[str, str]) -> None:
    """The same plan written otherwise has the same verdict, findings, gaps and assumptions (numbers in SI)."""
    first, second = map(judged, pair)
    assert first.verdict is second.verdict
    ours, theirs = (tuple(map(in_si, all_told(result))) for result in (first, second))
    assert told_alike(ours, theirs), (ours, theirs)
    gaps = [[(u.needs, u.rules, u.subjects, u.severity) for u in result.unchecked] for result in (first, second)]
    assert gaps[0] == gaps[1]
    assumed = [tuple((a.name, a.about, a.value, a.rules, a.subjects) for a in r.assumed) for r in (first, second)]
    assert told_alike(*assumed), assumed


# --- places, held against PyYAML's own marks

Marks = dict[tuple[int, int, int, int], tuple[str | int, ...]]


def marks_of(node: yaml.Node, path: tuple[str | int, ...], found: Marks) -> Marks:
    """The place of every scalar and name in a text by PyYAML's marks, with the path to the value."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            found[_mark(key)] = (*path, key.value, "the name")
            marks_of(value, (*path, key.value), found)
    elif isinstance(node, yaml.SequenceNode):
        for index, item in enumerate(node.value):
            found[_mark(item)] = (*path, index)
            marks_of(item, (*path, index), found)
    else:
        found[_mark(node)] = path
    return found


def _mark(node: yaml.Node) -> tuple[int, int, int, int]:
    start, end = node.start_mark, node.end_mark
    return (start.line + 1, start.column + 1, end.line + 1, end.column + 1)


def path_at(place: Place, marks: Marks) -> tuple[str | int, ...]:
    """The path whose value or name a place marks, whole and nothing but."""
    span = place.span
    return marks.get((span.line, span.column, span.end_line, span.end_column), ("nowhere",))


def points_right(told: Told, marks: Marks, data: Data) -> bool:
    """Say whether a finding points at the field its rule names, where the subject states it, else at the subject."""
    section = "wires" if told.about == "wire" else "nodes"
    mark = RULES[told.rule].mark
    field = data[section][told.subject].get(mark) if mark else None
    path = path_at(told.place, marks)
    if field is None:
        return path == (section, told.subject, "the name")
    return path == (section, told.subject, mark)


@given(written_plans())
def test_every_place_quotes_what_it_speaks_of(written: tuple[Data, str]) -> None:
    """Findings mark their field or their subject's name, other places an element's name or a value inside it, and
    gaps the field that is missing or the name of its element; PyYAML's marks are the judge."""
    data, text = written
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    assert root is not None
    marks = marks_of(root, (), {})
    result = judged(text)
    told = all_told(result)
    assert [(one.rule, one.place) for one in told if not points_right(one, marks, data)] == []
    for place in [place for one in told for place in (one.place, *one.related)]:
        assert path_at(place, marks)[1:2] == (place.name,), (place, text)
    for gap in result.unchecked:
        path = path_at(gap.place, marks)
        assert path != ("nowhere",) and (str(path[1]) if path[0] != "vehicle" else "the vehicle") in gap.needs
    assert all(
        place.line == text.split("\n")[place.span.line - 1] for one in told for place in (one.place, *one.related)
    )


# --- what more copper does

PROTECTING = ("source-wire-unfused", "main-fuse-too-far", "fuse-exceeds-wire")


def broken_at(data: Data, name: str) -> set[str]:
    """The rules about protection that a wire of a plan breaks."""
    plan, problems = plan_of(document_of(yaml.safe_dump(data, sort_keys=False)))
    assert plan is not None, problems
    case = Case(plan)
    wire = next(wire for wire in plan.wires if wire.name == name)
    return {rule for rule in PROTECTING if outcome_of(case, RULES[rule], wire).broken}


@given(st.data())
def test_a_thicker_wire_is_no_worse_protected(choices: st.DataObject) -> None:
    """More metal in a wire adds no missing fuse, no fuse too far and no fuse too large at the wire itself."""
    data = choices.draw(plans())
    name = choices.draw(st.sampled_from(sorted(data["wires"])))
    thin, thick = sorted(choices.draw(st.lists(st.integers(-3, 20), min_size=2, max_size=2, unique=True)), reverse=True)
    assert gauge_area(thin) < gauge_area(thick)
    before, after = (
        broken_at({**data, "wires": {**data["wires"], name: {**data["wires"][name], "gauge": size}}}, name)
        for size in (gauge(thin), gauge(thick))
    )
    assert after <= before, (after, before)


def gauge(size: int) -> str:
    """An AWG number as the trade writes it."""
    return f"{size} AWG" if size > 0 else f"{1 - size}/0 AWG"


# --- the same input, the same output


@given(plans(), plans())
def test_judging_leaves_everything_as_it_was(one: Data, other: Data) -> None:
    """Neither plan nor document changes while a plan is judged, and no plan's judgement rests on those before it."""
    text, rules = yaml.safe_dump(one, sort_keys=False), tuple(RULES.values())
    document = document_of(text)
    plan, _ = plan_of(document)
    assert plan is not None
    before = repr((plan, document.data, document.text))
    first = judge_plan(plan, document, "x", rules, Severity.ERROR)
    assert repr((plan, document.data, document.text)) == before
    judged(yaml.safe_dump(other, sort_keys=False))
    assert judge_plan(plan, document, "x", rules, Severity.ERROR) == first


_REPORTS = """
import hashlib, sys
from planlint.judge.judge import judge
from planlint.report.json import render_json
texts = sys.stdin.buffer.read().split(b"\\0")
print(*(hashlib.sha256(render_json((judge(text, "x"),)).encode()).hexdigest() for text in texts), sep="\\n")
"""


def reports(texts_: list[str], seed: str) -> list[str]:
    """The hashes of the JSON reports of some plans from a process of its own with this seed for hashes."""
    done = subprocess.run(
        [sys.executable, "-c", _REPORTS],
        input="\0".join(texts_).encode(),
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        check=True,
    )
    return done.stdout.decode().split()


@settings(max_examples=4)
@given(st.lists(plans().flatmap(texts), min_size=3, max_size=5))
def test_the_same_plan_gives_the_same_bytes_in_every_process(many: list[str]) -> None:
    """JSON is the same to the byte whatever the order of sets in a process."""
    here = [hashlib.sha256(render_json((judge(text.encode(), "x"),)).encode()).hexdigest() for text in many]
    assert reports(many, "1") == reports(many, "20") == here


@pytest.mark.parametrize("seed", ["0", "7"])
def test_the_examples_give_the_same_bytes_in_every_process(seed: str) -> None:
    """The shipped examples too, sound and faulty ones."""
    many = [path.read_text(encoding="utf-8") for path in EXAMPLES]
    here = [hashlib.sha256(render_json((judge(text.encode(), "x"),)).encode()).hexdigest() for text in many]
    assert len(many) >= 18
    assert reports(many, seed) == here


WORDS = st.sampled_from(
    (
        *("plan: 1", "nodes:", "  a: {kind: battery}", "wires:", "  w: {from: a.positive, to: a.negative}"),
        *("[", "&x", "\t", "? ", "- "),
    )
)


@given(st.lists(WORDS | st.text(max_size=12), max_size=12).map("\n".join))
def test_reading_and_judging_any_text_never_raises(text: str) -> None:
    """Any text ends in a result, and its report can be written."""
    raw = text.encode("utf-8", "surrogatepass")
    result = judge(raw, "x")
    assert [told.message for told in result.findings if told.rule == OWN_FAULT] == []
    assert render_json((result,)) == render_json((judge(raw, "x"),))
