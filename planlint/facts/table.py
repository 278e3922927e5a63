"""The facts that rules may name, by the kind of subject they are asked about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from planlint.facts import (
    block,
    body,
    breaking,
    cable,
    clad,
    device,
    ground,
    leads,
    linked,
    loss,
    node,
    opening,
    papers,
    parts,
    plain,
    protection,
    source,
    standing,
    user,
    wire,
)
from planlint.facts.case import Case, Fact, Yields
from planlint.facts.fields import field_facts
from planlint.frozen import frozen
from planlint.plan.kinds import KINDS
from planlint.plan.model import About, Acceptance, Wire
from planlint.plan.quantity import Dimension
from planlint.plan.vehicle import Vehicle
from planlint.plan.work import Hole, Mount


def _facts(entries: Mapping[Callable[[Case, Any], Any], Dimension | Yields]) -> dict[str, Fact]:
    drawn = (wire.circuit, plain.kind, plain.factory, device.scope)
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
        leads.to_body: Yields.FLAG,
        leads.chained_through: Yields.ELEMENT,
        leads.return_beside: Yields.WORD,
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
        clad.stated_as_clad: Yields.FLAG,
        clad.users_served: Yields.ELEMENT,
        clad.served_supply_drop: Dimension.VOLTAGE,
        clad.served_total_drop: Dimension.VOLTAGE,
        clad.served_return_drop: Dimension.VOLTAGE,
        clad.copper_return_drop: Dimension.VOLTAGE,
        clad.copper_supply_drop: Dimension.VOLTAGE,
        clad.copper_total_drop: Dimension.VOLTAGE,
        clad.copper_ampacity: Dimension.CURRENT,
        clad.copper_fuse_limit: Dimension.CURRENT,
        clad.gauge_in_its_metal: Dimension.AREA,
        cable.other_reading: Dimension.AREA,
        cable.contradiction: Yields.WORD,
        cable.stated_insulation: Dimension.TEMPERATURE,
        cable.harsh_zone: Yields.WORD,
        cable.exhaust_distance: Dimension.LENGTH,
        cable.run_beside: Yields.ELEMENT,
        cable.runs_together: Yields.WORD,
        cable.run_difference: Dimension.RATIO,
        cable.starts_at: Yields.WORD,
        cable.ends_at: Yields.WORD,
        cable.port_limit: Dimension.AREA,
        cable.tight_port: Yields.ELEMENT,
        cable.ready_made: Yields.FLAG,
        cable.spare_per_end: Dimension.LENGTH,
        cable.cut_needed: Dimension.LENGTH,
        cable.bolted_on: Yields.FLAG,
        cable.vehicle_class: Yields.WORD,
        cable.bare_run: Dimension.LENGTH,
        device.scope: Yields.WORD,
        standing.return_fuses: Yields.ELEMENT,
        opening.fault_current: Dimension.CURRENT,
        opening.fault_fuse: Yields.ELEMENT,
        opening.fault_rating: Dimension.CURRENT,
        opening.fault_source: Yields.ELEMENT,
        opening.narrowest: Yields.ELEMENT,
        opening.opens_in_time: Yields.FLAG,
        opening.worst_current: Dimension.CURRENT,
        opening.late_fuse: Yields.ELEMENT,
        opening.opening: Yields.WORD,
        opening.withstanding: Yields.WORD,
        opening.band_origin: Yields.WORD,
        linked.ground_difference: Dimension.VOLTAGE,
        linked.balanced_input: Yields.FLAG,
        linked.receiver_ground: Yields.ELEMENT,
        linked.linked_grounds: Yields.ELEMENT,
        block.port: Yields.WORD,
        block.port_wires: Yields.COUNT,
        block.port_smallest: Dimension.AREA,
        block.port_largest: Dimension.AREA,
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
        body.ground_points: Yields.ELEMENT,
        body.return_wires: Yields.ELEMENT,
        body.measured_return_drop: Dimension.VOLTAGE,
        standing.inflow: Dimension.CURRENT,
        standing.feeding_fuses: Yields.ELEMENT,
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
        loss.cable_loss: Dimension.RATIO,
        loss.speaker_wires: Yields.ELEMENT,
        leads.added_wires: Yields.ELEMENT,
        leads.ground_leads: Yields.ELEMENT,
        leads.lug_count: Yields.COUNT,
        leads.ground_current: Dimension.CURRENT,
        leads.stacked_wires: Yields.ELEMENT,
        leads.stacked_current: Dimension.CURRENT,
        leads.thickest_cable: Dimension.AREA,
        leads.cabled_home: Yields.FLAG,
        leads.far_end: Yields.WORD,
        body.thread: Dimension.LENGTH,
        body.cuts_own_thread: Yields.FLAG,
        body.keeps_tight: Yields.FLAG,
        body.bolt_also_holds: Yields.WORD,
        body.zone_kind: Yields.WORD,
        body.vehicle: Yields.ELEMENT,
        body.vehicle_body: Yields.WORD,
        body.body_resistance: Dimension.RESISTANCE,
        body.whole_job: Yields.FLAG,
        body.bonded: Yields.FLAG,
        body.ground_prep: Yields.FLAG,
        body.resistance_measured: Yields.FLAG,
        body.ground_test_count: Yields.COUNT,
        body.ground_tests: Yields.ELEMENT,
        device.scope: Yields.WORD,
        block.current: Dimension.CURRENT,
        block.live: Yields.FLAG,
        block.holds_fuses: Yields.FLAG,
        block.held_by: Yields.ELEMENT,
        block.screws: Yields.COUNT,
    },
)

DEVICE_FACTS = device.device_fields() | _facts(
    {
        plain.kind: Yields.WORD,
        plain.factory: Yields.FLAG,
        device.scope: Yields.WORD,
        device.zone_kind: Yields.WORD,
        device.water_protection: Yields.COUNT,
        device.system: Dimension.VOLTAGE,
        device.circuit: Yields.WORD,
        device.current: Dimension.CURRENT,
        device.served: Yields.ELEMENT,
        device.served_count: Yields.COUNT,
        device.sufficient_fuse: Dimension.CURRENT,
        device.largest_fuse: Dimension.CURRENT,
        device.thinnest_cable: Dimension.AREA,
        device.thickest_cable: Dimension.AREA,
        breaking.breaking_current: Dimension.CURRENT,
        breaking.breaking_limit: Dimension.CURRENT,
        opening.soft_short_cleared: Yields.FLAG,
        opening.soft_wire: Yields.ELEMENT,
        opening.soft_current: Dimension.CURRENT,
        opening.soft_opening: Yields.WORD,
        opening.soft_withstanding: Yields.WORD,
        standing.first_behind_source: Yields.FLAG,
        standing.upstream_rating: Dimension.CURRENT,
        standing.parallel_fuses: Yields.ELEMENT,
        standing.cable_between: Dimension.LENGTH,
    },
)

PLAN_FACTS = field_facts([About]) | _facts(
    {
        device.scope: Yields.WORD,
        papers.consents: Yields.ELEMENT,
        papers.consent: Yields.WORD,
        parts.parts_missing: Yields.WORD,
        parts.fuse_parts: Yields.ELEMENT,
        parts.cable_parts: Yields.ELEMENT,
        parts.ring_parts: Yields.ELEMENT,
    },
)

TEXT_FACTS = _facts({papers.section: Yields.WORD, papers.vague_words: Yields.WORD})

ACCEPTANCE_FACTS = field_facts([Acceptance]) | _facts(
    {
        papers.accepted_rule: Yields.WORD,
        papers.omission: Yields.WORD,
        papers.can_be_accepted: Yields.FLAG,
        papers.rule_known: Yields.FLAG,
        papers.subject_known: Yields.FLAG,
        papers.still_found: Yields.FLAG,
        papers.expired: Yields.FLAG,
    },
)

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
    "device": Subject(about="device", facts=DEVICE_FACTS, elements=device.devices),
    "plan": Subject(about="plan", facts=PLAN_FACTS, elements=lambda case: (case.plan.about,)),
    "vehicle": Subject(about="vehicle", facts=VEHICLE_FACTS, elements=lambda case: (case.plan.vehicle,)),
    "hole": Subject(about="hole", facts=field_facts([Hole]), elements=lambda case: case.plan.holes or ()),
    "mount": Subject(about="mount", facts=field_facts([Mount]), elements=lambda case: case.plan.mounts or ()),
    "text": Subject(about="text", facts=TEXT_FACTS, elements=papers.texts),
    "acceptance": Subject(about="acceptance", facts=ACCEPTANCE_FACTS, elements=lambda case: case.plan.accepted),
}


def answer(case: Case, about: str, name: str, element: Any) -> Any:
    """Return the answer to a fact for an element. Raises UnknownError and UnfitError as the fact does."""
    return SUBJECTS[about].facts[name].ask(case, element)


# The place of an element in the plan, or of one of its fields.
place_of = device.place_of
