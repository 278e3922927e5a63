"""Writes several names as one writes them in a sentence."""

from __future__ import annotations

from collections.abc import Sequence


def one_after_another(names: Sequence[str]) -> str:
    """Return names as one writes them in a sentence: `a`, `a and b`, `a, b and c`."""
    *first, last = names or ("",)
    return f"{', '.join(first)} and {last}" if first else last
