"""Finds the value of an assumption at which a judgement turns."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from planlint.facts.case import Case, Use
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.rulebook.findings import Assumed
from planlint.rulebook.model import Requirement, Rule
from planlint.trade.assumptions import Assumption, assumption

IsBroken = Callable[[Case, Rule, Any], bool]
# Rules with the elements they were judged for, and whether they were broken.
Pairs = list[tuple[Rule, Any, bool]]
# Values to try first, given one at which no outcome has turned and one at which all have.
Guess = Callable[[float, float, Pairs], tuple[float, ...]]
_STEPS = 24
_CLOSE = 5e-4


def assumptions_of(case: Case, used: dict[Use, Pairs], is_broken: IsBroken) -> tuple[Assumed, ...]:
    """Return every assumption behind a judgement; where one stands in for something the plan could state, also the value
    nearest to it, within its plausible range, at which the outcome of a rule turns."""
    ordered = sorted(used.items(), key=lambda item: (item[0].name, item[0].about))
    return tuple(_assumed(case, use, pairs, is_broken) for use, pairs in ordered)


def _assumed(case: Case, use: Use, pairs: Pairs, is_broken: IsBroken) -> Assumed:
    turn = None
    if use.name == "material":
        value: float | str = "copper-clad-aluminium"
    else:
        entry = assumption(use.name)
        value = entry.value
        turn = _nearest_turn(case, use, entry, pairs, is_broken) if entry.field else None
    return Assumed(
        name=use.name,
        about=use.about,
        value=value,
        rules=tuple(sorted({rule.id for rule, _, _ in pairs})),
        subjects=tuple(sorted({element.name for _, element, _ in pairs})),
        turns_at=turn[0] if turn else None,
        turning=(turn[1][0].id, turn[1][1].name) if turn else None,
        breaks=not turn[1][2] if turn else True,
    )


def _nearest_turn(
    case: Case, use: Use, entry: Assumption, pairs: Pairs, is_broken: IsBroken
) -> tuple[float, tuple[Rule, Any, bool]] | None:
    """Return the nearest value at which a rule turns, with that rule and its element."""

    varied: dict[float, Case] = {}

    def at(value: float) -> Case:
        if value not in varied:
            varied[value] = case.with_instead(use, value)
        return varied[value]

    def turned(value: float, among: Pairs) -> Pairs:
        return [pair for pair in among if is_broken(at(value), pair[0], pair[1]) is not pair[2]]

    found = []
    for end in (entry.low, entry.high):
        # What holds can only fail toward the worse end, what is broken only hold toward the other.
        worse = end == (entry.high if entry.worse == "high" else entry.low)
        askable = [pair for pair in pairs if pair[2] is not worse] if end != entry.value else []
        # Numbers first: what is no number may cost much, and is asked no farther out than where one of them turns.
        for asked in ([pair for pair in askable if _is_number(pair[0])], [p for p in askable if not _is_number(p[0])]):
            among = turned(end, asked) if asked else []
            if among:
                found.append(_between(entry.value, end, among, turned, _linear_guess(case, at)))
                end = found[-1][0]
    return min(found, key=lambda turn: abs(turn[0] - entry.value), default=None)


def _is_number(rule: Rule) -> bool:
    """Say whether a rule compares numbers, so that it can be told how far it is from turning."""
    return all(requirement.margin for requirement in rule.require)


def _between(
    same: float, other: float, among: Pairs, turned: Callable[[float, Pairs], Pairs], guess: Guess
) -> tuple[float, tuple[Rule, Any, bool]]:
    """Return where the first outcome turns between a value at which none has and one at which all of `among` have.

    What is asked is most often linear in the assumption: the guess then leaves next to nothing to search.
    """
    for candidate in guess(same, other, among):
        if earlier := turned(candidate, among):
            other, among = candidate, earlier
        else:
            same = candidate
    for _ in range(_STEPS):
        if abs(other - same) <= _CLOSE * abs(other):
            break
        middle = math.sqrt(same * other) if same > 0 and other > 0 else (same + other) / 2
        if earlier := turned(middle, among):
            other, among = middle, earlier
        else:
            same = middle
    return other, min(among, key=lambda pair: (pair[0].id, pair[1].name))


def _margin(requirement: Requirement, case: Case, element: Any) -> float:
    """Return how far a requirement is from turning, 0 where that is no number or not known."""
    try:
        return requirement.margin(case, element) if requirement.margin else 0.0
    except (UnknownError, UnfitError):
        return 0.0


def _linear_guess(case: Case, at: Callable[[float], Case]) -> Guess:
    """Return the guess that puts the nearest turn where it would be if all margins were linear, from just either side."""

    def guess(same: float, other: float, among: Pairs) -> tuple[float, ...]:
        far = at(other)
        roots = []
        for rule, element, _ in among:
            for requirement in rule.require:
                near_m, far_m = (_margin(requirement, one, element) for one in (case, far))
                if near_m * far_m < 0:
                    roots.append(same + (other - same) * near_m / (near_m - far_m))
        if not roots:
            return ()
        root = min(roots, key=lambda value: abs(value - same))
        step = 0.4 * _CLOSE * abs(root) * (1 if other > same else -1)
        return root - step, root + step

    return guess
