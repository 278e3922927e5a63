"""The typed plan: vehicle, zones, nodes joined by wires, and the findings someone takes responsibility for."""

from __future__ import annotations

from dataclasses import dataclass

from planlint.plan.nodes import Node
from planlint.plan.quantity import Dimension
from planlint.plan.values import FlagField, QuantityField, WordField, measure, reads, record, word
from planlint.text.places import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class FactoryAlternator:
    """The vehicle maker's alternator as far as the plan states it."""

    path: Path
    rating: QuantityField = measure(Dimension.CURRENT)
    at_idle: QuantityField = measure(Dimension.CURRENT)
    control: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """The vehicle as found, before the work."""

    path: Path
    name: str = "vehicle"
    class_: WordField = word()
    system: QuantityField = measure(Dimension.VOLTAGE)
    drive: WordField = word()
    body: WordField = word()
    body_resistance: QuantityField = measure(Dimension.RESISTANCE)
    alternator: FactoryAlternator | None = reads(record(FactoryAlternator))
    factory_draw: QuantityField = measure(Dimension.CURRENT)
    start_stop: FlagField = word()
    battery_sensor: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A part of the vehicle between two panels; `ambient` is the air temperature cables there must live with."""

    path: Path
    name: str
    kind: str
    ambient: QuantityField = measure(Dimension.TEMPERATURE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """One stretch of a wire's route, or (`through`) the hole by which it passes a panel."""

    path: Path
    zone: WordField = word()
    through: WordField = word()
    length: QuantityField = measure(Dimension.LENGTH)
    along: WordField = word()
    side: WordField = word()
    protection: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Where a wire ends: a terminal of a node."""

    path: Path
    node: str
    terminal: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A conductor from one terminal to another; what circuit it belongs to is derived from what it joins."""

    path: Path
    name: str
    from_: End
    to: End
    factory: FlagField = word()
    gauge: QuantityField = measure(Dimension.AREA)
    length: QuantityField = measure(Dimension.LENGTH)
    material: WordField = word()
    insulation: QuantityField = measure(Dimension.TEMPERATURE)
    protection: WordField = word()
    route: tuple[Segment, ...] = ()
    colour: WordField = word()
    label: WordField = word()

    @property
    def ends(self) -> tuple[End, End]:
        """Both ends, as written."""
        return (self.from_, self.to)


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """A finding that someone takes responsibility for."""

    path: Path
    rule: str
    subject: str
    reason: WordField = word()
    by: WordField = word()
    until: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan; tuples keep the order of the file."""

    title: str
    scope: str
    vehicle: Vehicle
    zones: tuple[Zone, ...]
    nodes: tuple[Node, ...]
    wires: tuple[Wire, ...]
    accepted: tuple[Acceptance, ...]
