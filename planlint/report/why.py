"""Tells a person of the trade what one rule asks and why; all of it comes from the rule's own file."""

from __future__ import annotations

import re

from planlint.facts.table import SUBJECTS
from planlint.judge.unreadable import OWN_FAULT, TITLES
from planlint.report.caution import CAUTION
from planlint.report.conditions import condition_lines
from planlint.report.plain import fold
from planlint.rulebook.conditions import tests_in
from planlint.rulebook.model import Citation, Requirement, Rule, Setting
from planlint.rulebook.phrases import blanks, is_spelt_out, listed, spaced

_SUBJECTS = {
    "user": "device that draws current",
    "node": "part",
    "device": "fuse, breaker and fused output of a block",
    "channel": "channel of an added amplifier",
}
_SHORT = {"user": "the device", "node": "the part", "device": "the fuse", "channel": "the output"}
_KINDS = {"distribution": "the distribution block", "ground-point": "the ground point", "speaker": "the speaker"}
# Units in the descriptions of facts, which tell programmers what a function returns.
_IN_SI = re.compile(r" in (?:A|C|V|W|m|m2|ohm)(?![\w.])")
_GRADES = {"error": "an error", "warning": "a warning", "note": "a note"}
_PLAIN = frozenset({"factory", "kind", "circuit", "scope", "gauge", "length", "material"})
"""Facts that are called as the plan's own field is."""


def render_why(rule: Rule) -> str:
    """Return the explanation of a rule."""
    severities = sorted({one.severity for one in rule.require}, reverse=True)
    grades = listed(tuple(severity.word for severity in severities), "or")
    settings = {setting.name: setting.text for setting in rule.settings}
    lines = [*fold(rule.title), *fold(f"{rule.id}, {grades}"), ""]
    lines += [*fold(blanks(rule.asks, settings)), "", *fold(rule.because)]
    lines += _part("Judged for", _judged_for(rule))
    lines += _part("Holds when", [line for one in rule.require for line in _required(one)])
    lines += _part("In these words", [line for name in _asked(rule) for line in _meaning(rule, name)])
    lines += _part("Settings", [line for one in rule.settings for line in _setting(one)])
    named = {**settings, "subject": _subject(rule)}
    remedies = dict.fromkeys((rule.remedy, *(one.remedy for one in rule.require if one.remedy)))
    lines += _part("To meet it", [line for one in remedies for line in fold(blanks(one, named), "    ")])
    edits = dict.fromkeys(f"{one.text} ({one.how_common} made)" for one in rule.faults)
    lines += _part("Edits that break it", [line for edit in edits for line in fold(edit, "    - ")])
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


def _subject(rule: Rule) -> str:
    """Return what a remedy calls the subject: `the wire`, `the ground point`."""
    kinds = [test.operand.value for condition in rule.when for test in tests_in(condition) if test.fact == "kind"]
    kind = kinds[0] if len(kinds) == 1 and isinstance(kinds[0], str) else ""
    return _KINDS.get(kind) or _SHORT.get(rule.about, f"the {rule.about}")


def _judged_for(rule: Rule) -> list[str]:
    subject = f"every {_SUBJECTS.get(rule.about, rule.about)}"
    where = f"{subject}, where all of this is true:" if rule.when else subject
    return [*fold(where, "    "), *(line for one in rule.when for line in condition_lines(one))]


def _required(requirement: Requirement) -> list[str]:
    return condition_lines(requirement.condition, f", else {_GRADES[requirement.severity.word]}")


def _asked(rule: Rule) -> list[str]:
    """Return the facts, in order, that the conditions call by a name that a reader may not know."""
    conditions = (*rule.when, *(one.condition for one in rule.require))
    tests = [test for condition in conditions for test in tests_in(condition)]
    names = dict.fromkeys(name for test in tests for name in (test.fact, test.operand.fact) if name)
    facts = SUBJECTS[rule.about].facts
    return [name for name in names if not (name in _PLAIN or facts[name].told or is_spelt_out(name))]


def _meaning(rule: Rule, name: str) -> list[str]:
    first_sentence = SUBJECTS[rule.about].facts[name].meaning.split(". ")[0].removesuffix(".")
    return fold(f"{spaced(name)}: {_IN_SI.sub('', first_sentence)}", "    - ")


def _setting(setting: Setting) -> list[str]:
    return fold(f"{spaced(setting.name)} = {setting.text}: {setting.meaning}", "    - ")


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
