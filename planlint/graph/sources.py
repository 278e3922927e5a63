"""The positive sources of a plan and the current each can give."""

from __future__ import annotations

from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.graph.network import Network
from planlint.plan.nodes import Alternator, Battery, Charger, FactoryCircuit, Node
from planlint.plan.quantity import Quantity
from planlint.plan.values import QuantityField
from planlint.text.places import Path


@frozen
class Source:
    """A positive source: where it feeds in, and the current in A it limits itself to (None: no limit).

    `limit_path` names the field that is missing where the limit of a self-limiting source is not stated; it then counts
    as without limit. `fused` says that the limit is a fuse of the vehicle maker at its origin.
    """

    node: Node
    vertex: Vertex
    limit: float | None = None
    limit_path: Path | None = None
    fused: bool = False


def sources_of(network: Network) -> tuple[Source, ...]:
    """Return every positive source that a wire leaves, in the order of their names."""
    found = [source for node in network.plan.nodes for source in _sources(network, node)]
    return tuple(
        sorted(
            (s for s in found if s.vertex in network.net_of and s.vertex in network.wires_at),
            key=lambda source: source.vertex,
        )
    )


def _sources(network: Network, node: Node) -> list[Source]:
    if isinstance(node, Battery):
        return [Source(node=node, vertex=f"{node.name}.positive")]
    if isinstance(node, Alternator):
        stated = node.rating
        alternator = network.plan.vehicle.alternator
        if stated is None and alternator is not None:
            stated = alternator.rating
        return [_limited(node, "output", stated, "rating")]
    if isinstance(node, Charger):
        output = _limited(node, "output", node.output_limit, "output_limit")
        # Not stated to be one-way: the worst is assumed, and the input counts as a source too.
        return (
            [output]
            if node.bidirectional is False
            else [output, _limited(node, "input", node.input_limit, "input_limit")]
        )
    if isinstance(node, FactoryCircuit):
        return [_limited(node, "out", node.fuse, "fuse", fused=True)]
    return []


def _limited(node: Node, terminal: str, stated: QuantityField, field: str, *, fused: bool = False) -> Source:
    at = f"{node.name}.{terminal}"
    if isinstance(stated, Quantity):
        return Source(node=node, vertex=at, limit=stated.high, fused=fused)
    return Source(node=node, vertex=at, limit_path=(*node.path, field), fused=fused)
