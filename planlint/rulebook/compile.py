"""Compiles the data of one rule file into a rule, or lists what in it cannot be meant."""

from __future__ import annotations

from typing import Any

from planlint.facts.case import Fact, Yields
from planlint.plan.quantity import Dimension
from planlint.rulebook.conditions import (
    AllOf,
    AnyOf,
    Check,
    Condition,
    Not,
    Operand,
    Test,
    all_hold,
    checker,
    margin,
    split_gates,
    tests_in,
)
from planlint.rulebook.edit_words import edit_text
from planlint.rulebook.model import SEVERITIES, Citation, PlantedFault, Requirement, Rule
from planlint.rulebook.operators import OPERATORS, STATED
from planlint.rulebook.phrases import PLACEHOLDER
from planlint.rulebook.terms import Terms
from planlint.text.places import Path

_GROUPS = ("all_of", "any_of")


class Compiler(Terms):
    """Compiles one rule file; the rule is sound only where no problem was found."""

    def rule(self) -> Rule:
        """Return the rule; it is sound only where no problem was found."""
        data = self.data
        self._name_fits_file()
        when = self.conditions(data.get("when", []), ("when",))
        gates, rest = split_gates(when, self.facts)
        require = tuple(self._requirement(item, ("require", i)) for i, item in enumerate(data["require"]))
        self._unused_settings()
        self._sentences()
        point_to = tuple((self._element_fact(f, ("point_to", f)), w) for f, w in data.get("point_to", {}).items())
        if one_cause := data.get("one_cause"):
            self.fact(one_cause, ("one_cause",))
        for index, other in enumerate(data.get("consequence_of", [])):
            self.known(other, self.rule_ids, "rule", ("consequence_of", index))
        return Rule(
            id=data["rule"],
            group=self.file.split("/")[-2] if "/" in self.file else "",
            file=self.file,
            title=data["title"],
            about=data["about"],
            when=when,
            applies=self._all(when),
            passes_gates=self._all(tuple(gates)),
            applies_past_gates=self._all(tuple(rest)),
            require=require,
            settings=tuple(self.settings.values()),
            mark=data.get("mark"),
            point_to=point_to,
            says=data["says"],
            asks=data["asks"],
            because=data["because"],
            remedy=data["remedy"],
            sources=tuple(Citation(origin=s["origin"], cite=s.get("cite", "")) for s in data["sources"]),
            tier=data["tier"],
            acceptable=data.get("acceptable", "yes"),
            consequence_of=tuple(data.get("consequence_of", [])),
            one_cause=one_cause,
            both_legs=data.get("both_legs", False),
            faults=tuple(self._planted(item, ("faults", i)) for i, item in enumerate(data["faults"])),
        )

    def _name_fits_file(self) -> None:
        stem = self.file.rsplit("/", 1)[-1].removesuffix(".yaml")
        if self.data["rule"] != stem:
            message = f"Found the rule `{self.data['rule']}` in the file `{stem}.yaml`; expected the same name."
            self.problem(("rule",), message, f"Name the file `{self.data['rule']}.yaml`.")

    def _element_fact(self, name: str, path: Path) -> str:
        fact = self.fact(name, path)
        if fact and fact.yields is not Yields.ELEMENT:
            self.problem(path, f"Found `{name}`, which yields no element.", "Point to a fact such as `source`.")
        return name

    def conditions(self, items: list[dict[str, Any]], path: Path) -> tuple[Condition, ...]:
        """Compile a list of conditions."""
        found = (self.condition(item, (*path, index)) for index, item in enumerate(items))
        return tuple(condition for condition in found if condition)

    def condition(self, item: dict[str, Any], path: Path) -> Condition | None:
        """Compile one condition: a group, or one fact with one operator."""
        keys = [key for key in item if key not in ("else", "says", "remedy", "mark")]
        if len(keys) != 1:
            message = f"Found {len(keys)} conditions in one; expected one fact or group."
            self.problem(path, message, "Write each as an item of its own: `- {circuit: {is: supply}}`.")
            return None
        name, value = keys[0], item[keys[0]]
        path = (*path, name)
        if name in _GROUPS:
            inside = self.conditions(value, path)
            return AllOf(conditions=inside) if name == "all_of" else AnyOf(conditions=inside)
        if name == "not":
            inner = self.condition(value, path)
            return Not(condition=inner) if inner else None
        fact = self.fact(name, path)
        return self._test(fact, value, path) if fact else None

    def _test(self, fact: Fact, value: Any, path: Path) -> Test | None:
        if not isinstance(value, dict) or len(value) != 1:
            self.problem(path, "Found no single operator.", "Write the fact as in `circuit: {is: supply}`.")
            return None
        ((operator, right),) = value.items()
        path = (*path, operator)
        if not self.known(operator, (*OPERATORS, STATED), "operator", path):
            return None
        if operator == STATED:
            return Test(fact=fact.name, operator=operator, operand=Operand(value=right is True, text=str(right)))
        kind = OPERATORS[operator]
        if kind.numeric and not (isinstance(fact.yields, Dimension) or fact.yields is Yields.COUNT):
            self.problem(path, f"Found `{operator}` asked of {fact.name}, which is no number.", "Use `is` or `among`.")
            return None
        operand = self.operand(fact, right, path, lists=kind.lists)
        return Test(fact=fact.name, operator=operator, operand=operand) if operand else None

    def _all(self, conditions: tuple[Condition, ...]) -> Check:
        """Return the check of conditions; a file with problems is refused, so what it checks does not matter."""
        return all_hold(() if self.problems else tuple(checker(one, self.facts) for one in conditions))

    def _requirement(self, item: dict[str, Any], path: Path) -> Requirement:
        condition = self.condition(item, path) or AllOf(conditions=())
        for key in ("says", "remedy"):
            self.placeholders(item.get(key, ""), (*path, key))
        return Requirement(
            condition=condition,
            check=self._all((condition,)),
            margin=None if self.problems else margin(condition, self.facts),
            severity=SEVERITIES[item["else"]],
            says=item.get("says"),
            remedy=item.get("remedy"),
            mark=item.get("mark", self.data.get("mark")),
        )

    def placeholders(self, text: str, path: Path) -> None:
        """Check that every placeholder names a fact, a setting or the subject."""
        for name in PLACEHOLDER.findall(text):
            self.known(name, (*self.facts, *self.data.get("settings", {}), "subject"), "placeholder", path)

    def _sentences(self) -> None:
        """Check what the rule's own sentences name; where `asks` is told no plan is at hand, so it names settings alone."""
        for key in ("says", "remedy"):
            self.placeholders(self.data[key], (key,))
        for name in PLACEHOLDER.findall(self.data["asks"]):
            self.known(name, self.data.get("settings", {}), "placeholder", ("asks",))

    def _unused_settings(self) -> None:
        # A misspelt condition has been told; the settings it would have used are none of its reader's business.
        for name in self.data.get("settings", {}) if not self.problems else ():
            if name not in self.used:
                message = f"Found the setting `{name}`, which no condition uses."
                self.problem(("settings", name), message, "Remove it, or compare with `{setting: " + name + "}`.")

    def _planted(self, item: dict[str, Any], path: Path) -> PlantedFault:
        edit = {key: item[key] for key in item if key not in ("on", "how_common", "also", "of")}
        if "of" in item:
            self._element_fact(item["of"], (*path, "of"))
        for index, other in enumerate(item.get("also", [])):
            self.known(other, self.rule_ids, "rule", (*path, "also", index))
        on = [{key: value} for key, value in item.get("on", {}).items()]
        found = (self.condition(one, (*path, "on")) for one in on)
        return PlantedFault(
            edit=edit,
            of=item.get("of"),
            on=self._all(tuple(condition for condition in found if condition)),
            how_common=item["how_common"],
            also=tuple(item.get("also", [])),
            text=edit_text(edit, item.get("of")),
        )


def facts_named(rule: Rule) -> list[str]:
    """Return the facts that a rule's requirements compare, in order, each once."""
    tests = [test for requirement in rule.require for test in tests_in(requirement.condition)]
    names = [name for test in tests for name in (test.fact, test.operand.fact) if name]
    return list(dict.fromkeys(names))
