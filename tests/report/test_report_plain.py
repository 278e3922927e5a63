"""Text for a terminal: nothing hidden takes effect, lines fit, marks stand below what they mark."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.report.plain import WIDTH, columns, fold, quote, safe

# Whatever a name or title may hold, with what has a width of its own: wide, combining, hidden and control
# characters.
TEXTS = st.text(
    st.characters() | st.sampled_from("a b\t\n\r\x1b\x7f\x9b\u202e\u200d\u00ad日本語e\u0301\U0001f697"),
    max_size=200,
)


@given(TEXTS)
def test_safe_text_holds_no_control_character(text: str) -> None:
    """No character of a plan takes effect at a terminal: categories C, Zl and Zp of the Unicode Standard are
    escaped."""
    assert [c for c in safe(text) if unicodedata.category(c)[0] == "C" or unicodedata.category(c) in ("Zl", "Zp")] == []


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain", "plain"),
        ("Käfer 日本", "Käfer 日本"),
        ("red\x1b[31m", "red\\u001b[31m"),
        ("a\u202eb", "a\\u202eb"),
        ("a\x00b\n", "a\\u0000b\\u000a"),
        ("\udcff", "\\udcff"),
    ],
)
def test_what_takes_effect_is_shown_by_its_number(text: str, shown: str) -> None:
    """Printing characters stay as they are, others become an escape."""
    assert safe(text) == shown


@pytest.mark.parametrize(
    ("text", "expected"),
    # Unicode Standard Annex 11: East Asian wide and fullwidth characters take two columns; a nonspacing mark
    # takes none.
    [("abc", 3), ("日本", 4), ("e\u0301", 1), ("Ａ", 2), ("é", 1), ("", 0)],
)
def test_columns_are_those_of_a_terminal(text: str, expected: int) -> None:
    """Wide characters count two columns, combining ones none."""
    assert columns(text) == expected


@given(TEXTS, st.sampled_from(["", "  ", "    - ", "      do    "]))
def test_folded_lines_fit_the_width(text: str, first: str) -> None:
    """No folded line is wider than a report is."""
    assert [line for line in fold(text, first) if columns(line) > WIDTH] == []


@given(TEXTS, st.sampled_from(["", "    - "]))
def test_folding_loses_nothing(text: str, first: str) -> None:
    """Folding only moves blanks: every other character is there, in its order."""
    kept = "".join(fold(text, first))[len(first) :]
    assert kept.replace(" ", "") == safe(text.replace("\t", " ").replace("\n", " ").replace("\r", " ")).replace(" ", "")


@pytest.mark.parametrize(
    "bound",
    [
        "136 A",
        "4 AWG",
        "18 in",
        "2.5 mohm",
        "20 %",
        "8 N.m",
        "17 ft 6 in",
        "line 71",
        "`gauge: 4 AWG`",
        "105 C",
    ],
)
@pytest.mark.parametrize("before", range(60, 80))
def test_what_belongs_together_stays_on_one_line(bound: str, before: int) -> None:
    """A number and its unit, a line and its number, and a short example are never parted at the end of a
    line."""
    lines = fold(f"{'x' * before} {bound} and so on")
    assert any(bound in line for line in lines)


def test_a_word_after_a_number_is_no_unit() -> None:
    """A number is bound to units alone: before other words a line may end."""
    assert fold("a" * 78 + " 3 amps") == ["a" * 78 + " 3", "amps"]


@given(TEXTS.filter(lambda text: not set(text) & set("\n\r")), st.data())
def test_marks_stand_below_what_they_mark(line: str, data: st.DataObject) -> None:
    """Line and marks fit the room, and there is at least one mark, wherever the marked part begins and
    ends."""
    start = data.draw(st.integers(0, len(line)))
    end = data.draw(st.integers(start, len(line)))
    shown, marks = quote(line, start, end, 60)
    assert (
        columns(shown) <= 60,
        len(marks) <= 60,
        marks.lstrip(" ") == "~" * marks.count("~"),
        "~" in marks,
    ) == (
        True,
        True,
        True,
        True,
    )


LONG = "x" * 500


@pytest.mark.parametrize(
    ("line", "marked", "shown", "under"),
    [
        ("    length: 90 cm", "90 cm", "length: 90 cm", "        ~~~~~"),
        ("a:\tb", "b", "a:    b", "      ~"),
        ("\ta: b", "\t", "    a: b", "~~~~"),
        ("名前: 日本", "日本", "名前: 日本", "      ~~~~"),
        ("e\u0301a: b", "b", "e\u0301a: b", "    ~"),
        ("a\u200db: c", "c", "a\\u200db: c", "          ~"),
        (f"a: b {LONG}", "b", f"a: b {LONG[:51]} ...", "   ~"),
        (f"{LONG}: b", "b", f"... {'x' * 22}: b", " " * 28 + "~"),
        (f"{LONG}: b {LONG}", "b", f"... {'x' * 22}: b {'x' * 26} ...", " " * 28 + "~"),
    ],
)
def test_a_quoted_line_is_shown_with_its_marks(line: str, marked: str, shown: str, under: str) -> None:
    """Indentation goes, tabs become blanks, long lines are cut, and the marks stay below the text."""
    start = line.index(marked)
    assert quote(line, start, start + len(marked), 60) == (shown, under)
