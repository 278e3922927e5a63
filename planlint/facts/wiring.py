"""How the current of the users flows in a case: their demands, the supply side and the ways back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from planlint.facts.case import Case
from planlint.facts.conductor import link_resistance
from planlint.facts.demand import demands
from planlint.graph.circuits import Family
from planlint.graph.design import Demand, Side, return_side, supply_side
from planlint.graph.link import Link, LinkKind
from planlint.graph.unknown import UnknownError
from planlint.graph.ways import Ways
from planlint.plan.model import Wire


def all_demands(case: Case) -> tuple[Demand, ...]:
    """Return the demand of every user of current."""
    return case.once("demands", lambda: demands(case, case.layout.network))


def demands_by_name(case: Case) -> dict[str, Demand]:
    """Return the demand of every user by its name."""
    return case.once("demands by name", lambda: {demand.name: demand for demand in all_demands(case)})


def supply(case: Case) -> Side:
    """Return how current reaches the users."""
    return case.once(
        "supply",
        lambda: supply_side(case.layout.network, case.layout.sources, all_demands(case), lambda link: safe(case, link)),
    )


def way_back(case: Case, post: str) -> Side:
    """Return how the current of the users that a post feeds comes back to it, and the voltage it loses."""
    return case.once(("way back", post), lambda: _way_back(case, post, case.layout.measured_back(post), safe))


def runs_back(case: Case, post: str) -> Side:
    """Return by which wires the current of the users that a post feeds comes back to it."""
    if case.layout.measured_back(post) is case.layout.ways_back(post):
        return way_back(case, post)
    return case.once(("runs back", post), lambda: _way_back(case, post, case.layout.ways_back(post), _safe_run))


def _way_back(case: Case, post: str, ways: Ways, resistance: Callable[[Case, Link], float]) -> Side:
    ohm = partial(resistance, case)
    return return_side(case.layout.network, ways, supply(case), all_demands(case), ohm, post)


def run_resistance(case: Case, link: Link) -> float:
    """Return a link's resistance in ohm as currents share by it: the body's counts for nothing where what was measured
    from ground points already holds it. Raises UnknownError naming what is missing."""
    if link.kind is LinkKind.BODY and case.layout.measured_joints:
        return 0.0
    return link_resistance(case, link)


def sides(case: Case, wire: Wire) -> tuple[Side, ...]:
    """Return where the current of a wire is found: the ways back to all posts for a ground wire, else the supply side."""
    if case.layout.circuits[wire.name] is not Family.GROUND:
        return (supply(case),)
    return case.once("ways back", lambda: tuple(runs_back(case, post) for post in posts(case)))


def link_current(case: Case, key: str, sides: tuple[Side, ...]) -> float:
    """Return the design current of a link in A: of all users it serves and of the transfers it carries."""
    amps: list[float] = []
    for side in sides:
        if missing := side.missing(key):
            raise UnknownError(missing)
        # In a loop the link's share rests on all resistances of the loop.
        for link in side.ways.knots.get(key, ()):
            run_resistance(case, link)
        amps += side.currents(key)
    # What runs the same way adds up; of what runs against it, the larger counts, since either may rest.
    return max(sum([a for a in amps if a > 0], 0.0), sum([-a for a in amps if a < 0], 0.0))


def posts(case: Case) -> tuple[str, ...]:
    """Return the posts that feed users or take part in a transfer."""
    side = supply(case)
    takers = {transfer.taker for transfer in side.transfers}
    return tuple(sorted(set(side.ways.feeding.post.values()) | takers))


def _safe_run(case: Case, link: Link) -> float:
    try:
        return run_resistance(case, link)
    except UnknownError:
        return 1e-3


def safe(case: Case, link: Link) -> float:
    """Return a link's resistance in ohm, a middling one where it is unknown: the answers that rest on it raise anyway."""
    try:
        return link_resistance(case, link)
    except UnknownError:
        return 1e-3


def users_by_link(case: Case) -> dict[str, list[str]]:
    """Return by link the users whose supply runs through it, sorted by name."""
    return case.once("users by link", lambda: _users_by_link(case))


def _users_by_link(case: Case) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for demand in sorted(all_demands(case), key=lambda one: one.name):
        for link in user_way(case, demand):
            found.setdefault(link.key, []).append(demand.name)
    return found


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
    return supply(case).ways.way(demand.power)


def leads_home(case: Case, demand: Demand) -> bool:
    """Say whether wire and body, whatever it is made of, lead from a user's ground terminal to the battery that feeds it."""
    post = supply(case).ways.feeding.post.get(demand.power)
    return post is None or (demand.ground or "") in case.layout.ways_back(post).feeding.post


def user_way_back(case: Case, demand: Demand) -> list[Link]:
    """Return the links on the way from a user's ground terminal to its post, none where there is no way."""
    post = supply(case).ways.feeding.post.get(demand.power)
    return case.layout.ways_back(post).way(demand.ground) if post and demand.ground else []
