"""Rules about fuses and breakers on small plans: what each must say, and what it must leave alone.

Limits without a source beside them are common practice of the trade.
"""

from __future__ import annotations

import pytest
from matrix import RULES, document_of
from small_plans import changed, messages, outcome, remedies

from planlint.facts.case import Case
from planlint.judge.judge import judge, plan_of
from planlint.rulebook.plant import plant

# 500 W at 80 % and 13.8 V draw 45.3 A, 240 W draw 21.7 A: together 67.0 A.
SYSTEM = """\
plan: 1
title: Two amplifiers behind a fused block
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  main-fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 100 A, voltage: 32 V}
  block: {kind: distribution, zone: cargo, outputs: {
    out-1: {fuse: 60 A, voltage: 32 V}, out-2: {fuse: 30 A, voltage: 32 V}}}
  bass: {kind: amp, zone: cargo, class: D, largest_fuse: 80 A, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  mids: {kind: amp, zone: cargo, class: D, largest_fuse: 40 A, outputs: {left: {power: 240 W, at: 4 ohm}}}
  stud: {kind: ground-point, zone: cargo}
wires:
  tail: {from: battery.positive, to: main-fuse.line, gauge: 4 AWG, length: 15 cm}
  feed: {from: main-fuse.load, to: block.in, gauge: 4 AWG, length: 4 m}
  bass-feed: {from: block.out-1, to: bass.power, gauge: 6 AWG, length: 40 cm}
  mids-feed: {from: block.out-2, to: mids.power, gauge: 8 AWG, length: 40 cm}
  bass-ground: {from: bass.ground, to: stud, gauge: 6 AWG, length: 40 cm}
  mids-ground: {from: mids.ground, to: stud, gauge: 8 AWG, length: 40 cm}
"""
NEW = (
    *("fuse-below-load", "fuse-above-equipment-max", "parallel-fuses", "fuse-in-return", "breaker-auto-reset-main"),
    *("holder-mismatch", "fuse-not-accessible", "main-fuse-below-branch-sum", "fuse-voltage-low"),
    *("branch-fuse-not-below-main", "device-unfit-for-zone"),
)
MAIN = "family: strip, rating: 100 A, voltage: 32 V"
BREAKER = ("{kind: fuse, zone: engine-bay, family: strip,", "{kind: breaker, zone: engine-bay, reset: manual,")


@pytest.mark.parametrize("rule", NEW)
def test_a_sound_plan_breaks_no_rule_and_leaves_none_open(rule: str) -> None:
    """The plan of this module is sound, and states all that these rules ask of an electrical plan."""
    assert outcome(SYSTEM, rule) == []


# Rule, changes of the sound plan, and what the rule then says.
CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    # 45.3 A x 1.25 = 56.7 A: 60 A will do, 50 A is loaded by 91 %, 40 A opens.
    "a branch fuse loaded by 91 %": (
        "fuse-below-load",
        [("fuse: 60 A", "fuse: 50 A")],
        ["warning block.out-1"],
    ),
    "a branch fuse that opens": ("fuse-below-load", [("fuse: 60 A", "fuse: 40 A")], ["warning block.out-1"]),
    # 21.7 A x 1.25 = 27.2 A.
    "a fuse loaded just below the limit": ("fuse-below-load", [("fuse: 30 A", "fuse: 27.5 A")], []),
    "a load that is not stated": (
        "fuse-below-load",
        [("power: 240 W", "power: not stated")],
        ["? the power of left of mids"],
    ),
    "a rating that is not stated": (
        "fuse-below-load",
        [("fuse: 30 A", "family: blade")],
        ["? the fuse of out-2 of block"],
    ),
    # 67.0 A x 1.25 = 83.8 A.
    "a main fuse too small for the sum": (
        "main-fuse-below-branch-sum",
        [("rating: 100 A", "rating: 80 A")],
        ["warning main-fuse"],
    ),
    "a main fuse that is enough for one branch is not judged as a branch": (
        "fuse-below-load",
        [("rating: 100 A", "rating: 80 A")],
        [],
    ),
    "a main fuse that just does": ("main-fuse-below-branch-sum", [("rating: 100 A", "rating: 84 A")], []),
    "a sum of which a part is not stated": (
        "main-fuse-below-branch-sum",
        [("power: 240 W", "power: not stated")],
        ["? the power of left of mids"],
    ),
    "a branch fuse above what the maker permits": (
        "fuse-above-equipment-max",
        [("largest_fuse: 80 A", "largest_fuse: 50 A")],
        ["error bass"],
    ),
    "a shared fuse counts whole": (
        "fuse-above-equipment-max",
        [("out-1: {fuse: 60 A, voltage: 32 V}, out-2: {fuse: 30 A, voltage: 32 V}", "out-1: {fuse: none}")],
        ["error bass", "error mids"],
    ),
    "a limit that the maker does not state": (
        "fuse-above-equipment-max",
        [("largest_fuse: 80 A, ", "")],
        ["? the largest fuse of bass"],
    ),
    "a fuse that is not stated before a known limit": (
        "fuse-above-equipment-max",
        [("fuse: 30 A", "fuse: not stated")],
        ["? the fuse of out-2 of block"],
    ),
    "a maker who sets no limit": (
        "fuse-above-equipment-max",
        [("largest_fuse: 80 A", "largest_fuse: {not_applicable: fused on board}")],
        [],
    ),
    "a main breaker that resets itself": (
        "breaker-auto-reset-main",
        [BREAKER, ("reset: manual", "reset: automatic")],
        ["error main-fuse"],
    ),
    "a main breaker reset by hand": ("breaker-auto-reset-main", [BREAKER], []),
    "a main breaker that stays open while it is fed": (
        "breaker-auto-reset-main",
        [BREAKER, ("reset: manual", "reset: modified")],
        [],
    ),
    "a main breaker of which nobody says how it resets": (
        "breaker-auto-reset-main",
        [BREAKER, ("reset: manual", "reset: not stated")],
        ["? the way of resetting (`reset`) of main-fuse"],
    ),
    "a self-resetting breaker behind the main fuse": (
        "breaker-auto-reset-main",
        [
            ("to: mids.power, gauge", "to: fan-breaker.line, gauge"),
            ("  stud:", "  fan-breaker: {kind: breaker, rating: 25 A, reset: automatic}\n  stud:"),
            (
                "  bass-ground:",
                "  onward: {from: fan-breaker.load, to: mids.power, gauge: 8 AWG, length: 9 cm}\n  bass-ground:",
            ),
        ],
        [],
    ),
    "a holder for less than the fuse": (
        "holder-mismatch",
        [(MAIN, MAIN + ", holder_limit: 80 A, smallest_cable: 8 AWG, largest_cable: 4 AWG")],
        ["warning main-fuse"],
    ),
    "a holder that takes 25 mm2 for a cable of 4 AWG": (
        "holder-mismatch",
        [(MAIN, MAIN + ", holder_limit: 100 A, smallest_cable: 10 mm2, largest_cable: 25 mm2")],
        [],
    ),
    "a holder for 2 AWG and a cable of 35 mm2, which is the same": (
        "holder-mismatch",
        [
            (MAIN, MAIN + ", holder_limit: 100 A, smallest_cable: 8 AWG, largest_cable: 2 AWG"),
            ("to: main-fuse.line, gauge: 4 AWG", "to: main-fuse.line, gauge: 35 mm2"),
        ],
        [],
    ),
    "a holder too small for the cable": (
        "holder-mismatch",
        [(MAIN, MAIN + ", holder_limit: 100 A, smallest_cable: 10 AWG, largest_cable: 6 AWG")],
        ["warning main-fuse"],
    ),
    "a holder too large for the cable": (
        "holder-mismatch",
        [(MAIN, MAIN + ", holder_limit: 100 A, smallest_cable: 2 AWG, largest_cable: 1/0 AWG")],
        ["warning main-fuse"],
    ),
    "a holder of which nothing is stated in a whole plan": (
        "holder-mismatch",
        [("scope: electrical\n", "")],
        ["? the holder limit of main-fuse"],
    ),
    "a cable of unknown size in a holder": (
        "holder-mismatch",
        [
            (MAIN, MAIN + ", holder_limit: 100 A, smallest_cable: 8 AWG, largest_cable: 4 AWG"),
            ("to: main-fuse.line, gauge: 4 AWG", "to: main-fuse.line, gauge: not stated"),
        ],
        ["? the gauge of tail"],
    ),
    "a breaker needs no holder": (
        "holder-mismatch",
        [BREAKER, ("rating: 100 A", "rating: 100 A, smallest_cable: 8 AWG, largest_cable: 4 AWG")],
        [],
    ),
    "a fuse under the seat bolts": (
        "fuse-not-accessible",
        [(MAIN, MAIN + ", accessible: false, labelled: true")],
        ["warning main-fuse"],
    ),
    "a block without labels": (
        "fuse-not-accessible",
        [("{kind: distribution, zone: cargo,", "{kind: distribution, zone: cargo, accessible: true, labelled: false,")],
        ["warning block"],
    ),
    "a block without fuses needs no labels": (
        "fuse-not-accessible",
        [
            (
                "{kind: distribution, zone: cargo,",
                "{kind: distribution, zone: cargo, accessible: true, labelled: false,",
            ),
            ("out-1: {fuse: 60 A, voltage: 32 V}, out-2: {fuse: 30 A, voltage: 32 V}", "out-1: {fuse: none}"),
        ],
        [],
    ),
    "nothing outcome of access in a whole plan": (
        "fuse-not-accessible",
        [("scope: electrical\n", "")],
        ["? whether block is accessible", "? whether main-fuse is accessible"],
    ),
    "a fuse for 14 V": ("fuse-voltage-low", [(MAIN, MAIN.replace("32 V", "14 V"))], ["error main-fuse"]),
    "an output for 24 V": (
        "fuse-voltage-low",
        [("fuse: 60 A, voltage: 32 V", "fuse: 60 A, voltage: 24 V")],
        ["error block.out-1"],
    ),
    "a fuse for 32 V in a system of 24 V": ("fuse-voltage-low", [("system: 12 V", "system: 24 V")], []),
    "fuses for 32 V in a system of 48 V": (
        "fuse-voltage-low",
        [("system: 12 V", "system: 48 V")],
        ["error block.out-1", "error block.out-2", "error main-fuse"],
    ),
    "a fuse whose voltage is not stated": (
        "fuse-voltage-low",
        [(MAIN, "family: strip, rating: 100 A")],
        ["? the voltage of main-fuse"],
    ),
    "a branch fuse as large as the main fuse": (
        "branch-fuse-not-below-main",
        [("fuse: 60 A", "fuse: 100 A")],
        ["warning block.out-1"],
    ),
    "a branch fuse just below the main fuse": ("branch-fuse-not-below-main", [("fuse: 60 A", "fuse: 80 A")], []),
    "a main fuse that is not stated": (
        "branch-fuse-not-below-main",
        [("rating: 100 A", "rating: not stated")],
        ["? the rating of main-fuse"],
    ),
    "a glass fuse in the engine bay": (
        "device-unfit-for-zone",
        [(MAIN, MAIN.replace("strip", "glass") + ", protection_class: IP20")],
        ["warning main-fuse"],
    ),
    "a sealed glass fuse in the engine bay": (
        "device-unfit-for-zone",
        [(MAIN, MAIN.replace("strip", "glass") + ", protection_class: IP67")],
        [],
    ),
    # IEC 60529: the second digit is for water, an X says that it was not tested (from memory).
    "a breaker tested against dust alone": (
        "device-unfit-for-zone",
        [BREAKER, ("rating: 100 A", "rating: 100 A, protection_class: IP6X")],
        ["warning main-fuse"],
    ),
    "a breaker of which nobody says what it keeps out": (
        "device-unfit-for-zone",
        [BREAKER],
        ["? the protection class of main-fuse"],
    ),
    "a glass fuse in the boot": (
        "device-unfit-for-zone",
        [("zone: engine-bay, family: strip", "zone: cargo, protection_class: IP20, family: glass")],
        [],
    ),
}


@pytest.mark.parametrize(("rule", "swaps", "expected"), CASES.values(), ids=CASES)
def test_a_changed_plan_gets_what_it_deserves(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One change of the sound plan, and what the rule says of it."""
    assert outcome(changed(SYSTEM, *swaps), rule) == expected


def test_a_fuse_that_opens_is_told_with_both_currents_and_the_fuse_that_would_do() -> None:
    """500 W / (0.8 x 13.8 V) = 45.3 A; over 0.8 that asks for 56.6 A, so for 60 A; 6 AWG bears 80 A (common practice)."""
    text = changed(SYSTEM, ("fuse: 60 A", "fuse: 40 A"))
    assert messages(text, "fuse-below-load") == ["45.3 A flows through block.out-1, which is rated 40 A: it will open"]
    assert remedies(text, "fuse-below-load") == [
        "Fit a fuse of at least 60 A where the cables at it bear that (they bear 80 A), or thicker cables with it."
    ]


def test_the_finding_about_an_output_stands_at_its_fuse_and_can_be_accepted() -> None:
    """A fused output is a fuse like another, by the name that a wire's end has there."""
    text = changed(SYSTEM, ("fuse: 60 A", "fuse: 50 A"))
    [told] = [one for one in judge(text.encode(), "small").findings if one.rule == "fuse-below-load"]
    assert told.place.line[told.place.span.column - 1 :].startswith("50 A")
    accepted = (
        text + "accepted:\n  - {rule: fuse-below-load, subject: block.out-1, reason: played softly, by: the foreman}\n"
    )
    assert outcome(accepted, "fuse-below-load") == []


TWIN = """\
plan: 1
title: Two fuses between a battery and an amplifier
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
nodes:
  battery: {kind: battery, zone: cabin}
  one: {kind: fuse, zone: cabin, family: strip, rating: 40 A, voltage: 32 V}
  two: {kind: fuse, zone: cabin, family: strip, rating: 40 A, voltage: 32 V}
  bar: {kind: bus, zone: cabin}
  amp: {kind: amp, zone: cabin, class: D, largest_fuse: 80 A, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: cabin}
wires:
  tail-one: {from: battery.positive, to: one.line, gauge: 4 AWG, length: 15 cm, material: copper}
  tail-two: {from: battery.positive, to: two.line, gauge: 4 AWG, length: 15 cm, material: copper}
  on-one: {from: one.load, to: bar, gauge: 4 AWG, length: 10 cm, material: copper}
  on-two: {from: two.load, to: bar, gauge: 4 AWG, length: 10 cm, material: copper}
  feed: {from: bar, to: amp.power, gauge: 4 AWG, length: 4 m, material: copper}
  ground: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm, material: copper}
"""


ON_ONE = "on-one: {from: one.load, to: bar, gauge: 4 AWG, length: 10 cm"
SIDES: dict[str, tuple[list[tuple[str, str]], list[str]]] = {
    # FCS 1362:2010 section 4.6.3: fuses are never put in parallel.
    "side by side": ([], ["error one"]),
    "two long runs with a fuse each": ([(ON_ONE, ON_ONE.replace("10 cm", "2 m"))], []),
    "cable of unknown length": (
        [("to: one.line, gauge: 4 AWG, length: 15 cm", "to: one.line, gauge: 4 AWG")],
        ["? the length of tail-one"],
    ),
    "one behind the other": (
        [("battery.positive, to: two.line", "bar, to: two.line"), ("two.load, to: bar", "two.load, to: amp.power")],
        [],
    ),
}


@pytest.mark.parametrize(("swaps", "expected"), SIDES.values(), ids=SIDES)
def test_fuses_side_by_side(swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """Fuses between the same two places with little cable between them are told once, for both."""
    assert outcome(changed(TWIN, *swaps), "parallel-fuses") == expected


RETURN = """\
plan: 1
title: A fuse in the ground wire
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
nodes:
  battery: {kind: battery}
  fuse: {kind: fuse, rating: 80 A}
  ground-fuse: {kind: KIND, rating: 80 A}
  amp: {kind: amp, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  stud: {kind: ground-point}
wires:
  tail: {from: battery.positive, to: fuse.line, gauge: 4 AWG, length: 15 cm}
  feed: {from: fuse.load, to: amp.power, gauge: 4 AWG, length: 4 m}
  ground: {from: amp.ground, to: ground-fuse.line, gauge: 4 AWG, length: 20 cm}
  onward: {from: ground-fuse.load, to: stud, gauge: 4 AWG, length: 20 cm}
"""


@pytest.mark.parametrize(
    ("kind", "expected"), [("fuse", ["error ground"]), ("breaker", ["error ground"]), ("switch", [])]
)
def test_a_fuse_in_the_return(kind: str, expected: list[str]) -> None:
    """FCS 1362:2010 sections 4.6.3 and 4.6.4: the fuse stands in the positive only; both ground wires are one finding."""
    assert outcome(RETURN.replace("KIND", kind), "fuse-in-return") == expected


def test_a_fuse_between_an_added_battery_and_the_ground_block() -> None:
    """The negative of an added battery is a return too, whatever feeds the amplifier."""
    text = changed(
        RETURN,
        ("battery: {kind: battery}", "battery: {kind: battery, role: added}"),
        ("from: amp.ground, to: ground-fuse.line", "from: battery.negative, to: ground-fuse.line"),
    )
    assert outcome(text.replace("KIND", "fuse"), "fuse-in-return") == ["error ground"]


LINK = """\
plan: 1
title: A link between two batteries with a fuse at each end
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
nodes:
  front: {kind: battery, role: main}
  near: {kind: fuse, rating: 80 A}
  far: {kind: fuse, rating: 80 A}
  rear: {kind: battery, role: added, link: 60 A}
  stud: {kind: ground-point}
wires:
  a: {from: front.positive, to: near.line, gauge: 4 AWG, length: 15 cm}
  b: {from: near.load, to: far.load, gauge: 4 AWG, length: 4 m}
  c: {from: far.line, to: rear.positive, gauge: 4 AWG, length: 15 cm}
  d: {from: rear.negative, to: stud, gauge: 4 AWG, length: 30 cm}
"""


@pytest.mark.parametrize(
    ("link", "expected"),
    [
        ("link: 60 A", []),  # 60 A x 1.25 = 75 A
        ("link: 70 A", ["warning far", "warning near"]),
        ("chemistry: agm", ["? the planned current of the link (`link`) of rear"]),
    ],
)
def test_the_fuses_of_a_link_bear_its_planned_current(link: str, expected: list[str]) -> None:
    """A link carries what it is planned for; two fuses that guard it from both ends are no branch of each other."""
    text = changed(LINK, ("link: 60 A", link))
    assert outcome(text, "fuse-below-load") == expected
    assert outcome(text, "branch-fuse-not-below-main") == []


def test_a_fuse_in_a_turn_on_lead_is_not_asked_about_a_load() -> None:
    """What a turn-on input takes is no design current: the rule does not apply, and does not pass either."""
    text = RETURN.replace("KIND", "switch") + (
        "  remote: {from: fuse.load, to: ground-fuse-2.line, gauge: 18 AWG, length: 10 cm}\n"
        "  on: {from: ground-fuse-2.load, to: amp.turn-on, gauge: 18 AWG, length: 10 cm}\n"
    )
    text = changed(text, ("  stud:", "  ground-fuse-2: {kind: fuse}\n  stud:"))
    assert outcome(text, "fuse-below-load") == []


def test_a_part_is_put_into_a_run_by_splice_in() -> None:
    """The wire ends at the part's line side, and 10 cm of the same cable lead on from its load side."""
    document = document_of(SYSTEM)
    plan, _ = plan_of(document)
    assert plan
    case, rule = Case(plan), RULES["fuse-in-return"]
    wire = next(one for one in plan.wires if one.name == "mids-ground")
    text = plant(document, case, rule, rule.faults[0], wire)
    assert text
    edited, _ = plan_of(document_of(text))
    assert edited
    ends = {one.name: [f"{end.node}.{end.terminal}" for end in one.ends] for one in edited.wires}
    assert ends["mids-ground"] == ["mids.ground", "mids-ground-fuse.line"]
    assert ends["mids-ground-onward"] == ["mids-ground-fuse.load", "stud.body"]
    onward = next(one for one in edited.wires if one.name == "mids-ground-onward")
    assert (onward.gauge, onward.material) == (wire.gauge, wire.material)
    assert next(node.kind for node in edited.nodes if node.name == "mids-ground-fuse") == "fuse"


RANGED = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
defaults: {wire: {material: copper, insulation: 105 C, gauge: 4 AWG, length: 40 cm}}
nodes:
  battery: {kind: battery}
  fuse: {kind: fuse, rating: 100 A}
  amp: {kind: amp, class: D, largest_fuse: 120 A, outputs: {sub: {power: 400 W, at: 2 ohm}}}
  stud: {kind: ground-point, member: floor}
wires:
  tail: {from: battery.positive, to: fuse.line, length: 10 cm}
  feed: {from: fuse.load, to: amp.power}
  ground: {from: amp.ground, to: stud}
"""


@pytest.mark.parametrize(("limit", "found"), [("120 A", []), ("60..120 A", ["error amp"]), ("100..120 A", [])])
def test_a_limit_that_is_a_range_counts_at_its_lower_end(limit: str, found: list[str]) -> None:
    """100 A stand before a device whose maker permits 60 to 120 A: it may be 60 A."""
    assert outcome(RANGED.replace("120 A", limit), "fuse-above-equipment-max") == found
