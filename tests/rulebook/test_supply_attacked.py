"""Whole plans of other hands against the supply rules: split charging, 24 V, chargers, sensors, and edits of them."""

from __future__ import annotations

import pytest
from small_plans import changed, messages, outcome

# A split-charge system: an isolator joins a leisure battery to the vehicle's own.
SPLIT = """\
plan: 1
scope: electrical
vehicle:
  system: 12 V
  body: steel-unibody
  body_resistance: 2 mohm measured
  drive: combustion
  start_stop: false
  battery_sensor: none
  factory_draw: 40 A
  alternator: {rating: 150 A, at_idle: 80 A, control: fixed}
defaults: {wire: {material: copper, insulation: 105 C}, fuse: {family: strip, interrupts: 5 kA, voltage: 32 V}}
groups: {big: {gauge: 2 AWG}}
nodes:
  own: {kind: battery, role: main, moved: false, factory: true, chemistry: agm, capacity: 80 Ah}
  house: {kind: battery, role: added, chemistry: agm, capacity: 100 Ah, link: 40 A}
  f1: {kind: fuse, rating: 100 A}
  f2: {kind: fuse, rating: 100 A}
  f3: {kind: fuse, rating: 60 A}
  iso: {kind: isolator, rating: 140 A, control: voltage, drop: 0.1 V}
  amp: {kind: amp, class: D, lowest_voltage: 9 V, outputs: {sub: {power: 400 W, at: 2 ohm, lowest: 2 ohm}}}
  gp: {kind: ground-point, member: floor}
  gp2: {kind: ground-point, member: floor}
wires:
  a: {group: big, from: own.positive, to: f1.line, length: 20 cm}
  b: {group: big, from: f1.load, to: iso.line, length: 40 cm}
  c: {group: big, from: iso.load, to: f2.load, length: 4 m}
  d: {group: big, from: f2.line, to: house.positive, length: 20 cm}
  ig: {gauge: 16 AWG, from: gp2, to: iso.ground, length: 30 cm}
  e: {gauge: 6 AWG, from: house.positive, to: f3.line, length: 15 cm}
  f: {gauge: 6 AWG, from: f3.load, to: amp.power, length: 1 m}
  g: {gauge: 6 AWG, from: amp.ground, to: gp, length: 40 cm}
  h: {group: big, from: house.negative, to: gp, length: 40 cm}
"""

# The same with a relay for an isolator; the ignition closes it.
RELAY = changed(
    SPLIT,
    (
        "kind: isolator, rating: 140 A, control: voltage, drop: 0.1 V",
        "kind: relay, rating: 140 A, suppression: diode, coil: 0.2 A",
    ),
    ("to: iso.line", "to: iso.common"),
    ("from: iso.load", "from: iso.normally-open"),
    ("to: iso.ground", "to: iso.coil-negative"),
    (
        "wires:\n",
        "  key: {kind: control-source, circuit: ignition, limit: 1 A, factory: true}\n"
        "wires:\n  coil: {gauge: 16 AWG, from: key, to: iso.coil-positive, length: 1 m}\n",
    ),
)

# A start-stop vehicle; a charger fills a lithium battery that feeds the amplifier.
CHARGED = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, body_resistance: 1.5 mohm, drive: combustion, start_stop: true,
  lowest_in_crank: 7 V, battery_sensor: negative-post, factory_draw: 45 A, alternator: {rating: 180 A, control: variable}}
defaults: {wire: {material: copper, insulation: 105 C}, fuse: {family: strip, interrupts: 5 kA}}
nodes:
  own: {kind: battery, role: main, moved: false, chemistry: agm, capacity: 90 Ah}
  li: {kind: battery, role: added, chemistry: lifepo4, capacity: 100 Ah, charge_limit: 50 A}
  fa: {kind: fuse, rating: 60 A}
  fb: {kind: fuse, rating: 60 A}
  fc: {kind: fuse, rating: 100 A}
  dc: {kind: charger, input_limit: 45 A, output_limit: 40 A, bidirectional: false, isolates: true}
  iso: {kind: isolator, rating: 200 A, control: ignition}
  amp: {kind: amp, class: D, lowest_voltage: 9 V, holds_up: false, outputs: {sub: {power: 700 W, at: 2 ohm}}}
  rear: {kind: ground-point, member: floor}
wires:
  w1: {from: own.positive, to: fa.line, gauge: 6 AWG, length: 20 cm}
  w2: {from: fa.load, to: dc.input, gauge: 6 AWG, length: 3 m}
  w3: {from: dc.output, to: fb.line, gauge: 6 AWG, length: 50 cm}
  w4: {from: fb.load, to: li.positive, gauge: 6 AWG, length: 20 cm}
  w5: {from: dc.ground, to: rear, gauge: 6 AWG, length: 50 cm}
  w6: {from: li.negative, to: rear, gauge: 2 AWG, length: 30 cm}
  w7: {from: li.positive, to: fc.line, gauge: 4 AWG, length: 18 cm}
  w8: {from: fc.load, to: amp.power, gauge: 4 AWG, length: 1 m}
  w9: {from: amp.ground, to: rear, gauge: 4 AWG, length: 30 cm}
"""

# Cables that lead round the charger.
ROUND = (
    "wires:\n",
    "wires:\n  r1: {from: dc.input, to: iso.line, gauge: 6 AWG, length: 10 cm}\n"
    "  r2: {from: iso.load, to: dc.output, gauge: 6 AWG, length: 10 cm}\n",
)

# A lorry with two batteries in series; a converter feeds the amplifier.
LORRY = """\
plan: 1
scope: electrical
vehicle: {system: 24 V, body: steel-frame, body_resistance: 2 mohm, drive: combustion, start_stop: false}
defaults: {wire: {material: copper, insulation: 105 C}, fuse: {family: strip, interrupts: 5 kA}}
nodes:
  lower: {kind: battery, role: main, nominal: 12 V, chemistry: flooded, capacity: 180 Ah}
  upper: {kind: battery, role: main, nominal: 12 V, chemistry: flooded, capacity: 180 Ah}
  f: {kind: fuse, rating: 40 A}
  red: {kind: charger, input_limit: 25 A, output_limit: 40 A, output_voltage: 12 V, bidirectional: false,
    highest_voltage: 32 V}
  f12: {kind: fuse, rating: 40 A}
  amp: {kind: amp, class: D, highest_voltage: 16 V, outputs: {sub: {power: 300 W, at: 4 ohm, lowest: 2 ohm}}}
  cap: {kind: capacitor, capacitance: 1 F, voltage: 20 V}
  gp: {kind: ground-point, member: frame}
wires:
  mid: {from: lower.positive, to: upper.negative, gauge: 2/0 AWG, length: 30 cm, factory: true}
  s1: {from: upper.positive, to: f.line, gauge: 8 AWG, length: 20 cm}
  s2: {from: f.load, to: red.input, gauge: 8 AWG, length: 2 m}
  s3: {from: red.output, to: f12.line, gauge: 8 AWG, length: 20 cm}
  s4: {from: f12.load, to: amp.power, gauge: 8 AWG, length: 1 m}
  c1: {from: amp.power, to: cap.positive, gauge: 8 AWG, length: 20 cm}
  c2: {from: cap.negative, to: gp, gauge: 8 AWG, length: 20 cm}
  g1: {from: red.ground, to: gp, gauge: 8 AWG, length: 30 cm}
  g2: {from: amp.ground, to: gp, gauge: 8 AWG, length: 30 cm}
"""


def test_a_split_charge_relay_parts_two_batteries_while_the_ignition_closes_it() -> None:
    """A coil that is always live, or the resting side of the contacts, joins them for good."""
    rule = "second-battery-not-isolated"
    assert outcome(RELAY, rule) == []
    assert outcome(changed(RELAY, ("circuit: ignition", "circuit: constant")), rule) == ["warning house"]
    assert outcome(changed(RELAY, ("normally-open", "normally-closed")), rule) == ["warning house"]
    assert outcome(changed(RELAY, ("circuit: ignition, ", "")), rule) == ["? the kind of circuit (`circuit`) of key"]


def test_a_switch_opened_by_hand_parts_two_batteries_as_an_isolator_by_hand_does() -> None:
    """The hand is the same; a bar across the switch joins them for good."""
    text = changed(SPLIT, ("kind: isolator, rating: 140 A, control: voltage, ", "kind: switch, rating: 140 A, "))
    text = changed(text, ("  ig: {gauge: 16 AWG, from: gp2, to: iso.ground, length: 30 cm}\n", ""))
    bar = "wires:\n  bar: {group: big, from: iso.line, to: iso.load, length: 10 cm}\n"
    assert outcome(text, "second-battery-not-isolated") == []
    assert outcome(changed(text, ("wires:\n", bar)), "second-battery-not-isolated") == ["warning house"]


def test_an_alternator_without_a_control_of_its_voltage_suits_every_isolator() -> None:
    """That the engine computer varied it the plan has denied; said of a varied one it is."""
    rule = "isolator-unsuits-alternator"
    denied = changed(SPLIT, ("control: fixed", "control: {not_applicable: permanent magnets and a diode bridge}"))
    assert outcome(denied, rule) == []
    assert outcome(changed(SPLIT, ("control: fixed", "control: variable")), rule) == ["warning iso"]


def test_a_link_is_not_asked_for_on_behalf_of_a_converter_that_the_vehicle_has_not() -> None:
    """With an engine and an alternator there is no DC-DC converter to spare; an electric vehicle is asked."""
    text = changed(SPLIT, (", link: 40 A", ""))
    assert outcome(text, "dcdc-budget-short") == []
    assert outcome(changed(text, ("combustion", "electric")), "dcdc-budget-short") == [
        "? the planned current of the link (`link`) of house"
    ]


def test_a_negative_post_drawn_as_a_ground_point_is_the_post_with_the_sensor() -> None:
    """The current goes round the sensor all the same; a point at the added battery's post does not."""
    post = ("gp: {kind: ground-point, member: floor}", "gp: {kind: ground-point, member: battery-negative}")
    text = changed(SPLIT, ("battery_sensor: none", "battery_sensor: negative-post"))
    measured = (post[0], post[1].replace("negative}", "negative, resistance: 1 mohm, resistance_to: house}"))
    zones = ("nodes:\n", "zones: [{name: engine-bay}, {name: cargo}]\nnodes:\n")
    beside = (post[0], post[1].replace("negative}", "negative, zone: cargo}"))
    there = ("house: {kind: battery", "house: {zone: cargo, kind: battery")
    assert outcome(text, "battery-sensor-bypassed") == []
    assert outcome(changed(text, post), "battery-sensor-bypassed") == ["warning g", "warning h"]
    assert outcome(changed(text, measured), "battery-sensor-bypassed") == []
    assert outcome(changed(text, zones, there, beside), "battery-sensor-bypassed") == []


def test_an_isolator_round_the_charger_of_a_lithium_battery_is_found() -> None:
    """That a charger lies nearer limits nothing of what the isolator lets through."""
    assert outcome(CHARGED, "lithium-charge-unlimited") == []
    assert outcome(changed(CHARGED, ROUND), "lithium-charge-unlimited") == ["error li"]


def test_the_start_of_the_engine_does_not_reach_what_an_added_battery_behind_a_charger_feeds() -> None:
    """An isolator that the ignition closes lets the start through, and what the vehicle's own battery feeds sees it."""
    rule = "start-stop-dip-unhandled"
    assert outcome(CHARGED, rule) == []
    assert outcome(changed(CHARGED, ROUND), rule) == ["warning amp"]
    assert outcome(changed(CHARGED, ("w7: {from: li.positive", "w7: {from: own.positive")), rule) == ["warning amp"]


@pytest.mark.parametrize("nominal", ["nominal: 12 V, ", ""])
def test_two_batteries_in_series_give_the_sum_of_both(nominal: str) -> None:
    """That each of them says 12 V makes a system of 24 V, to 28.8 V while it is charged."""
    text = LORRY.replace("nominal: 12 V, ", nominal)
    assert outcome(text, "voltage-system-mismatch") == []
    assert messages(changed(text, ("highest_voltage: 32 V", "highest_voltage: 16 V")), "voltage-system-mismatch") == [
        "red bears 16 V, and what feeds it rises to 28.8 V while it is charged"
    ]


def test_a_capacitor_behind_a_converter_bears_what_the_converter_gives() -> None:
    """20 V are enough for 12 V; on the 24 V before the converter they are not."""
    before = ("c1: {from: amp.power", "c1: {from: f.load")
    assert outcome(LORRY, "capacitor-rating-wrong") == []
    assert outcome(changed(LORRY, before), "capacitor-rating-wrong") == ["error cap"]


# A second lithium battery beside the first.
BANK = (
    "wires:\n",
    "  fd: {kind: fuse, rating: 60 A}\n"
    "  li-2: {kind: battery, role: added, chemistry: lifepo4, capacity: 100 Ah, charge_limit: 50 A, link: 20 A}\n"
    "wires:\n  k1: {from: li.positive, to: fd.line, gauge: 6 AWG, length: 10 cm}\n"
    "  k2: {from: fd.load, to: li-2.positive, gauge: 6 AWG, length: 10 cm}\n"
    "  k3: {from: li-2.negative, to: rear, gauge: 2 AWG, length: 30 cm}\n",
)


def test_two_added_lithium_batteries_behind_one_charger_are_a_bank() -> None:
    """Beside a lead battery or the vehicle's own nothing limits what flows between them."""
    rule = "lithium-charge-unlimited"
    lead = (BANK[0], BANK[1].replace("lifepo4", "agm"))
    assert outcome(changed(CHARGED, BANK), rule) == []
    assert outcome(changed(CHARGED, lead), rule) == ["error li-2"]
    own = changed(SPLIT, ("factory: true, chemistry: agm", "factory: true, chemistry: lifepo4, charge_limit: 90 A"))
    assert outcome(changed(own, ("role: added, chemistry: agm", "role: added, chemistry: lifepo4")), rule) == [
        "error house"
    ]


def test_a_lithium_battery_without_a_bound_of_its_charge_cannot_be_checked() -> None:
    """Each has one: that it does not apply is no answer."""
    text = changed(CHARGED, ("charge_limit: 50 A", "charge_limit: {not_applicable: it takes all}"))
    assert outcome(text, "lithium-charge-unlimited") == ["? the charge limit of li"]
    assert outcome(changed(CHARGED, ("charge_limit: 50 A", "charge_limit: 30 A")), "lithium-charge-unlimited") == [
        "error li"
    ]


# A battery moved to the boot, a lamp on a circuit of the vehicle.
MOVED = """\
plan: 1
vehicle: {system: 12 V, body: steel-unibody, drive: combustion, factory_draw: 40 A, alternator: {rating: 70 A}}
customer: {engine_off: 30 min}
zones: [{name: front, kind: engine-bay}, {name: cabin}, {name: boot, kind: cargo}]
defaults: {wire: {material: copper, insulation: 105 C, gauge: 4 AWG, length: 20 cm}}
nodes:
  battery: {kind: battery, zone: boot, moved: true, chemistry: agm, capacity: 70 Ah, mass: 20 kg, enclosure: vent-tube,
    hold_down: steel frame, hold_down_strength: 5 kN, fuel: none-near}
  main: {kind: fuse, zone: boot, family: strip, rating: 80 A, interrupts: 5 kA}
  amp: {kind: amp, zone: boot, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  gp: {kind: ground-point, zone: boot, member: floor}
  lighter: {kind: factory-circuit, zone: cabin, fuse: 15 A, original_fuse: 15 A, draw: 5 A, fuse_place: cabin}
  lamp: {kind: load, zone: cabin, supply: 3 A}
wires:
  s1: {from: battery.positive, to: main.line}
  s2: {from: main.load, to: amp.power}
  g1: {from: amp.ground, to: gp}
  l1: {from: lighter, to: lamp.power}
  l2: {from: lamp.ground, to: gp}
"""

# Two alternators drawn, each with a cable to the battery.
PAIR = (
    ("nodes:\n", "nodes:\n  one: {kind: alternator, zone: front, factory: true}\n"),
    ("  gp: {", "  two: {kind: alternator, zone: front, rating: 80 A, at_idle: 30 A}\n  gp: {"),
    (
        "wires:\n",
        "wires:\n  c1: {from: one.output, to: battery.positive, factory: true}\n"
        "  c2: {from: two.output, to: battery.positive}\n",
    ),
)


def test_alternators_that_are_drawn_add_up() -> None:
    """70 A of the vehicle's own, which is drawn and says no more, and 80 A: 0.8 x 150 A; at idle 35 A and 30 A."""
    hungry = ("factory_draw: 40 A", "factory_draw: 92 A")
    assert outcome(changed(MOVED, hungry), "alternator-budget-short") == ["warning vehicle"]
    assert outcome(changed(MOVED, hungry, *PAIR), "alternator-budget-short") == []
    assert messages(changed(MOVED, hungry, *PAIR), "idle-output-short") == [
        "vehicle and music ask for 111 A on average, and at idle the alternator gives 65 A"
    ]


def test_a_circuit_on_which_nothing_hung_before_is_not_asked_for_its_draw() -> None:
    """Said not to apply it counts as 0 A; left out nobody knows."""
    rule, nothing = "power-from-factory-circuit", "draw: {not_applicable: a free slot}"
    assert outcome(changed(MOVED, ("draw: 5 A", nothing)), rule) == []
    assert outcome(changed(MOVED, ("draw: 5 A", nothing), ("supply: 3 A", "supply: 14 A")), rule) == ["warning lighter"]
    assert outcome(changed(MOVED, (" draw: 5 A,", "")), rule) == ["? the draw before the job (`draw`) of lighter"]


def test_who_never_listens_with_the_engine_off_is_not_asked_for_how_long() -> None:
    """Said not to apply there is nothing to ask, of the battery neither; left out there is."""
    rule, never = "engine-off-reserve-short", "engine_off: {not_applicable: never}"
    assert outcome(changed(MOVED, ("engine_off: 30 min", never), ("capacity: 70 Ah, ", "")), rule) == []
    assert outcome(changed(MOVED, ("engine_off: 30 min", "engine_off: 9 h")), rule) == ["note battery"]
    assert outcome(changed(MOVED, ("customer: {engine_off: 30 min}\n", "")), rule) == [
        "? the listening time with the engine off (`engine_off`) of the customer"
    ]


def test_a_hold_down_that_does_not_apply_is_none() -> None:
    """It bears 0 N; what a hold-down bears cannot fail to apply to it."""
    held, strength = "hold_down: steel frame", "hold_down_strength: 5 kN"
    text = changed(MOVED, (held, "hold_down: {not_applicable: it stands by itself}"), (f"{strength}, ", ""))
    assert messages(text, "battery-not-restrained") == [
        "the hold-down of battery bears 0 N; inside the vehicle it must bear 20 times the weight of 196 N"
    ]
    unsaid = changed(MOVED, (strength, "hold_down_strength: {not_applicable: steel}"))
    assert outcome(unsaid, "battery-not-restrained") == [
        "? the strength of the hold-down (`hold_down_strength`) of battery"
    ]


# A third battery behind the second, nearer to it than the vehicle's own is.
THIRD = (
    "wires:\n",
    "  f4: {kind: fuse, rating: 100 A}\n  f5: {kind: fuse, rating: 100 A}\n"
    "  third: {kind: battery, role: added, chemistry: gel, capacity: 100 Ah, link: 20 A}\n"
    "wires:\n  t1: {group: big, from: house.positive, to: f4.line, length: 15 cm}\n"
    "  t2: {group: big, from: f4.load, to: f5.line, length: 20 cm}\n"
    "  t3: {group: big, from: f5.load, to: third.positive, length: 15 cm}\n"
    "  t4: {group: big, from: third.negative, to: gp, length: 20 cm}\n",
)


def test_batteries_in_a_row_are_charged_from_the_vehicles_own_outward() -> None:
    """The second from the first, the third from the second: each fault is told of one of them alone."""
    text = changed(SPLIT, THIRD)
    assert outcome(text, "second-battery-not-isolated") == ["warning third"]
    assert messages(text, "battery-chemistry-mixed") == [
        "third is a battery of the kind gel and is charged by cable from house, which is AGM"
    ]
    lithium = changed(text, ("chemistry: gel", "chemistry: lifepo4"))
    assert outcome(lithium, "lithium-charge-unlimited") == ["error third"]


def test_the_alternator_gives_the_link_of_the_first_of_batteries_in_a_row() -> None:
    """40 A of the vehicle, 5 A of its battery and 80 A of the first link, which holds the second: 125 A of 120 A."""
    text = changed(SPLIT, THIRD, ("link: 40 A", "link: 80 A"))
    assert messages(text, "alternator-budget-short") == [
        "vehicle, music and charging ask for 125 A on average; the alternator gives 150 A hot, and 0.8 times that for long"
    ]


DENIED = "{not_applicable: no such thing}"


def test_a_vehicle_without_an_alternator_is_not_asked_what_it_gives() -> None:
    """Said not to apply there is no balance to draw; left out nobody knows."""
    for rule in ("alternator-budget-short", "idle-output-short"):
        assert outcome(changed(MOVED, ("rating: 70 A", f"rating: {DENIED}")), rule) == []
        assert outcome(changed(MOVED, ("rating: 70 A", "control: fixed")), rule) == [
            "? the rating of the vehicle's alternator"
        ]


def test_a_battery_sensor_that_does_not_apply_is_none() -> None:
    """A ground on the post is sound there; not stated nobody knows."""
    text = changed(SPLIT, ("house.negative, to: gp", "house.negative, to: own.negative"))
    rule = "battery-sensor-bypassed"
    assert outcome(changed(text, ("battery_sensor: none", f"battery_sensor: {DENIED}")), rule) == []
    assert outcome(changed(text, ("  battery_sensor: none\n", "")), rule) == ["? the battery sensor of the vehicle"]


def test_a_limit_of_the_maker_that_does_not_apply_bounds_nothing() -> None:
    """The charger takes 45 A; of an electric vehicle 30 A may be added unasked."""
    text, rule = changed(CHARGED, ("drive: combustion", "drive: electric")), "dcdc-budget-short"
    assert outcome(text, rule) == ["warning vehicle"]
    assert outcome(changed(text, ("drive: electric", "drive: electric, added_limit: 40 A")), rule) == [
        "warning vehicle"
    ]
    assert outcome(changed(text, ("drive: electric", f"drive: electric, added_limit: {DENIED}")), rule) == []


def test_an_isolator_without_any_control_does_not_follow_the_voltage() -> None:
    """Two diodes have nothing that closes; one of which nobody says what closes it is asked."""
    text, rule = changed(SPLIT, ("control: fixed", "control: variable")), "isolator-unsuits-alternator"
    assert outcome(changed(text, ("control: voltage", f"control: {DENIED}")), rule) == []
    assert outcome(changed(text, ("control: voltage, ", "")), rule) == ["? the kind of control (`control`) of iso"]
