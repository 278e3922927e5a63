"""What every node has, and the sources and users of current: one frozen dataclass a kind."""

from __future__ import annotations

from functools import partial

from planlint.frozen import frozen
from planlint.plan.fields import choice, flag, measure, nearest, text
from planlint.plan.quantity import Dimension
from planlint.plan.values import FlagField, QuantityField, WordField
from planlint.text.places import Path

# How long something stays on by itself is told alike of all that can turn a device on.
hold_time = partial(
    measure,
    Dimension.TIME,
    "Longest time it stays on after the key is out and the doors are locked, or, of a timer, after it was switched on.",
    *("10 min maker", "60 s"),
)
# A circuit of the vehicle is told alike, be it used as a supply or for turning on.
_CIRCUIT = (
    "Which circuit of the vehicle it is; a safety circuit is that of airbags, brakes, stability control, engine computer, "
    "brake lamps or fuel pump."
)

# An alternator is told alike, be it the vehicle's or one drawn as a node.
alternator_rating = partial(
    measure,
    Dimension.CURRENT,
    "Highest current the alternator gives hot, as its label or the maker states it.",
    *("110 A maker", "90 A"),
)
alternator_at_idle = partial(
    measure,
    Dimension.CURRENT,
    "Current it gives hot with the engine idling; usually about half its rating.",
    *("60 A measured", "60 A"),
)
alternator_control = partial(
    choice,
    "a kind of alternator control",
    "How the charging voltage is set: fixed by a regulator, varied by the engine computer, or made by a DC-DC converter.",
    *("fixed", "variable", "dc-dc"),
)

_highest_voltage = partial(measure, Dimension.VOLTAGE, "Highest supply voltage it bears.", "16 V maker")


@frozen
class Node:
    """What every node has: its name, its kind, where it stands, and whether the vehicle maker put it there."""

    path: Path
    name: str
    kind: str
    zone: WordField = text("Zone in which the part stands: a name from `zones`.", "cargo", "engine-bay")
    position: WordField = text("Where in the zone it stands.", "left of the battery, on the tray")
    x: QuantityField = measure(
        Dimension.LENGTH, "How far its terminals lie behind the foremost point of the vehicle.", "0.9 m"
    )
    y: QuantityField = measure(Dimension.LENGTH, "How far they lie to the right of its leftmost point.", "1.2 m")
    z: QuantityField = measure(Dimension.LENGTH, "How far they lie above the ground.", "0.8 m")
    label: WordField = text("What the installer writes on the part, or calls it.", "amp fuse, left of battery")
    factory: FlagField = flag("Whether the vehicle maker put it there; yes exempts it from what is asked of new parts.")


@frozen
class Battery(Node):
    """A battery, the vehicle's own or an added one."""

    role: WordField = choice(
        "a battery's role",
        "Whether it is the vehicle's own battery or one that the job adds; a plan's only battery is taken for its own.",
        "main",
        "added",
    )
    chemistry: WordField = choice(
        "a battery chemistry",
        "What the battery is made of; it decides charging and ventilation.",
        *("flooded", "efb", "agm", "gel", "lifepo4", "other"),
        example="agm",
    )
    capacity: QuantityField = measure(Dimension.CHARGE, "Charge the battery holds, from its label.", "60 Ah")
    cold_cranking: QuantityField = measure(
        Dimension.CURRENT,
        "Cold-cranking current from its label; tells how much current a short circuit can draw.",
        "540 A",
    )
    resistance: QuantityField = measure(
        Dimension.RESISTANCE,
        "Internal resistance, where it was measured or its maker states it.",
        "6 mohm",
        "4.5 mohm measured",
    )
    link: QuantityField = measure(
        Dimension.CURRENT,
        "Planned current of the link that charges this battery, the loads behind it included.",
        "60 A",
    )
    mass: QuantityField = measure(Dimension.MASS, "Its mass, which its hold-down must bear.", "21 kg")
    moved: FlagField = flag(
        "Whether the job moves the vehicle's own battery to another place; a plan's only battery is taken to stay."
    )
    enclosure: WordField = choice(
        "a battery enclosure",
        "What surrounds it: nothing, a box vented to the outside, or a sealed battery with its own vent tube.",
        *("none", "vented-outside", "vent-tube"),
        example="vented-outside",
    )
    hold_down: WordField = text(
        "What holds the battery down; `none` where nothing does.", "metal frame on 4 x M8 bolts"
    )
    hold_down_strength: QuantityField = measure(Dimension.FORCE, "Force its hold-down bears.", "6 kN maker", "3 kN")
    terminal_cover: FlagField = flag("Whether a cover keeps tools off its positive terminal.")
    fuel: QuantityField = nearest("the fuel tank or a fuel line")
    fuel_side: WordField = choice(
        "a side of the fuel system",
        "Whether it stands right above, right below or beside the nearest part of the fuel system.",
        *("above", "below", "beside"),
    )
    shielded_from_fuel: FlagField = flag(
        "Whether an insulating shield covers what is metal of the fuel system near it."
    )
    nominal: QuantityField = measure(
        Dimension.VOLTAGE, "Its nominal voltage, where it is not that of the vehicle's system.", "12 V"
    )
    discharge_limit: QuantityField = measure(
        Dimension.CURRENT, "Most current its own electronics let out (lithium batteries).", "100 A maker"
    )
    charge_limit: QuantityField = measure(Dimension.CURRENT, "Most current it may be charged with.", "50 A maker")


@frozen
class Alternator(Node):
    """An alternator drawn as a part of the network: a source that limits its own current to its rating."""

    rating: QuantityField = alternator_rating()
    at_idle: QuantityField = alternator_at_idle()
    control: WordField = alternator_control()


@frozen
class Charger(Node):
    """A DC-DC charger between two batteries."""

    input_limit: QuantityField = measure(Dimension.CURRENT, "Most current it takes from the charging side.", "52 A")
    output_limit: QuantityField = measure(Dimension.CURRENT, "Most current it gives to the battery it charges.", "40 A")
    bidirectional: FlagField = flag("Whether it can also pass current backwards.")
    isolates: FlagField = flag("Whether it parts the two batteries while it rests.")
    output_voltage: QuantityField = measure(
        Dimension.VOLTAGE, "Nominal voltage of what it feeds, where it is not that of the vehicle's system.", "12 V"
    )
    highest_voltage: QuantityField = _highest_voltage()
    profile: WordField = text("The charging profile it is set to.", "AGM, 14.4 V")
    turn_on_draw: QuantityField = measure(Dimension.CURRENT, "Current its trigger terminal draws.", "20 mA")
    standby: QuantityField = measure(Dimension.CURRENT, "Current it draws while it rests.", "3 mA")
    mass: QuantityField = measure(Dimension.MASS, "Its mass.", "1.8 kg")
    protection_class: WordField = text("How well it keeps out water and dust, as printed on it.", "IP67", "IP20")


@frozen
class FactoryCircuit(Node):
    """A fused circuit of the vehicle used as a supply."""

    fuse: QuantityField = measure(Dimension.CURRENT, "Rating of the fuse that the plan has in it.", "15 A")
    original_fuse: QuantityField = measure(
        Dimension.CURRENT, "Rating of the fuse that the vehicle maker put in it.", "15 A maker", "15 A"
    )
    draw: QuantityField = measure(
        Dimension.CURRENT, "What already draws from it, before the job.", "6 A measured", "6 A"
    )
    circuit: WordField = choice(
        "a circuit of the vehicle", _CIRCUIT, *("accessory", "ignition", "constant", "safety-circuit")
    )
    fuse_place: WordField = choice("a place of the fuse box", "Where its fuse box stands.", "cabin", "engine-bay")


@frozen
class ControlSource(Node):
    """What switches the system on: a radio lead or a switched circuit of the vehicle."""

    circuit: WordField = choice(
        "a switching circuit",
        f"What gives the turn-on voltage. {_CIRCUIT}",
        *("radio-remote", "accessory", "ignition", "constant", "safety-circuit", "bus-interface"),
    )
    limit: QuantityField = measure(Dimension.CURRENT, "Most current it may give.", "300 mA", "0.5 A")
    in_crank: FlagField = flag("Whether it stays on while the engine is started.")
    voltage: QuantityField = measure(Dimension.VOLTAGE, "Voltage it gives under its load.", "12.0 V measured", "12 V")
    hold_time: QuantityField = hold_time()


@frozen
class Capacitor(Node):
    """A stiffening capacitor across the supply."""

    capacitance: QuantityField = measure(Dimension.CAPACITANCE, "Its capacitance.", "1 F")
    voltage: QuantityField = measure(Dimension.VOLTAGE, "Highest voltage it may see, as printed on it.", "20 V")
    precharge: WordField = text(
        "Name of the step that charges it before it is joined to the battery.", "charge-capacitor"
    )


@frozen
class Load(Node):
    """Any other user of current: a fan, a lamp, a stabiliser."""

    type: WordField = choice("a type of load", "What it is.", "motor", "heater", "lamp", "electronics", "other")
    attended: FlagField = flag("Whether somebody is there whenever it runs: not with a fan that starts by itself.")
    supply: QuantityField = measure(Dimension.CURRENT, "Current it draws.", "2 A")
    standby: QuantityField = measure(Dimension.CURRENT, "Current it draws while it is off.", "1 mA")
    highest_voltage: QuantityField = _highest_voltage()
    surge: FlagField = flag("Whether it takes several times that when it is switched on, as motors and lamps do.")
