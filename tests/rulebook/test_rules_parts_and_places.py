"""Rules about where parts stand, how their ends are made and what the list of parts holds, on small plans.

Limits without a source beside them are common practice of the trade.
"""

from __future__ import annotations

import itertools

import pytest
from small_plans import changed, messages, outcome

# A whole job in small: 500 W at 80 % and 13.8 V draw 45.3 A, a fan 4 A.
SYSTEM = """\
plan: 1
title: An amplifier and a fan
vehicle: {system: 12 V, class: hatch, body: steel-unibody}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
defaults:
  wire: {material: copper, insulation: 105 C, stranding: fine, protection: loom}
  fuse: {highest_ambient: 85 C, surroundings: steel}
nodes:
  battery: {kind: battery, zone: engine-bay, chemistry: agm, x: 0.6 m, y: 0.4 m, z: 0.8 m}
  main: {kind: fuse, zone: engine-bay, family: strip, rating: 80 A, x: 0.6 m, y: 0.5 m, z: 0.8 m}
  small: {kind: fuse, zone: cabin, family: blade, rating: 10 A}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}, x: 3.6 m, y: 0.5 m, z: 0.4 m}
  fan: {kind: load, zone: cargo, supply: 4 A, type: motor, attended: true}
  stud: {kind: ground-point, zone: cargo, member: floor, fastener: M8 stud, lugs: [amp-ground, fan-ground]}
wires:
  tail: {from: battery.positive, to: main.line, gauge: 4 AWG, length: 15 cm, ends: {to: {type: ring}}}
  feed: {from: main.load, to: amp.power, gauge: 4 AWG, length: 4 m, ends: {from: {type: ring}, to: {type: ferrule}}}
  tap: {from: main.load, to: small.line, gauge: 14 AWG, length: 15 cm, ends: {from: {type: ring}, to: {type: ferrule}}}
  fan-feed: {from: small.load, to: fan.power, gauge: 14 AWG, length: 4 m, ends: {from: {type: ferrule}}}
  amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm, ends: {from: {type: ferrule}}}
  fan-ground: {from: fan.ground, to: stud, gauge: 14 AWG, length: 40 cm}
holes:
  panel: {serves: feed, diameter: 16 mm, grommet: {bore: 10 mm, groove: 16 mm}}
mounts:
  board: {holds: amp, fasteners: {type: nut-insert, size: M6, amount: 4}}
  strap: {holds: fan, fasteners: {type: strap, amount: 1}}
parts:
  - {part: fuse, size: 80 A strip, amount: 1, spare: 1}
  - {part: fuse, size: 10 A blade, amount: 1, spare: 1}
  - {part: cable, size: 4 AWG}
  - {part: cable, size: 14 AWG}
  - {part: ring terminal, amount: 3}
  - {part: grommet, size: "bore 10 mm, groove 16 mm"}
  - {part: nut insert with screw, size: M6 x 20 mm, amount: 4}
  - {part: stud with nut, size: M8}
  - {part: strap, size: 25 mm}
"""
NEW = (
    *("device-unfit-for-zone", "fuse-next-to-combustible", "spare-fuse-missing", "bundle-derating-missed"),
    *("ground-dissimilar-metal", "fine-strand-no-ferrule", "stud-order-wrong", "disconnect-cuts-factory-feed"),
    *("zero-or-implausible-length", "parts-list-gap", "breaker-auto-reset-main", "fuse-in-return"),
)
ELECTRICAL = ("title:", "scope: electrical\ntitle:")
MAIN = "{kind: fuse, zone: engine-bay, family: strip, rating: 80 A,"
SMALL = "{kind: fuse, zone: cabin, family: blade, rating: 10 A}"
STUD = "{kind: ground-point, zone: cargo, member: floor, fastener: M8 stud,"
BAY_STUD = "{kind: ground-point, zone: engine-bay, member: strut, fastener: M8 stud, metal: zinc-coated-steel,"
FAN = "{kind: load, zone: cargo, supply: 4 A, type: motor, attended: true}"
SELF = "{kind: breaker, zone: cabin, rating: 10 A, reset: automatic, surroundings: steel}"
PLATED = (
    (
        "gauge: 4 AWG, length: 40 cm, ends: {from: {type: ferrule}}}",
        "gauge: 4 AWG, length: 40 cm, ends: {to: {PLATING}}}",
    ),
    ("to: stud, gauge: 14 AWG, length: 40 cm}", "to: stud, gauge: 14 AWG, length: 40 cm, ends: {to: {PLATING}}}"),
)


def plated(plating: str) -> list[tuple[str, str]]:
    """The changes by which both lugs on the stud are plated so."""
    return [(old, new.replace("PLATING", f"plating: {plating}")) for old, new in PLATED]


@pytest.mark.parametrize("rule", NEW)
def test_a_sound_plan_breaks_no_rule_and_leaves_none_open(rule: str) -> None:
    """The plan of this module is sound, and states all that these rules ask."""
    assert outcome(SYSTEM, rule) == []


# Rule, changes of the sound plan, and what the rule then says.
CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    # 33 CFR 183.455(a): manually reset; behind it a motor that somebody watches may have its own.
    "a self-resetting breaker of a watched motor": ("breaker-auto-reset-main", [(SMALL, SELF)], []),
    "a self-resetting breaker of a motor that runs alone": (
        "breaker-auto-reset-main",
        [(SMALL, SELF), ("attended: true", "attended: false")],
        ["error small"],
    ),
    "a heater that runs alone": (
        "breaker-auto-reset-main",
        [(SMALL, SELF), ("type: motor, attended: true", "type: heater, attended: false")],
        ["error small"],
    ),
    "a lamp that burns alone": (
        "breaker-auto-reset-main",
        [(SMALL, SELF), ("type: motor, attended: true", "type: lamp, attended: false")],
        [],
    ),
    "a breaker of a load of which nobody says what it is": (
        "breaker-auto-reset-main",
        [(SMALL, SELF), (", type: motor, attended: true", "")],
        ["? the type of fan"],
    ),
    "a load of which nobody says who is there": (
        "breaker-auto-reset-main",
        [(SMALL, SELF), (", attended: true", "")],
        ["? whether fan is attended"],
    ),
    "a main breaker that resets itself, for a watched motor alone": (
        "breaker-auto-reset-main",
        [(SMALL, SELF), ("tap: {from: main.load", "tap: {from: battery.positive")],
        ["error small"],
    ),
    # IEC 60529: the second digit 4 keeps out splashed water.
    "a fuse in a lead battery's box": (
        "device-unfit-for-zone",
        [(MAIN, MAIN + " battery_box: true, ignition_protected: false,")],
        ["warning main"],
    ),
    "one there whose sparks light nothing": (
        "device-unfit-for-zone",
        [(MAIN, MAIN + " battery_box: true, ignition_protected: true,")],
        [],
    ),
    "one there of which nobody says": (
        "device-unfit-for-zone",
        [(MAIN, MAIN + " battery_box: true,")],
        ["? whether main is ignition protected"],
    ),
    "one in the box of a lithium battery": (
        "device-unfit-for-zone",
        [(MAIN, MAIN + " battery_box: true,"), ("chemistry: agm", "chemistry: lifepo4")],
        [],
    ),
    "one in the box of a battery of unknown make": (
        "device-unfit-for-zone",
        [(MAIN, MAIN + " battery_box: true,"), ("chemistry: agm, ", "")],
        ["? the chemistry of battery"],
    ),
    "a fuse beside a vented box of which nobody says whether it is in there": (
        "device-unfit-for-zone",
        [("chemistry: agm", "chemistry: agm, enclosure: vented-outside")],
        ["? the place inside or outside a battery box (`battery_box`) of main"],
    ),
    "a fuse beside a vented box": (
        "device-unfit-for-zone",
        [("chemistry: agm", "chemistry: agm, enclosure: vented-outside"), (MAIN, MAIN + " battery_box: false,")],
        [],
    ),
    "the same in a plan of the circuit alone": (
        "device-unfit-for-zone",
        [("chemistry: agm", "chemistry: agm, enclosure: vented-outside"), ELECTRICAL],
        [],
    ),
    # 33 CFR 183.425 takes 50 C for an engine space.
    "a fuse for less heat than the engine bay has": (
        "device-unfit-for-zone",
        [("highest_ambient: 85 C", "highest_ambient: 45 C")],
        ["warning main"],
    ),
    "a fuse for just that heat": ("device-unfit-for-zone", [("highest_ambient: 85 C", "highest_ambient: 50 C")], []),
    "a fuse for less heat than a hot cabin": (
        "device-unfit-for-zone",
        [("highest_ambient: 85 C", "highest_ambient: 50 C"), ("{name: cabin}", "{name: cabin, ambient: 60 C}")],
        ["warning small"],
    ),
    "a fuse in the engine bay of whose heat nobody says": (
        "device-unfit-for-zone",
        [("highest_ambient: 85 C, ", "")],
        ["? the highest air temperature permitted (`highest_ambient`) of main"],
    ),
    "the same where only the circuit counts": (
        "device-unfit-for-zone",
        [("highest_ambient: 85 C, ", ""), ELECTRICAL],
        [],
    ),
    "fuses on carpet": (
        "fuse-next-to-combustible",
        [("surroundings: steel", "surroundings: [steel, carpet]")],
        ["warning main"],
    ),
    "fuses on wood": ("fuse-next-to-combustible", [("surroundings: steel", "surroundings: wood")], []),
    "fuses of whose place nobody says": (
        "fuse-next-to-combustible",
        [(", surroundings: steel", "")],
        ["? the surroundings of main", "? the surroundings of small"],
    ),
    "the same where only the circuit is asked": (
        "fuse-next-to-combustible",
        [(", surroundings: steel", ""), ELECTRICAL],
        [],
    ),
    "a fuse whose mount is fixed to carpet": (
        "fuse-next-to-combustible",
        [("board: {holds: amp,", "board: {holds: [amp, small], substrate: carpet,")],
        ["warning small"],
    ),
    "no spare of a rating": (
        "spare-fuse-missing",
        [("10 A blade, amount: 1, spare: 1", "10 A blade, amount: 1")],
        ["note the plan"],
    ),
    "one more than the plan needs is a spare": (
        "spare-fuse-missing",
        [("10 A blade, amount: 1, spare: 1", "10 A blade, amount: 2")],
        [],
    ),
    "a spare of another pattern": (
        "spare-fuse-missing",
        [("10 A blade, amount: 1, spare: 1}", "10 A blade, amount: 1}\n  - {part: fuse, size: 10 A glass, amount: 2}")],
        ["note the plan"],
    ),
    "a fuse that is on no list is a gap": ("spare-fuse-missing", [("size: 10 A blade", "size: 15 A blade")], []),
    "no list": (
        "spare-fuse-missing",
        [(SYSTEM[SYSTEM.index("parts:") :], "")],
        ["? the list of parts (`parts`) of the plan"],
    ),
    "no grommet": (
        "parts-list-gap",
        [('  - {part: grommet, size: "bore 10 mm, groove 16 mm"}\n', "")],
        ["warning the plan"],
    ),
    "a grommet for another hole": ("parts-list-gap", [("groove 16 mm", "groove 22 mm")], ["warning the plan"]),
    "a grommet that names its panel too": (
        "parts-list-gap",
        [("groove 16 mm", "for a 16 mm hole in 1 mm"), ("diameter: 16 mm,", "diameter: 16 mm, panel: 1 mm,")],
        [],
    ),
    "inserts by another name": ("parts-list-gap", [("nut insert with screw", "rivet nut")], []),
    "a ring for a stud is no stud": (
        "parts-list-gap",
        [("{part: stud with nut, size: M8}", "{part: ring terminal, size: for M8 stud}")],
        ["warning the plan"],
    ),
    "a stud that the vehicle has": (
        "parts-list-gap",
        [("  - {part: stud with nut, size: M8}\n", ""), ("fastener: M8 stud", "fastener: the maker's M8 stud")],
        [],
    ),
    "a grommet that the vehicle has": (
        "parts-list-gap",
        [
            ('  - {part: grommet, size: "bore 10 mm, groove 16 mm"}\n', ""),
            ("groove: 16 mm}}", "groove: 16 mm, factory: true}, existing: true}"),
        ],
        [],
    ),
    "a hole of the vehicle's whose grommet nobody tells of": (
        "parts-list-gap",
        [
            ('  - {part: grommet, size: "bore 10 mm, groove 16 mm"}\n', ""),
            ("groove: 16 mm}}", "groove: 16 mm}, existing: true}"),
        ],
        ["? the origin (`factory`) of the grommet of panel"],
    ),
    "too few inserts": ("parts-list-gap", [("M6 x 20 mm, amount: 4", "M6 x 20 mm, amount: 3")], ["warning the plan"]),
    "inserts of another thread": ("parts-list-gap", [("M6 x 20 mm", "M5 x 20 mm")], ["warning the plan"]),
    "no stud": ("parts-list-gap", [("  - {part: stud with nut, size: M8}\n", "")], ["warning the plan"]),
    "no strap": ("parts-list-gap", [("  - {part: strap, size: 25 mm}\n", "")], ["warning the plan"]),
    "brackets come with the vehicle": (
        "parts-list-gap",
        [("type: nut-insert, size: M6", "type: bracket, size: M6"), ("M6 x 20 mm, amount: 4", "M6 x 20 mm")],
        [],
    ),
    # The main fuse and the amplifier lie 3 m apart along the car and 0.4 m in height: 3.03 m.
    "shorter than the straight line": (
        "zero-or-implausible-length",
        [("gauge: 4 AWG, length: 4 m", "gauge: 4 AWG, length: 3 m")],
        ["warning feed"],
    ),
    "a range that may be shorter": (
        "zero-or-implausible-length",
        [("gauge: 4 AWG, length: 4 m", "gauge: 4 AWG, length: 3..4 m")],
        ["warning feed"],
    ),
    "just longer": (
        "zero-or-implausible-length",
        [("gauge: 4 AWG, length: 4 m", "gauge: 4 AWG, length: 3.05 m")],
        [],
    ),
    "a place without its height": (
        "zero-or-implausible-length",
        [("x: 3.6 m, y: 0.5 m, z: 0.4 m", "x: 3.6 m, y: 0.5 m")],
        ["? the height (`z`) of amp"],
    ),
    "a place at one end alone": (
        "zero-or-implausible-length",
        [(", x: 3.6 m, y: 0.5 m, z: 0.4 m", ""), ("gauge: 4 AWG, length: 4 m", "gauge: 4 AWG, length: 1 m")],
        [],
    ),
    "a place within a range": (
        "zero-or-implausible-length",
        [
            ("x: 3.6 m, y: 0.5 m", "x: 3.4..3.8 m, y: 0.5 m"),
            ("gauge: 4 AWG, length: 4 m", "gauge: 4 AWG, length: 2.9 m"),
        ],
        [],
    ),
    # NEC 552.10: plated hardware; FAA AC 43.13-1B chapter 11 on unlike metals.
    "bare copper on a coated strut": (
        "ground-dissimilar-metal",
        [(STUD, BAY_STUD + " sealed: false,"), *plated("none")],
        ["warning stud"],
    ),
    "bare copper on a coated strut, sealed": (
        "ground-dissimilar-metal",
        [(STUD, BAY_STUD + " sealed: true,"), *plated("none")],
        [],
    ),
    "tinned lugs on a coated strut": ("ground-dissimilar-metal", [(STUD, BAY_STUD), *plated("tinned")], []),
    "lugs of which nobody says": (
        "ground-dissimilar-metal",
        [(STUD, BAY_STUD + " sealed: false,")],
        ["? the plating of the end `to` of amp-ground"],
    ),
    "bare copper on steel": (
        "ground-dissimilar-metal",
        [(STUD, BAY_STUD.replace("zinc-coated-steel", "steel") + " sealed: false,"), *plated("none")],
        [],
    ),
    "bare copper on zinc inside the vehicle": (
        "ground-dissimilar-metal",
        [(STUD, STUD + " metal: zinc-coated-steel, sealed: false,"), *plated("none")],
        [],
    ),
    "bare copper on an aluminium body": (
        "ground-dissimilar-metal",
        [("body: steel-unibody", "body: aluminium"), (STUD, STUD + " sealed: false,"), *plated("none")],
        ["warning stud"],
    ),
    "a mixed body in the engine bay": (
        "ground-dissimilar-metal",
        [
            ("body: steel-unibody", "body: mixed-bonded"),
            (STUD, BAY_STUD.replace(" metal: zinc-coated-steel,", " sealed: false,")),
            *plated("none"),
        ],
        ["? the metal of stud"],
    ),
    # DIN 46228: ferrules for fine strands.
    "fine strands bare in the amplifier's clamp": (
        "fine-strand-no-ferrule",
        [("{from: {type: ring}, to: {type: ferrule}}}\n  tap", "{from: {type: ring}, to: {type: bare}}}\n  tap")],
        ["note feed"],
    ),
    "coarse strands bare there": (
        "fine-strand-no-ferrule",
        [
            ("{from: {type: ring}, to: {type: ferrule}}}\n  tap", "{from: {type: ring}, to: {type: bare}}}\n  tap"),
            ("stranding: fine", "stranding: standard"),
        ],
        [],
    ),
    "strands of which nobody says": (
        "fine-strand-no-ferrule",
        [
            ("{from: {type: ring}, to: {type: ferrule}}}\n  tap", "{from: {type: ring}, to: {type: bare}}}\n  tap"),
            ("stranding: fine, ", ""),
        ],
        ["? the stranding of feed"],
    ),
    "an end of which nobody says": (
        "fine-strand-no-ferrule",
        [("gauge: 14 AWG, length: 4 m, ends: {from: {type: ferrule}}", "gauge: 14 AWG, length: 4 m")],
        ["? the type of the end `from` of fan-feed"],
    ),
    "the same end in a plan of the circuit alone": (
        "fine-strand-no-ferrule",
        [("gauge: 14 AWG, length: 4 m, ends: {from: {type: ferrule}}", "gauge: 14 AWG, length: 4 m"), ELECTRICAL],
        [],
    ),
    # ABYC E-11 (second-hand): the largest lowest.
    "the large lug on top": (
        "stud-order-wrong",
        [("lugs: [amp-ground, fan-ground]", "lugs: [fan-ground, amp-ground]")],
        ["note stud"],
    ),
    "an order of which nobody says": (
        "stud-order-wrong",
        [(", lugs: [amp-ground, fan-ground]", "")],
        ["? the lugs in their order (`lugs`) of stud"],
    ),
    "the same in a plan of the circuit": (
        "stud-order-wrong",
        [(", lugs: [amp-ground, fan-ground]", ""), ELECTRICAL],
        [],
    ),
    "a size of which nobody says": (
        "stud-order-wrong",
        [("to: stud, gauge: 14 AWG", "to: stud")],
        ["? the gauge of fan-ground"],
    ),
    "two sizes that are one": (
        "stud-order-wrong",
        [
            ("to: stud, gauge: 14 AWG", "to: stud, gauge: 2 AWG"),
            ("amp.ground, to: stud, gauge: 4 AWG", "amp.ground, to: stud, gauge: 35 mm2"),
            ("lugs: [amp-ground, fan-ground]", "lugs: [fan-ground, amp-ground]"),
        ],
        [],
    ),
}


@pytest.mark.parametrize(("rule", "swaps", "expected"), CASES.values(), ids=CASES)
def test_a_changed_plan_gets_what_it_deserves(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One change of the sound plan, and what the rule says of it."""
    assert outcome(changed(SYSTEM, *swaps), rule) == expected


def test_what_the_list_lacks_is_told_by_name_and_number() -> None:
    """The finding names the hole, what holds, its thread, and how many of them are there."""
    text = changed(
        SYSTEM,
        ('  - {part: grommet, size: "bore 10 mm, groove 16 mm"}\n', ""),
        ("M6 x 20 mm, amount: 4", "M6 x 20 mm, amount: 3"),
        ("  - {part: strap, size: 25 mm}\n", ""),
    )
    missing = "grommet for panel (0 of 1), M6 nut insert (3 of 4), strap (0 of 1)"
    assert messages(text, "parts-list-gap") == [f"the list of parts lacks what the plan needs: {missing}"]


def test_one_screw_is_not_counted_for_two_needs() -> None:
    """Four bolts of M8 on the list are not enough for a stud and four bolts, whichever way they are called."""
    text = changed(
        SYSTEM,
        ("type: nut-insert, size: M6", "type: through-bolt, size: M8"),
        ("part: nut insert with screw, size: M6 x 20 mm", "part: bolt or stud, size: M8"),
        ("  - {part: stud with nut, size: M8}\n", ""),
    )
    missing = "fasteners with a thread of M8 (4 of 5)"
    assert messages(text, "parts-list-gap") == [f"the list of parts lacks what the plan needs: {missing}"]


# Four loads on a bar: 30 A through 10 AWG, which bears 60 A at 30 C (33 CFR 183.425 Table 5), is just half of it.
SLEEVE = """\
plan: 1
title: Four fans with their cables in one sleeve
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: cabin}, {name: cargo}]
defaults:
  wire: {material: copper, insulation: 105 C, gauge: 10 AWG}
nodes:
  battery: {kind: battery, zone: cargo}
  block: {kind: distribution, zone: cargo, fused: true, outputs: {
    out-1: {fuse: 50 A}, out-2: {fuse: 50 A}, out-3: {fuse: 50 A}, out-4: {fuse: 50 A}}}
  stud: {kind: ground-point, zone: cargo}
  one: {kind: load, zone: cargo, supply: AMPS}
  two: {kind: load, zone: cargo, supply: AMPS}
  three: {kind: load, zone: cargo, supply: AMPS}
  four: {kind: load, zone: cargo, supply: LAST}
wires:
  tail: {from: battery.positive, to: block.in, gauge: 1/0 AWG, length: 10 cm}
  w-1: {from: block.out-1, to: one.power, length: 1 m, protection: sleeve, route: [
    {zone: cargo, length: LONG, beside: [w-2, w-3, w-4]GAP}]}
  w-2: {from: block.out-2, to: two.power, length: 1 m}
  w-3: {from: block.out-3, to: three.power, length: 1 m}
  w-4: {from: block.out-4, to: four.power, length: 1 m}
  g-1: {from: one.ground, to: stud, length: 20 cm}
  g-2: {from: two.ground, to: stud, length: 20 cm}
  g-3: {from: three.ground, to: stud, length: 20 cm}
  g-4: {from: four.ground, to: stud, length: 20 cm}
"""
ALL_FOUR = [f"note w-{number}" for number in range(1, 5)]
# What the first three and the last load draw, the stretch, the gap, and what is found. Among four to six loaded cables
# 10 AWG bears 36 A (33 CFR 183.425 Table 5 note 2, as printed in a cable maker's table for 105 C).
SLEEVES = [
    ("40 A", "40 A", "50 cm", ", gap: 0 mm", ALL_FOUR),
    ("35.9 A", "35.9 A", "50 cm", ", gap: 0 mm", []),
    ("36.1 A", "36.1 A", "50 cm", ", gap: 0 mm", ALL_FOUR),
    ("40 A", "29 A", "50 cm", ", gap: 0 mm", []),
    ("40 A", "40 A", "30 cm", ", gap: 0 mm", []),
    ("40 A", "40 A", "50 cm", ", gap: 20 mm", []),
    ("40 A", "40 A", "50 cm", "", ["? the distance to the wires beside it (`gap`) of stretch 1 of w-1"]),
    ("40 A", "29 A", "50 cm", "", []),
]


@pytest.mark.parametrize(("amps", "last", "long", "gap", "expected"), SLEEVES)
def test_loaded_cables_in_one_sleeve(amps: str, last: str, long: str, gap: str, expected: list[str]) -> None:
    """More than three cables, each loaded to over half, over more than 30 cm: then the published factor counts."""
    text = SLEEVE.replace("AMPS", amps).replace("LAST", last).replace("LONG", long).replace("GAP", gap)
    found = outcome(text, "bundle-derating-missed")
    assert [one for one in found if "gap" not in one] == [one for one in expected if "gap" not in one]
    assert bool([one for one in found if "gap" in one]) == any("gap" in one for one in expected)


def test_a_sleeve_is_told_with_the_numbers() -> None:
    """10 AWG at 105 C among four to six: 36 A (33 CFR 183.425, reprint for UL 1426 cable)."""
    text = SLEEVE.replace("AMPS", "40 A").replace("LAST", "40 A").replace("LONG", "50 cm").replace("GAP", ", gap: 0 mm")
    assert messages(text, "bundle-derating-missed")[0] == (
        "w-1 carries 40 A in one cover with other loaded cables, 4 in all; among them it bears 36 A"
    )


def test_one_sleeve_is_one_finding() -> None:
    """8 AWG, which 50 A of fuse suit, bears 80 A alone and 48 A among four: told once for the four of the sleeve."""
    text = SLEEVE.replace("AMPS", "49 A").replace("LAST", "49 A").replace("LONG", "50 cm").replace("GAP", ", gap: 0 mm")
    found = messages(text.replace("10 AWG", "8 AWG"), "bundle-derating-missed")
    assert found == ["w-1 carries 49 A in one cover with other loaded cables, 4 in all; among them it bears 48 A"]


# A breaker of two poles: `plus` in the supply, `minus` in the way back.
POLES = """\
plan: 1
title: A breaker of two poles
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: engine-bay}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C, gauge: 4 AWG, length: 10 cm}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  plus: {kind: breaker, zone: engine-bay, rating: 80 A, reset: manual}
  minus: {kind: breaker, zone: cargo, rating: 80 A, reset: manual, tied_to: plus}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 400 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: cargo}
wires:
  tail: {from: battery.positive, to: plus.line}
  feed: {from: plus.load, to: amp.power}
  back: {from: amp.ground, to: minus.line}
  home: {from: minus.load, to: stud}
"""
OTHER = (
    ("  stud:", "  small: {kind: fuse, zone: engine-bay, rating: 10 A}\n  fan: {kind: load, supply: 2 A}\n  stud:"),
    (
        "  home:",
        "  other-tail: {from: battery.positive, to: small.line}\n  other: {from: small.load, to: fan.power}\n"
        "  fan-back: {from: fan.ground, to: minus.line}\n  home:",
    ),
)
TWO_POLES: dict[str, tuple[list[tuple[str, str]], list[str]]] = {
    "both poles of one device": ([], []),
    "named from the other pole": (
        [(", tied_to: plus", ""), ("manual}\n  minus", "manual, tied_to: minus}\n  minus")],
        [],
    ),
    "two devices": ([(", tied_to: plus", "")], ["error back"]),
    "a fuse is no pole": (
        [("minus: {kind: breaker, zone: cargo, rating: 80 A, reset: manual,", "minus: {kind: fuse, rating: 80 A,")],
        ["error back"],
    ),
    "another user comes home through it that the other pole leaves live": (
        [*OTHER],
        ["error fan-back"],
    ),
}


@pytest.mark.parametrize(("swaps", "expected"), TWO_POLES.values(), ids=TWO_POLES)
def test_a_breaker_that_parts_both_legs(swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """FCS 1362:2010 section 4.6.4 speaks of fuses in the return; a set made to part both legs leaves nothing live."""
    assert outcome(changed(POLES, *swaps), "fuse-in-return") == expected


# A switch for the added amplifier; a lamp and the alternator are the vehicle's own.
SWITCHED = """\
plan: 1
title: A switch behind the battery
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: engine-bay}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C, gauge: 4 AWG, length: 10 cm}}
nodes:
  battery: {kind: battery, zone: engine-bay, role: main}
  fuse: {kind: fuse, zone: engine-bay, rating: 80 A}
  switch: {kind: switch, zone: engine-bay, rating: 100 A, pole: positive}
  alternator: {kind: alternator, zone: engine-bay, rating: 90 A}
  lamp: {kind: load, zone: engine-bay, factory: true, supply: 2 A}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 400 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: cargo}
wires:
  tail: {from: battery.positive, to: fuse.line}
  front: {from: fuse.load, to: switch.line}
  rear: {from: switch.load, to: amp.power}
  charge: {from: alternator.output, to: battery.positive, factory: true}
  light: {from: battery.positive, to: lamp.power, factory: true}
  back: {from: amp.ground, to: stud}
"""
SWITCHES: dict[str, tuple[list[tuple[str, str]], list[str]]] = {
    "in the added branch": ([], []),
    "before the alternator": (
        [("to: battery.positive, factory: true}\n  light", "to: switch.load}\n  light")],
        ["alternator"],
    ),
    "before a lamp of the maker's": ([("light: {from: battery.positive", "light: {from: switch.load")], ["lamp"]),
    "in the battery's negative": (
        [
            (
                "tail:",
                "ground-a: {from: battery.negative, to: switch.line}\n  ground-b: {from: switch.load, to: stud}\n  tail:",
            ),
            ("pole: positive", "pole: negative"),
            ("to: switch.line}\n  rear: {from: switch.load, to: amp.power}", "to: amp.power}"),
        ],
        ["the whole vehicle"],
    ),
    "in the amplifier's own way back": (
        [
            (
                "back: {from: amp.ground, to: stud}",
                "b: {from: amp.ground, to: switch.line}\n  c: {from: switch.load, to: stud}",
            ),
            ("pole: positive", "pole: negative"),
            ("to: switch.line}\n  rear: {from: switch.load, to: amp.power}", "to: amp.power}"),
        ],
        [],
    ),
}


@pytest.mark.parametrize(("swaps", "parted"), SWITCHES.values(), ids=SWITCHES)
def test_what_a_switch_parts_from_the_battery(swaps: list[tuple[str, str]], parted: list[str]) -> None:
    """Load dump (ISO 7637-2, from memory): an alternator that loses its battery while the engine runs."""
    told = [f"open, switch parts {what} from the battery" for what in parted]
    assert messages(changed(SWITCHED, *swaps), "disconnect-cuts-factory-feed") == told


@pytest.mark.parametrize("order", list(itertools.permutations(("near-a", "near-b", "far"))))
def test_the_cable_between_parallel_fuses_needs_no_order(order: tuple[str, ...]) -> None:
    """Of two ways of cable, one of unknown length: the known one counts where it can only be the shorter, whatever the
    order of the file."""
    cables = {
        "near-a": "  near-a: {from: one.line, to: two.line, length: 20 cm}\n",
        "near-b": "  near-b: {from: one.load, to: two.load, length: 10 cm}\n",
        "far": "  far: {from: one.line, to: bar}\n",
    }
    text = POLES[: POLES.index("nodes:")] + (
        "nodes:\n  battery: {kind: battery}\n  one: {kind: fuse, rating: 40 A}\n  two: {kind: fuse, rating: 40 A}\n"
        "  bar: {kind: bus}\n  amp: {kind: amp, class: D, outputs: {sub: {power: 300 W, at: 2 ohm}}}\n"
        "  stud: {kind: ground-point}\nwires:\n  tail: {from: battery.positive, to: one.line}\n"
        + "".join(cables[name] for name in order)
        + "  feed: {from: one.load, to: amp.power}\n  back: {from: amp.ground, to: stud}\n"
    )
    text = text.replace("gauge: 4 AWG, length: 10 cm", "gauge: 4 AWG")
    assert messages(text, "parallel-fuses") == [
        "one and two stand side by side between the same two places, with no more than 20 cm of cable between them"
    ]
