"""Gives findings their places in the text and puts assumptions into words."""

from __future__ import annotations

from typing import Any

from planlint.judge.result import AssumedValue, Place, Told
from planlint.plan.quantity import show
from planlint.rulebook.evaluate import SI_UNITS
from planlint.rulebook.findings import Assumed, Finding
from planlint.text.document import Document
from planlint.text.places import Path, split_lines
from planlint.trade.assumptions import assumption


class Teller:
    """Tells findings of one document."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self._lines: list[str] | None = None

    def place(self, path: Path, message: str = "") -> Place:
        """Return the place of a plain value; else of the name of the nearest element that the plan has."""
        while path and not self._has(path):
            path = path[:-1]
        value = self._value(path)
        plain = len(path) > 2 and not isinstance(value, (dict, list))
        span = self.document.span(path) if plain else self.document.key_span(path)
        if self._lines is None:
            self._lines = split_lines(self.document.text)
        return Place(span=span, line=self._lines[span.line - 1], message=message)

    def _has(self, path: Path) -> bool:
        try:
            self._value(path)
        except (KeyError, IndexError, TypeError):
            return False
        return True

    def _value(self, path: Path) -> Any:
        value: Any = self.document.data
        for step in path:
            value = value[step]
        return value

    def finding(self, finding: Finding) -> Told:
        """Return a finding as it is told."""
        return Told(
            rule=finding.rule.id,
            title=finding.rule.title,
            severity=finding.severity,
            about=finding.rule.about,
            subject=finding.subject,
            message=finding.message,
            remedy=finding.remedy,
            remark=finding.remark,
            place=self.place(finding.path),
            related=tuple(self.place(other.path, other.message) for other in finding.related),
            facts=finding.facts,
            sources=finding.rule.sources,
            consequences=tuple(self.finding(one) for one in finding.consequences),
        )

    def assumed(self, assumed: Assumed) -> AssumedValue:
        """Return an assumption in words."""
        if isinstance(assumed.value, str):
            return AssumedValue(
                name=assumed.name,
                about=assumed.about,
                text=f"the {assumed.name} of {assumed.about} is not stated: reckoned as clad aluminium, the poorer",
                value=assumed.value,
                unit="",
                rules=assumed.rules,
                subjects=assumed.subjects,
                turns_at=None,
                turns="",
                open=True,
            )
        entry = assumption(assumed.name)
        of = f" ({assumed.about})" if assumed.about else ""
        shown = show(assumed.value, entry.dimension, entry.unit)
        return AssumedValue(
            name=assumed.name,
            about=assumed.about,
            text=f"{entry.meaning}{of}: {shown}",
            value=assumed.value,
            unit=SI_UNITS[entry.dimension],
            rules=assumed.rules,
            subjects=assumed.subjects,
            turns_at=assumed.turns_at,
            turns=_turns(assumed),
            open=bool(entry.field),
        )


def _turns(assumed: Assumed) -> str:
    """Say where a rule turns: `total-drop-high for sub-amp fails above 5.3 mohm`."""
    if assumed.turns_at is None or assumed.turning is None or isinstance(assumed.value, str):
        return ""
    entry = assumption(assumed.name)
    rule, subject = assumed.turning
    side = "above" if assumed.turns_at > assumed.value else "below"
    verb = "fails" if assumed.breaks else "would hold"
    return f"{rule} for {subject} {verb} {side} {show(assumed.turns_at, entry.dimension, entry.unit)}"
