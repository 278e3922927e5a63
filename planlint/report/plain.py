"""Makes text from a plan safe for a terminal, and folds it to a width."""

from __future__ import annotations

import textwrap
import unicodedata


def safe(text: str) -> str:
    """Return the text with every control or invisible format character shown by its number instead of taking effect."""
    return "".join(char if _shows(char) else f"\\u{ord(char):04x}" for char in text)


def _shows(char: str) -> bool:
    return unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def fold(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """Return the text as lines of at most `width` columns, the first and the others with their own beginnings."""
    return textwrap.wrap(
        safe(text),
        width=width,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_on_hyphens=False,
        break_long_words=True,
    ) or [first.rstrip()]
