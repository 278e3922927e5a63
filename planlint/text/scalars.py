"""Plain scalars by the core schema of YAML 1.2.2, section 10.3.2: null, booleans, numbers; else text."""

import math
import re

Scalar = str | int | float | bool | None

MOST_CHARACTERS = 250  # of a whole number: with more, a conversion to float would overflow

# What stands for something else than itself.
WORDS: dict[str, Scalar] = {
    "": None,
    "~": None,
    **dict.fromkeys(("null", "Null", "NULL"), None),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
_NUMBER = re.compile(
    r"(?P<whole>[-+]?[0-9]+)"
    r"|(?P<octal>0o[0-7]+)"
    r"|(?P<hexadecimal>0x[0-9a-fA-F]+)"
    r"|(?P<real>[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?)"
    r"|(?P<unbounded>[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN))"
)
_BASES = {"whole": 10, "octal": 8, "hexadecimal": 16}
# With these first characters a plain scalar may be a number.
NUMERIC = frozenset("+-.0123456789")


class NotFiniteError(ValueError):
    """A number that is infinite, not a number, or beyond what a computation can hold."""


def plain(text: str) -> Scalar:
    """The value of an unquoted scalar. Raises NotFiniteError for numbers without a usable value."""
    if text in WORDS:
        return WORDS[text]
    # Most quantities are a number and a unit, parted by a blank that no number has.
    if text[0] not in NUMERIC or " " in text:
        return text
    match = _NUMBER.fullmatch(text)
    return text if match is None else _number(text, match.lastgroup or "")


def _number(text: str, form: str) -> int | float:
    if form in _BASES:
        if len(text) > MOST_CHARACTERS:
            raise NotFiniteError(text)
        return int(text.removeprefix("0o").removeprefix("0x"), _BASES[form])
    if form == "unbounded" or not math.isfinite(number := float(text)):
        raise NotFiniteError(text)
    return number
