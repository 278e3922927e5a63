"""What README shows is what planlint does."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from planlint.cli.exits import exit_code
from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS, answer
from planlint.judge.judge import judge, plan_of
from planlint.judge.result import Verdict
from planlint.plan.kinds import KINDS
from planlint.plan.model import Plan
from planlint.plan.quantity import Dimension, parse
from planlint.report.table import render_table
from planlint.report.text import render_text
from planlint.rulebook.model import Severity
from planlint.text.reader import read

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8") if (ROOT / "README.md").exists() else ""
# Each step of the guide: its number, its plan, and what README says of it up to the next heading in bold or list.
STEPS = {
    int(number): (plan, " ".join(says.split()))
    for number, plan, says in re.findall(
        r"<!-- plan: step-(\d) -->\n```yaml\n(.*?)```\n(.*?)(?=\n\*\*Step |\nWhat counts where )", README, re.S
    )
}
OUTPUTS = re.findall(r"<!-- output: (\S+) -->\n```text\n(.*?)```", README, re.S)

VERDICTS = {
    1: (Verdict.UNCHECKED, 3),
    2: (Verdict.UNCHECKED, 3),
    3: (Verdict.READY_ELECTRICAL, 0),
    4: (Verdict.READY_ELECTRICAL, 0),
    5: (Verdict.READY_ELECTRICAL, 0),
}
# README tells in this sentence what another size would lead to.
OTHERWISE = "With `8 AWG` for the group `power`"


def plan_text(step: int) -> str:
    """The plan of a step of the guide."""
    return str(STEPS[step][0])


def told(text: str) -> str:
    """What `planlint check` prints of a plan, without line breaks."""
    return " ".join(render_text((judge(text.encode(), "my.plan.yaml"),)).split())


def quoted(says: str) -> list[str]:
    """The words that README quotes from a report."""
    return re.findall(r'"([^"]+)"', says)


def plan_in(text: str) -> Plan:
    """The plan of a text."""
    document = read(text.encode()).document
    assert document
    plan, problems = plan_of(document)
    assert plan, problems
    return plan


def fact(text: str, about: str, name: str, fact_name: str) -> Any:
    """The answer to a fact about an element of a plan."""
    case = Case(plan_in(text))
    element = next(one for one in SUBJECTS[about].elements(case) if one.name == name)
    return answer(case, about, fact_name, element)


def replaced(text: str, old: str, new: str) -> str:
    """The text with the one occurrence of `old` replaced."""
    assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times"
    return text.replace(old, new)


def test_readme_is_there_to_be_checked() -> None:
    """README holds the steps and outputs that the tests below check, and marks no plan that they would pass over."""
    assert list(STEPS) == list(VERDICTS)
    assert README.count("<!-- plan: ") == len(STEPS)
    assert OUTPUTS


@pytest.mark.parametrize("step", VERDICTS)
def test_a_step_of_the_guide_comes_to_its_verdict(step: int) -> None:
    """A reader who saves the block gets the verdict and exit code of that step, and README says so."""
    verdict = judge(plan_text(step).encode(), "my.plan.yaml").verdict
    assert (verdict, exit_code((verdict,), never_fail=False)) == VERDICTS[step]
    named = [words for words in quoted(STEPS[step][1].split(OTHERWISE)[0]) if words.startswith("Verdict: ")]
    assert len(named) == 1
    assert named[0].removeprefix("Verdict: ").split(";")[0] == verdict.value


@pytest.mark.parametrize("step", VERDICTS)
def test_what_readme_quotes_of_a_step_stands_in_its_report(step: int) -> None:
    """A reader who runs the step finds every quoted word in the report."""
    report = told(plan_text(step))
    words = quoted(STEPS[step][1].split(OTHERWISE)[0])
    assert words
    assert [one for one in words if one not in report] == []


def test_the_first_step_finds_the_same_of_the_battery() -> None:
    """Both parts of the first step lack their wires, and that breaks the plan where warnings do."""
    assert told(plan_text(1)).count("(node-unconnected)") == 2
    assert "no wire ends at any terminal of battery" in told(plan_text(1))
    assert judge(plan_text(1).encode(), "my.plan.yaml", fail_at=Severity.WARNING).verdict is Verdict.BROKEN


def test_the_other_size_of_the_third_step_breaks_the_plan() -> None:
    """A thinner group leads to the finding that README quotes."""
    words = quoted(STEPS[3][1].split(OTHERWISE)[1])
    report = told(replaced(plan_text(3), "gauge: 4 AWG", "gauge: 8 AWG"))
    assert "Verdict: broken" in words
    assert [one for one in words if one not in report] == []


@pytest.mark.parametrize(("step", "ambient", "ampacity"), [(3, 50, 136), (4, 30, 160)])
def test_a_zone_tells_how_much_a_cable_bears(step: int, ambient: float, ampacity: float) -> None:
    """4 AWG with insulation for 105 C bears 160 A, and 85 % of it in an engine space: 33 CFR 183.425, Table 5, note 1."""
    assert fact(plan_text(step), "wire", "amp-ground", "ambient") == ambient
    assert fact(plan_text(step), "wire", "amp-ground", "ampacity") == pytest.approx(ampacity)
    assert {f"{ambient} C", f"{ampacity} A"} <= set(re.findall(r"\d+ [AC]\b", STEPS[4][1]))


@pytest.mark.parametrize("right", ["{zone: cabin, length: 3.2 m}", "{through: bulkhead-grommet}"])
def test_a_zone_or_hole_that_is_spelt_wrong_is_found(right: str) -> None:
    """The fourth step with a slip in a name is unreadable, and the right name is offered."""
    name = re.split(r"[:,}] ?", right)[1]
    report = told(replaced(plan_text(4), right, right.replace(name, name + "s")))
    assert f"Did you mean `{name}`?" in report
    assert "Verdict: unreadable" in report


# A default size is added; then the first that is there of these counts: (text, its replacement, the size that counts).
NEAREST = {
    "its own": ("feed-rear: {group: power,", "feed-rear: {gauge: 2 AWG, group: power,", "2 AWG"),
    "its own, unknown": ("feed-rear: {group: power,", "feed-rear: {gauge: not stated, group: power,", None),
    "its group": ("power: {gauge: 4 AWG}", "power: {gauge: 1 AWG}", "1 AWG"),
    "its last group": ("feed-rear: {group: power,", "feed-rear: {group: [speaker, power],", "4 AWG"),
    "defaults": ("power: {gauge: 4 AWG}", "power: {colour: red}", "6 AWG"),
    "no default": ("feed-rear: {group: power,", "feed-rear: {factory: true, group: power,", None),
}


@pytest.mark.parametrize("row", NEAREST.values(), ids=NEAREST)
def test_the_nearest_statement_goes_first(row: tuple[str, str, str | None]) -> None:
    """What a wire states goes before its group and that before the defaults; the maker's own takes over nothing."""
    old, new, expected = row
    text = replaced(plan_text(3), "wire: {material: copper,", "wire: {gauge: 6 AWG, material: copper,")
    size = next(wire for wire in plan_in(replaced(text, old, new)).wires if wire.name == "feed-rear").gauge
    assert size == (parse(expected, Dimension.AREA) if expected else None)


def test_a_stretch_states_takes_from_its_zone_and_then_from_the_defaults() -> None:
    """In the cabin a zone says `centre`, the defaults `left`, and the stretches of the signal `right`."""
    text = replaced(plan_text(4), "segment: {along: sill}", "segment: {along: sill, side: centre}")
    sides = {
        (wire.name, part.zone): part.side for wire in plan_in(text).wires for part in wire.route if part.through is None
    }
    assert sides["signal", "cabin"] == "right"
    assert sides["feed-rear", "cabin"] == "centre"
    assert sides["feed-rear", "cargo"] == "left"


def test_the_ends_of_a_wire_are_filled_in_field_by_field() -> None:
    """An end of the last step has its type from the wire, its barrel from the group, its sleeve from the defaults."""
    made = next(wire for wire in plan_in(plan_text(5)).wires if wire.name == "feed-front").ends_made
    assert made and made.to
    assert (made.to.type, made.to.barrel, made.to.sleeve) == ("ring", parse("4 AWG", Dimension.AREA), True)


def test_the_guide_grows_one_plan() -> None:
    """Each step is longer than the one before and keeps its parts and wires; the first is tiny, the last not long."""
    lines = [plan_text(step).count("\n") for step in STEPS]
    assert lines == sorted(set(lines))
    assert lines[0] == 6
    assert lines[-1] <= 100
    names = [set(re.findall(r"^  ([a-z-]+):", plan_text(step), re.M)) for step in STEPS]
    assert all(fewer < more for fewer, more in pairwise(names))


@pytest.mark.parametrize(("path", "text"), OUTPUTS, ids=[path for path, _ in OUTPUTS])
def test_an_output_in_readme_is_what_check_prints(path: str, text: str) -> None:
    """A reader who runs the command sees what README shows."""
    assert render_text((judge((ROOT / path).read_bytes(), path),)) == text


def test_the_table_in_readme_is_a_part_of_what_check_prints() -> None:
    """A reader who asks for the table finds what README shows of it."""
    found = re.search(r"<!-- table: (\S+) -->\n```text\n(.*?)```", README, re.S)
    assert found
    result = judge((ROOT / found[1]).read_bytes(), found[1], numbers=True)
    assert found[2] in render_table((result,))


def test_readme_names_every_kind_and_terminal() -> None:
    """A reader finds every kind of node in README, and no kind or terminal that there is not."""
    rows = re.findall(r"^\| (`[^|]*) \| ([^|]*) \|$", README.split("| kind of node |")[1].split("\n\n")[0], re.M)
    kinds = {kind for first, _ in rows for kind in re.findall(r"`([a-z-]+)`", first)}
    assert kinds == set(KINDS)
    known = {name.replace("*", "...") for kind in KINDS.values() for name, _ in kind.terminals}
    named = {name for _, second in rows for name in re.findall(r"`([a-z-]+(?:\.\.\.)?)`", second)}
    assert named - known == {"sub", "sub-positive", "sub-negative"}


def test_the_pairs_of_wires_in_readme_are_what_they_seem() -> None:
    """Taps, line, turn-on and both coils get the circuits that the trade would name."""
    found = re.search(r"<!-- wires: pairs -->\n```yaml\n(.*?)```", README, re.S)
    assert found
    document = read(f"plan: 1\n{found[1]}".encode()).document
    assert document
    plan, problems = plan_of(document)
    assert plan and problems == ()
    circuits = Case(plan).layout.words
    assert {name: circuits[name] for name in ("tap-positive", "line", "wake", "coil-2-negative")} == {
        "tap-positive": "speaker-signal",
        "line": "line-signal",
        "wake": "turn-on",
        "coil-2-negative": "speaker",
    }
