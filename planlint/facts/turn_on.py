"""What a rule may ask about turning on: what turns each device on, what each source turns on, and what that takes."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import demand, short
from planlint.facts.case import Case
from planlint.facts.conductor import link_resistance, stated
from planlint.graph.circuit import Branch, Circuit, Draw
from planlint.graph.link import BODY_HUB, Link, LinkKind, Vertex
from planlint.graph.nodal import CollapseError, solve_circuit
from planlint.graph.piecewise import Supply
from planlint.graph.turn_on import Leads, Parked, any_contact, is_diode, leads_of, only_diodes, parked
from planlint.graph.unknown import UnfitError
from planlint.plan.audio import Amp, Converter, Radio
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.nodes import Charger, ControlSource, FactoryCircuit, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Contacts, Relay
from planlint.plan.values import NotApplicable, QuantityField
from planlint.trade.turn_on import coil_current

# The resistance in ohm of a source whose voltage is stated as it is under its load.
_STIFF = 1e-4


def leads(case: Case) -> Leads:
    """Return the turn-on leads of a plan."""
    return case.once("turn-on leads", lambda: leads_of(case.layout.network))


def asleep(case: Case) -> Parked:
    """Return what stays live while the vehicle is parked."""
    return case.once("parked", lambda: parked(leads(case), constants(case)))


def constants(case: Case) -> tuple[Vertex, ...]:
    """Return the terminals that are always live: of batteries and what charges them, and of circuits said to be so."""
    return tuple(at for at in leads(case).sources if always_live(leads(case).network.owners[at]))


def undecided(case: Case) -> tuple[Vertex, ...]:
    """Return the terminals of circuits of the vehicle of which nobody knows which they are."""
    return tuple(at for at in leads(case).sources if always_live(leads(case).network.owners[at]) is None)


def always_live(node: Node) -> bool | None:
    """Say whether a source is live in a parked vehicle, None where nobody knows."""
    if isinstance(node, (ControlSource, FactoryCircuit)):
        return node.circuit == "constant" if isinstance(node.circuit, str) else None
    return node.kind in ("battery", "alternator", "charger")


def _reach(case: Case, at: Vertex) -> dict[Vertex, Link | None]:
    """Return all that a source's terminal comes to with every contact closed."""
    return case.once(("turn-on reach", at), lambda: leads(case).outward([at], any_contact))


def reached(case: Case) -> dict[Vertex, Link | None]:
    """Return all that the sources of the plan come to with every contact closed on both sides."""
    return case.once("reached by any source", lambda: leads(case).outward(leads(case).sources, any_contact))


def source_vertices(case: Case, node: Node) -> tuple[Vertex, ...]:
    """Return the terminals of a node that give a turn-on voltage."""
    by_node = case.once("turn-on sources", lambda: _by_node(leads(case)))
    return by_node.get(node.name, ())


def _by_node(here: Leads) -> dict[str, tuple[Vertex, ...]]:
    found: dict[str, tuple[Vertex, ...]] = {}
    for at in here.sources:
        name = here.network.owners[at].name
        found[name] = (*found.get(name, ()), at)
    return found


def needs_turn_on(_case: Case, node: Node) -> bool:
    """Say whether the node is an added device or relay that must be told when to work: all but a passive converter."""
    if node.factory is True or not isinstance(node, (Amp, Converter, Relay)):
        return False
    return not (isinstance(node, Converter) and node.type == "passive")


def turn_on_sources(case: Case, node: Node) -> tuple[Node, ...]:
    """Return what gives the voltage at the node's turn-on terminal with every contact closed, by wire, fuse, diode and
    contact."""
    here = leads(case)
    mine = [at for at, owner in here.inputs.items() if owner is node]
    found = {here.network.owners[at].name for at in here.sources if not _reach(case, at).keys().isdisjoint(mine)}
    return tuple(case.nodes[name] for name in sorted(found - {node.name}))


def turn_on_wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the wires at the node's turn-on terminal."""
    here = leads(case)
    return tuple(wire for at, owner in here.inputs.items() if owner is node for wire in case.layout.wires_at(at))


def turns_on(case: Case, node: Node) -> tuple[Node, ...]:
    """Return the parts whose turn-on terminals the node gives voltage to with every contact closed."""
    return inputs_of(case, {one: None for at in source_vertices(case, node) for one in _reach(case, at)}, node)


def inputs_of(case: Case, reach: dict[Vertex, Link | None], source: Node) -> tuple[Node, ...]:
    """Return the parts, but the source itself, whose turn-on terminals lie in `reach`."""
    inputs = leads(case).inputs
    names = {inputs[at].name for at in reach if at in inputs} - {source.name}
    return tuple(case.nodes[name] for name in sorted(names))


def turn_on_capacity(case: Case, node: Node) -> float:
    """Return what a turn-on output may give in A; where it is not stated what the trade takes of an unknown one.

    Raises UnfitError for what is no turn-on output: a battery, a circuit with a fuse of the vehicle.
    """
    if not isinstance(node, (Radio, Converter, ControlSource)):
        raise UnfitError
    limit = node.limit if isinstance(node, ControlSource) else node.turn_on_limit
    return limit.low if isinstance(limit, Quantity) else float(case.assume("control_source_limit", node.name))


def turn_on_load(case: Case, node: Node) -> float:
    """Return what a turn-on output has to give in A when it alone turns on all that it leads to.

    Raises UnfitError for what is no turn-on output, or one that turns nothing on; UnknownError naming what is missing.
    """
    if not isinstance(node, (Radio, Converter, ControlSource)):
        raise UnfitError
    found = [one for at in source_vertices(case, node) for one in _loads(case, at)]
    if not found:
        raise UnfitError
    return sum(input_draw(case, one) for _, one in found)


def _own_reach(case: Case, at: Vertex) -> dict[Vertex, Link | None]:
    """Return what a turn-on output alone feeds: nothing that a battery or a circuit of the vehicle holds anyway."""
    held = case.once("held by supplies", lambda: frozenset(leads(case).outward(_supplies(leads(case)), only_diodes)))
    if at in held:
        raise UnfitError
    return case.once(("turn-on alone", at), lambda: leads(case).outward([at], lambda link: held.isdisjoint(link.ends)))


def _supplies(here: Leads) -> list[Vertex]:
    return [at for at in here.sources if Role.SOURCE in here.network.roles[at]]


def _loads(case: Case, at: Vertex) -> Iterator[tuple[Vertex, Node]]:
    """Yield by terminal what draws from a turn-on output: turn-on inputs, and small devices that it supplies."""
    here = leads(case)
    for one in sorted(_own_reach(case, at)):
        node = here.inputs.get(one) or here.network.users.get(one)
        if node is not None and node is not here.network.owners[at]:
            yield one, node


def input_draw(case: Case, node: Node) -> float:
    """Return what a node draws from a turn-on lead in A: its coil, its turn-on terminal, or all of its supply.

    Raises UnknownError where neither current nor resistance of a coil is stated. What has no coil draws nothing there.
    """
    if isinstance(node, Contacts):
        return coil_draw(case, node)
    if isinstance(node, (Amp, Converter, Charger)):
        drawn: QuantityField = node.turn_on_draw
        return drawn.high if isinstance(drawn, Quantity) else float(case.assume("turn_on_draw", node.name))
    return demand.user_current(case, node)


def coil_draw(case: Case, node: Contacts) -> float:
    """Return what a coil draws in A, of a range the most; from its resistance at the voltage of the running system."""
    ohm = node.coil_resistance
    if isinstance(node.coil, NotApplicable):
        return 0.0
    if not isinstance(node.coil, Quantity) and isinstance(ohm, Quantity) and ohm.low > 0:
        return coil_current(demand.design_voltage(case), ohm.low)
    return stated(node.coil, (*node.path, "coil")).high


def turn_on_volts(case: Case, node: Node) -> float:
    """Return the lowest voltage in V at the node's turn-on terminal, each output that turns it on taken alone.

    Raises UnfitError where no turn-on output does, or on a system of other than 12 V; UnknownError naming what is missing.
    """
    return min(_volts(case, at)[one] for at, one in _fed(case, node))


def turned_on_by_output(case: Case, node: Node) -> bool:
    """Say whether an output of the radio, a converter or a control source turns the node on, in a 12 V system."""
    try:
        return bool(_fed(case, node))
    except UnfitError:
        return False


def surely_left(case: Case, node: Node) -> float:
    """Return a voltage in V that is left at the node's turn-on terminal at least, quickly known: as if all that each output
    gives ran the whole way to it. Raises UnfitError and UnknownError as `turn_on_volts` does."""
    return min(_surely_left(case, at, one) for at, one in _fed(case, node))


def _surely_left(case: Case, at: Vertex, one: Vertex) -> float:
    reach = _own_reach(case, at)
    emf = _source_volts(case, leads(case).network.owners[at])
    # A coil takes the more the higher the voltage is.
    most = max(1.0, emf / demand.design_voltage(case))
    amps = most * sum(input_draw(case, node) for _, node in _loads(case, at))
    ohm = _STIFF + sum(_ohm(case, link) for link in _way(reach, one))
    return emf - amps * ohm - _diodes(case, reach, one)


def _fed(case: Case, node: Node) -> list[tuple[Vertex, Vertex]]:
    """Return the outputs that turn the node on, each with the terminal at which it does."""
    system = stated(case.plan.vehicle.system, ("vehicle", "system"))
    here = leads(case)
    mine = [at for at, owner in here.inputs.items() if owner is node]
    outputs = [at for at in here.sources if Role.TURN_ON_SOURCE in here.network.roles[at]]
    fed = [(at, one) for at in outputs for one in mine if _feeds(case, at, one)]
    if not fed or system.high != 12.0:
        raise UnfitError
    return fed


def _feeds(case: Case, at: Vertex, one: Vertex) -> bool:
    try:
        return one in _own_reach(case, at)
    except UnfitError:
        return False


def _volts(case: Case, at: Vertex) -> dict[Vertex, float]:
    return case.once(("turn-on volts", at), lambda: _solved(case, at))


def _solved(case: Case, at: Vertex) -> dict[Vertex, float]:
    """Return the voltage at each terminal that a turn-on output feeds: nodal analysis of its wires, less diodes' drops."""
    reach = _own_reach(case, at)
    links = {link.key: link for one in reach for _, link in leads(case).adjacent.get(one, ())}
    inside = sorted((link for link in links.values() if set(link.ends) <= reach.keys()), key=lambda link: link.key)
    branches = tuple(Branch(key=one.key, ends=one.ends, ohm=_ohm(case, one)) for one in inside)
    emf = _source_volts(case, leads(case).network.owners[at])
    supply = Supply(key=at, ends=(at, BODY_HUB), emf=emf, ohm=_STIFF)
    draws = tuple(_draw(case, one, node) for one, node in _loads(case, at))
    try:
        solution = solve_circuit(Circuit(branches=branches, supplies=(supply,), draws=draws))
    except CollapseError:
        # The leads cannot carry it at all.
        return dict.fromkeys(reach, 0.0)
    ground = solution.volts[BODY_HUB]
    return {one: solution.volts[one] - ground - _diodes(case, reach, one) for one in reach if one in solution.volts}


def _ohm(case: Case, link: Link) -> float:
    return 0.0 if link.kind is LinkKind.CONTACT else link_resistance(case, link)


def _draw(case: Case, at: Vertex, node: Node) -> Draw:
    rated = demand.design_voltage(case)
    by_resistance = isinstance(node, Contacts) and not isinstance(node.coil, Quantity)
    watts = input_draw(case, node) * rated
    return Draw(key=at, ends=(at, BODY_HUB), watts=watts, rated=rated, exponent=2.0 if by_resistance else 1.0)


def _source_volts(case: Case, node: Node) -> float:
    """Return the voltage in V that a turn-on output gives: as stated, else that of a full battery with the engine off."""
    found = node.voltage if isinstance(node, ControlSource) else getattr(node, "turn_on_voltage", None)
    return found.low if isinstance(found, Quantity) else short.voltage(case)


def _diodes(case: Case, reach: dict[Vertex, Link | None], at: Vertex) -> float:
    """Return the volts lost across the diodes between an output and a terminal."""
    lost = 0.0
    for link in _way(reach, at):
        if is_diode(link) and link.node:
            drop = getattr(link.node, "drop", None)
            lost += drop.high if isinstance(drop, Quantity) else float(case.assume("diode_drop", link.name))
    return lost


def _way(reach: dict[Vertex, Link | None], at: Vertex) -> Iterator[Link]:
    """Yield the links from a terminal back to the output that reaches it."""
    while link := reach[at]:
        yield link
        at = link.ends[0] if link.ends[1] == at else link.ends[1]
