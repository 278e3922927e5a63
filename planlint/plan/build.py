"""Builds the typed Plan from shape-checked data and lists what in it cannot be understood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from planlint.plan.kinds import KINDS, terminal_names, terminal_role
from planlint.plan.model import Acceptance, End, Plan, Segment, Vehicle, Wire, Zone
from planlint.plan.nodes import Node
from planlint.plan.values import Fault, Readers, read_fields, readers_of
from planlint.text.problems import did_you_mean

Faults = list[Fault]

_NODES = tuple(kind.node for kind in KINDS.values())
_READERS: dict[type, Readers] = {cls: readers_of(cls) for cls in (Vehicle, Zone, Segment, Wire, Acceptance, *_NODES)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Building:
    """What came of the data: the plan (sound only without faults), and the faults found."""

    plan: Plan
    faults: tuple[Fault, ...]


def build(data: dict[str, Any]) -> Building:
    """Return the Plan of data that fits the plan schema, with all faults of its values and references."""
    faults: Faults = []
    vehicle = data.get("vehicle") or {}
    zones = tuple(_zone(item, index, faults) for index, item in enumerate(data.get("zones") or ()))
    nodes = tuple(_node(name, item, faults) for name, item in (data.get("nodes") or {}).items())
    by_name = {node.name: node for node in nodes}
    wires = tuple(_wire(name, item, by_name, faults) for name, item in (data.get("wires") or {}).items())
    plan = Plan(
        title=data.get("title", ""),
        scope=data.get("scope", "whole"),
        vehicle=Vehicle(path=("vehicle",), **read_fields(vehicle, ("vehicle",), faults, _READERS[Vehicle])),
        zones=zones,
        nodes=nodes,
        wires=wires,
        accepted=tuple(_acceptance(item, index, faults) for index, item in enumerate(data.get("accepted") or ())),
    )
    faults.extend(_unknown_zones(plan))
    faults.extend(_same_zone_twice(zones))
    return Building(plan=plan, faults=tuple(faults))


def _zone(item: dict[str, Any], index: int, faults: Faults) -> Zone:
    path = ("zones", index)
    fields = read_fields(item, path, faults, _READERS[Zone])
    return Zone(path=path, name=item["name"], kind=item.get("kind", item["name"]), **fields)


def _node(name: str, item: dict[str, Any], faults: Faults) -> Node:
    path = ("nodes", name)
    cls = KINDS[item["kind"]].node
    return cls(path=path, name=name, kind=item["kind"], **read_fields(item, path, faults, _READERS[cls]))


def _wire(name: str, item: dict[str, Any], nodes: dict[str, Node], faults: Faults) -> Wire:
    path = ("wires", name)
    route = item.get("route")
    segments: tuple[Segment, ...] = ()
    if isinstance(route, list):
        readers = _READERS[Segment]
        segments = tuple(
            Segment(path=(*path, "route", index), **read_fields(part, (*path, "route", index), faults, readers))
            for index, part in enumerate(route)
        )
    return Wire(
        path=path,
        name=name,
        from_=_end(item["from"], (*path, "from"), nodes, faults),
        to=_end(item["to"], (*path, "to"), nodes, faults),
        route=segments,
        **read_fields(item, path, faults, _READERS[Wire]),
    )


def _end(text: str, path: tuple[str | int, ...], nodes: dict[str, Node], faults: Faults) -> End:
    """Return the terminal that `node.terminal` names; the terminal may be left out where the kind has one."""
    name, _, terminal = text.partition(".")
    node = nodes.get(name)
    if node is None:
        faults.append(_no_such_node(text, name, path, nodes))
        return End(path=path, node=name, terminal=terminal)
    if not terminal:
        terminal = KINDS[node.kind].only_terminal or ""
    if not terminal or terminal_role(node, terminal) is None:
        faults.append(_no_such_terminal(text, terminal, path, node))
    return End(path=path, node=name, terminal=terminal)


def _no_such_node(text: str, name: str, path: tuple[str | int, ...], nodes: dict[str, Node]) -> Fault:
    near = did_you_mean(name, nodes)
    known = ", ".join(list(nodes)[:8])
    write = "name a node under `nodes:` and one of its terminals, as in `battery.positive`"
    return Fault(
        path=path,
        rule="endpoint-unknown",
        message=f"found `{text}`, but the plan has no node `{name}`; expected one of its nodes ({known})",
        remedy=f"did you mean `{near}`?" if near else write,
    )


def _no_such_terminal(text: str, terminal: str, path: tuple[str | int, ...], node: Node) -> Fault:
    names = terminal_names(node)
    near = did_you_mean(terminal, names) if terminal else None
    found = f"`{text}` without a terminal"
    if terminal:
        found = f"`{text}`, but `{node.name}` ({node.kind}) has no terminal `{terminal}`"
    return Fault(
        path=path,
        rule="endpoint-unknown",
        message=f"found {found}; expected one of {', '.join(names)}",
        remedy=f"write it as in `{node.name}.{near or names[0].replace('*', '1')}`",
    )


def _unknown_zones(plan: Plan) -> list[Fault]:
    """Return a fault for each zone named and not listed; in a plan without `zones:` any name will do."""
    known = {zone.name for zone in plan.zones}
    if not known:
        return []
    users = [(node.zone, (*node.path, "zone")) for node in plan.nodes]
    users += [(part.zone, (*part.path, "zone")) for wire in plan.wires for part in wire.route]
    return [_no_such_zone(zone, path, known) for zone, path in users if isinstance(zone, str) and zone not in known]


def _no_such_zone(zone: str, path: tuple[str | int, ...], known: set[str]) -> Fault:
    near = did_you_mean(zone, known)
    return Fault(
        path=path,
        message=f"found the zone `{zone}`; expected one of the plan's zones ({', '.join(sorted(known))})",
        remedy=f"did you mean `{near}`?" if near else f"list it under `zones:`, as in `- {{name: {zone}}}`",
    )


def _same_zone_twice(zones: tuple[Zone, ...]) -> list[Fault]:
    seen: set[str] = set()
    faults = []
    for zone in zones:
        if zone.name in seen:
            faults.append(
                Fault(
                    path=(*zone.path, "name"),
                    rule="id-duplicate",
                    message=f"found a second zone named `{zone.name}`; expected each zone once",
                    remedy="rename or remove one, as in `- {name: cargo}`",
                )
            )
        seen.add(zone.name)
    return faults


def _acceptance(item: dict[str, Any], index: int, faults: Faults) -> Acceptance:
    path = ("accepted", index)
    fields = read_fields(item, path, faults, _READERS[Acceptance])
    return Acceptance(path=path, rule=item["rule"], subject=item["subject"], **fields)
