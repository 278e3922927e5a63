"""What a wire is as a conductor: area, material, surroundings, resistance and the currents it bears."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.graph.link import Link, LinkKind, rating_of, rating_path
from planlint.graph.unknown import UnknownError
from planlint.graph.ways import measured_ground
from planlint.plan.model import Wire
from planlint.plan.quantity import Quantity
from planlint.plan.values import NotApplicable, QuantityField
from planlint.text.places import Path
from planlint.trade.ampacity import ampacity
from planlint.trade.assumptions import convention
from planlint.trade.conductors import resistance_per_m
from planlint.trade.fuses import fuse_resistance, trade_fuse_limit

# The poorer material that the computation takes where none is stated.
POORER = "copper-clad-aluminium"


def stated(value: QuantityField, path: Path) -> Quantity:
    """Return a quantity field, or raise UnknownError for the field at `path`."""
    if isinstance(value, Quantity):
        return value
    raise UnknownError(path)


def area(wire: Wire) -> float:
    """Return the conductor area of a wire in m2 (of a range, the thinner end)."""
    if isinstance(wire.gauge, Quantity):
        return wire.gauge.low
    raise UnknownError((*wire.path, "gauge"))


def length(wire: Wire) -> float:
    """Return the length of a wire in m (of a range, the longer end)."""
    if isinstance(wire.length, Quantity):
        return wire.length.high
    raise UnknownError((*wire.path, "length"))


def material(case: Case, wire: Wire) -> str:
    """Return the conductor material; where none is stated the poorer one is taken and noted, copper where most flows."""
    if isinstance(wire.material, str):
        return wire.material
    if case.most_flows:
        return "copper"
    return str(case.assume("material", wire.name, default=POORER))


def insulation(case: Case, wire: Wire) -> float:
    """Return the temperature rating of the insulation in C; where none is stated the assumed one."""
    if isinstance(wire.insulation, Quantity):
        return wire.insulation.low
    return float(case.assume("insulation_class", wire.name))


def ambient(case: Case, wire: Wire) -> float:
    """Return the highest air temperature in C along a wire: of its route's zones and of the zones at its ends.

    A node that names no zone may stand anywhere, so in the hottest.
    """
    return case.once(("ambient", wire.name), lambda: _ambient(case, wire))


def _ambient(case: Case, wire: Wire) -> float:
    zones = {part.zone for part in wire.route if isinstance(part.zone, str)}
    for end in wire.ends:
        zone = case.nodes[end.node].zone
        zones.add(zone if isinstance(zone, str) else "")
    return max([zone_ambient(case, zone) for zone in zones])


def zone_ambient(case: Case, name: str) -> float:
    """Return the air temperature in C of a zone, as stated or as the trade takes it; of no zone, that of the hottest."""
    zone = case.zones.get(name)
    if zone is not None and isinstance(zone.ambient, Quantity):
        return zone.ambient.high
    hot = not name or (zone.kind if zone else name) == "engine-bay"
    return convention("ambient_engine_bay" if hot else "ambient_elsewhere")


def wire_ampacity(case: Case, wire: Wire) -> float:
    """Return the current in A that a wire may carry without end where it lies."""
    return ampacity(area(wire), insulation(case, wire), ambient(case, wire), material(case, wire))


def fuse_limit(case: Case, wire: Wire) -> float:
    """Return the largest fuse in A that the trade's table allows on a wire (common practice)."""
    return trade_fuse_limit(area(wire), material(case, wire))


def link_resistance(case: Case, link: Link) -> float:
    """Return the resistance of a link in ohm as voltage drop is computed. Raises UnknownError naming what is missing."""
    return case.once(("resistance", link.key), lambda: _resistance(case, link))


def short_resistance(case: Case, link: Link) -> float:
    """Return the resistance of a link in ohm as a short circuit meets it: the same with a cold conductor."""
    if link.wire is None:
        return link_resistance(case, link)
    wire = link.wire
    cold = convention("short_circuit_temperature")
    return case.once(("short resistance", link.key), lambda: _wire_resistance(case, wire, cold))


def _resistance(case: Case, link: Link) -> float:
    if link.wire:
        return _wire_resistance(case, link.wire, convention("conductor_temperature"))
    if link.kind is LinkKind.DEVICE:
        rating = rating_of(link)
        if rating is None:
            raise UnknownError(rating_path(link))
        return fuse_resistance(case.end(rating, upper=False), convention("fuse_drop_at_rating"))
    if link.kind is LinkKind.GROUND_JOINT:
        measured = measured_ground(link)
        joint = convention("ground_joint_resistance")
        return joint + case.end(measured, upper=True) if measured else joint
    if link.kind is LinkKind.BODY:
        return body_resistance(case) / 2
    return _contact_resistance(case, link)


def _wire_resistance(case: Case, wire: Wire, celsius: float) -> float:
    """Return a wire with its two cable ends at a conductor temperature, in ohm."""
    gauge = stated(wire.gauge, (*wire.path, "gauge"))
    system = "awg" if gauge.unit == "AWG" else "metric"
    per_m = resistance_per_m(case.end(gauge, upper=False), system, material(case, wire), celsius)
    run = case.end(stated(wire.length, (*wire.path, "length")), upper=True)
    return per_m * run + 2 * convention("joint_resistance")


def body_resistance(case: Case) -> float:
    """Return the resistance of the body from the equipment to the battery's negative in ohm.

    Half of it lies between a zone and the body as a whole, half between that and the battery, so that two zones are as
    far apart as a zone and the battery.
    """
    vehicle = case.plan.vehicle
    if isinstance(vehicle.body_resistance, Quantity):
        return case.end(vehicle.body_resistance, upper=True)
    if vehicle.body == "steel-unibody":
        return float(case.assume("body_resistance"))
    if vehicle.body is None:
        raise UnknownError(("vehicle", "body"))
    raise UnknownError(("vehicle", "body_resistance"))


def _contact_resistance(case: Case, link: Link) -> float:
    """Return a switch's stated drop over its rating in ohm; closed contacts have none of their own otherwise."""
    drop, rating = getattr(link.node, "drop", None), getattr(link.node, "rating", None)
    if isinstance(drop, Quantity) and isinstance(rating, Quantity) and rating.low > 0:
        return case.end(drop, upper=True) / case.end(rating, upper=False)
    return 0.0


def words(value: object) -> str | None:
    """Return a word field as text, None where it is unknown or not applicable."""
    return None if value is None or isinstance(value, NotApplicable) else str(value)
