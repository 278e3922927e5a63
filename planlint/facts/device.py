"""What a rule may ask about a device: a fuse, a breaker or the fuse of one output of a distribution block."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from planlint.facts import conductor, wire, wiring
from planlint.facts.case import Case, Fact
from planlint.facts.channel import Channel
from planlint.facts.fields import field_facts, is_stated, value_of
from planlint.frozen import frozen
from planlint.graph.link import Link, Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Wire
from planlint.plan.nodes import Capacitor, Node
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Breaker, Fuse
from planlint.text.places import Path
from planlint.trade.assumptions import convention
from planlint.trade.fuses import family_of, standard_at_or_above


@frozen
class Device:
    """A fuse or breaker, or the fuse of one output of a distribution block, which is called `block.out-1`.

    `node` is the part or the block it stands in; what the plan says of the output goes before what it says of the block.
    """

    name: str
    link: Link
    node: Node

    @property
    def kind(self) -> str:
        """The kind of node, or `block-output`."""
        return "block-output" if self.link.output else self.node.kind

    @property
    def factory(self) -> bool:
        """Whether the vehicle maker put it there."""
        return self.node.factory is True

    @property
    def path(self) -> Path:
        """Its place in the plan."""
        return (self.link.output or self.node).path


def stated_by(element: Any, field: str) -> tuple[Any, str]:
    """Return the element that states a field of `element`, and the field's name there: for the fuse of a block's output
    the output, or the block where only that says so; for a channel its output; any other element itself."""
    if isinstance(element, Channel):
        return element.output, field
    if not isinstance(element, Device):
        return element, field
    output = element.link.output
    if output is None:
        return element.node, field
    if field == "rating":
        return output, "fuse"
    silent = getattr(output, field, None) is None and hasattr(element.node, field)
    return (element.node if silent else output), field


def place_of(element: Any, field: str | None) -> Path:
    """Return the place of an element, or of one of its fields."""
    if field is None:
        return element.path  # type: ignore[no-any-return]
    owner, own = stated_by(element, field)
    return (*owner.path, own)


def device_fields() -> dict[str, Fact]:
    """Return the facts that the fields of fuses, breakers and fused outputs give, by their names in the file."""
    return {
        name: replace(fact, ask=_asks(name, upper=True), low=_asks(name, upper=False), stated=_states(name))
        for name, fact in field_facts([Fuse, Breaker]).items()
    }


def _states(name: str) -> Callable[[Case, Device], bool]:
    def stated(_case: Case, device: Device) -> bool:
        owner, field = stated_by(device, name)
        return is_stated(owner, field)

    return stated


def _asks(name: str, *, upper: bool) -> Callable[[Case, Device], Any]:
    def ask(_case: Case, device: Device) -> Any:
        owner, field = stated_by(device, name)
        return value_of(owner, field, field, upper=upper)

    return ask


def devices(case: Case) -> tuple[Device, ...]:
    """Return the fuses, breakers and fused outputs of a plan."""
    links = case.layout.network.devices
    return case.once(
        "devices", lambda: tuple(Device(name=link.name, link=link, node=link.node) for link in links if link.node)
    )


def scope(case: Case, _element: Any) -> str:
    """Return what the plan is about: `whole`, or `electrical` where only the circuit is in question."""
    return case.plan.scope


def zone_kind(case: Case, device: Device) -> str:
    """Return the kind of the zone in which it stands."""
    name = value_of(device.node, "zone", "zone")
    zone = case.zones.get(name)
    return zone.kind if zone else str(name)


def water_protection(case: Case, device: Device) -> int:
    """Return how well it keeps out water: the second digit of its protection class (IEC 60529), 5 for IP65.

    A letter X in its place says that it was not tested, which counts as 0.
    """
    owner, field = stated_by(device, "protection_class")
    text = str(value_of(owner, field, field)).upper().replace(" ", "")
    digit = text[3:4] if text.startswith("IP") else ""
    if digit == "X":
        return 0
    if not digit.isdigit():
        raise UnknownError((*owner.path, field))
    return int(digit)


def system(case: Case, _element: Any) -> float:
    """Return the nominal voltage of the vehicle's system in V."""
    return conductor.stated(case.plan.vehicle.system, ("vehicle", "system")).high


def circuit(case: Case, device: Device) -> str:
    """Return what the wires at it are for, that beyond it first: supply, charge, ground, turn-on and so on."""
    words = case.layout.words
    for at in reversed(device.link.ends):
        for one in _wires(case, at):
            if one.name in words:
                return words[one.name]
    raise UnfitError


def current(case: Case, device: Device) -> float:
    """Return the design current in A through it.

    Raises UnfitError where neither a user of current nor a planned transfer lies beyond it, as in a turn-on lead.
    """
    return case.once(("design current of device", device.name), lambda: through(case, device.link))


def through(case: Case, link: Link) -> float:
    """Return the design current in A through a fuse or contact. Raises UnfitError where none is planned."""
    found = _wires(case, link.ends[0]) or _wires(case, link.ends[1])
    sides = wiring.sides(case, found[0]) if found else ()
    if not any(side.currents(link.key) or side.missing(link.key) for side in sides):
        raise UnfitError
    return wiring.link_current(case, link.key, sides)


def _wires(case: Case, at: Vertex) -> tuple[Wire, ...]:
    return case.layout.network.wires_at.get(at, ())


def served(case: Case, device: Device) -> tuple[Node, ...]:
    """Return the users of current whose supply runs through it; a capacitor draws none for long."""
    names = wiring.users_by_link(case).get(device.link.key, ())
    return tuple(node for node in map(case.nodes.__getitem__, names) if not isinstance(node, Capacitor))


def drawing(case: Case, device: Device) -> tuple[Node, ...]:
    """Return what draws the current through it: the users whose supply runs through it, and the batteries charged by it."""
    charged = {one.taker for one in wiring.supply(case).transfers if device.link.key in one.along}
    return (*served(case, device), *(case.layout.network.owners[post] for post in sorted(charged)))


def served_count(case: Case, device: Device) -> int:
    """Return how many users of current are supplied through it."""
    return len(served(case, device))


def sufficient_fuse(case: Case, device: Device) -> float:
    """Return the smallest standard fuse in A that its design current loads no more than the trade advises."""
    found = standard_at_or_above(current(case, device) / convention("fuse_load_share"))
    if found is None:
        raise UnfitError
    return found


def family_largest(_case: Case, device: Device) -> float:
    """Return the largest rating in A with which its family is commonly made (typical datasheets, from memory)."""
    family = getattr(stated_by(device, "family")[0], "family", None)
    if not isinstance(family, str):
        raise UnfitError
    return family_of(family).ratings_a[-1]


def cables(case: Case, device: Device) -> tuple[Wire, ...]:
    """Return the added wires clamped at it: on both sides of a fuse or breaker, at the output of a block."""
    ends = device.link.ends[1:] if device.link.output else device.link.ends
    return tuple(one for at in ends for one in case.layout.wires_at(at))


def largest_fuse(case: Case, device: Device) -> float:
    """Return the largest standard fuse in A that all cables at it bear."""
    found = [wire.largest_fuse(case, one) for one in cables(case, device)]
    if not found:
        raise UnfitError
    return min(found)


def thinnest_cable(case: Case, device: Device) -> float:
    """Return the conductor area in m2 of the thinnest cable at it."""
    return min(_areas(case, device), key=lambda area: area.low).low


def thickest_cable(case: Case, device: Device) -> float:
    """Return the conductor area in m2 of the thickest cable at it."""
    return max(_areas(case, device), key=lambda area: area.high).high


def _areas(case: Case, device: Device) -> list[Quantity]:
    found = [conductor.stated(one.gauge, (*one.path, "gauge")) for one in cables(case, device)]
    if not found:
        raise UnfitError
    return found
