"""The links of the terminal network: what joins two terminals, and how."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import BlockOutput
from planlint.text.places import Path

Vertex = str
BODY_HUB: Vertex = "the vehicle body"


class LinkKind(StrEnum):
    """What joins two vertices of the terminal network."""

    WIRE = "wire"
    DEVICE = "fuse or breaker"
    CONTACT = "contact"
    GROUND_JOINT = "joint to the body"
    BODY = "body"


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One conducting element between two terminals; `key` names it within the network."""

    key: str
    kind: LinkKind
    name: str
    ends: tuple[Vertex, Vertex]
    wire: Wire | None = None
    node: Node | None = None
    output: BlockOutput | None = None


# For every vertex the vertices it is linked to, with the links.
Adjacent = Mapping[Vertex, Sequence[tuple[Vertex, Link]]]


_WIRE = LinkKind.WIRE.value


def wire_key(name: str) -> str:
    """Return the key of a wire's link."""
    return f"{_WIRE} {name}"


def rating_of(link: Link) -> Quantity | None:
    """Return the rating of a fuse or breaker as stated, or None where it is not."""
    stated = link.output.fuse if link.output else getattr(link.node, "rating", None)
    return stated if isinstance(stated, Quantity) else None


def rating_path(link: Link) -> Path:
    """Return where the rating of a fuse or breaker stands in the plan."""
    assert link.node
    return (*link.output.path, "fuse") if link.output else (*link.node.path, "rating")
