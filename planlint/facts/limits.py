"""What limits the current in each wire: the fuses before it, and the fuses it comes to next."""

from __future__ import annotations

from dataclasses import dataclass

from planlint.facts import wiring
from planlint.facts.case import Case
from planlint.facts.conductor import rating_path
from planlint.facts.demand import power_vertex, users
from planlint.graph.design import home_of
from planlint.graph.network import Network, build_network, changeover_states, rating_of
from planlint.graph.protection import UNLIMITED, inflows
from planlint.graph.returns import return_inflows
from planlint.graph.sources import Source
from planlint.graph.unknown import UnknownError
from planlint.text.places import Path

Ends = dict[str, tuple[int, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What limits the current in each wire, in mA into both ends, and the wires that lie between two sources.

    `least` and `most` reckon fuse ratings that are not stated at nothing and at no limit; `unknown` are those fields.
    """

    least: Ends
    most: Ends
    between: frozenset[str]
    unknown: tuple[Path, ...]


def limits(case: Case) -> Limits:
    """Return what limits the current in every wire, switches in their worst state."""
    return case.once("limits", lambda: _limits(case))


def wire_limit(case: Case, name: str) -> tuple[int, int]:
    """Return the inflows in mA at both ends of a wire. Raises UnknownError where a missing rating decides."""
    found = limits(case)
    least, most = found.least.get(name, (0, 0)), found.most.get(name, (0, 0))
    if least != most:
        raise UnknownError(found.unknown[0])
    return least


def fed(case: Case, name: str) -> tuple[int, int]:
    """Return the inflows in mA at both ends of a wire with every unknown rating at no limit: who can feed it at all."""
    return limits(case).most.get(name, (0, 0))


def _limits(case: Case) -> Limits:
    rated, unknown = _ratings(case)
    least, between = _worst(case, rated, 0)
    most = least
    if unknown:
        most, between = _worst(case, rated, UNLIMITED)
    return Limits(least=least, most=most, between=between, unknown=tuple(unknown.values()))


def _ratings(case: Case) -> tuple[dict[str, int], dict[str, Path]]:
    """Return the stated fuse ratings in mA by link name, and the fields that are missing."""
    rated: dict[str, int] = {}
    unknown: dict[str, Path] = {}
    for link in wiring.network(case).devices:
        rating = rating_of(link)
        if rating is None:
            unknown[link.name] = rating_path(link)
        else:
            rated[link.name] = round(rating.high * 1000)
    for source in wiring.sources(case):
        if source.limit_path:
            unknown[source.vertex] = source.limit_path
    return rated, unknown


def _worst(case: Case, rated: dict[str, int], unknown: int) -> tuple[Ends, frozenset[str]]:
    """Return the larger inflows over all states of the changeover relays, and the wires between sources in any."""
    states = changeover_states(case.plan)
    if len(states) == 1:
        return _inflows(case, wiring.network(case), rated, unknown)
    worst: Ends = {}
    between: set[str] = set()
    for state in states:
        here = wiring.without_conflicts(case, build_network(case.plan, state)) if state else wiring.network(case)
        ends, joined = _inflows(case, here, rated, unknown)
        between |= joined
        for name, (first, second) in ends.items():
            known = worst.get(name, (0, 0))
            worst[name] = (max(known[0], first), max(known[1], second))
    return worst, frozenset(between)


def _inflows(case: Case, here: Network, rated: dict[str, int], unknown: int) -> tuple[Ends, frozenset[str]]:
    ratings = {link.name: rated.get(link.name, unknown) for link in here.devices}
    given = {source.vertex: _given(source, unknown) for source in wiring.sources(case)}
    consumers = [power_vertex(node) or "" for node in users(case, here)]
    supply = inflows(here.adjacent, here.nets, given, ratings, consumers)
    homes = {at: home_of(here, at) for at in given}
    back = return_inflows(here, given, ratings, supply.at, set(homes.values()))
    if len(given) > 1:
        back = _each_to_its_own(here, ratings, given, homes, consumers, back)
    return {**supply.wire_ends, **back}, supply.between


def _each_to_its_own(
    here: Network,
    ratings: dict[str, int],
    given: dict[str, int],
    homes: dict[str, str],
    consumers: list[str],
    back: Ends,
) -> Ends:
    """Return the inflows of ground wires where several sources feed: each source's current comes back to that source."""
    total: Ends = dict.fromkeys(back, (0, 0))
    for source, current in given.items():
        into = inflows(here.adjacent, here.nets, {source: current}, ratings, consumers).at
        for name, (first, second) in return_inflows(here, {source: current}, ratings, into, {homes[source]}).items():
            known = total.get(name, (0, 0))
            total[name] = (known[0] + first, known[1] + second)
    # Fuses that several sources share limit their sum.
    return {name: (min(back[name][0], first), min(back[name][1], second)) for name, (first, second) in total.items()}


def _given(source: Source, unknown: int) -> int:
    if source.limit is not None:
        return round(source.limit * 1000)
    return unknown if source.limit_path else UNLIMITED
