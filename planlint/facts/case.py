"""One plan under judgement: computes each answer once and remembers which assumptions stood behind it."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Plan
from planlint.trade.assumptions import assumption

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """An assumption that stood in for something not stated; `about` names the element it was made for, if one."""

    name: str
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answer:
    value: Any
    error: UnknownError | UnfitError | None
    uses: frozenset[Use]


class Case:
    """A plan with the answers computed so far.

    `instead` gives other values (SI) to assumptions, to find where a judgement turns.
    """

    def __init__(self, plan: Plan, instead: Mapping[Use, Any] | None = None) -> None:
        self.plan = plan
        self.instead = dict(instead or {})
        self._answers: dict[Hashable, _Answer] = {}
        self._open: list[set[Use]] = [set()]

    def once(self, key: Hashable, compute: Callable[[], T]) -> T:
        """Return what `compute` yields, computing it only the first time; its errors are remembered too."""
        answer = self._answers.get(key)
        if answer is None:
            answer = self._answers[key] = self._compute(compute)
        if answer.uses:
            self._open[-1] |= answer.uses
        if answer.error is not None:
            raise answer.error
        return answer.value  # type: ignore[no-any-return]

    def _compute(self, compute: Callable[[], Any]) -> _Answer:
        self._open.append(set())
        try:
            value, error = compute(), None
        except (UnknownError, UnfitError) as caught:
            value, error = None, caught
        finally:
            uses = self._open.pop()
        return _Answer(value=value, error=error, uses=frozenset(uses))

    def uses_of(self, key: Hashable) -> frozenset[Use]:
        """Return the assumptions behind an answer that has been computed."""
        return self._answers[key].uses

    def assume(self, name: str, about: str = "", *, default: Any = None) -> Any:
        """Return the value (SI) of an assumption and note that it was made; `default` overrides the table's value."""
        use = Use(name=name, about=about)
        self._open[-1].add(use)
        if use in self.instead:
            return self.instead[use]
        return assumption(name).value if default is None else default

    def with_instead(self, use: Use, value: Any) -> Case:
        """Return the same case with another value for one assumption; answers that do not rest on it are kept."""
        other = Case(self.plan, {**self.instead, use: value})
        other._answers = {key: answer for key, answer in self._answers.items() if use not in answer.uses}
        return other
