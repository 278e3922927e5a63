"""How a computation says that it lacks something: a field of the plan, or a subject that the question does not fit."""

from __future__ import annotations

from planlint.text.places import Path


class UnknownError(Exception):
    """A field that the computation needs is not stated. `path` is the field, `needs` names it for people."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.path = path

    @property
    def needs(self) -> str:
        """The field in words: `the power of sub of bass-amp`, `the body of the vehicle`."""
        section, *rest = (str(step) for step in self.path)
        if section == "vehicle":
            return f"the {rest[-1].replace('_', ' ')} of the vehicle"
        # Names alternate with the words `outputs` and the like that only lead to them.
        field, names = rest[-1], [rest[0], *rest[2:-1]]
        return " of ".join([f"the {field.replace('_', ' ')}", *reversed(names)])


class UnfitError(Exception):
    """The question has no answer for this subject (not a missing field): rules that ask it do not apply."""
