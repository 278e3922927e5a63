"""Words in which a plan says nothing that anybody could check."""

from __future__ import annotations

import re
from functools import cache

from planlint.trade.tables import table


def vague_words_in(text: str) -> str | None:
    """Return the vague words of a text as the table has them, each once, `nothing` for one without a word, else None."""
    if not any(letter.isalnum() for letter in text):
        return "nothing"
    found = dict.fromkeys(words.lower() for words in _vague().findall(" ".join(text.split())))
    return "` and `".join(found) or None


@cache
def _vague() -> re.Pattern[str]:
    phrases = sorted((row["phrase"] for row in table("vague_words", ("phrase",))), key=lambda one: (-len(one), one))
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, phrases))})(?!\w)", re.IGNORECASE)
