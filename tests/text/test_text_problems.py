"""Words of problems: what a slip was meant to be, and names cut to fit a line."""

import pytest

from planlint.text.problems import did_you_mean, shown


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("guage", "gauge"),
        ("Gauge", "gauge"),
        ("not-stated", "not stated"),
        ("anp", "amp"),
        ("battery", None),
        ("x" * 100, None),
        ("", None),
    ],
)
def test_did_you_mean(word: str, meant: str | None) -> None:
    """A slip leads to the word that was meant, another word to none."""
    assert did_you_mean(word, ["gauge", "tap", "amp", "not stated", "length"]) == meant


def test_names_are_shown_on_one_line() -> None:
    """A name in a message stays on its line and is cut where it is too long."""
    assert [shown("a\n b\t"), shown("x" * 61), shown("x" * 60)] == ["a b", "x" * 59 + "…", "x" * 60]
