"""The Result of judging one plan: what every report tells, with places in the plan's text."""

from __future__ import annotations

from enum import Enum

from planlint.frozen import frozen
from planlint.judge.numbers import Numbers
from planlint.rulebook.findings import FactUsed
from planlint.rulebook.model import Citation, Severity
from planlint.text.places import Span


class Verdict(Enum):
    """What a plan came to; the value is the word of all reports."""

    READY = "ready"
    READY_ELECTRICAL = "ready (electrical only)"
    BROKEN = "broken"
    UNREADABLE = "unreadable"
    UNCHECKED = "unchecked"


@frozen
class Place:
    """A place in the plan: the span, the line of text it begins in, the name of the element there (where it
    has one),
    and words where it stands beside another place."""

    span: Span
    line: str
    name: str = ""
    message: str = ""


@frozen
class Told:
    """A finding as it is told. `about` is the kind of subject, `file` where the file itself is at fault."""

    rule: str
    title: str
    severity: Severity
    about: str
    subject: str
    message: str
    remedy: str
    remark: str
    place: Place
    related: tuple[Place, ...] = ()
    facts: tuple[FactUsed, ...] = ()
    sources: tuple[Citation, ...] = ()
    consequences: tuple[Told, ...] = ()


@frozen
class AcceptedFinding:
    """A finding that someone takes responsibility for."""

    finding: Told
    reason: str
    by: str
    until: str


@frozen
class Unchecked:
    """A field that an element of a section does not state, and the rules that could not be checked without it."""

    section: str
    needs: str
    rules: tuple[str, ...]
    subjects: tuple[str, ...]
    severity: Severity
    place: Place

    @property
    def field(self) -> str:
        """The field alone, `the length`, that several elements of a section may lack."""
        return self.needs.partition(" of ")[0]

    @property
    def element(self) -> str:
        """What lacks the field."""
        return self.needs.partition(" of ")[2]


@frozen
class AssumedValue:
    """An assumption behind the judgement: its meaning, value in SI and in words; `turns_at` in SI where a
    rule turns,
    `turns` in words; `open` where the plan could state it. `about` names the element it was made for, if
    one."""

    name: str
    about: str
    meaning: str
    shown: str
    value: float | str
    unit: str
    rules: tuple[str, ...]
    subjects: tuple[str, ...]
    turns_at: float | None
    turns: str
    open: bool


@frozen
class Result:
    """All that is known of one plan. `sections` are the parts of a whole plan that this one leaves out, `ruleless` those
    that it has and that no rule of the rulebook judges, `numbers` what a table shows, where it was asked for."""

    plan: str
    title: str
    verdict: Verdict
    findings: tuple[Told, ...]
    accepted: tuple[AcceptedFinding, ...] = ()
    unchecked: tuple[Unchecked, ...] = ()
    assumed: tuple[AssumedValue, ...] = ()
    sections: tuple[str, ...] = ()
    ruleless: tuple[str, ...] = ()
    numbers: Numbers | None = None

    def count(self, severity: Severity) -> int:
        """Return how many findings have this severity; accepted ones and consequences are not counted."""
        return sum(finding.severity is severity for finding in self.findings)
