"""Rules about distribution blocks, switches and isolators on small plans. Limits without a source are common practice."""

from __future__ import annotations

import pytest
from small_plans import changed, messages, outcome

# 500 W at 80 % and 13.8 V draw 45.3 A; with the 10 A of the lamp 55.3 A pass the block and the isolator.
SYSTEM = """\
plan: 1
title: A block behind an isolator
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: engine-bay}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  main-fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 100 A}
  isolator: {kind: isolator, zone: engine-bay, rating: 100 A}
  block: {kind: distribution, zone: cargo, rating: 100 A, smallest_cable: 16 AWG, largest_cable: 4 AWG, cover: true,
    outputs: {out-1: {fuse: 60 A, smallest_cable: 8 AWG}, out-2: {fuse: 15 A, largest_cable: 10 AWG}}}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  lamp: {kind: load, zone: cargo, supply: 10 A}
  stud: {kind: ground-point, zone: cargo}
wires:
  tail: {from: battery.positive, to: main-fuse.line, gauge: 4 AWG, length: 15 cm}
  run: {from: main-fuse.load, to: isolator.line, gauge: 4 AWG, length: 20 cm}
  feed: {from: isolator.load, to: block.in, gauge: 4 AWG, length: 4 m}
  amp-feed: {from: block.out-1, to: amp.power, gauge: 8 AWG, length: 40 cm}
  lamp-feed: {from: block.out-2, to: lamp.power, gauge: 14 AWG, length: 40 cm}
  amp-ground: {from: amp.ground, to: stud, gauge: 8 AWG, length: 40 cm}
  lamp-ground: {from: lamp.ground, to: stud, gauge: 14 AWG, length: 40 cm}
mounts:
  board: {zone: cargo, holds: [amp, block], fasteners: {type: through-bolt, size: M6, amount: 4}}
"""
NEW = (
    *("block-overloaded", "block-port-mismatch", "block-uncovered", "block-unsecured"),
    "switch-or-isolator-underrated",
)
ELECTRICAL = ("vehicle:", "scope: electrical\nvehicle:")
FASTENED = "fasteners: {type: through-bolt, size: M6, amount: 4}"


@pytest.mark.parametrize("rule", NEW)
def test_a_sound_plan_breaks_no_rule_and_leaves_none_open(rule: str) -> None:
    """The plan of this module is sound, and states all that these rules ask."""
    assert outcome(SYSTEM, rule) == []


# Rule, changes of the sound plan, and what the rule then says.
CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    "a block for less than all branches together": (
        "block-overloaded",
        [("cargo, rating: 100 A", "cargo, rating: 50 A")],
        ["warning block"],
    ),
    "a block that bears them": ("block-overloaded", [("cargo, rating: 100 A", "cargo, rating: 56 A")], []),
    "a block whose rating is not stated": (
        "block-overloaded",
        [("cargo, rating: 100 A", "cargo")],
        ["? the rating of block"],
    ),
    "a branch whose current is not stated": (
        "block-overloaded",
        [("supply: 10 A", "supply: not stated")],
        ["? the current drawn (`supply`) of lamp"],
    ),
    "a cable too thick for its port": (
        "block-port-mismatch",
        [("to: lamp.power, gauge: 14 AWG", "to: lamp.power, gauge: 8 AWG")],
        ["warning lamp-feed"],
    ),
    # The port at out-1 clamps 8 AWG or more, whatever the other ports of the block do.
    "a cable too thin for its port": (
        "block-port-mismatch",
        [("to: amp.power, gauge: 8 AWG", "to: amp.power, gauge: 10 AWG")],
        ["warning amp-feed"],
    ),
    "a cable too thick for what the block says of all its ports": (
        "block-port-mismatch",
        [("to: block.in, gauge: 4 AWG", "to: block.in, gauge: 1/0 AWG")],
        ["warning feed"],
    ),
    "two cables in one port": (
        "block-port-mismatch",
        [
            ("mounts:", "  second: {from: block.out-1, to: lamp-2.power, gauge: 8 AWG, length: 40 cm}\nmounts:"),
            ("  stud:", "  lamp-2: {kind: load, zone: cargo, supply: 1 A}\n  stud:"),
        ],
        ["warning amp-feed"],
    ),
    "ports of which nothing is stated": (
        "block-port-mismatch",
        [(" smallest_cable: 16 AWG, largest_cable: 4 AWG,", "")],
        ["? the largest cable of block", "? the smallest cable of block"],
    ),
    "the same where only the circuit is in question": (
        "block-port-mismatch",
        [(" smallest_cable: 16 AWG, largest_cable: 4 AWG,", ""), ELECTRICAL],
        [],
    ),
    "a cable of unknown size": (
        "block-port-mismatch",
        [("to: block.in, gauge: 4 AWG", "to: block.in")],
        ["? the gauge of feed"],
    ),
    # 33 CFR 183.445: what is always live is covered.
    "a live block without a cover": ("block-uncovered", [("cover: true", "cover: false")], ["error block"]),
    "a cover that is not stated": ("block-uncovered", [(" cover: true,", "")], ["? the cover of block"]),
    "the same where only the circuit is in question, of the cover": (
        "block-uncovered",
        [(" cover: true,", ""), ELECTRICAL],
        [],
    ),
    "a bare block is told even there": (
        "block-uncovered",
        [("cover: true", "cover: false"), ELECTRICAL],
        ["error block"],
    ),
    "a block that hangs on its cables": ("block-unsecured", [("[amp, block]", "[amp]")], ["warning block"]),
    "a plan without mounts": (
        "block-unsecured",
        [(f"mounts:\n  board: {{zone: cargo, holds: [amp, block], {FASTENED}}}\n", "mounts: none\n")],
        ["warning block"],
    ),
    "a plan that tells of no mounts": (
        "block-unsecured",
        [(f"mounts:\n  board: {{zone: cargo, holds: [amp, block], {FASTENED}}}\n", "")],
        ["? the mounts of the plan"],
    ),
    "mounts that are not in question": (
        "block-unsecured",
        [(f"mounts:\n  board: {{zone: cargo, holds: [amp, block], {FASTENED}}}\n", ""), ELECTRICAL],
        [],
    ),
    "one screw": ("block-unsecured", [("amount: 4", "amount: 1")], ["warning block"]),
    "hook-and-loop tape": (
        "block-unsecured",
        [("type: through-bolt, size: M6", "type: hook-and-loop")],
        ["warning block"],
    ),
    "fasteners that are not stated": ("block-unsecured", [(f", {FASTENED}", "")], ["? the fasteners of board"]),
    "a number of screws that is not stated": (
        "block-unsecured",
        [(", amount: 4", "")],
        ["? the number (`amount`) of the fasteners of board"],
    ),
    "an isolator for less than what passes it": (
        "switch-or-isolator-underrated",
        [("isolator, zone: engine-bay, rating: 100 A", "isolator, zone: engine-bay, rating: 50 A")],
        ["error isolator"],
    ),
    "an isolator that bears it": (
        "switch-or-isolator-underrated",
        [("isolator, zone: engine-bay, rating: 100 A", "isolator, zone: engine-bay, rating: 56 A")],
        [],
    ),
    "an isolator whose rating is not stated": (
        "switch-or-isolator-underrated",
        [("isolator, zone: engine-bay, rating: 100 A", "isolator, zone: engine-bay")],
        ["? the rating of isolator"],
    ),
    "a switch in the ground cable": (
        "switch-or-isolator-underrated",
        [
            ("from: amp.ground, to: stud", "from: amp.ground, to: cut-off.line"),
            ("  stud:", "  cut-off: {kind: switch, pole: negative, rating: 40 A}\n  stud:"),
            ("  lamp-ground:", "  last: {from: cut-off.load, to: stud, gauge: 8 AWG, length: 9 cm}\n  lamp-ground:"),
        ],
        ["error cut-off"],
    ),
    # A relay in a turn-on lead carries milliamperes that no rule reckons.
    "a relay that only turns on": (
        "switch-or-isolator-underrated",
        [
            ("  stud:", "  helper: {kind: relay}\n  key: {kind: control-source}\n  stud:"),
            (
                "  lamp-ground:",
                "  on-a: {from: key, to: helper.common, gauge: 18 AWG, length: 1 m}\n"
                "  on-b: {from: helper.normally-open, to: amp.turn-on, gauge: 18 AWG, length: 1 m}\n  lamp-ground:",
            ),
        ],
        [],
    ),
}


@pytest.mark.parametrize(("rule", "swaps", "expected"), CASES.values(), ids=CASES)
def test_a_changed_plan_gets_what_it_deserves(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One change of the sound plan, and what the rule says of it."""
    assert outcome(changed(SYSTEM, *swaps), rule) == expected


def test_a_ground_block_needs_no_cover() -> None:
    """What is not live can lie bare."""
    text = changed(
        SYSTEM,
        ("  stud:", "  star: {kind: distribution, zone: cargo, fused: false, cover: false}\n  stud:"),
        ("from: amp.ground, to: stud", "from: amp.ground, to: star.out-1"),
        ("from: lamp.ground, to: stud, gauge", "from: star.in, to: stud, gauge"),
    )
    assert outcome(text, "block-uncovered") == []


def test_what_is_told_has_the_numbers() -> None:
    """500 W / (0.8 x 13.8 V) + 10 A = 55.3 A."""
    text = changed(SYSTEM, ("cargo, rating: 100 A", "cargo, rating: 50 A"))
    assert messages(text, "block-overloaded") == ["55.3 A flows through block at full power; it is made for 50 A"]
