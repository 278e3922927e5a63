"""What a rule may ask about a point on the vehicle body: what holds it, how it was made, which section it belongs to."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from planlint.facts import charge, wiring
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.facts.fields import value_of
from planlint.facts.leads import ground_leads, home_sections
from planlint.graph.link import Link, LinkKind
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node
from planlint.plan.quantity import Dimension, Quantity
from planlint.plan.runs import BodyBond, GroundPoint
from planlint.plan.values import NotApplicable
from planlint.plan.vehicle import Vehicle
from planlint.plan.work import Check
from planlint.trade import fasteners

T = TypeVar("T")


def thread(_case: Case, node: Node) -> float:
    """Return the diameter in m of the thread that holds the lug, as the fastener's text names it."""
    return _told(node, fasteners.thread)


def cuts_own_thread(_case: Case, node: Node) -> bool:
    """Say whether a screw that cuts its own thread holds the lug."""
    return _told(node, fasteners.cuts_own_thread)


def keeps_tight(_case: Case, node: Node) -> bool:
    """Say whether the fastener's text names something that keeps the joint from turning loose."""
    return _told(node, fasteners.keeps_tight)


def _told(node: Node, read: Callable[[str], T | None]) -> T:
    """Return what a fastener's text tells. Raises UnknownError where it is missing or does not tell."""
    text = getattr(node, "fastener", None)
    if isinstance(text, NotApplicable):
        raise UnfitError
    found = read(text) if isinstance(text, str) else None
    if found is None:
        raise UnknownError((*node.path, "fastener"))
    return found


def bolt_also_holds(_case: Case, node: Node) -> str:
    """Return what else the bolt under the lug holds: belt or seat, by the member or the fastener's text; else nothing."""
    member, text = getattr(node, "member", None), getattr(node, "fastener", None)
    told = {"belt-anchor": "belt", "seat-bolt": "seat"}.get(member) if isinstance(member, str) else None
    told = told or (fasteners.holds_down(text) if isinstance(text, str) else None)
    if told is None and member is None:
        raise UnknownError((*node.path, "member"))
    return told or "nothing"


def zone_kind(case: Case, node: Node) -> str:
    """Return the kind of the zone in which the node stands."""
    if not isinstance(node.zone, str):
        raise UnknownError((*node.path, "zone"))
    zone = case.zones.get(node.zone)
    return zone.kind if zone else node.zone


def vehicle(case: Case, _node: Node) -> Vehicle:
    """Return the vehicle."""
    return case.plan.vehicle


def vehicle_body(case: Case, _node: Node) -> str:
    """Return what the vehicle's body is made of."""
    return str(value_of(case.plan.vehicle, "body", "body"))


def body_resistance(case: Case, _node: Node) -> float:
    """Return the resistance of the body in ohm from the equipment to the battery, as the vehicle states it."""
    return stated(case.plan.vehicle.body_resistance, ("vehicle", "body_resistance")).high


def whole_job(case: Case, _node: Node) -> bool:
    """Say whether the plan tells of the whole job, so that more than its circuit is judged."""
    plan = case.plan
    sections = (plan.holes, plan.mounts, plan.steps, plan.tests, plan.documents)
    return plan.scope != "electrical" and all(section is not None for section in sections)


def bonded(case: Case, node: Node) -> bool:
    """Say whether the node's section of the body is, or straps join it to, one in which the battery is grounded."""
    section = getattr(node, "section", None)
    if not isinstance(section, str):
        raise UnknownError((*node.path, "section"))
    straps = [*_bonds(case), *_strap_wires(case)]
    joined = {section}
    for _ in straps:
        for strap in straps:
            joined |= strap if strap & joined else set()
    if joined & home_sections(case, node):
        return True
    silent = [one for one in case.plan.nodes if isinstance(one, BodyBond) and one.joins is None]
    if silent:
        raise UnknownError((*silent[0].path, "joins"))
    return False


def _bonds(case: Case) -> list[set[str]]:
    return [set(one.joins) for one in case.plan.nodes if isinstance(one, BodyBond) and one.joins]


def _strap_wires(case: Case) -> list[set[str]]:
    """Return the pairs of sections that wires between two ground points join."""
    found = []
    for one in case.plan.wires:
        ends = [case.nodes[end.node] for end in one.ends]
        found.append({n.section for n in ends if isinstance(n, GroundPoint) and isinstance(n.section, str)})
    return [pair for pair in found if len(pair) > 1]


def ground_prep(case: Case, node: Node) -> bool:
    """Say whether a step of the work bares the metal at the point."""
    steps = case.plan.steps or ()
    return any(step.do == "ground-prep" and (node.name in step.of or not step.of) for step in steps)


def resistance_measured(_case: Case, node: Node) -> bool:
    """Say whether the plan states a measured resistance from the point to the battery."""
    resistance = getattr(node, "resistance", None)
    return isinstance(resistance, Quantity) and resistance.basis == "measured"


def ground_test_count(case: Case, node: Node) -> int:
    """Return how many tests tell the resistance of the point."""
    return len(ground_tests(case, node))


def ground_tests(case: Case, node: Node) -> tuple[Check, ...]:
    """Return the tests that tell the resistance of the point: of that itself, with a meter fit for milliohms, or of the
    voltage lost on the way back through it."""
    if case.plan.tests is None:
        raise UnknownError(("tests",))
    mine = ground_leads(case, node)
    served = {name for one in mine for name in wiring.users_by_wire(case).get(one.name, ())}
    spots = {node.name, *(one.name for one in mine)}
    return tuple(test for test in case.plan.tests if _tells(test, spots, served))


def _tells(test: Check, spots: set[str], served: set[str]) -> bool:
    of = set(test.of)
    if test.test == "ground-resistance":
        # An ordinary ohmmeter cannot tell 5 mohm from 50.
        return test.method != "ohmmeter" and (not of or bool(of & spots))
    return test.test == "return-drop" and bool(of & (spots | served))


def ground_points(case: Case, node: Node) -> tuple[Node, ...]:
    """Return the points at which the user's current enters or leaves the body, from the user on."""
    return tuple(link.node for link in _way_home(case, node) if link.kind is LinkKind.GROUND_JOINT and link.node)


def return_wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the wires by which the user's current comes back, from the user on."""
    return tuple(link.wire for link in _way_home(case, node) if link.wire)


def _way_home(case: Case, node: Node) -> list[Link]:
    """Return the links on the way home of a user's current, or of what charges a battery."""
    if isinstance(node, Battery):
        return case.layout.ways_back(charge.link_of(case, node).giver).way(charge.home(case, node))
    demand = wiring.demands_by_name(case).get(node.name)
    return wiring.user_way_back(case, demand) if demand else []


def measured_return_drop(case: Case, node: Node) -> float:
    """Return the volts that a test of the way back from the user has shown."""
    results = [t.result for t in case.plan.tests or () if t.test == "return-drop" and node.name in t.of]
    volts = [one.high for one in results if isinstance(one, Quantity) and one.dimension is Dimension.VOLTAGE]
    if not volts:
        raise UnfitError
    return max(volts)
