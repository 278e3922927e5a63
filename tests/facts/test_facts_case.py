"""What a case remembers: sums of many amounts, and the assumptions behind an answer."""

from __future__ import annotations

import math

from hand import case_of
from hypothesis import given
from hypothesis import strategies as st

from planlint.facts.case import Use

MANY = 1000


@given(st.lists(st.floats(0, 1e3), max_size=100))
def test_a_total_is_the_sum_of_all_amounts(amounts: list[float]) -> None:
    """Added up by halves it is the sum that Python's own exact summing gives, none and one among them."""
    total = case_of({}, []).total("amounts", range(len(amounts)), lambda at: amounts[at])
    assert math.isclose(total, math.fsum(amounts), rel_tol=1e-12)


def test_a_total_with_one_amount_varied_asks_few_again() -> None:
    """Of a thousand assumed amounts the one that is varied is asked again, with those in its smallest part alone."""
    asked = []

    def amount(at: int) -> float:
        asked.append(at)
        return float(case.assume("standby_draw", f"amp-{at}"))

    def total() -> float:
        return case.once("whole", lambda: case.total("amounts", range(MANY), amount))

    case = plain = case_of({}, [])
    whole = total()
    assert sorted(asked) == list(range(MANY))
    for at in (0, 500, MANY - 1):
        asked.clear()
        case = plain.with_instead(Use(name="standby_draw", about=f"amp-{at}"), 1.0)
        assert math.isclose(total(), whole + 1.0 - whole / MANY, rel_tol=1e-12)
        assert at in asked
        assert len(asked) <= 8


def test_the_assumptions_behind_an_answer_are_named_in_the_order_in_which_they_were_made() -> None:
    """Each once, those of other answers left out."""
    case = case_of({}, [])
    for about in ("a", "b", "c", "d"):
        case.assume("standby_draw", about)
    case.take_uses()
    for about in ("d", "b", "d"):
        case.assume("standby_draw", about)
    assert [use.about for use in case.uses_of(case.take_uses())] == ["b", "d"]
