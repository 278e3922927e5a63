"""Plans written as short tables, and the answers planlint gives about them, for the tests of this room."""

from __future__ import annotations

from typing import Any

from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS, answer
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.build import build

Nodes = dict[str, str | dict[str, Any]]
UNFIT = "does not fit"


def case_of(nodes: Nodes, wires: list[str], also: dict[str, dict[str, Any]] | None = None, **top: Any) -> Case:
    """The case of a plan; a node is a kind or all its fields, a wire reads `name: from > to, gauge, length, field=value`.

    Wires are of copper with insulation for 105 C and lie in the cabin (30 C), as all nodes do, and the system is one of
    12 V, unless a field says otherwise; `also` are further fields by wire, `top` further parts of the plan.
    """
    data: dict[str, Any] = {"plan": 1, "nodes": {}, "wires": {}, **top}
    data["vehicle"] = {"system": "12 V", **top.get("vehicle", {})}
    for name, node in nodes.items():
        fields = {"kind": node} if isinstance(node, str) else node
        data["nodes"][name] = {"zone": "cabin", **fields}
    for line in wires:
        name, _, rest = line.partition(": ")
        ends, *makes = rest.split(", ")
        start, _, end = ends.partition(" > ")
        plain = dict(zip(("gauge", "length"), [make for make in makes if "=" not in make], strict=False))
        fields = {"material": "copper", "insulation": "105 C"}
        fields |= {key: value for key, _, value in (make.partition("=") for make in makes) if value}
        data["wires"][name] = {"from": start, "to": end, **plain, **fields, **(also or {}).get(name, {})}
    building = build(data)
    assert building.faults == (), building.faults
    return Case(building.plan)


def ask(case: Case, about: str, name: str, fact: str) -> Any:
    """The answer to a fact: a number, word or name; `? what is missing` where unknown; UNFIT where it has none."""
    element = next(one for one in SUBJECTS[about].elements(case) if one.name == name)
    try:
        found = answer(case, about, fact, element)
    except UnknownError as error:
        return f"? {error.needs}"
    except UnfitError:
        return UNFIT
    if isinstance(found, tuple):
        return tuple(one.name for one in found)
    return getattr(found, "name", found)
