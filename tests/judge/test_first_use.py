"""What a first user of the format ran into with a second battery, each mistake as a plan of its own."""

from __future__ import annotations

import pytest

from planlint.judge.judge import judge
from planlint.judge.result import Result, Verdict
from planlint.report.text import render_text

VAN = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
defaults:
  wire: {material: copper, insulation: 105 C, gauge: 4 AWG, length: 40 cm}
  fuse: {interrupts: 5 kA}
nodes:
  front-battery: {kind: battery, role: main, chemistry: agm}
  rear-battery: {kind: battery, role: added, chemistry: agm, link: 40 A}
  front-fuse: {kind: fuse, rating: 100 A}
  rear-fuse: {kind: fuse, rating: 100 A}
  amp-fuse: {kind: fuse, rating: 60 A}
  amp: {kind: amp, class: D, outputs: {sub: {power: 400 W, at: 2 ohm}}}
  block: {kind: bus}
  stud: {kind: ground-point, member: floor, surface: bare-metal, resistance: 1.9 mohm measured}
wires:
  link-1: {from: front-battery.positive, to: front-fuse.line, length: 18 cm}
  link-2: {from: front-fuse.load, to: rear-fuse.load, length: 6 m}
  link-3: {from: rear-fuse.line, to: rear-battery.positive, length: 18 cm}
  feed-1: {from: rear-battery.positive, to: amp-fuse.line, length: 18 cm}
  feed-2: {from: amp-fuse.load, to: amp.power, length: 1 m}
  amp-ground: {from: amp.ground, to: block}
  rear-negative: {from: rear-battery.negative, to: block}
  block-ground: {from: block, to: stud}
"""


def judged(*edits: tuple[str, str]) -> Result:
    """The result of the van's plan with edits."""
    text = VAN
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    return judge(text.encode(), "van")


def found(result: Result) -> set[tuple[str, str]]:
    """The findings by rule and subject."""
    return {(finding.rule, finding.subject) for finding in result.findings}


def test_the_van_is_sound() -> None:
    """The amplifier comes home by cable to the battery that feeds it; what was measured to the other one is beside it."""
    result = judged()
    assert result.verdict is Verdict.READY_ELECTRICAL
    # Its two batteries are joined for good, which is a warning.
    assert {finding.rule for finding in result.findings} <= {"soft-short-unprotected", "second-battery-not-isolated"}


def test_without_a_way_back_to_its_battery_an_amplifier_has_none() -> None:
    """A stud measured to the other battery is no way home where the added battery's negative is left out."""
    result = judged(("  rear-negative: {from: rear-battery.negative, to: block}\n", ""))
    assert ("return-path-missing", "amp") in found(result)
    assert result.verdict is Verdict.BROKEN


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        (("to: amp.power", "to: amp.supply"), "write `amp.` and one of these terminals"),
        (("to: amp.power", "to: amp.input"), "did you mean `amp.input-1`?"),
        (("to: amp.power", "to: amp.powr"), "did you mean `amp.power`?"),
    ],
)
def test_a_hint_never_leads_to_a_wrong_terminal(edit: tuple[str, str], expected: str) -> None:
    """Obeyed, a guess among terminals that are not near would make a wrong wire."""
    (finding,) = judged(edit).findings
    assert finding.remedy.lower() == expected


def test_all_that_a_short_word_may_mean_is_named() -> None:
    """A converter has a turn-on input and a turn-on output."""
    text = "plan: 1\nnodes:\n  c: {kind: converter}\n  a: {kind: amp}\nwires:\n  w: {from: c.turn-on, to: a.turn-on}\n"
    (finding,) = judge(text.encode(), "x").findings
    assert finding.remedy == "Did you mean `c.turn-on-in` or `c.turn-on-out`?"


def test_a_name_with_a_blank_is_one_mistake() -> None:
    """Whoever calls a part `Amp Fuse` and writes `amp-fuse` at its wires made one mistake, not three."""
    result = judged(("  amp-fuse: {kind", "  Amp Fuse: {kind"))
    assert [finding.rule for finding in result.findings] == ["plan-format"]


def test_many_wires_without_a_material_are_told_as_one() -> None:
    """One habit of the planner is one note for all wires of a circuit."""
    result = judged(("material: copper, ", ""))
    notes = [finding for finding in result.findings if finding.rule == "conductor-material-not-stated"]
    assert len(notes) <= 3


def test_parts_of_the_job_without_rules_are_named() -> None:
    """A plan whose holes nobody judges is not ready as a whole, and the report says why."""
    text = VAN.replace("scope: electrical\n", "") + "holes: {floor: {diameter: 10 mm}}\nmounts: none\nsteps: none\n"
    result = judge((text + "tests: none\ndocuments: none\n").encode(), "van", rules=())
    assert (result.verdict, result.ruleless) == (Verdict.READY_ELECTRICAL, ("holes",))
    assert "holes: check these parts of the job yourself" in render_text((result,))
