"""What each format makes of hand-made results, kept in files; PLANLINT_REWRITE_GOLDEN=1 writes them anew."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from made_results import ALL, BROKEN, SOUND

from planlint.judge.judge import judge
from planlint.report.json import render_json
from planlint.report.table import render_table
from planlint.report.text import render_text

GOLDEN = Path(__file__).resolve().parent / "golden"
EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "hatchback.plan.yaml"
# What a plan can lack, and what can go wrong in it: no length, a battery that carries nothing, a load without a way back.
LACKING = b"""\
plan: 1
vehicle: {system: 12 V, body: steel-unibody}
nodes:
  battery: {kind: battery, resistance: 200 mohm}
  main: {kind: fuse, rating: 80 A}
  amp: {kind: amp, class: D, outputs: {sub: {power: 600 W, at: 2 ohm}}}
  fan: {kind: load, supply: 2 A}
  stud: {kind: ground-point}
wires:
  tail: {from: battery.positive, to: main.line, gauge: 4 AWG, length: 15 cm, material: copper, insulation: 105 C}
  feed: {from: main.load, to: amp.power, gauge: 4 AWG, LENGTH material: copper, insulation: 105 C}
  lead: {from: main.load, to: fan.power, gauge: 16 AWG, length: 1 m, material: copper, insulation: 105 C}
  ground: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm, material: copper, insulation: 105 C}
"""


def tables() -> str:
    """The tables of a sound example, of a plan that collapses, of one that lacks a length, and of no plan."""
    texts = {
        "hatchback": EXAMPLE.read_bytes(),
        "weak": LACKING.replace(b"LENGTH", b"length: 5 m,"),
        "lacking": LACKING.replace(b"LENGTH ", b""),
        "unreadable": b"plan: [",
    }
    return render_table(tuple(judge(text, f"{name}.plan.yaml", numbers=True) for name, text in texts.items()))


REPORTS: dict[str, Callable[[], str]] = {
    "broken.txt": lambda: render_text((BROKEN,)),
    "broken-coloured.txt": lambda: render_text((BROKEN,), colour=True),
    "sound.txt": lambda: render_text((SOUND,)),
    "several.txt": lambda: render_text(ALL),
    "several.json": lambda: render_json(ALL),
    "tables.txt": tables,
}


@pytest.mark.parametrize("name", REPORTS)
def test_a_report_is_as_it_was(name: str) -> None:
    """A report differs from its golden file only where someone meant it and rewrote the file."""
    report = REPORTS[name]()
    if os.environ.get("PLANLINT_REWRITE_GOLDEN") == "1":
        (GOLDEN / name).write_bytes(report.encode())
    assert (GOLDEN / name).read_bytes().decode() == report


def test_every_golden_file_is_of_a_report() -> None:
    """No golden file is left over that nothing is compared with."""
    assert {path.name for path in GOLDEN.iterdir()} == set(REPORTS)
