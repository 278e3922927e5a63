"""What a rule may ask about the supply as a whole: whether it carries the system at full power at all."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.facts import carried, scenario
from planlint.facts.case import Case
from planlint.facts.scenario import Scenario, State
from planlint.plan.nodes import Node

# With music the same system draws less.
_JUDGED = (Scenario.FULL, Scenario.FULL_OFF)


def collapses(case: Case, user: Node) -> str | None:
    """Return the scenarios in which the supply cannot carry the system and the user's voltage falls first.

    Raises UnknownError naming what is missing to solve the network.
    """
    return _words(one for one in _judged(case) if one.solution is None and one.falling[:1] == (user.name,))


def shut_off(case: Case, user: Node) -> str | None:
    """Return the scenarios in which the user gets less than its lowest voltage and goes off.

    Raises UnknownError naming what is missing to solve the network.
    """
    return _words(one for one in _judged(case) if one.solution and user.name in one.solution.off)


def falling(case: Case, user: Node) -> tuple[Node, ...]:
    """Return the other users whose voltage falls where the supply collapses."""
    names = {name for one in _judged(case) if one.solution is None for name in one.falling}
    return tuple(case.nodes[name] for name in sorted(names) if name != user.name and name in case.nodes)


def _words(states: Iterable[State]) -> str | None:
    return " and ".join(one.scenario.words for one in states) or None


def _judged(case: Case) -> tuple[State, ...]:
    if carried.surely_carries(case):
        return ()
    return tuple(scenario.state(case, one) for one in _JUDGED)
