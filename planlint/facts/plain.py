"""What a rule may ask that only the element itself has to answer."""

from __future__ import annotations

from planlint.facts import conductor
from planlint.facts.case import Case
from planlint.graph.network import laid_by_maker
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Wire
from planlint.plan.nodes import Node


def factory(case: Case, element: Wire | Node) -> bool:
    """Say whether the vehicle maker put the element there; a wire at an added part is an added wire whatever is said."""
    if isinstance(element, Wire):
        return laid_by_maker(case.nodes, element)
    return element.factory is True


def kind(_case: Case, node: Node) -> str:
    """Return the kind of the node."""
    return node.kind


def gauge(_case: Case, wire: Wire) -> float:
    """Return the conductor area in m2."""
    return conductor.area(wire)


def length(_case: Case, wire: Wire) -> float:
    """Return the length in m."""
    return conductor.length(wire)


def material(_case: Case, wire: Wire) -> str:
    """Return the conductor material as stated."""
    if isinstance(wire.material, str):
        return wire.material
    if wire.material is not None:
        raise UnfitError
    raise UnknownError((*wire.path, "material"))
