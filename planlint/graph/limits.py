"""What limits the current in each wire: the fuses before it, in every state of the changeover relays."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from functools import cached_property

from planlint.graph.link import Vertex, rating_of, rating_path
from planlint.graph.network import Network, build_network, changeover_states
from planlint.graph.protection import UNLIMITED, Inflows, inflows
from planlint.graph.returns import Returns
from planlint.graph.sources import Source
from planlint.graph.stems import Walks
from planlint.graph.ways import home_of
from planlint.plan.model import Plan
from planlint.plan.nodes import Battery, Node
from planlint.text.places import Path

Ends = tuple[int, int]
NOTHING: Ends = (0, 0)


class Limits:
    """The inflows in mA at both ends of every wire, switches in their worst state, by what unknown ratings stand for."""

    def __init__(
        self, plan: Plan, network: Network, in_conflict: AbstractSet[str], sources: tuple[Source, ...]
    ) -> None:
        self._plan = plan
        self._network = network
        self._in_conflict = in_conflict
        self._sources = sources
        self._states: dict[int, tuple[State, ...]] = {}
        self._ends: dict[tuple[str, int], Ends] = {}

    def fed(self, name: str) -> Ends:
        """Return the inflows at both ends of a wire with every unknown rating at no limit: who can feed it at all."""
        return self._ends_of(name, UNLIMITED)

    def into(self, user: Vertex, unknown: int = UNLIMITED) -> int:
        """Return the inflow at a user's supply terminal with every unknown rating at `unknown`."""
        return max(state.inflows.at.get(user, 0) for state in self._states_with(unknown))

    def rest_on_unknown(self, name: str) -> bool:
        """Say whether a rating or limit that is not stated decides the inflows of a wire."""
        return bool(self.unknown) and self.fed(name) != self._ends_of(name, 0)

    @cached_property
    def between_sources(self) -> frozenset[str]:
        """The names of the wires that lie between two sources in some state of the relays."""
        return frozenset().union(*(state.inflows.between for state in self._states_with(UNLIMITED)))

    @cached_property
    def unknown(self) -> tuple[Path, ...]:
        """The fields whose absence leaves a fuse's rating or a source's limit unknown."""
        devices = self._network.devices
        ratings = [rating_path(link) for link in devices if rating_of(link) is None]
        limits = [source.limit_path for source in self._sources if source.limit_path]
        return tuple(sorted(ratings + limits, key=str))

    def _ends_of(self, name: str, unknown: int) -> Ends:
        key = name, unknown
        found = self._ends.get(key)
        if found is None:
            found = self._ends[key] = _worst([state.ends(name) for state in self._states_with(unknown)])
        return found

    def _states_with(self, unknown: int) -> tuple[State, ...]:
        if unknown not in self._states:
            networks = [self._in_state(resting) for resting in changeover_states(self._plan)]
            self._states[unknown] = tuple(State(here, self._sources, unknown) for here in networks)
        return self._states[unknown]

    def _in_state(self, resting: frozenset[str]) -> Network:
        """Return the network with the named changeover relays resting."""
        return build_network(self._plan, resting).without(self._in_conflict) if resting else self._network


def _worst(ends: list[Ends]) -> Ends:
    return ends[0] if len(ends) == 1 else (max(first for first, _ in ends), max(second for _, second in ends))


class State:
    """One state of the changeover relays, reckoned with one value in mA for every rating and limit that is not stated."""

    def __init__(self, network: Network, sources: tuple[Source, ...], unknown: int) -> None:
        stated = {link.name: rating_of(link) for link in network.devices}
        self._network = network
        self._ratings = {name: round(rating.high * 1000) if rating else unknown for name, rating in stated.items()}
        self._given = {source.vertex: _given(source, unknown) for source in sources}
        self._walks = Walks(network.adjacent)
        self.inflows = self._inflows(self._given, network.users, wires=True)

    def ends(self, name: str) -> Ends:
        """Return the inflows at both ends of a supply or ground wire, nothing for other wires."""
        found = self.inflows.wire_ends.get(name)
        return self._ground_ends(name) if found is None else found

    def _ground_ends(self, name: str) -> Ends:
        """Return the inflows of a ground wire; each source's current comes back to that source."""
        every, *single = self._returns
        first, second = every.ends(name)
        if single and (first or second):
            each = [one.ends(name) for one in single]
            # Fuses that several sources share limit their sum.
            first, second = min(first, sum(ends[0] for ends in each)), min(second, sum(ends[1] for ends in each))
        return _worst([(first, second), *(one.ends(name) for one in self._charging)])

    @cached_property
    def _returns(self) -> tuple[Returns, ...]:
        """The returns of all sources together, then, where they come home at several places, of each alone."""
        here, given, ratings = self._network, self._given, self._ratings
        homes = {at: home_of(here, at) for at in given}
        every = Returns(here, given, ratings, here.users, self.inflows.at, frozenset(homes.values()), self._walks)
        if len(set(homes.values())) < 2:
            return (every,)
        return every, *(self._returns_of(at, here.users) for at in given)

    @cached_property
    def _charging(self) -> tuple[Returns, ...]:
        """The returns of each source alone through the other batteries that it charges: they take what the fuses let pass.

        By themselves: in loops what devices draw comes home by other ways than that."""
        here = self._network
        batteries = {at: here.owners[at] for at in self._given if isinstance(here.owners[at], Battery)}
        found = []
        for at in self._given:
            others = {post: node for post, node in batteries.items() if here.net_of[post] is here.net_of[at]}
            others.pop(at, None)
            if others:
                found.append(self._returns_of(at, others))
        return tuple(found)

    def _returns_of(self, source: Vertex, users: Mapping[Vertex, Node]) -> Returns:
        alone = {source: self._given[source]}
        into = self._inflows(alone, users, wires=False).at
        homes = frozenset([home_of(self._network, source)])
        return Returns(self._network, alone, self._ratings, users, into, homes, self._walks)

    def _inflows(self, given: Mapping[Vertex, int], users: Iterable[Vertex], *, wires: bool) -> Inflows:
        here = self._network
        return inflows(here.adjacent, here.nets, given, self._ratings, users, wires=wires)


def _given(source: Source, unknown: int) -> int:
    if source.limit is not None:
        return round(source.limit * 1000)
    return unknown if source.limit_path else UNLIMITED
