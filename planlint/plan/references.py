"""Finds the names in a plan that name nothing: zones, groups, and whatever steps, tests, holes and lists refer to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from planlint.frozen import frozen
from planlint.plan.model import Plan
from planlint.plan.values import Fault
from planlint.plan.work import STEPS
from planlint.text.places import Path
from planlint.text.problems import did_you_mean


@frozen
class Spoiled:
    """What was taken out of a plan as unreadable: elements by name, and sections of which some have lost their names."""

    names: frozenset[str] = frozenset()
    sections: frozenset[str] = frozenset()

    def hides(self, name: str, *sections: str) -> bool:
        """Say whether an element of this name may be among what was taken out of these sections."""
        return name in self.names or not self.sections.isdisjoint(sections)


NOTHING_SPOILED = Spoiled()
_ELEMENTS = ("nodes", "wires", "holes", "mounts", "zones")


def unknown_names(data: dict[str, Any], plan: Plan, spoiled: Spoiled) -> list[Fault]:
    """Return a fault for each name that names nothing in the plan."""
    holes, zones = {hole.name for hole in plan.holes or ()}, {zone.name for zone in plan.zones}
    sections = (plan.nodes, plan.wires, plan.holes or (), plan.mounts or (), plan.zones)
    elements = {one.name for section in sections for one in section}
    steps = {step.name for step in plan.steps or () if isinstance(step.name, str)} | set(STEPS)
    groups = set(data.get("groups") or {})
    asked: list[tuple[Named, set[str], str, str, tuple[str, ...]]] = [
        (_groups_named(data), groups, "group", "describe it under `groups:`", ("groups",)),
        (_elements_named(plan), elements, "part, wire, hole or mount", "name one that the plan has", _ELEMENTS),
        (_steps_named(plan), steps, "step", "name a step, or write what it does", ("steps",)),
    ]
    # A plan that lists no zones or holes may still say where its parts stand and which way its cables pass a panel.
    if zones:
        asked.append((_zones_named(plan), zones, "zone", "list it under `zones:`", ("zones",)))
    if plan.holes:
        asked.append((_holes_named(plan), holes, "hole", "describe it under `holes:`", ("holes",)))
    return [
        _no_such(name, path, known, what, write)
        for named, known, what, write, places in asked
        for name, path in named
        if isinstance(name, str) and name not in known and not (spoiled.hides(name, *places) and _is_far(name, known))
    ]


Named = Iterable[tuple[Any, Path]]


def places_of(plan: Plan, name: str) -> list[Path]:
    """Return where lists of a plan name one of its elements, each as the place of an item."""
    return [path for one, path in _elements_named(plan) if one == name]


def _is_far(name: str, known: set[str]) -> bool:
    """Say whether a name is no slip of a known one, and so may well be that of something taken out."""
    return did_you_mean(name, known) is None


def _no_such(name: str, path: Path, known: set[str], what: str, write: str) -> Fault:
    near = did_you_mean(name, known - {str(step) for step in path[1:2]})
    some = ", ".join(sorted(known)[:8])
    return Fault(
        path=path,
        message=f"found `{name}`, but the plan has no {what} of this name; expected one of {some}"
        if known
        else f"found `{name}`, but the plan has no {what}",
        remedy=f"did you mean `{near}`?" if near else f"{write}, or take the name out",
    )


def _zones_named(plan: Plan) -> Iterator[tuple[Any, Path]]:
    yield from ((node.zone, (*node.path, "zone")) for node in plan.nodes)
    yield from ((part.zone, (*part.path, "zone")) for wire in plan.wires for part in wire.route)
    for zone in plan.zones:
        yield from _each(zone.open_to, (*zone.path, "open_to"))
    yield from ((mount.zone, (*mount.path, "zone")) for mount in plan.mounts or ())


def _groups_named(data: dict[str, Any]) -> Iterator[tuple[Any, Path]]:
    for name, wire in (data.get("wires") or {}).items():
        if groups := wire.get("group"):
            yield from _each((groups,) if isinstance(groups, str) else tuple(groups), ("wires", name, "group"))


def _holes_named(plan: Plan) -> Named:
    return ((part.through, (*part.path, "through")) for wire in plan.wires for part in wire.route)


# The fields of parts that name another part.
_NAMING = ("resistance_to", "tied_to")


def _elements_named(plan: Plan) -> Iterator[tuple[Any, Path]]:
    for wire in plan.wires:
        for part in wire.route:
            yield from _each(part.beside, (*part.path, "beside"))
    for node in plan.nodes:
        if lugs := getattr(node, "lugs", ()):
            yield from _each(lugs, (*node.path, "lugs"))
        for key in _NAMING:
            if (name := getattr(node, key, None)) is not None:
                yield name, (*node.path, key)
        if node.kind == "speaker":
            yield getattr(node, "enclosure", None), (*node.path, "enclosure")
    for key, section in (
        *(("serves", plan.holes), ("holds", plan.mounts), ("of", plan.steps)),
        *(("of", plan.tests), ("serves", plan.parts), ("of", plan.photos)),
    ):
        for one in section or ():
            yield from _each(getattr(one, key), (*one.path, key))


def _steps_named(plan: Plan) -> Iterator[tuple[Any, Path]]:
    for step in plan.steps or ():
        yield from _each(step.after, (*step.path, "after"))
    for node in plan.nodes:
        yield getattr(node, "precharge", None) if node.kind == "capacitor" else None, (*node.path, "precharge")


def _each(names: tuple[str, ...], path: Path) -> Iterator[tuple[Any, Path]]:
    # One name may stand without the list around it: its place is then the field's.
    yield from ((name, (*path, index)) for index, name in enumerate(names))
