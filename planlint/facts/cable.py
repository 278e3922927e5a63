"""What a rule may ask about a wire as a piece of cable: its stated size and make, where it lies, how it is cut."""

from __future__ import annotations

import math
from functools import lru_cache

from planlint.facts import conductor
from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.graph.link import Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp
from planlint.plan.model import End, Segment, Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Dimension, Quantity, show
from planlint.plan.runs import Fuse
from planlint.plan.units import gauge_area, gauge_number, nearest_gauge
from planlint.plan.values import NotApplicable

# This share of a run goes into its bends before anything is left for its ends (common practice).
_WAY = 0.05
# Sizes that differ by no more are one size: 8 AWG is 8.37 mm2.
_ALIKE = 0.1
# Round strands fill no more of a round cable than this, with the thinnest insulation there is (ISO 6722 thin wall: 0.5).
_FULL = 0.6
_HARSH_KINDS = ("engine-bay", "underbody")
_HARSH_WAYS = ("underbody", "wheel-arch", "frame")


def other_reading(_case: Case, wire: Wire) -> str:
    """Return the number of the wire's size as it reads in the other system, as `4 mm2` for 4 AWG and back.

    Raises UnfitError as `_other_area` does.
    """
    other = _other_area(wire)
    return show(
        other, Dimension.AREA, "AWG" if isinstance(wire.gauge, Quantity) and wire.gauge.unit == "mm2" else "mm2"
    )


def _other_area(wire: Wire) -> float:
    """Return the area in m2 that the number of the wire's size means in the other system, AWG for mm2 and back.

    Raises UnfitError where there is no such number, or it is none of the other system, or means the same in both.
    """
    gauge = wire.gauge
    if not isinstance(gauge, Quantity) or gauge.low != gauge.high:
        raise UnfitError
    other = _read_otherwise(gauge)
    if other is None or _alike(other, gauge.low):
        raise UnfitError
    return other


@lru_cache(maxsize=1024)
def _read_otherwise(gauge: Quantity) -> float | None:
    if gauge.unit == "AWG":
        number = nearest_gauge(gauge.low)
        return number * 1e-6 if number is not None and number > 0 else None
    written = f"{gauge.low * 1e6:.9g}"
    number = gauge_number(written) if gauge.unit == "mm2" and written.isdigit() else None
    return None if number is None else gauge_area(number)


def _alike(one: float, other: float) -> bool:
    return abs(one - other) <= _ALIKE * max(one, other)


def size_told_again(_case: Case, wire: Wire) -> bool:
    """Say whether the plan states something else of the conductor's size: the wire's outside diameter, or a lug's barrel."""
    return isinstance(wire.diameter, Quantity) or bool(_barrels(wire))


def contradiction(case: Case, wire: Wire) -> str | None:
    """Return the lug of the wire whose barrel fits its size only in the other system, None where each fits as stated."""
    said = _barrels(wire)
    if not said:
        return None
    other, size = _other_area(wire), conductor.area(wire)
    return next((words for words, barrel in said if _alike(barrel, other) and not _alike(barrel, size)), None)


def outside_diameter(_case: Case, wire: Wire) -> float:
    """Return the outside diameter of the cable in m as stated, of a range the larger. Raises UnfitError where none is."""
    if not isinstance(wire.diameter, Quantity):
        raise UnfitError
    return wire.diameter.high


def goes_inside(case: Case, wire: Wire) -> bool:
    """Say whether a conductor of the wire's size goes into its outside diameter.

    Raises UnfitError where that is not stated.
    """
    return conductor.area(wire) <= _FULL * math.pi / 4 * outside_diameter(case, wire) ** 2


def _barrels(wire: Wire) -> list[tuple[str, float]]:
    """Return the sizes in m2 of the barrels crimped onto the wire, each with the words for it."""
    made = wire.ends_made
    ends = ((wire.from_, made.from_), (wire.to, made.to)) if made else ()
    return [
        (f"the barrel of its end at {end.node}", how.barrel.low)
        for end, how in ends
        if how and isinstance(how.barrel, Quantity)
    ]


def stated_insulation(_case: Case, wire: Wire) -> float:
    """Return the temperature rating of the insulation in C as the plan states it."""
    if isinstance(wire.insulation, NotApplicable):
        raise UnfitError
    return conductor.stated(wire.insulation, (*wire.path, "insulation")).low


def harsh_zone(case: Case, wire: Wire) -> str | None:
    """Return the hot and wet place in which a part of the wire lies, engine bay or underbody; None where it lies in none."""
    stretches = _stretches(wire)
    ways = [str(part.along) for part in stretches if part.along in _HARSH_WAYS]
    names = [part.zone for part in stretches] + [case.nodes[end.node].zone for end in wire.ends]
    found = [name for name in names if _kind(case, name) in _HARSH_KINDS]
    if found or ways:
        return str([*found, *ways][0])
    for end in wire.ends:
        node = case.nodes[end.node]
        if not isinstance(node.zone, str):
            raise UnknownError((*node.path, "zone"))
    return None


def _stretches(wire: Wire) -> list[Segment]:
    return [part for part in wire.route if not isinstance(part.through, str)]


def _kind(case: Case, name: object) -> str:
    zone = case.zones.get(str(name))
    return zone.kind if zone else str(name)


def exhaust_distance(case: Case, wire: Wire) -> float:
    """Return the distance in m to the exhaust where the wire comes nearest to it; infinite where nothing of it is near.

    Raises UnknownError for a stretch in the engine bay or under the body that does not state it.
    """
    nearest = math.inf
    for part in _stretches(wire):
        if isinstance(part.exhaust, Quantity):
            nearest = min(nearest, part.exhaust.low)
    for part in _stretches(wire):
        harsh = _kind(case, part.zone) in _HARSH_KINDS or part.along in _HARSH_WAYS
        if part.exhaust is None and harsh and nearest == math.inf and case.plan.scope != "electrical":
            raise UnknownError((*part.path, "exhaust"))
    return nearest


def run_beside(case: Case, wire: Wire) -> tuple[Wire, ...]:
    """Return the added wires that run beside the wire between the same two terminals."""
    return case.once("wires side by side", lambda: _side_by_side(case)).get(wire.name, ())


def runs_together(case: Case, wire: Wire) -> str | None:
    """Return the names of the wire and of those that run beside it, None where none does."""
    names = sorted(one.name for one in (wire, *run_beside(case, wire)))
    return " and ".join(names) if len(names) > 1 else None


def run_difference(case: Case, wire: Wire) -> float:
    """Return by what share the wires beside it differ from the wire in length or size at most."""
    found = [0.0]
    for other in run_beside(case, wire):
        for ask in (conductor.length, conductor.area):
            less, more = sorted((ask(wire), ask(other)))
            found.append(more / less - 1 if less else math.inf)
    return max(found)


def _side_by_side(case: Case) -> dict[str, tuple[Wire, ...]]:
    network, together = case.layout.network, dict[frozenset[Vertex], list[Wire]]()
    for wire in sorted(case.plan.wires, key=lambda wire: wire.name):
        if wire.name not in network.makers and wire.name not in case.layout.conflicts:
            together.setdefault(frozenset(network.ends[wire.name]), []).append(wire)
    return {
        wire.name: tuple(other for other in beside if other is not wire)
        for beside in together.values()
        if len(beside) > 1
        for wire in beside
    }


def starts_at(_case: Case, wire: Wire) -> str:
    """Return the terminal at the wire's first end, as it is written."""
    return f"{wire.from_.node}.{wire.from_.terminal}"


def ends_at(_case: Case, wire: Wire) -> str:
    """Return the terminal at the wire's second end, as it is written."""
    return f"{wire.to.node}.{wire.to.terminal}"


def port_limit(case: Case, wire: Wire) -> float:
    """Return the thickest conductor in m2 that the tightest supply terminal of an amplifier at which it ends takes.

    Blocks and fuse holders state a range, which is asked of them. Infinite where the wire ends at no amplifier, or with a
    reducing pin. Raises UnknownError where an amplifier does not state it.
    """
    ports = _ports(case, wire)
    return ports[0][0] if ports else math.inf


def tight_port(case: Case, wire: Wire) -> Node:
    """Return the amplifier with that terminal."""
    ports = _ports(case, wire)
    if not ports:
        raise UnfitError
    return ports[0][1]


def _ports(case: Case, wire: Wire) -> list[tuple[float, Node]]:
    """Return the amplifiers at the wire's ends with what their terminals take, the tightest first."""
    found: list[tuple[float, Node]] = []
    for end in wire.ends:
        node = case.nodes[end.node]
        if not isinstance(node, Amp) or end.terminal not in ("power", "ground") or _is_reduced(wire, end):
            continue
        if not isinstance(node.largest_cable, NotApplicable):
            found.append((conductor.stated(node.largest_cable, (*node.path, "largest_cable")).high, node))
    return sorted(found, key=lambda port: (port[0], port[1].name))


def _is_reduced(wire: Wire, end: End) -> bool:
    made = wire.ends_made
    how = (made.from_ if end is wire.from_ else made.to) if made else None
    return how is not None and how.type == "pin"


def ready_made(_case: Case, wire: Wire) -> bool:
    """Say whether the cable comes ready made, so that nothing is cut."""
    return isinstance(wire.cut, NotApplicable)


def shortest_cut(_case: Case, wire: Wire) -> float:
    """Return the length in m to which the cable is cut, of a range the shorter end."""
    return conductor.stated(wire.cut, (*wire.path, "cut")).low


def spare_per_end(_case: Case, wire: Wire) -> float:
    """Return what the cut leaves for each end in m, beyond the length of the run and 5 % for its bends."""
    if isinstance(wire.cut, NotApplicable):
        raise UnfitError
    cut = conductor.stated(wire.cut, (*wire.path, "cut")).low
    return (cut - (1 + _WAY) * conductor.length(wire)) / 2


def cut_needed(case: Case, wire: Wire) -> float:
    """Return what the run needs at least in m with 5 % for its bends, before anything is left for its ends."""
    return (1 + _WAY) * conductor.length(wire)


def bolted_on(case: Case, wire: Wire) -> bool:
    """Say whether a fuse that bolts straight onto a post stands at an end of the wire: then it need not have a length."""
    ends = (case.nodes[end.node] for end in wire.ends)
    return any(isinstance(node, Fuse) and node.family == "terminal" for node in ends)


def vehicle_class(case: Case, _wire: Wire) -> str:
    """Return the class of the vehicle it lies in."""
    return str(value_of(case.plan.vehicle, "class_", "class"))


def bare_run(_case: Case, wire: Wire) -> float:
    """Return how much of the wire in m lies outside loom, tape, sleeve, braid and conduit.

    Raises UnknownError where it is not stated what covers it.
    """
    stretches = _stretches(wire)
    if not stretches:
        return conductor.length(wire) if _is_bare(wire, wire) else 0.0
    bare = [part for part in stretches if _is_bare(part, wire)]
    return sum(conductor.stated(part.length, (*part.path, "length")).high for part in bare)


def _is_bare(part: Segment | Wire, wire: Wire) -> bool:
    cover = part.protection or wire.protection
    if cover is None:
        raise UnknownError((*part.path, "protection"))
    return cover == "none"
