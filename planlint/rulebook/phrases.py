"""Puts names of facts and lists into words for a person of the trade."""

from __future__ import annotations

import re
from collections.abc import Mapping

PLACEHOLDER = re.compile(r"\{([^{}]*)\}")

_NOUNS = {
    "added_draw": "current that the job adds",
    "added_on_circuit": "current that the job adds to it",
    "alternator_output": "hot output of the alternator",
    "amp_ground_difference": "voltage between its ground and that of the part it feeds",
    "asked_engine_off": "time asked for with the engine off",
    "bare_end": "clamp in which its strands lie bare",
    "audio_link": "digital link away from it",
    "bare_run": "run outside any cover",
    "bass_from": "lowest frequency of the signal behind its bass",
    "bolt_also_holds": "what else the bolt holds",
    "bundle": "loaded wires in one cover with it",
    "bundle_ampacity": "current that it bears among them",
    "bundle_count": "number of loaded wires in its cover",
    "bus_joined": "bus, diagnostic or airbag wiring at it",
    "bus_voltage": "voltage of what feeds it",
    "cable_between": "cable between them",
    "cable_parts": "first cable on the list of parts",
    "cable_to_amp": "cable to the nearest amplifier",
    "chained_through": "part through whose terminal it grounds another",
    "charge_ampacity": "current that the cables from it bear",
    "charge_cables": "added cables from it",
    "charge_offered": "current of what charges it",
    "charging_alternator": "alternator that charges through it",
    "charging_demand": "average demand on the alternator",
    "clamped_end": "clamp at which it ends",
    "chimes_cut": "chime output without its speaker",
    "charging_voltage": "voltage of what feeds it while charging",
    "circuit_draw": "current through its fuse",
    "circuit_fuse": "smaller of its fuses, planned and the maker's",
    "collapses": "scenario in which the supply collapses at it first",
    "combustible": "smouldering material that it touches",
    "contradiction": "statement of its size that fits the other system alone",
    "copper_ampacity": "ampacity of the same size in copper",
    "copper_fuse_limit": "fuse that the trade's table allows for copper",
    "copper_return_drop": "voltage lost on the way back in copper",
    "copper_supply_drop": "voltage lost on the way there in copper",
    "copper_total_drop": "voltage lost there and back in copper",
    "cut_off": "circuit of the vehicle's own that it cuts off",
    "ends_at": "terminal at its second end",
    "exhaust_distance": "distance to the exhaust",
    "factory_amp_told": "presence of a factory amplifier",
    "far_end": "other end of a ground lead there",
    "fastener_parts": "first fastener on the list of parts",
    "fed_by": "wire that feeds it",
    "fuel": "distance to the fuel system",
    "full_from": "lowest frequency of its full-range signal",
    "full_to": "highest frequency of its full-range signal",
    "fuse_limit": "fuse that the trade's table allows",
    "fuse_parts": "first fuse on the list of parts",
    "fuses_on_run": "number of fuses on the run",
    "gauge_in_its_metal": "size that does the same in clad aluminium",
    "giver_chemistry": "chemistry of the battery that charges it",
    "grommet_parts": "first grommet on the list of parts",
    "ground_leads_of": "ground wire",
    "grounding": "way in which it grounds a live speaker wire",
    "harsh_zone": "hot and wet zone that it lies in",
    "held_by": "mount that holds it",
    "held_with": "force that its hold-down bears",
    "idle_demand": "average demand at idle",
    "idle_output": "output of the alternator at idle",
    "inflow": "current that can flow in before a fuse opens",
    "input_level": "highest level at its inputs",
    "isolator_between": "isolator between them",
    "joined_line_outputs": "joint of line outputs",
    "joined_speaker_outputs": "joint of speaker outputs",
    "joins": "what it joins",
    "larger_user": "device that draws more",
    "largest_fuse": "largest fuse permitted",
    "lasts": "time that it lasts with the engine off",
    "loudest_source": "part with the highest output",
    "lowest_in_crank": "lowest voltage while the engine is started",
    "lug_above": "larger lug on a smaller one",
    "lug_below": "lug that lies lower",
    "lug_metal": "metal under the lug",
    "main_negative": "negative post of the vehicle's own battery",
    "measured_return_drop": "voltage measured on the way back",
    "music_current": "average current of the music it feeds",
    "nominal_system": "voltage of the vehicle's system",
    "omission": "omission of a reason, a name or a date",
    "on_negative_post": "end on the negative post of the vehicle's own battery",
    "open_load": "load that is left on a tapped output",
    "open_terminals": "terminals without a wire",
    "other_source": "source at the other end",
    "own_fuse_reach": "cable to a fuse of its own",
    "parallel_fuses": "fuses beside it",
    "parted_outputs": "outputs with a part of the music each",
    "parts_missing": "missing parts",
    "port": "port of a block that it ends at",
    "port_largest": "thickest cable that the port takes",
    "port_limit": "thickest cable that the terminal takes",
    "port_smallest": "thinnest cable that the port takes",
    "port_wires": "number of cables in the port",
    "power_beside": "supply terminal of the same device",
    "protecting_rating": "current that can flow in before a fuse opens",
    "return_beside": "ground terminal of another device grounded there",
    "return_drop": "voltage lost on the way back",
    "return_for": "device whose current it brings back",
    "return_fuses": "fuses in the way back",
    "return_gauge": "size of the wires back",
    "ring_parts": "first ring terminal on the list of parts",
    "run_beside": "wire beside it between the same terminals",
    "run_beside_supply": "run close to a supply cable",
    "run_to_block": "cable from the source to a fused block",
    "screws": "number of screws or bolts",
    "served_count": "number of devices that it feeds",
    "served_return_drop": "voltage lost on the way back",
    "served_supply_drop": "voltage lost on the way there",
    "served_total_drop": "voltage lost there and back",
    "shortest": "length",
    "shield_return": "part through whose signal shield its current comes back",
    "shut_off": "scenario in which it goes off for want of voltage",
    "signal_gap": "distance to keep from supply cables",
    "signal_sources": "part that gives it a signal",
    "spare_per_end": "cable to spare at each end",
    "spares_missing": "fuses without a spare",
    "stacked_current": "current that two lugs of different devices both bear",
    "starts_at": "terminal at its first end",
    "strap_ampacity": "current that the cables to the body bear",
    "strap_demand": "current back through the cables to the body",
    "straps": "cables to the body",
    "straps_missing": "cable to the body that the plan does not draw",
    "sufficient_fuse": "smallest fuse that will do",
    "supply_drop": "voltage lost on the way there",
    "supply_gauge": "size of the supply wires",
    "system": "voltage of the vehicle's system",
    "tapped_from": "device from whose terminal it takes power",
    "tight_port": "device with the small terminal",
    "to_node": "part at its second end",
    "total_drop": "voltage lost there and back",
    "undelayed": "delay in what is summed",
    "unfused_end": "device or other source that it feeds without a fuse",
    "unfused_reach": "cable before the first fuse",
    "unplated_lugs": "lug there without plating",
    "unsummed": "unsummed part of the band",
    "upstream_rating": "current that the fuses before it let through",
    "unattended_loads": "motors and heaters that run with nobody there",
    "vague_words": "words that nobody can check",
    "weakest_level": "lowest level at its inputs",
    "weakest_source": "part with the lowest output",
}
"""Facts by what a sentence calls them, where the name itself is no phrase of the trade."""


def noun(name: str) -> str:
    """Return a fact as a sentence names it: `cable before the first fuse`, `first fuse`."""
    return _NOUNS.get(name, spaced(name))


def is_spelt_out(name: str) -> bool:
    """Say whether a sentence names a fact otherwise than by its name."""
    return name in _NOUNS


def spaced(name: str) -> str:
    """Return a name of a fact or setting as words."""
    return name.replace("_", " ")


def listed(words: tuple[str, ...], last: str) -> str:
    """Return words as a list, `a, b and c`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def blanks(template: str, known: Mapping[str, str]) -> str:
    """Return a template with what is known put in, and the rest as what will stand there: `<first fuse>`."""
    return PLACEHOLDER.sub(lambda match: known.get(match[1]) or f"<{noun(match[1])}>", template)
