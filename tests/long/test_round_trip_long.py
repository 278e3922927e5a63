"""Many more random plans there and back, and judged in every spelling; run before a release, with `pytest tests/long`."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "plan"))

from test_round_trip import DIMENSIONS, SHARES, comes_back, judged_alike, quantities, typed_plans

from planlint.plan.model import Plan
from planlint.plan.quantity import Quantity, parse
from planlint.plan.unbuild import quantity_text

many = settings(max_examples=2000, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@many
@given(typed_plans())
def test_many_plans_come_back_from_a_file(plan: Plan) -> None:
    """Plan, data, text, reader, schema, builder: an equal plan, by YAML and by JSON."""
    comes_back(plan)


@pytest.mark.parametrize("kinds", SHARES, ids=[kinds[0] for kinds in SHARES])
@settings(many, max_examples=100)
@given(data=st.data())
def test_many_plans_of_every_field_come_back(kinds: tuple[str, ...], data: st.DataObject) -> None:
    """All fields of all classes, a share of the kinds of node at a time, a hundred times each."""
    comes_back(data.draw(typed_plans(whole=kinds)))


@many
@given(typed_plans())
def test_many_plans_are_judged_alike_in_every_spelling(plan: Plan) -> None:
    """How a plan is spelt is no property of the plan."""
    judged_alike(plan)


@settings(many, max_examples=20_000)
@given(st.sampled_from(DIMENSIONS).flatmap(quantities))
def test_very_many_quantities_have_a_text(quantity: Quantity) -> None:
    """Values, the unit to show them in and the basis come back exactly: no digit is lost on the way."""
    assert parse(quantity_text(quantity), quantity.dimension) == quantity
