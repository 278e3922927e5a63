"""What a rule may ask about charging: what the alternator has to give, how long a battery lasts, what joins batteries."""

from __future__ import annotations

from typing import Any

from planlint.facts import charge, demand, scenario, wiring
from planlint.facts.battery import LEAD, lithium
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.graph.link import Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp
from planlint.plan.model import Wire
from planlint.plan.nodes import Alternator, Battery, Charger, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import GroundPoint
from planlint.plan.values import NotApplicable
from planlint.plan.vehicle import Vehicle
from planlint.trade.assumptions import convention


def alternator_output(case: Case, vehicle: Vehicle) -> float:
    """Return what the alternator gives hot in A (of a range the lower), from its label; of several drawn ones their sum."""
    return sum([_rating(case, vehicle, one) for one in _alternators(case)])


def no_alternator(case: Case, vehicle: Vehicle) -> bool:
    """Say whether the plan says that the vehicle has no alternator: that a rating does not apply, and none is drawn."""
    return _alternators(case) == [None] and isinstance(_told(vehicle, None, "rating"), NotApplicable)


def idle_output(case: Case, vehicle: Vehicle) -> float:
    """Return what the alternator gives with the engine idling in A; not stated, the share of its rating that is usual. Of
    several drawn ones it is their sum."""
    return sum([_idling(case, vehicle, one) for one in _alternators(case)])


def _alternators(case: Case) -> list[Alternator | None]:
    """Return the alternators drawn as parts, None for the vehicle's own where none is."""
    return [node for node in case.plan.nodes if isinstance(node, Alternator)] or [None]


def _rating(case: Case, vehicle: Vehicle, one: Alternator | None) -> float:
    # Where there is one alternator alone it is the vehicle that has to tell.
    path = one.path if one and len(_alternators(case)) > 1 else ("vehicle", "alternator")
    return stated(_told(vehicle, one, "rating"), (*path, "rating")).low


def _idling(case: Case, vehicle: Vehicle, one: Alternator | None) -> float:
    found = _told(vehicle, one, "at_idle")
    if isinstance(found, Quantity):
        return found.low
    return _rating(case, vehicle, one) * float(case.assume("alternator_idle_share"))


def _told(vehicle: Vehicle, one: Alternator | None, field: str) -> Any:
    """Return what an alternator drawn as a part states, where it is silent or not drawn what is stated of the vehicle's."""
    own = getattr(one, field) if one else None
    return own if own is not None else getattr(vehicle.alternator, field, None)


def alternator_control(case: Case, _element: Any) -> str:
    """Return how the alternator's voltage is set: `fixed`, `variable` or `dc-dc`; `none` where the plan says that this does
    not apply."""
    drawn = _alternators(case)
    # Of several nobody can tell which the isolator follows.
    found = _told(case.plan.vehicle, drawn[0] if len(drawn) == 1 else None, "control")
    if isinstance(found, NotApplicable):
        return "none"
    if not isinstance(found, str):
        raise UnknownError(("vehicle", "alternator", "control"))
    return found


def charging_demand(case: Case, vehicle: Vehicle) -> float:
    """Return what the alternator has to give over a piece of music in A: the vehicle's own draw, what the devices on its
    battery take on average, its charge, and the planned current of every link that charges another battery.

    Raises UnknownError naming what is missing.
    """
    main, own = main_post(case), _own_draw(vehicle)
    links, charge_current = links_from(case, main), _charge_of(case, case.layout.network.owners[main])
    return own + links + charge_current + drawn(case, own_posts(case), scenario.duty(case))


def links_from(case: Case, post: Vertex) -> float:
    """Return the planned current in A of the links by which the battery of a post charges others."""
    taken = sorted(name for name, link in charge.links(case).items() if link.giver == post)
    return sum([charge.current(case, case.nodes[name]) for name in taken], 0.0)


def _charge_of(case: Case, battery: Node) -> float:
    """Return what a battery at the alternator takes while it is charged in A: 5 A for lead (common practice), all that it
    may for lithium, which takes that until it is full. One of which nobody says what it is counts as lead, and it is noted.

    Raises UnknownError where a lithium battery's limit is not stated.
    """
    if getattr(battery, "chemistry", None) is None:
        return float(case.assume("unknown_battery_charge"))
    if lithium(case, battery):
        return stated(getattr(battery, "charge_limit", None), (*battery.path, "charge_limit")).high
    return convention("battery_charge_current")


def idle_demand(case: Case, vehicle: Vehicle) -> float:
    """Return the vehicle's own draw and the average of all music, wherever it is taken from, in A."""
    main_post(case)
    own = _own_draw(vehicle)
    return own + drawn(case, None, scenario.duty(case))


def main_post(case: Case) -> Vertex:
    """Return the positive post of the vehicle's own battery. Raises UnknownError where there is no telling which it is,
    UnfitError where there is none."""
    found = scenario.main_battery(case)
    if found is None:
        # One that says nothing is named before one that says what it is.
        batteries = sorted(
            (n for n in case.plan.nodes if isinstance(n, Battery)), key=lambda node: (node.role is not None, node.name)
        )
        if not batteries:
            raise UnfitError
        raise UnknownError((*batteries[0].path, "role"))
    return found


def own_posts(case: Case) -> frozenset[Vertex]:
    """Return where the vehicle's own supply feeds what the job adds: its battery's post and its fused circuits."""
    return frozenset({main_post(case), *(source.vertex for source in case.layout.sources if source.fused)})


def _own_draw(vehicle: Vehicle) -> float:
    return stated(vehicle.factory_draw, ("vehicle", "factory_draw")).high


def drawn(case: Case, posts: frozenset[Vertex] | None, duty: float) -> float:
    """Return what the added users of some posts take in A, amplifiers `duty` times their full current.

    None stands for all users but chargers, which pass on what others take.
    """
    total = 0.0
    for one in sorted(wiring.all_demands(case), key=lambda demand: demand.name):
        node = case.nodes[one.name]
        if node.factory is True or (posts is None and isinstance(node, Charger)):
            continue
        if posts is None or wiring.supply(case).ways.feeding.post.get(one.power) in posts:
            amps = demand.user_current(case, node)
            total += amps * duty if isinstance(node, Amp) else amps
    return total


def music_current(case: Case, battery: Node) -> float:
    """Return what the devices that a battery feeds take on average with the engine off in A. Raises UnfitError for none."""
    if not isinstance(battery, Battery):
        raise UnfitError
    post = f"{battery.name}.positive"
    fed = [one for one in wiring.all_demands(case) if wiring.supply(case).ways.feeding.post.get(one.power) == post]
    if not any(isinstance(case.nodes[one.name], Amp) for one in fed):
        raise UnfitError
    return drawn(case, frozenset({post}), scenario.duty(case))


def lasts(case: Case, battery: Node) -> float:
    """Return how long in s a battery carries the music with the engine off: half of a lead battery's charge, four fifths of
    a lithium one's (common practice)."""
    amps = music_current(case, battery)
    chemistry = getattr(battery, "chemistry", None)
    if not isinstance(chemistry, str) or chemistry == "other":
        raise UnknownError((*battery.path, "chemistry"))
    usable = "usable_charge_lead" if chemistry in LEAD else "usable_charge_lithium"
    return stated(getattr(battery, "capacity", None), (*battery.path, "capacity")).low * convention(usable) / amps


def asked_engine_off(case: Case, _battery: Node) -> float:
    """Return for how long in s the customer wants to listen with the engine off; 0 where the plan says that nobody will."""
    asked = case.plan.customer.engine_off if case.plan.customer else None
    return 0.0 if isinstance(asked, NotApplicable) else stated(asked, ("customer", "engine_off")).high


def battery_sensor(case: Case, _wire: Wire) -> str:
    """Return where the vehicle measures the battery's current; `none` also where the plan says that this does not apply."""
    found = case.plan.vehicle.battery_sensor
    if isinstance(found, NotApplicable):
        return "none"
    if not isinstance(found, str) or found == "unknown":
        raise UnknownError(("vehicle", "battery_sensor"))
    return found


def on_negative_post(case: Case, wire: Wire) -> Node | None:
    """Return the vehicle's own battery at whose negative post the wire ends, be the post drawn as a ground point or not."""
    for end in wire.ends:
        node = case.nodes[end.node]
        if isinstance(node, Battery) and node.role != "added" and end.terminal == "negative":
            return node
        if isinstance(node, GroundPoint) and node.member == "battery-negative" and (owner := _owner(case, node)):
            return owner
    return None


def _owner(case: Case, point: GroundPoint) -> Node | None:
    """Return the vehicle's own battery whose negative post a ground point is; None where it is that of an added one, to
    which it was measured or which alone stands in its zone, or where nobody can tell."""
    post = scenario.main_battery(case)
    main = case.layout.network.owners[post] if post else None
    if isinstance(point.resistance_to, str):
        return main if main and main.name == point.resistance_to else None
    beside = {one.role for one in case.plan.nodes if isinstance(one, Battery) and one.zone == point.zone}
    return None if beside == {"added"} else main


def at_sensor(case: Case, wire: Wire) -> bool:
    """Say whether the wire ends at the post of the vehicle's own battery at which its sensor sits."""
    if on_negative_post(case, wire) is not None:
        return battery_sensor(case, wire) == "negative-post"
    posts = {end.node for end in wire.ends if end.terminal == "positive"}
    own = any(isinstance(node := case.nodes[name], Battery) and node.role != "added" for name in posts)
    return own and case.plan.vehicle.battery_sensor == "positive"


def main_negative(case: Case, _wire: Wire) -> str:
    """Return the negative post of the vehicle's own battery, as a wire's end is written."""
    return f"{case.layout.network.owners[main_post(case)].name}.negative"


def charged(case: Case, node: Node) -> bool:
    """Say whether another battery charges this one by cable, without a charger between."""
    if node.name in charge.links(case):
        return True
    if isinstance(node, Battery) and node.role is None and node.factory is not True and _beside_another(case, node):
        raise UnknownError((*node.path, "role"))
    return False


def _beside_another(case: Case, battery: Battery) -> bool:
    """Say whether another battery is joined to this one that is not known to be charged from it."""
    here, post = case.layout.network, f"{battery.name}.positive"
    if any(link.giver == post for link in charge.links(case).values()):
        return False
    others = (one for one in case.layout.sources if isinstance(one.node, Battery) and one.vertex != post)
    return post in here.net_of and any(here.net_of[one.vertex] is here.net_of[post] for one in others)


def giver_chemistry(case: Case, node: Node) -> str:
    """Return the chemistry of the battery that charges this one by cable. Raises UnfitError where none does."""
    giver = case.layout.network.owners[charge.link_of(case, node).giver]
    found = getattr(giver, "chemistry", None)
    if not isinstance(found, str):
        raise UnknownError((*giver.path, "chemistry"))
    return found
