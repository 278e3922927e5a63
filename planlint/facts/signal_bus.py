"""What a rule may ask about the vehicle's data, diagnostic and airbag wiring that an added part is joined to."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.graph.nets import Net
from planlint.graph.unknown import UnknownError
from planlint.plan.audio import Radio, Tap
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.nodes import Node

_BUSES = {"bus": "a data bus", "diagnostic": "the diagnostic connector", "srs": "the airbag wiring"}


def bus_joined(case: Case, node: Node) -> str | None:
    """Return the data, diagnostic or airbag wiring of the vehicle's that an added part is joined to, None where to none.

    Raises UnknownError for a tap that does not say where it is and whose wires do not tell.
    """
    place = node.place if isinstance(node, Tap) else None
    if isinstance(place, str) and place in _BUSES:
        return _BUSES[place]
    drawn = case.layout.drawn
    nets = [drawn.net_of[at] for at in sorted(case.layout.wired.get(node.name, ())) if at in drawn.net_of]
    if any(net in _data_nets(case) for net in nets):
        return _BUSES["bus"]
    if isinstance(node, Tap) and place is None and not any(_carries_music(case, net) for net in nets):
        raise UnknownError((*node.path, "place"))
    return None


def bus_wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the wires by which the part is joined to a data bus of the vehicle's."""
    drawn = case.layout.drawn
    spots = [at for at in sorted(case.layout.wired.get(node.name, ())) if drawn.net_of.get(at) in _data_nets(case)]
    return tuple(wire for at in spots for wire in drawn.wires_at.get(at, ()))


def approved(_case: Case, node: Node) -> bool:
    """Say whether the part is stated to be an interface that the vehicle maker approves."""
    return getattr(node, "approved_interface", None) is True


def _data_nets(case: Case) -> frozenset[Net]:
    """Return the nets in which a data terminal of the vehicle's own lies."""
    return case.once("data nets", lambda: _find_data_nets(case))


def _find_data_nets(case: Case) -> frozenset[Net]:
    drawn = case.layout.drawn
    return frozenset(
        drawn.net_of[at]
        for at, roles in drawn.roles.items()
        if Role.DATA in roles
        and at in drawn.net_of
        and (isinstance(drawn.owners[at], Radio) or drawn.owners[at].factory)
    )


def _carries_music(case: Case, net: Net) -> bool:
    roles = case.layout.drawn.roles
    music = {Role.LINE, Role.RADIO_SPEAKER, Role.SPEAKER}
    return any(role in music for at in net.vertices for role in roles.get(at, ()))
