"""Leaves out of a plan's data what does not fit the schema, so that the rest can still be read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from planlint.plan.kinds import KINDS
from planlint.plan.references import NOTHING_SPOILED, Spoiled
from planlint.text.document import Data
from planlint.text.places import Path
from planlint.text.problems import Problem

Json = dict[str, Any]
# What makes an element of a section: without it there is no element.
_NEEDED = {
    "wires": ("from", "to"),
    "zones": ("name",),
    "steps": ("do",),
    "tests": ("test",),
    "parts": ("part",),
    "documents": ("document",),
    "accepted": ("rule", "subject"),
}
_SECTIONS: dict[str, type] = {
    **dict.fromkeys(("nodes", "wires", "holes", "mounts", "groups", "defaults", "vehicle", "customer"), dict),
    **dict.fromkeys(("zones", "steps", "tests", "parts", "documents", "photos", "accepted"), list),
}


def without(data: Json, problems: Iterable[Problem]) -> tuple[Json, Spoiled]:
    """Return the data without every value that has a problem, and what the plan may name and now lacks.

    Without problems it is the data itself.
    """
    paths = [problem.path for problem in problems]
    if not paths:
        return data, NOTHING_SPOILED
    left: Any = _copy(data)
    for path in paths:
        _take_out(left, path)
    left = {key: value for key, value in left.items() if _has_shape(key, value)}
    gone = {section for section in _SECTIONS if section in data and section not in left}
    if any(len(path) == 1 and path[0] not in _SECTIONS and _holds_more(data.get(str(path[0]))) for path in paths):
        # What stands under a name nobody knows may be any section that is missing.
        gone |= {section for section in _SECTIONS if section not in data}
    names = {str(path[1]) for path in paths if len(path) == 2 or path[2:3] == ("outputs",)}
    for section, needed in {**_NEEDED, "nodes": ("kind",)}.items():
        names |= _take_out_incomplete(left, section, needed)
        gone |= {section} if isinstance(left.get(section), list) and None in left[section] else set()
    # Whoever writes `Amp Fuse` for a name may call it `amp-fuse` elsewhere.
    names |= {name.lower().replace(" ", "-").replace("_", "-") for name in names}
    return left, Spoiled(names=frozenset(names), sections=frozenset(gone))


def _holds_more(value: Data) -> bool:
    return isinstance(value, (dict, list))


def _copy(value: Data) -> Any:
    if isinstance(value, dict):
        return {key: _copy(inner) for key, inner in value.items()}
    return [_copy(inner) for inner in value] if isinstance(value, list) else value


def _take_out(data: Any, path: Path) -> None:
    for step in path[:-1]:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return
    if not path:
        return
    if isinstance(data, dict):
        data.pop(path[-1], None)
    elif isinstance(data, list) and isinstance(path[-1], int) and path[-1] < len(data):
        data[path[-1]] = None


def _has_shape(key: str, value: Any) -> bool:
    return key not in _SECTIONS or value is None or isinstance(value, (_SECTIONS[key], str))


def _take_out_incomplete(data: Json, section: str, needed: tuple[str, ...]) -> set[str]:
    """Take out the elements of a section that lack what makes them one; return their names.

    The items of a list keep their numbers, by which faults name them.
    """
    elements = data.get(section)
    if isinstance(elements, list):
        data[section] = [one if _is_whole(one, needed) else None for one in elements]
    if not isinstance(elements, dict):
        return set()
    gone = {name for name, one in elements.items() if not _is_whole(one, needed)}
    data[section] = {name: one for name, one in elements.items() if name not in gone}
    return gone


def _is_whole(element: Any, needed: tuple[str, ...]) -> bool:
    if not isinstance(element, dict) or not all(isinstance(element.get(key), str) for key in needed):
        return False
    return "kind" not in needed or element["kind"] in KINDS
