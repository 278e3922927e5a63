"""The typed plan: vehicle, zones, nodes joined by wires, the work, and the findings someone takes responsibility for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planlint.frozen import frozen
from planlint.plan.fields import choice, day, flag, listed, measure, names, nearest, text, within
from planlint.plan.nodes import Node
from planlint.plan.quantity import Dimension
from planlint.plan.values import FlagField, QuantityField, WordField
from planlint.plan.vehicle import Customer, Vehicle, Zone
from planlint.plan.work import Check, Document, Hole, Mount, Part, Photo, Step
from planlint.text.places import Path

PROTECTIONS = ("none", "tape", "loom", "braid", "conduit-closed", "sleeve")


@frozen
class Segment:
    """One stretch of a wire's route, or (`through`) the hole by which it passes a panel."""

    path: Path
    zone: WordField = text("Zone the stretch lies in: a name from `zones`.", "cabin")
    through: WordField = text("Hole by which the wire passes a panel.", "firewall-hole")
    length: QuantityField = measure(Dimension.LENGTH, "Cable in this stretch.", "3.4 m", "11 ft")
    along: WordField = choice(
        "what a stretch follows",
        "What the stretch follows.",
        *("inner-wing", "bulkhead", "dash", "column", "pedals", "floor", "sill", "tunnel", "under-seat"),
        *("seat-path", "pillar-a", "pillar-b", "pillar-c", "roof-rail", "door", "tailgate", "side-panel"),
        *("load-floor", "underbody", "wheel-arch", "frame", "other"),
        example="sill",
    )
    side: WordField = choice("a side", "Side of the vehicle, looking forward.", "left", "right", "centre")
    protection: WordField = choice(
        "a protection of cable",
        "What covers the cable on this stretch; that of the whole wire where it is left out.",
        *PROTECTIONS,
        example="loom",
    )
    loom_rating: QuantityField = measure(Dimension.TEMPERATURE, "Temperature that cover is made for.", "125 C")
    exhaust: QuantityField = nearest("the exhaust")
    exhaust_shield: FlagField = flag("Whether a shield stands between the exhaust and the cable.")
    moving: QuantityField = nearest("moving parts")
    fuel_brake: QuantityField = nearest("fuel and brake lines")
    above_line: FlagField = flag("Whether the cable lies above the nearest fuel or brake line.")
    tied_to_line: FlagField = flag("Whether it is tied to a fuel, brake or airbag line.")
    high_voltage: QuantityField = nearest("high-voltage cables")
    support: QuantityField = measure(Dimension.LENGTH, "Longest distance between two fixings.", "300 mm")
    fixing: WordField = choice(
        "a fixing",
        "What holds the cable.",
        *("p-clip", "edge-clip", "tie-to-bracket", "tie-to-harness", "trough"),
    )
    bend: QuantityField = measure(Dimension.LENGTH, "Tightest bend, by its inner radius.", "60 mm")
    travel_checked: FlagField = flag("Whether it was checked over the full travel of the seat or door beside it.")
    boot: FlagField = flag("Whether a boot or a flexible loop takes the cable over a hinge.")
    beside: tuple[str, ...] = names("Wires that run along the same stretch.", "signal-left")
    gap: QuantityField = measure(Dimension.LENGTH, "Distance to the wires beside it.", "200 mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Where a wire ends: a terminal of a node."""

    path: Path
    node: str
    terminal: str


@frozen
class Termination:
    """How one end of a wire is made."""

    path: Path
    type: WordField = choice(
        "a type of end", "What is on the end.", *("ring", "ferrule", "bare", "blade", "pin", "plug"), example="ring"
    )
    bore: QuantityField = measure(Dimension.LENGTH, "Hole of a ring.", "8.4 mm")
    barrel: QuantityField = measure(Dimension.AREA, "Conductor that its barrel is made for.", "4 AWG", "25 mm2")
    stud: WordField = text("Stud or screw it goes on.", "M8")
    plating: WordField = choice("a plating", "What its metal is coated with.", "tinned", "nickel", "none")
    tool: WordField = choice(
        "a tool", "What it is pressed or joined with.", *("hex-die", "ratchet", "pliers", "solder"), example="hex-die"
    )
    sleeve: FlagField = flag("Whether a sleeve or boot covers it.")
    sealed: FlagField = flag("Whether it is sealed against water.")
    torque: QuantityField = measure(Dimension.TORQUE, "Torque of its screw or nut.", "8 N.m maker")
    fixed_within: QuantityField = measure(Dimension.LENGTH, "Cable between the end and its first fixing.", "120 mm")


@frozen
class Terminations:
    """How the ends of a wire are made; what `both` says holds for either end that says nothing else."""

    path: Path
    both: Termination | None = within(
        Termination,
        "termination",
        "Both ends, as far as they are made alike.",
        "a mapping of how an end is made",
        {"type": "ring", "bore": "8.4 mm"},
    )
    from_: Termination | None = within(
        Termination,
        "termination",
        "The end at `from`.",
        "a mapping of how an end is made",
        {"type": "ring", "bore": "8.4 mm"},
    )
    to: Termination | None = within(
        Termination,
        "termination",
        "The end at `to`.",
        "a mapping of how an end is made",
        {"type": "ring", "bore": "8.4 mm"},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A conductor from one terminal to another; what circuit it belongs to is derived from what it joins."""

    path: Path
    name: str
    from_: End
    to: End
    factory: FlagField = flag("Whether it is the vehicle maker's own cable.")
    gauge: QuantityField = measure(Dimension.AREA, "Size of the conductor.", "4 AWG", "1/0 AWG", "25 mm2")
    length: QuantityField = measure(
        Dimension.LENGTH,
        "Length of the cable from end to end; a range counts at its longer end.",
        *("5.2 m measured", "17 ft 6 in", "15 cm"),
    )
    cut: QuantityField = measure(Dimension.LENGTH, "Length to cut, with slack for both ends.", "5.8 m")
    material: WordField = choice(
        "a conductor material",
        "What the conductor is made of; 10 and 15 are the per cent of copper by volume.",
        *("copper", "tinned-copper", "copper-clad-aluminium", "copper-clad-aluminium-10", "copper-clad-aluminium-15"),
        "aluminium",
    )
    insulation: QuantityField = measure(
        Dimension.TEMPERATURE, "Conductor temperature the insulation is rated for, as printed on it.", "105 C", "75 C"
    )
    type: WordField = choice(
        "a type of cable",
        "What the cable is made for.",
        *("primary", "battery", "welding", "building", "speaker", "signal", "other"),
        example="battery",
    )
    stranding: WordField = choice("a stranding", "How fine its strands are.", "fine", "standard", "solid")
    diameter: QuantityField = measure(Dimension.LENGTH, "Its outside diameter.", "9.8 mm measured")
    protection: WordField = choice(
        "a protection of cable", "What covers the cable along its way.", *PROTECTIONS, example="loom"
    )
    route: tuple[Segment, ...] = listed(
        Segment,
        "segment",
        "The wire's way from `from` to `to`, stretch by stretch and hole by hole.",
        "a list of stretches",
        [{"zone": "engine-bay", "length": "0.6 m"}, {"through": "firewall-hole"}, {"zone": "cabin", "length": "3.4 m"}],
    )
    ends_made: Terminations | None = within(
        Terminations,
        "terminations",
        "How its ends are made.",
        "a mapping of how the ends are made",
        {"from": {"type": "ring", "bore": "8.4 mm"}, "to": {"type": "ferrule"}},
    )
    under_sensor_clamp: FlagField = flag("Whether a lug of it lies under the clamp or nut of the battery's sensor.")
    colour: WordField = text("Colour of its insulation.", "red", "black")
    label: WordField = text("What the installer writes on its ends.", "amp feed")

    @property
    def ends(self) -> tuple[End, End]:
        """Both ends, as written."""
        return (self.from_, self.to)


@frozen
class Acceptance:
    """A finding that someone takes responsibility for."""

    @property
    def name(self) -> str:
        """The name of what it is accepted for."""
        return self.subject

    path: Path
    rule: str
    subject: str
    reason: WordField = text("Why it is acceptable here.", "measured 1.1 mohm after the work")
    by: WordField = text("Who takes responsibility.", "the workshop's foreman")
    date: WordField = day("When it was accepted.")
    until: WordField = day("Last day on which the acceptance counts.")


@frozen
class About:
    """What is said of the plan itself."""

    @property
    def name(self) -> str:
        """What messages call it."""
        return "the plan"

    @property
    def path(self) -> Path:
        """Its place: the top of the file."""
        return ()

    id: WordField = text("Number or name under which the shop keeps the plan.", "2031-014")
    revision: WordField = text("Which version of the plan this is.", "2", "B")
    date: WordField = day("When this version was made.")
    author: WordField = text("Who made it.", "the installer")
    state: WordField = choice(
        "a state of the plan",
        "How far it has come: a draft, checked before the work, or as built.",
        "draft",
        "checked",
        "as-built",
    )
    task: WordField = choice(
        "a task",
        "What the job is: a new system, an addition, a repair, or an exercise of a course.",
        *("new-system", "addition", "repair", "exercise"),
    )


@frozen
class Plan:
    """A whole plan; tuples keep the order of the file.

    Of the work, `None` stands for a section that is missing, an empty tuple for `none`. `origins` say of each value that an
    element took over from a default where it stands.
    """

    title: str
    scope: str
    vehicle: Vehicle
    zones: tuple[Zone, ...]
    nodes: tuple[Node, ...]
    wires: tuple[Wire, ...]
    accepted: tuple[Acceptance, ...]
    about: About
    customer: Customer | None
    holes: tuple[Hole, ...] | None
    mounts: tuple[Mount, ...] | None
    steps: tuple[Step, ...] | None
    tests: tuple[Check, ...] | None
    parts: tuple[Part, ...] | None
    documents: tuple[Document, ...] | None
    photos: tuple[Photo, ...] | None
    origins: Mapping[Path, Path]
