"""Puts the edits that break a rule into words for a person of the trade."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from planlint.rulebook.phrases import blanks, listed, noun

_SUBJECT = {"subject": "<its name>"}
_ENDS = {"upstream": "the end where current comes in", "downstream": "the end where current goes out"}
_TERMINAL = re.compile(r"\{(\w+)\}\.([a-z-]+)")
_SECTIONS = {"nodes": "part"}


def edit_text(edit: Mapping[str, Any], of: str | None) -> str:
    """Return an edit as a sentence; `of` names the fact whose element is edited instead of the subject."""
    return " and ".join(_told(action, value, of) for action, value in edit.items())


def _told(action: str, value: Any, of: str | None) -> str:
    if action == "set":
        return f"set {_owning(of, listed(tuple(_entry(*one) for one in value.items()), 'and'))}"
    if action == "remove":
        if value == "all":
            return f"take out {_owner(of)}" if of else "take it out"
        return f"remove {_owning(of, listed(tuple(f'`{field}`' for field in value), 'and'))}"
    if action == "write":
        return f'write "{value}" in its place'
    if action == "add":
        added = [_element(section, *one) for section, entries in value.items() for one in entries.items()]
        return listed(tuple(added), "and")
    if action == "move":
        moved = [f"{_ENDS.get(end, f'its end `{end}`')} to {_place(place)}" for end, place in value.items()]
        return f"move {listed(tuple(moved), 'and')}"
    if action == "splice_out":
        return f"take out {_owner(value)} and join the cables on both sides of it"
    return f"put a part into it: `{_inline(value)}`"


def _owner(of: str) -> str:
    """Return which element is edited: `its vehicle`, `its first ground wire`, `the mount that holds it`."""
    name = noun(of)
    if " " in name and name != of.replace("_", " "):
        return f"the {name}"
    return f"its first {name[:-1]}" if name.endswith("s") else f"its {name}"


def _owning(of: str | None, fields: str) -> str:
    """Return fields with their owner: `its source's ...`, but `... of the mount that holds it`."""
    if of is None:
        return fields
    owner = _owner(of)
    return f"{fields} of {owner}" if owner.startswith("the ") else f"{owner}'s {fields}"


def _entry(field: str, value: Any) -> str:
    return f"`{field}: {_inline(value)}`"


def _inline(value: Any) -> str:
    """Return a value as a plan writes it on one line."""
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_inline(inner)}" for key, inner in value.items())
    if isinstance(value, list):
        return f"[{'; '.join(_inline(one) for one in value)}]"
    if isinstance(value, bool) or (isinstance(value, str) and not value.strip()):
        return json.dumps(value)
    return blanks(str(value), _SUBJECT)


def _element(section: str, name: str, data: Mapping[str, Any]) -> str:
    """Return an element that is added; one that takes the subject's name takes its place."""
    what = _SECTIONS.get(section, section.removesuffix("s"))
    put = f"put another {what} in its place" if name == "{subject}" else f"add the {what} {blanks(name, _SUBJECT)}"
    return f"{put} (`{_inline(data)}`)"


def _place(place: str) -> str:
    """Return a terminal: `the ground terminal of the part at its second end`."""
    found = _TERMINAL.fullmatch(place)
    return f"the {found[2]} terminal of the {noun(found[1])}" if found else f"the {noun(place.strip('{}'))}"
