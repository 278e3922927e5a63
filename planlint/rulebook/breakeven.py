"""Finds the value of an assumption at which a judgement turns."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from planlint.facts.case import Case, Use
from planlint.rulebook.findings import Assumed
from planlint.rulebook.model import Rule
from planlint.trade.assumptions import assumption

IsBroken = Callable[[Case, Rule, Any], bool]
Pairs = list[tuple[Rule, Any]]
_STEPS = 24


def assumptions_of(case: Case, used: dict[Use, Pairs], is_broken: IsBroken) -> tuple[Assumed, ...]:
    """Return every assumption behind a judgement; where one stands in for something the plan could state, also where it
    turns the judgement."""
    ordered = sorted(used.items(), key=lambda item: (item[0].name, item[0].about))
    return tuple(_assumed(case, use, pairs, is_broken) for use, pairs in ordered)


def _assumed(case: Case, use: Use, pairs: Pairs, is_broken: IsBroken) -> Assumed:
    value = _value(use)
    turns_at, turning, breaks = None, None, True
    if isinstance(value, float) and assumption(use.name).field:
        for rule, element in pairs:
            turn = _turn(case, use, rule, element, is_broken)
            if turn is not None and (turns_at is None or _nearer(turn, turns_at, value)):
                turns_at, turning = turn, (rule.id, element.name)
                breaks = not is_broken(case, rule, element)
    return Assumed(
        name=use.name,
        about=use.about,
        value=value,
        rules=tuple(sorted({rule.id for rule, _ in pairs})),
        subjects=tuple(sorted({element.name for _, element in pairs})),
        turns_at=turns_at,
        turning=turning,
        breaks=breaks,
    )


def _value(use: Use) -> float | str:
    return "copper-clad-aluminium" if use.name == "material" else assumption(use.name).value


def _nearer(one: float, other: float, value: float) -> bool:
    return abs(one - value) < abs(other - value)


def _turn(case: Case, use: Use, rule: Rule, element: Any, is_broken: IsBroken) -> float | None:
    """Return the value nearest to the assumed one, within its plausible range, at which the rule's outcome turns."""
    entry = assumption(use.name)
    now = is_broken(case, rule, element)

    def turned(value: float) -> bool:
        return is_broken(case.with_instead(use, value), rule, element) is not now

    found = [_between(entry.value, end, turned) for end in (entry.low, entry.high) if turned(end)]
    return min(found, key=lambda value: abs(value - entry.value), default=None)


def _between(same: float, other: float, turned: Callable[[float], bool]) -> float:
    """Return where the outcome turns between a value at which it has not and one at which it has, to 0.1 %."""
    for _ in range(_STEPS):
        middle = math.sqrt(same * other) if same > 0 and other > 0 else (same + other) / 2
        if turned(middle):
            other = middle
        else:
            same = middle
        if abs(other - same) <= 5e-4 * abs(other):
            break
    return other
