"""What a rule may ask about a relay: what drives its coil, what its contacts carry, and what guards their feed."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from planlint.facts import conductor, demand, device, protection, turn_on, wiring
from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.graph.link import Link, LinkKind, Vertex
from planlint.graph.network import block_fuse
from planlint.graph.turn_on import is_relay
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.nodes import Capacitor, ControlSource, Load, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import BlockOutput, Distribution
from planlint.trade import turn_on as turn_on_trade

_ELECTRONIC = ("radio-remote", "bus-interface")
# A tap may run this far to its own fuse, in m: 7 in of 33 CFR 183.455.
_TAP = 0.18
_ENDS = {Role.SOURCE, Role.POWER, Role.TURN_ON}


def _contacts(node: Node) -> list[Vertex]:
    """Return the terminals of a relay's contacts, the common one first."""
    return [f"{node.name}.{side}" for side in ("common", "normally-open", "normally-closed")]


def _but(node: Node) -> Callable[[Link], bool]:
    """Return what takes every contact as closed but those of a relay."""
    return lambda link: link.name != node.name


def coil_drivers(case: Case, node: Node) -> tuple[Node, ...]:
    """Return the electronic outputs that drive the coil, not through another relay's contacts: those of a radio, a
    converter, a processor, an interface.

    Raises UnknownError where one circuit that drives it is not stated and no electronic one does.
    """
    here, coil = turn_on.leads(case), f"{node.name}.coil-positive"
    found, unknown = [], None
    for at in here.sources:
        owner = here.network.owners[at]
        if Role.TURN_ON_SOURCE not in here.network.roles[at]:
            continue
        if coil in here.outward([at], lambda link: not is_relay(link)):
            electronic = owner.circuit in _ELECTRONIC if isinstance(owner, ControlSource) else True
            found += [owner] if electronic else []
            unknown = owner if isinstance(owner, ControlSource) and owner.circuit is None else unknown
    if unknown and not found:
        raise UnknownError((*unknown.path, "circuit"))
    return tuple(found)


def contact_current(case: Case, node: Node) -> float:
    """Return the design current in A through the contacts of a relay: of the devices it feeds, and of the turn-on terminals.

    Raises UnfitError where nothing lies beyond it, UnknownError naming what is missing.
    """
    return case.once(("contact current", node.name), lambda: _contact_current(case, node))


def _contact_current(case: Case, node: Node) -> float:
    link = case.layout.network.links.get(f"{LinkKind.CONTACT} {node.name}")
    try:
        supply = device.through(case, link) if link else 0.0
    except UnfitError:
        supply = 0.0
    sums = [supply]
    for far, beyond in _far_sides(case, node):
        through = _current_at_rest(case, beyond) if _at_rest_alone(case, node, far) else supply
        sums.append(through + sum(turn_on.input_draw(case, one) for one in _woken(case, node, beyond)))
    if not max(sums):
        raise UnfitError
    return max(sums)


def contact_rating(case: Case, node: Node) -> float:
    """Return the current in A that the contacts of a relay carry in the air of its zone; as stated where the plan does not
    say for which air that is."""
    rating = float(value_of(node, "rating", "rating", upper=False))
    rated_at = getattr(node, "rated_at", None)
    if not isinstance(rated_at, Quantity):
        return rating
    return turn_on_trade.contact_rating(
        rating, rated_at.low, conductor.zone_ambient(case, value_of(node, "zone", "zone"))
    )


def _woken(case: Case, node: Node, beyond: Iterable[Vertex]) -> list[Node]:
    inputs = turn_on.leads(case).inputs
    names = {inputs[at].name for at in beyond if at in inputs} - {node.name}
    return [case.nodes[name] for name in sorted(names)]


def _supplied(case: Case, beyond: Iterable[Vertex]) -> list[Node]:
    users = turn_on.leads(case).network.users
    return [case.nodes[name] for name in sorted({users[at].name for at in beyond if at in users})]


def _at_rest_alone(case: Case, node: Node, far: Vertex) -> bool:
    """Say whether a side of the contacts has current only while the coil has none, and another one while it has."""
    return far.endswith(".normally-closed") and f"{node.name}.normally-open" in case.layout.network.wires_at


def _current_at_rest(case: Case, beyond: Iterable[Vertex]) -> float:
    """Return the design current in A of what the resting side of a changeover relay supplies."""
    return sum(demand.user_current(case, one) for one in _supplied(case, beyond) if not isinstance(one, Capacitor))


def _far_sides(case: Case, node: Node) -> list[tuple[Vertex, dict[Vertex, Link | None]]]:
    """Return the contact terminals to which no source comes but through the relay, each with all that lies beyond it."""
    here = turn_on.leads(case)
    others = _but(node)
    ends = _contacts(node)
    live = here.outward(here.sources, others)
    fed = [at for at in ends if at in live]
    far = {one for at in fed for one in (ends[1:] if at == ends[0] else ends[:1]) if one not in fed}
    return [(at, here.outward([at], others)) for at in sorted(far)]


def switched(case: Case, node: Node) -> tuple[tuple[Node, ...], tuple[Node, ...]]:
    """Return the parts that the contacts of a relay turn on, and those that they supply."""
    beyond = {at for _, reach in _far_sides(case, node) for at in reach}
    return tuple(_woken(case, node, beyond)), tuple(_supplied(case, beyond))


def switches_surge(case: Case, node: Node) -> bool:
    """Say whether the contacts switch what takes several times its current at first: amplifiers and capacitors with their
    empty capacitors, motors, lamps.

    Raises UnknownError where that is not stated of a load and no other is such.
    """
    served = wiring.users_by_link(case).get(f"{LinkKind.CONTACT} {node.name}", ())
    at_rest = [at for far, reach in _far_sides(case, node) if _at_rest_alone(case, node, far) for at in reach]
    unknown = None
    for user in (*(case.nodes[name] for name in served), *_supplied(case, at_rest)):
        if isinstance(user, (Amp, Capacitor)) or (isinstance(user, Load) and user.surge is True):
            return True
        unknown = user if isinstance(user, Load) and user.surge is None else unknown
    if unknown:
        raise UnknownError((*unknown.path, "surge"))
    return False


def feed_wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the added wires that bring the contacts of a relay current from a battery, an alternator or a charger."""
    here = turn_on.leads(case)
    others = _but(node)
    strong = [one.vertex for one in case.layout.sources if not one.fused]
    reach = here.outward(strong, others)
    ends = _contacts(node)
    return tuple(wire for at in ends if at in reach for wire in case.layout.wires_at(at))


def feed_output(case: Case, node: Node) -> BlockOutput | None:
    """Return the fused output of a distribution block at which the feed of a relay's contacts begins, None where none is."""
    for one in feed_wires(case, node):
        for end in one.ends:
            block = case.nodes[end.node]
            output = block_fuse(block, end.terminal) if isinstance(block, Distribution) else None
            if output in getattr(block, "outputs", ()):
                return output
    return None


def feed_fused(case: Case, node: Node) -> bool:
    """Say whether a fuse guards the feed of a relay's contacts: one of its own before it or close behind it, or one further
    up that suits the feed and the contacts as well. Raises UnfitError where no battery feeds them."""
    wires = feed_wires(case, node)
    if not wires:
        raise UnfitError
    return all(_own_fuse(case, node, wire) or _near_fuse(case, wire) or _suits(case, node, wire) for wire in wires)


def unfused_inflow(case: Case, node: Node) -> float:
    """Return what can flow into the feed of a relay's contacts before a fuse opens, in A; infinite without one."""
    wires = feed_wires(case, node)
    if not wires:
        raise UnfitError
    return max(protection.upstream_rating(case, wire) for wire in wires)


def _near_fuse(case: Case, wire: Wire) -> bool:
    """Say whether all current through the feed passes a fuse within 180 mm (7 in) of where it is taken."""
    try:
        return protection.own_fuse_reach(case, wire) <= _TAP
    except UnfitError:
        return False


def _suits(case: Case, node: Node, wire: Wire) -> bool:
    """Say whether no more can flow into the feed than it and the contacts bear."""
    inflow = protection.upstream_rating(case, wire)
    if math.isinf(inflow) or inflow > conductor.fuse_limit(case, wire) * (1 + 1e-9):
        return False
    rating = conductor.stated(getattr(node, "rating", None), (*node.path, "rating"))
    return inflow <= rating.low * (1 + 1e-9)


def _own_fuse(case: Case, node: Node, wire: Wire) -> bool:
    """Say whether the run to the contacts begins at one fuse, and leads to nothing else."""
    here = turn_on.leads(case).network
    mine = set(_contacts(node))
    run = [at for at in here.ends[wire.name] if at in mine][:1]
    fuses: set[str] = set()
    for at in run:
        if at not in mine and not _ENDS.isdisjoint(here.roles.get(at, ())):
            return False
        for other, link in here.adjacent.get(at, ()):
            if link.kind is LinkKind.DEVICE:
                fuses.add(link.key)
            elif is_relay(link) and link.name != node.name:
                return False
            elif link.name != node.name and other not in run:
                run.append(other)
    return len(fuses) == 1
