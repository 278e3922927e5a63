"""Tells a person of the trade what one rule asks and why; all of it comes from the rule's own file."""

from __future__ import annotations

import re

from planlint.judge.unreadable import OWN_FAULT, TITLES
from planlint.report.beside import listed
from planlint.report.caution import CAUTION
from planlint.report.conditions import condition_lines, spaced
from planlint.report.plain import fold
from planlint.rulebook.model import Citation, PlantedFault, Requirement, Rule, Setting

_SUBJECTS = {"user": "device that draws current", "node": "part"}


def render_why(rule: Rule) -> str:
    """Return the explanation of a rule."""
    severities = sorted({one.severity for one in rule.require}, reverse=True)
    grades = listed(tuple(severity.word for severity in severities), "or")
    lines = [*fold(rule.title), *fold(f"{rule.id}, {grades}"), "", *fold(rule.because)]
    lines += _part("Asked of", _asked_of(rule))
    lines += _part("Required", [line for one in rule.require for line in _required(one)])
    lines += _part("Settings", [line for one in rule.settings for line in _setting(one)])
    lines += _part("To meet it", fold(_blanks(rule.remedy), "    "))
    lines += _part("Edits that break it", [line for one in rule.faults for line in _edit(one)])
    lines += _part("Sources", [line for one in rule.sources for line in _source(one)])
    lines += _part("Beside other rules", _beside(rule))
    return _page(lines)


def render_format_why(rule: str) -> str:
    """Return the explanation of what is wrong with a file itself."""
    return _page([*fold(TITLES[rule]), *fold(f"{rule}, error of the file"), "", *fold(FORMAT_WHY[rule])])


def _page(lines: list[str]) -> str:
    return "\n".join([*lines, "", *fold(CAUTION)]) + "\n"


def _part(title: str, lines: list[str]) -> list[str]:
    return ["", f"  {title}", *lines] if lines else []


def _asked_of(rule: Rule) -> list[str]:
    subject = f"every {_SUBJECTS.get(rule.about, rule.about)}"
    where = f"{subject} for which all of this holds:" if rule.when else subject
    return [*fold(where, "    "), *(line for one in rule.when for line in condition_lines(one))]


def _required(requirement: Requirement) -> list[str]:
    return condition_lines(requirement.condition, f"{requirement.severity.word} unless ")


def _setting(setting: Setting) -> list[str]:
    return fold(f"{spaced(setting.name)} = {setting.text}: {setting.meaning}", "    - ")


def _edit(fault: PlantedFault) -> list[str]:
    of = f" of its {spaced(fault.of)}" if fault.of else ""
    # What is spliced out is named by a fact; other edits name fields as a plan writes them.
    text = spaced(fault.text) if "splice_out" in fault.edit else _blanks(fault.text)
    return fold(f"{text}{of} ({fault.how_common} made)", "    - ")


def _source(source: Citation) -> list[str]:
    return fold(": ".join(filter(None, (source.origin, source.cite))), "    - ")


def _beside(rule: Rule) -> list[str]:
    lines = []
    if rule.consequence_of:
        causes = listed(tuple(rule.consequence_of), "or")
        lines += fold(f"where it follows from {causes}, it is told there and not counted", "    - ")
    if rule.acceptable != "yes":
        which = "an error" if rule.acceptable == "below-error" else "a finding"
        lines += fold(f"{which} of it cannot be accepted away", "    - ")
    return lines


def _blanks(text: str) -> str:
    """Return a template with its placeholders as the names of what stands there."""
    return re.sub(r"\{([^{}]*)\}", lambda match: f"<{spaced(match[1])}>", text)


FORMAT_WHY = {
    "plan-format": (
        "The file is not written as a plan is: it cannot be opened, its YAML cannot be read, a field is "
        "not known, or a "
        "value is not of the kind that is due. The finding shows the line and a form that would do. No "
        "rule is judged "
        "until the file can be read."
    ),
    "endpoint-unknown": (
        "A wire ends at a part or terminal that the plan does not have. Ends are written as part and "
        "terminal, as in "
        "`battery.positive`; the terminal may be left out where the kind of part has only one. No rule is "
        "judged until "
        "it is mended, since a wire to nowhere changes what every other wire carries."
    ),
    "id-duplicate": (
        "Two elements bear the same name, so that nobody can tell which one is meant. Rename one of them, "
        "and name it "
        "where it is meant. No rule is judged until that is done."
    ),
    "required-field-missing": (
        "An element lacks a field without which it cannot be placed in the circuit at all, such as a "
        "part's `kind` or a "
        "wire's `from` and `to`. Numbers that are merely unknown may be left out or written as `not stated`."
    ),
    "unit-ambiguous": (
        "A number stands where a quantity is due, and its unit is missing: nobody can tell feet from "
        "metres. Write the "
        "unit with the number, as in `5.2 m`, `17 ft 6 in`, `80 A` or `4 AWG`."
    ),
    OWN_FAULT: (
        "planlint failed while it judged the plan. The plan may be sound or not: it was not judged, and "
        "other plans of "
        "the same run were. This is a fault of planlint and not of the plan; please report it with the "
        "line that names "
        "its place, the plan, and what `planlint --version` says."
    ),
}
"""Why each fault of the file is one, by id."""
