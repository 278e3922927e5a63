"""How a computation says that it lacks something: a field of the plan, or a subject that the question does not fit."""

from __future__ import annotations

from planlint.text.places import Path


class UnknownError(Exception):
    """A field that the computation needs is not stated. `path` is the field, `needs` names it for people."""

    def __init__(self, path: Path, needs: str) -> None:
        super().__init__(needs)
        self.path = path
        self.needs = needs


class UnfitError(Exception):
    """The question has no answer for this subject (not a missing field): rules that ask it do not apply."""
