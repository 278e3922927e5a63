"""What a rule may ask about a wire's way: how far its ends lie apart, and which loaded wires share a cover with it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.facts import wire as asked
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.graph.unknown import UnknownError
from planlint.plan.model import Segment, Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.trade.ampacity import bundling_factor

_AXES = ("x", "y", "z")
# A conductor that carries more than half of what it bears warms those beside it, over more than 30 cm (common practice).
_LOADED = 0.5
_SHORT = 0.3
_POWER = ("supply", "charge", "ground")


def shortest(_case: Case, wire: Wire) -> float:
    """Return the length of the wire in m, of a range the shorter end."""
    return stated(wire.length, (*wire.path, "length")).low


def straight_distance(case: Case, wire: Wire) -> float:
    """Return how far the two ends of the wire lie apart in m at least, in a straight line between the parts' places; nothing
    where one of them states no place at all. Raises UnknownError where it states a part of it.
    """
    first = _place(case.nodes[wire.from_.node])
    second = _place(case.nodes[wire.to.node]) if first else []
    if not second:
        return 0.0
    # Of a range whichever end brings the two nearer: nothing shorter than that can be.
    apart = (max(b.low - a.high, a.low - b.high, 0.0) for a, b in zip(first, second, strict=True))
    return math.hypot(*apart)


def crosses_cabin(case: Case, wire: Wire) -> bool:
    """Say whether the wire leads from an engine bay to a cargo area with the whole cabin between them, as the order of the
    zones tells; where the parts at its ends name no zone nothing says so.
    """
    ends = [case.zones.get(str(case.nodes[end.node].zone)) for end in wire.ends]
    zones = [zone for zone in ends if zone]
    if {zone.kind for zone in zones} != {"engine-bay", "cargo"}:
        return False
    first, last = sorted(case.plan.zones.index(zone) for zone in zones)
    return any(zone.kind == "cabin" for zone in case.plan.zones[first:last])


def _place(node: Node) -> list[Quantity]:
    if not (isinstance(node.x, Quantity) or isinstance(node.y, Quantity) or isinstance(node.z, Quantity)):
        return []
    return [stated(getattr(node, axis), (*node.path, axis)) for axis in _AXES]


def bundle(case: Case, wire: Wire) -> tuple[Wire, ...]:
    """Return the most wires that carry more than half of what they bear in one cover with it over more than 30 cm, itself
    among them where it does; none where it lies in no cover with another.

    Raises UnknownError for the gap to wires beside it that is not stated, where more than three may share the cover.
    """
    return case.once(("bundle", wire.name), lambda: _bundle(case, wire))


def _bundle(case: Case, wire: Wire) -> tuple[Wire, ...]:
    shared = case.once("shared stretches", lambda: _shared(case)).get(wire.name, [])
    largest: tuple[Wire, ...] = ()
    for names, part in shared:
        loaded = _loaded(case, names)
        if part.gap is None and len(loaded) > 3:
            raise UnknownError((*part.path, "gap"))
        if part.gap is not None and len(loaded) > len(largest):
            largest = loaded
    return largest


def _loaded(case: Case, names: frozenset[str]) -> tuple[Wire, ...]:
    """Return the supply, charge and ground wires of these names that are loaded, by name."""
    every = case.once("wires by name", lambda: {one.name: one for one in case.plan.wires})
    wires = [every[name] for name in sorted(names & every.keys()) if case.layout.words.get(name) in _POWER]
    return tuple(one for one in wires if asked.current(case, one) > _LOADED * asked.ampacity(case, one))


def _shared(case: Case) -> dict[str, list[tuple[frozenset[str], Segment]]]:
    """Return by wire name the stretches on which wires lie in one cover, each with the names of those wires."""
    found: dict[str, list[tuple[frozenset[str], Segment]]] = {}
    for wire in sorted(case.plan.wires, key=lambda one: one.name):
        for part in _covered(wire):
            together = frozenset((wire.name, *part.beside))
            for name in together if len(together) > 1 else ():
                found.setdefault(name, []).append((together, part))
    return found


def _covered(wire: Wire) -> Iterator[Segment]:
    """Yield the long stretches on which a cover may hold the wire together with those beside it."""
    for part in wire.route:
        near = part.gap is None or (isinstance(part.gap, Quantity) and part.gap.low == 0)
        long = not isinstance(part.length, Quantity) or part.length.high > _SHORT
        if part.beside and near and long and (part.protection or wire.protection) not in (None, "none"):
            yield part


def bundle_count(case: Case, wire: Wire) -> int:
    """Return how many loaded wires lie in one cover with it, itself among them where it is loaded."""
    return len(bundle(case, wire))


def bundled(case: Case, wire: Wire) -> bool:
    """Say whether the plan puts the wire into one cover with another."""
    return wire.name in case.once("shared stretches", lambda: _shared(case))


def bundle_ampacity(case: Case, wire: Wire) -> float:
    """Return what the wire bears in A among the loaded wires in its cover (33 CFR 183.425 Table 5 note 2)."""
    return asked.ampacity(case, wire) * bundling_factor(max(bundle_count(case, wire), 1))
