"""The exit codes: an interface that scripts rely on."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.judge.result import Verdict

READY = 0
BROKEN = 1
UNREADABLE = 2
UNCHECKED = 3

_CODES = {
    Verdict.READY: READY,
    Verdict.READY_ELECTRICAL: READY,
    Verdict.BROKEN: BROKEN,
    Verdict.UNREADABLE: UNREADABLE,
    Verdict.UNCHECKED: UNCHECKED,
}


def exit_code(verdicts: Iterable[Verdict], *, never_fail: bool = False) -> int:
    """Return the code for several plans: the first of 2, 1, 3, 0 that occurs; `never_fail` turns 1 and 3
    into 0."""
    codes = {_CODES[verdict] for verdict in verdicts}
    if UNREADABLE in codes:
        return UNREADABLE
    if never_fail:
        return READY
    return next((code for code in (BROKEN, UNCHECKED) if code in codes), READY)
