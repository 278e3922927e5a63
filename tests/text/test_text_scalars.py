"""Unquoted scalars mean what the core schema of YAML 1.2 says they mean."""

import pytest

from planlint.text.reader import read
from planlint.text.scalars import NotFiniteError, plain

# YAML 1.2.2 specification, section 10.3.2 (core schema): the rows of its table of regular expressions, with
# the members that its examples 10.9 and the expressions themselves name.
CORE_SCHEMA = [
    *[(text, None) for text in ("null", "Null", "NULL", "~", "")],
    *[(text, True) for text in ("true", "True", "TRUE")],
    *[(text, False) for text in ("false", "False", "FALSE")],
    *[("0", 0), ("-19", -19), ("+12", 12), ("0o7", 7), ("0o14", 12), ("0x3A", 58), ("0777", 777)],
    *[("0.", 0.0), ("-0.0", -0.0), (".5", 0.5), ("+12e03", 12000.0), ("-2E+05", -200000.0), ("1e5", 1e5)],
]

# Values of YAML 1.1 (its type repository: bool, int, timestamp, merge, value) that YAML 1.2 reads as text.
TEXT = [
    *("on", "off", "yes", "no", "y", "n", "On", "NO", "tRUE", "nULL", "1:30", "190:20:30", "1_000", "0b1010"),
    *("2024-05-01", "2001-12-14t21:59:43.10-05:00", "=", "0o8", "-0x3A", "0x", "1e", "e5", ".", "+", "+."),
    *("4 AWG", "5.2 m", "1/0 AWG", "12.6 V", "not stated", "2..4 m", ".INFINITY", "1.2.3", "٣"),
]


@pytest.mark.parametrize(("text", "value"), CORE_SCHEMA)
def test_core_schema_values(text: str, value: object) -> None:
    """Every form of the core schema's table has its value and its type."""
    result = plain(text)
    assert (result, type(result)) == (value, type(value))


@pytest.mark.parametrize("text", TEXT)
def test_all_else_is_text(text: str) -> None:
    """What only YAML 1.1 would convert stays the text that was written, in a file too."""
    assert plain(text) == text
    document = read(f"a: {text}\n".encode()).document
    assert document is not None
    assert document.data == {"a": text}


@pytest.mark.parametrize("text", [".inf", "-.INF", "+.Inf", ".nan", ".NaN", "1e999", "9" * 251, "0x" + "f" * 300])
def test_numbers_without_a_usable_value(text: str) -> None:
    """Infinities, not-a-number, numbers beyond a float and absurdly many digits are refused."""
    with pytest.raises(NotFiniteError):
        plain(text)


def test_the_longest_whole_number_fits_a_float() -> None:
    """What passes as a whole number can be computed with: the conversion to float does not overflow."""
    assert float(plain("9" * 250) or 0) == 1e250
