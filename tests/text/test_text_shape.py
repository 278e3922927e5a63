"""The shape of a plan: every departure from the schema is told once, in plain words, at its own line."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from planlint.text.document import Document
from planlint.text.keywords import explaining_validator
from planlint.text.places import Span
from planlint.text.problems import Problem
from planlint.text.reader import read
from planlint.text.shape import check_shape

KINDS = ["battery", "fuse", "amp", "ground-point"]
SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": ["plan", "nodes"],
    "additionalProperties": False,
    "properties": {
        "plan": {"const": 1},
        "title": {"type": "string", "minLength": 1},
        "zones": {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/zone"}},
        "nodes": {
            "type": "object",
            "propertyNames": {
                "pattern": "^[a-z][a-z0-9-]*$",
                "title": "a name in small letters",
                "examples": ["sub-amp"],
            },
            "additionalProperties": {"$ref": "#/$defs/node"},
        },
        "holes": {"anyOf": [{"const": "none"}, {"type": "object", "additionalProperties": {"$ref": "#/$defs/zone"}}]},
        "remarks": {
            "type": "object",
            "patternProperties": {"^on-": {"type": "string"}},
            "additionalProperties": False,
        },
    },
    "$defs": {
        "not-applicable": {
            "type": "object",
            "required": ["not_applicable"],
            "additionalProperties": False,
            "properties": {"not_applicable": {"type": "string", "title": "a reason", "examples": ["no such part"]}},
        },
        "length": {
            "title": "Length",
            "examples": ["5.2 m"],
            "anyOf": [
                {"type": "string", "pattern": "^[0-9.]+ (m|ft)$"},
                {"const": "not stated"},
                {"$ref": "#/$defs/not-applicable"},
            ],
        },
        "current": {"title": "a current", "examples": ["80 A"], "type": "string", "pattern": "^[0-9.]+ A$"},
        "zone": {
            "type": "object",
            "title": "a zone",
            "examples": [{"name": "cabin"}],
            "required": ["name"],
            "additionalProperties": False,
            "properties": {
                "name": {"type": "string", "examples": ["cabin"]},
                "length": {"$ref": "#/$defs/length"},
            },
        },
        "node": {
            "type": "object",
            "required": ["kind"],
            "properties": {"kind": {"enum": KINDS}, "zone": {"type": "string"}},
            "allOf": [
                {
                    "if": {"properties": {"kind": {"const": "fuse"}}, "required": ["kind"]},
                    "then": {"$ref": "#/$defs/fuse"},
                },
                {"if": {"properties": {"kind": {"const": "amp"}}}, "then": {"$ref": "#/$defs/amp"}},
            ],
            "unevaluatedProperties": False,
        },
        "fuse": {
            "required": ["rating", "family"],
            "properties": {"rating": {"$ref": "#/$defs/current"}, "family": {"enum": ["anl", "blade"]}},
        },
        "amp": {
            "required": ["lead"],
            "properties": {"lead": {"$ref": "#/$defs/length"}, "class": {"enum": ["AB", "D"]}},
        },
    },
}


def sound(text: str) -> Document:
    """The document of a readable text."""
    reading = read(text.encode())
    assert reading.document is not None, reading.problems
    return reading.document


def told(text: str) -> list[tuple[int, int, str, str]]:
    """Line, column, message and remedy of every departure from the schema."""
    return [(p.span.line, p.span.column, p.message, p.remedy) for p in check_shape(sound(text), SCHEMA)]


def test_a_sound_plan_has_no_problems() -> None:
    """A plan of the right shape passes, with a range of choices taken."""
    text = """\
plan: 1
zones: [{name: cabin, length: not stated}, {name: cargo, length: {not_applicable: open bed}}]
nodes: {f: {kind: fuse, rating: 80 A, family: anl}, a: {kind: amp, lead: 2 m, class: D, zone: cargo}}
holes: none
remarks: {on-fuse: spare}
"""
    assert told(text) == []


def test_all_departures_of_a_plan() -> None:
    """All mistakes of a plan are told in one run, each once and at its own place."""
    text = """\
plan: 2
titel: Sub
zones:
  - {name: cabin, length: 5.2}
  - {nam: cargo, length: 3 parsec}
nodes:
  main-fuse: {kind: fuse, family: anl}
  Sub Amp: {kind: ampp, class: D, lead: 2 m}
  left: {kind: amp, lead: {not_applicable: 5}, rating: 80 A}
  right:
  spare: {family: anl}
holes: {firewall: {length: 2 m}}
remarks: {at-fuse: spare}
"""
    kinds = "expected one of `amp`, `battery`, `fuse`, `ground-point`"
    form = "expected a length such as `5.2 m`, or `not stated`."
    assert told(text) == [
        (1, 7, "Found the number 2 as `plan`; expected `1`.", "Write it in the form `plan: 1`."),
        (
            2,
            1,
            "Found the unknown name `titel` in the plan; "
            "expected one of `holes`, `nodes`, `plan`, `remarks`, `title`, `zones`.",
            "Did you mean `title`? Write `title: ...`.",
        ),
        (
            4,
            27,
            f"Found the number 5.2 without a unit as `length`; {form}",
            "Write it in the form `length: 5.2 m`.",
        ),
        (
            5,
            6,
            "Found the unknown name `nam` in item 2 of `zones`; expected one of `length`, `name`.",
            "Did you mean `name`? Write `name: ...`.",
        ),
        (5, 26, f"Found `3 parsec` as `length`; {form}", "Write it in the form `length: 5.2 m`."),
        (7, 3, "Found no `rating` in `main-fuse`; every fuse needs it.", "Add `rating: 80 A`."),
        (
            8,
            3,
            "Found the name `Sub Amp`; expected a name in small letters.",
            "Choose a name such as `sub-amp`.",
        ),
        (8, 19, f"Found `ampp` as `kind`; {kinds}.", "Did you mean `amp`? Write `kind: amp`."),
        (
            9,
            44,
            "Found the number 5 as `not_applicable`; expected a reason such as `no such part`.",
            "Write it in the form `not_applicable: no such part`.",
        ),
        (
            9,
            48,
            "Found the unknown name `rating` in `left`; expected one of `class`, `kind`, `lead`, `zone`.",
            "Delete it, or write it as a remark: `# rating`.",
        ),
        (
            10,
            3,
            "Found nothing as `right`; expected names and values.",
            "Write it in the form `right: ...`.",
        ),
        (11, 3, "Found no `kind` in `spare`; it is required.", "Add `kind: battery`."),
        (12, 9, "Found no `name` in `firewall`; it is required.", "Add `name: cabin`."),
        (
            13,
            11,
            "Found the unknown name `at-fuse` in `remarks`; expected a name of the form `^on-`.",
            "Delete it, or write it as a remark: `# at-fuse`.",
        ),
    ]


@pytest.mark.parametrize(
    ("body", "rule", "path"),
    [
        ("{kind: fuse, rating: 80, family: anl}", "unit-ambiguous", ("nodes", "f", "rating")),
        ('{kind: fuse, rating: "80", family: anl}', "unit-ambiguous", ("nodes", "f", "rating")),
        ("{kind: fuse, rating: 80 V, family: anl}", "plan-format", ("nodes", "f", "rating")),
        ("{kind: fuse, rating: true, family: anl}", "plan-format", ("nodes", "f", "rating")),
        ("{kind: fuse, rating: [80 A], family: anl}", "plan-format", ("nodes", "f", "rating")),
        ("{kind: fuse, family: anl}", "required-field-missing", ("nodes", "f")),
        ("{kind: fuse, ratng: 80 A, family: anl}", "plan-format", ("nodes", "f", "ratng")),
        ("{kind: fuze, rating: 80 A, family: anl}", "plan-format", ("nodes", "f", "kind")),
        ("{kind: [fuse], rating: 80 A, family: anl}", "plan-format", ("nodes", "f", "kind")),
        ("{rating: 80 A, family: anl}", "required-field-missing", ("nodes", "f")),
        ("{zone: cargo}", "required-field-missing", ("nodes", "f")),
        ("{kind: amp, lead: {reason: none}}", "plan-format", ("nodes", "f", "lead")),
        ("[]", "plan-format", ("nodes", "f")),
    ],
)
def test_one_mistake_is_one_problem(body: str, rule: str, path: tuple[str, ...]) -> None:
    """A mistake never brings others with it: not a wrong kind, not a missing one, not a slip in a name."""
    problems = check_shape(sound(f"plan: 1\nnodes:\n  f: {body}\n"), SCHEMA)
    assert [(problem.rule, problem.path) for problem in problems] == [(rule, path)]
    assert problems[0].span.line == 3


def test_a_problem_in_full() -> None:
    """A problem has its rule, words, remedy, place and path."""
    assert check_shape(sound("plan: 1\nnodes: {a: {kind: amp, lead: 2 m,class:C}}\n"), SCHEMA) == (
        Problem(
            rule="plan-format",
            message="Found the unknown name `class:C` in `a`; expected one of `class`, `kind`, `lead`, `zone`.",
            remedy="Put a space after the colon: `class: C`.",
            span=Span(line=2, column=34, end_line=2, end_column=41),
            path=("nodes", "a", "class:C"),
        ),
    )


def test_missing_sections_are_told_at_the_first_name() -> None:
    """What the whole plan lacks is told where the plan begins."""
    assert told("\ntitle: ''\n") == [
        (2, 1, "Found no `nodes` in the plan; it is required.", "Add `nodes: ...`."),
        (2, 1, "Found no `plan` in the plan; it is required.", "Add `plan: 1`."),
        (
            2,
            8,
            "Found an empty text as `title`; expected at least 1 character(s).",
            "Write it in the form `title: ...`.",
        ),
    ]


def test_what_only_the_fast_validator_rejects_is_told() -> None:
    """Where the validators differ nothing passes: `$` may stand before a line break in Python alone."""
    problems = check_shape(sound('plan: 1\nnodes: {a: {kind: amp, lead: "2 m\\n"}}\n'), SCHEMA)
    assert [(problem.rule, problem.span.line, problem.path) for problem in problems] == [
        ("plan-format", 2, ("nodes", "a", "lead"))
    ]


words: st.SearchStrategy[Any] = st.sampled_from(
    [*KINDS, "anl", "D", "80 A", "2 m", "not stated", "cabin", "none", "x", "", 1, 5.2, True, None, [], {}]
)
fields = st.sampled_from(["kind", "zone", "rating", "family", "lead", "class", "name", "length", "not_applicable", "q"])
elements = st.dictionaries(fields, words | st.dictionaries(fields, words, max_size=2), max_size=5)
plans = st.fixed_dictionaries(
    {
        "plan": st.just(1) | words,
        "nodes": st.dictionaries(st.sampled_from(["a", "b-2", "C"]), elements | words, max_size=3),
    },
    optional={
        "zones": st.lists(elements | words, max_size=3) | words,
        "holes": st.dictionaries(st.sampled_from(["a", "b"]), elements, max_size=2) | words,
        "remarks": st.dictionaries(st.sampled_from(["on-a", "b"]), words, max_size=2),
        "title": words,
        "other": words,
    },
)


@given(plans)
def test_both_validators_agree(data: dict[str, Any]) -> None:
    """The fast validator, the standard one and the explaining one accept and reject the same plans."""
    problems = check_shape(sound(json.dumps(data)), SCHEMA)
    accepted = Draft202012Validator(SCHEMA).is_valid(data)
    assert explaining_validator(SCHEMA).is_valid(data) == accepted
    assert (problems == ()) == accepted
    assert all(not problem.message.startswith("Found a value that does not fit") for problem in problems)
    assert len({(problem.path, problem.message) for problem in problems}) == len(problems)
    assert list(problems) == sorted(problems, key=lambda problem: problem.span)
