"""The facts that rules may name, by the kind of subject they are asked about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from planlint.facts import ground, node, plain, protection, source, user, wire
from planlint.facts.case import Case, Fact, Yields
from planlint.facts.fields import field_facts
from planlint.frozen import frozen
from planlint.plan.kinds import KINDS
from planlint.plan.model import About, Acceptance, Wire
from planlint.plan.quantity import Dimension
from planlint.plan.vehicle import Vehicle
from planlint.plan.work import Hole, Mount


def _facts(entries: Mapping[Callable[[Case, Any], Any], Dimension | Yields]) -> dict[str, Fact]:
    drawn = (wire.circuit, plain.kind, plain.factory)
    return {
        ask.__name__: Fact(name=ask.__name__, ask=ask, yields=yields, drawn=ask in drawn)
        for ask, yields in entries.items()
    }


WIRE_FACTS = field_facts([Wire]) | _facts(
    {
        wire.circuit: Yields.WORD,
        plain.factory: Yields.FLAG,
        plain.gauge: Dimension.AREA,
        plain.length: Dimension.LENGTH,
        plain.material: Yields.WORD,
        wire.reckoned_material: Yields.WORD,
        wire.insulation: Dimension.TEMPERATURE,
        wire.ambient: Dimension.TEMPERATURE,
        wire.ampacity: Dimension.CURRENT,
        wire.fuse_limit: Dimension.CURRENT,
        wire.largest_fuse: Dimension.CURRENT,
        wire.current: Dimension.CURRENT,
        protection.protecting_rating: Dimension.CURRENT,
        protection.protecting_fuses: Yields.ELEMENT,
        protection.steps_down: Yields.FLAG,
        protection.fed_by: Yields.ELEMENT,
        protection.has_own_fuse: Yields.FLAG,
        protection.own_fuse_reach: Dimension.LENGTH,
        protection.tapped_from: Yields.ELEMENT,
        protection.taps_for_capacitor: Yields.FLAG,
        protection.upstream_rating: Dimension.CURRENT,
        wire.block_output: Yields.ELEMENT,
        wire.larger_user: Yields.ELEMENT,
        ground.grounded_user: Yields.ELEMENT,
        ground.power_beside: Yields.WORD,
        wire.to_node: Yields.ELEMENT,
        wire.to_kind: Yields.WORD,
        ground.return_for: Yields.ELEMENT,
        ground.supply_wires: Yields.ELEMENT,
        ground.return_gauge: Dimension.AREA,
        ground.sole_return: Yields.FLAG,
        ground.mirrors_supply: Yields.FLAG,
        protection.limited_by: Yields.WORD,
        ground.supply_gauge: Dimension.AREA,
        source.before_any_fuse: Yields.FLAG,
        source.leaves_source: Yields.FLAG,
        source.source: Yields.ELEMENT,
        source.unfused_reach: Dimension.LENGTH,
        source.first_fuse: Yields.ELEMENT,
        source.run_to_block: Dimension.LENGTH,
        source.unfused_end: Yields.ELEMENT,
        source.sheathed: Yields.FLAG,
        source.fuses_on_run: Yields.COUNT,
        source.other_source: Yields.ELEMENT,
        source.shorts_to_negative: Yields.FLAG,
        source.joins: Yields.WORD,
    },
)

USER_FACTS = field_facts(kind.node for kind in KINDS.values()) | _facts(
    {
        plain.kind: Yields.WORD,
        plain.factory: Yields.FLAG,
        user.current: Dimension.CURRENT,
        user.supply_drop: Dimension.VOLTAGE,
        user.return_drop: Dimension.VOLTAGE,
        user.total_drop: Dimension.VOLTAGE,
        user.has_return: Yields.FLAG,
        user.supply_wires: Yields.ELEMENT,
        user.ground_wires: Yields.ELEMENT,
    },
)

NODE_FACTS = field_facts(kind.node for kind in KINDS.values()) | _facts(
    {
        plain.kind: Yields.WORD,
        plain.factory: Yields.FLAG,
        node.open_terminals: Yields.WORD,
        node.wires: Yields.ELEMENT,
        node.fed: Yields.FLAG,
        node.wire_count: Yields.COUNT,
    },
)


PLAN_FACTS = field_facts([About]) | _facts({})

VEHICLE_FACTS = field_facts([Vehicle]) | _facts({})


@frozen
class Subject:
    """A kind of subject: the facts asked about it, and how its elements are found in a case."""

    about: str
    facts: Mapping[str, Fact]
    elements: Callable[[Case], tuple[Any, ...]]


SUBJECTS: dict[str, Subject] = {
    "wire": Subject(about="wire", facts=WIRE_FACTS, elements=lambda case: case.plan.wires),
    "user": Subject(about="user", facts=USER_FACTS, elements=user.users),
    "node": Subject(about="node", facts=NODE_FACTS, elements=lambda case: case.plan.nodes),
    "plan": Subject(about="plan", facts=PLAN_FACTS, elements=lambda case: (case.plan.about,)),
    "vehicle": Subject(about="vehicle", facts=VEHICLE_FACTS, elements=lambda case: (case.plan.vehicle,)),
    "hole": Subject(about="hole", facts=field_facts([Hole]), elements=lambda case: case.plan.holes or ()),
    "mount": Subject(about="mount", facts=field_facts([Mount]), elements=lambda case: case.plan.mounts or ()),
    "acceptance": Subject(
        about="acceptance", facts=field_facts([Acceptance]), elements=lambda case: case.plan.accepted
    ),
}


def answer(case: Case, about: str, name: str, element: Any) -> Any:
    """Return the answer to a fact for an element. Raises UnknownError and UnfitError as the fact does."""
    return SUBJECTS[about].facts[name].ask(case, element)
