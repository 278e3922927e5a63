"""Hostile input ends in a clear problem, soon, and never in an exception."""

import gc
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.text.reader import BYTES_TO_READ, DEFAULT, Limits, Reading, most_values, read

MEBIBYTE = 1024 * 1024
SLOW = 5.0  # seconds: five times what is aimed for, since test machines are shared


def alias_bomb() -> str:
    """Nine references to nine references, 25 levels deep: 9 to the power of 25 values if followed."""
    lines = ["a0: &a0 [x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 26)]
    return "\n".join(lines)


def first(reading: Reading) -> tuple[int, int, str]:
    """Line, column and message of the first problem."""
    assert reading.document is None
    problem = reading.problems[0]
    return problem.span.line, problem.span.column, problem.message


HOSTILE: dict[str, tuple[str | bytes, int, int, str]] = {
    "alias bomb": (alias_bomb(), 1, 5, "anchor `&a0`"),
    "alias to itself": ("a: &a [*a]\n", 1, 4, "anchor `&a`"),
    "100 MB": (b"a" * 100_000_000, 1, 1, "more than 4,194,304 bytes"),
    "one byte too many": (b"#" * BYTES_TO_READ, 1, 1, "more than 4,194,304 bytes"),
    "65 levels": ("a: " + "[" * 64 + "]" * 64, 1, 67, "more than 64 levels"),
    "2000 levels": ("a: " + "[" * 2000, 1, 1003, "nested far too deeply"),
    "block levels": ("- " * 2000, 1, 1999, "nested far too deeply"),
    "million levels": ("[" * MEBIBYTE, 1, 1, "1,048,577 values"),
    "many lines": ("a\n" * MEBIBYTE, 1, 1, "1,048,577 values"),
    "NUL": (b"plan: 1\ntitle: a\x00b\x00\n", 2, 9, "U+0000, a control character (and 1 more like it)"),
    "all NUL": (b"\x00" * 4 * MEBIBYTE, 1, 1, "U+0000"),
    "escape sequence": (b"a: \x1b[31mred\n", 1, 4, "U+001B"),
    "line separator": ("a: b\u2028c\n", 1, 5, "U+2028, line separator"),
    "mark inside": ("a: 1\n\ufeffb: 2\n", 2, 1, "U+FEFF"),
    "mixed encodings": ("a: é\n".encode() + "b: né\n".encode("latin-1"), 2, 5, "the byte 0xE9"),
    "torn character": (b"a: \xf0\x9d\x84", 1, 4, "the byte 0xF0"),
    "encoded surrogate": (b"a: \xed\xa0\x80\n", 1, 4, "the byte 0xED"),
    "torn UTF-16": (b"\xff\xfea\x00:\x00 \x00\x00\xd8", 1, 4, "not UTF-16"),
    "UTF-32": ("a: 1".encode("utf-32"), 1, 1, "U+0000"),
    "lone surrogate": ('a: "\\ud834"\n', 1, 7, "an escape that names no character"),
    "beyond Unicode": ('a: "\\U00110000"\n', 1, 7, "an escape that names no character"),
    "long number": ("a: " + "9" * 5000, 1, 4, "the number `999"),
    "python tag": (
        "a: !!python/object/apply:os.system [x]\n",
        1,
        4,
        "the tag `!!python/object/apply:os.system`",
    ),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_input(name: str) -> None:
    """Each ends in a problem at its place, within seconds."""
    content, line, column, words = HOSTILE[name]
    raw = content if isinstance(content, bytes) else content.encode()
    begin = time.perf_counter()
    found_line, found_column, message = first(read(raw))
    assert time.perf_counter() - begin < SLOW
    assert (found_line, found_column) == (line, column)
    assert words in message


@pytest.mark.parametrize("unit", ["a{}: 1\n", "- {{k{}: 1}}\n", "? k{}\n", "- &a{} x\n", "- *a{}\n"])
def test_as_many_values_as_are_let_in(unit: str) -> None:
    """Just below the limit of values a text is read, or its first hundred problems are, within seconds."""
    a_unit = most_values(unit.format(0)) - 1
    text = "".join(unit.format(at) for at in range(DEFAULT.values // a_unit - 1))
    assert DEFAULT.values - 2 * a_unit < most_values(text) <= DEFAULT.values
    begin = time.perf_counter()
    reading = read(text.encode())
    assert time.perf_counter() - begin < SLOW
    assert len(reading.problems) <= 101


def test_the_hundredth_problem_is_the_last_told() -> None:
    """Of very many problems a hundred are told, and that more follow."""
    problems = read(("a: {" + "k, " * 500 + "k}\n").encode()).problems
    assert len(problems) == 101
    assert problems[-1].message == "More problems follow."
    assert problems[0].span < problems[99].span


def test_an_ordinary_big_file_is_read() -> None:
    """A hundred thousand values in the ordinary shape are within the limits."""
    wire = "  w{}:\n    from: a.positive\n    to: b\n    route: [{{zone: cabin, length: 3 m}}, {{zone: b}}]\n"
    text = "wires:\n" + "".join(wire.format(at) for at in range(6000))
    document = read(text.encode()).document
    assert document is not None
    wires = document.data["wires"]
    assert isinstance(wires, dict)
    assert len(wires) == 6000  # of 17 nodes each


def test_limits_can_be_narrowed() -> None:
    """Bytes, depth and values are each limited by their own number."""
    assert "3 bytes" in first(read(b"a: 1", Limits(bytes=3)))[2]
    assert "1 levels" in first(read(b"a: [1]", Limits(depth=1)))[2]
    assert "at most 2" in first(read(b"a: 1\nb: 2\n", Limits(values=2)))[2]


def test_garbage_collection_is_left_as_it_was() -> None:
    """Reading pauses the collector and restores it, after an error too."""
    states = []
    for raw in (b"a: 1", b"a: [", b"\xff"):
        read(raw)
        states.append(gc.isenabled())
    assert states == [True, True, True]


@given(st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_any_bytes_are_read_or_refused(raw: bytes) -> None:
    """Whatever the bytes: a document, or problems with words and places, and no exception."""
    reading = read(raw)
    assert (reading.document is None) == bool(reading.problems)
    for problem in reading.problems:
        assert problem.message
        assert problem.remedy
        assert problem.message.encode()
        assert (problem.span.line, problem.span.column) >= (1, 1)


@given(st.text(st.sampled_from(list(" \n\t-:?,[]{}&*!|>'\"%@`#~<ab1.0\\ud8\r")), max_size=60))
def test_any_yaml_like_text_is_read_or_refused(text: str) -> None:
    """Text made of YAML's own signs: the document's places lie within the text, or there are problems."""
    reading = read(text.encode())
    assert (reading.document is None) == bool(reading.problems)
    if reading.document is not None:
        whole = reading.document.quote(reading.document.span(()))
        assert whole in text
        for name in reading.document.data:
            span = reading.document.span((name,))
            assert (span.line, span.column) <= (span.end_line, span.end_column)
            assert reading.document.quote(span) in whole
