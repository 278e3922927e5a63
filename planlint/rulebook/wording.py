"""Puts answers into words: numbers in the unit the plan uses for that kind of value, elements by name."""

from __future__ import annotations

import math
import re
from collections.abc import Collection
from dataclasses import fields
from functools import cache
from typing import Any

from planlint.facts.case import Case, Yields
from planlint.facts.table import SUBJECTS, answer
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.quantity import Dimension, Quantity, parse, readable_unit, show
from planlint.plan.runs import BlockOutput
from planlint.plan.units import FOOT_M
from planlint.rulebook.model import Rule, Setting
from planlint.rulebook.operators import same
from planlint.rulebook.phrases import PLACEHOLDER, value_words
from planlint.text.series import one_after_another

# Small values read better in the small unit, whatever the plan uses for larger ones.
_FINE = {Dimension.RESISTANCE, Dimension.VOLTAGE}
# What is said where there is no answer.
NOT_STATED, UNFIT = "(not stated)", "(none)"
_LARGER = {"mm": "m", "cm": "m", "in": "ft"}
_SMALLER = {"m": "mm", "cm": "mm", "ft": "in"}


def fill(template: str, rule: Rule, case: Case, element: Any, low: Collection[str] = ()) -> str:
    """Return a sentence with its placeholders put into words; of the facts in `low` the lower end of a range."""
    settings = {setting.name: setting for setting in rule.settings}

    def word(match: re.Match[str]) -> str:
        name = match[1]
        if name == "subject":
            return str(element.name)
        if name in settings:
            return _setting(case, settings[name], element)
        return spoken(case, rule.about, name, element, low=name in low)

    return PLACEHOLDER.sub(word, template)


def written(template: str, rule: Rule, case: Case, element: Any) -> str:
    """Return a text for a plan with its placeholders put in as a plan writes them: `engine-bay`, `18 in`."""
    settings = {setting.name: setting.text for setting in rule.settings}

    def value(match: re.Match[str]) -> str:
        name = match[1]
        if name == "subject":
            return str(element.name)
        return settings.get(name) or spoken(case, rule.about, name, element, as_written=True)

    return PLACEHOLDER.sub(value, template)


def _setting(case: Case, setting: Setting, element: Any) -> str:
    """Return a setting in the unit the plan uses for that kind of value; where that would have to be rounded, as the rule
    states it too: `18 in (457 mm)`."""
    if setting.dimension is None or setting.dimension in _FINE:
        return setting.text
    unit = unit_for(case, element, setting.dimension, setting.value)
    shown = show(setting.value, setting.dimension, unit)
    if same(parse(shown, setting.dimension).high, setting.value):
        return shown
    if unit == "m" and setting.value < 1:
        shown = show(setting.value, setting.dimension, "cm")
    return f"{setting.text} ({shown})"


def spoken(case: Case, about: str, name: str, element: Any, *, low: bool = False, as_written: bool = False) -> str:
    """Return a fact's answer in words, `not stated` where it is unknown; `low` takes the lower end of a range, `as_written`
    leaves values as a plan writes them."""
    try:
        value = answer(case, about, name, element, low=low)
    except UnknownError:
        return NOT_STATED
    except UnfitError:
        return UNFIT
    yields = SUBJECTS[about].facts[name].yields
    return str(value) if as_written and isinstance(value, str) else say(case, yields, value, element)


def say(case: Case, yields: Dimension | Yields, value: Any, element: Any) -> str:
    """Return a value in words."""
    if value is None or value == ():
        return "none"
    if isinstance(yields, Dimension):
        if yields is Dimension.CURRENT and math.isinf(value):
            return "current without limit"
        return show(value, yields, unit_for(case, element, yields, value))
    if yields is Yields.ELEMENT:
        items = value if isinstance(value, tuple) else (value,)
        return one_after_another([_called(item) for item in items])
    if yields is Yields.FLAG:
        return "yes" if value else "no"
    return value_words(str(value)) if yields is Yields.WORD else str(value)


def _called(element: Any) -> str:
    """Return the name of an element as a plan's wires name it: of an output of a block with the block's."""
    return f"{element.path[1]}.{element.name}" if isinstance(element, BlockOutput) else str(element.name)


def unit_for(case: Case, element: Any, dimension: Dimension, value: float) -> str:
    """Return the unit in which to show a value: that of the element's own field of its size, else of the plan's nearest."""
    if dimension in _FINE:
        return readable_unit(value, dimension)
    own = _measures(element).get(dimension, {})
    unit, apart = _nearest(own, value)
    if apart:
        every = case.once("measures", lambda: _every_measure(case)).get(dimension, {})
        unit, apart = _nearest({**every, **{one: every.get(one, 0) + count for one, count in own.items()}}, value)
    if not unit:
        return readable_unit(value, dimension)
    # What the plan measures in one unit is told so, but not what is ten times larger or smaller, nor a part of a foot.
    if apart < 0 or (unit == "ft" and value < FOOT_M):
        return _SMALLER.get(unit, unit)
    return _LARGER.get(unit, unit) if apart else unit


# How often a plan or an element measures so many of a unit.
_Measures = dict[tuple[str, float], int]


def _nearest(measures: _Measures, value: float) -> tuple[str, int]:
    """Return the unit of the quantity nearest to a value, and how many factors of ten the value is above it or, as a
    negative number, below."""
    found = ((_apart(high, value), -count, unit, high) for (unit, high), count in measures.items())
    apart, _, unit, high = min(found, default=(99, 0, "", 0.0))
    return unit, -apart if value < high else apart


def _apart(one: float, other: float) -> int:
    """Return how many factors of ten lie between two values: 9 mm is no measure for metres of cable."""
    if one <= 0 or other <= 0 or math.isinf(one) or math.isinf(other):
        return 99
    return int(abs(math.log10(one / other)))


def _every_measure(case: Case) -> dict[Dimension, _Measures]:
    """Return by dimension what wires, nodes and the vehicle measure."""
    return _measures(*case.plan.wires, *case.plan.nodes, case.plan.vehicle)


def _measures(*elements: Any) -> dict[Dimension, _Measures]:
    found: dict[Dimension, _Measures] = {}
    for element in elements:
        kind: Any = type(element)
        for name in _fields(kind):
            value = getattr(element, name, None)
            if isinstance(value, Quantity):
                measures = found.setdefault(value.dimension, {})
                measures[value.unit, value.high] = measures.get((value.unit, value.high), 0) + 1
    return found


@cache
def _fields(kind: Any) -> tuple[str, ...]:
    """Return the fields of a kind of element that hold a quantity."""
    return tuple(sorted(one.name for one in fields(kind) if "Quantity" in str(one.type)))
