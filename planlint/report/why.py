"""Tells a person of the trade what one rule asks and why; all of it comes from the rule's own file."""

from __future__ import annotations

import re

from planlint.judge.judge import TITLES
from planlint.report.caution import CAUTION
from planlint.report.plain import fold
from planlint.rulebook.conditions import describe
from planlint.rulebook.model import Rule

WIDTH = 80


def render_why(rule: Rule) -> str:
    """Return the explanation of a rule."""
    lines = [f"{rule.id}: {rule.title}", ""]
    lines += [*fold(rule.because, WIDTH), ""]
    lines += _part("Asked of", [f"every {rule.about}" + (" where all of this holds:" if rule.when else "")])
    lines += [line for one in rule.when for line in fold(describe(one), WIDTH, "    - ")]
    lines += _part("Required", [])
    for one in rule.require:
        lines += fold(f"{one.severity.word} unless {describe(one.condition)}", WIDTH, "    - ")
    if rule.settings:
        lines += _part("Settings", [])
        for setting in rule.settings:
            lines += fold(
                f"{setting.name.replace('_', ' ')} = {setting.text}: {setting.meaning}", WIDTH, "    - "
            )
    lines += _part("To meet it", [_blanks(rule.remedy)])
    lines += _part("An edit that breaks it", [])
    for fault in rule.faults:
        lines += fold(f"{_blanks(fault.text)} ({fault.how_common} made)", WIDTH, "    - ")
    lines += _part("Sources", [])
    lines += [
        line
        for s in rule.sources
        for line in fold(": ".join(filter(None, (s.origin, s.cite))), WIDTH, "    - ")
    ]
    if not rule.acceptable:
        lines += ["", "A finding of this rule cannot be accepted away."]
    return "\n".join([*lines, "", *fold(CAUTION, WIDTH)]) + "\n"


def render_format_why(rule: str) -> str:
    """Return the explanation of what is wrong with a file itself."""
    lines = [f"{rule}: {TITLES[rule]}", "", *fold(FORMAT_WHY[rule], WIDTH)]
    return "\n".join([*lines, "", *fold(CAUTION, WIDTH)]) + "\n"


def _part(title: str, texts: list[str]) -> list[str]:
    return ["", f"  {title}", *(line for text in texts for line in fold(text, WIDTH, "    "))]


def _blanks(text: str) -> str:
    """Return a template with its placeholders as the names of what stands there."""
    return re.sub(r"\{([^{}]*)\}", lambda match: f"<{match[1].replace('_', ' ')}>", text)


FORMAT_WHY = {
    "plan-format": (
        "The file is not written as a plan is: its YAML cannot be read, a field is not known, or a value is not of the kind "
        "that is due. The finding shows the line and a form that would do. No rule is judged until the file can be read."
    ),
    "endpoint-unknown": (
        "A wire ends at a node or terminal that the plan does not have. Ends are written as node and terminal, as in "
        "`battery.positive`; the terminal may be left out where the kind has only one. No rule is judged until it is mended."
    ),
    "id-duplicate": (
        "Two elements bear the same name, so that nobody can tell which one is meant. Rename one of them. No rule is judged "
        "until that is done."
    ),
    "required-field-missing": (
        "An element lacks a field without which it cannot be placed in the circuit at all, such as a node's `kind` or a wire's "
        "`from` and `to`. Numbers that are merely unknown may be left out or written as `not stated`."
    ),
    "unit-ambiguous": (
        "A number stands where a quantity is due, and its unit is missing: nobody can tell feet from metres. Write the unit "
        "with the number, as in `5.2 m`, `17 ft 6 in`, `80 A` or `4 AWG`."
    ),
}
