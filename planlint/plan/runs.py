"""What stands in a run of cable: protection, switches, joints, and the points on the body; one frozen dataclass a kind."""

from __future__ import annotations

from planlint.frozen import frozen
from planlint.plan.fields import by_name, choice, choices, flag, fuse_or_no_fuse, listed, measure, names, nearest, text
from planlint.plan.nodes import Node, hold_time
from planlint.plan.quantity import Dimension
from planlint.plan.values import FlagField, QuantityField, WordField
from planlint.text.places import Path

FAMILIES = ("blade-mini", "blade", "blade-maxi", "glass", "anl-mini", "anl", "strip", "strip-large", "terminal")
_FAMILY = "Pattern of the fuse; it decides which ratings exist and how fast it opens."
_VOLTAGE = "Highest system voltage at which the device may be used, as printed on it."
_INTERRUPTS = "Largest short-circuit current the device breaks without bursting, as its maker states it."
_SMALLEST = "Thinnest conductor its terminals clamp."
_LARGEST = "Thickest conductor its terminals take."
_AMBIENT = "Highest air temperature that its maker allows around it."
_IGNITION = "Whether its sparks cannot light gas or vapours around it."
_BATTERY_BOX = "Whether it stands in the box or compartment of a battery, where the battery's gas gathers."
_AROUND = "What its housing touches; `nothing` where it stands free."
_SURROUNDINGS = ("nothing", "steel", "aluminium", "plastic", "wood", "carpet", "foam", "felt")
SECTIONS = ("main", "cab", "bed", "box", "sub-frame")


@frozen
class CurvePoint:
    """One point of a maker's curve: at this current the device opens within this time at the slowest."""

    path: Path
    current: QuantityField = measure(Dimension.CURRENT, "A current through the device.", "160 A")
    opens: QuantityField = measure(Dimension.TIME, "Longest time it takes to open at that current.", "5 s")


_CURVE = "The maker's curve, point by point: the longest time to open at each current."
_CURVE_EXAMPLE = [{"current": "108 A", "opens": "30 min"}, {"current": "160 A", "opens": "5 s"}]


@frozen
class Device(Node):
    """What a fuse and a circuit breaker have in common."""

    rating: QuantityField = measure(Dimension.CURRENT, "Rated current printed on the device.", "80 A", "150 A")
    voltage: QuantityField = measure(Dimension.VOLTAGE, _VOLTAGE, "32 V", "58 V")
    interrupts: QuantityField = measure(Dimension.CURRENT, _INTERRUPTS, "5 kA", "1000 A")
    curve: tuple[CurvePoint, ...] = listed(CurvePoint, "curve-point", _CURVE, "a list of points", _CURVE_EXAMPLE)
    holder_limit: QuantityField = measure(
        Dimension.CURRENT, "Most current its holder carries, as the maker states it.", "100 A"
    )
    smallest_cable: QuantityField = measure(Dimension.AREA, _SMALLEST, "8 AWG")
    largest_cable: QuantityField = measure(Dimension.AREA, _LARGEST, "4 AWG", "25 mm2")
    protection_class: WordField = text("How well it keeps out water and dust, as printed on it.", "IP67", "IP20")
    accessible: FlagField = flag("Whether it can be reached without taking the vehicle apart.")
    labelled: FlagField = flag("Whether its rating and what it protects will be written beside it.")
    cover: FlagField = flag("Whether a cover keeps tools off its live parts.")
    highest_ambient: QuantityField = measure(Dimension.TEMPERATURE, _AMBIENT, "85 C maker")
    ignition_protected: FlagField = flag(_IGNITION)
    battery_box: FlagField = flag(_BATTERY_BOX)
    surroundings: tuple[str, ...] | None = choices("a surrounding", _AROUND, *_SURROUNDINGS)
    tied_to: WordField = text(
        "Breaker with which it opens at once: the other pole of one device that its maker built for both legs.",
        "breaker",
    )


@frozen
class Fuse(Device):
    """A fuse in its holder."""

    family: WordField = choice("a fuse family", _FAMILY, *FAMILIES, example="anl-mini")


@frozen
class Breaker(Device):
    """A circuit breaker."""

    reset: WordField = choice(
        "a way of resetting",
        "How it closes again: automatic by itself, modified once its power is off, manual by hand.",
        *("automatic", "modified", "manual"),
        example="manual",
    )


@frozen
class Switch(Node):
    """A switch or disconnect in a run."""

    rating: QuantityField = measure(
        Dimension.CURRENT, "Current the switch carries for as long as one likes.", "80 A", "150 A"
    )
    drop: QuantityField = measure(
        Dimension.VOLTAGE, "Voltage lost across the closed contacts at that current.", "0.1 V", "50 mV"
    )
    pole: WordField = choice("a pole", "Which side of the battery it parts.", "positive", "negative")
    cover: FlagField = flag("Whether a cover keeps tools off its live parts.")
    hold_time: QuantityField = hold_time()


@frozen
class Diode(Node):
    """A diode in a turn-on lead: it lets current through from its line to its load only."""

    drop: QuantityField = measure(Dimension.VOLTAGE, "Voltage lost across it.", "0.7 V", "0.4 V")


@frozen
class Contacts(Node):
    """What a relay and an isolator have in common."""

    rating: QuantityField = measure(
        Dimension.CURRENT, "Current its contacts carry for as long as one likes.", "30 A", "200 A"
    )
    rated_at: QuantityField = measure(
        Dimension.TEMPERATURE, "Air temperature for which that current is stated.", "85 C"
    )
    coil: QuantityField = measure(Dimension.CURRENT, "Current its coil or electronics draw.", "160 mA")
    coil_resistance: QuantityField = measure(
        Dimension.RESISTANCE, "Resistance of its coil, where its current is not stated.", "75 ohm", "60..80 ohm"
    )
    suppression: WordField = choice(
        "a coil suppression",
        "What takes up the voltage spike when the coil switches off.",
        *("none", "diode", "resistor"),
        example="diode",
    )
    cover: FlagField = flag("Whether a cover keeps tools off its live parts.")


@frozen
class Relay(Contacts):
    """A relay: coil and contacts."""


@frozen
class Isolator(Contacts):
    """A relay or solid-state device that joins two batteries while charging."""

    control: WordField = choice(
        "an isolator's control",
        "What closes it: the ignition, the voltage of the charging battery, or a hand.",
        *("ignition", "voltage", "manual"),
    )
    drop: QuantityField = measure(Dimension.VOLTAGE, "Voltage lost across it at its rated current.", "0.1 V", "50 mV")
    closes_above: QuantityField = measure(Dimension.VOLTAGE, "Voltage above which it closes.", "13.3 V")
    opens_below: QuantityField = measure(Dimension.VOLTAGE, "Voltage below which it opens.", "12.8 V")


@frozen
class BlockOutput:
    """One output of a distribution block."""

    path: Path
    name: str
    fuse: QuantityField = fuse_or_no_fuse("Rating of the output's own fuse; `none` where it has none.")
    family: WordField = choice("a fuse family", "Pattern of the output's own fuse.", *FAMILIES, example="anl-mini")
    voltage: QuantityField = measure(Dimension.VOLTAGE, _VOLTAGE, "32 V")
    interrupts: QuantityField = measure(Dimension.CURRENT, _INTERRUPTS, "5 kA")
    smallest_cable: QuantityField = measure(Dimension.AREA, _SMALLEST, "8 AWG")
    largest_cable: QuantityField = measure(Dimension.AREA, _LARGEST, "4 AWG")


_OUTPUT_NAMES = {
    "title": "a terminal of the block",
    "pattern": r"^out(-[a-z0-9][a-z0-9-]*)?(?!\n)$",
    "examples": ["out-1", "out-amp"],
}


@frozen
class Distribution(Node):
    """A distribution block: inputs joined to outputs, each output with or without a fuse of its own."""

    fused: FlagField = flag(
        "Whether every output has a fuse of its own; an output that states its `fuse` under `outputs` speaks for itself."
    )
    outputs: tuple[BlockOutput, ...] = by_name(
        BlockOutput,
        "block-output",
        "The block's outputs by terminal name, each with or without a fuse of its own.",
        "a mapping of outputs",
        {"out-1": {"fuse": "60 A", "family": "anl-mini"}, "out-2": {"fuse": "none"}},
        _OUTPUT_NAMES,
    )
    rating: QuantityField = measure(Dimension.CURRENT, "Current the block carries in all.", "300 A")
    smallest_cable: QuantityField = measure(Dimension.AREA, _SMALLEST, "8 AWG")
    largest_cable: QuantityField = measure(Dimension.AREA, _LARGEST, "1/0 AWG")
    cover: FlagField = flag("Whether a cover keeps tools off its live parts.")
    accessible: FlagField = flag("Whether it can be reached without taking the vehicle apart.")
    labelled: FlagField = flag("Whether each output's rating and what it feeds will be written beside it.")
    highest_ambient: QuantityField = measure(Dimension.TEMPERATURE, _AMBIENT, "85 C maker")
    ignition_protected: FlagField = flag(_IGNITION)
    battery_box: FlagField = flag(_BATTERY_BOX)
    surroundings: tuple[str, ...] | None = choices("a surrounding", _AROUND, *_SURROUNDINGS)


@frozen
class Bus(Node):
    """A bus bar, ground block or stud that joins all lugs on it."""

    size: WordField = text("Thread of its stud.", "M8", "M10")
    lugs: tuple[str, ...] = names("The wires whose lugs lie on it, the lowest first.", "amp-ground", "converter-ground")
    cover: FlagField = flag("Whether a cover keeps tools off its live parts.")


@frozen
class Splice(Node):
    """A joint or plug between wires."""

    joint: WordField = choice(
        "a way of joining",
        "How the conductors are joined.",
        *("crimp-sleeve", "solder", "crimp-and-solder", "piercing", "twist", "wire-nut", "plug"),
    )
    sealed: FlagField = flag("Whether the joint is sealed against water.")
    rating: QuantityField = measure(Dimension.CURRENT, "Current it carries, as its maker states it.", "30 A")


@frozen
class GroundPoint(Node):
    """Where a ground wire meets the body."""

    member: WordField = choice(
        "a member of the body",
        "Part of the vehicle that the ground is fixed to.",
        *(
            "floor",
            "rail",
            "strut",
            "pillar",
            "door",
            "lid",
            "bracket",
            "wheel-arch",
            "dash-bar",
            "belt-anchor",
            "seat-bolt",
            "factory-stud",
            "frame",
            "bed",
        ),
        *("engine", "battery-negative", "ground-block"),
    )
    section: WordField = choice(
        "a section of the body", "Section of the body; sections need a bond between them.", *SECTIONS
    )
    fastener: WordField = text("What holds the lug: kind and size.", "M8 stud", "M8 bolt with weld nut")
    metal: WordField = choice(
        "a metal",
        "What the member is made of where the lug lies.",
        *("steel", "zinc-coated-steel", "stainless-steel", "aluminium"),
    )
    surface: WordField = choice(
        "a surface", "What the lug lies on.", *("bare-metal", "plated", "primed", "painted", "coated")
    )
    sealed: FlagField = flag("Whether the joint is painted or greased over once it is tight.")
    lugs: tuple[str, ...] = names("The wires whose lugs lie on it, the lowest first.", "amp-ground", "converter-ground")
    resistance: QuantityField = measure(
        Dimension.RESISTANCE,
        "Measured from this point to a battery's negative post; goes before the vehicle's `body_resistance`.",
        *("2 mohm measured", "1.1 mohm"),
    )
    resistance_to: WordField = text("Battery to which it was measured; the main one where left out.", "battery")
    fuel: QuantityField = nearest("the fuel tank or a fuel line")


@frozen
class BodyBond(Node):
    """A strap that joins two sections of the body."""

    joins: tuple[str, ...] | None = choices("a section of the body", "The sections that it joins.", *SECTIONS)
    gauge: QuantityField = measure(Dimension.AREA, "Size of the strap.", "2 AWG", "35 mm2")
    length: QuantityField = measure(Dimension.LENGTH, "Length of the strap.", "30 cm")
