"""A compiled rule and its parts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from planlint.facts.case import Case
from planlint.frozen import frozen
from planlint.plan.quantity import Dimension
from planlint.rulebook.conditions import Check, Condition


class Severity(IntEnum):
    """How bad a finding is, in the levels of SARIF; the larger the worse."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    @property
    def word(self) -> str:
        """The severity as people and programs read it."""
        return self.name.lower()


SEVERITIES = {severity.word: severity for severity in Severity}


@frozen
class Setting:
    """A number of a rule that a house may set: its value in SI, as written, and what it means."""

    name: str
    value: float
    dimension: Dimension | None
    text: str
    meaning: str


@frozen
class Requirement:
    """What must hold, how bad it is where it does not, the words for that and for what to do, and the field that is then
    wrong."""

    condition: Condition
    check: Check
    margin: Callable[[Case, Any], float] | None
    severity: Severity
    says: str | None
    remedy: str | None
    mark: str | None


@frozen
class Citation:
    """Where a rule comes from: `origin` is published, common practice or memory."""

    origin: str
    cite: str


@frozen
class PlantedFault:
    """An edit of a sound subject that must raise the rule.

    `edit` is the action's word with what it takes; `of` names the fact whose element is edited instead of the subject;
    `on` narrows the subjects it suits; `also` lists rules that rightly appear with it; `text` tells the edit in words.
    """

    edit: Mapping[str, Any]
    of: str | None
    on: Check
    how_common: str
    also: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rule:
    """One compiled rule; `file` is its path from the top of the rulebook.

    `applies` is both of `passes_gates`, which the drawing alone decides, and `applies_past_gates`.
    """

    id: str
    group: str
    file: str
    title: str
    about: str
    when: tuple[Condition, ...]
    applies: Check
    passes_gates: Check
    applies_past_gates: Check
    require: tuple[Requirement, ...]
    settings: tuple[Setting, ...]
    mark: str | None
    point_to: tuple[tuple[str, str], ...]
    says: str
    asks: str
    because: str
    remedy: str
    sources: tuple[Citation, ...]
    tier: int
    acceptable: str
    consequence_of: tuple[str, ...]
    one_cause: str | None
    both_legs: bool
    faults: tuple[PlantedFault, ...]

    def can_accept(self, severity: Severity) -> bool:
        """Say whether someone may take responsibility for a finding of this rule and severity."""
        return self.acceptable == "yes" or (self.acceptable == "below-error" and severity < Severity.ERROR)

    @property
    def severity(self) -> Severity:
        """The worst severity the rule can give."""
        return max(requirement.severity for requirement in self.require)
