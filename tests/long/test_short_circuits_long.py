"""Short-circuit currents of 300 random plans against ngspice; run before a release, with `pytest tests/long`."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "facts"))

from random_plans import random_case
from shorted import breaking_pairs, fuse_pairs, prospective_pairs
from spice import NGSPICE


@pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")
@pytest.mark.parametrize("seed", range(3000, 3300))
def test_short_circuits_are_those_of_ngspice(seed: int, tmp_path: Path) -> None:
    """Each battery alone, through the fuse before every wire, and all sources at once through every fuse: within 0.1 %."""
    case = random_case(seed)
    pairs = prospective_pairs(case, tmp_path) + fuse_pairs(case, tmp_path)
    for name, found, expected in pairs + [pair[:3] for pair in breaking_pairs(case, tmp_path)]:
        assert found == pytest.approx(expected, rel=1e-3), name
