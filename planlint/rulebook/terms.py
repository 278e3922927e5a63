"""Compiles the words of a rule file that name or measure something: facts, settings, literals."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from planlint.facts.case import Fact, Yields
from planlint.facts.table import SUBJECTS
from planlint.plan.quantity import Dimension, QuantityError, parse
from planlint.rulebook.conditions import Operand
from planlint.rulebook.model import Setting
from planlint.rulebook.phrases import listed, noun, spaced
from planlint.text.document import Document
from planlint.text.places import Path, Span
from planlint.text.problems import Problem, did_you_mean

RULE_FORMAT = "rule-format"


class Terms:
    """The terms of one rule file; problems gather in `problems`."""

    def __init__(
        self, data: dict[str, Any], file: str, rule_ids: Iterable[str], document: Document | None = None
    ) -> None:
        self.data, self.file, self._document = data, file, document
        self.rule_ids = tuple(rule_ids)
        self.problems: list[Problem] = []
        self.facts = SUBJECTS[str(self.data["about"])].facts
        self.settings: dict[str, Setting] = {}
        self.used: set[str] = set()

    def problem(self, path: Path, message: str, remedy: str) -> None:
        """Note a problem at a place of the file; a name's own place where the path ends in one."""
        span = self._document.key_span(path) if self._document else Span(line=1, column=1, end_line=1, end_column=1)
        self.problems.append(Problem(rule=RULE_FORMAT, message=message, remedy=remedy, span=span, path=path))

    def known(self, word: str, choices: Collection[str], what: str, path: Path) -> bool:
        """Say whether a word is among the choices, and note it where it is not."""
        if word in choices:
            return True
        choices = tuple(choices)
        near = did_you_mean(word, choices)
        remedy = f"Did you mean `{near}`?" if near else f"Use one of: {', '.join(choices) or 'none here'}."
        self.problem(path, f"Found the {what} `{word}`, which there is not.", remedy)
        return False

    def fact(self, name: str, path: Path) -> Fact | None:
        """Return the fact of this name that may be asked of the rule's subject."""
        if self.known(name, self.facts, f"fact of a {self.data['about']}", path):
            return self.facts[name]
        return None

    def operand(self, fact: Fact, right: Any, path: Path, *, lists: bool) -> Operand | None:
        """Compile what a fact is compared with."""
        if isinstance(right, dict):
            return self._reference(fact, right, path)
        if lists != isinstance(right, list):
            self.problem(path, f"Found `{right}`; expected {'a list' if lists else 'one value'}.", "`among: [a, b]`")
            return None
        if isinstance(right, list):
            values = tuple(self._literal(fact, one, path) for one in right)
            return Operand(value=values, text=listed(tuple(str(one) for one in right), "or"))
        return Operand(value=self._literal(fact, right, path), text=str(right))

    def _reference(self, fact: Fact, right: dict[str, Any], path: Path) -> Operand | None:
        """Compile `{setting: name}` or `{fact: name}`, with or without `times:`."""
        times, times_setting, times_text = 1.0, None, ""
        if "times" in right:
            times, times_setting, times_text = self._times(right["times"], (*path, "times"))
        if "setting" in right:
            setting = self.setting(right["setting"], fact.yields, (*path, "setting"))
            text = f"{setting.text} ({spaced(setting.name)})" if setting else ""
            value = setting.value if setting else 0.0
            return Operand(
                value=value,
                times=times,
                setting=right["setting"],
                times_setting=times_setting,
                text=times_text + text,
            )
        other = self.fact(right["fact"], (*path, "fact")) if "fact" in right else None
        if other is None:
            return None
        if other.yields is not fact.yields:
            self.problem(
                path,
                f"Found {fact.name} compared with {other.name}, a different kind.",
                "Compare like with like.",
            )
        return Operand(
            fact=other.name,
            times=times,
            times_setting=times_setting,
            text=f"{times_text}the {noun(other.name)}",
        )

    def _times(self, times: Any, path: Path) -> tuple[float, str | None, str]:
        if isinstance(times, dict):
            setting = self.setting(times.get("setting", ""), None, (*path, "setting"))
            return (
                (setting.value if setting else 1.0),
                times.get("setting"),
                f"{setting.text if setting else 1} times ",
            )
        return float(times), None, f"{times} times "

    def setting(self, name: str, kind: Dimension | Yields | None, path: Path) -> Setting | None:
        """Return a setting of the rule, read as the kind of value it is compared with."""
        declared = self.data.get("settings", {})
        if not self.known(name, declared, "setting", path):
            return None
        self.used.add(name)
        if name not in self.settings:
            at: Path = ("settings", name, "value")
            dimension = kind if isinstance(kind, Dimension) else None
            value = self._quantity(declared[name]["value"], dimension, at)
            text = str(declared[name]["value"])
            meaning = declared[name]["meaning"]
            self.settings[name] = Setting(name=name, value=value, dimension=dimension, text=text, meaning=meaning)
        return self.settings[name]

    def _literal(self, fact: Fact, value: Any, path: Path) -> Any:
        if fact.yields is Yields.FLAG and not isinstance(value, bool):
            self.problem(path, f"Found `{value}`; expected true or false.", f"`{fact.name}: {{is: true}}`")
        if isinstance(fact.yields, Dimension) or fact.yields is Yields.COUNT:
            return self._quantity(value, fact.yields if isinstance(fact.yields, Dimension) else None, path)
        if fact.yields is Yields.ELEMENT and value != "none":
            self.problem(path, f"Found `{value}`; an element can only be compared with `none`.", "`{is: none}`")
        return None if value == "none" else value

    def _quantity(self, value: Any, dimension: Dimension | None, path: Path) -> float:
        """Return a literal in SI; without a dimension it is a plain number."""
        if dimension is None:
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                self.problem(path, f"Found `{value}`; expected a number.", "Write a number without a unit: `1.25`.")
                return 0.0
            return float(value)
        try:
            return parse(str(value), dimension).high
        except QuantityError as error:
            self.problem(path, f"Found {error.found}; expected {error.expected}.", f"Write `{error.example}`.")
            return 0.0
