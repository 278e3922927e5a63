"""The ways by which current runs: which post serves each place, by which links, and where the ways part and join again."""

from __future__ import annotations

from collections.abc import Mapping

from planlint.frozen import frozen
from planlint.graph.flow import Feeding, feed
from planlint.graph.link import BODY_HUB, Adjacent, Link, LinkKind, Vertex
from planlint.graph.loops import knots_of
from planlint.graph.network import Network
from planlint.plan.nodes import Battery, Charger
from planlint.plan.quantity import Quantity
from planlint.plan.runs import GroundPoint


@frozen
class Ways:
    """Which post serves each vertex of a network; `knots` are, for every link that lies on a loop, all links of its knot."""

    adjacent: Adjacent
    feeding: Feeding
    knots: Mapping[str, tuple[Link, ...]]

    def way(self, at: Vertex) -> list[Link]:
        """Return all links that carry current between a vertex and its post, loops whole."""
        way = self.feeding.way(at)
        if not self.knots or not any(link.key in self.knots for link in way):
            return way
        whole = {link.key: link for step in way for link in self.knots.get(step.key, (step,))}
        return list(whole.values())


def return_ways(network: Network, post: Vertex) -> Ways:
    """Return the ways by which the current of a post comes home, as they are drawn: loops count whole."""
    home = home_of(network, post)
    net = network.net_of.get(home)
    adjacent = network.adjacent if net else {**network.adjacent, home: ()}
    return Ways(adjacent=adjacent, feeding=feed(adjacent, [home]), knots=net.around if net else {})


def measured_ways(network: Network, post: Vertex, drawn: Ways) -> Ways:
    """Return the ways by which voltage is lost on the way home: where a ground point's resistance to the battery was
    measured it stands for all that lies between them. Without such points they are the ways as drawn."""
    home = home_of(network, post)
    to_home = (link for link in measured_joints(network) if f"{_measured_to(network, link)}.negative" == home)
    # A measurement says nothing of a point from which no conductor leads there.
    links = [link for link in to_home if link.ends[0] in drawn.feeding.post]
    if not links:
        return drawn
    adjacent = {at: list(around) for at, around in drawn.adjacent.items()}
    for link in links:
        point, body = link.ends
        adjacent[point] = [(other, one) for other, one in adjacent[point] if one.key != link.key]
        adjacent[body] = [(other, one) for other, one in adjacent[body] if one.key != link.key]
        direct = Link(key=link.key, kind=link.kind, name=link.name, ends=(point, home), node=link.node)
        adjacent[point].append((home, direct))
        adjacent[home].append((point, direct))
    feeding = feed(adjacent, [home])
    return Ways(adjacent=adjacent, feeding=feeding, knots=knots_of(adjacent, feeding.post))


def _measured_to(network: Network, link: Link) -> str | None:
    """Return the battery to which a ground point was measured: as stated, else the main one, None where none is."""
    stated = link.node.resistance_to if isinstance(link.node, GroundPoint) else None
    if isinstance(stated, str):
        return stated
    batteries = [node for node in network.nodes.values() if isinstance(node, Battery)]
    main = (
        [node.name for node in batteries if node.role != "added"] if len(batteries) > 1 else [n.name for n in batteries]
    )
    return main[0] if len(main) == 1 else None


def measured_joints(network: Network) -> list[Link]:
    """Return the joints to the body whose resistance to the battery was measured."""
    return [link for link in network.links.values() if measured_ground(link)]


def home_of(network: Network, post: Vertex) -> Vertex:
    """Return the vertex at which the current of a source comes home."""
    node = network.owners[post]
    if isinstance(node, Battery):
        lower = dict(network.series.values())
        name = node.name
        for _ in network.series:
            name = lower.get(name, name)
        return f"{name}.negative"
    if isinstance(node, Charger):
        return f"{node.name}.ground"
    return BODY_HUB


def measured_ground(link: Link) -> Quantity | None:
    """Return the measured resistance from a ground joint to the battery's negative post, where the plan states it."""
    if link.kind is LinkKind.GROUND_JOINT and isinstance(link.node, GroundPoint):
        stated = link.node.resistance
        return stated if isinstance(stated, Quantity) else None
    return None
