"""The facts about signals that rules may name of a user, of a node, of the vehicle and of a wire."""

from __future__ import annotations

from planlint.facts import signal, signal_band, signal_bus, signal_ground, signal_join, signal_survey, signal_tap
from planlint.facts.ask import facts_of
from planlint.facts.case import Yields
from planlint.plan.quantity import Dimension

OF_USERS = facts_of({signal_ground.shield_return: Yields.ELEMENT})

OF_NODES = facts_of(
    {
        signal.input_level: Dimension.VOLTAGE,
        signal.weakest_level: Dimension.VOLTAGE,
        signal.signal_sources: Yields.ELEMENT,
        signal.loudest_source: Yields.ELEMENT,
        signal.weakest_source: Yields.ELEMENT,
        signal.overdrive: Yields.WORD,
        signal_band.fed_by_vehicle: Yields.FLAG,
        signal_band.bass_from: Dimension.FREQUENCY,
        signal_band.full_from: Dimension.FREQUENCY,
        signal_band.full_to: Dimension.FREQUENCY,
        signal_band.origin_nodes: Yields.ELEMENT,
        signal_band.origin_outputs: Yields.ELEMENT,
        signal_band.band_asked: Yields.WORD,
        signal_band.origin_count: Yields.COUNT,
        signal_band.parted_outputs: Yields.WORD,
        signal_band.way_parts: Yields.ELEMENT,
        signal_band.unsummed: Yields.WORD,
        signal_band.undelayed: Yields.WORD,
        signal_band.bass_follows_volume: Yields.FLAG,
        signal_tap.taps_speakers: Yields.FLAG,
        signal_tap.senses_load: Yields.FLAG,
        signal_tap.open_load: Dimension.RESISTANCE,
        signal_tap.open_outputs: Yields.WORD,
        signal_tap.tapped_outputs: Yields.ELEMENT,
        signal_tap.speakers_gone: Yields.FLAG,
        signal_tap.tap_nodes: Yields.ELEMENT,
        signal_tap.receivers: Yields.ELEMENT,
        signal_tap.chimes_cut: Yields.WORD,
        signal_tap.polarity_checked: Yields.FLAG,
        signal_join.joined_speaker_outputs: Yields.WORD,
        signal_join.joined_line_outputs: Yields.WORD,
        signal_join.one_output: Yields.WORD,
        signal_join.other_output: Yields.WORD,
        signal_bus.bus_joined: Yields.WORD,
        signal_bus.bus_wires: Yields.ELEMENT,
        signal_bus.approved: Yields.FLAG,
        signal_ground.takes_power: Yields.FLAG,
        signal_ground.grounds_apart: Yields.FLAG,
        signal_ground.amp_ground_difference: Dimension.VOLTAGE,
        signal_ground.output_wires: Yields.ELEMENT,
        signal_ground.ground_leads_of: Yields.ELEMENT,
        signal_ground.other_zone: Yields.WORD,
        signal_survey.tapped_at_radio: Yields.FLAG,
        signal_survey.audio_link: Yields.WORD,
        signal_survey.approval_asked: Yields.FLAG,
        signal_survey.region: Yields.WORD,
    }
)

OF_THE_VEHICLE = facts_of(
    {
        signal_survey.takes_factory_signal: Yields.FLAG,
        signal_survey.factory_amp_told: Yields.WORD,
        signal_survey.cancels_noise: Yields.FLAG,
        signal_survey.adds_amplifier: Yields.FLAG,
    }
)

OF_WIRES = facts_of(
    {
        signal_join.live_speaker_wire: Yields.FLAG,
        signal_join.grounding: Yields.WORD,
        signal_join.bridged_output: Yields.WORD,
        signal_join.grounding_part: Yields.ELEMENT,
        signal_join.ground_point_near: Yields.WORD,
        signal_ground.run_beside_supply: Dimension.LENGTH,
        signal_ground.supply_beside: Yields.ELEMENT,
        signal_ground.signal_gap: Dimension.LENGTH,
        signal_ground.any_supply: Yields.WORD,
        signal_ground.its_zone: Yields.WORD,
    }
)
