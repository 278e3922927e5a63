"""Plans for the benchmarks, made from a seed: many of about 150 lines, and trees of any size with a ring in them."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import yaml

from planlint.plan.defaults import fill

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
FAMILIES = ("hatchback", "minimal", "pickup", "sedan", "show-wagon", "two-batteries")
Data = dict[str, Any]

# Circuits that may be added to any plan: kind of user, gauge, fuse, supply current.
CIRCUITS = (
    ("load", "14 AWG", "15 A", "8 A"),
    ("load", "16 AWG", "10 A", "4 A"),
    ("load", "12 AWG", "20 A", "11 A"),
    ("converter", "18 AWG", "3 A", "0.3 A"),
    ("processor", "18 AWG", "5 A", "600 mA"),
)
CABLE = {"material": "copper", "insulation": "105 C"}


def many_plans(count: int, lines: int = 150, seed: int = 1) -> list[tuple[str, str]]:
    """Return so many different plans of about so many lines, each with the name of the example it comes from."""
    dice = random.Random(seed)
    data = {name: electrical(f"{name}.plan.yaml") for name in FAMILIES}
    return [(name, one_plan(data[name], lines, dice)) for name in (FAMILIES[i % len(FAMILIES)] for i in range(count))]


def electrical(file: str) -> Data:
    """Return the circuit of an example, every element with what it takes over, without the work and how ends are made."""
    whole = yaml.safe_load((EXAMPLES / file).read_text(encoding="utf-8"))
    data = fill(whole).data
    wires = {name: _without(wire, "ends", "group", "cut", "diameter", "route") for name, wire in data["wires"].items()}
    nodes = {name: _without(node, "lugs", "enclosure") for name, node in data["nodes"].items()}
    zones = [_without(zone, "segment") for zone in data["zones"]]
    return {
        "plan": 1,
        "title": "",
        "scope": "electrical",
        "vehicle": data["vehicle"],
        "zones": zones,
        "nodes": nodes,
        "wires": wires,
    }


def _without(element: Data, *keys: str) -> Data:
    return {key: value for key, value in element.items() if key not in keys}


def one_plan(example: Data, lines: int, dice: random.Random) -> str:
    """Return an example changed by chance: names, lengths, ratings, sizes, and circuits added up to so many lines."""
    data = renamed(varied(example, dice), dice)
    data["title"] = f"Job {dice.randrange(10**6)}"
    battery = next(name for name, node in data["nodes"].items() if node["kind"] == "battery")
    every = dice.randrange(4, 9)
    while (text := written(data, every)).count("\n") > lines + 10:
        every *= 2
    while (missing := lines - text.count("\n")) > 5:
        for _ in range(max(1, missing // 8)):
            add_circuit(data, battery, dice)
        text = written(data, every)
    return text


def varied(data: Any, dice: random.Random, key: str = "") -> Any:
    """Return data with shorter lengths; now and then a longer length, another size or rating that may break a rule."""
    if isinstance(data, dict):
        return {name: varied(value, dice, name) for name, value in data.items()}
    if isinstance(data, list):
        return [varied(value, dice, key) for value in data]
    odd = dice.random() < 0.01
    if key == "length":
        number, unit, *rest = str(data).split()
        return " ".join([f"{float(number) * (1.6 if odd else dice.uniform(0.8, 1.0)):.3g}", unit, *rest])
    if key in ("gauge", "rating") and odd:
        return dice.choice(("2 AWG", "8 AWG", "12 AWG") if key == "gauge" else ("30 A", "80 A", "150 A"))
    return data


def renamed(data: Data, dice: random.Random) -> Data:
    """Return a plan with a number behind every name of a node or wire."""
    tail = f"-{dice.randrange(100)}"
    nodes = {
        name + tail: {key: value + tail if key == "resistance_to" else value for key, value in node.items()}
        for name, node in data["nodes"].items()
    }
    wires = {
        name + tail: {**wire, **{end: _end(wire[end], tail) for end in ("from", "to")}}
        for name, wire in data["wires"].items()
    }
    return {**data, "nodes": nodes, "wires": wires}


def _end(text: str, tail: str) -> str:
    node, dot, terminal = text.partition(".")
    return f"{node}{tail}{dot}{terminal}"


def add_circuit(data: Data, battery: str, dice: random.Random) -> None:
    """Add a user of current behind a fuse of its own, from a battery's post and back to its negative post."""
    kind, gauge, fuse, supply = dice.choice(CIRCUITS)
    number = len(data["nodes"])
    user, guard = f"{kind}-{number}", f"fuse-{number}"
    zone = data["nodes"][battery].get("zone")
    data["nodes"][guard] = {"kind": "fuse", "zone": zone, "family": "blade", "rating": fuse}
    data["nodes"][user] = {"kind": kind, "zone": zone, "supply": supply}
    make = {"gauge": gauge, **CABLE}
    cables = {
        f"tail-{number}": {"from": f"{battery}.positive", "to": f"{guard}.line", "length": "12 cm"},
        f"feed-{number}": {"from": f"{guard}.load", "to": f"{user}.power", "length": f"{dice.uniform(0.4, 1.2):.2f} m"},
        f"ground-{number}": {"from": f"{user}.ground", "to": f"{battery}.negative", "length": "60 cm"},
    }
    data["wires"].update({name: {**ends, **make} for name, ends in cables.items()})


def written(data: Data, every: int) -> str:
    """Return a plan as people write it: most elements in one line, each so-manieth as a block, a few comments."""
    lines = [f"{key}: {_flow(value)}" for key, value in data.items() if key not in ("nodes", "wires")]
    for section in ("nodes", "wires"):
        lines += ["", f"{section}: # as drawn"]
        for index, (name, element) in enumerate(data[section].items()):
            if index % every == 0:
                lines += [f"  {name}:", *(f"    {key}: {_flow(value)}" for key, value in element.items())]
            else:
                lines.append(f"  {name}: {_flow(element)}")
    return "\n".join(lines) + "\n"


def _flow(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) and any(sign in value for sign in "',#") else str(value)


def tree_plan(wires: int, ring: int = 20, users_a_bus: int = 6) -> str:
    """Return a sound plan of about so many wires: a tree of bars with users behind fuses, and a ring of cables.

    Every bar of the supply has a ground block beside it; both form trees of three branches a bar.
    """
    nodes = ["  battery: {kind: battery}", "  main: {kind: fuse, rating: 300 A}"]
    feeder = "gauge: 4/0 AWG, material: copper, insulation: 105 C"
    thin = "gauge: 16 AWG, material: copper, insulation: 105 C"
    lines = [
        f"  main-tail: {{from: battery.positive, to: main.line, length: 10 cm, {feeder}}}",
        f"  main-feed: {{from: main.load, to: ring-0, length: 10 cm, {feeder}}}",
        f"  main-ground: {{from: block-0, to: battery.negative, length: 10 cm, {feeder}}}",
        f"  top: {{from: ring-{ring // 2}, to: bar-0, length: 10 cm, {feeder}}}",
    ]
    for at in range(ring):
        nodes.append(f"  ring-{at}: {{kind: splice}}")
        lines.append(f"  ring-{at}: {{from: ring-{at}, to: ring-{(at + 1) % ring}, length: 5 cm, {feeder}}}")
    bar = 0
    while len(lines) < wires:
        nodes += [f"  bar-{bar}: {{kind: bus}}", f"  block-{bar}: {{kind: bus}}"]
        if bar:
            above = (bar - 1) // 3
            lines.append(f"  feeder-{bar}: {{from: bar-{above}, to: bar-{bar}, length: 5 cm, {feeder}}}")
            lines.append(f"  back-{bar}: {{from: block-{bar}, to: block-{above}, length: 5 cm, {feeder}}}")
        for index in range(users_a_bus):
            user = f"{bar}-{index}"
            nodes += [f"  fuse-{user}: {{kind: fuse, rating: 5 A}}", f"  lamp-{user}: {{kind: load, supply: 5 mA}}"]
            lines.append(f"  tail-{user}: {{from: bar-{bar}, to: fuse-{user}.line, length: 10 cm, {thin}}}")
            lines.append(f"  feed-{user}: {{from: fuse-{user}.load, to: lamp-{user}.power, length: 1 m, {thin}}}")
            lines.append(f"  ground-{user}: {{from: lamp-{user}.ground, to: block-{bar}, length: 1 m, {thin}}}")
        bar += 1
    head = ["plan: 1", "scope: electrical", "vehicle: {system: 12 V, body: steel-unibody}", "nodes:"]
    return "\n".join([*head, *nodes, "wires:", *lines]) + "\n"
