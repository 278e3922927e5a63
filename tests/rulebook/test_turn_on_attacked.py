"""Turn-on and signal rules on whole small plans as people write them. Limits without a source are common practice."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome

# A camper: the key or the radio closes a relay by diodes, and its contact turns the amplifier on from a small fuse.
EITHER = """\
plan: 1
title: Two ways to wake the amplifier of a camper
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, key_off_draw: 12 mA, start_stop: true, lowest_in_crank: 7 V}
zones: [{name: engine-bay}, {name: cab, kind: cabin}, {name: living, kind: cargo}]
defaults:
  wire: {material: copper, insulation: 105 C, gauge: 18 AWG, length: 30 cm}
nodes:
  starter: {kind: battery, zone: engine-bay, capacity: 95 Ah}
  f1: {kind: fuse, zone: engine-bay, family: anl-mini, rating: 60 A, voltage: 32 V, interrupts: 5 kA}
  f2: {kind: fuse, zone: cab, family: blade, rating: 5 A, voltage: 32 V, interrupts: 1 kA}
  key: {kind: control-source, zone: cab, circuit: accessory, in_crank: false, limit: 1 A}
  remote: {kind: control-source, zone: cab, circuit: radio-remote, in_crank: false, limit: 300 mA, hold_time: 5 min}
  d1: {kind: diode, zone: cab, drop: 0.7 V}
  d2: {kind: diode, zone: cab, drop: 0.7 V}
  joint: {kind: splice, zone: cab}
  k: {kind: relay, zone: living, rating: 60 A, coil: 140 mA, suppression: diode}
  amp: {kind: amp, zone: living, class: D, fuses: [40 A], turn_on_draw: 25 mA, standby: 1 mA, idle: 0.8 A, sense: none,
    holds_up: true, outputs: {b: {power: 300 W, at: 4 ohm}}}
  stud: {kind: ground-point, zone: living}
wires:
  w1: {from: starter.positive, to: f1.line, gauge: 4 AWG, length: 15 cm}
  w2: {from: f1.load, to: amp.power, gauge: 4 AWG, length: 4 m}
  w3: {from: amp.ground, to: stud, gauge: 4 AWG}
  o1: {from: key, to: d1.line}
  o2: {from: remote, to: d2.line}
  o3: {from: d1.load, to: joint}
  o4: {from: d2.load, to: joint}
  o5: {from: joint, to: k.coil-positive, length: 4 m}
  o6: {from: k.coil-negative, to: stud}
  s1: {from: f1.load, to: f2.line, gauge: 16 AWG, length: 10 cm}
  s2: {from: f2.load, to: k.common, gauge: 16 AWG, length: 3 m}
  s3: {from: k.normally-open, to: amp.turn-on}
"""
CONSTANT = ("circuit: accessory", "circuit: constant")
HOLDS_ITSELF = ("  o6:", "  o7: {from: k.normally-open, to: k.coil-positive}\n  o6:")
# The relay switches the supply of the amplifier, whose turn-on terminal is bridged to what is always live.
SUPPLY_SWITCHED = [
    ("w2: {from: f1.load, to: amp.power", "w2: {from: f1.load, to: k.common"),
    (
        "s2: {from: f2.load, to: k.common, gauge: 16 AWG, length: 3 m}",
        "s2: {from: f2.load, to: amp.turn-on, length: 3 m}",
    ),
    ("s3: {from: k.normally-open, to: amp.turn-on}", "s3: {from: k.normally-open, to: amp.power, gauge: 4 AWG}"),
]
# The coil hangs on what is always live, and a hand switch grounds it.
GROUND_SWITCH = [
    ("o5: {from: joint", "o5: {from: f2.load"),
    (
        "o6: {from: k.coil-negative, to: stud}",
        "o6: {from: k.coil-negative, to: sw.line}\n  o7: {from: sw.load, to: stud}",
    ),
    ("  joint:", "  sw: {kind: switch, zone: cab, rating: 5 A, hold_time: 3 h}\n  joint:"),
]
FAN = [
    ("  stud:", "  fan: {kind: load, zone: living, type: motor, supply: 9.5 A, surge: true}\n  stud:"),
    (
        "  s3:",
        "  s4: {from: k.normally-closed, to: fan.power, gauge: 12 AWG}\n  s5: {from: fan.ground, to: stud}\n  s3:",
    ),
]
CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    "sound": ("turn-on-permanent", [], []),
    "a key made constant keeps on what its relay turns on": ("turn-on-permanent", [CONSTANT], ["warning key"]),
    "a relay that holds itself": ("turn-on-permanent", [HOLDS_ITSELF], ["warning starter"]),
    "a device whose supply a relay cuts is off": ("turn-on-permanent", SUPPLY_SWITCHED, []),
    "a coil grounded by a switch": ("turn-off-never", GROUND_SWITCH, ["warning sw"]),
    "a coil grounded by a timer": ("turn-off-never", [*GROUND_SWITCH, ("3 h", "4 min")], []),
    "an amplifier behind a relay that holds up": ("turn-on-drops-in-crank", [], []),
    "one that does not": (
        "turn-on-drops-in-crank",
        [("holds_up: true", "holds_up: false")],
        ["note key", "note remote"],
    ),
    "one that another circuit keeps on": (
        "turn-on-drops-in-crank",
        [("holds_up: true", "holds_up: false"), ("radio-remote, in_crank: false", "radio-remote, in_crank: true")],
        [],
    ),
    "one whose supply the relay drops": ("turn-on-drops-in-crank", SUPPLY_SWITCHED, ["note key", "note remote"]),
    "a relay without a coil": ("turn-on-overloaded", [("140 mA", "{not_applicable: solid state}")], []),
    "what hangs on the resting side is fed": ("node-unconnected", FAN, []),
    "what the resting side carries": (
        "relay-contact-overloaded",
        [*FAN, ("rating: 60 A, coil", "rating: 11 A, coil")],
        ["error k"],
    ),
    "and its surge": ("relay-contact-overloaded", [*FAN, ("rating: 60 A, coil", "rating: 18 A, coil")], ["error k"]),
    "twice its current and more": (
        "relay-contact-overloaded",
        [*FAN, ("rating: 60 A, coil", "rating: 20 A, coil")],
        [],
    ),
    "contacts rated for cooler air": (
        "relay-contact-overloaded",
        [*FAN, ("rating: 60 A, coil", "rating: 19 A, rated_at: 23 C, coil")],
        ["error k"],
    ),
    "contacts rated for hotter air": (
        "relay-contact-overloaded",
        [*FAN, ("rating: 60 A, coil", "rating: 19 A, rated_at: 85 C, coil")],
        [],
    ),
    "what stays on beside the parked vehicle must be known": (
        "key-off-draw-high",
        FAN,
        ["? the standby current (`standby`) of fan"],
    ),
}


@pytest.mark.parametrize(("rule", "swaps", "expected"), CASES.values(), ids=CASES)
def test_a_camper_gets_what_it_deserves(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One change of a sound camper, and what the rule says of it."""
    assert outcome(changed(EITHER, *swaps), rule) == expected


@pytest.mark.parametrize("fault", [CONSTANT, HOLDS_ITSELF], ids=["constant", "holds itself"])
def test_what_stays_on_draws_as_it_idles_and_is_told_once(fault: tuple[str, str]) -> None:
    """The coil's 140 mA and the amplifier's 0.8 A, not its 1 mA of standby; both findings have one cause."""
    text = changed(EITHER, fault)
    assert messages(text, "key-off-draw-high") == ["what the plan adds draws 0.94 A while all is off; at most 10 mA"]
    (told,) = (one for one in judged(text).findings if one.rule in ("turn-on-permanent", "key-off-draw-high"))
    assert told.rule == "turn-on-permanent"
    assert "turns on amp and k " in told.message


def test_a_weak_relay_before_a_shared_fuse_is_told_once() -> None:
    """27 A on contacts for 15 A: that the fuse of 60 A does not suit the contacts has the same cause."""
    result = judged(changed(EITHER, *SUPPLY_SWITCHED, ("rating: 60 A, coil", "rating: 15 A, coil")))
    assert [one.rule for one in result.findings if one.rule.startswith("relay-")] == ["relay-contact-overloaded"]
    assert "relay-feed-unfused" in [
        one.rule for told in result.findings for one in told.consequences if told.rule == "relay-contact-overloaded"
    ]


# A converter on two speaker outputs feeds an amplifier of two channels and one for bass.
TAPPED = """\
plan: 1
title: Two amplifiers from the rear speaker wires
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, factory_amp: none}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
defaults:
  wire: {material: copper, insulation: 105 C, gauge: 18 AWG, length: 50 cm}
  tap: {zone: cabin, place: speaker, method: crimp, factory_speaker: kept, polarity_test: true}
  amp: {zone: cargo, sense: none, input_balanced: false}
nodes:
  battery: {kind: battery, zone: engine-bay, capacity: 70 Ah}
  main: {kind: fuse, zone: engine-bay, family: anl-mini, rating: 80 A}
  block: {kind: distribution, zone: cargo, outputs: {out-1: {fuse: 40 A}, out-2: {fuse: 40 A}, out-3: {fuse: 2 A}}}
  radio: {kind: radio, zone: cabin, outputs: {speaker: {type: speaker-bridged, highest: 6.5 V, dc: 6 V}}}
  tap-l: {kind: tap}
  tap-r: {kind: tap}
  loc: {kind: converter, zone: cargo, type: active, supply: 0.2 A, input_balanced: true, output_highest: 4 V, sense: dc}
  pair: {kind: amp, class: AB, outputs: {ab: {power: 60 W, at: 4 ohm, channels: 2}}}
  bass: {kind: amp, class: D, outputs: {sub: {power: 250 W, at: 4 ohm}}}
  stud: {kind: ground-point, zone: cargo}
  dash: {kind: ground-point, zone: cabin}
wires:
  p1: {from: battery.positive, to: main.line, gauge: 4 AWG, length: 20 cm}
  p2: {from: main.load, to: block.in, gauge: 4 AWG, length: 4.8 m}
  p3: {from: block.out-1, to: pair.power, gauge: 8 AWG, length: 40 cm}
  p4: {from: block.out-2, to: bass.power, gauge: 8 AWG, length: 40 cm}
  p5: {from: block.out-3, to: loc.power}
  m1: {from: pair.ground, to: stud, gauge: 8 AWG, length: 30 cm}
  m2: {from: bass.ground, to: stud, gauge: 8 AWG, length: 30 cm}
  m3: {from: loc.ground, to: stud, length: 30 cm}
  t1: {from: radio.speaker-rl-positive, to: tap-l.positive, factory: true}
  t2: {from: radio.speaker-rl-negative, to: tap-l.negative, factory: true}
  t3: {from: radio.speaker-rr-positive, to: tap-r.positive, factory: true}
  t4: {from: radio.speaker-rr-negative, to: tap-r.negative, factory: true}
  i1: {from: tap-l.out-positive, to: loc.input-l-positive}
  i2: {from: tap-l.out-negative, to: loc.input-l-negative}
  i3: {from: tap-r.out-positive, to: loc.input-r-positive}
  i4: {from: tap-r.out-negative, to: loc.input-r-negative}
  o1: {from: loc.output-l, to: pair.input-ab-l}
  o2: {from: loc.output-r, to: pair.input-ab-r}
  o3: {from: loc.output-l, to: bass.input-sub-l}
  o4: {from: loc.output-r, to: bass.input-sub-r}
  r1: {from: loc.turn-on-out, to: pair.turn-on}
  r2: {from: loc.turn-on-out, to: bass.turn-on}
"""
PASSIVE = [
    ("type: active, supply: 0.2 A, ", "type: passive, "),
    ("  p5: {from: block.out-3, to: loc.power}\n", ""),
    ("  m3: {from: loc.ground, to: stud, length: 30 cm}\n", ""),
]


def test_a_passive_converter_needs_no_supply_and_turns_nothing_on() -> None:
    """Transformers have no supply, and so no voltage for the amplifiers' turn-on terminals."""
    text = changed(TAPPED, *PASSIVE)
    assert "warning loc" not in outcome(text, "node-unconnected")
    assert outcome(text, "turn-on-missing") == ["warning bass", "warning pair"]


def test_four_signals_between_two_ground_points_have_one_cause() -> None:
    """The converter grounded elsewhere: one finding, in which the other three signals stand beside the first."""
    text = changed(TAPPED, ("m3: {from: loc.ground, to: stud", "m3: {from: loc.ground, to: dash"))
    assert outcome(text, "ground-potential-split") == ["warning o1"]


@pytest.mark.parametrize("factory", [True, False])
def test_joined_negatives_are_told_at_an_added_wire(*, factory: bool) -> None:
    """Negatives of two bridged channels joined at one input: no ground is there, and the maker's wires are as they were."""
    text = changed(TAPPED, ("to: loc.input-r-negative", "to: loc.input-l-negative"))
    text = text if factory else text.replace(", factory: true", "")
    wire = "i4" if factory else "t4"
    assert messages(text, "speaker-minus-grounded") == [
        f"{wire} ties speaker-rr-negative of radio, of which both wires are live, to speaker-rl-negative of radio"
    ]


def test_a_line_output_has_no_steady_voltage_to_wake_by() -> None:
    """An amplifier that waits for a steady voltage at the converter's line output never wakes."""
    text = changed(
        TAPPED,
        ("bass: {kind: amp, class: D,", "bass: {kind: amp, class: D, sense: dc, hold_time: 30 s,"),
        ("  r2: {from: loc.turn-on-out, to: bass.turn-on}\n", ""),
    )
    assert outcome(text, "turn-on-sense-unreliable") == ["note bass"]


def test_a_speaker_output_of_which_nothing_is_said_is_no_pass() -> None:
    """Whether a converter that waits for a steady voltage wakes stays open where nobody states that voltage."""
    text = changed(TAPPED, (", outputs: {speaker: {type: speaker-bridged, highest: 6.5 V, dc: 6 V}}", ""))
    assert outcome(text, "turn-on-sense-unreliable") == ["? the steady voltage (`dc`) of speaker-rl of radio"]


NOT_APPLICABLE = {
    "tap-polarity-unverified": ("polarity_test: true", "polarity_test: {not_applicable: a plug adapter}"),
    "turn-on-sense-unreliable": ("dc: 6 V", "dc: {not_applicable: a transformer}"),
    "eq-roll-off-unhandled": ("dc: 6 V", "volume_dependent: {not_applicable: a fixed output}"),
}


@pytest.mark.parametrize(("rule", "swap"), NOT_APPLICABLE.items(), ids=NOT_APPLICABLE)
def test_what_the_plan_says_does_not_apply_is_not_asked_for(rule: str, swap: tuple[str, str]) -> None:
    """A field that is said not to apply, with a reason, is neither missing nor broken."""
    bass = ("sub: {power: 250 W", "sub: {band: bass, power: 250 W")
    assert outcome(changed(TAPPED, swap, bass), rule) == []


def test_a_start_that_does_not_concern_a_circuit_is_not_asked_for() -> None:
    """The same of what becomes of a circuit while the engine starts."""
    text = EITHER.replace("in_crank: false", "in_crank: {not_applicable: used while parked only}")
    assert outcome(changed(text, ("holds_up: true", "holds_up: false")), "turn-on-drops-in-crank") == []
