"""Bytes become text: byte-order marks, invalid bytes and characters that no plan may contain."""

import codecs
import re

from planlint.text.places import Span, line_starts
from planlint.text.problems import PLAN_FORMAT, Problem

# What YAML calls unprintable, and the line separators that editors and YAML count differently.
UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_SAVE = "Save the file as UTF-8 text; every editor offers that when saving."


def decode(raw: bytes) -> str | Problem:
    """The text of a file without its byte-order mark, or the problem that makes it no text."""
    mark, encoding = next(((m, e) for m, e in _MARKS if raw.startswith(m)), (b"", "utf-8"))
    body = raw[len(mark) :]
    try:
        text = body.decode(encoding)
    except UnicodeDecodeError as error:
        return _undecodable(body, encoding, error.start)
    # Asking for printable text first is a hundred times as quick as the search, and most text is.
    bad = None if text.replace("\n", "").isprintable() else UNPRINTABLE.search(text)
    return text if bad is None else _unprintable(text, bad.start())


def place(text: str, index: int, length: int = 1) -> Span:
    """The span of `length` characters of one line from the character at `index` on."""
    starts = line_starts(text[:index])
    line, column = len(starts), index - starts[-1] + 1
    return Span(line=line, column=column, end_line=line, end_column=column + length)


def _undecodable(body: bytes, encoding: str, at: int) -> Problem:
    name = encoding[:6].upper()
    before = body[:at].decode(encoding)
    return Problem(
        rule=PLAN_FORMAT,
        message=f"Found the byte 0x{body[at]:02X}, which is not {name} text here; expected a file in UTF-8.",
        remedy=_SAVE,
        span=place(before, len(before)),
    )


def _unprintable(text: str, at: int) -> Problem:
    import unicodedata  # only a faulty file pays for it

    more = len(UNPRINTABLE.findall(text, at + 1))
    name = unicodedata.name(text[at], "a control character")
    others = f" (and {more} more like it)" if more else ""
    return Problem(
        rule=PLAN_FORMAT,
        message=f"Found U+{ord(text[at]):04X}, {name.lower()}{others}; expected only characters that print.",
        remedy=f"Delete the invisible character. {_SAVE}" if text[at] != "\0" else _SAVE,
        span=place(text, at),
    )
