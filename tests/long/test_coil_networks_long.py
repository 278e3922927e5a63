"""Voice coils of a thousand whole plans, wired at random, against a nodal solution by scipy."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "facts"))

from coil_plans import check


@pytest.mark.parametrize("part", range(10))
def test_a_hundred_random_wirings(part: int) -> None:
    """Load, share of power and polarity are those of the nodal solution, and about half of the wirings close."""
    assert sum(check(1000 + 100 * part + i) for i in range(100)) > 40
