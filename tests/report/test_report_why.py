"""What a rule asks and why, told to a person of the trade; the lists of rules; problems of rule files."""

from __future__ import annotations

import random
import re
from itertools import product

import pytest
from small_world import rule_file, small_rulebook

from planlint.judge.unreadable import TITLES
from planlint.plan.quantity import Dimension
from planlint.report.conditions import straight, turned
from planlint.report.plain import WIDTH, columns
from planlint.report.rules import render_rules, render_verified
from planlint.report.why import FORMAT_WHY, render_format_why, render_why
from planlint.rulebook.conditions import AllOf, AnyOf, Condition, Not, Operand
from planlint.rulebook.conditions import Test as Comparison
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
    code = [*re.findall(r"[a-z]_[a-z]", re.sub("`[^`]*`", "", before)), *_PYTHON.findall(text)]
    different = {(one.text, one.how_common) for one in rule.faults}
    assert (missing, wide, code, edits.count(" made)")) == ([], [], [], len(different))


_PYTHON = re.compile(r"\b(?:True|False|None)\b|\['|\{[a-z]|Error\b|\b(?:any_of|all_of|is_not)\b")


@pytest.mark.parametrize("rule", SHIPPED, ids=lambda rule: rule.id)
def test_every_rule_tells_what_it_asks_before_why(rule: Rule) -> None:
    """What a rule asks is one or two sentences in words, with its numbers put in, ahead of the reason; not its title."""
    settings = {setting.name: setting.text for setting in rule.settings}
    asked = re.sub(r"\{(\w+)\}", lambda match: settings[match[1]], rule.asks)
    told = one_line(render_why(rule))
    assert told.startswith(one_line(f"{rule.title} {rule.id}, "))
    assert -1 < told.find(one_line(asked)) < told.find(one_line(rule.because))
    assert re.findall(r"[a-z]_[a-z]|[{}]", asked) == []
    assert asked.endswith(".")
    assert asked[0].isupper()
    assert len(re.findall(r"[.!?](?= |$)", asked)) <= 2
    assert not asked.lower().startswith(rule.title.lower())


def test_no_two_rules_ask_the_same() -> None:
    """Each rule says in its own words what it asks."""
    asked = [rule.asks for rule in SHIPPED]
    assert sorted(set(asked)) == sorted(asked)


EDITS = [
    ("{set: {factory: true}}", "set `factory: true`"),
    ("{set: {length: 9 m, gauge: 4 AWG}}", "set `length: 9 m` and `gauge: 4 AWG`"),
    ("{set: {length: ' '}}", 'set `length: " "`'),
    ("{set: {cut: '{length}'}}", "set `cut: <length>`"),
    ("{set: {body: aluminium}, of: source}", "set its source's `body: aluminium`"),
    ("{set: {length: 9 m}, of: supply_wires}", "set its first supply wire's `length: 9 m`"),
    ("{remove: [material]}", "remove `material`"),
    ("{remove: [gauge, material], of: source}", "remove its source's `gauge` and `material`"),
    ("{remove: all}", "take it out"),
    ("{remove: all, of: source}", "take out its source"),
    ("{remove: all, of: fed_by}", "take out the wire that feeds it"),
    ("{write: fit as needed}", 'write "fit as needed" in its place'),
    ("{move: {to: '{to_node}.ground'}}", "move its end `to` to the ground terminal of the part at its second end"),
    (
        "{move: {downstream: '{return_beside}'}}",
        "move the end where current goes out to the ground terminal of another device grounded there",
    ),
    ("{set: {length: 9 m}, of: fed_by}", "set `length: 9 m` of the wire that feeds it"),
    ("{splice_out: first_fuse}", "take out its first fuse and join the cables on both sides of it"),
    ("{splice_in: {kind: fuse, rating: 80 A}}", "put a part into it: `kind: fuse, rating: 80 A`"),
    (
        "{add: {nodes: {'{subject}': {kind: breaker, zone: '{fed_by}'}}}}",
        "put another part in its place (`kind: breaker, zone: <wire that feeds it>`)",
    ),
    (
        "{set: {length: 1 m}, add: {wires: {'{subject}-twin': {from: '{starts_at}', length: 1 m}}}}",
        "set `length: 1 m` and add the wire <its name>-twin (`from: <terminal at its first end>, length: 1 m`)",
    ),
]


def test_what_to_do_about_one_requirement_alone_is_told_too() -> None:
    """The rule's own remedy first, then those of its requirements."""
    text = rule_file().text.replace("else: error}", 'else: error, remedy: "Lay {subject} anew."}', 1)
    book = compile_rules([ShippedFile(name="rules/small/cable-long.yaml", text=text)])
    assert book.problems == ()
    told = one_line(render_why(book.rules[0]))
    assert "To meet it Shorten the wire to 10 m. Lay the wire anew. Edits that break it" in told


@pytest.mark.parametrize(("edit", "words"), EDITS)
def test_an_edit_is_put_into_words(edit: str, words: str) -> None:
    """Every action of an edit reads as a person would say it, with values as a plan writes them."""
    extra = f"consequence_of: []\nfaults:\n  - {edit[:-1]}, how_common: often}}\n#"
    text = rule_file().text
    head, _, _ = text.partition("faults:\n")
    book = compile_rules([ShippedFile(name="rules/small/cable-long.yaml", text=head + extra)])
    assert book.problems == ()
    assert f"Edits that break it - {words} (often made) Sources" in one_line(render_why(book.rules[0]))


@pytest.mark.parametrize(
    ("about", "when", "called"),
    [
        ("wire", "{length: {more_than: 0 m}}", "the wire"),
        ("node", "{kind: {is: ground-point}}", "the ground point"),
        ("node", "{kind: {among: [amp, fuse]}}", "the part"),
    ],
)
def test_a_remedy_calls_its_subject_by_its_kind(about: str, when: str, called: str) -> None:
    """The way to meet a rule names the subject, puts the settings in and marks what a plan would fill in."""
    words = {"require": "{factory: {is: false}, else: note}", "settings": "{}", "mark": "factory", "says": "No."}
    text = rule_file(**words, asks="No.", remedy="Mend {subject} or {kind}.").text
    text = text.replace("about: wire", f"about: {about}\nwhen: [{when}]")
    text = text.replace(" or {kind}", "") if about == "wire" else text
    book = compile_rules([ShippedFile(name="rules/small/cable-long.yaml", text=text)])
    assert book.problems == ()
    also = "" if about == "wire" else " or <kind>"
    assert f"To meet it Mend {called}{also}. Edits" in one_line(render_why(book.rules[0]))


def test_the_ids_of_the_reader_are_told() -> None:
    """Every id that a finding of the file can bear has a title and an explanation."""
    assert set(FORMAT_WHY) == set(TITLES)
    assert all(TITLES[one] in render_format_why(one) and one in render_format_why(one) for one in TITLES)


CONDITIONS = [
    ("{length: {at_most: 3 m}, else: error}", "length is at most 3 m, else an error"),
    ("{factory: {is: true}, else: note}", "it is the vehicle maker's, else a note"),
    ("{factory: {is: false}, else: note}", "it is not the vehicle maker's, else a note"),
    ("{factory: {is_not: true}, else: note}", "it is not the vehicle maker's, else a note"),
    ("{not: {factory: {is: true}}, else: note}", "it is not the vehicle maker's, else a note"),
    ("{bundled: {is: true}, else: note}", "bundled: yes, else a note"),
    ("{not: {bundled: {is: true}}, else: note}", "bundled: no, else a note"),
    ("{scope: {is: whole}, else: note}", "the plan is of the whole job, else a note"),
    ("{scope: {is_not: electrical}, else: note}", "the plan is of the whole job, else a note"),
    ("{scope: {is_not: whole}, else: note}", "the plan is of the circuit alone, else a note"),
    ("{material: {stated: true}, else: note}", "material is stated, else a note"),
    ("{not: {material: {stated: true}}, else: note}", "material is not stated, else a note"),
    ("{material: {is: copper}, else: note}", "material is copper, else a note"),
    ("{not: {material: {is: copper}}, else: note}", "material is not copper, else a note"),
    ("{material: {among: [copper, tinned-copper]}, else: error}", "material is copper or tinned-copper, else an error"),
    ("{material: {not_among: [copper]}, else: error}", "material is not copper, else an error"),
    ("{not: {material: {among: [copper]}}, else: error}", "material is not copper, else an error"),
    ("{first_fuse: {is_not: none}, else: error}", "there is a first fuse, else an error"),
    ("{first_fuse: {is: none}, else: error}", "there is no first fuse, else an error"),
    ("{not: {first_fuse: {is: none}}, else: error}", "there is a first fuse, else an error"),
    ("{supply_wires: {is_not: none}, else: error}", "there are supply wires, else an error"),
    ("{return_fuses: {is: none}, else: error}", "there are no fuses in the way back, else an error"),
    ("{not: {length: {at_most: 3 m}}, else: error}", "length is more than 3 m, else an error"),
    ("{not: {length: {more_than: 3 m}}, else: error}", "length is at most 3 m, else an error"),
    ("{not: {length: {at_least: 3 m}}, else: error}", "length is less than 3 m, else an error"),
    ("{not: {length: {less_than: 3 m}}, else: error}", "length is at least 3 m, else an error"),
    (
        "{current: {at_most: {fact: ampacity, times: 1.25}}, else: error}",
        "current is at most 1.25 times the ampacity, else an error",
    ),
    (
        "{any_of: [{length: {at_most: 3 m}}, {not: {factory: {is: true}}}], else: error}",
        "one of these is true, else an error: - length is at most 3 m - it is not the vehicle maker's",
    ),
    (
        "{not: {all_of: [{length: {at_most: 3 m}}, {not: {any_of: [{factory: {is: true}}]}}]}, else: error}",
        "one of these is true, else an error: - length is more than 3 m - it is the vehicle maker's",
    ),
    (
        "{not: {any_of: [{length: {at_most: 3 m}}, {factory: {is: true}}]}, else: error}",
        "all of these are true, else an error: - length is more than 3 m - it is not the vehicle maker's",
    ),
]


@pytest.mark.parametrize(("require", "words"), CONDITIONS)
def test_a_condition_is_put_into_words(require: str, words: str) -> None:
    """Operators, yes and no, none, lists and groups read as a person would say them."""
    book = compile_rules([rule_file(require=require, settings="{}", says="{subject}", asks="No.", remedy="Mend it.")])
    assert book.problems == ()
    assert f"Holds when - {words} " in one_line(render_why(book.rules[0]))


def test_the_limit_of_a_setting_comes_before_its_name() -> None:
    """A reader sees the number first, and by its name finds it among the settings."""
    told = one_line(render_why(small_rulebook().rules[0]))
    assert "asks" not in told
    assert "cable-long, error No cable is longer than 10 m. It is so in the small world." in told
    assert "- length is at most 10 m (longest), else an error Settings - longest = 10 m: longest cable" in told
    assert "To meet it Shorten the wire to 10 m. Edits that break it - set `length: 99 m` (often made)" in told


@pytest.mark.parametrize("seed", range(20))
def test_a_condition_turned_round_holds_where_the_other_does_not(seed: int) -> None:
    """Without `not` a condition says the same as with it, by trying all truth values (De Morgan)."""
    rng = random.Random(seed)
    condition = _random_condition(rng, 3)
    for bits in product((False, True), repeat=3):
        values = dict(zip("abc", bits, strict=True))
        assert _holds(straight(condition), values) is _holds(condition, values)
        assert _holds(turned(condition), values) is not _holds(condition, values)
    assert "Not(" not in repr(straight(condition)) + repr(turned(condition))


def _random_condition(rng: random.Random, depth: int) -> Condition:
    if depth == 0 or rng.random() < 0.2:
        return Comparison(fact=rng.choice("abc"), operator=rng.choice(("is", "is_not")), operand=Operand(value=True))
    inner = tuple(_random_condition(rng, depth - 1) for _ in range(rng.randint(1, 3)))
    return rng.choice((AllOf(conditions=inner), AnyOf(conditions=inner), Not(condition=inner[0])))


def _holds(condition: Condition, values: dict[str, bool]) -> bool:
    """The truth of a condition, by the textbook."""
    if isinstance(condition, Comparison):
        return values[condition.fact] is (condition.operator == "is")
    if isinstance(condition, Not):
        return not _holds(condition.condition, values)
    found = [_holds(one, values) for one in condition.conditions]
    return all(found) if isinstance(condition, AllOf) else any(found)


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
