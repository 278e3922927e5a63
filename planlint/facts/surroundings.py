"""What a rule may ask about what surrounds a fuse or breaker: its air, gas, what it touches, and what runs behind it."""

from __future__ import annotations

from typing import Any

from planlint.facts import conductor
from planlint.facts.case import Case
from planlint.facts.device import Device, served, stated_by
from planlint.facts.fields import value_of
from planlint.graph.unknown import UnknownError
from planlint.plan.nodes import Battery, Load, Node
from planlint.plan.values import NotApplicable

# Batteries whose gas burns: sealed ones let it out too when they are overcharged.
_LEAD = ("flooded", "efb", "agm", "gel")
_COMBUSTIBLE = ("carpet", "foam", "felt")
_HEATING = ("motor", "heater")


def ambient(case: Case, device: Device) -> float:
    """Return the air temperature in C of the zone in which it stands, as stated or as the trade takes it."""
    zone = value_of(device.node, "zone", "zone")
    return conductor.zone_ambient(case, zone)


def among_gas(case: Case, device: Device) -> bool:
    """Say whether it stands in the box of a lead battery, whose gas burns.

    Not stated, it is asked for in a plan of the whole job where a lead battery of its zone has such a box.
    """
    owner, field = stated_by(device, "battery_box")
    boxed = getattr(owner, field, None)
    if boxed is False or isinstance(boxed, NotApplicable):
        return False
    near = [one for one in _batteries(case) if one.zone == device.node.zone]
    if boxed is None:
        enclosed = [one for one in near if one.enclosure == "vented-outside"]
        if case.plan.scope == "electrical" or not _one_gasses(enclosed):
            return False
        raise UnknownError((*owner.path, field))
    return _one_gasses(near or _batteries(case))


def _batteries(case: Case) -> list[Battery]:
    found = (one for one in case.plan.nodes if isinstance(one, Battery))
    return case.once("batteries by name", lambda: sorted(found, key=lambda one: one.name))


def _one_gasses(batteries: list[Battery]) -> bool:
    """Say whether one of these batteries is a lead battery. Raises UnknownError where what one is made of decides."""
    if any(one.chemistry in _LEAD for one in batteries):
        return True
    for battery in batteries:
        if not isinstance(battery.chemistry, str) or battery.chemistry == "other":
            raise UnknownError((*battery.path, "chemistry"))
    return False


def feeds_loads(case: Case, device: Device) -> bool:
    """Say whether a user of current that is neither audio nor a charger is supplied through it: a fan, a heater, a lamp."""
    return any(isinstance(node, Load) for node in served(case, device))


def unattended_loads(case: Case, device: Device) -> tuple[Node, ...]:
    """Return the motors and heaters supplied through it that run with nobody there."""
    return tuple(node for node in served(case, device) if isinstance(node, Load) and _runs_alone(node))


def _runs_alone(load: Load) -> bool:
    return bool(_told(load, "type") in _HEATING and _told(load, "attended") is False)


def _told(node: Node, field: str) -> Any:
    value = getattr(node, field, None)
    if value is None:
        raise UnknownError((*node.path, field))
    return value


def tells_what_it_touches(case: Case, node: Node) -> bool:
    """Say whether the plan should say what the part touches: it does, or it tells of the whole job."""
    return case.plan.scope != "electrical" or getattr(node, "surroundings", None) is not None


def combustible(case: Case, node: Node) -> str | None:
    """Return what the part touches that smoulders when it is hot: carpet, foam or felt; None for nothing of the kind.

    A part whose mount is fixed to carpet touches carpet. Raises UnknownError where nothing is stated.
    """
    stated = getattr(node, "surroundings", None)
    on_carpet = any(node.name in one.holds for one in case.plan.mounts or () if one.substrate == "carpet")
    if stated is None and not on_carpet:
        raise UnknownError((*node.path, "surroundings"))
    found = [word for word in _COMBUSTIBLE if word in (stated or ()) or (word == "carpet" and on_carpet)]
    return " and ".join(found) or None
