"""Gives findings their places in the text and puts assumptions into words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import Any

from planlint.judge.result import AssumedValue, Place, Told
from planlint.plan.quantity import show
from planlint.rulebook.evaluate import SI_UNITS
from planlint.rulebook.findings import Assumed, Finding
from planlint.rulebook.phrases import value_words
from planlint.text.document import Document
from planlint.text.places import Path, split_lines
from planlint.trade.assumptions import assumption


class Teller:
    """Tells findings of one document; `origins` say where values stand that elements took over from defaults."""

    def __init__(self, document: Document, origins: Mapping[Path, Path]) -> None:
        self.document = document
        self._origins = origins
        self._lines: list[str] | None = None

    @cached_property
    def _origins_by_element(self) -> dict[Path, list[tuple[str, Path]]]:
        """The fields that elements took over, with where each stands. What is deeper is no field of the element itself."""
        found: dict[Path, list[tuple[str, Path]]] = {}
        for path, origin in self._origins.items():
            found.setdefault(path[:-1], []).append((str(origin[-1]), origin[:-1]))
        return found

    def place(self, path: Path, message: str = "") -> Place:
        """Return the place of a plain value; else of the name of the nearest element that the plan has."""
        while path and not self._has(path):
            path = path[:-1]
        value = self._value(path)
        plain = len(path) > 2 and not isinstance(value, (dict, list))
        span = self.document.span(path) if plain else self.document.key_span(path)
        if self._lines is None:
            self._lines = split_lines(self.document.text)
        return Place(span=span, line=self._lines[span.line - 1], name=self._name(path), message=message)

    def _name(self, path: Path) -> str:
        """Return the name of the element in which a path ends, of an output with its part's (`block.out-1`); '' where it is
        in none that has a name."""
        if len(path) < 2:
            return ""
        if path[2:3] == ("outputs",) and len(path) > 3:
            return f"{path[1]}.{path[3]}"
        if isinstance(path[1], str):
            return path[1]
        item = self._value(path[:2])
        return str(item.get("name", "")) if isinstance(item, dict) else ""

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
            related=(
                *(self.place(other.path, other.message) for other in finding.related),
                *self._taken_over(finding.path[:2]),
            ),
            facts=finding.facts,
            sources=finding.rule.sources,
            consequences=tuple(self.finding(one) for one in finding.consequences),
        )

    def _taken_over(self, element: Path) -> Iterator[Place]:
        """Yield the places from which an element took over values, each with the names of these."""
        fields: dict[Path, list[str]] = {}
        # Its own fields alone: how its ends and stretches are made decides no finding of the circuit.
        for name, place in self._origins_by_element.get(element, ()):
            fields.setdefault(place, []).append(name)
        for place, names in fields.items():
            named = ", ".join(dict.fromkeys(names)).replace("_", " ")
            told = self.place(place, f"{named} of {element[-1]} {'come' if len(names) > 1 else 'comes'} from here")
            yield replace(told, name=" ".join(str(step) for step in place))

    def assumed(self, assumed: Assumed) -> AssumedValue:
        """Return an assumption in words."""
        if isinstance(assumed.value, str):
            meaning, shown, unit, is_open = (
                f"{assumed.name} of {assumed.about}",
                value_words(assumed.value),
                "",
                True,
            )
        else:
            entry = assumption(assumed.name)
            meaning = f"{entry.meaning} ({assumed.about})" if assumed.about else entry.meaning
            shown = show(assumed.value, entry.dimension, entry.unit)
            unit, is_open = SI_UNITS[entry.dimension], bool(entry.field)
        return AssumedValue(
            name=assumed.name,
            about=assumed.about,
            meaning=meaning,
            shown=shown,
            value=assumed.value,
            unit=unit,
            rules=assumed.rules,
            subjects=assumed.subjects,
            turns_at=assumed.turns_at,
            turns=_turns(assumed),
            open=is_open,
        )


# Subjects of rules that bear no name of their own.
_NO_NAMES = ("plan", "vehicle")


def _turns(assumed: Assumed) -> str:
    """Say where a rule turns: `above 5.3 mohm sub-amp would break total-drop-high`."""
    if assumed.turns_at is None or assumed.turning is None or isinstance(assumed.value, str):
        return ""
    entry = assumption(assumed.name)
    rule, subject = assumed.turning
    subject = f"the {subject}" if subject in _NO_NAMES else subject
    side = "above" if assumed.turns_at > assumed.value else "below"
    verb = "break" if assumed.breaks else "meet"
    return f"{side} {show(assumed.turns_at, entry.dimension, entry.unit)} {subject} would {verb} {rule}"
