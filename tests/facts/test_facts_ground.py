"""What ground wires bear and whom they serve, by hand: one user, several, and two batteries."""

from __future__ import annotations

from typing import Any

import pytest
from hand import UNFIT, Nodes, ask, case_of

NODES: Nodes = {
    "battery": "battery",
    "main": {"kind": "fuse", "rating": "60 A"},
    "block": {"kind": "distribution", "outputs": {"out-1": {"fuse": "50 A"}, "out-2": {"fuse": "5 A"}}},
    "amp": {"kind": "load", "supply": "40 A"},
    "fan": {"kind": "load", "supply": "2 A"},
    "bar": "bus",
    "stud": "ground-point",
}
WIRES = [
    *("tail: battery.positive > main.line, 4 AWG", "feed: main.load > block.in, 4 AWG"),
    *("amp-feed: block.out-1 > amp.power, 8 AWG", "fan-feed: block.out-2 > fan.power, 16 AWG"),
    *("amp-ground: amp.ground > bar, 8 AWG", "fan-ground: fan.ground > bar, 18 AWG", "common: bar > stud, 4 AWG"),
]
# 18, 16, 8 and 4 AWG in mm2: 0.127 mm x 92^((36 - n)/39) across (ASTM B258).
MM2 = {"18": 0.8230, "16": 1.3087, "8": 8.3656, "4": 21.1506}

# Wire, users, current in A, what can flow into it in A (50, 5, and 50 + 5 behind a main fuse of 60), its area and that
# of the supply wires that serve the same users, whether those mirror it.
GROUNDS: list[tuple[str, tuple[str, ...], float, float, str, str, bool]] = [
    ("amp-ground", ("amp",), 40, 50, "8", "8", True),
    ("fan-ground", ("fan",), 2, 5, "18", "16", False),
    ("common", ("amp", "fan"), 42, 55, "4", "4", True),
]


@pytest.mark.parametrize(
    ("wire", "users", "amps", "limit", "own", "supply", "mirrors"), GROUNDS, ids=[row[0] for row in GROUNDS]
)
def test_a_ground_wire_bears_what_its_users_take(
    wire: str, users: tuple[str, ...], amps: float, limit: float, own: str, supply: str, mirrors: bool
) -> None:
    """Users, current, what limits it (the fuses before its users, together at most the main fuse), and its supply."""
    case = case_of(NODES, WIRES, vehicle={"body": "steel-unibody"})
    asked = ("return_for", "current", "protecting_rating", "return_gauge", "supply_gauge", "mirrors_supply", "circuit")
    found = [ask(case, "wire", wire, fact) for fact in asked]
    areas = [pytest.approx(MM2[gauge] * 1e-6, rel=1e-4) for gauge in (own, supply)]
    assert found == [users, pytest.approx(amps), pytest.approx(limit), *areas, mirrors, "ground"]


def test_the_main_fuse_limits_users_together() -> None:
    """Behind 45 A of main fuse the common ground wire bears 45 A, not 50 + 5."""
    case = case_of({**NODES, "main": {"kind": "fuse", "rating": "45 A"}}, WIRES)
    limits = [ask(case, "wire", name, "protecting_rating") for name in ("amp-ground", "fan-ground", "common")]
    assert limits == pytest.approx([45.0, 5.0, 45.0])


def test_two_cables_from_one_terminal_count_together() -> None:
    """Two ground cables of 8 AWG at one terminal have 16.731 mm2 together, each bears half of the 40 A."""
    wires = [f"{wire}, 1 m" for wire in (*WIRES, "second: amp.ground > bar, 8 AWG")]
    case = case_of(NODES, wires, vehicle={"body": "steel-unibody"})
    assert ask(case, "wire", "second", "return_gauge") == pytest.approx(2 * 8.3656e-6, rel=1e-4)
    assert [ask(case, "wire", name, "current") for name in ("amp-ground", "second")] == pytest.approx([20.0, 20.0])


@pytest.mark.parametrize(
    ("old", "new", "fact", "expected"),
    [
        ("common: bar > stud, 4 AWG", "common: bar > stud", "return_gauge", "? the gauge of common"),
        ("main.load > block.in, 4 AWG", "main.load > block.in", "supply_gauge", "? the gauge of feed"),
    ],
)
def test_a_ground_wire_names_what_is_missing(old: str, new: str, fact: str, expected: Any) -> None:
    """A gauge that is not stated leaves the comparison unknown."""
    wires = [wire.replace(old, new) for wire in WIRES]
    assert ask(case_of(NODES, wires, vehicle={"body": "steel-unibody"}), "wire", "common", fact) == expected


def test_a_ground_wire_that_serves_nobody_bears_nothing() -> None:
    """A second strap from the bar to nowhere has no user, no limit and no supply to compare with."""
    case = case_of({**NODES, "lone": "splice"}, [*WIRES, "odd: bar > lone, 8 AWG"], vehicle={"body": "steel-unibody"})
    found = [ask(case, "wire", "odd", fact) for fact in ("return_for", "current", "supply_gauge")]
    assert found == [(), 0.0, UNFIT]
    assert ask(case, "wire", "odd", "protecting_rating") == UNFIT


def test_each_batterys_current_comes_home_to_it() -> None:
    """The fan of the second battery sends nothing through the strap of the first, though both share a ground bar: the
    strap between bar and first battery bears what the first battery's 20 A fuse lets pass."""
    nodes: Nodes = {
        "battery": "battery",
        "far": {"kind": "battery", "role": "added"},
        "bar": "bus",
        "one": {"kind": "fuse", "rating": "20 A"},
        "two": {"kind": "fuse", "rating": "50 A"},
        "fan": {"kind": "load", "supply": "10 A"},
        "amp": {"kind": "load", "supply": "40 A"},
    }
    wires = [
        *("t1: battery.positive > one.line, 8 AWG", "f1: one.load > fan.power, 8 AWG", "g1: fan.ground > bar, 8 AWG"),
        *("t2: far.positive > two.line, 8 AWG", "f2: two.load > amp.power, 8 AWG", "g2: amp.ground > bar, 8 AWG"),
        *("h1: bar > battery.negative, 8 AWG", "h2: bar > far.negative, 8 AWG"),
    ]
    case = case_of(nodes, wires)
    limits = {name: ask(case, "wire", name, "protecting_rating") for name in ("g1", "g2", "h1", "h2")}
    assert limits == pytest.approx({"g1": 20.0, "g2": 50.0, "h1": 20.0, "h2": 50.0})
    assert [ask(case, "wire", name, "current") for name in ("h1", "h2")] == pytest.approx([10.0, 40.0])
