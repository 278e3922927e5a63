"""Speed without a clock: what judging loads, and how the work grows with the plan, are counted."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from planlint.facts import case as cases
from planlint.judge.judge import judge
from planlint.judge.result import Verdict

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.plan.yaml"))
HEAVY = ("jsonschema", "jinja2", "numpy", "scipy", "pint", "asyncio", "difflib")
_LOADED = """
import sys
from planlint.judge.judge import judge
result = judge(sys.stdin.buffer.read(), "x")
print(result.verdict.name, *sorted({name.partition(".")[0] for name in sys.modules}))
"""


def loaded(text: str) -> list[str]:
    """The verdict on a plan, and the top-level modules that a process loaded to reach it."""
    done = subprocess.run([sys.executable, "-c", _LOADED], input=text.encode(), capture_output=True, check=True)
    return done.stdout.decode().split()


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.name for path in EXAMPLES])
def test_judging_a_sound_plan_loads_nothing_heavy(path: Path) -> None:
    """What only a rejected plan, a page or a test needs stays on disk."""
    verdict, *modules = loaded(path.read_text(encoding="utf-8"))
    assert verdict.startswith("READY")
    assert [name for name in HEAVY if name in modules] == []
    assert "networkx" in modules and "yaml" in modules


def test_a_rejected_plan_is_explained_at_its_own_cost() -> None:
    """The other way round, so that the test above can fail: a plan that does not fit the schema loads jsonschema."""
    verdict, *modules = loaded(EXAMPLES[0].read_text(encoding="utf-8") + "colour: blue\n")
    assert (verdict, "jsonschema" in modules) == ("UNREADABLE", True)


def fleet(users: int) -> str:
    """A sound plan of this many fans, each behind a fuse of its own at one bar, and each with its ground wire."""
    make = "gauge: 14 AWG, material: copper, insulation: 105 C"
    main = "gauge: 4/0 AWG, material: copper, insulation: 105 C"
    nodes = [
        f"  fuse-{n}: {{kind: fuse, rating: 10 A}}\n  fan-{n}: {{kind: load, supply: 200 mA, standby: 0.1 mA}}"
        for n in range(users)
    ]
    wires = [
        f"  tail-{n}: {{from: bar, to: fuse-{n}.line, length: 10 cm, {make}}}\n"
        f"  feed-{n}: {{from: fuse-{n}.load, to: fan-{n}.power, length: 1 m, {make}}}\n"
        f"  ground-{n}: {{from: fan-{n}.ground, to: block, length: 1 m, {make}}}"
        for n in range(users)
    ]
    return "\n".join(
        [
            "plan: 1\nscope: electrical\nvehicle: {system: 12 V, body: steel-unibody}",
            "defaults: {fuse: {interrupts: 5 kA}}\nnodes:",
            "  battery: {kind: battery}\n  main: {kind: fuse, rating: 200 A}\n  bar: {kind: bus}\n  block: {kind: bus}",
            *nodes,
            f"wires:\n  main-tail: {{from: battery.positive, to: main.line, length: 10 cm, {main}}}",
            f"  main-feed: {{from: main.load, to: bar, length: 20 cm, {main}}}",
            f"  main-ground: {{from: block, to: battery.negative, length: 20 cm, {main}}}",
            *wires,
        ]
    )


def counts(users: int, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """How many rules were put to elements, and how many answers were computed, in judging a fleet."""
    asked, computed = [0], [0]
    take, compute = cases.Case.take_uses, cases.Case._compute

    def counted_take(case: cases.Case) -> Any:
        asked[0] += 1
        return take(case)

    def counted_compute(*args: Any) -> Any:
        computed[0] += 1
        return compute(*args)

    monkeypatch.setattr(cases.Case, "take_uses", counted_take)
    monkeypatch.setattr(cases.Case, "_compute", counted_compute)
    result = judge(fleet(users).encode(), "x")
    monkeypatch.undo()
    assert result.verdict is Verdict.READY_ELECTRICAL
    # Whether a sized fuse guards its wire against a soft short circuit is a note.
    assert {finding.rule for finding in result.findings} <= {"soft-short-unprotected"}
    return asked[0], computed[0]


def test_work_grows_with_the_wires_and_no_faster(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rules asked and answers computed: what 20 more users add to 10, 40 more add twice to 30."""
    small, middle, large = (counts(users, monkeypatch) for users in (10, 30, 70))
    for ours, theirs, most in zip(small, middle, large, strict=True):
        assert 0 < most - theirs <= 2 * (theirs - ours) * 1.02
