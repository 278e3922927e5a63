"""The link by which one battery charges another, judged by itself at its planned current: what it carries and loses."""

from __future__ import annotations

from planlint.facts import conductor, wiring
from planlint.facts.case import Case
from planlint.graph.design import Side, Transfer
from planlint.graph.flow import feed, share
from planlint.graph.link import Link, Vertex, wire_key
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.ways import Ways, home_of
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node


def links(case: Case) -> dict[str, Transfer]:
    """Return by the name of each battery that another battery charges the planned current from there."""
    return case.once("charge links", lambda: _links(case))


def _links(case: Case) -> dict[str, Transfer]:
    owners = case.layout.network.owners
    between = (one for one in wiring.supply(case).transfers if isinstance(owners[one.giver], Battery))
    return {owners[one.taker].name: one for one in between if isinstance(owners[one.taker], Battery)}


def link_of(case: Case, battery: Node) -> Transfer:
    """Return what charges a battery. Raises UnfitError where no other battery does."""
    found = links(case).get(battery.name)
    if found is None:
        raise UnfitError
    return found


def carries(case: Case, battery: Node, wire: Wire) -> bool:
    """Say whether what charges a battery runs through a wire."""
    return wire_key(wire.name) in link_of(case, battery).along


def current(case: Case, battery: Node) -> float:
    """Return the planned current in A of the link that charges a battery. Raises UnknownError where it is not stated."""
    link = link_of(case, battery)
    if link.amps is None:
        raise UnknownError(link.missing or (*battery.path, "link"))
    return link.amps


def home(case: Case, battery: Node) -> Vertex:
    """Return the vertex at which the charging current leaves a battery."""
    return home_of(case.layout.network, link_of(case, battery).taker)


def supply_drop(case: Case, battery: Node) -> float:
    """Return the volts lost at the planned current from the giving battery's positive post to this one's.

    Raises UnknownError for anything on the way that is not stated, UnfitError where no other battery charges it.
    """
    link = link_of(case, battery)
    return _drop(case, _ways(case, link), link.giver, link.taker, current(case, battery))


def way(case: Case, battery: Node) -> list[Link]:
    """Return the links by which another battery charges this one."""
    link = link_of(case, battery)
    return _ways(case, link).way(link.taker)


def _ways(case: Case, link: Transfer) -> Ways:
    network = case.layout.network
    net = network.net_of[link.giver]
    feeding = feed(network.adjacent, [link.giver], (lambda one: wiring.safe(case, one)) if net.knots else None)
    return Ways(adjacent=network.adjacent, feeding=feeding, knots=net.around)


def return_drop(case: Case, battery: Node) -> float:
    """Return the volts lost at the planned current from this battery's negative post to the giving battery's.

    Raises UnknownError for anything on the way that is not stated, UnfitError where there is no way.
    """
    giver, start = link_of(case, battery).giver, home(case, battery)
    ways = case.layout.measured_back(giver)
    if start not in ways.feeding.post:
        raise UnfitError
    return _drop(case, ways, home_of(case.layout.network, giver), start, current(case, battery))


def _drop(case: Case, ways: Ways, post: Vertex, at: Vertex, amps: float) -> float:
    def ohm(link: Link) -> float:
        return conductor.link_resistance(case, link)

    for link in ways.way(at):
        ohm(link)
    flow = share(ways.adjacent, ways.feeding, post, {at: amps}, lambda link: wiring.safe(case, link))
    side = Side(returns=False, ways=ways, flows={post: flow}, unknown={}, transfers=())
    volts = side.drop(at, ohm)
    if volts is None:
        raise UnfitError
    return volts
