"""What limits the current in each wire: the fuses before it, and the fuses it comes to next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planlint.facts import wiring
from planlint.facts.case import Case
from planlint.facts.conductor import rating_path
from planlint.facts.demand import power_vertex
from planlint.graph.circuits import Family
from planlint.graph.design import home_of
from planlint.graph.link import Vertex, rating_of
from planlint.graph.network import Network, build_network, changeover_states
from planlint.graph.protection import UNLIMITED, Inflows, inflows
from planlint.graph.returns import return_inflows
from planlint.graph.sources import Source
from planlint.graph.unknown import UnknownError
from planlint.text.places import Path

Ends = tuple[int, int]
NOTHING: Ends = (0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One state of the changeover relays, reckoned with one value for every fuse rating that is not stated (mA)."""

    network: Network
    given: dict[Vertex, int]
    ratings: dict[str, int]
    inflows: Inflows


def wire_limit(case: Case, name: str) -> Ends:
    """Return the inflows in mA at both ends of a wire, switches in their worst state.

    Raises UnknownError where a rating that is not stated decides.
    """
    most = fed(case, name)
    unknown = _unknown(case)
    if unknown and most != _ends(case, name, 0):
        raise UnknownError(_deciding(case, name) or unknown[0])
    return most


def _deciding(case: Case, name: str) -> Path | None:
    """Return the missing rating of a fuse on the way to the wire, None where all on it are stated."""
    wire = next(wire for wire in case.plan.wires if wire.name == name)
    near = wiring.fuses_toward_sources(case, wire)
    return next((rating_path(link) for link in near if rating_of(link) is None), None)


def fed(case: Case, name: str) -> Ends:
    """Return the inflows in mA at both ends of a wire with every unknown rating at no limit: who can feed it at all."""
    return _ends(case, name, UNLIMITED)


def between_sources(case: Case) -> frozenset[str]:
    """Return the names of the wires that lie between two sources in some state of the relays."""
    return frozenset().union(*(state.inflows.between for state in _states(case, UNLIMITED)))


def _unknown(case: Case) -> tuple[Path, ...]:
    """Return the fields whose absence leaves a fuse's rating or a source's limit unknown."""
    return case.once("unknown ratings", lambda: _find_unknown(case))


def _find_unknown(case: Case) -> tuple[Path, ...]:
    ratings = [rating_path(link) for link in wiring.network(case).devices if rating_of(link) is None]
    limits = [source.limit_path for source in wiring.sources(case) if source.limit_path]
    return tuple(sorted(ratings + limits, key=str))


def _ends(case: Case, name: str, unknown: int) -> Ends:
    supply = case.once(("supply ends", unknown), lambda: _supply_ends(_states(case, unknown)))
    if name in supply:
        return supply[name]
    if wiring.circuits(case).get(name) is not Family.GROUND:
        return NOTHING
    states = _states(case, unknown)
    return case.once(
        ("ground ends", name, unknown), lambda: _worst([_ground_ends(case, state, name) for state in states])
    )


def _supply_ends(states: tuple[State, ...]) -> Mapping[str, Ends]:
    """Return the larger inflows of every supply wire over all states."""
    if len(states) == 1:
        return states[0].inflows.wire_ends
    names = {name for state in states for name in state.inflows.wire_ends}
    return {name: _worst([state.inflows.wire_ends.get(name, NOTHING) for state in states]) for name in names}


def _worst(ends: list[Ends]) -> Ends:
    return ends[0] if len(ends) == 1 else (max(first for first, _ in ends), max(second for _, second in ends))


def _states(case: Case, unknown: int) -> tuple[State, ...]:
    return case.once(("states", unknown), lambda: tuple(_state(case, rest, unknown) for rest in _resting(case)))


def _resting(case: Case) -> list[frozenset[str]]:
    return changeover_states(case.plan)


def _state(case: Case, resting: frozenset[str], unknown: int) -> State:
    here = wiring.without_conflicts(case, build_network(case.plan, resting)) if resting else wiring.network(case)
    stated = {link.name: rating_of(link) for link in here.devices}
    ratings = {name: round(rating.high * 1000) if rating else unknown for name, rating in stated.items()}
    given = {source.vertex: _given(source, unknown) for source in wiring.sources(case)}
    found = inflows(here.adjacent, here.nets, given, ratings, _consumers(here))
    return State(network=here, given=given, ratings=ratings, inflows=found)


def _given(source: Source, unknown: int) -> int:
    if source.limit is not None:
        return round(source.limit * 1000)
    return unknown if source.limit_path else UNLIMITED


def _consumers(here: Network) -> list[Vertex]:
    return [at for node in here.plan.nodes if (at := power_vertex(node)) in here.wires_at and at]


def _ground_ends(case: Case, state: State, name: str) -> Ends:
    """Return the inflows of a ground wire; each source's current comes back to that source."""
    here, given = state.network, state.given
    homes = {at: home_of(here, at) for at in given}
    every = return_inflows(here, given, state.ratings, state.inflows.at, set(homes.values()), only=name)
    first, second = every.get(name, NOTHING)
    if len(set(homes.values())) < 2 or not (first or second):
        return first, second
    total = [0, 0]
    for source, current in given.items():
        alone = {source: current}
        into = _alone(case, state, source)
        ends = return_inflows(here, alone, state.ratings, into, {homes[source]}, only=name).get(name, NOTHING)
        total = [total[0] + ends[0], total[1] + ends[1]]
    # Fuses that several sources share limit their sum.
    return min(first, total[0]), min(second, total[1])


def _alone(case: Case, state: State, source: Vertex) -> Mapping[Vertex, int]:
    """Return the current in mA that one source alone can push into each user."""
    here, given = state.network, {source: state.given[source]}
    return case.once(
        ("alone", id(state), source),
        lambda: inflows(here.adjacent, here.nets, given, state.ratings, _consumers(here)).at,
    )
