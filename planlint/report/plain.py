"""Makes text from a plan safe for a terminal, and folds and cuts it to a width in columns."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from planlint.plan.units import SPELLINGS

WIDTH = 80
"""Columns of every report for a person, whatever the terminal: the same input gives the same bytes."""

_BEFORE = 24  # columns kept before the marked part of a line that has to be cut
_TAB = "    "
_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_GAP = re.compile(r"\t|[ \t]*[\r\n][ \t\r\n]*")
_SHORT_EXAMPLE = re.compile(r"`[^`]{1,40}`")  # an example to copy stays on one line too
_UNITS = sorted({re.escape(unit) for units in SPELLINGS.values() for unit in units}, key=len, reverse=True)
# A number and its unit, or what it counts, stay on one line.
_BOUND = re.compile(rf"(?<=\d) (?=(?:{'|'.join(_UNITS)})(?![\w/]))|(?<=\bline) (?=\d)|(?<=\bft) (?=\d)")
_BOND = "\x00"  # stands for a space at which no line ends; `safe` leaves none in a text


def safe(text: str) -> str:
    """Return the text with every control or invisible format character shown by its number instead of taking
    effect."""
    return text if text.isascii() and text.isprintable() else "".join(_visible(char) for char in text)


def _visible(char: str) -> str:
    return f"\\u{ord(char):04x}" if unicodedata.category(char) in _HIDDEN else char


def columns(text: str) -> int:
    """Return how many columns of a terminal a safe text takes: East Asian wide characters two, combining
    ones none."""
    return len(text) if text.isascii() else sum(_columns_of(char) for char in text)


def _columns_of(char: str) -> int:
    if unicodedata.category(char) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def fold(text: str, first: str = "", rest: str | None = None, *, width: int = WIDTH) -> list[str]:
    """Return the text as lines of at most `width` columns, the first and the others with their own
    beginnings.

    Line ends become spaces; a number is never parted from its unit, nor a short example in backticks.
    """
    rest = " " * columns(first) if rest is None else rest
    bound = _BOUND.sub(_BOND, safe(_GAP.sub(" ", text.strip(" \t\r\n"))))
    bound = _SHORT_EXAMPLE.sub(lambda example: example[0].replace(" ", _BOND), bound)
    lines, start = [first], True
    for word in _words(bound, width - max(columns(first), columns(rest))):
        if not start and columns(lines[-1]) + 1 + columns(word) > width:
            lines.append(rest)
            start = True
        lines[-1] += word if start else f" {word}"
        start = False
    return [line.replace(_BOND, " ").rstrip(" ") for line in lines]


def _words(text: str, room: int) -> Iterator[str]:
    """Yield the words of a text; those longer than a whole line in parts."""
    for word in text.split(" "):
        while columns(word) > room:
            part = _as_fits(word, room)
            yield part
            word = word[len(part) :]
        yield word


def _as_fits(text: str, room: int) -> str:
    """Return as much of the beginning of a text as `room` columns hold, at least one character."""
    used = 0
    for index, char in enumerate(text):
        used += _columns_of(char)
        if used > room:
            return text[: max(index, 1)]
    return text


def quote(line: str, start: int, end: int, room: int) -> tuple[str, str]:
    """Return a line of a plan in at most `room` columns, and the marks that stand below its characters
    `start` to `end`.

    Indentation is left out, a tab is shown as four blanks, and a line that is too long is cut at both ends.
    """
    indent = min(len(line) - len(line.lstrip(" ")), start)
    line = line.rstrip()
    cut = indent if len(line) - indent <= room and _shown_columns(line[indent:]) <= room else None
    if cut is None:
        cut = _first_shown(line, indent, start, room // 2)
    lead = "... " if cut > indent else ""
    before = _shown_columns(line[cut:start]) + len(lead)
    marked = _shown_columns(line[start : min(end, start + room)])
    shown = lead + "".join(_cell(char) for char in line[cut : cut + room])
    if columns(shown) > room or cut + room < len(line):
        shown = _as_fits(shown, room - 4).rstrip() + " ..."
    return shown, " " * before + "~" * max(1, min(marked, room - before))


def _first_shown(line: str, indent: int, start: int, most: int) -> int:
    """Return the first character to show of a line that is too long: at most `most` columns before the
    marked part."""
    cut = max(indent, start - _BEFORE)
    while _shown_columns(line[cut:start]) > most:
        cut += 1
    return cut


def _cell(char: str) -> str:
    return _TAB if char == "\t" else _visible(char)


def _shown_columns(text: str) -> int:
    return columns("".join(_cell(char) for char in text))
