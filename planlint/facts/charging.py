"""What a rule may ask about charging: what the alternator has to give, how long a battery lasts, what joins batteries."""

from __future__ import annotations

from planlint.facts import charge, demand, scenario, wiring
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.graph.link import Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Charger, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Isolator
from planlint.plan.vehicle import Vehicle
from planlint.trade.assumptions import convention

_LEAD = ("flooded", "efb", "agm", "gel")
# Standard gravity in m/s2.
_G = 9.80665


def alternator_output(_case: Case, vehicle: Vehicle) -> float:
    """Return what the alternator gives hot in A (of a range the lower), from its label."""
    return stated(_alternator(vehicle, "rating"), ("vehicle", "alternator", "rating")).low


def idle_output(_case: Case, vehicle: Vehicle) -> float:
    """Return what the alternator gives with the engine idling in A; not stated, the share of its rating that is usual."""
    idling = _alternator(vehicle, "at_idle")
    if isinstance(idling, Quantity):
        return idling.low
    rating = stated(_alternator(vehicle, "rating"), ("vehicle", "alternator", "rating"))
    return rating.low * convention("alternator_idle_share")


def _alternator(vehicle: Vehicle, field: str) -> Quantity | None:
    found = getattr(vehicle.alternator, field, None)
    return found if isinstance(found, Quantity) else None


def charging_demand(case: Case, vehicle: Vehicle) -> float:
    """Return what the alternator has to give over a piece of music in A: the vehicle's own draw, what the devices on its
    battery take on average, its charge, and the planned current of every link that charges another battery.

    Raises UnknownError naming what is missing.
    """
    main = _main(case)
    links = sum(charge.current(case, case.nodes[name]) for name in sorted(charge.links(case)))
    return _own_draw(vehicle) + _average(case, main) + links + convention("battery_charge_current")


def idle_demand(case: Case, vehicle: Vehicle) -> float:
    """Return the vehicle's own draw and the average of all music, wherever it is taken from, in A."""
    _main(case)
    return _own_draw(vehicle) + _average(case, None)


def _main(case: Case) -> Vertex:
    found = scenario.main_battery(case)
    if found is None:
        batteries = sorted((n for n in case.plan.nodes if isinstance(n, Battery)), key=lambda node: node.name)
        if not batteries:
            raise UnfitError
        raise UnknownError((*batteries[0].path, "role"))
    return found


def _own_draw(vehicle: Vehicle) -> float:
    return stated(vehicle.factory_draw, ("vehicle", "factory_draw")).high


def _average(case: Case, post: Vertex | None) -> float:
    """Return what the users of a post take on average in A: amplifiers their share over a piece of music.

    None stands for all users but chargers, which pass on what others take.
    """
    total = 0.0
    for one in sorted(wiring.all_demands(case), key=lambda demand: demand.name):
        node = case.nodes[one.name]
        if post is None and isinstance(node, Charger):
            continue
        if post is None or wiring.supply(case).ways.feeding.post.get(one.power) == post:
            amps = demand.user_current(case, node)
            total += amps * scenario.duty(case) if isinstance(node, Amp) else amps
    return total


def music_current(case: Case, battery: Node) -> float:
    """Return what the devices that a battery feeds take on average with the engine off in A. Raises UnfitError for none."""
    if not isinstance(battery, Battery):
        raise UnfitError
    post = f"{battery.name}.positive"
    fed = [one for one in wiring.all_demands(case) if wiring.supply(case).ways.feeding.post.get(one.power) == post]
    if not any(isinstance(case.nodes[one.name], Amp) for one in fed):
        raise UnfitError
    return _average(case, post)


def lasts(case: Case, battery: Node) -> float:
    """Return how long in s a battery carries the music with the engine off: half of a lead battery's charge, four fifths of
    a lithium one's (common practice)."""
    amps = music_current(case, battery)
    chemistry = getattr(battery, "chemistry", None)
    if not isinstance(chemistry, str) or chemistry == "other":
        raise UnknownError((*battery.path, "chemistry"))
    usable = "usable_charge_lead" if chemistry in _LEAD else "usable_charge_lithium"
    return stated(getattr(battery, "capacity", None), (*battery.path, "capacity")).low * convention(usable) / amps


def asked_engine_off(case: Case, _battery: Node) -> float:
    """Return for how long in s the customer wants to listen with the engine off."""
    customer = case.plan.customer
    return stated(customer.engine_off if customer else None, ("customer", "engine_off")).high


def lowest_in_crank(case: Case, _node: Node) -> float:
    """Return the lowest supply voltage in V while the engine is started, as stated or as the trade takes it."""
    found = case.plan.vehicle.lowest_in_crank
    return found.low if isinstance(found, Quantity) else convention("crank_minimum")


def starts_by_itself(case: Case, _node: Node) -> bool:
    """Say whether the engine stops and starts by itself at halts."""
    found = case.plan.vehicle.start_stop
    if not isinstance(found, bool):
        raise UnknownError(("vehicle", "start_stop"))
    return found


def battery_sensor(case: Case, _wire: Wire) -> str:
    """Return where the vehicle measures the battery's current."""
    found = case.plan.vehicle.battery_sensor
    if not isinstance(found, str) or found == "unknown":
        raise UnknownError(("vehicle", "battery_sensor"))
    return found


def on_negative_post(case: Case, wire: Wire) -> Node | None:
    """Return the vehicle's own battery at whose negative post the wire ends."""
    for end in wire.ends:
        node = case.nodes[end.node]
        if isinstance(node, Battery) and node.role != "added" and end.terminal == "negative":
            return node
    return None


def main_negative(case: Case, _wire: Wire) -> str:
    """Return the negative post of the vehicle's own battery, as a wire's end is written."""
    return f"{case.layout.network.owners[_main(case)].name}.negative"


def charged(case: Case, node: Node) -> bool:
    """Say whether another battery charges this one by cable, without a charger between."""
    return node.name in charge.links(case)


def parted(case: Case, node: Node) -> bool:
    """Say whether an isolator parts a battery from the one that charges it. Raises UnfitError where none does."""
    link, here = charge.link_of(case, node), case.layout.network
    seen, front = {link.giver}, [link.giver]
    for at in front:
        for other, one in here.adjacent.get(at, ()):
            if other not in seen and not isinstance(one.node, Isolator):
                seen.add(other)
                front.append(other)
    return link.taker not in seen


def isolator_between(case: Case, node: Node) -> Node | None:
    """Return the isolator that parts a battery from the one that charges it, None where none does."""
    found = (link.node for link in charge.way(case, node) if isinstance(link.node, Isolator))
    return next(found, None)


def giver_chemistry(case: Case, node: Node) -> str:
    """Return the chemistry of the battery that charges this one by cable. Raises UnfitError where none does."""
    giver = case.layout.network.owners[charge.link_of(case, node).giver]
    found = getattr(giver, "chemistry", None)
    if not isinstance(found, str):
        raise UnknownError((*giver.path, "chemistry"))
    return found


def giver(case: Case, node: Node) -> Node:
    """Return the battery that charges this one by cable. Raises UnfitError where none does."""
    return case.layout.network.owners[charge.link_of(case, node).giver]


def hold_down_needed(case: Case, node: Node) -> float:
    """Return the force in N that a battery's hold-down must bear: twice its weight, twenty times where people sit (the
    settings of the trade)."""
    mass = stated(getattr(node, "mass", None), (*node.path, "mass")).high
    zone = case.zones.get(node.zone) if isinstance(node.zone, str) else None
    if zone is None:
        raise UnknownError((*node.path, "zone"))
    outside = zone.kind in ("engine-bay", "underbody", "frame", "bed")
    return mass * _G * (2.0 if outside else 20.0)


def new_place(_case: Case, node: Node) -> bool:
    """Say whether a battery is one that the job adds or moves."""
    return isinstance(node, Battery) and (node.role == "added" or node.moved is True)
