"""What the rules about signal and noise say of small plans, each with one thing changed.

Figures: public car-audio tutorials (line inputs take 4 to 6 V, a radio gives about 6.5 V, a factory bass amplifier more than
30 V; both wires of a bridged output stand at half the battery voltage). The rest is common practice, as the rules say.
"""

from __future__ import annotations

import pytest
import yaml
from small_plans import changed, judged, messages, outcome

# A radio whose rear speakers are tapped, a converter and a bass amplifier on one stud.
PLAN = """\
plan: 1
title: Bass behind a factory radio
scope: electrical
vehicle:
  system: 12 V
  body: steel-unibody
  factory_amp: none
  noise_cancelling: none
  chime_speaker: the sounder of the cluster
  audio_bus: none
zones: [{name: engine-bay}, {name: cabin}, {name: boot, kind: cargo}]
defaults:
  wire: {material: copper, insulation: 105 C, length: 40 cm}
  fuse: {family: blade, voltage: 32 V, interrupts: 1 kA}
nodes:
  battery: {kind: battery, zone: engine-bay}
  main: {kind: fuse, zone: engine-bay, family: strip, rating: 80 A, interrupts: 5 kA}
  block: {kind: distribution, zone: boot, outputs: {out-1: {fuse: 60 A, family: strip, voltage: 32 V, interrupts: 5 kA},
    out-2: {fuse: 3 A, family: blade, voltage: 32 V, interrupts: 1 kA}}}
  amp:
    kind: amp
    zone: boot
    class: D
    largest_fuse: 80 A
    input_highest: 6 V
    input_lowest: 200 mV
    input_balanced: false
    outputs: {sub: {power: 500 W, at: 2 ohm, lowest: 2 ohm, low_pass: 80 Hz}}
  converter:
    kind: converter
    zone: boot
    type: active
    supply: 0.3 A
    input_highest: 20 V
    input_lowest: 1 V
    input_resistance: 20 kohm
    input_balanced: true
    output_highest: 5 V
    loads_radio: false
  radio:
    kind: radio
    zone: cabin
    factory: true
    outputs:
      speaker-rear: {type: speaker-bridged, highest: 6.5 V, from: 35 Hz, to: 18 kHz, detects_load: true,
        volume_dependent: false}
  tap: {kind: tap, zone: cabin, place: radio-plug, method: plug-adapter, factory_speaker: kept, polarity_test: true}
  stud: {kind: ground-point, zone: boot, member: floor, fastener: M8 stud with serrated washer, surface: bare-metal}
  sub: {kind: speaker, zone: boot, type: sub, impedance: 2 ohm, power: 500 W}
wires:
  front: {from: battery.positive, to: main.line, gauge: 4 AWG, length: 15 cm}
  rear: {from: main.load, to: block.in, gauge: 4 AWG, length: 5 m}
  feed: {from: block.out-1, to: amp.power, gauge: 4 AWG}
  small-feed: {from: block.out-2, to: converter.power, gauge: 18 AWG}
  amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG}
  small-ground: {from: converter.ground, to: stud, gauge: 18 AWG}
  adapter-plus: {from: radio.speaker-rear-positive, to: tap.positive}
  adapter-minus: {from: radio.speaker-rear-negative, to: tap.negative}
  tap-plus: {from: tap.out-positive, to: converter.input-positive}
  tap-minus: {from: tap.out-negative, to: converter.input-negative}
  line: {from: converter.output-left, to: amp.input-left}
  wake: {from: converter.turn-on-out, to: amp.turn-on, gauge: 18 AWG}
  sub-plus: {from: amp.sub-positive, to: sub.positive, gauge: 12 AWG, length: 1 m}
  sub-minus: {from: amp.sub-negative, to: sub.negative, gauge: 12 AWG, length: 1 m}
"""
SIGNAL = (
    *("factory-amp-not-determined", "input-level-overdriven", "input-level-too-weak", "tap-band-limited"),
    *("summing-needed", "eq-roll-off-unhandled", "load-sense-unsatisfied", "speaker-minus-grounded"),
    *("outputs-paralleled", "noise-cancel-unhandled", "digital-only-source", "bus-wire-tapped", "chime-path-lost"),
    *("signal-beside-power", "converter-ground-split", "ground-potential-split", "shield-as-only-return"),
    *("tap-polarity-unverified", "approval-mark-missing"),
)
RADIO = "speaker-rear: {type: speaker-bridged, highest: 6.5 V, from: 35 Hz, to: 18 kHz, detects_load: true,"
TAP = "factory_speaker: kept, polarity_test: true"
LINE = "  line: {from: converter.output-left, to: amp.input-left}\n"
MINUS = "tap-minus: {from: tap.out-negative, to: converter.input-negative}"
# The converter left out: the radio's speaker wires straight into the amplifier.
STRAIGHT = [
    ("to: converter.input-positive", "to: amp.input-left-positive"),
    ("to: converter.input-negative", "to: amp.input-left-negative"),
    (LINE, ""),
]


def test_the_plan_is_sound() -> None:
    """Each rule about signals holds or does not apply, and nothing is left open but what a plan of the circuit may leave."""
    result = judged(PLAN)
    assert [(one.rule, one.subject) for one in result.findings] == []
    assert [gap.needs for gap in result.unchecked if set(SIGNAL) & set(gap.rules)] == []


CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    "nobody looked for a factory amplifier": (
        "factory-amp-not-determined",
        [("factory_amp: none", "factory_amp: unknown")],
        ["warning vehicle"],
    ),
    "nobody says, and speaker wires are tapped": (
        "factory-amp-not-determined",
        [("  factory_amp: none\n", "")],
        ["warning vehicle"],
    ),
    "nobody says, and a line output is used": (
        "factory-amp-not-determined",
        [
            ("  factory_amp: none\n", ""),
            (
                "adapter-plus: {from: radio.speaker-rear-positive, to: tap.positive}",
                "a: {from: radio.line-sub, to: amp.input-2}",
            ),
            ("  adapter-minus: {from: radio.speaker-rear-negative, to: tap.negative}\n", ""),
            ("  tap-plus: {from: tap.out-positive, to: converter.input-positive}\n", ""),
            (f"  {MINUS}\n", ""),
            ("  tap: {kind: tap, zone: cabin, place: radio-plug, method: plug-adapter, " + TAP + "}\n", ""),
        ],
        ["? the factory amplifier (`factory_amp`) of the vehicle"],
    ),
    "a converter of 9 V before an input of 6 V": (
        "input-level-overdriven",
        [("output_highest: 5 V", "output_highest: 9 V")],
        ["warning amp"],
    ),
    "a factory bass amplifier of 30 V into a converter for 20 V": (
        "input-level-overdriven",
        [("highest: 6.5 V", "highest: 30 V")],
        ["warning converter"],
    ),
    "a radio of 6.5 V straight into an input for 4 V": (
        "input-level-overdriven",
        [*STRAIGHT, ("input_highest: 6 V", "input_highest: 4 V")],
        ["warning amp"],
    ),
    "just as much as the input takes": ("input-level-overdriven", [("output_highest: 5 V", "output_highest: 6 V")], []),
    "of a range the upper end counts": (
        "input-level-overdriven",
        [("output_highest: 5 V", "output_highest: 5..6.5 V")],
        ["warning amp"],
    ),
    "a level nobody measured": (
        "input-level-overdriven",
        [("highest: 6.5 V, ", "")],
        ["? the highest clean voltage (`highest`) of speaker-rear of radio"],
    ),
    "a limit nobody states": (
        "input-level-overdriven",
        [("    input_highest: 6 V\n", "")],
        ["? the highest input signal (`input_highest`) of amp"],
    ),
    "a converter of 0.1 V before an input that needs 0.2 V": (
        "input-level-too-weak",
        [("output_highest: 5 V", "output_highest: 100 mV")],
        ["note amp"],
    ),
    "bass from a channel that begins at 90 Hz": (
        "tap-band-limited",
        [(RADIO, RADIO.replace("35 Hz", "90 Hz"))],
        ["warning amp"],
    ),
    "bass that the converter restores": (
        "tap-band-limited",
        [
            (RADIO, RADIO.replace("35 Hz", "90 Hz")),
            ("loads_radio: false", "loads_radio: false\n    restores_bass: true"),
        ],
        [],
    ),
    "bass from a channel nobody measured": (
        "tap-band-limited",
        [(RADIO, RADIO.replace("from: 35 Hz, ", ""))],
        ["? the lowest frequency (`from`) of speaker-rear of radio"],
    ),
    "a door speaker from a woofer's channel": (
        "tap-band-limited",
        [(RADIO, RADIO.replace("18 kHz", "3 kHz")), ("type: sub,", "type: full-range,"), (", low_pass: 80 Hz", "")],
        ["warning amp"],
    ),
    "a door speaker from a tweeter's channel": (
        "tap-band-limited",
        [(RADIO, RADIO.replace("35 Hz", "2 kHz")), ("type: sub,", "type: full-range,"), (", low_pass: 80 Hz", "")],
        ["warning amp"],
    ),
    "a radio that turns bass down": (
        "eq-roll-off-unhandled",
        [("volume_dependent: false", "volume_dependent: true")],
        ["note amp"],
    ),
    # 20 kohm is an open circuit for a radio that looks for 40 to 200 ohm.
    "the factory speaker taken off": (
        "load-sense-unsatisfied",
        [(TAP, TAP.replace("kept", "removed"))],
        ["warning radio"],
    ),
    "its load replaced by the converter": (
        "load-sense-unsatisfied",
        [(TAP, TAP.replace("kept", "removed")), ("loads_radio: false", "loads_radio: true")],
        [],
    ),
    "its load replaced by a low input resistance": (
        "load-sense-unsatisfied",
        [(TAP, TAP.replace("kept", "removed")), ("input_resistance: 20 kohm", "input_resistance: 47 ohm")],
        [],
    ),
    # 150 ohm beside 150 ohm are 75 ohm.
    "its load replaced by two inputs side by side": (
        "load-sense-unsatisfied",
        [
            (TAP, TAP.replace("kept", "removed")),
            ("input_resistance: 20 kohm", "input_resistance: 150 ohm"),
            ("input_lowest: 200 mV\n    input_balanced: false", "input_resistance: 150 ohm\n    input_balanced: true"),
            (
                "  line:",
                "  also-plus: {from: tap.out-positive, to: amp.input-right-positive}\n"
                "  also-minus: {from: tap.out-negative, to: amp.input-right-negative}\n  line:",
            ),
        ],
        [],
    ),
    "its load replaced by one input of 150 ohm": (
        "load-sense-unsatisfied",
        [(TAP, TAP.replace("kept", "removed")), ("input_resistance: 20 kohm", "input_resistance: 150 ohm")],
        ["warning radio"],
    ),
    "a radio that does not look for its speaker": (
        "load-sense-unsatisfied",
        [(TAP, TAP.replace("kept", "removed")), ("detects_load: true", "detects_load: false")],
        [],
    ),
    "nobody says whether it looks": (
        "load-sense-unsatisfied",
        [(TAP, TAP.replace("kept", "removed")), (" detects_load: true,", "")],
        ["warning radio"],
    ),
    "nobody says what becomes of the speaker": (
        "load-sense-unsatisfied",
        [("factory_speaker: kept, ", "")],
        ["? the fate of the factory speaker (`factory_speaker`) of tap"],
    ),
    "nobody says how much the converter loads it": (
        "load-sense-unsatisfied",
        [(TAP, TAP.replace("kept", "removed")), ("    input_resistance: 20 kohm\n", "")],
        ["? the input resistance of converter"],
    ),
    "the factory speaker drawn on the tap": (
        "load-sense-unsatisfied",
        [
            ("factory_speaker: kept, ", ""),
            (
                "  line:",
                "  old-plus: {from: tap.positive, to: old.positive}\n"
                "  old-minus: {from: tap.negative, to: old.negative}\n  line:",
            ),
            ("  stud:", "  old: {kind: speaker, zone: cabin, factory: true}\n  stud:"),
        ],
        [],
    ),
    "an input that is not differential": (
        "speaker-minus-grounded",
        [("input_balanced: true", "input_balanced: false")],
        ["error tap-minus"],
    ),
    "an input nobody describes": (
        "speaker-minus-grounded",
        [("    input_balanced: true\n", "")],
        ["? the kind of inputs (`input_balanced`) of converter"],
    ),
    "an output with a ground of its own": (
        "speaker-minus-grounded",
        [("input_balanced: true", "input_balanced: false"), ("type: speaker-bridged", "type: speaker-grounded")],
        [],
    ),
    "an output nobody describes counts as bridged": (
        "speaker-minus-grounded",
        [("input_balanced: true", "input_balanced: false"), ("type: speaker-bridged, ", "")],
        ["error tap-minus"],
    ),
    "a passive converter grounds it through the shield of its output": (
        "speaker-minus-grounded",
        [
            ("input_balanced: true", "input_balanced: false"),
            ("type: active", "type: passive"),
            ("  small-ground: {from: converter.ground, to: stud, gauge: 18 AWG}\n", ""),
        ],
        ["error tap-minus"],
    ),
    "a passive converter before a differential input grounds nothing": (
        "speaker-minus-grounded",
        [
            ("input_balanced: true", "input_balanced: not stated"),
            ("type: active", "type: passive"),
            ("  small-ground: {from: converter.ground, to: stud, gauge: 18 AWG}\n", ""),
            (
                "    input_lowest: 200 mV\n    input_balanced: false\n",
                "    input_lowest: 200 mV\n    input_balanced: true\n",
            ),
        ],
        [],
    ),
    "the minus at the ground point": (
        "speaker-minus-grounded",
        [("  line:", "  slip: {from: tap.negative, to: stud}\n  line:")],
        ["error slip"],
    ),
    "the minus of two channels on one terminal": (
        "speaker-minus-grounded",
        [
            (
                "  line:",
                "  left-plus: {from: radio.speaker-front-positive, to: converter.input-front-positive}\n"
                "  left-minus: {from: radio.speaker-front-negative, to: tap.negative}\n  line:",
            ),
        ],
        ["error adapter-minus"],
    ),
    "the plus wire alone grounds nothing": (
        "speaker-minus-grounded",
        [
            (f"  {MINUS}\n", ""),
            ("input_balanced: true", "input_balanced: false"),
        ],
        [],
    ),
    "two channels of the radio joined": (
        "outputs-paralleled",
        [("  line:", "  slip: {from: radio.speaker-front-positive, to: tap.positive}\n  line:")],
        ["error radio"],
    ),
    "the radio joined to the amplifier": (
        "outputs-paralleled",
        [("  line:", "  slip: {from: amp.sub-positive, to: tap.positive}\n  line:")],
        ["error amp"],
    ),
    "line outputs joined": (
        "outputs-paralleled",
        [("  line:", "  slip: {from: converter.output-right, to: amp.input-left}\n  line:")],
        ["warning converter"],
    ),
    "two pairs of terminals of one channel": (
        "outputs-paralleled",
        [
            ("  sub-plus:", "  pair: {from: amp.sub-2-positive, to: amp.sub-positive, gauge: 12 AWG}\n  sub-plus:"),
        ],
        [],
    ),
    "a vehicle that cancels noise": (
        "noise-cancel-unhandled",
        [("noise_cancelling: none", "noise_cancelling: present")],
        ["warning vehicle"],
    ),
    "a vehicle whose noise cancelling is switched off": (
        "noise-cancel-unhandled",
        [("noise_cancelling: none", "noise_cancelling: present\n  noise_cancelling_plan: off-by-maker")],
        [],
    ),
    "nobody says whether it cancels noise": (
        "noise-cancel-unhandled",
        [("  noise_cancelling: none\n", "")],
        ["? the noise cancelling of the vehicle"],
    ),
    "a tap at the plug of a radio that nobody drew": (
        "digital-only-source",
        [
            ("audio_bus: none", "audio_bus: optical"),
            ("  adapter-plus: {from: radio.speaker-rear-positive, to: tap.positive}\n", ""),
            ("  adapter-minus: {from: radio.speaker-rear-negative, to: tap.negative}\n", ""),
        ],
        ["warning tap"],
    ),
    "the wires of a pair changed over at an input that shares its ground": (
        "speaker-minus-grounded",
        [
            ("input_balanced: true", "input_balanced: false"),
            ("to: converter.input-positive", "to: converter.input-x-negative"),
            ("to: converter.input-negative", "to: converter.input-x-positive"),
        ],
        ["error tap-plus"],
    ),
    "both wires of a pair named by their channel alone": (
        "speaker-minus-grounded",
        [
            ("input_balanced: true", "input_balanced: false"),
            ("to: converter.input-negative", "to: converter.input-rear"),
        ],
        ["error tap-minus"],
    ),
    "a radio on an optical bus": (
        "digital-only-source",
        [("audio_bus: none", "audio_bus: optical")],
        ["warning radio"],
    ),
    "an output that is a bus": ("digital-only-source", [("type: speaker-bridged", "type: bus")], ["warning radio"]),
    "a vehicle without an amplifier of its own has no link to it": (
        "digital-only-source",
        [("  audio_bus: none\n", "")],
        [],
    ),
    "nobody says what links radio and factory amplifier": (
        "digital-only-source",
        [("  audio_bus: none\n", ""), ("factory_amp: none", "factory_amp: present")],
        ["? the audio bus of the vehicle"],
    ),
    "a tap on the data bus": ("bus-wire-tapped", [("place: radio-plug", "place: bus")], ["error tap"]),
    "a tap on the airbag wiring": ("bus-wire-tapped", [("place: radio-plug", "place: srs")], ["error tap"]),
    "an approved interface on the bus": (
        "bus-wire-tapped",
        [("place: radio-plug", "place: bus, approved_interface: true")],
        [],
    ),
    "nothing approves the airbag wiring": (
        "bus-wire-tapped",
        [("place: radio-plug", "place: srs, approved_interface: true")],
        ["error tap"],
    ),
    "the drawing tells where a tap is": ("bus-wire-tapped", [("place: radio-plug, ", "")], []),
    "nobody tells where a tap is": (
        "bus-wire-tapped",
        [
            ("place: radio-plug, ", ""),
            ("  adapter-plus: {from: radio.speaker-rear-positive, to: tap.positive}\n", ""),
            ("  adapter-minus: {from: radio.speaker-rear-negative, to: tap.negative}\n", ""),
        ],
        ["? the place of tap"],
    ),
    "a data wire to the converter": (
        "bus-wire-tapped",
        [("  line:", "  data: {from: radio.data, to: converter.data}\n  line:")],
        ["error converter"],
    ),
    "a data wire on the converter's input": (
        "bus-wire-tapped",
        [("  line:", "  data: {from: radio.data, to: converter.input-right}\n  line:")],
        ["error converter"],
    ),
    "chimes from the speaker that is taken off": (
        "chime-path-lost",
        [(TAP, TAP.replace("kept", "removed")), ("the sounder of the cluster", "rear left speaker")],
        ["warning radio"],
    ),
    "chimes from the speaker that stays": (
        "chime-path-lost",
        [("the sounder of the cluster", "rear left speaker")],
        [],
    ),
    "chimes as the output says": (
        "chime-path-lost",
        [(TAP, TAP.replace("kept", "removed")), ("detects_load: true,", "detects_load: true, carries_chimes: true,")],
        ["warning radio"],
    ),
    "nobody says where the chimes sound": (
        "chime-path-lost",
        [(TAP, TAP.replace("kept", "removed")), ("  chime_speaker: the sounder of the cluster\n", "")],
        ["? the chime speaker of the vehicle"],
    ),
    "a tap nobody measures": (
        "tap-polarity-unverified",
        [("polarity_test: true", "polarity_test: false")],
        ["note tap"],
    ),
    "a tap that says nothing": (
        "tap-polarity-unverified",
        [(", polarity_test: true", "")],
        ["? the polarity test of tap"],
    ),
    "a converter without a ground": (
        "shield-as-only-return",
        [("  small-ground: {from: converter.ground, to: stud, gauge: 18 AWG}\n", "")],
        ["error converter"],
    ),
    "a converter without a ground that feeds nobody": (
        "shield-as-only-return",
        [("  small-ground: {from: converter.ground, to: stud, gauge: 18 AWG}\n", ""), (LINE, "")],
        [],
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_a_rule_says_of_it(case: str) -> None:
    """Each case gives exactly the findings and gaps of its rule that it names."""
    rule, swaps, expected = CASES[case]
    assert outcome(changed(PLAN, *swaps), rule) == expected


# 45 A through 2 mohm of body are 0.09 V: more than 50 mV between a converter in the cabin and an amplifier in the boot.
FAR = [
    ("  sub:", "  dash: {kind: ground-point, zone: cabin, member: floor, surface: bare-metal}\n  sub:"),
    ("small-ground: {from: converter.ground, to: stud", "small-ground: {from: converter.ground, to: dash"),
]


def test_a_converter_grounded_elsewhere_is_told_once() -> None:
    """The voltage between the grounds is the finding; that they are different points is listed under it."""
    result = judged(changed(PLAN, *FAR))
    split = next(one for one in result.findings if one.rule == "ground-potential-split")
    assert [(one.rule, one.subject) for one in split.consequences] == [("converter-ground-split", "converter")]
    assert "converter-ground-split" not in {one.rule for one in result.findings}


def test_a_balanced_input_does_not_mind_where_its_source_is_grounded() -> None:
    """The same with a differential input of the amplifier is sound."""
    text = changed(
        PLAN,
        *FAR,
        ("input_lowest: 200 mV\n    input_balanced: false", "input_lowest: 200 mV\n    input_balanced: true"),
    )
    assert outcome(text, "ground-potential-split") == outcome(text, "converter-ground-split") == []


def test_a_slip_at_a_ground_point_is_told_as_what_it_destroys() -> None:
    """A speaker wire on a ground point is one finding, the error; that it joins unlike conductors is listed under it."""
    result = judged(changed(PLAN, ("  line:", "  slip: {from: tap.negative, to: stud}\n  line:")))
    errors = [one for one in result.findings if one.severity.word == "error"]
    assert [(one.rule, one.subject) for one in errors] == [("speaker-minus-grounded", "slip")]
    assert {one.rule for one in errors[0].consequences} == {"wire-function-conflict"}


def test_a_data_wire_on_an_input_is_told_as_what_it_disturbs() -> None:
    """A data wire on a signal input is one finding, the error."""
    result = judged(changed(PLAN, ("  line:", "  data: {from: radio.data, to: converter.input-right}\n  line:")))
    assert [(one.rule, one.subject) for one in result.findings] == [("bus-wire-tapped", "converter")]


def test_a_converter_without_a_ground_is_one_finding() -> None:
    """Its lack of a way back is listed under the shield that serves as one."""
    ground = "  small-ground: {from: converter.ground, to: stud, gauge: 18 AWG}\n"
    result = judged(changed(PLAN, (ground, "")))
    errors = [one for one in result.findings if one.severity.word == "error"]
    assert [(one.rule, one.subject) for one in errors] == [("shield-as-only-return", "converter")]
    assert "return-path-missing" in {one.rule for one in errors[0].consequences}


def test_a_level_is_told_with_its_source_and_by_how_much_it_is_too_high() -> None:
    """9 V against 6 V are 20 log10(1.5) = 3.5 dB (IEC 60027-3)."""
    text = changed(PLAN, ("output_highest: 5 V", "output_highest: 9 V"))
    assert messages(text, "input-level-overdriven") == [
        "converter gives amp up to 9 V, 3.5 dB more than the 6 V that its inputs take"
    ]


# The front channels' woofers and tweeters come separately into a processor that feeds door speakers.
SPLIT = changed(
    PLAN,
    (
        RADIO + "\n        volume_dependent: false}",
        "speaker-woofer: {type: speaker-bridged, highest: 14 V, from: 60 Hz, to: 3 kHz, delay: 1.2 ms}\n"
        "      speaker-tweeter: {type: speaker-bridged, highest: 9 V, from: 3 kHz, to: 20 kHz, delay: 0 ms}",
    ),
    ("radio.speaker-rear-positive", "radio.speaker-woofer-left-positive"),
    ("radio.speaker-rear-negative", "radio.speaker-woofer-left-negative"),
    (
        "  line:",
        "  high-plus: {from: radio.speaker-tweeter-left-positive, to: converter.input-2-positive}\n"
        "  high-minus: {from: radio.speaker-tweeter-left-negative, to: converter.input-2-negative}\n  line:",
    ),
    ("type: sub,", "type: full-range,"),
    (", low_pass: 80 Hz", ""),
    ("kind: converter\n", "kind: processor\n    sums: true\n    removes_delay: true\n"),
    ("    loads_radio: false", "    loads_radio: true"),
)


@pytest.mark.parametrize(
    ("swaps", "found"),
    [
        ([], []),
        ([("sums: true", "sums: false")], ["warning amp"]),
        ([("    sums: true\n", "")], ["? the summing of bands (`sums`) of converter"]),
        ([("removes_delay: true", "removes_delay: false")], ["warning amp"]),
        ([("    removes_delay: true\n", "")], ["? the removal of delays (`removes_delay`) of converter"]),
        ([("delay: 1.2 ms", "delay: 0 ms"), ("removes_delay: true", "removes_delay: false")], []),
        ([(", delay: 1.2 ms", "")], ["? the delay of speaker-woofer of radio"]),
        ([("kind: processor\n    sums: true\n    removes_delay: true\n", "kind: converter\n")], ["warning amp"]),
        ([("to: 3 kHz", "to: 20 kHz"), ("delay: 1.2 ms", "delay: 0 ms"), ("sums: true", "sums: false")], []),
    ],
)
def test_parts_of_the_band_are_summed_and_their_delay_taken_out(swaps: list[tuple[str, str]], found: list[str]) -> None:
    """Woofer and tweeter channels for full-range drivers want a processor that sums them and takes out their delay."""
    assert outcome(changed(SPLIT, *swaps), "summing-needed") == found
    assert outcome(changed(SPLIT, *swaps), "tap-band-limited") == []


def test_one_of_two_parts_of_the_band_is_not_enough() -> None:
    """The woofers' channel alone ends at 3 kHz: that is told, and nothing is there to sum."""
    text = changed(
        SPLIT,
        ("  high-plus: {from: radio.speaker-tweeter-left-positive, to: converter.input-2-positive}\n", ""),
        ("  high-minus: {from: radio.speaker-tweeter-left-negative, to: converter.input-2-negative}\n", ""),
    )
    assert messages(text, "tap-band-limited") == [
        "amp plays the full range, and its music ends at 3 kHz; it must reach 10 kHz"
    ]
    assert outcome(text, "summing-needed") == []


def test_the_strongest_of_several_sources_counts() -> None:
    """14 V from the woofers' channel and 9 V from the tweeters' into a converter for 12 V: the 14 V are told."""
    text = changed(SPLIT, ("input_highest: 20 V", "input_highest: 12 V"))
    assert messages(text, "input-level-overdriven") == [
        "radio gives converter up to 14 V, 1.3 dB more than the 12 V that its inputs take"
    ]
    unknown = changed(text, ("highest: 9 V, ", ""))
    assert outcome(unknown, "input-level-overdriven") == ["warning converter"]
    unknown = changed(text, ("highest: 14 V, ", ""))
    assert outcome(unknown, "input-level-overdriven") == [
        "? the highest clean voltage (`highest`) of speaker-woofer of radio"
    ]


def test_the_output_of_an_added_amplifier_is_a_source_too() -> None:
    """500 W into 2 ohm are 31.6 V (an audio installer's how-to page prints the same figure): too much for 20 V."""
    text = changed(
        PLAN,
        ("  line:", "  back: {from: amp.sub-positive, to: converter.input-right-positive}\n  line:"),
    )
    found = messages(text, "input-level-overdriven")
    assert len(found) == 1
    assert found[0].startswith("amp gives converter up to 31.6 V")


ROUTED = changed(
    PLAN,
    (
        LINE,
        "  line:\n    from: converter.output-left\n    to: amp.input-left\n    length: 5 m\n"
        "    route: [{zone: cabin, length: 1.5 m, beside: rear, gap: 50 mm}, {zone: boot, length: 3.5 m}]\n",
    ),
)


@pytest.mark.parametrize(
    ("swaps", "found"),
    [
        ([], ["note line"]),
        ([("length: 1.5 m", "length: 1 m")], []),
        ([("gap: 50 mm", "gap: 150 mm")], []),
        ([("length: 3.5 m", "length: 3.5 m, beside: feed, gap: 20 mm")], ["warning line"]),
        ([(", gap: 50 mm", "")], ["? the distance to the wires beside it (`gap`) of stretch 1 of line"]),
        ([("beside: rear", "beside: wake")], []),
        # Along the same sill, and nobody says how far apart.
        (
            [
                (
                    "zone: cabin, length: 1.5 m, beside: rear, gap: 50 mm",
                    "zone: cabin, along: sill, side: left, length: 1.5 m",
                ),
                (
                    "to: block.in, gauge: 4 AWG, length: 5 m}",
                    "to: block.in, gauge: 4 AWG, length: 5 m, route: [{zone: cabin, along: sill, side: left, length: 3 m}]}",
                ),
            ],
            ["? the distance to the wires beside it (`gap`) of stretch 1 of line"],
        ),
        (
            [
                (
                    "zone: cabin, length: 1.5 m, beside: rear, gap: 50 mm",
                    "zone: cabin, along: sill, side: right, length: 1.5 m",
                ),
                (
                    "to: block.in, gauge: 4 AWG, length: 5 m}",
                    "to: block.in, gauge: 4 AWG, length: 5 m, route: [{zone: cabin, along: sill, side: left, length: 3 m}]}",
                ),
            ],
            [],
        ),
        ([("input_lowest: 200 mV\n    input_balanced: false", "input_balanced: true")], []),
        (
            [
                (", beside: rear, gap: 50 mm", ""),
                (
                    "to: block.in, gauge: 4 AWG, length: 5 m}",
                    "to: block.in, gauge: 4 AWG, length: 5 m, "
                    "route: [{zone: cabin, length: 4 m, beside: line, gap: 50 mm}]}",
                ),
            ],
            ["warning line"],
        ),
    ],
)
def test_an_unbalanced_signal_keeps_away_from_the_supply(swaps: list[tuple[str, str]], found: list[str]) -> None:
    """150 mm apart, or no more than 1 m beside it (up to 3 m is remarked): common practice."""
    assert outcome(changed(ROUTED, *swaps), "signal-beside-power") == found


@pytest.mark.parametrize("swaps", [swaps for _, swaps, _ in CASES.values()], ids=list(CASES))
def test_the_order_of_the_file_changes_nothing(swaps: list[tuple[str, str]]) -> None:
    """With all nodes and wires in the opposite order each rule about signals says the same."""
    text = changed(PLAN, *swaps)
    data = yaml.safe_load(text)
    for section in ("nodes", "wires"):
        data[section] = dict(reversed(data[section].items()))
    turned = yaml.safe_dump(data, sort_keys=False)
    assert {rule: outcome(turned, rule) for rule in SIGNAL} == {rule: outcome(text, rule) for rule in SIGNAL}


@pytest.mark.parametrize(
    ("region", "found"),
    [
        ("EU", ["note amp", "note converter"]),
        ("the moon", ["? the region of the vehicle"]),
        ("new zealand", ["note amp", "note converter"]),
        ("US", []),
        ("not stated", ["? the region of the vehicle"]),
    ],
)
def test_added_electronics_want_a_mark_where_the_regulation_counts(region: str, found: list[str]) -> None:
    """UN Regulation 10 counts in Europe and New Zealand and not in the United States; elsewhere the rule cannot tell."""
    whole = changed(
        PLAN, ("scope: electrical\n", ""), ("  audio_bus: none\n", f"  audio_bus: none\n  region: {region}\n")
    )
    assert outcome(whole, "approval-mark-missing") == found
    marked = whole.replace("input_highest:", "approval: E1 10R-05 4711\n    input_highest:")
    assert outcome(marked, "approval-mark-missing") == [one for one in found if one.startswith("?")]
    assert outcome(changed(whole, ("title:", "scope: electrical\ntitle:")), "approval-mark-missing") == []
