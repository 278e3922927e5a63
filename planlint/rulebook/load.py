"""Reads rule files: checks their shape, compiles them, and refuses what cannot be meant with file, line and remedy."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from typing import Any

from planlint.frozen import frozen
from planlint.rulebook.compile import Compiler
from planlint.rulebook.model import Rule
from planlint.shipped import ShippedFile, rule_data, rule_files, schema_text
from planlint.text.problems import Problem
from planlint.text.reader import read
from planlint.text.shape import check_shape


@frozen
class RuleProblem:
    """A problem of a rule file, with the file's name."""

    file: str
    problem: Problem

    def __str__(self) -> str:
        span = self.problem.span
        return f"{self.file}:{span.line}:{span.column}: {self.problem.message} {self.problem.remedy}"


@frozen
class Rulebook:
    """The rules that could be compiled, in the order of their ids, and all problems of their files."""

    rules: tuple[Rule, ...]
    problems: tuple[RuleProblem, ...] = ()


class RulebookError(Exception):
    """The rules that travel with planlint are damaged: a fault of ours, not of the plan."""


@cache
def shipped_rulebook() -> Rulebook:
    """Return the rules that travel with planlint. Raises RulebookError where one is damaged."""
    data = rule_data()
    book = compile_rules(rule_files()) if data is None else _compile_read(data)
    if book.problems:
        raise RulebookError("\n".join(str(problem) for problem in book.problems))
    return book


def _compile_read(data: dict[str, Any]) -> Rulebook:
    """Compile what a wheel carries already read and judged by the schema."""
    ids = [str(one["rule"]) for one in data.values()]
    compilers = [Compiler(one, name, ids) for name, one in data.items()]
    rules = sorted((compiler.rule() for compiler in compilers), key=lambda rule: rule.id)
    problems = [RuleProblem(file=one.file, problem=problem) for one in compilers for problem in one.problems]
    return Rulebook(rules=tuple(rules), problems=tuple(problems))


@cache
def rule_schema() -> dict[str, Any]:
    """Return the schema of a rule file."""
    schema: dict[str, Any] = json.loads(schema_text("rule.schema.json"))
    return schema


def compile_rules(files: Sequence[ShippedFile], known: Sequence[str] = ()) -> Rulebook:
    """Compile rule files; `known` are ids of rules elsewhere that these may name."""
    rules: dict[str, Rule] = {}
    problems: list[RuleProblem] = []
    readings = [(file, read(file.text.encode())) for file in files]
    ids = [str(reading.document.data.get("rule", "")) for _, reading in readings if reading.document]
    for file, reading in readings:
        found = list(reading.problems)
        if reading.document:
            found += check_shape(reading.document, rule_schema())
            if not found:
                compiler = Compiler(reading.document.data, file.name, (*ids, *known), reading.document)
                rule = compiler.rule()
                found += compiler.problems
                if rule.id in known:
                    compiler.problem(
                        ("rule",), f"Found the rule `{rule.id}`, which planlint has.", "Give it another name."
                    )
                    found += compiler.problems[-1:]
                if rule.id in rules:
                    compiler.problem(("rule",), f"Found a second rule `{rule.id}`.", f"See {rules[rule.id].file}.")
                    found += compiler.problems[-1:]
                rules[rule.id] = rule
        problems += [RuleProblem(file=file.name, problem=problem) for problem in found]
    return Rulebook(rules=tuple(rules[name] for name in sorted(rules)), problems=tuple(problems))
