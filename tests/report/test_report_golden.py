"""What each format makes of hand-made results, kept in files; PLANLINT_REWRITE_GOLDEN=1 writes them anew."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from made_results import ALL, BROKEN, SOUND

from planlint.report.json import render_json
from planlint.report.text import render_text

GOLDEN = Path(__file__).resolve().parent / "golden"
REPORTS: dict[str, Callable[[], str]] = {
    "broken.txt": lambda: render_text((BROKEN,)),
    "broken-coloured.txt": lambda: render_text((BROKEN,), colour=True),
    "sound.txt": lambda: render_text((SOUND,)),
    "several.txt": lambda: render_text(ALL),
    "several.json": lambda: render_json(ALL),
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
