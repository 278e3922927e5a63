"""The kinds of edits that a plan's text can undergo, and the error of one that cannot be made."""

from enum import Enum

from planlint.frozen import frozen
from planlint.text.document import Data
from planlint.text.places import Path
from planlint.text.problems import shown


class Action(Enum):
    """What an edit does at its path."""

    SET = "set"
    ADD = "add"
    REMOVE = "remove"
    MOVE = "move"
    RENAME = "rename"


class EditError(ValueError):
    """An edit that cannot be made; its text says what was found, what was expected and what to do."""


@frozen
class Edit:
    """One edit; made by `set_value`, `add`, `remove`, `move` or `rename`, which say what each field means."""

    action: Action
    path: Path
    value: Data = None
    before: int = 0
    name: str = ""


def set_value(path: Path, value: Data) -> Edit:
    """Replaces the value at a path, or writes a name that is not there yet behind the last of its mapping.

    Missing mappings on the way are made, a list where the next step is 0; the position right behind the
    last item appends to a list.
    """
    return Edit(action=Action.SET, path=path, value=value)


def add(path: Path, value: Data) -> Edit:
    """A name that must be new, or an item of a list before the one that stands at that position."""
    return Edit(action=Action.ADD, path=path, value=value)


def remove(path: Path) -> Edit:
    """Takes away a name with its value, or an item of a list."""
    return Edit(action=Action.REMOVE, path=path)


def move(path: Path, before: int) -> Edit:
    """Puts an item of a list before the one at position `before`; the list's length means its end."""
    return Edit(action=Action.MOVE, path=path, before=before)


def rename(path: Path, name: str) -> Edit:
    """Gives the value at a path another name, in the same place."""
    return Edit(action=Action.RENAME, path=path, name=name)


def shown_path(path: Path) -> str:
    """A path as a person reads it, in backquotes: `steps, item 2, after`; items count from 1."""
    words, before = "", ""
    for step in path:
        words += f", item {step + 1}" if isinstance(step, int) else f"{before}{step}"
        before = ", " if isinstance(step, int) else "."
    return f"`{shown(words)}`" if path else "the plan"
