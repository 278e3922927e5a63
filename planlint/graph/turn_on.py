"""Traces turn-on leads from their sources to what they turn on, and finds what stays live while the vehicle is parked."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping

from planlint.frozen import frozen
from planlint.graph.link import Adjacent, Link, LinkKind, Vertex
from planlint.graph.network import Network
from planlint.plan.audio import Converter
from planlint.plan.kinds import Role
from planlint.plan.nodes import Node
from planlint.plan.runs import Isolator

_CONDUCTS = (LinkKind.WIRE, LinkKind.DEVICE, LinkKind.CONTACT)
_GIVES = (Role.SOURCE, Role.TURN_ON_SOURCE)
_HOME = (Role.BODY, Role.NEGATIVE)
# What turns itself on passes that on at this terminal.
_IN, _OUT = ".turn-on-in", ".turn-on-out"


@frozen
class Leads:
    """The conductors of a plan as a turn-on lead uses them: both sides of every relay, diodes one way.

    `sources` are the terminals that can give a turn-on voltage, `inputs` those that take one, by node.
    """

    network: Network
    adjacent: Adjacent
    sources: tuple[Vertex, ...]
    inputs: Mapping[Vertex, Node]

    def outward(self, starts: Iterable[Vertex], closed: Callable[[Link], bool]) -> dict[Vertex, Link | None]:
        """Return the vertices that a voltage at `starts` comes to, each with the link by which it was first met.

        Of contacts those that `closed` names pass it on; a diode passes it on from its line to its load.
        """
        found: dict[Vertex, Link | None] = dict.fromkeys(starts)
        front = list(found)
        for at in front:
            for other, link in self.adjacent.get(at, ()):
                if other not in found and passes(link, at) and (link.kind is not LinkKind.CONTACT or closed(link)):
                    found[other] = link
                    front.append(other)
        return found


def leads_of(network: Network) -> Leads:
    """Return the turn-on leads of a network."""
    adjacent: dict[Vertex, list[tuple[Vertex, Link]]] = {}
    for link in (*(one for one in network.links.values() if one.kind in _CONDUCTS), *_resting_sides(network)):
        for at, other in (link.ends, link.ends[::-1]):
            adjacent.setdefault(at, []).append((other, link))
    # In the order of names, so that of two ways always the same is met first.
    for around in adjacent.values():
        around.sort(key=lambda pair: pair[1].key)
    roles = sorted(network.roles.items())
    return Leads(
        network=network,
        adjacent=adjacent,
        sources=tuple(
            at for at, has in roles if not set(_GIVES).isdisjoint(has) and not _powerless(network.owners[at])
        ),
        inputs={at: network.owners[at] for at, has in roles if Role.TURN_ON in has},
    )


def _powerless(node: Node) -> bool:
    """Say whether a part works without a supply, and so has no voltage to give."""
    return isinstance(node, Converter) and node.type == "passive"


def _resting_sides(network: Network) -> Iterable[Link]:
    """Return the contacts of relays that are closed while the coil has no current."""
    for name, node in network.nodes.items():
        ends = f"{name}.common", f"{name}.normally-closed"
        if node.kind == "relay" and ends[1] in network.wires_at:
            yield Link(key=f"resting {name}", kind=LinkKind.CONTACT, name=name, ends=ends, node=node)


def rests_closed(link: Link) -> bool:
    """Say whether a contact is that of a relay's resting side."""
    return link.ends[1].endswith(".normally-closed")


def is_diode(link: Link) -> bool:
    """Say whether a link lets current through one way only."""
    return link.node is not None and link.node.kind == "diode"


def passes(link: Link, at: Vertex) -> bool:
    """Say whether a link takes a positive voltage onward from a vertex: a diode only from its line."""
    return not is_diode(link) or link.ends[0] == at


def is_relay(link: Link) -> bool:
    """Say whether a link is the contact of a relay."""
    return link.kind is LinkKind.CONTACT and link.node is not None and link.node.kind == "relay"


def any_contact(_link: Link) -> bool:
    """Take every contact as closed."""
    return True


def only_diodes(link: Link) -> bool:
    """Take every contact as open."""
    return is_diode(link)


@frozen
class Parked:
    """What is live while the vehicle is parked and locked, from sources that are always live.

    `live` are the vertices at which the voltage stands with every switch off, `energised` the relays whose coils it holds.
    """

    leads: Leads
    live: frozenset[Vertex]
    energised: frozenset[str]

    def closed(self, link: Link) -> bool:
        """Say whether a contact is closed with every switch off: relays by their coils, isolators only by hand."""
        if is_diode(link):
            return True
        if is_relay(link):
            return (link.name in self.energised) is not rests_closed(link)
        return isinstance(link.node, Isolator) and link.node.control == "manual"

    def closed_or_switch(self, link: Link) -> bool:
        """Say whether a contact is closed where somebody left all switches on."""
        return self.closed(link) or (link.node is not None and link.node.kind == "switch")

    def reach(
        self, starts: Iterable[Vertex], *, switches: bool = False, but: Container[str] = ()
    ) -> dict[Vertex, Link | None]:
        """Return what is live from some terminals, what is passed on by parts that are turned on included.

        The contacts of the relays in `but` count as open.
        """
        closed = self.closed_or_switch if switches else self.closed
        found: dict[Vertex, Link | None] = {}
        more = list(starts)
        while more:
            found |= self.leads.outward([*found, *more], lambda link: link.name not in but and closed(link))
            outs = (at.removesuffix(_IN) + _OUT for at in found if at.endswith(_IN))
            more = [at for at in outs if at in self.leads.adjacent and at not in found]
        return found


def parked(leads: Leads, constant: Iterable[Vertex]) -> Parked:
    """Return what is live in a parked vehicle from the terminals that are always live.

    It is parked after a drive, in which every coil that a source comes to had current: a relay that holds itself stays.
    Relays that hold or break each other's coils without end are left as they stand after one round for each.
    """
    starts = tuple(constant)
    coils = {node.name: at for at, node in leads.inputs.items() if node.kind == "relay" and grounded(leads, node)}
    driven = leads.outward(leads.sources, any_contact)
    energised = frozenset(name for name, at in coils.items() if at in driven)
    state = Parked(leads=leads, live=frozenset(driven), energised=energised)
    for _ in range(len(coils) + 2):
        live = frozenset(state.reach(starts))
        energised = frozenset(name for name, at in coils.items() if at in live)
        if (live, energised) == (state.live, state.energised):
            break
        state = Parked(leads=leads, live=live, energised=energised)
    return state


def grounded(leads: Leads, relay: Node, closed: Callable[[Link], bool] = only_diodes) -> bool:
    """Say whether a coil is grounded, with every switch off unless `closed` names contacts; one whose ground is not drawn
    counts as grounded."""
    at = f"{relay.name}.coil-negative"
    roles = leads.network.roles
    if at not in leads.network.wires_at:
        return True
    return any(not set(_HOME).isdisjoint(roles.get(one, ())) for one in leads.outward([at], closed))
