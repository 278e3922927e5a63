"""Short circuits of plans as ngspice finds them from the links alone, beside what planlint finds."""

from __future__ import annotations

import random
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import networkx as nx
from narrowed import at_most
from random_plans import ZONES

sys.path.insert(0, str(Path(__file__).parents[1] / "graph"))

from dense import REFERENCE
from spice import by_ngspice

from planlint.facts import opening, short
from planlint.facts.breaking import breaking_bound, breaking_current
from planlint.facts.case import Case
from planlint.facts.conductor import short_resistance
from planlint.facts.table import SUBJECTS
from planlint.graph.circuit import Branch, Circuit
from planlint.graph.piecewise import Supply
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.nodes import Alternator, Battery, Charger

# What has no resistance of its own, and a source that holds its voltage, in ohm.
_NONE = 1e-8
_STIFF = 1e-3
_BOLTED = "bolted"
BODY = "the vehicle body"
Ends = tuple[str, str]


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
    lead = {"power": f"{name}.ground", "input": f"{name}.ground", "positive": f"{name}.negative"}.get(terminal)
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
    """Alternators and DC-DC chargers, which hold 12.6 V up to what they are made for and take nothing."""
    limits = {
        f"{node.name}.output": node.rating if isinstance(node, Alternator) else node.output_limit
        for node in case.plan.nodes
        if isinstance(node, Alternator | Charger)
    }
    return [
        Supply(key=at, ends=(at, home), emf=12.6, ohm=_STIFF, limit=most.high, charge=0.0)  # type: ignore[union-attr]
        for at, most in limits.items()
        if at in fed
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
    # Of ranges the ends count at which most flows.
    most = Case(at_most(case.plan))
    for device in SUBJECTS["device"].elements(case):
        key, ends = device.link.key, device.link.ends
        expected = max(most_together(most, key, at, folder) for at in ends)
        try:
            amps = breaking_current(case, device)
        except UnfitError:
            assert expected == 0, device.name
            continue
        assert amps <= breaking_bound(case, device) * (1 + 1e-9), device.name
        vehicle = max(most_in_the_vehicle(most, key, at, folder) for at in ends)
        found.append((device.name, amps, expected, vehicle))
    return found
