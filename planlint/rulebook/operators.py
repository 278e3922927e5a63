"""The closed vocabulary of operators: each a small function of the fact's answer and the operand."""

from __future__ import annotations

from collections.abc import Callable
from math import isclose
from typing import Any

from planlint.frozen import frozen

# Limits compare with this relative slack, so that a value computed to equal its limit holds.
SLACK = 1e-9


def at_most(answer: float, limit: float) -> bool:
    """Say whether a number does not pass a limit."""
    return answer <= limit or isclose(answer, limit, rel_tol=SLACK)


def at_least(answer: float, limit: float) -> bool:
    """Say whether a number reaches a limit."""
    return answer >= limit or isclose(answer, limit, rel_tol=SLACK)


def same(answer: Any, operand: Any) -> bool:
    """Say whether an answer is the operand; numbers within the slack, nothing at all is `none`."""
    if isinstance(answer, tuple):
        return bool(answer) is False if operand is None else False
    if isinstance(answer, (int, float)) and isinstance(operand, float):
        return at_most(answer, operand) and at_least(answer, operand)
    return bool(answer == operand)


@frozen
class Operator:
    """An operator: its test, whether it compares numbers, whether its operand is a list, and its words."""

    test: Callable[[Any, Any], bool]
    words: str
    numeric: bool = False
    lists: bool = False


OPERATORS: dict[str, Operator] = {
    "is": Operator(test=same, words="is"),
    "is_not": Operator(test=lambda answer, operand: not same(answer, operand), words="is not"),
    "among": Operator(
        test=lambda answer, operands: any(same(answer, one) for one in operands),
        words="is",
        lists=True,
    ),
    "not_among": Operator(
        test=lambda answer, operands: not any(same(answer, one) for one in operands),
        words="is not",
        lists=True,
    ),
    "at_least": Operator(test=at_least, words="is at least", numeric=True),
    "at_most": Operator(test=at_most, words="is at most", numeric=True),
    "more_than": Operator(test=lambda answer, limit: not at_most(answer, limit), words="is more than", numeric=True),
    "less_than": Operator(test=lambda answer, limit: not at_least(answer, limit), words="is less than", numeric=True),
}
"""`stated` is the ninth: it asks whether the fact has an answer at all, and so is no function of it."""

STATED = "stated"
