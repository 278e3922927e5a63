"""One plan under judgement: computes each answer once and remembers which assumptions stood behind it."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from enum import StrEnum
from functools import partial
from typing import Any, TypeVar

from planlint.frozen import frozen
from planlint.graph.layout import Layout
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Plan
from planlint.plan.quantity import Dimension, Quantity
from planlint.text.places import Path
from planlint.trade.assumptions import assumption

T = TypeVar("T")


@frozen
class Use:
    """An assumption that stood in for something not stated; `about` names the element it was made for, if one."""

    name: str
    about: str = ""


@frozen
class Fact:
    """A question a rule may ask: `ask(case, element)` returns the answer in SI, or raises UnknownError or UnfitError.

    Facts are cheap to ask; one that is not remembers its answer in the case. `low` answers with the lower end of a range
    where `ask` gives the upper; `stated` says, quicker than `ask`, whether a field is stated. `drawn` says that the drawing
    alone answers it: never unknown, and resting on no assumption.
    """

    name: str
    ask: Callable[[Case, Any], Any]
    yields: Dimension | Yields
    low: Callable[[Case, Any], Any] | None = None
    stated: Callable[[Case, Any], bool] | None = None
    told: str = ""
    drawn: bool = False

    @property
    def meaning(self) -> str:
        """What the fact means, from its field's or its function's description."""
        if self.told:
            return self.told
        return " ".join((self.ask.__doc__ or "").split("\n\n")[0].split()).removeprefix("Return ").removeprefix("Say ")


@frozen
class Found:
    """What judging has found so far, for the rules that look back on it.

    `rules` say of each rule in force whether anybody may accept a finding of it, `findings` the same of each finding by rule
    and subject, `gaps` what is missing where a rule could not be checked.
    """

    rules: Mapping[str, bool]
    findings: Mapping[tuple[str, str], bool]
    gaps: Mapping[tuple[str, str], Path]


class Yields(StrEnum):
    """What a fact that is no quantity yields."""

    WORD = "a word"
    FLAG = "true or false"
    COUNT = "a count"
    ELEMENT = "an element of the plan"


# An answer: its value, or the error that stands for one, and the assumptions behind it, one bit each.
_Answer = tuple[Any, UnknownError | UnfitError | None, int]


# As many amounts are added up anew each time.
_FEW = 8


class Case:
    """A plan with the answers computed so far; `layout` is what its drawing alone decides.

    `today` is the day to judge by, as year-month-day, None where none is given; `found` is what judging has found, None
    before it. `most_flows` says that of ranges the ends at which most current flows count.
    """

    def __init__(self, plan: Plan, today: str | None = None) -> None:
        self.plan = plan
        self.today = today
        self.found: Found | None = None
        self.nodes = {node.name: node for node in plan.nodes}
        self.zones = {zone.name: zone for zone in plan.zones}
        self.layout = Layout(plan)
        self._answers: dict[Hashable, _Answer] = {}
        # Assumptions are noted as bits, since nearly every answer passes some on; the last of `noted` gathers them,
        # the first those behind all that was asked since they were last taken.
        self._uses: list[Use] = []
        self._bits: dict[tuple[str, str], int] = {}
        self.noted: list[int] = [0]
        self._instead: dict[int, Any] = {}
        self._varied = 0
        self._base: Case | None = None
        self.most_flows = False
        self._at_most: Case | None = None

    def at_most(self, ask: Callable[[Case], T]) -> T:
        """Return an answer that counts the ends of ranges at which most current flows, its assumptions noted as this case's
        own: of what a fuse has to break the worse."""
        if self._at_most is None:
            self._at_most = self._anew()
            self._at_most._base, self._at_most.most_flows = None, True
        try:
            return ask(self._at_most)
        finally:
            self.noted[-1] |= self._at_most.take_uses()

    def end(self, value: Quantity, *, upper: bool) -> float:
        """Return the end of a range that counts where least current flows; where most flows, the other one."""
        return value.high if upper is not self.most_flows else value.low

    def once(self, key: Hashable, compute: Callable[[], T]) -> T:
        """Return what `compute` yields, computing it only the first time; its errors are remembered too."""
        found = self._answers.get(key)
        if found is None:
            found = self._answers[key] = (self._base and self._from_base(key)) or self._compute(compute)
        value, error, uses = found
        if uses:
            self.noted[-1] |= uses
        if error is not None:
            # A fresh one: raised itself it would hold its frames, these the case, and the case it again.
            raise UnknownError(error.path) if isinstance(error, UnknownError) else UnfitError
        return value  # type: ignore[no-any-return]

    def total(self, key: str, items: Sequence[T], amount: Callable[[T], float]) -> float:
        """Return the sum of the amounts of many items, added up by halves that are remembered: where one of them rests on
        what is varied, only the halves that hold it are added up again."""

        def part(low: int, high: int) -> float:
            if high - low <= _FEW:
                return sum([amount(one) for one in items[low:high]], 0.0)
            middle = (low + high) // 2
            halves = ((low, middle), (middle, high))
            return sum([self.once((key, *half), partial(part, *half)) for half in halves], 0.0)

        return part(0, len(items))

    def take_uses(self) -> int:
        """Return the assumptions behind all that was asked since they were last taken, as bits; 0 is none."""
        bits = self.noted[0]
        self.noted[0] = 0
        return bits

    def uses_of(self, bits: int) -> list[Use]:
        """Return the assumptions that bits stand for."""
        found = []
        while bits:
            lowest = bits & -bits
            found.append(self._uses[lowest.bit_length() - 1])
            bits ^= lowest
        return found

    def _from_base(self, key: Hashable) -> _Answer | None:
        """Return the answer of the case this one varies, where it does not rest on what is varied."""
        if self._base is None:
            return None
        answer = self._base._answers.get(key) or self._base._from_base(key)
        return answer if answer and not answer[2] & self._varied else None

    def _compute(self, compute: Callable[[], Any]) -> _Answer:
        self.noted.append(0)
        value: Any = None
        error: UnknownError | UnfitError | None = None
        try:
            value = compute()
        except (UnknownError, UnfitError) as caught:
            error = caught.with_traceback(None)
        finally:
            uses = self.noted.pop()
        return value, error, uses

    def assume(self, name: str, about: str = "", *, default: Any = None) -> Any:
        """Return the value (SI) of an assumption and note that it was made; `default` overrides the table's value."""
        bit = self._bit(name, about)
        self.noted[-1] |= bit
        if bit in self._instead:
            return self._instead[bit]
        return assumption(name).value if default is None else default

    def _bit(self, name: str, about: str) -> int:
        bit = self._bits.get((name, about))
        if bit is None:
            bit = self._bits[name, about] = 1 << len(self._uses)
            self._uses.append(Use(name=name, about=about))
        return bit

    def with_instead(self, use: Use, value: Any) -> Case:
        """Return the same case with another value for one assumption; answers that do not rest on it are shared."""
        other = self._anew()
        bit = self._bit(use.name, use.about)
        other._base = self
        other._at_most = self._at_most.with_instead(use, value) if self._at_most else None
        other._instead = {**self._instead, bit: value}
        other._varied = self._varied | bit
        return other

    def _anew(self) -> Case:
        """Return the same case without its answers."""
        other = Case.__new__(Case)
        other.__dict__.update(self.__dict__)
        other._answers, other.noted = {}, [0]
        return other
