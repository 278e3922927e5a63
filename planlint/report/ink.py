"""Colours words for terminals that show colours."""

from __future__ import annotations

from planlint.frozen import frozen

# Select graphic rendition of ECMA-48: 1 bold, 2 faint, 3x a colour.
_INK = {
    "error": "1;31",
    "warning": "1;33",
    "note": "1;36",
    "good": "1;32",
    "mark": "1;35",
    "head": "1",
    "quiet": "2",
}


@frozen
class Ink:
    """Colours a text, or leaves it as it is where nothing is to be coloured."""

    colour: bool

    def __call__(self, text: str, kind: str) -> str:
        """Return the text in the colour of its kind; blanks before it stay plain."""
        bare = text.lstrip(" ")
        if not self.colour or not bare:
            return text
        return f"{text[: len(text) - len(bare)]}\x1b[{_INK[kind]}m{bare}\x1b[0m"
