"""What a plan's data become by an edit, or why the edit cannot be made; the text is then held against it."""

from collections.abc import Callable

from planlint.text.document import Data
from planlint.text.edit_kinds import Action, Edit, EditError, shown_path
from planlint.text.places import Path
from planlint.text.problems import shown


def edited_data(data: Data, edit: Edit) -> Data:
    """The data with one edit made; `data` is left as it is. Raises EditError where the path cannot exist."""
    return _inside(data, edit, 0)


def _inside(data: Data, edit: Edit, depth: int) -> Data:
    step = edit.path[depth]
    holder = _holder(data, edit, depth)
    if depth == len(edit.path) - 1:
        return _DONE[edit.action](holder, step, edit)
    inner = holder[step] if _has(holder, step) else None  # type: ignore[index]
    if not _has(holder, step) and edit.action not in (Action.SET, Action.ADD):
        raise _absent(holder, edit.path[: depth + 1])
    return _put(holder, edit.path[: depth + 1], _inside(inner, edit, depth + 1))


def _holder(data: Data, edit: Edit, depth: int) -> dict[str, Data] | list[Data]:
    """The mapping or list that a step leads into; for new values one is made where nothing is written."""
    wanted: type = list if isinstance(edit.path[depth], int) else dict
    if data is None and edit.action in (Action.SET, Action.ADD):
        return [] if wanted is list else {}
    if isinstance(data, (dict, list)) and isinstance(data, wanted):
        return data
    found = "a mapping" if isinstance(data, dict) else "a list" if isinstance(data, list) else "one value"
    found = "nothing" if data is None else found
    expected = "a list: `[{name: cabin}]`" if wanted is list else "a mapping: `{gauge: 4 AWG}`"
    raise EditError(
        f"Found {found} at {shown_path(edit.path[:depth])}; expected {expected}. "
        f"Mend the path {shown_path(edit.path)}, or set that value first."
    )


def _has(holder: dict[str, Data] | list[Data], step: str | int) -> bool:
    if isinstance(holder, dict):
        return step in holder
    return isinstance(step, int) and 0 <= step < len(holder)


def _absent(holder: dict[str, Data] | list[Data], path: Path) -> EditError:
    names = ", ".join(f"`{shown(name)}`" for name in list(holder)[:8]) if isinstance(holder, dict) else ""
    there = f"the names {names}" if names else f"{len(holder)} items" if holder else "nothing"
    return EditError(f"Found no {shown_path(path)}; {shown_path(path[:-1])} holds {there}. Name one that is there.")


def _put(holder: dict[str, Data] | list[Data], path: Path, value: Data) -> Data:
    step = path[-1]
    if isinstance(holder, dict):
        return {**holder, str(step): value}
    if not isinstance(step, int) or not 0 <= step <= len(holder):
        raise _absent(holder, path)
    return [*holder[:step], value, *holder[step + 1 :]]


def _set(holder: dict[str, Data] | list[Data], _: str | int, edit: Edit) -> Data:
    return _put(holder, edit.path, edit.value)


def _added(holder: dict[str, Data] | list[Data], step: str | int, edit: Edit) -> Data:
    if isinstance(holder, list) and isinstance(step, int) and 0 <= step <= len(holder):
        return [*holder[:step], edit.value, *holder[step:]]
    if _has(holder, step):
        raise EditError(f"Found {shown_path(edit.path)} already in the plan; set its value, or choose another name.")
    return _put(holder, edit.path, edit.value)


def _removed(holder: dict[str, Data] | list[Data], step: str | int, edit: Edit) -> Data:
    _require(holder, step, edit)
    if isinstance(holder, dict):
        return {name: value for name, value in holder.items() if name != step}
    return [value for at, value in enumerate(holder) if at != step]


def _moved(holder: dict[str, Data] | list[Data], step: str | int, edit: Edit) -> Data:
    _require(holder, step, edit)
    if not isinstance(holder, list) or not isinstance(step, int):
        raise EditError(f"Found the name {shown_path(edit.path)} to be moved; only items of lists have an order.")
    if not 0 <= edit.before <= len(holder):
        raise EditError(
            f"Found position {edit.before} to move {shown_path(edit.path)} to; "
            f"expected one from 0 to {len(holder)}, which is the end."
        )
    rest = [value for at, value in enumerate(holder) if at != step]
    at = edit.before - (edit.before > step)
    return [*rest[:at], holder[step], *rest[at:]]


def _renamed(holder: dict[str, Data] | list[Data], step: str | int, edit: Edit) -> Data:
    _require(holder, step, edit)
    if not isinstance(holder, dict):
        raise EditError(f"Found {shown_path(edit.path)} to be renamed; items of lists have no names.")
    if edit.name != step and edit.name in holder:
        raise EditError(
            f"Found the name `{shown(edit.name)}` already in {shown_path(edit.path[:-1])}; "
            f"choose another, such as `{shown(edit.name)}-2`."
        )
    return {edit.name if name == step else name: value for name, value in holder.items()}


def _require(holder: dict[str, Data] | list[Data], step: str | int, edit: Edit) -> None:
    if not _has(holder, step):
        raise _absent(holder, edit.path)


_Change = Callable[[dict[str, Data] | list[Data], str | int, Edit], Data]
_DONE: dict[Action, _Change] = {
    Action.SET: _set,
    Action.ADD: _added,
    Action.REMOVE: _removed,
    Action.MOVE: _moved,
    Action.RENAME: _renamed,
}
