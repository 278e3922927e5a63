"""Problems: what is wrong with the file itself, told so that a person can mend it."""

from collections.abc import Iterable

from planlint.frozen import frozen
from planlint.text.places import Path, Span

PLAN_FORMAT = "plan-format"
ID_DUPLICATE = "id-duplicate"
REQUIRED_FIELD_MISSING = "required-field-missing"
UNIT_AMBIGUOUS = "unit-ambiguous"
MOST_PROBLEMS = 100
"""As many problems of one file are told; that there are more is said in words."""


@frozen
class Problem:
    """One thing wrong with a file: what was found and expected, what to do, and where."""

    rule: str
    message: str
    remedy: str
    span: Span
    path: Path = ()


def did_you_mean(word: str, choices: Iterable[str]) -> str | None:
    """The one choice that `word` is probably a slip of, or None where no choice is close enough."""
    if len(word) > 60:
        return None
    import difflib  # only a faulty plan pays for it

    plain = {_plain(choice): choice for choice in choices}
    if (same := plain.get(_plain(word))) is not None:
        return same
    near = difflib.get_close_matches(_plain(word), plain, n=3, cutoff=0.65)
    near.sort(key=lambda choice: choice[:1] != _plain(word)[:1])  # slips seldom touch the first letter
    if not near and len(word) > 2:
        # `amplifier` means `amp`, and `ground` means `ground-point`: one begins the other, and no other does.
        begun = [choice for choice in plain if len(choice) > 2 and _begin(choice, _plain(word))]
        near = begun if len(begun) == 1 else []
    return plain[near[0]] if near else None


def _begin(one: str, other: str) -> bool:
    return one.startswith(other) or other.startswith(one)


def shown(word: str, most: int = 60) -> str:
    """The word as it may stand in a message: on one line, and cut where it is too long."""
    line = " ".join(word.split())
    return line if len(line) <= most else line[: most - 1] + "…"


def _plain(word: str) -> str:
    return word.lower().replace("_", "-").replace(" ", "-")
