"""Builds the typed Plan from shape-checked data and lists what in it cannot be understood."""

from __future__ import annotations

from typing import Any

from planlint.frozen import frozen
from planlint.plan.defaults import fill
from planlint.plan.kinds import KINDS, terminal_names, terminal_role
from planlint.plan.model import About, Acceptance, End, Plan, Segment, Termination, Wire
from planlint.plan.nodes import Node
from planlint.plan.references import NOTHING_SPOILED, Spoiled, unknown_names
from planlint.plan.runs import BlockOutput
from planlint.plan.values import Convert, Fault, Readers, items, named, read_fields, readers_of, record
from planlint.plan.vehicle import Customer, Vehicle, Zone
from planlint.plan.work import Check, Document, Hole, Mount, Part, Photo, Step
from planlint.text.places import Path
from planlint.text.problems import did_you_mean

Faults = list[Fault]

_NODES = tuple(kind.node for kind in KINDS.values())
_READERS: dict[type, Readers] = {cls: readers_of(cls) for cls in (About, Vehicle, Zone, Wire, Acceptance, *_NODES)}
_CUSTOMER = record(Customer)
_SECTIONS: dict[str, Convert] = {
    "holes": named(record(Hole)),
    "mounts": named(record(Mount)),
    "steps": items(record(Step)),
    "tests": items(record(Check)),
    "parts": items(record(Part)),
    "documents": items(record(Document)),
    "photos": items(record(Photo)),
}
_READERS_SHARED: dict[str, Readers] = {
    "wire": readers_of(Wire),
    "end": readers_of(Termination),
    "segment": readers_of(Segment),
    "hole": readers_of(Hole),
    "mount": readers_of(Mount),
    "step": readers_of(Step),
    "test": readers_of(Check),
    "part": readers_of(Part),
    "block-output": readers_of(BlockOutput),
}


@frozen
class Building:
    """What came of the data: the plan (sound only without faults), and the faults found."""

    plan: Plan
    faults: tuple[Fault, ...]


def build(data: dict[str, Any], spoiled: Spoiled = NOTHING_SPOILED) -> Building:
    """Return the Plan of data that fits the plan schema, with all faults of its values and references.

    `spoiled` names what was taken out of the data since it does not fit the schema: that it is missing is no fault.
    """
    faults: Faults = []
    filled = fill(data)
    data = filled.data
    vehicle = data.get("vehicle") or {}
    nodes = tuple(_node(name, item, faults) for name, item in (data.get("nodes") or {}).items())
    by_name = {node.name: node for node in nodes}
    plan = Plan(
        title=data.get("title", ""),
        scope=data.get("scope", "whole"),
        about=About(**read_fields(data, (), faults, _READERS[About])),
        vehicle=Vehicle(path=("vehicle",), **read_fields(vehicle, ("vehicle",), faults, _READERS[Vehicle])),
        customer=_CUSTOMER(data["customer"], ("customer",), faults) if data.get("customer") else None,
        zones=tuple(_zone(item, index, faults) for index, item in enumerate(data.get("zones") or ()) if item),
        nodes=nodes,
        wires=tuple(_wire(name, item, by_name, spoiled, faults) for name, item in (data.get("wires") or {}).items()),
        accepted=tuple(
            _acceptance(item, index, faults) for index, item in enumerate(data.get("accepted") or ()) if item
        ),
        **{name: _section(data.get(name), name, faults) for name in _SECTIONS},
        origins=filled.origins,
    )
    own = [fault for fault in faults if not _taken_over(fault.path, plan)]
    own += [*_shared_faults(data), *unknown_names(data, plan, spoiled), *_same_zone_twice(plan.zones)]
    return Building(plan=plan, faults=tuple(own))


def _taken_over(path: Path, plan: Plan) -> bool:
    """Say whether a value stands elsewhere: what is wrong with it is told there, once."""
    return bool(plan.origins) and any(path[:length] in plan.origins for length in range(1, len(path) + 1))


def _shared_faults(data: dict[str, Any]) -> Faults:
    """Return the faults of the values that elements may take over."""
    faults: Faults = []
    for key, fields in (data.get("defaults") or {}).items():
        readers = _READERS[KINDS[key].node] if key in KINDS else _READERS_SHARED[key]
        read_fields(fields or {}, ("defaults", key), faults, readers)
    for name, fields in (data.get("groups") or {}).items():
        read_fields(fields or {}, ("groups", name), faults, _READERS[Wire])
    for index, zone in enumerate(data.get("zones") or ()):
        read_fields((zone or {}).get("segment") or {}, ("zones", index, "segment"), faults, _READERS_SHARED["segment"])
    return faults


def _section(value: Any, name: str, faults: Faults) -> Any:
    """Return the elements of a section of the work: None where it is missing, none where the plan says `none`."""
    if value is None or isinstance(value, str):
        return None if value is None else ()
    return _SECTIONS[name](value, (name,), faults)


def _zone(item: dict[str, Any], index: int, faults: Faults) -> Zone:
    path = ("zones", index)
    fields = read_fields(item, path, faults, _READERS[Zone])
    return Zone(path=path, name=item["name"], kind=item.get("kind", item["name"]), **fields)


def _node(name: str, item: dict[str, Any], faults: Faults) -> Node:
    path = ("nodes", name)
    cls = KINDS[item["kind"]].node
    return cls(path=path, name=name, kind=item["kind"], **read_fields(item, path, faults, _READERS[cls]))


def _wire(name: str, item: dict[str, Any], nodes: dict[str, Node], spoiled: Spoiled, faults: Faults) -> Wire:
    path = ("wires", name)
    return Wire(
        path=path,
        name=name,
        from_=_end(item["from"], (*path, "from"), nodes, spoiled, faults),
        to=_end(item["to"], (*path, "to"), nodes, spoiled, faults),
        **read_fields(item, path, faults, _READERS[Wire]),
    )


def _end(text: str, path: Path, nodes: dict[str, Node], spoiled: Spoiled, faults: Faults) -> End:
    """Return the terminal that `node.terminal` names; the terminal may be left out where the kind has one."""
    name, _, terminal = text.partition(".")
    node = nodes.get(name)
    if node is None or name in spoiled.names:
        if not spoiled.hides(name, "nodes"):
            faults.append(_no_such_node(text, name, path, nodes))
        return End(path=path, node=name, terminal=terminal)
    if not terminal:
        terminal = KINDS[node.kind].only_terminal or ""
    if not terminal or terminal_role(node, terminal) is None:
        faults.append(_no_such_terminal(text, terminal, path, node))
    return End(path=path, node=name, terminal=terminal)


def _no_such_node(text: str, name: str, path: Path, nodes: dict[str, Node]) -> Fault:
    near = did_you_mean(name, nodes)
    known = ", ".join(list(nodes)[:8])
    write = "name a node under `nodes:` and one of its terminals, as in `battery.positive`"
    return Fault(
        path=path,
        rule="endpoint-unknown",
        message=f"found `{text}`, but the plan has no node `{name}`; expected one of its nodes ({known})",
        remedy=f"did you mean `{near}`?" if near else write,
    )


def _no_such_terminal(text: str, terminal: str, path: Path, node: Node) -> Fault:
    names = terminal_names(node)
    found = f"`{text}` without a terminal"
    if terminal:
        found = f"`{text}`, but `{node.name}` ({node.kind}) has no terminal `{terminal}`"
    return Fault(
        path=path,
        rule="endpoint-unknown",
        message=f"found {found}; expected one of {', '.join(names)}" if names else f"found {found}; it has none at all",
        remedy=_terminals_meant(terminal, names, node.name),
    )


def _terminals_meant(terminal: str, names: tuple[str, ...], node: str) -> str:
    """Say which terminals may be meant; where none is near, guess none: a wrong hint makes a wrong wire."""
    if not names:
        return "let the wire end at another part"
    if not terminal:
        return f"write it as in `{node}.{names[0].replace('*', '1')}`"
    akin = [name for name in names if (terminal in name or name.rstrip("*").rstrip("-") in terminal)]
    near = did_you_mean(terminal, names) if not akin else None
    meant = akin or ([near] if near else [])
    shown = " or ".join(f"`{node}.{name.replace('*', '1')}`" for name in meant)
    return f"did you mean {shown}?" if shown else f"write `{node}.` and one of these terminals"


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
