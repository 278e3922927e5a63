"""Puts names of facts and lists into words for a person of the trade."""

from __future__ import annotations

import re
from collections.abc import Mapping

PLACEHOLDER = re.compile(r"\{([^{}]*)\}")

_NOUNS = {
    "added_draw": "draw of what is added while all is off",
    "alternator_output": "hot output of the alternator",
    "asked_engine_off": "time asked for with the engine off",
    "bare_run": "run outside any cover",
    "bolt_also_holds": "what else the bolt holds",
    "cable_between": "cable between them",
    "cable_parts": "first cable on the list of parts",
    "chained_through": "part through whose terminal it grounds another",
    "charging_demand": "average demand on the alternator",
    "coil_drivers": "electronic output that drives its coil",
    "collapses": "scenario in which the supply collapses at it first",
    "contact_current": "current through its contacts",
    "contradiction": "statement of its size that fits the other system alone",
    "copper_ampacity": "ampacity of the same size in copper",
    "copper_fuse_limit": "fuse that the trade's table allows for copper",
    "copper_return_drop": "voltage lost on the way back in copper",
    "copper_supply_drop": "voltage lost on the way there in copper",
    "copper_total_drop": "voltage lost there and back in copper",
    "ends_at": "terminal at its second end",
    "exhaust_distance": "distance to the exhaust",
    "far_end": "other end of a ground lead there",
    "fed_by": "wire that feeds it",
    "feed_fused": "feed of its contacts is fused",
    "feed_output": "block output that feeds its contacts",
    "feed_wires": "wires that feed its contacts",
    "fuel": "distance to the fuel system",
    "fuse_limit": "fuse that the trade's table allows",
    "fuse_parts": "first fuse on the list of parts",
    "fuses_on_run": "number of fuses on the run",
    "gauge_in_its_metal": "size that does the same in clad aluminium",
    "giver_chemistry": "chemistry of the battery that charges it",
    "harsh_zone": "hot and wet zone that it lies in",
    "held_by": "mount that holds it",
    "hold_down_needed": "force needed where it stands",
    "idle_demand": "average demand at idle",
    "idle_output": "output of the alternator at idle",
    "inflow": "current that can flow in before a fuse opens",
    "isolator_between": "isolator between them",
    "joins": "what it joins",
    "larger_user": "device that draws more",
    "largest_fuse": "largest fuse permitted",
    "lasts": "time that it lasts with the engine off",
    "left_on": "part that it never turns off",
    "lowest_in_crank": "lowest voltage while the engine is started",
    "main_negative": "negative post of the vehicle's own battery",
    "measured_return_drop": "voltage measured on the way back",
    "music_current": "average current of the music it feeds",
    "omission": "omission of a reason, a name or a date",
    "on_negative_post": "end on the negative post of the vehicle's own battery",
    "open_terminals": "terminals without a wire",
    "other_source": "source at the other end",
    "own_fuse_reach": "cable to a fuse of its own",
    "parallel_fuses": "fuses beside it",
    "parked_draw": "draw of vehicle and added devices while all is off",
    "parts_missing": "missing parts",
    "permanently_on": "part that it never turns off",
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
    "run_to_block": "cable from the source to a fused block",
    "screws": "number of screws or bolts",
    "sensed_signal": "signal by which it wakes",
    "sensed_volts": "steady voltage by which it wakes",
    "served_count": "number of devices that it feeds",
    "served_return_drop": "voltage lost on the way back",
    "served_supply_drop": "voltage lost on the way there",
    "served_total_drop": "voltage lost there and back",
    "shut_off": "scenario in which it goes off for want of voltage",
    "spare_per_end": "cable to spare at each end",
    "stacked_current": "current that two lugs of different devices both bear",
    "starts_at": "terminal at its first end",
    "stays_on": "time that it stays on",
    "sufficient_fuse": "smallest fuse that will do",
    "supply_drop": "voltage lost on the way there",
    "supply_gauge": "size of the supply wires",
    "survives_start": "stays on while the engine starts",
    "switches_surge": "contacts switch what takes a surge",
    "system": "voltage of the vehicle's system",
    "tapped_from": "device from whose terminal it takes power",
    "tight_port": "device with the small terminal",
    "to_node": "part at its second end",
    "total_drop": "voltage lost there and back",
    "turn_on_capacity": "most that its turn-on output may give",
    "turn_on_load": "current that hangs on its turn-on output",
    "turn_on_sources": "source that turns it on",
    "turn_on_volts": "voltage at its turn-on terminal",
    "turns_on": "part that it turns on",
    "unfused_end": "device or other source that it feeds without a fuse",
    "unfused_inflow": "current that can flow in before a fuse opens",
    "unfused_reach": "cable before the first fuse",
    "upstream_rating": "current that the fuses before it let through",
    "vague_words": "words that nobody can check",
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
