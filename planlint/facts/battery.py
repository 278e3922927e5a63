"""What a rule may ask about a battery: its place, weight and make, what charges it; and about live studs."""

from __future__ import annotations

from planlint.facts import charge, node, wiring
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.facts.fields import value_of
from planlint.graph.unknown import UnknownError
from planlint.plan.nodes import Battery, Node
from planlint.plan.values import NotApplicable

LEAD = ("flooded", "efb", "agm", "gel")
# Standard gravity in m/s2.
_G = 9.80665
# Fuses whose contacts lie inside their holder: these have no stud.
_PLUGGED = ("blade-mini", "blade", "blade-maxi", "glass")


def new_place(case: Case, element: Node) -> bool:
    """Say whether a battery is one that the job adds or moves.

    A plan's only battery is the vehicle's own in its place unless the plan says otherwise, and so is one that the maker
    put there; of several each has to say what it is. Raises UnknownError naming its role, or whether it is moved.
    """
    if not isinstance(element, Battery):
        return False
    if element.role == "added" or element.moved is True:
        return True
    if element.factory is not True and several(case):
        for field in ("role", "moved"):
            if getattr(element, field) is None:
                raise UnknownError((*element.path, field))
    return False


def several(case: Case) -> bool:
    """Say whether a plan has more than one battery."""
    return case.once("batteries", lambda: sum(isinstance(one, Battery) for one in case.plan.nodes)) > 1


def weight(_case: Case, element: Node) -> float:
    """Return the weight of a part in N: its mass times 9.80665 m/s2 (of a range the heavier end)."""
    return stated(getattr(element, "mass", None), (*element.path, "mass")).high * _G


def held_with(_case: Case, element: Node) -> float:
    """Return the force in N that a battery's hold-down bears; 0 where the plan says that it has none.

    Every hold-down bears some force: that this does not apply counts as not stated.
    """
    told = getattr(element, "hold_down", None)
    if isinstance(told, NotApplicable) or (isinstance(told, str) and told.strip().lower() == "none"):
        return 0.0
    return stated(getattr(element, "hold_down_strength", None), (*element.path, "hold_down_strength")).low


def fuel_clear(_case: Case, element: Node) -> bool:
    """Say whether the plan says that nothing of the fuel system is near the battery."""
    found = getattr(element, "fuel", None)
    if found is None:
        raise UnknownError((*element.path, "fuel"))
    return isinstance(found, NotApplicable)


def lithium(_case: Case, battery: Node) -> bool:
    """Say whether a battery is a lithium one. Raises UnknownError where its chemistry is not stated or is `other`."""
    found = value_of(battery, "chemistry", "chemistry")
    if found == "other":
        raise UnknownError((*battery.path, "chemistry"))
    return found not in LEAD


def giver_lithium(case: Case, battery: Node) -> bool:
    """Say whether the battery that charges this one by cable is a lithium one. Raises UnfitError where none does."""
    return lithium(case, giver(case, battery))


def giver(case: Case, battery: Node) -> Node:
    """Return the battery that charges this one by cable. Raises UnfitError where none does."""
    return case.layout.network.owners[charge.link_of(case, battery).giver]


def charge_bound(_case: Case, battery: Node) -> float:
    """Return the current in A with which a battery may be charged. Each has its bound: that this does not apply counts as
    not stated."""
    return stated(getattr(battery, "charge_limit", None), (*battery.path, "charge_limit")).low


def in_bank(case: Case, battery: Node) -> bool:
    """Say whether a lithium battery and the one that it is joined to are both added ones of lithium, charged as one bank."""
    other = giver(case, battery)
    both = [getattr(one, "role", None) for one in (battery, other)]
    return both == ["added", "added"] and lithium(case, battery) and lithium(case, other)


def charge_offered(case: Case, battery: Node) -> float:
    """Return what the chargers and alternators that are wired to a battery give it at most in A, 0 where there are none.

    Raises UnknownError where one states no limit.
    """
    owners, post = case.layout.network.owners, f"{battery.name}.positive"
    found = [one for one in wiring.supply(case).transfers if one.taker == post]
    found = sorted((one for one in found if not isinstance(owners[one.giver], Battery)), key=lambda one: one.giver)
    for one in found:
        if one.amps is None:
            raise UnknownError(one.missing or battery.path)
    return sum([one.amps or 0.0 for one in found])


def live_stud(case: Case, element: Node) -> bool:
    """Say whether the node has a bare stud at battery voltage: a wired positive post, or contacts, a bar or a bolted fuse
    in a supply or charge run."""
    if isinstance(element, Battery):
        return f"{element.name}.positive" in case.layout.wired.get(element.name, ())
    return getattr(element, "family", None) not in _PLUGGED and live(case, element)


def live(case: Case, element: Node) -> bool:
    """Say whether a supply or charge wire ends at the node, so that its metal is at battery voltage."""
    return any(case.layout.words.get(one.name) in ("supply", "charge") for one in node.wires(case, element))


def covered(_case: Case, element: Node) -> bool:
    """Say whether a cover keeps tools off the live metal of the node."""
    field = "terminal_cover" if isinstance(element, Battery) else "cover"
    return bool(value_of(element, field, field))
