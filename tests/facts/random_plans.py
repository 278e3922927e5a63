"""Random plans with loops, two batteries and sources that limit themselves, for short circuits."""

from __future__ import annotations

import random
from typing import Any

from hand import case_of

from planlint.facts.case import Case

ZONES = ("engine-bay", "cabin", "boot")


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
    if dice.random() < 0.3:
        _add_charger(plan)
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
        power = f"{plan.dice.choice((100, 300, 600, 1200))} W"
        plan.add(f"amp{i}", "amp", **{"class": "D"}, outputs={"out": {"power": power}})
        plan.join(plan.dice.choice(plan.supply), f"amp{i}.power")
        if not plan.body or plan.dice.random() < 0.8:
            plan.join(f"amp{i}.ground", plan.dice.choice(plan.returns), 3.0)


def _add_charger(plan: Growing) -> None:
    """Add a DC-DC charger, which gives its limit to any place of the supply and lets nothing back."""
    dice = plan.dice
    limit = f"{dice.choice((20, 40))} A"
    plan.add("dcdc", "charger", input_limit="52 A", output_limit=limit, bidirectional=False)
    plan.join(dice.choice(plan.supply), "dcdc.input")
    plan.join("dcdc.output", dice.choice(plan.supply), 2.0)
    if dice.random() < 0.7:
        plan.join("dcdc.ground", dice.choice(plan.returns))
