"""Short-circuit currents against ngspice, on random plans whose circuit the tests draw from the links alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hand import UNFIT, Nodes, ask, case_of
from random_plans import random_case
from shorted import breaking_pairs, fuse_pairs, prospective_pairs
from spice import NGSPICE

SEEDS = range(20)
needs_ngspice = pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")


@needs_ngspice
@pytest.mark.parametrize("seed", SEEDS)
def test_each_battery_alone_drives_what_ngspice_finds(seed: int, tmp_path: Path) -> None:
    """Into a short circuit at any place, to the body there or the lead of the part there, whichever is poorer."""
    for _, found, expected in prospective_pairs(random_case(seed), tmp_path):
        assert found == pytest.approx(expected, rel=1e-3)


@needs_ngspice
@pytest.mark.parametrize("seed", SEEDS)
def test_a_fuse_opens_on_what_ngspice_finds(seed: int, tmp_path: Path) -> None:
    """The least that a short circuit at either end of a wire drives through the fuse before it."""
    for _, found, expected in fuse_pairs(random_case(seed), tmp_path):
        assert found == pytest.approx(expected, rel=1e-3)


@needs_ngspice
@pytest.mark.parametrize("seed", SEEDS)
def test_a_fuse_breaks_what_ngspice_finds(seed: int, tmp_path: Path) -> None:
    """All sources at once into a short circuit at either end; the vehicle's one return side never lets more flow."""
    for _, found, expected, vehicle in breaking_pairs(random_case(seed), tmp_path):
        assert found == pytest.approx(expected, rel=1e-3)
        assert vehicle <= found * 1.001


@needs_ngspice
def test_the_sample_has_loops_and_two_batteries() -> None:
    """What the sample stands for is in it: loops on the way, two batteries, two that limit themselves, no body."""
    every = [random_case(seed) for seed in SEEDS]
    kinds = [{node.name for node in case.plan.nodes} for case in every]
    assert sum(any(net.knots for net in case.layout.network.nets) for case in every) >= 5
    assert sum("second" in names for names in kinds) >= 5
    assert sum("alternator" in names for names in kinds) >= 3
    assert sum("dcdc" in names for names in kinds) >= 3
    assert sum(case.plan.vehicle.body == "composite" for case in every) >= 2


RING = [
    "out: battery.positive > bus.stud, 4 AWG, 1 m",
    "first: bus.stud > f1.line, 4 AWG, 1 m",
    "second: bus.stud > f2.line, 4 AWG, 1 m",
    "third: f1.load > far.stud, 4 AWG, 1 m",
    "fourth: f2.load > far.stud, 4 AWG, 1 m",
    "feed: far.stud > amp.power, 4 AWG, 1 m",
    "ground: amp.ground > battery.negative, 4 AWG, 1 m",
]


def ring() -> dict[str, str | dict[str, str]]:
    """A battery, two fuses side by side, and an amplifier behind both."""
    fuse = {"kind": "fuse", "rating": "60 A"}
    battery = {"kind": "battery", "resistance": "5 mohm"}
    return {"battery": battery, "bus": "bus", "f1": fuse, "f2": fuse, "far": "bus", "amp": "amp"}


def test_of_two_fuses_side_by_side_both_are_judged_and_neither_for_the_whole_current() -> None:
    """A short circuit right behind one: its own way (a fuse, 1 m) and that by the other (a fuse, 3 m) part the current.

    4 AWG has 0.815 mohm/m at 20 C (IEC 60028 copper, 21.15 mm2), and two cable ends of 0.2 mohm; a fuse 80 mV at 60 A.
    """
    case = case_of(ring(), RING, vehicle={"body": "steel-unibody", "body_resistance": "2 mohm"})
    cable, fuse = 0.0172414 / 21.15 + 0.0004, 0.08 / 60
    own, other = cable + fuse, 3 * cable + fuse
    whole = 12.6 / (0.005 + 0.002 + cable + own * other / (own + other))
    for name in ("f1", "f2"):
        assert ask(case, "device", name, "breaking_current") == pytest.approx(whole * other / (own + other), rel=5e-3)


@pytest.mark.parametrize(
    ("loosely", "at_most"),
    [
        ({"length": "0.2..2 m"}, {"length": "0.2 m"}),
        ({"gauge": "8 AWG..2 AWG"}, {"gauge": "2 AWG"}),
        ({"material": None}, {"material": "copper"}),
    ],
)
def test_of_a_range_that_end_counts_at_which_a_fuse_breaks_most(
    loosely: dict[str, Any], at_most: dict[str, Any]
) -> None:
    """Short, thick and of copper: the least resistance before the fault is what a fuse has to be made for."""
    vehicle = {"body": "steel-unibody", "body_resistance": "1..4 mohm"}
    nodes: Nodes = {"battery": "battery", "f1": {"kind": "fuse", "rating": "60 A"}, "amp": "amp"}
    wires = ["main: battery.positive > f1.line, 4 AWG, 1 m", "on: f1.load > amp.power, 4 AWG, 1 m"]
    found = ask(case_of(nodes, wires, {"main": loosely}, vehicle=vehicle), "device", "f1", "breaking_current")
    least = {"body": "steel-unibody", "body_resistance": "1 mohm"}
    expected = ask(case_of(nodes, wires, {"main": at_most}, vehicle=least), "device", "f1", "breaking_current")
    assert found == pytest.approx(expected, rel=1e-9)
    loose = case_of(nodes, wires, {"main": loosely}, vehicle=vehicle)
    assert ask(loose, "device", "f1", "breaking_bound") == pytest.approx(expected, rel=1e-9)
    # The other end is what keeps a fuse from opening.
    worst = ask(loose, "wire", "on", "fault_current")
    assert worst < expected


def test_a_battery_without_a_way_back_drives_nothing() -> None:
    """Neither body nor lead: no current is told."""
    wires = [line for line in RING if not line.startswith("ground")]
    case = case_of(ring(), wires, vehicle={"body": "composite"})
    assert ask(case, "device", "f1", "breaking_current") == UNFIT
