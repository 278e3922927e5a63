"""The network of a plan solved as it works: asleep, with music, at full power with the engine running, and with it off."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from planlint.facts import short, wiring
from planlint.facts.case import Case
from planlint.facts.demand import design_voltage
from planlint.frozen import frozen
from planlint.graph.circuit import Branch, Circuit, Draw
from planlint.graph.design import Demand
from planlint.graph.link import BODY_HUB, Link, LinkKind, Vertex
from planlint.graph.nodal import CollapseError, Solution, solve_circuit
from planlint.graph.piecewise import STIFF_OHM, Supply
from planlint.graph.sources import Source
from planlint.graph.unknown import UnknownError
from planlint.graph.ways import home_of
from planlint.plan.audio import Amp
from planlint.plan.nodes import Alternator, Battery, Charger, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Isolator
from planlint.trade.amplifiers import supply_exponent
from planlint.trade.assumptions import convention


class Scenario(StrEnum):
    """How the vehicle and the system work."""

    RESTING = "resting"
    MUSIC = "music"
    FULL = "full"
    FULL_OFF = "full-off"

    @property
    def running(self) -> bool:
        """Whether the engine runs."""
        return self in (Scenario.MUSIC, Scenario.FULL)

    @property
    def words(self) -> str:
        """The scenario as people say it."""
        return _WORDS[self]


_WORDS = {
    Scenario.RESTING: "asleep",
    Scenario.MUSIC: "with music and the engine running",
    Scenario.FULL: "at full power with the engine running",
    Scenario.FULL_OFF: "at full power with the engine off",
}


@frozen
class State:
    """A plan in one scenario: its solution, or, where there is none, the users whose voltage collapses, lowest first."""

    scenario: Scenario
    circuit: Circuit
    solution: Solution | None
    falling: tuple[str, ...] = ()


def state(case: Case, scenario: Scenario) -> State:
    """Return a plan in a scenario. Raises UnknownError naming the first field that is missing to solve it."""
    return case.once(("scenario", scenario), lambda: _solved(case, scenario))


def _solved(case: Case, scenario: Scenario) -> State:
    circuit = circuit_of(case, scenario)
    try:
        return State(scenario=scenario, circuit=circuit, solution=solve_circuit(circuit))
    except CollapseError as error:
        falling = tuple(key for key in error.draws if key in case.nodes)
        return State(scenario=scenario, circuit=circuit, solution=None, falling=falling or error.draws)


def circuit_of(case: Case, scenario: Scenario) -> Circuit:
    """Return the circuit of a plan in a scenario: all that joins its sources and users, as design currents meet it.

    Raises UnknownError naming the first field that is missing.
    """
    supplies = tuple(_supplies(case, scenario))
    draws = tuple(_draws(case, scenario))
    here = case.layout.network
    at = {end for ends in [*(one.ends for one in supplies), *(one.ends for one in draws)] for end in ends}
    nets = {id(net): net for end in at if (net := here.net_of.get(end))}
    links = {link.key: link for net in nets.values() for one in net.vertices for _, link in here.adjacent[one]}
    closed = [link for link in links.values() if not opens(link, scenario)]
    if not _body_carries(case, closed, at):
        closed = [link for link in closed if link.kind is not LinkKind.BODY]
    # In the order of their names, so that of several fields that are missing always the same is named.
    closed.sort(key=lambda link: link.key)
    branches = tuple(Branch(key=one.key, ends=one.ends, ohm=wiring.run_resistance(case, one)) for one in closed)
    return Circuit(branches=branches, supplies=supplies, draws=draws)


def _body_carries(case: Case, links: list[Link], ends: set[Vertex]) -> bool:
    """Say whether the body can carry anything: it conducts, and more than the battery is joined to it."""
    vehicle = case.plan.vehicle
    if vehicle.body == "composite" and vehicle.body_resistance is None:
        return False
    return BODY_HUB in ends or any(link.kind is LinkKind.GROUND_JOINT for link in links)


def opens(link: Link, scenario: Scenario) -> bool:
    """Say whether contacts are open in a scenario: isolators with the engine off, but one closed by hand; relays asleep."""
    if link.kind is not LinkKind.CONTACT:
        return False
    if isinstance(link.node, Isolator):
        return not scenario.running and link.node.control != "manual"
    return scenario is Scenario.RESTING and link.node is not None and link.node.kind == "relay"


def _supplies(case: Case, scenario: Scenario) -> Iterator[Supply]:
    drawn = False
    for source in case.layout.sources:
        if isinstance(source.node, (Alternator, Charger)) and not scenario.running:
            continue
        drawn = drawn or isinstance(source.node, Alternator)
        if not (isinstance(source.node, Charger) and source.vertex.endswith(".input")):
            yield _supply(case, source, scenario)
    alternator, main = case.plan.vehicle.alternator, main_battery(case)
    # One that is not drawn sits on the posts of the vehicle's own battery; unknown, it is left out with the vehicle's draw.
    if scenario.running and not drawn and main and alternator and isinstance(alternator.rating, Quantity):
        yield _limited(case, "alternator", main, alternator.rating.low)


def _supply(case: Case, source: Source, scenario: Scenario) -> Supply:
    """Return a source: a battery behind its resistance, which takes its charge current; a regulator up to its limit."""
    post = source.vertex
    if isinstance(source.node, Battery):
        inside = short.battery_resistance(case, post, lowest=False)
        charge = convention("battery_charge_current")
        ends = post, home_of(case.layout.network, post)
        return Supply(key=post, ends=ends, emf=short.voltage(case), ohm=inside, charge=charge)
    if source.fused:
        # A circuit of the vehicle: its fuse limits what it gives for long, not what its voltage is.
        volts = design_voltage(case) if scenario.running else short.voltage(case)
        return Supply(key=post, ends=(post, BODY_HUB), emf=volts, ohm=STIFF_OHM, charge=0.0)
    if source.limit is None:
        raise UnknownError(source.limit_path or source.node.path)
    return _limited(case, post, post, source.limit)


def _limited(case: Case, key: str, post: Vertex, limit: float) -> Supply:
    ends = post, home_of(case.layout.network, post)
    return Supply(key=key, ends=ends, emf=design_voltage(case), ohm=STIFF_OHM, limit=limit, charge=0.0)


def alternator_known(case: Case) -> bool:
    """Say whether the plan states what an alternator gives, of the vehicle or drawn as a part."""
    stated = case.plan.vehicle.alternator
    drawn = any(isinstance(one.node, Alternator) for one in case.layout.sources)
    return drawn or (stated is not None and isinstance(stated.rating, Quantity))


def main_battery(case: Case) -> Vertex | None:
    """Return the positive post of the vehicle's own battery, None where there is none or no telling which."""
    posts = [one.vertex for one in case.layout.sources if isinstance(one.node, Battery) and one.node.role != "added"]
    return posts[0] if len(posts) == 1 else None


def _draws(case: Case, scenario: Scenario) -> Iterator[Draw]:
    rated = design_voltage(case)
    for one in sorted(wiring.all_demands(case), key=lambda demand: demand.name):
        node = case.nodes[one.name]
        # What has no way back draws nothing: another rule asks for it.
        if one.ground and (amps := _amps(case, node, one, scenario)):
            lowest = getattr(node, "lowest_voltage", None)
            yield Draw(
                key=one.name,
                ends=(one.power, one.ground),
                watts=amps * rated,
                rated=rated,
                exponent=_exponent(node),
                lowest=lowest.low if isinstance(lowest, Quantity) else 0.0,
            )
    main, amps = main_battery(case), _vehicle_draw(case, scenario)
    if main and amps:
        ends = main, home_of(case.layout.network, main)
        yield Draw(key="the vehicle", ends=ends, watts=amps * rated, rated=rated, exponent=1.0)


def _exponent(node: Node) -> float:
    if isinstance(node, Charger):
        return 0.0
    return supply_exponent(node.class_) if isinstance(node, Amp) and isinstance(node.class_, str) else 1.0


def _amps(case: Case, node: Node, one: Demand, scenario: Scenario) -> float:
    """Return what a user draws at the design voltage in A. Raises UnknownError."""
    if scenario is Scenario.RESTING:
        stated = getattr(node, "standby", 0.0)
        return (
            stated.high
            if isinstance(stated, Quantity)
            else 0.0
            if stated is not None
            else float(case.assume("standby_draw", node.name))
        )
    if isinstance(node, Charger) and not scenario.running:
        return 0.0
    if one.amps is None:
        raise UnknownError(one.missing or node.path)
    return one.amps * (duty(case) if scenario is Scenario.MUSIC and isinstance(node, Amp) else 1.0)


def duty(case: Case) -> float:
    """Return the mean share of full power over a piece of music: as the customer is stated to use it, else the trade's."""
    stated = case.plan.customer.duty if case.plan.customer else None
    return stated.high if isinstance(stated, Quantity) else float(case.assume("music_share"))


def _vehicle_draw(case: Case, scenario: Scenario) -> float:
    """Return what the vehicle itself draws in A, nothing where it is not stated, nor where what feeds it is not."""
    vehicle = case.plan.vehicle
    known = alternator_known(case)
    stated = (
        vehicle.key_off_draw if scenario is Scenario.RESTING else vehicle.factory_draw if scenario.running else None
    )
    return stated.high if isinstance(stated, Quantity) and (known or not scenario.running) else 0.0
