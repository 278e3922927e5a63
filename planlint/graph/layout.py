"""What the drawing of a plan alone decides, whatever is assumed: network, circuits, sources, reaches, limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property

from planlint.graph.circuits import Conflict, Family, find_conflicts, wire_families
from planlint.graph.flow import feed
from planlint.graph.limits import Limits
from planlint.graph.link import Link, LinkKind, Vertex, rating_of, wire_key
from planlint.graph.nets import Net
from planlint.graph.network import Network, build_network
from planlint.graph.reach import Ahead, Reach, look_ahead, reaches_from
from planlint.graph.signals import Signals, signals_of
from planlint.graph.sources import Source, sources_of
from planlint.graph.ways import Ways, measured_joints, measured_ways, return_ways
from planlint.plan.kinds import Role
from planlint.plan.model import Plan, Wire


class Layout:
    """The network of a plan and what follows from it; each answer is computed when it is first asked for."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._joined: dict[Vertex, tuple[Vertex, ...]] = {}
        self._ahead: dict[tuple[str, Vertex], Ahead] = {}
        self._ways_back: dict[Vertex, Ways] = {}
        self._measured: dict[Vertex, Ways] = {}

    @cached_property
    def drawn(self) -> Network:
        """The network as drawn, faults and all."""
        return build_network(self.plan)

    @cached_property
    def conflicts(self) -> Mapping[str, Conflict]:
        """By wire name the wires that join what must not be joined."""
        return {conflict.wire.name: conflict for conflict in find_conflicts(self.drawn)}

    @cached_property
    def network(self) -> Network:
        """The network without the wires in conflict, so that one slip is not told many times."""
        return self.drawn.without(self.conflicts.keys())

    @cached_property
    def circuits(self) -> Mapping[str, Family | None]:
        """The family of every wire by its name."""
        return wire_families(self.network)

    @cached_property
    def words(self) -> Mapping[str, str]:
        """By name what each wire is for; a supply wire that sources can feed from both ends is a charge wire."""
        between = self.limits.between_sources
        return {
            name: "charge" if family is Family.SUPPLY and name in between else family.value
            for name, family in self.circuits.items()
            if family is not None and name not in self.conflicts
        }

    @cached_property
    def sources(self) -> tuple[Source, ...]:
        """The positive sources that a wire leaves."""
        return sources_of(self.network)

    @cached_property
    def signals(self) -> Signals:
        """The way of the music through the wires."""
        return signals_of(self.network)

    @cached_property
    def limits(self) -> Limits:
        """What limits the current in each wire."""
        return Limits(self.plan, self.network, self.conflicts.keys(), self.sources)

    @cached_property
    def reaches(self) -> Mapping[str, tuple[Reach, ...]]:
        """By wire name what each wire reaches before any fuse, seen from every source."""
        found: dict[str, tuple[Reach, ...]] = {}
        for source in self.sources:
            if not source.fused:
                for reach in reaches_from(self.network, source):
                    found[reach.wire.name] = (*found.get(reach.wire.name, ()), reach)
        return found

    @cached_property
    def fed_nets(self) -> frozenset[Net]:
        """The parts of the network in which a source stands."""
        here = self.network
        giving = {Role.SOURCE, Role.TURN_ON_SOURCE}
        return frozenset(
            here.net_of[at] for at, roles in here.roles.items() if at in here.net_of and giving.intersection(roles)
        )

    @cached_property
    def wired(self) -> Mapping[str, set[Vertex]]:
        """By node name the vertices at which a wire ends, wires in conflict included: they are told once."""
        found: dict[str, set[Vertex]] = {}
        for at in self.drawn.wires_at:
            found.setdefault(self.drawn.owners[at].name, set()).add(at)
        return found

    @cached_property
    def _added_at(self) -> Mapping[Vertex, tuple[Wire, ...]]:
        makers, wrong = self.network.makers, self.conflicts
        found: dict[Vertex, tuple[Wire, ...]] = {}
        for wire in sorted(self.plan.wires, key=lambda one: one.name):
            if wire.name not in makers and wire.name not in wrong:
                for at in self.network.ends[wire.name]:
                    found[at] = (*found.get(at, ()), wire)
        return found

    def wires_at(self, at: Vertex | None) -> tuple[Wire, ...]:
        """Return the added wires that end at a vertex, those in conflict left out."""
        return self._added_at.get(at, ()) if at else ()

    def joined(self, at: Vertex) -> tuple[Vertex, ...]:
        """Return the vertices that closed contacts join to a vertex, itself first."""
        found = self._joined.get(at)
        if found is None:
            found = self._joined[at] = _joined(self.network, at)
        return found

    def wires_joined(self, at: Vertex) -> tuple[Wire, ...]:
        """Return the added wires that end at a vertex or at one joined to it by closed contacts, none in conflict."""
        return tuple(wire for one in self.joined(at) for wire in self.wires_at(one))

    def ahead(self, wire: Wire, start: Vertex) -> Ahead:
        """Return what lies beyond a wire from its end at `start`."""
        key = wire.name, start
        if key not in self._ahead:
            self._ahead[key] = look_ahead(self.network, start, wire.name)
        return self._ahead[key]

    def ways_back(self, post: Vertex) -> Ways:
        """Return the ways by which the current of a post comes home."""
        if post not in self._ways_back:
            self._ways_back[post] = return_ways(self.network, post)
        return self._ways_back[post]

    def measured_back(self, post: Vertex) -> Ways:
        """Return the ways by which voltage is lost on the way home, with what was measured in them."""
        if post not in self._measured:
            self._measured[post] = measured_ways(self.network, post, self.ways_back(post))
        return self._measured[post]

    @cached_property
    def measured_joints(self) -> tuple[Link, ...]:
        """The joints to the body whose resistance to a battery was measured."""
        return tuple(measured_joints(self.network))

    def fuses_toward_sources(self, wire: Wire) -> tuple[Link, ...]:
        """Return, for every source that feeds the wire, the fuse on the shortest way that lets least pass, of equal ones
        the nearest; one whose rating is not stated, where it is nearest."""
        found: dict[str, Link] = {}
        for source in self.sources:
            feeding = feed(self.network.adjacent, [source.vertex], without=wire_key(wire.name))
            for at in self.network.ends[wire.name]:
                fuses = [link for link in feeding.way(at) if link.kind is LinkKind.DEVICE]
                if fuses:
                    first = fuses[0] if rating_of(fuses[0]) is None else min(fuses, key=_most)
                    found[first.name] = first
        return tuple(found[name] for name in sorted(found))


def _most(link: Link) -> float:
    rating = rating_of(link)
    return rating.high if rating else math.inf


def _joined(here: Network, at: Vertex) -> tuple[Vertex, ...]:
    found = [at]
    for one in found:
        for other, link in here.adjacent.get(one, ()):
            if other not in found and link.kind is LinkKind.CONTACT:
                found.append(other)
    return tuple(found)
