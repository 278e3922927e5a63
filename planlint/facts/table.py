"""The facts that rules may name, by the kind of subject they are asked about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from planlint.facts import (
    about_signals,
    body,
    breaking,
    burden,
    channel,
    charging,
    device,
    opening,
    papers,
    parked,
    parts,
    plain,
    speaker_load,
    standing,
    surroundings,
    user,
)
from planlint.facts.about_nodes import NODE_FACTS, USER_FACTS
from planlint.facts.about_wires import WIRE_FACTS
from planlint.facts.ask import facts_of
from planlint.facts.case import Case, Fact, Yields
from planlint.facts.fields import field_facts
from planlint.frozen import frozen
from planlint.plan.model import About, Acceptance
from planlint.plan.quantity import Dimension
from planlint.plan.vehicle import Vehicle
from planlint.plan.work import Hole, Mount

DEVICE_FACTS = device.device_fields() | facts_of(
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
        device.drawing: Yields.ELEMENT,
        device.family_largest: Dimension.CURRENT,
        device.sufficient_fuse: Dimension.CURRENT,
        device.largest_fuse: Dimension.CURRENT,
        device.thinnest_cable: Dimension.AREA,
        device.thickest_cable: Dimension.AREA,
        breaking.breaking_current: Dimension.CURRENT,
        breaking.breaking_bound: Dimension.CURRENT,
        breaking.breaking_limit: Dimension.CURRENT,
        opening.soft_short_cleared: Yields.FLAG,
        opening.soft_wire: Yields.ELEMENT,
        opening.soft_current: Dimension.CURRENT,
        opening.soft_opening: Yields.WORD,
        opening.soft_withstanding: Yields.WORD,
        standing.first_behind_source: Yields.FLAG,
        standing.upstream_rating: Dimension.CURRENT,
        standing.fuses_before: Yields.ELEMENT,
        standing.parallel_fuses: Yields.ELEMENT,
        standing.cable_between: Dimension.LENGTH,
        surroundings.ambient: Dimension.TEMPERATURE,
        surroundings.among_gas: Yields.FLAG,
        surroundings.feeds_loads: Yields.FLAG,
        surroundings.unattended_loads: Yields.ELEMENT,
    },
)

CHANNEL_FACTS = channel.channel_fields() | facts_of(
    {
        speaker_load.wired: Yields.FLAG,
        speaker_load.bridges: Yields.FLAG,
        speaker_load.other_outputs: Yields.WORD,
        speaker_load.load_seen: Dimension.RESISTANCE,
        speaker_load.half_load: Dimension.RESISTANCE,
        speaker_load.lowest_across: Dimension.RESISTANCE,
        speaker_load.may_bridge: Yields.FLAG,
        speaker_load.drivers: Yields.ELEMENT,
        speaker_load.direct_drivers: Yields.ELEMENT,
        speaker_load.driver_count: Yields.COUNT,
        speaker_load.loading_drivers: Yields.ELEMENT,
        speaker_load.other_parts: Yields.ELEMENT,
        speaker_load.unlike: Yields.WORD,
        speaker_load.told_with: Yields.WORD,
    },
)

PLAN_FACTS = field_facts([About]) | facts_of(
    {
        device.scope: Yields.WORD,
        papers.consents: Yields.ELEMENT,
        papers.consent: Yields.WORD,
        parts.parts_missing: Yields.WORD,
        parts.fuse_parts: Yields.ELEMENT,
        parts.cable_parts: Yields.ELEMENT,
        parts.ring_parts: Yields.ELEMENT,
        parts.grommet_parts: Yields.ELEMENT,
        parts.fastener_parts: Yields.ELEMENT,
        parts.spares_missing: Yields.WORD,
    },
)

TEXT_FACTS = facts_of({papers.section: Yields.WORD, papers.vague_words: Yields.WORD})

ACCEPTANCE_FACTS = field_facts([Acceptance]) | facts_of(
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

VEHICLE_FACTS = field_facts([Vehicle]) | facts_of(
    {
        device.scope: Yields.WORD,
        parked.added_parked_draw: Dimension.CURRENT,
        parked.kept_on_by: Yields.ELEMENT,
        parked.parked_draw: Dimension.CURRENT,
        charging.alternator_output: Dimension.CURRENT,
        charging.no_alternator: Yields.FLAG,
        charging.idle_output: Dimension.CURRENT,
        charging.charging_demand: Dimension.CURRENT,
        charging.idle_demand: Dimension.CURRENT,
        body.whole_job: Yields.FLAG,
        burden.added_draw: Dimension.CURRENT,
        burden.added_bound: Dimension.CURRENT,
        burden.strap_demand: Dimension.CURRENT,
        burden.strap_ampacity: Dimension.CURRENT,
        burden.straps: Yields.ELEMENT,
        burden.straps_missing: Yields.WORD,
    }
)


@frozen
class Subject:
    """A kind of subject: the facts asked about it, and how its elements are found in a case."""

    about: str
    facts: Mapping[str, Fact]
    elements: Callable[[Case], tuple[Any, ...]]


SUBJECTS: dict[str, Subject] = {
    "wire": Subject(about="wire", facts=WIRE_FACTS | about_signals.OF_WIRES, elements=lambda case: case.plan.wires),
    "user": Subject(about="user", facts=USER_FACTS | about_signals.OF_USERS, elements=user.users),
    "node": Subject(about="node", facts=NODE_FACTS | about_signals.OF_NODES, elements=lambda case: case.plan.nodes),
    "device": Subject(about="device", facts=DEVICE_FACTS, elements=device.devices),
    "channel": Subject(about="channel", facts=CHANNEL_FACTS, elements=channel.channels),
    "plan": Subject(about="plan", facts=PLAN_FACTS, elements=lambda case: (case.plan.about,)),
    "vehicle": Subject(
        about="vehicle", facts=VEHICLE_FACTS | about_signals.OF_THE_VEHICLE, elements=lambda case: (case.plan.vehicle,)
    ),
    "hole": Subject(about="hole", facts=field_facts([Hole]), elements=lambda case: case.plan.holes or ()),
    "mount": Subject(about="mount", facts=field_facts([Mount]), elements=lambda case: case.plan.mounts or ()),
    "text": Subject(about="text", facts=TEXT_FACTS, elements=papers.texts),
    "acceptance": Subject(about="acceptance", facts=ACCEPTANCE_FACTS, elements=lambda case: case.plan.accepted),
}


def answer(case: Case, about: str, name: str, element: Any, *, low: bool = False) -> Any:
    """Return the answer to a fact for an element; `low` takes the lower end of a range.

    Raises UnknownError and UnfitError as the fact does.
    """
    fact = SUBJECTS[about].facts[name]
    return (fact.low or fact.ask)(case, element) if low else fact.ask(case, element)


# The place of an element in the plan, or of one of its fields.
place_of = device.place_of
