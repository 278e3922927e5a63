"""Values as plan text: plain where the reader takes them for the same value, quoted elsewhere."""

import json
import math
import re

from planlint.text.document import Data
from planlint.text.edit_kinds import EditError
from planlint.text.encoding import UNPRINTABLE
from planlint.text.problems import shown
from planlint.text.scalars import NotFiniteError, plain

LINE_LENGTH = 110
"""As many characters a new list or mapping may make its line; a longer one gets a line for each entry."""

# Whatever might open something else than plain text is quoted: also where YAML would let it pass.
_OPENING = re.compile(r"[-?:,\[\]{}#&*!|>'\"%@`=]|\.\.\.|<<$")
_INSIDE = re.compile(r":(?:\s|$)|\s#|^\s|\s$")
_INSIDE_FLOW = re.compile(r"[,\[\]{}:?]")


def scalar_text(value: str | int | float | bool | None, *, flow: bool, quote: str = "") -> str:
    """One value on one line; `quote` is the style of quotes that text is to keep, empty for plain text.

    Raises EditError for numbers without a finite value and for characters that no plan may contain.
    """
    if isinstance(value, str):
        return _text(value, flow, quote)
    if isinstance(value, float) and not math.isfinite(value):
        raise EditError(f"Found the number {value}; expected one that a computation can use: `5.2 m`.")
    return json.dumps(value)


def flow_text(value: Data, *, flow: bool = True, quote: str = "") -> str:
    """A value on one line, lists and mappings in brackets; `flow` where it stands within brackets."""
    if isinstance(value, dict):
        pairs = [
            f"{scalar_text(name, flow=True, quote=quote)}: {flow_text(inner, quote=quote)}"
            for name, inner in value.items()
        ]
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow_text(inner, quote=quote) for inner in value) + "]"
    return scalar_text(value, flow=flow, quote=quote)


def block_lines(intro: str, value: Data, *, column: int, spread: int = 0, quote: str = "") -> list[str]:
    """The lines of a value behind its `name:` or `-`, which stands in `column`, counted from 0.

    The first line begins with `intro`; the others are indented relative to it. The outer `spread` levels get
    lines of their own however short they are.
    """
    if not isinstance(value, (dict, list)) or not value:
        return [f"{intro} {flow_text(value, flow=False, quote=quote)}"]
    line = f"{intro} {flow_text(value)}"
    if not spread and column + len(line) <= LINE_LENGTH:
        return [line]
    inner = [line for entry in _entries(value, column + 2, spread) for line in entry]
    if intro == "-":
        return [f"- {inner[0]}", *(f"  {line}" for line in inner[1:])]
    return [intro, *(f"  {line}" for line in inner)]


def _entries(value: dict[str, Data] | list[Data], column: int, spread: int) -> list[list[str]]:
    below = max(0, spread - 1)
    if isinstance(value, dict):
        named = ((f"{scalar_text(name, flow=False)}:", inner) for name, inner in value.items())
    else:
        named = (("-", inner) for inner in value)
    return [block_lines(intro, inner, column=column, spread=below) for intro, inner in named]


def _text(text: str, flow: bool, quote: str) -> str:
    if (bad := UNPRINTABLE.search(text)) is not None:
        raise EditError(
            f"Found the character U+{ord(bad[0]):04X} in `{shown(UNPRINTABLE.sub(' ', text))}`; "
            "expected only characters that print. Delete it."
        )
    if quote == "'" and text.isprintable():
        return "'" + text.replace("'", "''") + "'"
    return text if not quote and _is_safe(text, flow) else json.dumps(text, ensure_ascii=False)


def _is_safe(text: str, flow: bool) -> bool:
    if not text or not text.isprintable() or _OPENING.match(text) or _INSIDE.search(text):
        return False
    if flow and _INSIDE_FLOW.search(text):
        return False
    try:
        return plain(text) == text
    except NotFiniteError:
        return False
