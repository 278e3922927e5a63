"""Every rule's own faults, planted into every sound example in which they fit."""

from __future__ import annotations

import pytest
from matrix import EXAMPLES, RULES, complaints, planted

# Elements of one example in which each fault is planted; the long run takes them all.
MOST = 2


@pytest.mark.parametrize("name", sorted(RULES))
def test_planted_faults_are_found_in_their_place_and_bring_nothing_else(name: str) -> None:
    """A fault raises its rule at the right line, and no finding outside those the fault names, nor one cause told twice."""
    planted_here = [one for example in EXAMPLES for one in planted(example, RULES[name], MOST)]
    assert [complaint for one in planted_here for complaint in complaints(one)] == []
    missed = [f.text for f in RULES[name].faults if not any(one.fault is f for one in planted_here)]
    assert missed == [], "these faults fit no example"
