"""Hypothesis strategies: random readable plans as plain data, and the many ways in which a person may write one."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

Data = dict[str, Any]

GAUGES = ("20 AWG", "18 AWG", "16 AWG", "12 AWG", "8 AWG", "4 AWG", "2 AWG", "1/0 AWG", "4/0 AWG", "2.5 mm2", "25 mm2")
LENGTHS = ("0 m", "5 cm", "15 cm", "200 mm", "18 in", "1 ft 6 in", "3 ft", "0.6 m", "1.2 m", "5.2 m measured", "9 m")
RATINGS = ("3 A", "7.5 A", "15 A", "30 A", "60 A", "80 A", "150 A", "0.3 kA")
MATERIALS = ("copper", "tinned-copper", "copper-clad-aluminium", "aluminium")
ZONES = ("engine-bay", "cabin", "cargo")


def often(value: Any, *others: Any) -> st.SearchStrategy[Any]:
    """Mostly the value, sometimes one of the others."""
    return st.sampled_from((value, value, value, *others))


def maybe(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Mostly a value, sometimes none (the field is left out) or `not stated`."""
    return st.one_of(values, values, values, st.none(), st.just("not stated"))


def quantities(values: tuple[str, ...]) -> st.SearchStrategy[str | None]:
    """One of these quantities, a range up from it, or unknown."""
    return maybe(st.sampled_from(values) | st.sampled_from(values).map(as_range))


def as_range(text: str) -> str:
    """A range of which the quantity is the lower end; what is no plain number and unit stays."""
    found = re.fullmatch(r"([0-9.]+) ([A-Za-z0-9]+)", text)
    return f"{found[1]}..{Decimal(found[1]) * 2} {found[2]}" if found else text


def stated(**fields: Any) -> Data:
    """The fields that are not None; an underscore at the end of a name is dropped."""
    return {name.rstrip("_"): value for name, value in fields.items() if value is not None}


@dataclass
class Growing:
    """A plan while it grows: places where the supply can be taken, and where ground wires can end."""

    nodes: dict[str, Data] = field(default_factory=dict)
    wires: dict[str, Data] = field(default_factory=dict)
    live: list[str] = field(default_factory=list)
    grounds: list[str] = field(default_factory=list)
    returns: list[str] = field(default_factory=list)
    controls: list[str] = field(default_factory=list)

    def add(self, kind: str, **fields: Any) -> str:
        """Add a node and return its name."""
        name = f"{kind}-{len(self.nodes)}"
        self.nodes[name] = stated(kind=kind, **fields)
        return name

    def ends(self) -> list[str]:
        """Every place at which some wire could end."""
        return self.live + self.grounds + self.returns + self.controls


@st.composite
def wires(draw: st.DrawFn, start: str, end: str) -> Data:
    """A wire between two ends, drawn either way round, of random or unknown make."""
    first, second = draw(st.sampled_from([(start, end), (end, start)]))
    route = draw(st.none() | st.just([{"zone": "engine-bay", "length": "0.5 m"}, {"zone": "cabin"}]))
    return {
        "from": first,
        "to": second,
        **stated(
            gauge=draw(quantities(GAUGES) | st.just("2..8 AWG")),
            length=draw(quantities(LENGTHS)),
            material=draw(maybe(st.sampled_from(MATERIALS))),
            insulation=draw(maybe(st.sampled_from(("75 C", "105 C", "60..90 C")))),
            protection=draw(often(None, "loom", "conduit-closed")),
            factory=draw(often(None, False, True)),
            route=route,
        ),
    }


def connect(draw: st.DrawFn, plan: Growing, start: str, end: str) -> None:
    """Add a wire between two ends."""
    plan.wires[f"w-{len(plan.wires)}"] = draw(wires(start, end))


def grow_source(draw: st.DrawFn, plan: Growing) -> None:
    """Add a battery, alternator or circuit of the vehicle; batteries are grounded or not."""
    kind = draw(often("battery", "alternator", "factory-circuit"))
    zone = draw(maybe(st.sampled_from(ZONES)))
    if kind == "battery":
        link = draw(often(None, "60 A", "not stated"))
        name = plan.add(kind, zone=zone, role=draw(often(None, "main", "added", "added")), link=link)
        plan.live.append(f"{name}.positive")
        plan.grounds.append(f"{name}.negative")
    elif kind == "alternator":
        plan.live.append(plan.add(kind, zone=zone, rating=draw(quantities(("110 A",)))) + ".output")
    else:
        plan.live.append(plan.add(kind, zone=zone, fuse=draw(quantities(("15 A",)))) + ".out")


def grow_ground(draw: st.DrawFn, plan: Growing) -> None:
    """Add a ground point, or a bus wired to one."""
    resistance = draw(often(None, "1.1 mohm measured"))
    point = plan.add("ground-point", zone=draw(maybe(st.sampled_from(ZONES))), resistance=resistance)
    plan.grounds.append(point)
    if draw(st.booleans()):
        bus = plan.add("bus")
        connect(draw, plan, bus, draw(st.sampled_from(plan.grounds)))
        plan.grounds.append(bus)


def grow_joint(draw: st.DrawFn, plan: Growing) -> None:
    """Add a part that passes current on, fed from a live place."""
    kind = draw(
        st.sampled_from(["fuse", "fuse", "breaker", "bus", "splice", "distribution", "switch", "isolator", "relay"])
    )
    start = draw(st.sampled_from(plan.live))
    zone = draw(maybe(st.sampled_from(ZONES)))
    if kind in ("fuse", "breaker", "switch", "isolator"):
        name = plan.add(kind, zone=zone, rating=draw(quantities(RATINGS)))
        near, beyond = f"{name}.line", [f"{name}.load"]
    elif kind == "distribution":
        fuses = draw(st.lists(maybe(st.sampled_from(RATINGS) | st.just("none")), min_size=1, max_size=3))
        outputs = {f"out-{at}": stated(fuse=fuse) for at, fuse in enumerate(fuses, start=1)}
        name = plan.add(kind, zone=zone, outputs=outputs)
        near, beyond = f"{name}.in", [f"{name}.{output}" for output in outputs]
    elif kind == "relay":
        name = plan.add(kind, zone=zone)
        contacts = [f"{name}.normally-open", f"{name}.normally-closed"]
        near, beyond = draw(st.sampled_from([(f"{name}.common", contacts), (contacts[0], [f"{name}.common"])]))
        plan.returns.append(f"{name}.coil-negative")
    else:
        near = plan.add(kind, zone=zone)
        beyond = [near]
    connect(draw, plan, start, near)
    plan.live += beyond


def grow_user(draw: st.DrawFn, plan: Growing) -> None:
    """Add a user of current, fed from a live place and, mostly, grounded."""
    kind = draw(st.sampled_from(["amp", "amp", "converter", "load", "charger", "capacitor"]))
    zone = draw(maybe(st.sampled_from(ZONES)))
    start = draw(st.sampled_from(plan.live))
    if kind == "amp":
        powers = draw(st.lists(quantities(("300 W", "0.6 kW")), min_size=1, max_size=2))
        outputs = {f"o{at}": stated(power=power, at="2 ohm") for at, power in enumerate(powers)}
        fuses = draw(st.none() | st.just(["30 A", "30 A"]))
        name = plan.add(kind, zone=zone, class_=draw(maybe(st.sampled_from(("AB", "D")))), outputs=outputs, fuses=fuses)
    elif kind == "charger":
        flag = draw(often(False, True, None))
        limit = draw(quantities(("40 A",)))
        name = plan.add(kind, zone=zone, input_limit="52 A", output_limit=limit, bidirectional=flag)
    else:
        supply = None if kind == "capacitor" else draw(quantities(("300 mA", "2 A")))
        name = plan.add(kind, zone=zone, supply=supply)
    power = {"charger": "input", "capacitor": "positive"}.get(kind, "power")
    ground = f"{name}.{'negative' if kind == 'capacitor' else 'ground'}"
    connect(draw, plan, start, f"{name}.{power}")
    if draw(often(True, False)):
        connect(draw, plan, ground, draw(st.sampled_from(plan.grounds)))
    plan.returns.append(ground)
    plan.live += [f"{name}.{power}"] + ([f"{name}.output"] if kind == "charger" else [])


@st.composite
def plans(draw: st.DrawFn) -> Data:
    """A random readable plan: a supply grown from its sources, grounds, and a few wires anywhere at all."""
    plan = Growing()
    plan.nodes["main"] = {"kind": "battery", "zone": "engine-bay"}
    plan.live.append("main.positive")
    plan.grounds.append("main.negative")
    plan.controls.append(plan.add("control-source", circuit="ignition") + ".out")
    for _ in range(draw(st.integers(0, 2))):
        grow_source(draw, plan)
    for _ in range(draw(st.integers(1, 2))):
        grow_ground(draw, plan)
    for grow in draw(st.lists(st.sampled_from([grow_joint, grow_joint, grow_user]), min_size=2, max_size=9)):
        grow(draw, plan)
    for places in draw(st.lists(st.sampled_from([plan.live, plan.live, plan.grounds, plan.ends()]), max_size=3)):
        connect(draw, plan, draw(st.sampled_from(places)), draw(st.sampled_from(places)))
    vehicle = stated(
        system="12 V",
        body=draw(often("steel-unibody", "steel-frame", None)),
        body_resistance=draw(often(None, "2 mohm", "1..4 mohm measured")),
    )
    zones = [stated(name=zone, ambient=draw(often(None, "40 C"))) for zone in ZONES]
    return {
        "plan": 1,
        "title": "Random",
        "scope": "electrical",
        "vehicle": vehicle,
        "zones": zones,
        "nodes": plan.nodes,
        "wires": plan.wires,
    }


# --- how a plan is written

# Every unit with the exact number of the first one that it holds (inch and foot: international yard and pound
# agreement of 1959; the rest are SI prefixes).
_EXACT = {
    "m": ("m", "1"),
    "cm": ("m", "0.01"),
    "mm": ("m", "0.001"),
    "in": ("m", "0.0254"),
    "ft": ("m", "0.3048"),
    "A": ("A", "1"),
    "mA": ("A", "0.001"),
    "kA": ("A", "1000"),
    "W": ("W", "1"),
    "kW": ("W", "1000"),
    "ohm": ("ohm", "1"),
    "mohm": ("ohm", "0.001"),
    "V": ("V", "1"),
    "mV": ("V", "0.001"),
    "Ah": ("Ah", "1"),
    "mAh": ("Ah", "0.001"),
}
_N = r"[0-9]+(?:\.[0-9]+)?"
_WRITTEN = re.compile(rf"({_N})(?:\.\.({_N}))? (m|cm|mm|in|ft|A|mA|kA|W|kW|ohm|mohm|V|mV|Ah|mAh)( [a-z]+)?")
_DEGREES = re.compile(rf"({_N})(?:\.\.({_N}))? C")


def number(value: Decimal) -> str | None:
    """A number as a plan may write it, None where it would take more than nine digits on a side."""
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    whole, _, part = text.partition(".")
    return text if len(whole) <= 9 and len(part) <= 9 else None


def same_quantities(text: str) -> list[str]:
    """All ways of writing a quantity in other units that hold it exactly, its own first."""
    if degrees := _DEGREES.fullmatch(text):
        ends = [number(Decimal(end) * 9 / 5 + 32) for end in degrees.groups() if end]
        return [text, "..".join(str(end) for end in ends) + " F"]
    found = _WRITTEN.fullmatch(text)
    if not found:
        return [text, "18 in"] if text == "1 ft 6 in" else [text]
    base, factor = _EXACT[found[3]]
    ways = [text]
    for unit, (of, other) in _EXACT.items():
        ends = [_exactly(Decimal(end) * Decimal(factor), Decimal(other)) for end in found.groups()[:2] if end]
        if of == base and None not in ends:
            ways.append("..".join(str(end) for end in ends) + f" {unit}{found[4] or ''}")
    return ways


def _exactly(value: Decimal, unit: Decimal) -> str | None:
    """A value in a unit, None where no short decimal number holds it exactly."""
    text = number((value / unit).quantize(Decimal("1e-9")))
    return text if text is not None and Decimal(text) * unit == value else None


def in_other_units(draw: st.DrawFn, data: Any, key: str = "") -> Any:
    """The same data with its quantities in other units; conductor sizes keep theirs."""
    if isinstance(data, dict):
        return {name: in_other_units(draw, value, name) for name, value in data.items()}
    if isinstance(data, list):
        return [in_other_units(draw, value, key) for value in data]
    if isinstance(data, str) and key != "gauge":
        return draw(st.sampled_from(same_quantities(data)))
    return data


def shuffled(draw: st.DrawFn, data: Any) -> Any:
    """The same data with the keys of every mapping in another order; lists keep theirs, since it has a meaning."""
    if isinstance(data, dict):
        names = draw(st.permutations(list(data)))
        return {name: shuffled(draw, data[name]) for name in names}
    return [shuffled(draw, value) for value in data] if isinstance(data, list) else data


_COMMENTS = ("", "", "", " # a note", " #", " # : - {x: [y]} 'z\"")


def scalar(draw: st.DrawFn, value: Any) -> str:
    """A scalar in one of its styles."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if not isinstance(value, str):
        return str(value)
    return draw(st.sampled_from([value, value, f'"{value}"', f"'{value}'"]))


def flow(draw: st.DrawFn, value: Any) -> str:
    """A value in flow style."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name}: {flow(draw, inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(draw, inner) for inner in value) + "]"
    return scalar(draw, value)


def block(draw: st.DrawFn, data: Data, depth: int) -> list[str]:
    """The lines of a mapping in block style, with parts of it in flow style, comments and blank lines."""
    lines = []
    for name, value in data.items():
        key = "  " * depth + draw(st.sampled_from([name, name, name, f'"{name}"']))
        end = draw(st.sampled_from(_COMMENTS))
        if isinstance(value, dict) and value and (depth == 0 or draw(st.booleans())):
            lines += [f"{key}:{end}", *block(draw, value, depth + 1)]
        elif isinstance(value, list) and value and draw(st.booleans()):
            dash = "  " * (depth + 1) + "- "
            lines += [f"{key}:{end}", *(dash + flow(draw, item) for item in value)]
        else:
            lines.append(f"{key}: {flow(draw, value)}{end}")
        lines += draw(st.sampled_from([[], [], [], [""], ["# between"]]))
    return lines


@st.composite
def texts(draw: st.DrawFn, data: Data) -> str:
    """A plan written down in some mixture of styles; data and order are kept."""
    return "\n".join(block(draw, data, 0)) + "\n"


@st.composite
def written_plans(draw: st.DrawFn) -> tuple[Data, str]:
    """A random plan and a text of it."""
    data = draw(plans())
    return data, draw(texts(data))


@st.composite
def twice_written_plans(draw: st.DrawFn) -> tuple[str, str]:
    """A random plan written twice: as it is, and in another order, other units and other styles."""
    data = draw(plans())
    return draw(texts(data)), draw(texts(shuffled(draw, in_other_units(draw, data))))
