"""Random plans with loops and two batteries, and their short circuits as ngspice finds them from the links alone."""

from __future__ import annotations

import random
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import networkx as nx
from hand import case_of

sys.path.insert(0, str(Path(__file__).parents[1] / "graph"))

from dense import REFERENCE
from spice import by_ngspice

from planlint.facts import opening, short
from planlint.facts.breaking import breaking_current
from planlint.facts.case import Case
from planlint.facts.conductor import short_resistance
from planlint.facts.table import SUBJECTS
from planlint.graph.circuit import Branch, Circuit
from planlint.graph.piecewise import Supply
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.nodes import Alternator, Battery

# What has no resistance of its own, and a source that holds its voltage, in ohm.
_NONE = 1e-8
_STIFF = 1e-3
_BOLTED = "bolted"
BODY = "the vehicle body"
ZONES = ("engine-bay", "cabin", "boot")
Ends = tuple[str, str]


# --- Plans


class Growing:
    """A plan while it grows: its nodes and wires, and the terminals of its supply and its return side."""

    def __init__(self, dice: random.Random, body: bool) -> None:
        self.dice, self.body = dice, body
        self.nodes: dict[str, Any] = {}
        self.wires: list[str] = []
        self.supply: list[str] = []
        self.returns: list[str] = []

    def add(self, name: str, kind: str, **fields: Any) -> str:
        """Put a node somewhere."""
        self.nodes[name] = {"kind": kind, "zone": self.dice.choice(ZONES), **fields}
        return name

    def join(self, start: str, end: str, longest: float = 6.0) -> None:
        """Lay a cable, sizes from 10 AWG to 1/0 AWG."""
        gauge = self.dice.choice(("10 AWG", "8 AWG", "4 AWG", "16 mm2", "1/0 AWG"))
        length = round(self.dice.uniform(0.2, longest), 2)
        self.wires.append(f"w{len(self.wires)}: {start} > {end}, {gauge}, {length} m")


def random_case(seed: int) -> Case:
    """One or two batteries, now and then an alternator, fuses and joints in a tree with chords, grounds likewise."""
    dice = random.Random(seed)
    plan = Growing(dice, body=dice.random() < 0.8)
    plan.add("main", "battery", zone="engine-bay", resistance=dice.choice(("5 mohm", "3..9 mohm", "6.5 mohm")))
    plan.supply.append("main.positive")
    plan.returns.append("main.negative")
    _grow_supply(plan)
    _grow_returns(plan)
    _add_users(plan)
    vehicle: dict[str, Any] = {"body": "composite"}
    if plan.body:
        vehicle = {"body": "steel-unibody", "body_resistance": f"{dice.choice((0.5, 2, 8, 40))} mohm"}
    return case_of(plan.nodes, plan.wires, vehicle=vehicle)


def _grow_supply(plan: Growing) -> None:
    dice = plan.dice
    for i in range(dice.randrange(3, 8)):
        start = dice.choice(plan.supply)
        if dice.random() < 0.6:
            plan.add(f"f{i}", "fuse", rating=dice.choice(("30 A", "60 A", "100..125 A", "200 A")))
            plan.join(start, f"f{i}.line")
            plan.supply.append(f"f{i}.load")
        else:
            kind, terminal = dice.choice((("bus", "stud"), ("splice", "joint")))
            plan.add(f"j{i}", kind)
            plan.join(start, f"j{i}.{terminal}")
            plan.supply.append(f"j{i}.{terminal}")
    if dice.random() < 0.6:
        plan.add("second", "battery", role="added", resistance=dice.choice(("4 mohm", "2..7 mohm")))
        plan.add("fs", "fuse", rating="150 A")
        plan.join("second.positive", "fs.line", 0.5)
        plan.join("fs.load", dice.choice(plan.supply))
        plan.supply.append("fs.load")
    for _ in range(dice.choice((0, 0, 1, 2))):
        # A chord: two places joined a second time.
        first, second = dice.sample(plan.supply, 2)
        plan.join(first, second)
    if plan.body and dice.random() < 0.4:
        plan.add("alternator", "alternator", zone="engine-bay", rating=f"{dice.choice((60, 90, 150))} A")
        plan.join("alternator.output", dice.choice(plan.supply), 1.0)


def _grow_returns(plan: Growing) -> None:
    dice = plan.dice
    for i in range(dice.randrange(1, 4)):
        if plan.body and dice.random() < 0.7:
            plan.returns.append(f"{plan.add(f'g{i}', 'ground-point')}.body")
        else:
            plan.add(f"r{i}", "bus")
            plan.join(dice.choice(plan.returns), f"r{i}.stud")
            plan.returns.append(f"r{i}.stud")
    if "second" in plan.nodes:
        plan.join("second.negative", dice.choice(plan.returns))
        plan.returns.append("second.negative")
    for _ in range(dice.choice((0, 0, 1, 2))):
        if len(plan.returns) > 1:
            first, second = dice.sample(plan.returns, 2)
            if {first, second} != {"main.negative", "second.negative"} or dice.random() < 0.5:
                plan.join(first, second)


def _add_users(plan: Growing) -> None:
    for i in range(plan.dice.randrange(1, 4)):
        plan.add(f"amp{i}", "amp")
        plan.join(plan.dice.choice(plan.supply), f"amp{i}.power")
        if not plan.body or plan.dice.random() < 0.8:
            plan.join(f"amp{i}.ground", plan.dice.choice(plan.returns), 3.0)


# --- Short circuits


def parts(case: Case) -> list[Branch]:
    """Every link of a plan with its resistance, and the body of every zone."""
    found = []
    for link in case.layout.network.links.values():
        try:
            found.append(Branch(key=link.key, ends=link.ends, ohm=short_resistance(case, link) or _NONE))
        except UnknownError:
            # The battery's way to a body that does not conduct.
            assert BODY in link.ends
    body = case.plan.vehicle.body_resistance
    if case.plan.vehicle.body == "steel-unibody":
        assert body and body.high  # type: ignore[union-attr]
        there = {at for one in found for at in one.ends}
        zones = (f"the body in {zone}" for zone in ZONES)
        found += [
            Branch(key=at, ends=(at, BODY), ohm=body.high / 2)  # type: ignore[union-attr]
            for at in zones
            if at not in there
        ]
    return found


def places(case: Case, at: str) -> list[str]:
    """Where a short circuit at a supply terminal may go: to the body of its zone, to the ground lead of its part."""
    node = case.layout.network.owners[at]
    found = [f"the body in {node.zone}"] if case.plan.vehicle.body == "steel-unibody" else []
    name, terminal = at.split(".")
    lead = {"power": f"{name}.ground", "positive": f"{name}.negative"}.get(terminal)
    if lead and any(lead in (f"{e.node}.{e.terminal}" for e in wire.ends) for wire in case.plan.wires):
        found.append(lead)
    return found


def batteries(case: Case) -> list[Battery]:
    """The batteries of a plan."""
    return [node for node in case.plan.nodes if isinstance(node, Battery)]


def battery_supply(battery: Battery, *, lowest: bool) -> Supply:
    """A battery of 12.6 V behind its stated resistance."""
    inside = battery.resistance
    ohm = inside.low if lowest else inside.high  # type: ignore[union-attr]
    return Supply(key=battery.name, ends=(f"{battery.name}.positive", f"{battery.name}.negative"), emf=12.6, ohm=ohm)


def joined(links: Iterable[Branch], start: str) -> set[str]:
    """The vertices that links join to one."""
    graph = nx.Graph([one.ends for one in links])
    graph.add_node(start)
    return set(nx.node_connected_component(graph, start))


def solved(links: list[Branch], supplies: list[Supply], folder: Path) -> dict[str, float]:
    """The current in A along every link, from its first end to its second, and out of every battery, by ngspice."""
    live = {at for one in supplies for at in joined((link for link in links if link.key[:6] != _BOLTED), one.ends[0])}
    whole: nx.Graph[str] = nx.Graph([one.ends for one in links])
    whole.add_edges_from(one.ends for one in supplies)
    part = nx.node_connected_component(whole, supplies[0].ends[1])
    named = {at: f"{'s' if at in live else 'r'}{i + 1}" for i, at in enumerate(sorted(part))}
    named[supplies[0].ends[1]] = REFERENCE
    inside = [one for one in links if one.ends[0] in part and one.ends[0] != one.ends[1]]
    branches = [replace(one, key=f"b{i}", ends=_named(named, one.ends)) for i, one in enumerate(inside)]
    sources = [replace(one, key=f"e{i}", ends=_named(named, one.ends)) for i, one in enumerate(supplies)]
    volts = by_ngspice(Circuit(branches=tuple(branches), supplies=tuple(sources)), folder)

    def across(ends: Ends) -> float:
        return volts[named[ends[0]]] - volts[named[ends[1]]]

    amps = {one.key: across(one.ends) / one.ohm for one in inside}
    return amps | {one.key: (one.emf - across(one.ends)) / one.ohm for one in supplies}


def _named(named: dict[str, str], ends: Ends) -> Ends:
    return named[ends[0]], named[ends[1]]


def alone(
    case: Case, battery: Battery, at: str, home: str, folder: Path, *, lowest: bool = False
) -> dict[str, float] | None:
    """The currents of one battery, the others taken out, into a short circuit from a place to another of the return side.

    None where there is no way home.
    """
    links = parts(case)
    if home not in joined(links, f"{battery.name}.negative"):
        return None
    bolted = Branch(key=_BOLTED, ends=(at, home), ohm=_NONE)
    return solved([*links, bolted], [battery_supply(battery, lowest=lowest)], folder)


def least(case: Case, battery: Battery, at: str, folder: Path) -> dict[str, float] | None:
    """The same by the poorer of its ways home."""
    found = (alone(case, battery, at, home, folder) for home in places(case, at))
    return min((one for one in found if one), key=lambda one: one[battery.name], default=None)


def most_together(case: Case, key: str, at: str, folder: Path) -> float:
    """The current in A through a fuse into a short circuit at a place, all sources at once, each by its better way home.

    Every battery has a return side of its own, so that none takes from the other: the most that there can be.
    """
    links = parts(case)
    fed = joined(links, at)
    supply = [one for one in links if one.ends[0] in fed]
    back = [one for one in links if one.ends[0] not in fed]
    supplies = []
    for battery in batteries(case):
        if f"{battery.name}.positive" not in fed:
            continue
        ways = [(alone(case, battery, at, home, folder, lowest=True), home) for home in places(case, at)]
        known = [(found[battery.name], home) for found, home in ways if found]
        if not known:
            continue
        _, home = max(known)
        supply += [replace(one, key=f"{battery.name} {one.key}", ends=_own(battery, one.ends)) for one in back]
        supply.append(Branch(key=f"{_BOLTED} {battery.name}", ends=(at, f"{battery.name} {home}"), ohm=_NONE))
        plain = battery_supply(battery, lowest=True)
        supplies.append(replace(plain, ends=(plain.ends[0], f"{battery.name} {plain.ends[1]}")))
    supplies += _limited(case, fed, at)
    return abs(solved(supply, supplies, folder)[key]) if supplies else 0.0


def _own(battery: Battery, ends: Ends) -> Ends:
    return f"{battery.name} {ends[0]}", f"{battery.name} {ends[1]}"


def _limited(case: Case, fed: set[str], home: str) -> list[Supply]:
    """The alternators, which hold 12.6 V up to their rating and take nothing."""
    return [
        Supply(
            key=node.name,
            ends=(f"{node.name}.output", home),
            emf=12.6,
            ohm=_STIFF,
            limit=node.rating.high,  # type: ignore[union-attr]
            charge=0.0,
        )
        for node in case.plan.nodes
        if isinstance(node, Alternator) and f"{node.name}.output" in fed
    ]


def most_in_the_vehicle(case: Case, key: str, at: str, folder: Path) -> float:
    """The same with the one return side that the vehicle has, by its better way home."""
    links = parts(case)
    fed = joined(links, at)
    found = [0.0]
    for home in places(case, at):
        reached = joined(links, home)
        here = [one for one in batteries(case) if {f"{one.name}.positive"} <= fed and f"{one.name}.negative" in reached]
        supplies = [battery_supply(one, lowest=True) for one in here] + _limited(case, fed, home)
        if supplies:
            bolted = Branch(key=_BOLTED, ends=(at, home), ohm=_NONE)
            found.append(abs(solved([*links, bolted], supplies, folder)[key]))
    return max(found)


# --- What planlint finds beside what ngspice finds, in A


def prospective_pairs(case: Case, folder: Path) -> list[tuple[str, float, float]]:
    """Each battery alone into a short circuit at three places that it reaches; where there is a way home."""
    dice, found = random.Random(len(case.plan.wires)), []
    for battery in batteries(case):
        post = f"{battery.name}.positive"
        reached = sorted(joined(parts(case), post) & set(case.layout.network.wires_at))
        for at in dice.sample(reached, min(3, len(reached))):
            expected = least(case, battery, at, folder)
            try:
                amps = short.prospective(case, post, at)
            except UnfitError:
                assert expected is None, (battery.name, at)
                continue
            assert expected, (battery.name, at)
            found.append((at, amps, expected[battery.name]))
    return found


def fuse_pairs(case: Case, folder: Path) -> list[tuple[str, float, float]]:
    """Every wire that a fuse guards from a battery: the least current through that fuse."""
    found = []
    for wire in case.plan.wires:
        try:
            amps, fuse = opening.fault_current(case, wire), opening.fault_fuse(case, wire)
            battery = opening.fault_source(case, wire)
        except UnfitError:
            continue
        assert isinstance(battery, Battery)
        ends = (f"{end.node}.{end.terminal}" for end in wire.ends)
        either = [least(case, battery, at, folder) for at in ends]
        key = next(link.key for link in case.layout.network.devices if link.node is fuse)
        found.append((wire.name, amps, min(abs(one[key]) for one in either if one)))
    return found


def breaking_pairs(case: Case, folder: Path) -> list[tuple[str, float, float, float]]:
    """Every fuse that a battery feeds: the most it has to break, last the same with the vehicle's one return side."""
    found = []
    for device in SUBJECTS["device"].elements(case):
        key, ends = device.link.key, device.link.ends
        expected = max(most_together(case, key, at, folder) for at in ends)
        try:
            amps = breaking_current(case, device)
        except UnfitError:
            assert expected == 0, device.name
            continue
        vehicle = max(most_in_the_vehicle(case, key, at, folder) for at in ends)
        found.append((device.name, amps, expected, vehicle))
    return found
