"""Edits of a plan's text by place: what is not touched keeps its comments, layout and quotes."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations

from planlint.text import edit_block, edit_flow
from planlint.text.document import Data, Document
from planlint.text.edit_data import edited_data
from planlint.text.edit_kinds import (
    Action,
    Edit,
    EditError,
    add,
    move,
    remove,
    rename,
    set_value,
    shown_path,
)
from planlint.text.edit_layout import Holder, holders
from planlint.text.edit_values import scalar_text
from planlint.text.places import Path
from planlint.text.reader import read

__all__ = ["Action", "Edit", "EditError", "add", "apply", "move", "remove", "rename", "set_value"]


def apply(document: Document, edits: Sequence[Edit]) -> str:
    """The text of a document with edits made; every path refers to the document as it is given.

    The text is read again after each edit and held against the data that it must say. Raises EditError, whose
    text is for people, where edits contradict each other, a path cannot exist, or a value cannot be written.
    """
    if not all(edit.path for edit in edits):
        raise EditError("Found an edit of the plan as a whole; name a place in it: `wires.feed.gauge`.")
    _refuse_conflicts(edits)
    while edits:
        done, *edits = edits
        document = _edited(document, done)
        edits = [_renumbered(edit, done) for edit in edits]
    return document.text


def _edited(document: Document, edit: Edit) -> Document:
    expected = edited_data(document.data, edit)
    text = _patched(document.text, _patches(document, edit))
    after = read(text.encode()).document
    # repr tells 1 from true and one order of names from another.
    if after is None or repr(after.data) != repr(expected):
        raise EditError(
            f"Found {shown_path(edit.path)} written in a way that cannot be edited safely; "
            "expected `name: value`, one a line. Write that place so, or make this change by hand."
        )
    return after


def _patched(text: str, patches: list[edit_block.Patch]) -> str:
    pieces, done = [], 0
    for start, end, new in sorted(patches, key=lambda patch: patch[0]):
        pieces += [text[done:start], new]
        done = end
    return "".join((*pieces, text[done:]))


def _patches(document: Document, edit: Edit) -> list[edit_block.Patch]:
    along = holders(document.text, document.root, edit.path)
    holder, depth = along[-1], len(along) - 1
    at = holder.find(edit.path[depth])
    if edit.action in (Action.SET, Action.ADD):
        return _written(holder, at, edit, depth)
    if at is None:
        return []
    if edit.action is Action.RENAME:
        return _renamed(holder, at, edit.name)
    if edit.action is Action.REMOVE:
        return edit_flow.removed(holder, at) if holder.flow else edit_block.removed(holder, at)
    if edit.before in (at, at + 1):
        return []
    style = edit_flow.moved if holder.flow else edit_block.moved
    return style(holder, at, edit.before)


def _written(holder: Holder, at: int | None, edit: Edit, depth: int) -> list[edit_block.Patch]:
    """Writes a value, wrapped in the names of its path that are not there yet."""
    step, missing = edit.path[depth], edit.path[depth + 1 :]
    value, spread = _wrapped(edit.value, missing), len(missing)
    if at is not None and (missing or edit.action is Action.SET):
        if holder.flow:
            return edit_flow.replaced(holder, at, value)
        return edit_block.replaced(holder, at, value, spread)
    name = step if isinstance(step, str) else None
    position = len(holder.entries) if at is None else at
    if holder.flow:
        return edit_flow.inserted(holder, position, name, value)
    return edit_block.inserted(holder, position, name, value, spread)


def _wrapped(value: Data, names: Path) -> Data:
    for name in reversed(names):
        value = {name: value} if isinstance(name, str) else [value]
    return value


def _renamed(holder: Holder, at: int, name: str) -> list[edit_block.Patch]:
    key = holder.entries[at].key
    if key is None:
        return []
    quote = holder.quote or (key.style if key.style in ("'", '"') else "")
    return [(key.start_mark.index, key.end_mark.index, scalar_text(name, flow=holder.flow, quote=quote))]


def _refuse_conflicts(edits: Sequence[Edit]) -> None:
    for one, other in permutations(edits, 2):
        if _conflict(one, other):
            raise EditError(
                f"Found two edits that exclude each other: {_told(one)} and {_told(other)}; "
                "keep one of them, or make them one after the other."
            )


def _conflict(one: Edit, other: Edit) -> bool:
    """Whether `other` edits what `one` takes away, replaces or names anew."""
    if one.action is Action.RENAME and _leads_into((*one.path[:-1], one.name), other.path):
        return one.name != one.path[-1]
    if _is_gap(one) or not _leads_into(one.path, other.path) or (_is_gap(other) and one.path == other.path):
        return False
    if len(other.path) > len(one.path):
        return one.action not in (Action.RENAME, Action.MOVE)
    return {one.action, other.action} not in ({Action.SET, Action.RENAME}, {Action.SET, Action.MOVE})


def _is_gap(edit: Edit) -> bool:
    """Whether an edit is of the gap before an item, not of the item that stands there."""
    return edit.action is Action.ADD and isinstance(edit.path[-1], int)


def _leads_into(outer: Path, path: Path) -> bool:
    return path[: len(outer)] == outer


def _told(edit: Edit) -> str:
    return f"`{edit.action.value}` of {shown_path(edit.path)}"


def _renumbered(edit: Edit, done: Edit) -> Edit:
    """The edit as it must be made after another one: items have moved up or down, names have changed."""
    path = _path_after(edit.path, done)
    if edit.action is not Action.MOVE:
        return replace(edit, path=path)
    before = _path_after((*edit.path[:-1], edit.before), done)[-1]
    return replace(edit, path=path, before=int(before))


def _path_after(path: Path, done: Edit) -> Path:
    depth = len(done.path) - 1
    if len(path) <= depth or path[:depth] != done.path[:depth]:
        return path
    return (*path[:depth], _step_after(path[depth], done), *path[depth + 1 :])


def _step_after(step: str | int, done: Edit) -> str | int:
    own = done.path[-1]
    if done.action is Action.RENAME:
        return done.name if step == own else step
    if not isinstance(step, int) or not isinstance(own, int):
        return step
    if done.action is Action.ADD:
        return step + (step >= own)
    if done.action is Action.REMOVE:
        return step - (step > own)
    if done.action is not Action.MOVE:
        return step
    to = done.before - (done.before > own)
    if step == own:
        return to
    return step - (own < step <= to) + (to <= step < own)
