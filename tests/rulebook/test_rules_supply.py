"""Rules about supply and charging on small plans. Limits without a source beside them are common practice of the trade."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome

# 500 W at 80 % and 13.8 V draw 45.3 A from the rear battery, which an isolator joins to the front one; a capacitor stands
# beside the amplifier, a fan hangs on a circuit of the vehicle, and the added alternator has a cable of its own.
SYSTEM = """\
plan: 1
title: A second battery, a stronger alternator, a capacitor and a fan
vehicle: {system: 12 V, body: steel-unibody, drive: combustion, factory_draw: 45 A, battery_sensor: negative-post}
zones: [{name: engine-bay}, {name: cab, kind: cabin}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}, fuse: {family: strip, cover: true}}
nodes:
  front: {kind: battery, zone: engine-bay, role: main, moved: false, chemistry: agm, terminal_cover: true}
  alternator: {kind: alternator, zone: engine-bay, rating: 150 A, control: fixed}
  alternator-fuse: {kind: fuse, zone: engine-bay, rating: 200 A}
  front-fuse: {kind: fuse, zone: engine-bay, rating: 100 A}
  isolator: {kind: isolator, zone: engine-bay, rating: 150 A, control: ignition, cover: true}
  rear-fuse: {kind: fuse, zone: cargo, rating: 100 A}
  rear: {kind: battery, zone: cargo, role: added, link: 54 A, chemistry: agm, mass: 20 kg, enclosure: vented-outside,
    hold_down: steel frame, hold_down_strength: 4 kN, terminal_cover: true, fuel: 400 mm}
  amp-fuse: {kind: fuse, zone: cargo, rating: 60 A}
  bar: {kind: bus, zone: cargo, cover: true}
  amp: {kind: amp, zone: cargo, class: D, highest_voltage: 16 V, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  capacitor: {kind: capacitor, zone: cargo, voltage: 20 V, precharge: charge-it}
  circuit: {kind: factory-circuit, zone: cab, fuse: 15 A, original_fuse: 15 A, draw: 8 A, fuse_place: cabin}
  fan: {kind: load, zone: cab, supply: 4 A}
  stud: {kind: ground-point, zone: cargo}
  cab-stud: {kind: ground-point, zone: cab}
  body-stud: {kind: ground-point, zone: engine-bay, factory: true, member: strut}
  block-bolt: {kind: ground-point, zone: engine-bay, factory: true, member: engine}
wires:
  charge: {from: alternator.output, to: alternator-fuse.load, gauge: 1/0 AWG, length: 1 m}
  charge-tail: {from: alternator-fuse.line, to: front.positive, gauge: 1/0 AWG, length: 15 cm}
  link-front: {from: front.positive, to: front-fuse.line, gauge: 4 AWG, length: 15 cm}
  link-near: {from: front-fuse.load, to: isolator.line, gauge: 4 AWG, length: 20 cm}
  link-far: {from: isolator.load, to: rear-fuse.load, gauge: 4 AWG, length: 5 m}
  link-rear: {from: rear-fuse.line, to: rear.positive, gauge: 4 AWG, length: 15 cm}
  amp-tail: {from: rear.positive, to: amp-fuse.line, gauge: 6 AWG, length: 15 cm}
  feed: {from: amp-fuse.load, to: bar, gauge: 6 AWG, length: 1 m}
  amp-feed: {from: bar, to: amp.power, gauge: 6 AWG, length: 25 cm}
  capacitor-feed: {from: bar, to: capacitor.positive, gauge: 6 AWG, length: 20 cm}
  fan-feed: {from: circuit, to: fan.power, gauge: 14 AWG, length: 1 m}
  amp-ground: {from: amp.ground, to: stud, gauge: 6 AWG, length: 30 cm}
  capacitor-ground: {from: capacitor.negative, to: stud, gauge: 6 AWG, length: 30 cm}
  rear-ground: {from: rear.negative, to: stud, gauge: 4 AWG, length: 30 cm}
  fan-ground: {from: fan.ground, to: cab-stud, gauge: 14 AWG, length: 30 cm}
  strap: {factory: true, material: copper, insulation: 105 C, from: front.negative, to: body-stud, gauge: 35 mm2,
    length: 40 cm}
  engine-strap: {factory: true, material: copper, from: block-bolt, to: body-stud, gauge: 35 mm2, length: 40 cm}
holes: none
mounts: none
tests: none
documents: none
steps:
  - {do: terminate, of: [amp, rear]}
  - {do: insert-fuse, of: front-fuse}
  - {do: other, name: charge-it, of: capacitor}
  - {do: insert-fuse, of: amp-fuse}
  - {do: first-power}
"""
RULES = (
    *("added-charge-cable-unfused", "added-lead-on-sensor-clamp", "alternator-budget-short", "aux-battery-unvented"),
    *("battery-body-strap-not-upgraded", "battery-chemistry-mixed", "battery-near-fuel", "battery-not-restrained"),
    *("battery-sensor-bypassed", "capacitor-far", "capacitor-not-precharged", "capacitor-rating-wrong"),
    *("charge-cable-undersized", "dcdc-budget-short", "factory-fuse-uprated", "isolator-unsuits-alternator"),
    *("lithium-charge-unlimited", "live-stud-uncovered", "power-from-factory-circuit", "second-battery-not-isolated"),
    "voltage-system-mismatch",
)
STEPS = SYSTEM[SYSTEM.index("steps:") :]
ENGINE_STRAP = (
    "  engine-strap: {factory: true, material: copper, from: block-bolt, to: body-stud, gauge: 35 mm2, length: 40 cm}\n"
)
FAN = "supply: 4 A"
LINK = "link: 54 A, chemistry: agm"
LITHIUM = (LINK, "link: 54 A, chemistry: lifepo4")
ELECTRICAL = ("vehicle:", "scope: electrical\nvehicle:")
BY_CHARGER = (
    ("isolator: {kind: isolator, zone: engine-bay, rating: 150 A, control: ignition, cover: true}",
     "isolator: {kind: charger, zone: engine-bay, input_limit: 45 A, output_limit: 40 A, bidirectional: false}"),
    ("to: isolator.line", "to: isolator.input"),
    ("from: isolator.load", "from: isolator.output"),
    ("  fan-ground:", "  charger-ground: {from: isolator.ground, to: body-stud, gauge: 8 AWG, length: 9 cm}\n  fan-ground:"),
)  # fmt: skip


@pytest.mark.parametrize("rule", RULES)
def test_a_sound_plan_breaks_no_rule_and_leaves_none_open(rule: str) -> None:
    """The plan of this module is sound, and states all that these rules ask."""
    assert outcome(SYSTEM, rule) == []


Case = tuple[str, list[tuple[str, str]], list[str]]
PLACES: dict[str, Case] = {
    "a lead battery in a box body": (
        "aux-battery-unvented",
        [("{name: cargo}", "{name: cargo, kind: box}"), (" enclosure: vented-outside,", " enclosure: none,")],
        ["error rear"],
    ),
    "an enclosure that is not stated": (
        "aux-battery-unvented",
        [(" enclosure: vented-outside,", "")],
        ["? the enclosure of rear"],
    ),
    "of two batteries one that says not what it is": (
        "aux-battery-unvented",
        [("role: added, ", ""), (" enclosure: vented-outside,", " enclosure: none,")],
        ["? the role of rear"],
    ),
    "the same, of its hold-down": ("battery-not-restrained", [("role: added, ", "")], ["? the role of rear"]),
    # 20 kg weigh 196.1 N: twenty times that is 3.92 kN inside, twice 392 N (33 CFR 183.420) under the bonnet.
    "a hold-down too weak inside": ("battery-not-restrained", [("strength: 4 kN", "strength: 3.9 kN")], ["error rear"]),
    "the same on an open bed": (
        "battery-not-restrained",
        [("strength: 4 kN", "strength: 3.9 kN"), ("{name: cargo}", "{name: cargo, kind: bed}")],
        [],
    ),
    "the same in a battery box on the frame": (
        "battery-not-restrained",
        [("strength: 4 kN", "strength: 3.9 kN"), ("{name: cargo}", "{name: cargo, kind: battery-box}")],
        [],
    ),
    "a battery box without a vent": (
        "aux-battery-unvented",
        [(" enclosure: vented-outside,", " enclosure: none,"), ("{name: cargo}", "{name: cargo, kind: battery-box}")],
        ["error rear"],
    ),
    "a hold-down too weak on an open bed": (
        "battery-not-restrained",
        [("strength: 4 kN", "strength: 390 N"), ("{name: cargo}", "{name: cargo, kind: bed}")],
        ["error rear"],
    ),
    # 33 CFR 183.420(d): metal fuel parts within 12 in are shielded; (e): not right above or below tank, filter or fitting.
    "right above the tank": ("battery-near-fuel", [("fuel: 400 mm", "fuel: 400 mm, fuel_side: above")], ["error rear"]),
    "beside a fuel line": ("battery-near-fuel", [("fuel: 400 mm", "fuel: 200 mm, fuel_side: beside")],
                           ["? whether rear is shielded from fuel"]),
    "beside a bare fuel line": (
        "battery-near-fuel",
        [("fuel: 400 mm", "fuel: 200 mm, fuel_side: beside, shielded_from_fuel: false")],
        ["error rear"],
    ),
    "beside a shielded fuel line": (
        "battery-near-fuel",
        [("fuel: 400 mm", "fuel: 200 mm, fuel_side: beside, shielded_from_fuel: true")],
        [],
    ),
    "below a fitting, shield or not": (
        "battery-near-fuel",
        [("fuel: 400 mm", "fuel: 200 mm, fuel_side: below, shielded_from_fuel: true")],
        ["error rear"],
    ),
    "nothing of the fuel system near": ("battery-near-fuel", [("fuel: 400 mm", "fuel: none-near")], []),
    "a distance that is not stated": (
        "battery-near-fuel",
        [(", fuel: 400 mm", "")],
        ["? the distance to the fuel system (`fuel`) of rear"],
    ),
    "the same where only the circuit is in question": ("battery-near-fuel", [(", fuel: 400 mm", ""), ELECTRICAL], []),
    # 33 CFR 183.445: live studs are covered.
    "a bare positive post": (
        "live-stud-uncovered",
        [("strength: 4 kN, terminal_cover: true", "strength: 4 kN, terminal_cover: false")],
        ["error rear"],
    ),
    "the maker's battery, uncovered": (
        "live-stud-uncovered",
        [("chemistry: agm, terminal_cover: true", "chemistry: agm, factory: true, terminal_cover: false")],
        ["error front"],
    ),
    "bare bolted fuses": (
        "live-stud-uncovered",
        [("fuse: {family: strip, cover: true}", "fuse: {family: strip, cover: false}")],
        ["error alternator-fuse"],
    ),
    "a plugged fuse has no stud": (
        "live-stud-uncovered",
        [("cargo, rating: 60 A}", "cargo, rating: 60 A, family: blade-maxi, cover: not stated}")],
        [],
    ),
    "covers that are not stated": (
        "live-stud-uncovered",
        [("amp-fuse: {kind: fuse, zone: cargo", "amp-fuse: {kind: fuse, cover: not stated, zone: cargo")],
        ["? the cover of amp-fuse"],
    ),
    "the same where only the circuit is in question, of covers": (
        "live-stud-uncovered",
        [("amp-fuse: {kind: fuse, zone: cargo", "amp-fuse: {kind: fuse, cover: not stated, zone: cargo"), ELECTRICAL],
        [],
    ),
    "a bare live bar": ("live-stud-uncovered", [("bus, zone: cargo, cover: true", "bus, zone: cargo, cover: false")],
                        ["error bar"]),
    "a bare bar on the ground side": (
        "live-stud-uncovered",
        [
            ("  stud:", "  star: {kind: bus, zone: cargo, cover: false}\n  stud:"),
            ("from: amp.ground, to: stud", "from: amp.ground, to: star"),
            ("  rear-ground:", "  star-ground: {from: star, to: stud, gauge: 4 AWG, length: 30 cm}\n  rear-ground:"),
        ],
        [],
    ),
}  # fmt: skip
SOURCES: dict[str, Case] = {
    # 54 A of the link and 4 A of the fan.
    "a hybrid whose maker was not asked": (
        "dcdc-budget-short",
        [("drive: combustion", "drive: hybrid")],
        ["warning vehicle"],
    ),
    "a hybrid whose maker allows it": (
        "dcdc-budget-short",
        [("drive: combustion", "drive: hybrid, added_limit: 60 A maker")],
        [],
    ),
    "a hybrid whose maker allows less": (
        "dcdc-budget-short",
        [("drive: combustion", "drive: electric, added_limit: 50 A maker")],
        ["warning vehicle"],
    ),
    "an electric vehicle has no alternator to speak of": (
        "alternator-budget-short",
        [
            ("drive: combustion, factory_draw: 45 A", "drive: electric"),
            ("rating: 150 A, control: fixed", "factory: true"),
        ],
        [],
    ),
    "the same, at idle": (
        "idle-output-short",
        [
            ("drive: combustion, factory_draw: 45 A", "drive: electric"),
            ("rating: 150 A, control: fixed", "factory: true"),
        ],
        [],
    ),
    "a combustion engine's alternator that nobody looked up": (
        "alternator-budget-short",
        [("rating: 150 A, control: fixed", "control: fixed")],
        ["? the rating of the vehicle's alternator"],
    ),
    "a drive that is not stated": ("dcdc-budget-short", [("drive: combustion, ", "")], ["? the drive of the vehicle"]),
    "the fan and what was there on a circuit in the cabin": (
        "power-from-factory-circuit",
        [(FAN, "supply: 4.5 A")],
        ["warning circuit"],
    ),
    "more than the fuse": ("power-from-factory-circuit", [(FAN, "supply: 7.5 A")], ["error circuit"]),
    # 12 A are 80 % of 15 A, and more than the 9 A (60 %) of a fuse box in the heat.
    "a fuse box in the engine bay": (
        "power-from-factory-circuit",
        [("fuse_place: cabin", "fuse_place: engine-bay")],
        ["warning circuit"],
    ),
    "a place that is not stated": (
        "power-from-factory-circuit",
        [(", fuse_place: cabin", "")],
        ["? the place of the fuse box (`fuse_place`) of circuit"],
    ),
    "a draw that is not stated": (
        "power-from-factory-circuit",
        [(", draw: 8 A", "")],
        ["? the draw before the job (`draw`) of circuit"],
    ),
    "a larger fuse does not help": (
        "power-from-factory-circuit",
        [("fuse: 15 A, original", "fuse: 30 A, original"), (FAN, "supply: 9 A")],
        ["error circuit"],
    ),
    "a larger fuse": ("factory-fuse-uprated", [("fuse: 15 A, original", "fuse: 20 A, original")], ["error circuit"]),
    "a smaller fuse": ("factory-fuse-uprated", [("fuse: 15 A, original", "fuse: 10 A, original")], []),
    "a fuse of the maker's that nobody looked up": (
        "factory-fuse-uprated",
        [(", original_fuse: 15 A", "")],
        ["? the original fuse of circuit"],
    ),
    "a device for 24 V": (
        "voltage-system-mismatch",
        [("highest_voltage: 16 V", "lowest_voltage: 20 V, highest_voltage: 32 V")],
        ["error amp"],
    ),
    # 14.4 V is the supply voltage of ANSI/CTA-2006.
    "a device that charging destroys": (
        "voltage-system-mismatch",
        [("highest_voltage: 16 V", "highest_voltage: 14 V")],
        ["error amp"],
    ),
    "devices in a vehicle of 24 V": (
        "voltage-system-mismatch",
        [("system: 12 V", "system: 24 V")],
        ["error amp", "? the highest voltage of fan"],
    ),
    # The vehicle takes 45 A, the link 54 A and the fan 4 A. 33 CFR 183.425 Table 5 has 80 A for 8 AWG and 120 A for 6 AWG
    # at 105 C, in an engine space 0.85 times that: 10 mm2 lies between.
    "a strap too thin for both": (
        "battery-body-strap-not-upgraded",
        [("front.negative, to: body-stud, gauge: 35 mm2", "front.negative, to: body-stud, gauge: 10 mm2")],
        ["warning vehicle"],
    ),
    "a second strap beside it": (
        "battery-body-strap-not-upgraded",
        [
            ("front.negative, to: body-stud, gauge: 35 mm2", "front.negative, to: body-stud, gauge: 10 mm2"),
            ("  strap:", "  doubled: {from: front.negative, to: body-stud, gauge: 10 mm2, length: 40 cm}\n  strap:"),
        ],
        [],
    ),
    "no strap drawn for 58 A": (
        "battery-body-strap-not-upgraded",
        [(ENGINE_STRAP, "")],
        [],
    ),
    "no strap drawn for 61 A": (
        "battery-body-strap-not-upgraded",
        [
            (ENGINE_STRAP, ""),
            ("link: 54 A", "link: 57 A"),
        ],
        ["warning vehicle"],
    ),
    "a strap of unknown size": (
        "battery-body-strap-not-upgraded",
        [("front.negative, to: body-stud, gauge: 35 mm2", "front.negative, to: body-stud")],
        ["? the gauge of strap"],
    ),
}
CHARGING: dict[str, Case] = {
    "a lithium battery behind an isolator": ("lithium-charge-unlimited", [LITHIUM], ["error rear"]),
    "a lead battery on a cable from a lithium one": (
        "lithium-charge-unlimited",
        [("moved: false, chemistry: agm", "moved: false, chemistry: lifepo4, charge_limit: 150 A")],
        ["error rear"],
    ),
    "a chemistry that is not stated": (
        "lithium-charge-unlimited",
        [(LINK, "link: 54 A")],
        ["? the chemistry of rear"],
    ),
    "a lithium battery behind a charger it bears": (
        "lithium-charge-unlimited",
        [("link: 54 A, chemistry: agm", "chemistry: lifepo4, charge_limit: 40 A"), *BY_CHARGER],
        [],
    ),
    "a lithium battery behind too strong a charger": (
        "lithium-charge-unlimited",
        [("link: 54 A, chemistry: agm", "chemistry: lifepo4, charge_limit: 39 A"), *BY_CHARGER],
        ["error rear"],
    ),
    "a lithium battery whose limit is not stated": (
        "lithium-charge-unlimited",
        [("link: 54 A, chemistry: agm", "chemistry: lifepo4"), *BY_CHARGER],
        ["? the charge limit of rear"],
    ),
    "a lead battery behind a charger": (
        "lithium-charge-unlimited",
        [("link: 54 A, chemistry: agm", "chemistry: agm"), *BY_CHARGER],
        [],
    ),
    "two joined batteries, one without a role": (
        "second-battery-not-isolated",
        [("role: added, link: 54 A", "link: not stated"), ("isolator: {kind: isolator", "isolator: {kind: switch"),
         (" rating: 150 A, control: ignition, cover: true}", " rating: 150 A, cover: true}")],
        ["? the role of rear"],
    ),
    "an isolator that the voltage closes": ("isolator-unsuits-alternator", [("control: ignition", "control: voltage")], []),
    "the same at an alternator of varied voltage": (
        "isolator-unsuits-alternator",
        [("control: ignition", "control: voltage"), ("control: fixed", "control: variable")],
        ["warning isolator"],
    ),
    "the ignition closes it there": ("isolator-unsuits-alternator", [("control: fixed", "control: variable")], []),
    "an alternator of which nobody knows": (
        "isolator-unsuits-alternator",
        [("control: ignition", "control: voltage"), (", control: fixed", "")],
        ["? the kind of control (`control`) of the vehicle's alternator"],
    ),
    "a charge cable without a fuse": (
        "added-charge-cable-unfused",
        [("to: alternator-fuse.load, gauge", "to: front.positive, gauge")],
        ["warning charge"],
    ),
    "the maker's own charge cable": (
        "added-charge-cable-unfused",
        [
            ("charge: {from: alternator.output, to: alternator-fuse.load",
             "charge: {factory: true, from: alternator.output, to: front.positive"),
        ],
        [],
    ),
    # 33 CFR 183.425 Table 5: 4 AWG bears 160 A at 30 C and 136 A in an engine space; with 10 AWG (51 A) beside it 187 A.
    "a cable too thin for the alternator": (
        "charge-cable-undersized",
        [("alternator-fuse.load, gauge: 1/0 AWG", "alternator-fuse.load, gauge: 4 AWG")],
        ["warning alternator"],
    ),
    "a thin cable beside the maker's": (
        "charge-cable-undersized",
        [
            ("alternator-fuse.load, gauge: 1/0 AWG", "alternator-fuse.load, gauge: 4 AWG"),
            ("  charge-tail:", "  old: {factory: true, from: alternator.output, to: front.positive, gauge: 10 AWG, "
             "length: 1 m}\n  charge-tail:"),
        ],
        [],
    ),
    "a lug under the sensor": (
        "added-lead-on-sensor-clamp",
        [("rear-ground: {", "rear-ground: {under_sensor_clamp: true, ")],
        ["warning rear-ground"],
    ),
    "a lead at the post with the sensor": (
        "added-lead-on-sensor-clamp",
        [("from: rear.negative, to: stud", "from: rear.negative, to: front.negative")],
        ["? the place of the lugs (`under_sensor_clamp`) of rear-ground"],
    ),
    "the same where nobody knows of a sensor": (
        "added-lead-on-sensor-clamp",
        [
            ("from: rear.negative, to: stud", "from: rear.negative, to: front.negative"),
            (", battery_sensor: negative-post", ""),
            ("rear-ground: {", "rear-ground: {under_sensor_clamp: false, "),
        ],
        [],
    ),
    "no step charges the capacitor": ("capacitor-not-precharged", [(", precharge: charge-it", "")], ["warning capacitor"]),
    "the capacitor is charged when the fuse is in": (
        "capacitor-not-precharged",
        [("name: charge-it, of: capacitor", "name: test-it, of: capacitor"),
         ("  - {do: first-power}", "  - {do: other, name: charge-it}\n  - {do: first-power}")],
        ["warning capacitor"],
    ),
    "a capacitor that charges itself slowly": (
        "capacitor-not-precharged",
        [("precharge: charge-it", "precharge: {not_applicable: has a resistor of its own}")],
        [],
    ),
    "a plan without steps": (
        "capacitor-not-precharged",
        [(STEPS, ""), (", precharge: charge-it", "")],
        ["? the steps of the plan"],
    ),
    "a repair that never empties it": (
        "capacitor-not-precharged",
        [("vehicle:", "task: repair\nvehicle:")],
        ["warning capacitor"],
    ),
    "a repair that empties it": (
        "capacitor-not-precharged",
        [("vehicle:", "task: repair\nvehicle:"), ("steps:\n", "steps:\n  - {do: isolate-other, of: capacitor}\n")],
        [],
    ),
    "a capacitor for 15 V": ("capacitor-rating-wrong", [("voltage: 20 V", "voltage: 15 V")], ["error capacitor"]),
    "a capacitor for 16 V": ("capacitor-rating-wrong", [("voltage: 20 V", "voltage: 16 V")], []),
    "a capacitor for 20 V in a vehicle of 24 V": (
        "capacitor-rating-wrong",
        [("system: 12 V", "system: 24 V")],
        ["error capacitor"],
    ),
    "a capacitor of unknown voltage": (
        "capacitor-rating-wrong",
        [("voltage: 20 V, ", "")],
        ["? the voltage of capacitor"],
    ),
    # 25 cm of the amplifier's cable and 21 cm of its own: 46 cm.
    "a capacitor just too far": (
        "capacitor-far",
        [("capacitor.positive, gauge: 6 AWG, length: 20 cm", "capacitor.positive, gauge: 6 AWG, length: 21 cm")],
        ["note capacitor"],
    ),
    "a capacitor on cable of unknown length": (
        "capacitor-far",
        [("capacitor.positive, gauge: 6 AWG, length: 20 cm", "capacitor.positive, gauge: 6 AWG")],
        ["? the length of capacitor-feed"],
    ),
}  # fmt: skip
CASES = PLACES | SOURCES | CHARGING


@pytest.mark.parametrize(("rule", "swaps", "expected"), CASES.values(), ids=CASES)
def test_a_changed_plan_gets_what_it_deserves(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One change of the sound plan, and what the rule says of it."""
    assert outcome(changed(SYSTEM, *swaps), rule) == expected


def test_what_is_told_has_the_numbers() -> None:
    """20 kg x 9.80665 m/s2 = 196 N; 8 A + 7.5 A = 15.5 A; 12 V x 14.4 / 12 = 14.4 V."""
    weak = changed(SYSTEM, ("strength: 4 kN", "strength: 2 kN"))
    assert messages(weak, "battery-not-restrained") == [
        "the hold-down of rear bears 2 kN; inside the vehicle it must bear 20 times the weight of 0.196 kN"
    ]
    assert messages(changed(SYSTEM, (FAN, "supply: 7.5 A")), "power-from-factory-circuit") == [
        "15.5 A flows through circuit with what the job adds; its fuse is of 15 A"
    ]
    low = changed(SYSTEM, ("highest_voltage: 16 V", "highest_voltage: 14 V"))
    assert messages(low, "voltage-system-mismatch") == [
        "amp bears 14 V, and what feeds it rises to 14.4 V while it is charged"
    ]


# The name of what is assumed, one change of the plan, and the value at which a rule turns, by hand: the lowest voltage of
# the amplifier; (45 + 4 + 0.35 x 45.3) / 150; (75 - 45 - 4) / 45.3.
ASSUMED = {
    "crank_minimum": (
        [("highest_voltage: 16 V", "lowest_voltage: 5.5 V, holds_up: false"), ("drive:", "start_stop: true, drive:")],
        5.5,
    ),
    "alternator_idle_share": ([], (45 + 4 + 0.35 * 500 / 11.04) / 150),
    "music_share": ([], (75 - 45 - 4) / (500 / 11.04)),
}


@pytest.mark.parametrize(("name", "swaps", "turns"), [(name, *rest) for name, rest in ASSUMED.items()], ids=ASSUMED)
def test_what_stands_in_for_a_field_is_told_with_where_it_decides(
    name: str, swaps: list[tuple[str, str]], turns: float
) -> None:
    """Crank voltage, output at idle and share of music are listed where the plan does not state them."""
    found = {one.name: one for one in judged(changed(SYSTEM, *swaps)).assumed}
    assert found[name].turns_at == pytest.approx(turns, rel=2e-3)


def test_a_bare_block_is_told_once() -> None:
    """Blocks have a rule of their own: no other speaks of their studs."""
    block = ("bar: {kind: bus, zone: cargo, cover: true}", "bar: {kind: distribution, zone: cargo, cover: false}")
    text = changed(
        SYSTEM, block, ("to: bar, gauge", "to: bar.in, gauge"), ("from: bar, to: amp", "from: bar.out-1, to: amp"),
        ("from: bar, to: cap", "from: bar.out-2, to: cap"),
    )  # fmt: skip
    assert outcome(text, "block-uncovered") == ["error bar"]
    assert outcome(text, "live-stud-uncovered") == []


def test_swapped_poles_of_a_capacitor_are_told_by_what_its_wires_join() -> None:
    """Both of its wires then join the supply with the ground."""
    poles = ("from: capacitor.negative, to: stud", "from: capacitor.positive, to: stud")
    text = changed(SYSTEM, ("to: capacitor.positive", "to: capacitor.negative"), poles)
    assert outcome(text, "wire-function-conflict") == ["error capacitor-feed", "error capacitor-ground"]
    assert outcome(text, "capacitor-rating-wrong") == []


def test_a_cable_between_alternator_and_battery_without_a_fuse_is_told_once() -> None:
    """It has no fuse, and that it is a charge cable stands below."""
    text = changed(SYSTEM, ("to: alternator-fuse.load, gauge", "to: front.positive, gauge"))
    told = [one.rule for one in judged(text).findings if one.subject == "charge"]
    assert told == ["source-wire-unfused"]
