"""What a rule may ask about what parts two batteries while the engine is off."""

from __future__ import annotations

from planlint.facts import charge, turn_on
from planlint.facts.case import Case
from planlint.graph.link import Link, LinkKind
from planlint.graph.turn_on import any_contact, is_diode, is_relay, rests_closed
from planlint.graph.unknown import UnknownError
from planlint.plan.nodes import Node
from planlint.plan.runs import Isolator


def parted(case: Case, node: Node) -> bool:
    """Say whether contacts part a battery from the one that charges it while the engine is off: those of an isolator, of a
    switch that a hand opens, or of a relay whose coil nothing holds then.

    Raises UnfitError where no battery charges it, UnknownError where nobody says whether a relay's coil is held.
    """
    link, here = charge.link_of(case, node), case.layout.network
    seen, front = {link.giver}, [link.giver]
    unknown: UnknownError | None = None
    for at in front:
        for other, one in here.adjacent.get(at, ()):
            if other in seen:
                continue
            try:
                if _opens(case, one):
                    continue
            except UnknownError as error:
                unknown = unknown or UnknownError(error.path)
                continue
            seen.add(other)
            front.append(other)
    if unknown and link.taker not in seen:
        raise unknown
    return link.taker not in seen


def _opens(case: Case, link: Link) -> bool:
    """Say whether contacts are open, or can be opened by hand, while the engine is off."""
    if link.kind is not LinkKind.CONTACT or is_diode(link):
        return False
    if not is_relay(link):
        return True
    if rests_closed(link) or link.name in turn_on.asleep(case).energised:
        return False
    leads = turn_on.leads(case)
    for at in turn_on.undecided(case):
        if f"{link.name}.coil-positive" in leads.outward([at], any_contact):
            raise UnknownError((*leads.network.owners[at].path, "circuit"))
    return True


def isolator_between(case: Case, node: Node) -> Node | None:
    """Return the isolator that parts a battery from the one that charges it, None where none does."""
    found = (link.node for link in charge.way(case, node) if isinstance(link.node, Isolator))
    return next(found, None)
