"""Edits of plan text: whole texts before and after, and the words of edits that cannot be made."""

import json
from typing import Any

import pytest

from planlint.text.document import Document
from planlint.text.edit import Edit, EditError, add, apply, move, remove, rename, set_value
from planlint.text.reader import read

PLAN = """\
plan: 1
nodes:
  # the source
  battery:
    kind: battery   # flooded
    zone: engine-bay

  # the load
  amp: # rear
    kind: amp
    outputs:
      sub: {power: 600 W, at: 2 ohm}
      # no other output

# the cables
wires:
  feed:  {from: battery.positive, to: amp.power, gauge: 4 AWG, length: 5.2 m} # red
  ground:
    from: amp.ground # black
    to: stud
    gauge: "4 AWG"
    # to be measured
    length: 40 cm

steps:
  - name: park   # first
    kind: prepare
  # no current flows from here on
  - {name: disconnect}

  - name: connect
tests:
"""


def document_of(text: str) -> Document:
    """The document of a text that must be readable."""
    reading = read(text.encode())
    assert reading.problems == ()
    assert reading.document is not None
    return reading.document


def edited(text: str, *edits: Edit) -> str:
    """The text after the edits, which must still be readable."""
    after = apply(document_of(text), edits)
    document_of(after)
    return after


def refusal(text: str, *edits: Edit) -> str:
    """What a person is told about edits that cannot be made."""
    with pytest.raises(EditError) as caught:
        apply(document_of(text), edits)
    return str(caught.value)


def in_plan(*changes: tuple[str, str]) -> str:
    """The plan above with lines replaced, each of which must stand in it once."""
    text = PLAN
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


PLAN_EDITS: dict[str, tuple[list[Edit], list[tuple[str, str]]]] = {
    "gauge of a wire on one line": (
        [set_value(("wires", "feed", "gauge"), "2 AWG")],
        [("gauge: 4 AWG, ", "gauge: 2 AWG, ")],
    ),
    "gauge of a wire in block style keeps its quotes": (
        [set_value(("wires", "ground", "gauge"), "2 AWG")],
        [('gauge: "4 AWG"', 'gauge: "2 AWG"')],
    ),
    "new field of a wire on one line": (
        [set_value(("wires", "feed", "material"), "copper")],
        [("5.2 m}", "5.2 m, material: copper}")],
    ),
    "new field of a wire in block style": (
        [set_value(("wires", "ground", "material"), "copper")],
        [("    length: 40 cm\n", "    length: 40 cm\n    material: copper\n")],
    ),
    "several fields at once": (
        [
            set_value(("wires", "feed", "to"), "fuse.line"),
            set_value(("wires", "feed", "material"), "copper"),
            remove(("wires", "feed", "length")),
            set_value(("wires", "ground", "to"), "amp-stud"),
        ],
        [
            ("to: amp.power, gauge: 4 AWG, length: 5.2 m}", "to: fuse.line, gauge: 4 AWG, material: copper}"),
            ("to: stud", "to: amp-stud"),
        ],
    ),
    "last field of a wire on one line": (
        [remove(("wires", "feed", "length"))],
        [(", length: 5.2 m}", "}")],
    ),
    "last field of a wire in block style, whose comment stays": (
        [remove(("wires", "ground", "length"))],
        [("    length: 40 cm\n", "")],
    ),
    "field with a comment on its line": (
        [remove(("wires", "ground", "from"))],
        [("    from: amp.ground # black\n", "")],
    ),
    "first field on one line": (
        [remove(("wires", "feed", "from"))],
        [("{from: battery.positive, ", "{")],
    ),
    "node in block style": (
        [remove(("nodes", "battery"))],
        [("  battery:\n    kind: battery   # flooded\n    zone: engine-bay\n", "")],
    ),
    "last node, with the comment inside it": (
        [remove(("nodes", "amp"))],
        [
            (
                "  amp: # rear\n    kind: amp\n    outputs:\n      sub: {power: 600 W, at: 2 ohm}\n"
                "      # no other output\n",
                "",
            )
        ],
    ),
    "new node": (
        [add(("nodes", "stud"), {"kind": "ground-point", "zone": "cargo"})],
        [
            (
                "      # no other output\n",
                "      # no other output\n  stud: {kind: ground-point, zone: cargo}\n",
            )
        ],
    ),
    "new node too long for one line": (
        [
            add(
                ("nodes", "stud"),
                {"kind": "ground-point", "remark": "bare metal, " * 8 + "end", "at": [1, 2]},
            )
        ],
        [
            (
                "      # no other output\n",
                "      # no other output\n  stud:\n    kind: ground-point\n    remark: "
                + "bare metal, " * 8
                + "end\n    at: [1, 2]\n",
            )
        ],
    ),
    "mapping in place of one value": (
        [set_value(("wires", "ground", "from"), {"not_applicable": "body, as built"})],
        [("from: amp.ground # black", 'from: {not_applicable: "body, as built"} # black')],
    ),
    "one value in place of a mapping in block style": (
        [set_value(("nodes", "amp"), "not stated")],
        [
            (
                "amp: # rear\n    kind: amp\n    outputs:\n      sub: {power: 600 W, at: 2 ohm}\n"
                "      # no other output\n",
                "amp: not stated # rear\n",
            )
        ],
    ),
    "only field of a mapping in block style": (
        [remove(("nodes", "amp", "outputs", "sub"))],
        [
            (
                "    outputs:\n      sub: {power: 600 W, at: 2 ohm}\n",
                "    outputs: {}\n",
            )
        ],
    ),
    "first field of an item": (
        [remove(("steps", 0, "name"))],
        [("  - name: park   # first\n    kind: prepare\n", "  - kind: prepare\n")],
    ),
    "only field of an item": (
        [remove(("steps", 2, "name"))],
        [("  - name: connect\n", "  - {}\n")],
    ),
    "first step to the end": (
        [move(("steps", 0), 3)],
        [
            ("  - name: park   # first\n    kind: prepare\n", ""),
            ("  - name: connect\n", "  - name: connect\n  - name: park   # first\n    kind: prepare\n"),
        ],
    ),
    "step to the beginning with the comment above it": (
        [move(("steps", 1), 0)],
        [
            ("  # no current flows from here on\n  - {name: disconnect}\n", ""),
            ("steps:\n", "steps:\n  # no current flows from here on\n  - {name: disconnect}\n"),
        ],
    ),
    "step to where it is": ([move(("steps", 1), 1), move(("steps", 2), 3)], []),
    "new step between two": (
        [add(("steps", 1), {"name": "photograph"})],
        [("    kind: prepare\n", "    kind: prepare\n  - {name: photograph}\n")],
    ),
    "new step at the end, by its position": (
        [set_value(("steps", 3), {"name": "measure"})],
        [("  - name: connect\n", "  - name: connect\n  - {name: measure}\n")],
    ),
    "first test of an empty list": (
        [add(("tests", 0), {"measure": "drop"})],
        [("tests:\n", "tests:\n  - {measure: drop}\n")],
    ),
    "names of a node and a field": (
        [rename(("nodes", "amp"), "sub-amp"), rename(("wires", "feed", "length"), "way")],
        [("  amp: # rear", "  sub-amp: # rear"), ("length: 5.2 m", "way: 5.2 m")],
    ),
    "field of a node that is renamed in the same go": (
        [rename(("nodes", "battery"), "starter"), set_value(("nodes", "battery", "zone"), "cargo")],
        [("  battery:\n", "  starter:\n"), ("zone: engine-bay", "zone: cargo")],
    ),
    "items are meant as they stood before": (
        [remove(("steps", 0)), set_value(("steps", 2, "name"), "measure"), add(("steps", 1), "wait")],
        [
            ("  - name: park   # first\n    kind: prepare\n", "  - wait\n"),
            ("  - name: connect\n", "  - name: measure\n"),
        ],
    ),
    "section that is not there": (
        [
            set_value(("accepted", 0, "rule"), "wire-unfused"),
            set_value(("zones", "cabin", "ambient"), "40 C"),
        ],
        [
            (
                "tests:\n",
                "tests:\naccepted:\n  - rule: wire-unfused\nzones:\n  cabin:\n    ambient: 40 C\n",
            )
        ],
    ),
}


@pytest.mark.parametrize("what", PLAN_EDITS)
def test_plan_is_edited_in_place(what: str) -> None:
    """Every edit changes the lines that it is about and no other byte of the plan."""
    edits, changes = PLAN_EDITS[what]
    assert edited(PLAN, *edits) == in_plan(*changes)


@pytest.mark.parametrize("what", PLAN_EDITS)
def test_line_ends_stay_as_they_are(what: str) -> None:
    """A plan with the line ends of another system is edited in the same way and keeps them."""
    edits, changes = PLAN_EDITS[what]
    crlf = PLAN.replace("\n", "\r\n")
    assert edited(crlf, *edits) == in_plan(*changes).replace("\n", "\r\n")


SNIPPETS: list[tuple[str, list[Edit], str]] = [
    # A first entry: in the brackets that are there, or on a line of its own.
    ("wires: {}\n", [add(("wires", "a"), {"to": "x"})], "wires: {a: {to: x}}\n"),
    ("wires: { } # none\n", [add(("wires", "a"), 1)], "wires: {a: 1} # none\n"),
    ("wires:\n", [add(("wires", "a"), {"to": "x"})], "wires:\n  a: {to: x}\n"),
    ("wires: # none\n# end\n", [add(("wires", "a"), 1)], "wires: # none\n  a: 1\n# end\n"),
    ("wires: ~\n", [set_value(("wires", "a", "to"), "x")], "wires:\n  a:\n    to: x\n"),
    ("a: {b: , c: 1}\n", [set_value(("a", "b", "x"), 1)], "a: {b: {x: 1}, c: 1}\n"),
    ("a: {b}\n", [set_value(("a", "b"), 1)], "a: {b: 1}\n"),
    ("a: {b: }\n", [set_value(("a", "c"), 1)], "a: {b: , c: 1}\n"),
    # Brackets over several lines, with and without a comma behind the last entry.
    (
        "a: {\n    b: 1, # one\n    c: 2  # two\n  }\n",
        [set_value(("a", "d"), 3)],
        "a: {\n    b: 1, # one\n    c: 2,  # two\n    d: 3\n  }\n",
    ),
    (
        "a: [\n    b, # one\n    c, # two\n  ]\n",
        [add(("a", 2), "d")],
        "a: [\n    b, # one\n    c, # two\n    d,\n  ]\n",
    ),
    ("a: {b: 1,}\n", [set_value(("a", "c"), 2)], "a: {b: 1, c: 2,}\n"),
    ("a: {b: 1,}\n", [remove(("a", "b"))], "a: {}\n"),
    ("a: {b: 1, c: 2,}\n", [remove(("a", "c"))], "a: {b: 1,}\n"),
    (
        "a: {\n  # b is\n  b: 1, # one\n  # c is\n  c: 2 # two\n}\n",
        [remove(("a", "b"))],
        "a: {\n  # b is\n  # c is\n  c: 2 # two\n}\n",
    ),
    (
        "a: {\n  # b is\n  b: 1, # one\n  # c is\n  c: 2 # two\n}\n",
        [remove(("a", "c"))],
        "a: {\n  # b is\n  b: 1 # one\n  # c is\n}\n",
    ),
    ("a: {b: 1,\n    c: 2}\n", [set_value(("a", "d"), 3)], "a: {b: 1,\n    c: 2,\n    d: 3}\n"),
    ("a: [x, y, z]\n", [move(("a", 2), 0)], "a: [z, x, y]\n"),
    ("a: [x, {b: 1}]\n", [add(("a", 0), "w"), remove(("a", 1))], "a: [w, x]\n"),
    ("a: [in: 1]\n", [set_value(("a", 0, "b"), 2)], "a: [{in: 1, b: 2}]\n"),
    ("a: [in: 1, x]\n", [remove(("a", 0, "in"))], "a: [{}, x]\n"),
    # Dashes in the column of the name, dashes in dashes, a comment behind a dash.
    ("a:\n- x\n- y\n# b is\nb: 1\n", [add(("a", 2), "z")], "a:\n- x\n- y\n- z\n# b is\nb: 1\n"),
    ("a:\n- x\nb: 1\n", [remove(("a", 0))], "a: []\nb: 1\n"),
    ("a:\n  - - x\n    - y\n", [remove(("a", 0, 0))], "a:\n  - - y\n"),
    ("a:\n  - - x\n    - y\n", [add(("a", 0, 0), "w")], "a:\n  - - w\n    - x\n    - y\n"),
    ("a:\n  - - x\n    - y\n", [move(("a", 0, 0), 2)], "a:\n  - - y\n    - x\n"),
    ("a:\n  - b: 1\n    # c is\n    c: 2\n", [remove(("a", 0, "b"))], "a:\n  -\n    # c is\n    c: 2\n"),
    ("a:\n  - # one\n    b: 1\n", [set_value(("a", 0), "x")], "a:\n  - x # one\n"),
    ("a:\n  - b: 1\n    c: 2 # two\n  - d\n", [set_value(("a", 0), "x")], "a:\n  - x\n  - d\n"),
    # Values of several lines.
    ("a: | # text\n  one\n  two\n\nb: 1\n", [set_value(("a",), "x")], "a: x # text\n\nb: 1\n"),
    ("a: |+\n  one\n\n", [set_value(("b",), 1)], "a: |+\n  one\n\nb: 1\n"),
    ("a: one\n  two # end\nb: 1\n", [set_value(("a",), 5)], "a: 5 # end\nb: 1\n"),
    ("a: 1 # one\n", [set_value(("a",), "x\ny")], 'a: "x\\ny" # one\n'),
    ("a:   'x'   # one\n", [set_value(("a",), "it's")], "a:   'it''s'   # one\n"),
    # The ends of a text.
    ("a: 1", [set_value(("b",), 2)], "a: 1\nb: 2"),
    ("# top\na: 1 # one\n# end\n", [remove(("a",))], "# top\n{}\n# end\n"),
    ("---\na: 1\n...\n", [set_value(("b",), 2)], "---\na: 1\nb: 2\n...\n"),
]


@pytest.mark.parametrize(("before", "edits", "after"), SNIPPETS)
def test_snippets(before: str, edits: list[Edit], after: str) -> None:
    """The corners of both styles, each with the whole text before and after."""
    assert edited(before, *edits) == after


def test_json_plan_stays_json() -> None:
    """A JSON plan is edited in JSON, with a new name on a line like its neighbours."""
    before = """\
{
  "plan": 1,
  "wires": {
    "feed": {"gauge": "4 AWG", "length": "1 m"},
    "ground": {}
  }
}
"""
    after = """\
{
  "plan": 1,
  "wires": {
    "feed": {"gauge": "2 AWG", "material": "copper"},
    "ground": {"to": "stud"},
    "turn-on": {"fuses": [true, null, "1 A"]}
  }
}
"""
    edits = [
        set_value(("wires", "feed", "gauge"), "2 AWG"),
        set_value(("wires", "feed", "material"), "copper"),
        remove(("wires", "feed", "length")),
        set_value(("wires", "ground", "to"), "stud"),
        set_value(("wires", "turn-on", "fuses"), [True, None, "1 A"]),
    ]
    assert edited(before, *edits) == after
    assert json.loads(after) == document_of(after).data


PLAIN = ["4 AWG", "5.2 m", "battery.positive", "1/0 AWG", "bare-metal", "no", "it's", "50 % full", "2 ohm"]
QUOTED = [
    "",
    "12",
    "1.5",
    "0x1F",
    ".5e3",
    ".inf",
    "true",
    "Null",
    "~",
    "a: b",
    "a:",
    "a #b",
    "#a",
    "- a",
    "-5 dB",
]
QUOTED += [
    "[a",
    "{a",
    "*a",
    "&a",
    "!a",
    "%a",
    "@a",
    "`a",
    "|",
    ">a",
    "'a",
    '"a',
    "? a",
    " a",
    "a ",
    "a\nb",
    "\t",
]
FLOW_ONLY = ["a, b", "a]", "a}", "a[0]", "1:30", "what?"]


@pytest.mark.parametrize("word", PLAIN)
def test_ordinary_words_are_written_plain(word: str) -> None:
    """What is text without quotes is written without them, within brackets too."""
    assert edited("a: 1\nb: {c: 1}\n", set_value(("a",), word), set_value(("b", "c"), word)) == (
        f"a: {word}\nb: {{c: {word}}}\n"
    )


@pytest.mark.parametrize("word", QUOTED)
def test_words_that_would_be_something_else_are_quoted(word: str) -> None:
    """Numbers, booleans, nothing and signs of YAML are quoted where they are meant as text, in names too."""
    quoted = json.dumps(word)
    assert edited("a: 1\n", set_value(("a",), word)) == f"a: {quoted}\n"
    assert edited("a: 1\n", rename(("a",), word)) == f"{quoted}: 1\n"


@pytest.mark.parametrize("word", FLOW_ONLY)
def test_signs_of_brackets_are_quoted_within_brackets_only(word: str) -> None:
    """A comma or bracket ends text only within brackets."""
    after = edited("a: 1\nb: [1]\n", set_value(("a",), word), set_value(("b", 0), word))
    assert after == f'a: {word}\nb: ["{word}"]\n'


def test_numbers_and_booleans_keep_their_kind() -> None:
    """What is no text is written as what it is."""
    values: list[Any] = [12, -0.5, 1e300, True, False, None]
    after = edited("a: 1\n", set_value(("a",), values))
    assert after == "a: [12, -0.5, 1e+300, true, false, null]\n"
    assert repr(document_of(after).data) == repr({"a": values})


REFUSALS: list[tuple[list[Edit], str]] = [
    ([set_value((), {})], "Found an edit of the plan as a whole; name a place in it: `wires.feed.gauge`."),
    (
        [set_value(("plan", "x"), 1)],
        "Found one value at `plan`; expected a mapping: `{gauge: 4 AWG}`. "
        "Mend the path `plan.x`, or set that value first.",
    ),
    (
        [set_value(("steps", "name"), 1)],
        "Found a list at `steps`; expected a mapping: `{gauge: 4 AWG}`. "
        "Mend the path `steps.name`, or set that value first.",
    ),
    (
        [remove(("wires", "fed"))],
        "Found no `wires.fed`; `wires` holds the names `feed`, `ground`. Name one that is there.",
    ),
    (
        [remove(("wires", "fed", "gauge"))],
        "Found no `wires.fed`; `wires` holds the names `feed`, `ground`. Name one that is there.",
    ),
    (
        [set_value(("steps", 4), 1)],
        "Found no `steps, item 5`; `steps` holds 3 items. Name one that is there.",
    ),
    ([remove(("steps", -1))], "Found no `steps, item 0`; `steps` holds 3 items. Name one that is there."),
    (
        [add(("wires", "feed"), 1)],
        "Found `wires.feed` already in the plan; set its value, or choose another name.",
    ),
    (
        [rename(("wires", "feed"), "ground")],
        "Found the name `ground` already in `wires`; choose another, such as `ground-2`.",
    ),
    ([rename(("steps", 0), "a")], "Found `steps, item 1` to be renamed; items of lists have no names."),
    (
        [move(("wires", "feed"), 1)],
        "Found the name `wires.feed` to be moved; only items of lists have an order.",
    ),
    (
        [move(("steps", 0), 4)],
        "Found position 4 to move `steps, item 1` to; expected one from 0 to 3, which is the end.",
    ),
    (
        [set_value(("a",), float("nan"))],
        "Found the number nan; expected one that a computation can use: `5.2 m`.",
    ),
    (
        [set_value(("a",), {"b": "x\x07y"})],
        "Found the character U+0007 in `x y`; expected only characters that print. Delete it.",
    ),
]


@pytest.mark.parametrize(("edits", "words"), REFUSALS)
def test_impossible_edits_are_refused_in_words(edits: list[Edit], words: str) -> None:
    """What was found and what to do instead is said, and nothing is edited."""
    assert refusal(PLAN, *edits) == words


CONFLICTS = [
    (remove(("wires", "feed")), set_value(("wires", "feed", "gauge"), "2 AWG")),
    (set_value(("wires", "feed"), {}), remove(("wires", "feed", "gauge"))),
    (set_value(("plan",), 1), set_value(("plan",), 2)),
    (remove(("steps", 0)), move(("steps", 0), 2)),
    (remove(("steps", 0)), remove(("steps", 0, "name"))),
    (rename(("wires", "feed"), "a"), rename(("wires", "feed"), "b")),
    (rename(("wires", "feed"), "a"), set_value(("wires", "a", "gauge"), "2 AWG")),
]


@pytest.mark.parametrize(("one", "other"), CONFLICTS)
def test_edits_that_exclude_each_other_are_refused(one: Edit, other: Edit) -> None:
    """An edit inside what another takes away, replaces or names anew is an error, in either order."""
    for pair in ((one, other), (other, one)):
        words = refusal(PLAN, *pair)
        assert words.startswith("Found two edits that exclude each other: ")
        assert words.endswith("; keep one of them, or make them one after the other.")


@pytest.mark.parametrize(
    ("text", "edit"),
    [
        ("? a\n: 1\n", set_value(("a",), 2)),
        ("a: |+\n  x\nb: 1\n\nc: 2\n", remove(("b",))),
        ("a: |\n  x", set_value(("b",), 2)),
    ],
)
def test_uncommon_writing_is_refused_and_never_spoilt(text: str, edit: Edit) -> None:
    """Where the new text would not say what was asked, the edit is refused."""
    assert "; expected `" in refusal(text, edit)


def test_document_is_left_as_it_is() -> None:
    """Editing is a pure function: the document still says what it said."""
    document = document_of(PLAN)
    before = json.dumps(document.data)
    apply(document, [remove(("wires", "feed")), move(("steps", 0), 3), rename(("nodes", "amp"), "b")])
    assert (document.text, json.dumps(document.data)) == (PLAN, before)


def test_no_edit_is_the_same_text() -> None:
    """Without edits the text comes back byte for byte."""
    assert apply(document_of(PLAN), []) == PLAN
