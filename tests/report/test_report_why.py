"""What a rule asks and why, told to a person of the trade; the lists of rules; problems of rule files."""

from __future__ import annotations

import re

import pytest
from small_world import rule_file, small_rulebook

from planlint.judge.unreadable import TITLES
from planlint.plan.quantity import Dimension
from planlint.report.plain import WIDTH, columns
from planlint.report.rules import render_rules, render_verified
from planlint.report.why import FORMAT_WHY, render_format_why, render_why
from planlint.rulebook.load import compile_rules, shipped_rulebook
from planlint.rulebook.model import Rule
from planlint.shipped import ShippedFile

SHIPPED = shipped_rulebook().rules


def one_line(text: str) -> str:
    """The text without its line ends and indentation."""
    return " ".join(text.split())


@pytest.mark.parametrize("rule", SHIPPED, ids=lambda rule: rule.id)
def test_every_rule_is_told_whole(rule: Rule) -> None:
    """The explanation holds the rule's title, reason, settings, edits and sources, at 80 columns, with no
    code words."""
    text = render_why(rule)
    parts = [rule.title, rule.because, *(s.meaning for s in rule.settings), *(s.cite for s in rule.sources)]
    missing = [part for part in parts if "".join(part.split()) not in "".join(text.split())]
    wide = [line for line in text.split("\n") if columns(line) > WIDTH]
    before, _, edits = text.partition("  Edits that break it\n")
    # Edits name fields as a plan writes them; everything else is in words.
    code = re.findall(r"\b(?:True|False|None)\b|[a-z]_[a-z]", before)
    assert (missing, wide, code, edits.count(" made)")) == ([], [], [], len(rule.faults))


def test_the_ids_of_the_reader_are_told() -> None:
    """Every id that a finding of the file can bear has a title and an explanation."""
    assert set(FORMAT_WHY) == set(TITLES)
    assert all(TITLES[one] in render_format_why(one) and one in render_format_why(one) for one in TITLES)


CONDITIONS = [
    ("{length: {at_most: 3 m}, else: error}", "error unless length is at most 3 m"),
    ("{factory: {is: true}, else: note}", "note unless factory: yes"),
    ("{factory: {is: false}, else: note}", "note unless factory: no"),
    ("{factory: {is_not: true}, else: note}", "note unless factory: no"),
    ("{material: {stated: true}, else: note}", "note unless material is stated"),
    (
        "{material: {among: [copper, tinned-copper]}, else: error}",
        "error unless material is one of copper, tinned-copper",
    ),
    ("{first_fuse: {is_not: none}, else: error}", "error unless first fuse: any"),
    ("{first_fuse: {is: none}, else: error}", "error unless no first fuse"),
    (
        "{any_of: [{length: {at_most: 3 m}}, {not: {factory: {is: true}}}], else: error}",
        "error unless one of these holds: - length is at most 3 m - none of these holds: - factory: yes",
    ),
]


@pytest.mark.parametrize(("require", "words"), CONDITIONS)
def test_a_condition_is_put_into_words(require: str, words: str) -> None:
    """Operators, yes and no, none, lists and groups read as a person would say them."""
    book = compile_rules([rule_file(require=require, settings="{}", says="{subject}", remedy="Mend it.")])
    assert book.problems == ()
    assert f"- {words} " in one_line(render_why(book.rules[0]))


def test_the_list_of_rules_names_settings_and_files() -> None:
    """Rules stand by group with severity, title, file and settings; the stand-in values follow with their
    sources."""
    text = one_line(render_rules(small_rulebook().rules))
    for part in (
        "2 rules in force",
        "error cable-long: Cable is long from rules/small/cable-long.yaml longest = 10 m: longest cable",
        "warning cable-thin: Cable is thin",
        "body_resistance = 2 mohm:",
    ):
        assert part in text, part


def test_the_list_of_shipped_rules_fits_the_width() -> None:
    """The list of all shipped rules stays within 80 columns and names each of them."""
    text = render_rules(SHIPPED)
    assert [line for line in text.split("\n") if columns(line) > WIDTH] == []
    assert [rule.id for rule in SHIPPED if f"{rule.id}:" not in text] == []


def test_verified_files_are_told_by_file_and_line() -> None:
    """Problems stand below their file with the line; files that cannot be read are counted among them."""
    bad = rule_file(id="bad", says="{lenght} is too much", settings="{longest: {value: 10 m, meaning: longest}}")
    book = compile_rules([rule_file(), bad])
    text = render_verified(book, [("rules/x.yaml", "It could not be read: it is closed.")], 3)
    assert one_line(text) == (
        "rules/small/bad.yaml line 8: Found the placeholder `lenght`, which there is not. Did you mean "
        "`length`? "
        "rules/x.yaml It could not be read: it is closed. Refused: 2 problems in 3 rule files."
    )


def test_sound_files_are_counted() -> None:
    """Where nothing is wrong the number of sound rules is said."""
    assert render_verified(small_rulebook(), [], 2) == "Sound: 2 rules.\n"


def test_a_lone_file_without_a_group_is_verified() -> None:
    """A rule file that stands in no folder is judged like any other."""
    file = rule_file()
    book = compile_rules([ShippedFile(name="cable-long.yaml", text=file.text)])
    assert (book.problems, book.rules[0].settings[0].dimension) == ((), Dimension.LENGTH)
