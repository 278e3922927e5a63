"""Every fault of every rule at every element of every sound example; run before a release, with `pytest tests/long`."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "rulebook"))

from matrix import EXAMPLES, RULES, complaints, planted

EVERY = 10**6


@pytest.mark.parametrize("name", sorted(RULES))
def test_every_fault_at_every_element(name: str) -> None:
    """A fault raises its rule at the right line, and no finding outside those the fault names, wherever it fits."""
    planted_here = [one for example in EXAMPLES for one in planted(example, RULES[name], EVERY)]
    print(f"{name}: {len(planted_here)} planted")
    assert [complaint for one in planted_here for complaint in complaints(one)] == []
