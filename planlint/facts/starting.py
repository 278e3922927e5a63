"""What a rule may ask about the start of the engine: how low the supply falls, and what it pulls down."""

from __future__ import annotations

from planlint.facts import charge, user
from planlint.facts.case import Case
from planlint.graph.unknown import UnknownError
from planlint.plan.nodes import Battery, Node
from planlint.plan.quantity import Quantity


def lowest_in_crank(case: Case, _node: Node) -> float:
    """Return the lowest supply voltage in V while the engine is started, as stated or as the trade takes it."""
    found = case.plan.vehicle.lowest_in_crank
    return found.low if isinstance(found, Quantity) else float(case.assume("crank_minimum"))


def starts_by_itself(case: Case, _node: Node) -> bool:
    """Say whether the engine stops and starts by itself at halts."""
    found = case.plan.vehicle.start_stop
    if not isinstance(found, bool):
        raise UnknownError(("vehicle", "start_stop"))
    return found


def crank_reaches(case: Case, node: Node) -> bool:
    """Say whether the start of the engine pulls down what feeds a user: not an added battery that no cable joins to another
    one, whether a charger stands between or nothing. Raises UnfitError where nothing feeds the user."""
    owner = case.layout.network.owners[user.post_of(case, node)]
    if not isinstance(owner, Battery) or owner.role != "added":
        return True
    links = charge.links(case)
    return owner.name in links or any(one.giver == f"{owner.name}.positive" for one in links.values())
