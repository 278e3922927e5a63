"""Plants a rule's faults into a plan: the edits of its text that must raise the rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from planlint.facts.case import Case
from planlint.facts.device import stated_by
from planlint.facts.table import answer, place_of
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.users import ground_vertex
from planlint.plan.model import Wire
from planlint.plan.quantity import Quantity, show
from planlint.plan.references import places_of
from planlint.plan.unbuild import quantity_text
from planlint.plan.values import NOT_STATED
from planlint.rulebook.evaluate import outcome_of
from planlint.rulebook.model import PlantedFault, Rule
from planlint.rulebook.wording import written
from planlint.text.document import Document
from planlint.text.edit import Action, Edit, apply, remove, set_value
from planlint.text.places import Path


def suits(case: Case, rule: Rule, fault: PlantedFault, element: Any) -> bool:
    """Say whether a fault can be planted at an element: the rule applies and holds, and the fault's own conditions do."""
    outcome = outcome_of(case, rule, element)
    try:
        return outcome.applies and not outcome.broken and not outcome.missing and fault.on(case, element)
    except (UnknownError, UnfitError):
        return False


def plant(document: Document, case: Case, rule: Rule, fault: PlantedFault, element: Any) -> str | None:
    """Return the text of the plan with the fault planted at an element it suits, None where the edit cannot be made."""
    target = _target(case, rule, fault, element)
    if target is None:
        return None
    edits: list[Edit] = []
    for action, value in fault.edit.items():
        more = _EDITS[action](case, rule, element, target, value)
        if more is None:
            return None
        edits += more
    return apply(document, [*edits, *_unnamed(document, case, edits)])


def _unnamed(document: Document, case: Case, edits: list[Edit]) -> list[Edit]:
    """Return the edits by which lists no longer name the elements that other edits take out."""
    gone = {edit.path[1]: edit.path for edit in edits if edit.action is Action.REMOVE and len(edit.path) == 2}
    named = (path for name in gone for path in places_of(case.plan, str(name)))
    places = {written for path in named if (written := _written(path, case))[:2] not in gone.values()}
    found: list[Edit] = []
    for field in sorted({path[:-1] for path in places}, key=str):
        names = _at(document, field)
        items = sorted(path[-1] for path in places if path[:-1] == field)
        whole = not isinstance(names, list) or len(names) == len(items)
        found += [remove(field)] if whole else [remove((*field, item)) for item in items]
    return found


def _written(path: Path, case: Case) -> Path:
    """Return where a value stands in the file: where an element took it over, in the default."""
    for length in range(len(path), 0, -1):
        if path[:length] in case.plan.origins:
            return (*case.plan.origins[path[:length]], *path[length:])
    return path


def _at(document: Document, path: Path) -> Any:
    value: Any = document.data
    for step in path:
        value = value[step]
    return value


# Makes the edits of one action: for a case and rule, the subject, the element to edit and what the action takes.
_MakeEdits = Callable[[Case, Rule, Any, Any, Any], list[Edit] | None]


def _target(case: Case, rule: Rule, fault: PlantedFault, element: Any) -> Any:
    """Return the element to edit: the subject, or the first that the fact `of` names."""
    if fault.of is None:
        return element
    try:
        found = answer(case, rule.about, fault.of, element)
    except (UnknownError, UnfitError):
        return None
    if isinstance(found, tuple):
        return found[0] if found else None
    return found


def _set(case: Case, rule: Rule, element: Any, target: Any, value: dict[str, Any]) -> list[Edit]:
    return [set_value(place_of(target, field), _filled(case, rule, element, new)) for field, new in value.items()]


def _write(case: Case, rule: Rule, element: Any, target: Any, value: str) -> list[Edit]:
    """Put other words in the place of a text."""
    return [set_value(target.path, _filled(case, rule, element, value))]


def _remove(case: Case, rule: Rule, element: Any, target: Any, value: Any) -> list[Edit] | None:
    if value == "all":
        return [remove(target.path)]
    stated = [place_of(target, field) for field in value if _states(target, field)]
    # What a default states is unstated by saying so: it may hold for others too.
    return [set_value(path, NOT_STATED) if path in case.plan.origins else remove(path) for path in stated] or None


def _states(target: Any, field: str) -> bool:
    owner, own = stated_by(target, field)
    return getattr(owner, own, None) is not None


def _add(case: Case, rule: Rule, element: Any, target: Any, value: dict[str, dict[str, Any]]) -> list[Edit]:
    return [
        set_value((section, _filled(case, rule, element, name)), _filled(case, rule, element, data))
        for section, entries in value.items()
        for name, data in entries.items()
    ]


def _move(case: Case, rule: Rule, element: Any, target: Any, value: dict[str, str]) -> list[Edit]:
    return [
        set_value((*target.path, _end_key(case, target, end)), _filled(case, rule, element, place))
        for end, place in value.items()
    ]


def _end_key(case: Case, wire: Wire, end: str) -> str:
    """Return the key of a wire's end: as named, or the one where current comes in (`upstream`) or goes out."""
    if end in ("from", "to"):
        return end
    into = case.layout.limits.fed(wire.name)
    first_is_upstream = into[0] >= into[1] if into[0] != into[1] else _grounds(case, wire)
    return "from" if first_is_upstream is (end == "upstream") else "to"


def _grounds(case: Case, wire: Wire) -> bool:
    end = wire.from_
    return ground_vertex(case.nodes[end.node]) == f"{end.node}.{end.terminal}"


def _splice_out(case: Case, rule: Rule, element: Any, target: Any, fact: str) -> list[Edit] | None:
    """Take a part out of a run: the wire before it is joined to the one behind it, and keeps its own kind of cable."""
    part = _target(case, rule, _named(fact), element)
    wires = [wire for wire in case.plan.wires if part and any(end.node == part.name for end in wire.ends)]
    if part is None or len(wires) != 2 or element not in wires:
        return None
    other = wires[0] if wires[1] is element else wires[1]
    here = next(end for end in element.ends if end.node == part.name)
    beyond = next(end for end in other.ends if end.node != part.name)
    edits = [set_value(here.path, f"{beyond.node}.{beyond.terminal}"), remove(other.path), remove(part.path)]
    for field in ("length", "cut"):
        near, far = getattr(element, field), getattr(other, field)
        if isinstance(near, Quantity) and isinstance(far, Quantity):
            whole = show(near.high + far.high, near.dimension, near.unit, 6)
            edits.append(set_value((*element.path, field), whole))
    return edits


def _splice_in(case: Case, rule: Rule, element: Any, target: Any, value: dict[str, Any]) -> list[Edit] | None:
    """Put a part with a line and a load side into a run, at the second end of a wire; 10 cm of the same cable lead on."""
    part, beyond = f"{target.name}-{value['kind']}", f"{target.name}-onward"
    cable = {
        field: quantity_text(stated) if isinstance(stated, Quantity) else stated
        for field in ("gauge", "material", "insulation")
        if isinstance(stated := getattr(target, field), (Quantity, str))
    }
    end = f"{target.to.node}.{target.to.terminal}"
    return [
        set_value(("nodes", part), _filled(case, rule, element, value)),
        set_value(("wires", beyond), {"from": f"{part}.load", "to": end, "length": "10 cm", **cable}),
        set_value(target.to.path, f"{part}.line"),
    ]


def _named(fact: str) -> PlantedFault:
    return PlantedFault(edit={}, of=fact, on=lambda _case, _element: True, how_common="", also=(), text="")


def _filled(case: Case, rule: Rule, element: Any, value: Any) -> Any:
    """Return a value with the placeholders in its texts put into names."""
    if isinstance(value, str):
        return written(value, rule, case, element)
    if isinstance(value, dict):
        return {key: _filled(case, rule, element, inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_filled(case, rule, element, inner) for inner in value]
    return value


_EDITS: dict[str, _MakeEdits] = {
    "set": _set,
    "write": _write,
    "remove": _remove,
    "add": _add,
    "move": _move,
    "splice_out": _splice_out,
    "splice_in": _splice_in,
}
