"""The network of a case and what is derived from it: conflicts, circuits, reaches, protection, design currents."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.facts.conductor import link_resistance
from planlint.facts.demand import demands
from planlint.graph.circuits import Conflict, Family, find_conflicts, wire_families
from planlint.graph.design import Demand, Side, return_side, supply_side
from planlint.graph.flow import feed
from planlint.graph.link import Link, LinkKind, wire_key
from planlint.graph.network import Network, build_network
from planlint.graph.reach import Ahead, Reach, look_ahead, reaches_from
from planlint.graph.sources import Source, sources_of
from planlint.graph.unknown import UnknownError
from planlint.plan.model import Wire
from planlint.plan.nodes import Node


def drawn_network(case: Case) -> Network:
    """Return the network as drawn, faults and all."""
    return case.once("drawn network", lambda: build_network(case.plan))


def conflicts(case: Case) -> dict[str, Conflict]:
    """Return by wire name the wires that join what must not be joined."""
    return case.once("conflicts", lambda: {c.wire.name: c for c in find_conflicts(drawn_network(case))})


def network(case: Case) -> Network:
    """Return the network without the wires in conflict, so that one slip is not told many times."""
    return case.once("network", lambda: without_conflicts(case, drawn_network(case)))


def without_conflicts(case: Case, drawn: Network) -> Network:
    """Return a network of the plan without the wires in conflict."""
    wrong = set(conflicts(case))
    return drawn.without(wrong) if wrong else drawn


def circuits(case: Case) -> dict[str, Family | None]:
    """Return the family of every wire."""
    return case.once("circuits", lambda: wire_families(network(case)))


def sources(case: Case) -> tuple[Source, ...]:
    """Return the positive sources that a wire leaves."""
    return case.once("sources", lambda: sources_of(network(case)))


def reaches(case: Case) -> dict[str, tuple[Reach, ...]]:
    """Return by wire name what each wire reaches before any fuse, seen from every source."""
    return case.once("reaches", lambda: _reaches(case))


def _reaches(case: Case) -> dict[str, tuple[Reach, ...]]:
    found: dict[str, tuple[Reach, ...]] = {}
    for source in sources(case):
        if not source.fused:
            for reach in reaches_from(network(case), source):
                found[reach.wire.name] = (*found.get(reach.wire.name, ()), reach)
    return found


def all_demands(case: Case) -> tuple[Demand, ...]:
    """Return the demand of every user of current."""
    return case.once("demands", lambda: demands(case, network(case)))


def demands_by_name(case: Case) -> dict[str, Demand]:
    """Return the demand of every user by its name."""
    return case.once("demands by name", lambda: {demand.name: demand for demand in all_demands(case)})


def supply(case: Case) -> Side:
    """Return how current reaches the users."""
    return case.once(
        "supply",
        lambda: supply_side(network(case), sources(case), all_demands(case), lambda link: safe(case, link)),
    )


def way_back(case: Case, post: str) -> Side:
    """Return how the current of the users that a post feeds comes back to it."""
    return case.once(
        ("way back", post),
        lambda: return_side(network(case), supply(case), all_demands(case), lambda link: safe(case, link), post),
    )


def sides(case: Case) -> tuple[Side, ...]:
    """Return the supply side and the ways back to all posts."""
    return case.once("sides", lambda: (supply(case), *(way_back(case, post) for post in posts(case))))


def posts(case: Case) -> tuple[str, ...]:
    """Return the posts that feed users or take part in a transfer."""
    side = supply(case)
    takers = {transfer.taker for transfer in side.transfers}
    return tuple(sorted(set(side.feeding.post.values()) | takers))


def safe(case: Case, link: Link) -> float:
    """Return a link's resistance in ohm, a middling one where it is unknown: the answers that rest on it raise anyway."""
    try:
        return link_resistance(case, link)
    except UnknownError:
        return 1e-3


def node_named(case: Case, name: str) -> Node:
    """Return the node of this name."""
    return case.nodes[name]


def joined(case: Case, at: str) -> tuple[str, ...]:
    """Return the vertices that closed contacts join to a vertex, itself first."""
    return case.once(("joined", at), lambda: _joined(network(case), at))


def _joined(here: Network, at: str) -> tuple[str, ...]:
    found = [at]
    for one in found:
        for other, link in here.adjacent.get(one, ()):
            if other not in found and link.kind is LinkKind.CONTACT:
                found.append(other)
    return tuple(found)


def wires_joined(case: Case, at: str) -> tuple[Wire, ...]:
    """Return the added wires that end at a vertex or at one joined to it by closed contacts, those in conflict left out."""
    return tuple(wire for one in joined(case, at) for wire in wires_at(case, one))


def wires_at(case: Case, at: str) -> tuple[Wire, ...]:
    """Return the added wires that end at a vertex, those in conflict left out."""
    wrong = conflicts(case)
    here = network(case)
    found = here.wires_at.get(at, ())
    added = [wire for wire in found if wire.name not in here.makers and wire.name not in wrong]
    return tuple(sorted(added, key=lambda wire: wire.name))


def ahead(case: Case, wire: Wire, start: str) -> Ahead:
    """Return what lies beyond a wire from its end at `start`."""
    return case.once(("ahead", wire.name, start), lambda: look_ahead(network(case), start, wire.name))


def fuses_toward_sources(case: Case, wire: Wire) -> tuple[Link, ...]:
    """Return, for every source that feeds the wire, the fuse nearest to the wire on the shortest way."""
    found: dict[str, Link] = {}
    for source in sources(case):
        feeding = feed(network(case).adjacent, [source.vertex], without=wire_key(wire.name))
        for at in network(case).ends[wire.name]:
            for link in feeding.way(at):
                if link.kind is LinkKind.DEVICE:
                    found[link.name] = link
                    break
    return tuple(found[name] for name in sorted(found))


def users_by_wire(case: Case) -> dict[str, frozenset[str]]:
    """Return by wire name the users whose current runs through the wire, to them or back."""
    return case.once("users by wire", lambda: _users_by_wire(case))


def _users_by_wire(case: Case) -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for demand in all_demands(case):
        for link in (*user_way(case, demand), *user_way_back(case, demand)):
            if link.wire:
                found.setdefault(link.wire.name, set()).add(demand.name)
    return {name: frozenset(users) for name, users in found.items()}


def user_way(case: Case, demand: Demand) -> list[Link]:
    """Return the links on the way from a user's post to it, from the user outward."""
    return supply(case).way(demand.power)


def user_way_back(case: Case, demand: Demand) -> list[Link]:
    """Return the links on the way from a user's ground terminal to its post, none where there is no way."""
    post = supply(case).feeding.post.get(demand.power)
    return way_back(case, post).way(demand.ground) if post and demand.ground else []
