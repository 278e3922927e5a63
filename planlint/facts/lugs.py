"""What a rule may ask about the ends of wires: their order on a stud, their metal on the body, bare strands in a clamp."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from planlint.facts.case import Case
from planlint.facts.conductor import area
from planlint.facts.leads import ground_leads
from planlint.facts.node import wires
from planlint.graph.unknown import UnknownError
from planlint.plan.model import End, Termination, Wire
from planlint.plan.nodes import Node

# Their terminals clamp a conductor; a bus bar and a ground point take lugs.
_CLAMPS = ("amp", "breaker", "capacitor", "charger", "distribution", "fuse", "isolator", "switch")
# Sizes that differ by less are one, as 35 mm2 and 2 AWG.
_ALIKE = 1.05
_STEEL_BODIES = ("steel-unibody", "steel-frame")


def stacked_lugs(case: Case, node: Node) -> int:
    """Return how many lugs lie on the stud: those listed; at a point on the body of a whole job, all that end there."""
    listed = len(_listed(case, node))
    screws = node.kind == "bus" or getattr(node, "member", None) == "ground-block"
    if screws or listed or case.plan.scope == "electrical":
        return listed
    return len(wires(case, node))


def lug_above(case: Case, node: Node) -> Wire | None:
    """Return the lowest lug on the stud that is thicker than the one under it, None where each is no thicker."""
    return _misplaced(case, node)[1]


def lug_below(case: Case, node: Node) -> Wire | None:
    """Return the lug under that one."""
    return _misplaced(case, node)[0]


def topmost_lug(case: Case, node: Node) -> Wire | None:
    """Return the lug that lies uppermost on the stud."""
    lugs = _listed(case, node)
    return lugs[-1] if lugs else None


def _misplaced(case: Case, node: Node) -> tuple[Wire | None, Wire | None]:
    lugs = _listed(case, node)
    if not lugs:
        raise UnknownError((*node.path, "lugs"))
    return next(((low, high) for low, high in pairwise(lugs) if area(high) > area(low) * _ALIKE), (None, None))


def _listed(case: Case, node: Node) -> list[Wire]:
    here = {one.name: one for one in wires(case, node)}
    return [here[name] for name in getattr(node, "lugs", ()) if name in here]


def lug_metal(case: Case, node: Node) -> str:
    """Return the metal under the lug: as stated, else aluminium or steel where the body is all of it."""
    metal = getattr(node, "metal", None)
    if isinstance(metal, str):
        return metal
    body = case.plan.vehicle.body
    if body == "aluminium" or body in _STEEL_BODIES:
        return "aluminium" if body == "aluminium" else "steel"
    raise UnknownError((*node.path, "metal"))


def unplated_lugs(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the ground wires whose lugs at the point have no plating.

    Raises UnknownError where that of one is not stated.
    """
    found = [(one, at, made) for one in ground_leads(case, node) for at, made in _ends(one) if at.node == node.name]
    for one, at, made in found:
        if made is None or made.plating is None:
            raise UnknownError((*one.path, "ends", _side(one, at), "plating"))
    return tuple(one for one, _, made in found if made and made.plating == "none")


def _side(wire: Wire, end: End) -> str:
    return "from" if end is wire.from_ else "to"


def _ends(wire: Wire) -> Iterator[tuple[End, Termination | None]]:
    made = wire.ends_made
    yield from zip(wire.ends, (made.from_, made.to) if made else (None, None), strict=True)


def clamped_end(case: Case, wire: Wire) -> str | None:
    """Return the terminals with a clamp or screw at which the wire ends, None where it ends at none.

    In a plan of the circuit alone those ends count of which it says how they are made.
    """
    return " and ".join(_name(end) for end, _ in _clamped(case, wire)) or None


def bare_end(case: Case, wire: Wire) -> str | None:
    """Return those of them in which the strands lie bare, without a ferrule; None where they do in none."""
    found = []
    for end, made in _clamped(case, wire):
        if made is None or made.type is None:
            raise UnknownError((*wire.path, "ends", _side(wire, end), "type"))
        found += [_name(end)] if made.type == "bare" else []
    return " and ".join(found) or None


def _clamped(case: Case, wire: Wire) -> list[tuple[End, Termination | None]]:
    whole = case.plan.scope != "electrical"
    if not whole and wire.ends_made is None:
        return []
    ends = [(end, made) for end, made in _ends(wire) if case.nodes[end.node].kind in _CLAMPS]
    return [(end, made) for end, made in ends if whole or (made is not None and made.type is not None)]


def _name(end: End) -> str:
    return f"{end.node}.{end.terminal}"
