"""Places: where in the text of a plan a value or its name stands."""

import re
from dataclasses import dataclass

Path = tuple[str | int, ...]
"""The steps from the top of a plan to a value: names in mappings, positions (from 0) in lists."""


_LINE_BREAK = re.compile("\r\n|\r|\n")


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Span:
    """A stretch of text: lines and columns count from 1, the end is exclusive.

    Columns count Unicode code points of the original line; a byte-order mark is not counted.
    """

    line: int
    column: int
    end_line: int
    end_column: int


def line_starts(text: str) -> list[int]:
    """Where each line of a text begins, counted from 0; lines end with CRLF, CR or LF."""
    return [0, *(found.end() for found in _LINE_BREAK.finditer(text))]


def split_lines(text: str) -> list[str]:
    """The lines of a text without their ends, numbered as spans number them; never empty."""
    return _LINE_BREAK.split(text) if "\r" in text else text.split("\n")
