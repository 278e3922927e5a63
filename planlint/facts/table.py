"""The facts that rules may name, by the kind of subject they are asked about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from planlint.facts import (
    about_signals,
    alternator,
    battery,
    block,
    body,
    breaking,
    burden,
    bus,
    capacitor,
    channel,
    charging,
    claims,
    collapse,
    cutoff,
    device,
    leads,
    loss,
    lugs,
    node,
    opening,
    papers,
    parked,
    parts,
    plain,
    relay,
    speaker,
    speaker_load,
    standing,
    surroundings,
    turn_off,
    turn_on,
    user,
)
from planlint.facts.about_wires import WIRE_FACTS
from planlint.facts.ask import facts_of
from planlint.facts.case import Case, Fact, Yields
from planlint.facts.fields import field_facts
from planlint.frozen import frozen
from planlint.plan.kinds import KINDS
from planlint.plan.model import About, Acceptance
from planlint.plan.quantity import Dimension
from planlint.plan.vehicle import Vehicle
from planlint.plan.work import Hole, Mount

USER_FACTS = field_facts(kind.node for kind in KINDS.values()) | facts_of(
    {
        plain.kind: Yields.WORD,
        plain.factory: Yields.FLAG,
        user.current: Dimension.CURRENT,
        user.supply_drop: Dimension.VOLTAGE,
        user.return_drop: Dimension.VOLTAGE,
        user.total_drop: Dimension.VOLTAGE,
        user.has_return: Yields.FLAG,
        user.ground_island: Yields.WORD,
        charging.lowest_in_crank: Dimension.VOLTAGE,
        charging.starts_by_itself: Yields.FLAG,
        bus.bus_voltage: Dimension.VOLTAGE,
        bus.charging_voltage: Dimension.VOLTAGE,
        bus.taps_half: Yields.FLAG,
        collapse.collapses: Yields.WORD,
        collapse.shut_off: Yields.WORD,
        collapse.falling: Yields.ELEMENT,
        user.feeding_battery: Yields.ELEMENT,
        user.supply_wires: Yields.ELEMENT,
        user.poorest_wire: Yields.ELEMENT,
        user.poorest_of_both: Yields.ELEMENT,
        user.ground_wires: Yields.ELEMENT,
        body.ground_points: Yields.ELEMENT,
        body.return_wires: Yields.ELEMENT,
        body.measured_return_drop: Dimension.VOLTAGE,
        standing.inflow: Dimension.CURRENT,
        standing.feeding_fuses: Yields.ELEMENT,
    },
)

NODE_FACTS = field_facts(kind.node for kind in KINDS.values()) | facts_of(
    {
        plain.kind: Yields.WORD,
        plain.factory: Yields.FLAG,
        node.open_terminals: Yields.WORD,
        charging.music_current: Dimension.CURRENT,
        charging.lasts: Dimension.TIME,
        charging.asked_engine_off: Dimension.TIME,
        charging.charged: Yields.FLAG,
        charging.parted: Yields.FLAG,
        charging.isolator_between: Yields.ELEMENT,
        charging.giver_chemistry: Yields.WORD,
        charging.alternator_control: Yields.WORD,
        battery.giver: Yields.ELEMENT,
        battery.giver_lithium: Yields.FLAG,
        battery.lithium: Yields.FLAG,
        battery.charge_offered: Dimension.CURRENT,
        battery.fuel_clear: Yields.FLAG,
        battery.weight: Dimension.FORCE,
        battery.held_with: Dimension.FORCE,
        battery.new_place: Yields.FLAG,
        battery.live_stud: Yields.FLAG,
        battery.live: Yields.FLAG,
        battery.covered: Yields.FLAG,
        burden.added_on_circuit: Dimension.CURRENT,
        burden.circuit_draw: Dimension.CURRENT,
        burden.circuit_fuse: Dimension.CURRENT,
        alternator.alternator_rating: Dimension.CURRENT,
        alternator.charge_cables: Yields.ELEMENT,
        alternator.charge_ampacity: Dimension.CURRENT,
        capacitor.precharged: Yields.FLAG,
        capacitor.discharged: Yields.FLAG,
        capacitor.tells_steps: Yields.FLAG,
        capacitor.repairs: Yields.FLAG,
        capacitor.cable_to_amp: Dimension.LENGTH,
        bus.nominal_system: Dimension.VOLTAGE,
        node.wires: Yields.ELEMENT,
        node.ungrounded_users: Yields.ELEMENT,
        node.fed: Yields.FLAG,
        node.wire_count: Yields.COUNT,
        loss.cable_loss: Dimension.RATIO,
        loss.speaker_wires: Yields.ELEMENT,
        speaker.driven: Yields.FLAG,
        speaker.driven_by: Yields.ELEMENT,
        speaker.driving_amps: Yields.ELEMENT,
        speaker.set_apart: Yields.FLAG,
        speaker.driver_power: Dimension.POWER,
        speaker.driver_rating: Dimension.POWER,
        speaker.coils_left_open: Yields.COUNT,
        speaker.wired_polarity: Yields.WORD,
        speaker.expected_polarity: Yields.WORD,
        speaker.fellow_drivers: Yields.ELEMENT,
        speaker.may_be_tweeter: Yields.FLAG,
        speaker.filter_locked: Yields.FLAG,
        speaker.filter_count: Yields.COUNT,
        speaker.speakers_on_output: Yields.COUNT,
        speaker.lowest_frequency: Dimension.FREQUENCY,
        speaker.has_low_pass: Yields.FLAG,
        speaker.highest_frequency: Dimension.FREQUENCY,
        speaker.box_tuning: Dimension.FREQUENCY,
        claims.stated_outputs: Yields.ELEMENT,
        claims.claimed_power: Dimension.POWER,
        claims.fused_power: Dimension.POWER,
        claims.loosely_rated: Yields.WORD,
        claims.expected_current: Dimension.CURRENT,
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
        turn_on.needs_turn_on: Yields.FLAG,
        turn_on.turn_on_sources: Yields.ELEMENT,
        turn_on.turns_on: Yields.ELEMENT,
        turn_on.permanently_on: Yields.ELEMENT,
        turn_on.left_on: Yields.WORD,
        turn_on.turn_on_load: Dimension.CURRENT,
        turn_on.turn_on_capacity: Dimension.CURRENT,
        turn_on.turn_on_volts: Dimension.VOLTAGE,
        turn_off.stays_on: Dimension.TIME,
        turn_off.wakes_by_itself: Yields.FLAG,
        turn_off.survives_start: Yields.FLAG,
        turn_off.sensed_volts: Dimension.VOLTAGE,
        turn_off.sensed_signal: Dimension.VOLTAGE,
        turn_off.sensed_outputs: Yields.ELEMENT,
        turn_on.turn_on_wires: Yields.ELEMENT,
        charging.starts_by_itself: Yields.FLAG,
        relay.coil_drivers: Yields.ELEMENT,
        relay.contact_current: Dimension.CURRENT,
        relay.switches_surge: Yields.FLAG,
        relay.feed_wires: Yields.ELEMENT,
        relay.feed_fused: Yields.FLAG,
        relay.feed_output: Yields.ELEMENT,
        relay.unfused_inflow: Dimension.CURRENT,
        block.holds_fuses: Yields.FLAG,
        surroundings.tells_what_it_touches: Yields.FLAG,
        surroundings.combustible: Yields.WORD,
        cutoff.cut_off: Yields.WORD,
        lugs.stacked_lugs: Yields.COUNT,
        lugs.lug_above: Yields.ELEMENT,
        lugs.lug_below: Yields.ELEMENT,
        lugs.topmost_lug: Yields.ELEMENT,
        lugs.lug_metal: Yields.WORD,
        lugs.unplated_lugs: Yields.ELEMENT,
        block.held_by: Yields.ELEMENT,
        block.screws: Yields.COUNT,
    },
)

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
        charging.idle_output: Dimension.CURRENT,
        charging.charging_demand: Dimension.CURRENT,
        charging.idle_demand: Dimension.CURRENT,
        body.whole_job: Yields.FLAG,
        burden.added_draw: Dimension.CURRENT,
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
