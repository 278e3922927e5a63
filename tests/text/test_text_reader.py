"""The reader: data, places and every problem of a file."""

import codecs
import json
import string
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.text.document import Document
from planlint.text.places import Path, Span
from planlint.text.problems import Problem
from planlint.text.reader import read

PLAN = """\
plan: 1   # the format
title: "Sub: rear"
zones:
  - {name: cabin}

  - name: cargo
    remark: |
      first
      # not a comment

# a comment
nodes:
  amp:
    kind: amp
    power:
    # power is asked for

"""


def sound(text: str | bytes) -> Document:
    """The document of a text that must be readable."""
    reading = read(text.encode() if isinstance(text, str) else text)
    assert reading.problems == ()
    assert reading.document is not None
    return reading.document


def told(text: str | bytes) -> list[tuple[str, int, int, str]]:
    """Rule, line, column and the first clause of each problem of an unreadable text."""
    reading = read(text.encode() if isinstance(text, str) else text)
    assert reading.document is None
    return [(p.rule, p.span.line, p.span.column, p.message.split(";")[0].rstrip(".")) for p in reading.problems]


def test_plan_becomes_plain_data() -> None:
    """A plan becomes mappings, lists and scalars in the order of the file."""
    data = sound(PLAN).data
    assert data == {
        "plan": 1,
        "title": "Sub: rear",
        "zones": [{"name": "cabin"}, {"name": "cargo", "remark": "first\n# not a comment\n"}],
        "nodes": {"amp": {"kind": "amp", "power": None}},
    }
    assert list(data) == ["plan", "title", "zones", "nodes"]


@pytest.mark.parametrize(
    ("path", "place", "quote"),
    [
        (("plan",), (1, 7, 1, 8), "1"),
        (("title",), (2, 8, 2, 19), '"Sub: rear"'),
        (("zones", 0), (4, 5, 4, 18), "{name: cabin}"),
        (("zones", 0, "name"), (4, 12, 4, 17), "cabin"),
        (("zones", 1), (6, 5, 9, 22), None),
        (("zones", 1, "remark"), (7, 13, 9, 22), "|\n      first\n      # not a comment"),
        (("nodes",), (13, 3, 15, 11), "amp:\n    kind: amp\n    power:"),
        (("nodes", "amp", "power"), (15, 11, 15, 11), ""),
        (("nodes", "amp", "missing", "deep"), (14, 5, 15, 11), "kind: amp\n    power:"),
        ((), (1, 1, 15, 11), None),
    ],
)
def test_places_of_values(path: Path, place: tuple[int, int, int, int], quote: str | None) -> None:
    """A value's place ends with its last character; blank lines and comments behind it are not part of it."""
    document = sound(PLAN)
    span = document.span(path)
    assert (span.line, span.column, span.end_line, span.end_column) == place
    assert quote is None or document.quote(span) == quote


def test_places_of_names() -> None:
    """A name has its place; a list item is its own name; the whole plan is named by its first name."""
    document = sound(PLAN)
    paths: list[Path] = [("nodes", "amp"), ("zones", 0), (), ("nodes", "amp", "missing")]
    assert [document.quote(document.key_span(path)) for path in paths] == [
        "amp",
        "{name: cabin}",
        "plan",
        "amp",
    ]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize(
    ("mark", "encoding"),
    [
        (b"", "utf-8"),
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
    ],
)
def test_line_ends_and_byte_order_marks(end: str, mark: bytes, encoding: str) -> None:
    """Places are the same for every line end and encoding, and count code points; a mark is not counted."""
    text = end.join(["plan: 1", "", "títle: '𝄞 clef'  # x", "list:", "  - {a: ü, b: 2}", ""])
    document = sound(mark + text.encode(encoding))
    assert document.data == {"plan": 1, "títle": "𝄞 clef", "list": [{"a": "ü", "b": 2}]}
    assert document.key_span(("plan",)) == Span(line=1, column=1, end_line=1, end_column=5)
    assert document.span(("títle",)) == Span(line=3, column=8, end_line=3, end_column=16)
    assert document.span(("list", 0, "b")) == Span(line=5, column=15, end_line=5, end_column=16)
    assert document.quote(document.span(("list",))) == "- {a: ü, b: 2}"
    assert document.text == text


def test_a_problem_in_full() -> None:
    """A problem says what was found and expected, what to do, where, and under which path."""
    assert read(b"plan: 1\nnodes:\n  amp: {}\n  amp: {}\n").problems == (
        Problem(
            rule="id-duplicate",
            message="Found a second element with the id `amp`; the first is in line 3.",
            remedy="Give one of the two an id of its own, such as `amp-2`, and name it where it is meant.",
            span=Span(line=4, column=3, end_line=4, end_column=6),
            path=("nodes", "amp"),
        ),
    )


def test_everything_refused_is_told_in_one_run() -> None:
    """Anchors, aliases, merge keys, tags, doubled names and names that are no text each have their line."""
    text = """\
plan: !!int 1
vehicle: {body: a, body: b}
base: &base {kind: amp}
nodes:
  amp: {<<: *base, x: {a: 1, a: 2, a: 3}}
  amp: {kind: fuse}
  7: {kind: fuse}
  true: {kind: fuse}
? [a]
: b
level: .inf
remark: "bolt & nut, *really* !"
other: "\\e[31m"
"""
    assert told(text) == [
        ("plan-format", 1, 7, "Found the tag `!!int`"),
        ("plan-format", 2, 20, "Found the name `body` a second time"),
        ("plan-format", 3, 7, "Found the anchor `&base`"),
        ("plan-format", 5, 9, "Found the merge key `<<`"),
        ("plan-format", 5, 13, "Found the alias `*base`"),
        ("plan-format", 5, 30, "Found the name `a` a second time"),
        ("plan-format", 5, 36, "Found the name `a` a second time"),
        ("id-duplicate", 6, 3, "Found a second element with the id `amp`"),
        ("plan-format", 7, 3, "Found `7` as a name"),
        ("plan-format", 8, 3, "Found `true` as a name"),
        ("plan-format", 9, 3, "Found a list as a name"),
        ("plan-format", 11, 8, "Found the number `.inf`"),
        ("plan-format", 13, 8, "Found an escape for a character that does not print"),
    ]


def test_signs_of_anchors_in_ordinary_text() -> None:
    """`&`, `*` and `!` inside text are text; quoted names are text whatever they look like."""
    text = "a: nut & bolt &co\nb: '&x'\nc: [x *2, 3!]\n# &no *no !no\n\"<<\": 1\n'7': wow !\n"
    assert sound(text).data == {"a": "nut & bolt &co", "b": "&x", "c": ["x *2", "3!"], "<<": 1, "7": "wow !"}


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ("", 1, 1, "nothing but blank space and comments"),
        ("# only this\n\n", 1, 1, "nothing but blank space and comments"),
        ("- a\n", 1, 1, "a list"),
        ("\n\nwords\n", 3, 1, "text"),
        ("a: 1\n---\nb: 2\n", 2, 1, "second document"),
        ("a: 1\n...\nb: 2\n", 3, 1, "text after the plan"),
        ("a:\n\tb: 1\n", 2, 1, "a tab"),
        ("a: [1,\n  2\nb: 3\n", 3, 2, "inside the `[` opened in line 1"),
        ("a: [1,\n  2\n\n", 1, 4, "`[` that is never closed"),
        ("a: {b: 1]\n", 1, 9, "no `,` and no `}`"),
        ('a: 1\nb: "x\nc: 2\n', 2, 4, "a quote"),
        ("a: note: b\n", 1, 8, "second `: ` on one line"),
        ("a: 1\n  b: 2\n", 2, 4, "inside the value above"),
        ("a: 1\nb\nc: 2\n", 2, 1, "a name without a colon"),
        ("a:\n  b: 1\n c: 2\n", 3, 2, "indentation"),
        ('a: "x" y\n', 1, 8, "more text after the value"),
        ("a:\n  - b\n  c: 1\n", 3, 3, "without `- `"),
        ("a: - b\n", 1, 4, "a list item on the line of its name"),
        ("a: @b\n", 1, 4, "begins with `@`"),
        ("a: %b\n", 1, 4, "begins with `%`"),
        ("a: `b\n", 1, 4, "begins with ```"),
        ("a: [,]\n", 1, 5, "`,` where a value is due"),
        ("a: {b:c, d:}\n", 1, 11, "colon without a space"),
        ("a: '\\d'\nb: \"\\d\"\n", 2, 5, "a backslash"),
        ("%TAGS x\n---\na: 1\n", 1, 1, "begins with `%`"),
        ("a: |x\n  b\n", 1, 5, "right after `|`"),
        ("a: &\n", 1, 5, "no valid YAML"),
    ],
)
def test_syntax_in_plain_words(text: str, line: int, column: int, words: str) -> None:
    """A text that is no plan, or no YAML, is one problem at its place, and its remedy shows a right form."""
    reading = read(text.encode())
    assert reading.document is None
    assert [(p.span.line, p.span.column) for p in reading.problems] == [(line, column)]
    assert words in reading.problems[0].message
    assert "`" in reading.problems[0].remedy


names = st.text(string.ascii_letters + " -_.é𝄞\"\\:#&*!{}[],'<", max_size=20)
texts = st.text(st.characters(blacklist_categories=["Cc", "Cs"], blacklist_characters="\u2028\u2029\ufeff\ufffe\uffff"))
scalars = st.none() | st.booleans() | st.integers(-(10**60), 10**60) | st.floats(allow_nan=False, allow_infinity=False)
values: st.SearchStrategy[Any] = st.recursive(
    scalars | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(names, inner, max_size=4),
    max_leaves=25,
)


def leaves(value: Any, path: Path = ()) -> list[tuple[Path, Any]]:
    """Every value inside a value, with its path."""
    inner: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    return [(path, value)] + [leaf for step, part in inner for leaf in leaves(part, (*path, step))]


@given(
    st.dictionaries(names, values, max_size=5),
    st.sampled_from([None, 1, "\t"]),
    st.booleans(),
    st.sampled_from([b"", codecs.BOM_UTF8]),
)
def test_json_is_read_as_json(data: dict[str, Any], indent: int | str | None, ascii_only: bool, mark: bytes) -> None:
    """Whatever the json module writes is read back equal, and every place quotes JSON of that very value."""
    text = json.dumps(data, indent=indent, ensure_ascii=ascii_only)
    document = sound(mark + text.encode())
    assert document.data == data
    for path, value in leaves(data):
        assert json.loads(document.quote(document.span(path))) == value
        if path and isinstance(path[-1], str):
            assert json.loads(document.quote(document.key_span(path))) == path[-1]


def test_surrogate_pairs_are_the_characters_they_stand_for() -> None:
    """Two escapes of one character are that character in double quotes, as in JSON, and text elsewhere."""
    text = 'a: "\\ud834\\udd1e \\\\ud834\\\\udd1e"\nb: \\ud834\\udd1e\nc: "\\uD834\\uDD1E"\n'
    assert sound(text).data == {"a": "𝄞 \\ud834\\udd1e", "b": "\\ud834\\udd1e", "c": "𝄞"}
