"""What a rule may ask about a wire as a conductor: what it is for, what it carries and bears, what it joins."""

from __future__ import annotations

import math

from planlint.facts import conductor, wiring
from planlint.facts.case import Case
from planlint.graph.link import wire_key
from planlint.graph.network import block_fuse
from planlint.graph.unknown import UnfitError
from planlint.plan.model import Wire
from planlint.plan.nodes import Capacitor, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import BlockOutput, Distribution
from planlint.trade.assumptions import convention
from planlint.trade.fuses import standard_at_or_below, thermal_limit


def circuit(case: Case, wire: Wire) -> str:
    """Return what the wire is for, from what it joins: supply, charge, ground, turn-on, data, line-signal,
    speaker-signal or speaker."""
    word = case.layout.words.get(wire.name)
    if word is None:
        raise UnfitError
    return word


def reckoned_material(case: Case, wire: Wire) -> str:
    """Return the conductor material that the computation takes."""
    return conductor.material(case, wire)


def insulation(case: Case, wire: Wire) -> float:
    """Return the temperature rating of the insulation in C, the assumed one where none is stated."""
    return conductor.insulation(case, wire)


def ambient(case: Case, wire: Wire) -> float:
    """Return the highest air temperature in C along the wire."""
    return conductor.ambient(case, wire)


def ampacity(case: Case, wire: Wire) -> float:
    """Return the current in A that the wire may carry without end where it lies."""
    return case.once(("ampacity", wire.name), lambda: conductor.wire_ampacity(case, wire))


def fuse_limit(case: Case, wire: Wire) -> float:
    """Return the largest fuse in A that the trade's table allows on the wire."""
    return conductor.fuse_limit(case, wire)


def largest_fuse(case: Case, wire: Wire) -> float:
    """Return the largest standard fuse in A that neither the trade's table nor the wire's ampacity where it lies forbids,
    nor the maker of a device that it alone feeds."""
    heat = thermal_limit(ampacity(case, wire), convention("thermal_factor"))
    return standard_at_or_below(min(fuse_limit(case, wire), heat, _makers_limit(case, wire)))


def _makers_limit(case: Case, wire: Wire) -> float:
    every = (case.nodes[name] for name in wiring.users_by_wire(case).get(wire.name, ()))
    served = [node for node in every if not isinstance(node, Capacitor)]
    stated = getattr(served[0], "largest_fuse", None) if len(served) == 1 else None
    return stated.low if isinstance(stated, Quantity) else math.inf


def current(case: Case, wire: Wire) -> float:
    """Return the design current in A: of all users it serves and of the transfers it carries."""
    key = wire_key(wire.name)
    return case.once(("design current", wire.name), lambda: wiring.link_current(case, key, wiring.sides(case, wire)))


def block_output(case: Case, wire: Wire) -> BlockOutput | None:
    """Return the fused output of a distribution block at which the wire ends, None where it ends at none."""
    for end in wire.ends:
        node = case.nodes[end.node]
        if isinstance(node, Distribution) and (output := block_fuse(node, end.terminal)):
            return output
    return None


def to_node(case: Case, wire: Wire) -> Node:
    """Return the node at the wire's second end."""
    return case.nodes[wire.to.node]


def to_kind(case: Case, wire: Wire) -> str:
    """Return the kind of the node at the wire's second end."""
    return to_node(case, wire).kind


def larger_user(case: Case, wire: Wire) -> Node | None:
    """Return another user of the most current, where it takes more than the users that the wire serves, else None."""
    mine = wiring.users_by_wire(case).get(wire.name, frozenset())
    others = [d for d in wiring.all_demands(case) if d.name not in mine and d.amps is not None]
    largest = max(others, key=lambda demand: (demand.amps or 0.0, demand.name), default=None)
    if largest is None or (largest.amps or 0.0) <= current(case, wire):
        return None
    return case.nodes[largest.name]
