"""Rules about turning on, on small plans and on the examples. Limits without a source are common practice."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_plans import changed, judged, messages, outcome

from planlint.judge.result import Result, Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"

# The radio turns on a processor, this two amplifiers and a relay by a diode and a splice; the relay switches fans that
# stand behind a fuse of their own.
SYSTEM = """\
plan: 1
scope: electrical
title: Two amplifiers and fans behind a processor
vehicle: {system: 12 V, body: steel-unibody, start_stop: true, lowest_in_crank: 7 V, key_off_draw: 30 mA}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
defaults:
  wire: {material: copper, insulation: 105 C, gauge: 18 AWG, length: 1 m}
  amp: {zone: cargo, class: D, sense: none, turn_on_draw: 15 mA, standby: 1 mA, outputs: {sub: {power: 200 W, at: 2 ohm}}}
  ground-point: {zone: cargo}
nodes:
  battery: {kind: battery, zone: engine-bay}
  main-fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 80 A}
  block: {kind: distribution, zone: cargo, outputs: {out-1: {fuse: 30 A}, out-2: {fuse: 30 A}, out-3: {fuse: 3 A},
    out-4: {fuse: 5 A}}}
  radio: {kind: radio, factory: true, turn_on_limit: 300 mA}
  processor: {kind: processor, zone: cargo, supply: 1 A, standby: 2 mA, sense: none, turn_on_draw: 10 mA,
    turn_on_limit: 500 mA}
  one: {kind: amp}
  two: {kind: amp}
  joint: {kind: splice, zone: cargo}
  diode: {kind: diode, zone: cargo, drop: 0.7 V}
  relay: {kind: relay, zone: cargo, rating: 30 A, coil: 160 mA, suppression: diode}
  fans: {kind: load, zone: cargo, supply: 1 A, surge: true, standby: 0 mA}
  stud: {kind: ground-point}
wires:
  front: {from: battery.positive, to: main-fuse.line, gauge: 4 AWG, length: 15 cm}
  rear: {from: main-fuse.load, to: block.in, gauge: 4 AWG, length: 4 m}
  feed-one: {from: block.out-1, to: one.power, gauge: 10 AWG, length: 50 cm}
  feed-two: {from: block.out-2, to: two.power, gauge: 10 AWG, length: 50 cm}
  feed-processor: {from: block.out-3, to: processor.power}
  feed-relay: {from: block.out-4, to: relay.common}
  feed-fans: {from: relay.normally-open, to: fans.power}
  ground-one: {from: one.ground, to: stud, gauge: 10 AWG, length: 40 cm}
  ground-two: {from: two.ground, to: stud, gauge: 10 AWG, length: 40 cm}
  ground-processor: {from: processor.ground, to: stud}
  ground-coil: {from: relay.coil-negative, to: stud}
  ground-fans: {from: fans.ground, to: stud}
  on-processor: {from: radio.turn-on, to: processor.turn-on-in, length: 5 m}
  on-joint: {from: processor.turn-on-out, to: joint}
  on-one: {from: joint, to: one.turn-on}
  on-diode: {from: joint, to: diode.line}
  on-two: {from: diode.load, to: two.turn-on}
  on-relay: {from: joint, to: relay.coil-positive}
"""
TIER_1 = (
    *("turn-on-missing", "turn-on-permanent", "turn-on-overloaded", "turn-on-safety-circuit", "key-off-draw-high"),
    *("relay-coil-unsuppressed", "relay-contact-overloaded", "relay-feed-unfused"),
)
# From a source of the vehicle in place of the radio.
KEY = ("radio: {kind: radio, factory: true, turn_on_limit: 300 mA}", "radio: {kind: control-source, CIRCUIT}")
FROM_KEY = ("from: radio.turn-on", "from: radio")


def from_circuit(told: str) -> list[tuple[str, str]]:
    """The swaps that turn the processor on by a circuit of the vehicle."""
    return [(KEY[0], KEY[1].replace("CIRCUIT", told)), FROM_KEY]


@pytest.mark.parametrize("rule", TIER_1)
def test_a_sound_plan_breaks_no_rule_and_leaves_none_open(rule: str) -> None:
    """The plan of this module is sound, and states all that these rules ask."""
    assert outcome(SYSTEM, rule) == []


# The relay's contact takes its current from the turn-on lead or from the supply, and turns the second amplifier on.
BY_CONTACT = [
    ("to: relay.common}", "to: relay.coil-positive}"),
    ("from: relay.normally-open, to: fans.power", "from: relay.normally-open, to: two.turn-on"),
    ("from: diode.load, to: two.turn-on", "from: diode.load, to: relay.common"),
    ("from: joint, to: relay.coil-positive", "from: block.out-4, to: fans.power"),
]
SWITCH = "  stud: {kind: ground-point}\n  switch: {kind: switch, zone: cabin}\n"
BY_SWITCH = [
    ("from: radio.turn-on, to: processor.turn-on-in, length: 5 m", "from: switch.load, to: processor.turn-on-in"),
    ("  stud: {kind: ground-point}\n", SWITCH),
    ("  on-joint:", "  on-switch: {from: block.out-3, to: switch.line}\n  on-joint:"),
]
# Rule, changes of the sound plan, and what the rule then says.
CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    "an amplifier without a lead": (
        "turn-on-missing",
        [("  on-one: {from: joint, to: one.turn-on}\n", "")],
        ["warning one"],
    ),
    "one of which nobody says whether it senses": (
        "turn-on-missing",
        [
            ("  on-one: {from: joint, to: one.turn-on}\n", ""),
            ("one: {kind: amp}", "one: {kind: amp, sense: not stated}"),
        ],
        ["? the way of waking (`sense`) of one"],
    ),
    "one that wakes with the signal": (
        "turn-on-missing",
        [("  on-one: {from: joint, to: one.turn-on}\n", ""), ("one: {kind: amp}", "one: {kind: amp, sense: signal}")],
        [],
    ),
    "a diode the wrong way round": (
        "turn-on-missing",
        [
            ("from: joint, to: diode.line", "from: joint, to: diode.load"),
            ("from: diode.load, to: two", "from: diode.line, to: two"),
        ],
        ["warning two"],
    ),
    "a lead that leads to nothing live": (
        "turn-on-missing",
        [
            ("from: radio.turn-on, to: processor", "from: stray, to: processor"),
            ("  joint:", "  stray: {kind: splice}\n  joint:"),
        ],
        ["warning processor"],
    ),
    "a relay whose coil nothing drives": (
        "turn-on-missing",
        [
            ("from: joint, to: relay.coil-positive", "from: stray, to: relay.coil-positive"),
            ("  joint:", "  stray: {kind: splice}\n  joint:"),
        ],
        ["warning relay"],
    ),
    "turned on over a relay's contact": ("turn-on-missing", BY_CONTACT, []),
    "a passive converter needs nothing": (
        "turn-on-missing",
        [("  joint:", "  box: {kind: converter, type: passive, sense: none}\n  joint:")],
        [],
    ),
    # D.4 no. 25 of the trade's faults.
    "a circuit that is always live": ("turn-on-permanent", from_circuit("circuit: constant"), ["warning radio"]),
    "one that goes off with the key": ("turn-on-permanent", from_circuit("circuit: accessory"), []),
    "one of which nobody says what it is": (
        "turn-on-permanent",
        from_circuit("limit: 1 A"),
        ["? the kind of circuit (`circuit`) of radio"],
    ),
    "jumped from the amplifier's own supply": (
        "turn-on-permanent",
        [("from: joint, to: one.turn-on", "from: one.power, to: one.turn-on")],
        ["warning battery"],
    ),
    "by a switch from what is always live": ("turn-on-permanent", BY_SWITCH, []),
    "a coil that is always energised holds its contact": (
        "turn-on-permanent",
        [
            ("from: joint, to: relay.coil-positive", "from: block.out-4, to: relay.coil-positive"),
            ("from: joint, to: one.turn-on", "from: relay.normally-open, to: one.turn-on"),
        ],
        ["warning battery"],
    ),
    "a coil that is grounded by a switch": (
        "turn-on-permanent",
        [
            ("from: joint, to: relay.coil-positive", "from: block.out-4, to: relay.coil-positive"),
            ("from: relay.coil-negative, to: stud", "from: relay.coil-negative, to: switch.line"),
            ("  stud: {kind: ground-point}\n", SWITCH),
            ("  on-joint:", "  home: {from: switch.load, to: stud}\n  on-joint:"),
            ("from: joint, to: one.turn-on", "from: relay.normally-open, to: one.turn-on"),
        ],
        [],
    ),
    "by a contact whose coil goes off with the radio": (
        "turn-on-permanent",
        [("from: joint, to: one.turn-on", "from: relay.normally-open, to: one.turn-on")],
        [],
    ),
    "by the resting side of it": (
        "turn-on-permanent",
        [("from: joint, to: one.turn-on", "from: relay.normally-closed, to: one.turn-on")],
        ["warning battery"],
    ),
    # 15 + 15 + 160 mA.
    "an output for less": (
        "turn-on-overloaded",
        [("turn_on_limit: 500 mA", "turn_on_limit: 180 mA")],
        ["warning processor"],
    ),
    "one for as much": ("turn-on-overloaded", [("turn_on_limit: 500 mA", "turn_on_limit: 190 mA")], []),
    # Three coils of 160 mA on an output of which nothing is stated: 300 mA are taken.
    "an unknown output": (
        "turn-on-overloaded",
        [("\n    turn_on_limit: 500 mA", ""), ("coil: 160 mA", "coil: 320 mA")],
        ["warning processor"],
    ),
    # 13.8 V / 60 ohm = 230 mA at most; with both amplifiers 260 mA.
    "a coil by its resistance": (
        "turn-on-overloaded",
        [("coil: 160 mA", "coil_resistance: 60..80 ohm"), ("turn_on_limit: 500 mA", "turn_on_limit: 255 mA")],
        ["warning processor"],
    ),
    "a coil of which nothing is stated": (
        "turn-on-overloaded",
        [(" coil: 160 mA,", "")],
        ["? the coil current (`coil`) of relay"],
    ),
    "fans on the lead itself": (
        "turn-on-overloaded",
        [("from: relay.normally-open, to: fans.power", "from: joint, to: fans.power")],
        ["warning processor"],
    ),
    # D.4 no. 26.
    "a safety circuit": ("turn-on-safety-circuit", from_circuit("circuit: safety-circuit"), ["error radio"]),
    "a circuit of which nobody says what": (
        "turn-on-safety-circuit",
        from_circuit("limit: 1 A"),
        ["? the kind of circuit (`circuit`) of radio"],
    ),
    "a fused circuit of the vehicle": (
        "turn-on-safety-circuit",
        [(KEY[0], "radio: {kind: factory-circuit, fuse: 5 A, circuit: safety-circuit}"), FROM_KEY],
        ["error radio"],
    ),
    # D.4 no. 27.
    "a bare coil": ("relay-coil-unsuppressed", [("suppression: diode", "suppression: none")], ["warning relay"]),
    "a coil of which nobody says": (
        "relay-coil-unsuppressed",
        [(", suppression: diode", "")],
        ["? the suppression of the coil (`suppression`) of relay"],
    ),
    "a bare coil behind the key": (
        "relay-coil-unsuppressed",
        [
            *from_circuit("circuit: accessory"),
            ("suppression: diode", "suppression: none"),
            ("from: joint, to: relay.coil-positive", "from: radio, to: relay.coil-positive"),
        ],
        [],
    ),
    # Fans of 16 A: more than half of 30 A, and they are motors.
    "a motor above half the rating": (
        "relay-contact-overloaded",
        [("supply: 1 A, surge", "supply: 16 A, surge")],
        ["error relay"],
    ),
    "the same without a surge": (
        "relay-contact-overloaded",
        [("supply: 1 A, surge: true", "supply: 16 A, surge: false")],
        [],
    ),
    "the same of which nobody says": (
        "relay-contact-overloaded",
        [("supply: 1 A, surge: true", "supply: 16 A")],
        ["? the surge at switch-on (`surge`) of fans"],
    ),
    "more than four fifths of it": (
        "relay-contact-overloaded",
        [("supply: 1 A, surge: true", "supply: 25 A, surge: false")],
        ["error relay"],
    ),
    "contacts of which no rating is stated": (
        "relay-contact-overloaded",
        [("rating: 30 A, coil", "coil")],
        ["? the rating of relay"],
    ),
    "contacts for the turn-on lead alone": (
        "relay-contact-overloaded",
        [*BY_CONTACT, ("rating: 30 A, coil", "rating: 0.02 A, coil")],
        [],
    ),
    "contacts for less than that": (
        "relay-contact-overloaded",
        [*BY_CONTACT, ("rating: 30 A, coil", "rating: 0.018 A, coil")],
        ["error relay"],
    ),
    # F.21 of the trade's mistakes: the coil is guarded by the radio, the contacts by the main fuse alone.
    "an unfused output of the block": (
        "relay-feed-unfused",
        [("out-4: {fuse: 5 A}", "out-4: {fuse: none}")],
        ["error relay"],
    ),
    "a fuse 10 cm behind it": (
        "relay-feed-unfused",
        [
            ("out-4: {fuse: 5 A}", "out-4: {fuse: none}"),
            ("to: relay.common}", "to: small.line, length: 10 cm}"),
            ("  stud: {kind: ground-point}\n", "  stud: {kind: ground-point}\n  small: {kind: fuse, rating: 5 A}\n"),
            ("  feed-fans:", "  feed-rest: {from: small.load, to: relay.common}\n  feed-fans:"),
        ],
        [],
    ),
    "a thick feed that suits the main fuse and not the contacts": (
        "relay-feed-unfused",
        [("out-4: {fuse: 5 A}", "out-4: {fuse: none}"), ("to: relay.common}", "to: relay.common, gauge: 4 AWG}")],
        ["error relay"],
    ),
    "contacts for as much as the main fuse": (
        "relay-feed-unfused",
        [
            ("out-4: {fuse: 5 A}", "out-4: {fuse: none}"),
            ("to: relay.common}", "to: relay.common, gauge: 4 AWG}"),
            ("rating: 30 A, coil", "rating: 80 A, coil"),
        ],
        [],
    ),
    "fed by the turn-on lead": ("relay-feed-unfused", BY_CONTACT, []),
    # 2 + 1 + 1 mA are added; the fans stand behind the relay.
    "a device that draws at rest": ("key-off-draw-high", [("standby: 2 mA", "standby: 9 mA")], ["warning vehicle"]),
    "as much as is permitted": ("key-off-draw-high", [("standby: 2 mA", "standby: 8 mA")], []),
    "the fans at rest behind their relay": ("key-off-draw-high", [("standby: 0 mA", "standby: 1 A")], []),
    "a vehicle that draws much itself": (
        "key-off-draw-high",
        [("key_off_draw: 30 mA", "key_off_draw: 47 mA")],
        ["warning vehicle"],
    ),
    "a coil that stays on": (
        "key-off-draw-high",
        [("from: joint, to: relay.coil-positive", "from: block.out-4, to: relay.coil-positive")],
        ["warning vehicle"],
    ),
    "a circuit of which nobody says whether it is always live": (
        "key-off-draw-high",
        [
            ("from: block.out-3, to: processor.power", "from: box, to: processor.power"),
            ("  joint:", "  box: {kind: factory-circuit, fuse: 5 A}\n  joint:"),
        ],
        ["? the kind of circuit (`circuit`) of box"],
    ),
}


SENSES = """\
plan: 1
scope: electrical
title: An amplifier that wakes by its input
vehicle: {system: 12 V, body: steel-unibody}
nodes:
  radio: {kind: radio, factory: true, outputs: {speaker-rear: {type: speaker-bridged, highest: 6 V, dc: 6.3 V}}}
  tap: {kind: tap}
  amp: {kind: amp, class: D, sense: dc, hold_time: 20 s}
wires:
  plus: {from: radio.speaker-rear-positive, to: tap.positive}
  minus: {from: radio.speaker-rear-negative, to: tap.negative}
  in-plus: {from: tap.out-positive, to: amp.input-positive}
  in-minus: {from: tap.out-negative, to: amp.input-negative}
"""
LATER: dict[str, tuple[str, str, list[tuple[str, str]], list[str]]] = {
    "a sound lead": (SYSTEM, "remote-voltage-low", [], []),
    # 190 mA through 100 m of 23.9 mohm/m lose 0.45 V before the diode's 0.7 V: 12.6 - 0.45 - 0.7 V are left behind it.
    "a very long one": (
        SYSTEM,
        "remote-voltage-low",
        [("from: processor.turn-on-out, to: joint", "from: processor.turn-on-out, to: joint, length: 100 m")],
        [],
    ),
    "a long one and a diode that loses more": (
        SYSTEM,
        "remote-voltage-low",
        [
            ("from: processor.turn-on-out, to: joint", "from: processor.turn-on-out, to: joint, length: 100 m"),
            ("drop: 0.7 V", "drop: 1.2 V"),
        ],
        ["warning two"],
    ),
    "an output that gives less": (
        SYSTEM,
        "remote-voltage-low",
        [("turn_on_limit: 500 mA}", "turn_on_limit: 500 mA, turn_on_voltage: 11.5 V}")],
        ["warning two"],
    ),
    "a lead of unknown length": (
        SYSTEM,
        "remote-voltage-low",
        [
            (
                "from: radio.turn-on, to: processor.turn-on-in, length: 5 m",
                "from: radio.turn-on, to: processor.turn-on-in, length: not stated",
            )
        ],
        ["? the length of on-processor"],
    ),
    "a circuit that is cut while the engine starts": (
        SYSTEM,
        "turn-on-drops-in-crank",
        from_circuit("circuit: accessory, in_crank: false"),
        ["note radio"],
    ),
    "one that stays live": (SYSTEM, "turn-on-drops-in-crank", from_circuit("circuit: ignition, in_crank: true"), []),
    "one that is cut before a device that holds up": (
        SYSTEM,
        "turn-on-drops-in-crank",
        [
            *from_circuit("circuit: accessory, in_crank: false"),
            ("sense: none, turn_on_draw: 10 mA", "holds_up: true, turn_on_draw: 10 mA"),
        ],
        [],
    ),
    "one of which nobody says": (
        SYSTEM,
        "turn-on-drops-in-crank",
        from_circuit("circuit: accessory"),
        ["? the state in a start (`in_crank`) of radio"],
    ),
    "no matter where the engine runs on": (
        SYSTEM,
        "turn-on-drops-in-crank",
        [*from_circuit("circuit: accessory, in_crank: false"), ("start_stop: true", "start_stop: false")],
        [],
    ),
    "a radio of which nobody says how long it stays on": (SYSTEM, "turn-off-never", [], ["? the hold time of radio"]),
    "one that stays on for an hour": (
        SYSTEM,
        "turn-off-never",
        [("turn_on_limit: 300 mA}", "turn_on_limit: 300 mA, hold_time: 1 h}")],
        ["warning radio"],
    ),
    "one that stays on for 10 min": (
        SYSTEM,
        "turn-off-never",
        [("turn_on_limit: 300 mA}", "turn_on_limit: 300 mA, hold_time: 10 min}")],
        [],
    ),
    "a circuit that goes off with the key": (SYSTEM, "turn-off-never", from_circuit("circuit: accessory"), []),
    "a timer that runs too long": (
        SYSTEM,
        "turn-off-never",
        [(old, new.replace("kind: switch,", "kind: switch, hold_time: 2 h,")) for old, new in BY_SWITCH],
        ["warning switch"],
    ),
    "a timer that does not": (
        SYSTEM,
        "turn-off-never",
        [(old, new.replace("kind: switch,", "kind: switch, hold_time: 5 min,")) for old, new in BY_SWITCH],
        [],
    ),
    "a device that wakes by the steady voltage of a bridged output": (SENSES, "turn-on-sense-unreliable", [], []),
    "by that of an output without any": (
        SENSES,
        "turn-on-sense-unreliable",
        [("dc: 6.3 V", "dc: 0 V")],
        ["note amp"],
    ),
    "by one of which nobody says": (
        SENSES,
        "turn-on-sense-unreliable",
        [(", dc: 6.3 V", "")],
        ["? the steady voltage (`dc`) of speaker-rear of radio"],
    ),
    "by the signal, without steady voltage": (
        SENSES,
        "turn-on-sense-unreliable",
        [("sense: dc", "sense: signal"), ("dc: 6.3 V", "dc: 0 V")],
        [],
    ),
    "by a weak signal": (
        SENSES,
        "turn-on-sense-unreliable",
        [("sense: dc", "sense: signal"), ("highest: 6 V", "highest: 0.5 V")],
        ["note amp"],
    ),
    "a device that nothing turns off": (
        SENSES,
        "turn-off-never",
        [("hold_time: 20 s", "hold_time: 1 h")],
        ["warning amp"],
    ),
}


@pytest.mark.parametrize(("plan", "rule", "swaps", "expected"), LATER.values(), ids=LATER)
def test_a_later_rule_says_what_it_should(
    plan: str, rule: str, swaps: list[tuple[str, str]], expected: list[str]
) -> None:
    """One change of a plan, and what a rule of the second tier says of it."""
    assert outcome(changed(plan, *swaps), rule) == expected


@pytest.mark.parametrize(("rule", "swaps", "expected"), CASES.values(), ids=CASES)
def test_a_changed_plan_gets_what_it_deserves(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One change of the sound plan, and what the rule says of it."""
    assert outcome(changed(SYSTEM, *swaps), rule) == expected


def test_the_leads_are_summed_as_the_trade_does() -> None:
    """3 x 15 mA and a relay coil of 160 mA are 205 mA on an output that may give 200 mA (the trade's show build)."""
    third = [
        ("  two: {kind: amp}\n", "  two: {kind: amp}\n  three: {kind: amp}\n"),
        ("  on-one:", "  on-three: {from: joint, to: three.turn-on}\n  on-one:"),
        ("turn_on_limit: 500 mA", "turn_on_limit: 200 mA"),
    ]
    assert messages(changed(SYSTEM, *third), "turn-on-overloaded") == [
        "0.205 A is drawn from the turn-on output of processor; it may give 0.2 A"
    ]


def test_what_stands_in_is_told() -> None:
    """Of an output and an input that state nothing the report tells what was taken: 300 mA and 20 mA."""
    text = changed(SYSTEM, (", turn_on_limit: 300 mA}", "}"), (" turn_on_draw: 10 mA,", ""))
    assumed = {(one.name, one.about): one.shown for one in judged(text).assumed}
    assert assumed["control_source_limit", "radio"] == "300 mA"
    assert assumed["turn_on_draw", "processor"] == "20 mA"


@pytest.mark.parametrize("rule", TIER_1)
def test_a_plan_without_turn_on_asks_for_no_more_than_what_wakes_the_amplifier(rule: str) -> None:
    """Twenty lines are a useful plan: what it does not have at all is not asked for."""
    short = (EXAMPLES / "minimal.plan.yaml").read_text(encoding="utf-8")
    assert outcome(short, rule) == []
    assert outcome(changed(short, (" sense: signal,", "")), rule) == (
        ["? the way of waking (`sense`) of amp"] if rule == "turn-on-missing" else []
    )


def in_full(example: str, old: str, new: str) -> tuple[list[tuple[str, str, str]], Result]:
    """What changes in the findings of a full example with one edit, and its result."""
    text = (EXAMPLES / f"{example}.plan.yaml").read_text(encoding="utf-8")
    before = {(one.rule, one.subject) for one in judged(text).findings}
    after = judged(changed(text, (old, new)))
    new_ones = (one for one in after.findings if (one.rule, one.subject) not in before)
    return [(one.rule, one.subject, one.severity.word) for one in new_ones], after


def test_a_key_made_constant_in_a_full_plan() -> None:
    """D.4 no. 25: the switched circuit of a delivery van becomes one that is always live; the isolator's coil stays on."""
    found, after = in_full("two-batteries", "circuit: ignition,", "circuit: constant,")
    assert found == [("turn-on-permanent", "ignition", "warning")]
    told = next(one for one in after.findings if one.rule == "turn-on-permanent")
    assert "amp and isolator" in told.message


def test_a_safety_circuit_in_a_full_plan() -> None:
    """D.4 no. 26: the turn-on is tapped from a safety circuit."""
    found, after = in_full("two-batteries", "circuit: ignition,", "circuit: safety-circuit,")
    assert found == [("turn-on-safety-circuit", "ignition", "error")]
    assert after.verdict is Verdict.BROKEN


def test_a_diode_removed_in_a_full_plan() -> None:
    """D.4 no. 27: the relay of the show build loses its diode."""
    old = "rating: 30 A, rated_at: 85 C, coil: 160 mA, suppression: diode"
    found, _ = in_full("show-wagon", old, old.replace("diode", "none"))
    assert found == [("relay-coil-unsuppressed", "fan-relay", "warning")]


def test_a_forgotten_feed_in_a_full_plan() -> None:
    """F.21: the relay's contacts hang on the block's 300 A main fuse; the step-down is told under it, once."""
    found, after = in_full("show-wagon", "out-5: {fuse: 3 A", "out-5: {fuse: none")
    assert found == [("relay-feed-unfused", "fan-relay", "error")]
    told = next(one for one in after.findings if one.rule == "relay-feed-unfused")
    under = {(one.rule, one.subject) for one in told.consequences}
    assert {("step-down-unprotected", "relay-feed"), ("fuse-exceeds-wire", "relay-feed")} <= under


# One slip in the feed of the relay's contacts, and the finding under which it is told.
ONE_CAUSE = {
    "from the battery itself": ("battery.positive", ("source-wire-unfused", "feed-relay")),
    "from the terminal of an amplifier": ("one.power", ("amp-terminal-tap-unfused", "feed-relay")),
}


@pytest.mark.parametrize(("start", "cause"), ONE_CAUSE.values(), ids=ONE_CAUSE)
def test_an_unfused_feed_is_told_once(start: str, cause: tuple[str, str]) -> None:
    """Where the fault is that of a wire the relay's part of it stands under that, and nowhere else."""
    after = judged(changed(SYSTEM, ("from: block.out-4, to: relay.common", f"from: {start}, to: relay.common")))
    told = next(one for one in after.findings if (one.rule, one.subject) == cause)
    assert "relay-feed-unfused" in {one.rule for one in told.consequences}
    assert "relay-feed-unfused" not in {one.rule for one in after.findings}
