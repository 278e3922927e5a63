"""The work a plan lays down: holes, mounts, steps, tests, parts, documents and photos."""

from __future__ import annotations

from planlint.frozen import frozen
from planlint.plan.fields import choice, choices, count, day, flag, measure, measured, names, nearest, text, within
from planlint.plan.quantity import Dimension
from planlint.plan.values import CountField, FlagField, QuantityField, WordField
from planlint.text.places import Path


@frozen
class Grommet:
    """What lines a hole."""

    path: Path
    kind: WordField = text("What it is.", "blind grommet, cut open", "cable gland")
    bore: QuantityField = measure(Dimension.LENGTH, "Diameter of its opening for the cable.", "10 mm")
    groove: QuantityField = measure(Dimension.LENGTH, "Diameter of the hole it fits.", "16 mm")
    width: QuantityField = measure(Dimension.LENGTH, "Thickness of the panel it fits.", "1 mm")
    sealing: FlagField = flag("Whether it keeps water and fumes out.")
    factory: FlagField = flag("Whether the vehicle has it already, in a hole of its own.")


@frozen
class Hole:
    """A hole that will be drilled, or one of the vehicle's own that will be used."""

    path: Path
    name: str
    existing: FlagField = flag("Whether the vehicle already has it.")
    barrier: WordField = text("The panel it goes through.", "bulkhead", "boot floor")
    serves: tuple[str, ...] = names("The wires that pass it, or the mounts it is for.", "feed-rear", "amp-board")
    amount: CountField = count("How many such holes there are.", 4)
    datum: WordField = text("The hard point from which it is measured.", "centre of the left rear belt anchor bolt")
    x: QuantityField = measure(Dimension.LENGTH, "How far rearward of the datum.", "120 mm")
    y: QuantityField = measure(Dimension.LENGTH, "How far to the right of the datum.", "450 mm")
    z: QuantityField = measure(Dimension.LENGTH, "How far above the datum, on an upright panel.", "200 mm")
    diameter: QuantityField = measure(Dimension.LENGTH, "Its diameter.", "10 mm")
    panel: QuantityField = measure(Dimension.LENGTH, "Thickness of the panel.", "0.8 mm")
    member: WordField = choice(
        "a member",
        "What the drill goes into.",
        *(
            "floor-sheet",
            "firewall",
            "inner-panel",
            "bracket",
            "pillar",
            "sill",
            "rail-web",
            "rail-flange",
            "crossmember",
        ),
        *("roof-rail", "bonded-joint", "plastic"),
    )
    back_checked: FlagField = flag("Whether somebody has looked at what is behind it.")
    method: WordField = choice("a way of looking", "How the back was checked.", "visual", "borescope", "probe")
    by: WordField = text("Who checked it.", "the installer")
    photo: WordField = text("Which photo shows it.", "photo 12")
    fuel: QuantityField = nearest("the fuel tank or a fuel line")
    brake: QuantityField = nearest("a brake line")
    high_voltage: QuantityField = nearest("a high-voltage cable or pack")
    harness: QuantityField = nearest("a wiring harness")
    airbag: QuantityField = nearest("an airbag or its way")
    srs_module: QuantityField = nearest("the restraint system's module or a crash sensor")
    belt_anchor: QuantityField = nearest("a belt anchor")
    edge: QuantityField = nearest("an edge of the panel")
    shares_fluid: FlagField = flag("Whether a fuel or brake line passes the same hole.")
    cavity: QuantityField = measure(Dimension.LENGTH, "Free depth behind the panel.", "80 mm measured")
    depth_stop: FlagField = flag("Whether a stop limits the drill's depth.")
    bit: WordField = choice("a drill bit", "What it is drilled with.", "step", "twist", "hole-saw")
    grommet: Grommet | None = within(
        Grommet, "grommet", "What lines it where a cable passes.", "a mapping of what the grommet is", {"bore": "10 mm"}
    )
    finish: tuple[str, ...] | None = choices(
        "a finish", "What is done to its edge.", *("deburr", "clean", "prime", "paint", "seal")
    )


@frozen
class Fasteners:
    """What holds a mount."""

    path: Path
    type: WordField = choice(
        "a type of fastener",
        "What they are.",
        *("nut-insert", "through-bolt", "sheet-screw", "bracket", "strap", "hook-and-loop"),
        example="through-bolt",
    )
    size: WordField = text("Their thread or size.", "M6", "5 mm")
    amount: CountField = count("How many there are.", 4)
    spreader: FlagField = flag("Whether plates spread their load.")
    length: QuantityField = measure(Dimension.LENGTH, "Their length.", "20 mm")
    below: QuantityField = nearest("what their tips point at, from the tips")
    strength: QuantityField = measure(
        Dimension.FORCE, "Force that one of them bears, as its maker states it.", "1 kN maker"
    )


@frozen
class Mount:
    """Something that is fixed to the vehicle."""

    path: Path
    name: str
    holds: tuple[str, ...] = names("The parts it holds.", "sub-amp", "converter")
    zone: WordField = text("Zone in which it is: a name from `zones`.", "cargo")
    mass: QuantityField = measure(Dimension.MASS, "All that it holds, with boards and boxes.", "17 kg measured")
    substrate: WordField = choice(
        "a substrate", "What it is fixed to.", *("steel", "aluminium", "wood", "plastic", "carpet")
    )
    thickness: QuantityField = measure(Dimension.LENGTH, "Thickness of what it is fixed to.", "0.8 mm")
    fasteners: Fasteners | None = within(
        Fasteners,
        "fasteners",
        "What holds it.",
        "a mapping of what the fasteners are",
        {"type": "through-bolt", "size": "M8"},
    )
    orientation: WordField = choice(
        "an orientation", "How an amplifier's fins stand.", "fins-vertical", "fins-up", "fins-down"
    )
    clear_side: QuantityField = measure(Dimension.LENGTH, "Free space at its sides.", "30 mm")
    clear_top: QuantityField = measure(Dimension.LENGTH, "Free space above it, or above the fins.", "60 mm")
    clear_pressed: QuantityField = measure(
        Dimension.LENGTH, "Free space under a seat at its lowest, with the cushion pressed down.", "25 mm measured"
    )
    wet: FlagField = flag("Whether water can splash or gather there.")
    hot: FlagField = flag("Whether a heater duct or the exhaust heats the place.")
    covered: FlagField = flag("Whether carpet or a closed box covers it.")
    anchor_shared: FlagField = flag("Whether it shares a bolt with a belt, a seat or a child seat's anchor.")
    travel_checked: FlagField = flag("Whether it was checked over the full travel of the seat, cushion pressed down.")
    occupant_sensor: FlagField = flag("Whether it touches the sensor that feels who sits on the seat.")
    airbag_zone: FlagField = flag("Whether it lies in the way of an airbag.")


STEPS = (
    *("check-in", "scan", "record-codes", "ignition-off", "ignition-on", "memory-keeper-on", "memory-keeper-off"),
    *(
        "sleep-wait",
        "disconnect-negative",
        "disconnect-positive",
        "isolate-other",
        "srs-wait",
        "trim-out",
        "check-back",
    ),
    *("drill", "finish-hole", "route", "mount", "ground-prep", "terminate", "prepower-test", "reconnect-srs"),
    *("reconnect-positive", "reconnect-negative", "insert-fuse", "first-power", "commission", "relearn", "trim-in"),
    *("road-test", "handover", "other"),
)


@frozen
class Step:
    """One step of the work."""

    path: Path
    do: WordField = choice("a step of the work", "What is done.", *STEPS, example="disconnect-negative", required=True)
    name: WordField = text("Name by which other steps refer to it.", "charge-capacitor")
    of: tuple[str, ...] = names("The parts, wires, holes or mounts it is done to.", "battery", "main-fuse")
    after: tuple[str, ...] = names("Steps that must be done before, by their names, or by what they do.", "check-back")
    wait: QuantityField = measure(Dimension.TIME, "How long to wait.", "15 min")
    near_srs: FlagField = flag("Whether it touches trim, seats or wires near airbags and belt tensioners.")
    underbody: FlagField = flag("Whether somebody works under the vehicle.")
    supported: FlagField = flag("Whether stands or a locked lift carry the vehicle.")
    qualified: FlagField = flag("Whether a person qualified for it does it (high voltage).")
    wear: tuple[str, ...] | None = choices(
        "protective wear", "What the worker wears.", *("eyes", "hands", "ears", "lungs")
    )
    tool: WordField = text("What it is done with.", "10 mm step drill with depth stop")
    note: WordField = text("Anything else to know.", "bag the clips")


TESTS = (
    *("insulation", "coil-resistance", "polarity", "ground-resistance", "crimp", "rest-voltage", "charging-voltage"),
    *("supply-drop", "return-drop", "ground-difference", "temperature-rise", "turn-on-voltage", "turn-on-behaviour"),
    *("source-level", "gain", "driver-polarity", "filters", "noise", "key-off-draw", "functions", "road"),
    *("restraint-lamp", "fault-scan", "other"),
)


@frozen
class Limit:
    """What a test must show."""

    path: Path
    at_least: QuantityField = measured("Lowest value that passes.", "12.6 V", "1 ohm")
    at_most: QuantityField = measured("Highest value that passes.", "0.5 V", "50 mA")
    expect: WordField = text("What must be seen or heard, where it is no number.", "no audible whine")


@frozen
class Check:
    """A test after or during the work."""

    path: Path
    test: WordField = choice("a test", "What is tested.", *TESTS, example="supply-drop", required=True)
    of: tuple[str, ...] = names("The parts or wires it is done at.", "sub-amp")
    condition: WordField = text("The state in which it is done.", "full load, bass music", "engine off, asleep")
    method: WordField = choice(
        "a method",
        "How it is done.",
        *("voltmeter", "ammeter", "clamp-meter", "ohmmeter", "four-wire", "current-injection", "oscilloscope"),
        *("thermometer", "pulse", "listening", "scan-tool", "visual", "other"),
    )
    limit: Limit | None = within(Limit, "limit", "What it must show.", "a mapping of limits", {"at_most": "0.5 V"})
    result: QuantityField = measured("What it showed.", "0.41 V measured")
    by: WordField = text("Who did it.", "the installer")


@frozen
class Part:
    """An entry of the parts list."""

    path: Path
    part: WordField = text("What it is.", "fuse", "ring terminal", "cable", required=True)
    size: WordField = text("Its size.", "80 A strip", "M8, 25 mm2", "4 AWG red, 6 m")
    length: QuantityField = measure(Dimension.LENGTH, "Length of a cable, loom or sleeve in all.", "6 m")
    amount: CountField = count("How many are needed.", 2)
    spare: CountField = count("How many more are kept.", 1)
    serves: tuple[str, ...] = names("The parts, wires, holes or mounts it is for.", "main-fuse")


@frozen
class Document:
    """A paper that goes with the job."""

    path: Path
    document: WordField = choice(
        "a document",
        "What it is.",
        *(
            "consent",
            "check-in",
            "maker-vehicle",
            "maker-equipment",
            "handover",
            "fuse-map",
            "scan-before",
            "scan-after",
        ),
        required=True,
    )
    ref: WordField = text("Where it is kept.", "job sheet 14")
    signed_by: WordField = text("Who signed it.", "the customer")
    date: WordField = day("When it was signed or printed.")


@frozen
class Photo:
    """A photo that belongs to the job."""

    path: Path
    of: tuple[str, ...] = names("What it shows: parts, wires, holes or mounts.", "boot-stud")
    when: WordField = choice("a time of the photo", "When it is taken.", "before", "during", "after")
    ref: WordField = text("Where it is kept.", "photo 12")
