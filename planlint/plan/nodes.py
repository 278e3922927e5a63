"""The nodes of a plan, one frozen dataclass a kind, fields after the trade's words."""

from __future__ import annotations

from dataclasses import dataclass

from planlint.plan.quantity import Dimension, Quantity
from planlint.plan.values import (
    CountField,
    FlagField,
    NotApplicable,
    QuantityField,
    WordField,
    many,
    measure,
    named,
    quantity,
    reads,
    record,
    word,
)
from planlint.text.places import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """What every node has: its name, the zone it stands in, and whether the vehicle maker put it there."""

    path: Path
    name: str
    kind: str
    zone: WordField = word()
    label: WordField = word()
    factory: FlagField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery(Node):
    """A battery; `link` is the planned current of the link that charges it from another source."""

    role: WordField = word()
    chemistry: WordField = word()
    capacity: QuantityField = measure(Dimension.CHARGE)
    cold_cranking: QuantityField = measure(Dimension.CURRENT)
    resistance: QuantityField = measure(Dimension.RESISTANCE)
    link: QuantityField = measure(Dimension.CURRENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternator(Node):
    """An alternator as a source that limits its own current to its rating."""

    rating: QuantityField = measure(Dimension.CURRENT)
    at_idle: QuantityField = measure(Dimension.CURRENT)
    control: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse(Node):
    """A fuse in its holder."""

    family: WordField = word()
    rating: QuantityField = measure(Dimension.CURRENT)
    voltage: QuantityField = measure(Dimension.VOLTAGE)
    interrupts: QuantityField = measure(Dimension.CURRENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Breaker(Node):
    """A circuit breaker; `reset` is automatic, modified or manual."""

    rating: QuantityField = measure(Dimension.CURRENT)
    voltage: QuantityField = measure(Dimension.VOLTAGE)
    interrupts: QuantityField = measure(Dimension.CURRENT)
    reset: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch(Node):
    """A switch or disconnect in a run."""

    rating: QuantityField = measure(Dimension.CURRENT)
    drop: QuantityField = measure(Dimension.VOLTAGE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Isolator(Node):
    """A relay or solid-state device that joins two batteries while charging."""

    rating: QuantityField = measure(Dimension.CURRENT)
    control: WordField = word()
    drop: QuantityField = measure(Dimension.VOLTAGE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay(Node):
    """A relay: coil and contacts."""

    rating: QuantityField = measure(Dimension.CURRENT)
    coil: QuantityField = measure(Dimension.CURRENT)
    suppression: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockOutput:
    """One output of a distribution block; `fuse` is a rating or the word `none`."""

    path: Path
    name: str
    fuse: QuantityField = reads(lambda value, path, faults: _fuse(value, path, faults))
    family: WordField = word()


def _fuse(value: object, path: Path, faults: list) -> Quantity | NotApplicable | None:  # type: ignore[type-arg]
    if value == "none":
        return NotApplicable(reason="no fuse")
    return quantity(Dimension.CURRENT)(value, path, faults)  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True, kw_only=True)
class Distribution(Node):
    """A distribution block: inputs joined to outputs, each output with or without a fuse of its own."""

    outputs: tuple[BlockOutput, ...] = reads(named(record(BlockOutput)), default=())
    rating: QuantityField = measure(Dimension.CURRENT)
    cover: FlagField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bus(Node):
    """A bus bar, ground block or stud that joins all lugs on it."""

    size: WordField = word()
    cover: FlagField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice(Node):
    """A joint or plug between wires."""

    joint: WordField = word()
    sealed: FlagField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One output of an amplifier: `channels` equal channels of `power` each into `at`."""

    path: Path
    name: str
    power: QuantityField = measure(Dimension.POWER)
    at: QuantityField = measure(Dimension.RESISTANCE)
    lowest: QuantityField = measure(Dimension.RESISTANCE)
    channels: CountField = word()
    band: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Amp(Node):
    """An amplifier; `fuses` are those on board, `largest_fuse` the maker's limit for the fuse before it."""

    class_: WordField = word()
    outputs: tuple[Output, ...] = reads(named(record(Output)), default=())
    fuses: tuple[QuantityField, ...] | NotApplicable | None = reads(many(quantity(Dimension.CURRENT)))
    largest_fuse: QuantityField = measure(Dimension.CURRENT)
    supply: QuantityField = measure(Dimension.CURRENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignalDevice(Node):
    """A converter or processor between the factory radio and the amplifiers."""

    supply: QuantityField = measure(Dimension.CURRENT)
    type: WordField = word()
    largest_fuse: QuantityField = measure(Dimension.CURRENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Charger(Node):
    """A DC-DC charger: takes at most `input_limit`, gives at most `output_limit`."""

    input_limit: QuantityField = measure(Dimension.CURRENT)
    output_limit: QuantityField = measure(Dimension.CURRENT)
    bidirectional: FlagField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class Radio(Node):
    """The factory radio or factory amplifier."""

    supply: QuantityField = measure(Dimension.CURRENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap(Node):
    """A place where a signal is taken off the maker's wiring."""

    method: WordField = word()


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundPoint(Node):
    """Where a ground wire meets the body; `resistance` is measured from here to the battery's negative post."""

    member: WordField = word()
    section: WordField = word()
    fastener: WordField = word()
    surface: WordField = word()
    resistance: QuantityField = measure(Dimension.RESISTANCE)


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyBond(Node):
    """A strap that joins two sections of the body."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacitor(Node):
    """A stiffening capacitor across the supply."""

    capacitance: QuantityField = measure(Dimension.CAPACITANCE)
    voltage: QuantityField = measure(Dimension.VOLTAGE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Speaker(Node):
    """A driver with one or more voice coils."""

    type: WordField = word()
    coils: CountField = word()
    impedance: QuantityField = measure(Dimension.RESISTANCE)
    power: QuantityField = measure(Dimension.POWER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossover(Node):
    """A passive crossover between an output and its drivers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlSource(Node):
    """What switches the system on: a radio lead or a switched circuit of the vehicle."""

    circuit: WordField = word()
    limit: QuantityField = measure(Dimension.CURRENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class FactoryCircuit(Node):
    """A fused circuit of the vehicle used as a supply."""

    fuse: QuantityField = measure(Dimension.CURRENT)
    original_fuse: QuantityField = measure(Dimension.CURRENT)
    draw: QuantityField = measure(Dimension.CURRENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load(Node):
    """Any other user of current: a fan, a lamp, a stabiliser."""

    supply: QuantityField = measure(Dimension.CURRENT)
