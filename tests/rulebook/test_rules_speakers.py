"""Rules about speakers: what breaks them, what meets them, what leaves them unchecked, in small and in whole plans."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from matrix import EXAMPLES
from small_plans import changed, judged, messages, outcome

# A mono amplifier of 400 W at 2 ohm that bears 2 ohm, and a driver of two coils of 4 ohm in parallel: 2 ohm, 28.3 V.
PLAN = """\
plan: 1
title: one amplifier and its driver
scope: electrical
nodes:
  amp: {kind: amp, class: D, fuses: [30 A, 30 A], outputs: {
    sub: {power: 400 W, at: 2 ohm, rated: continuous-1-percent, lowest: 2 ohm, load: 2 ohm, low_pass: 80 Hz}}}
  stud: {kind: ground-point}
  sub: {kind: speaker, type: sub, coils: 2, impedance: 4 ohm, power: 400 W}
wires:
  ground: {from: amp.ground, to: stud}
  one-plus: {from: amp.sub-positive, to: sub.coil-1-positive}
  one-minus: {from: amp.sub-negative, to: sub.coil-1-negative}
  two-plus: {from: amp.sub-positive, to: sub.coil-2-positive}
  two-minus: {from: amp.sub-negative, to: sub.coil-2-negative}
"""
# Two channels of 100 W at 4 ohm, one driver of 4 ohm across both.
ACROSS = """\
plan: 1
title: one driver across two channels
scope: electrical
nodes:
  amp: {kind: amp, class: AB, fuses: [30 A], outputs: {
    pair: {power: 100 W, at: 4 ohm, rated: continuous-1-percent, channels: 2, lowest: 2 ohm}}}
  sub: {kind: speaker, type: sub, impedance: 4 ohm, power: 300 W}
wires:
  plus: {from: amp.pair-left-positive, to: sub.positive}
  minus: {from: amp.pair-right-negative, to: sub.negative}
"""
SERIES = [
    ("one-minus: {from: amp.sub-negative, to: sub.coil-1-negative}", "one-minus: {from: sub.coil-1-negative, to: s}"),
    ("two-plus: {from: amp.sub-positive, to: sub.coil-2-positive}", "two-plus: {from: sub.coil-2-positive, to: s}"),
    ("  stud:", "  s: {kind: splice}\n  stud:"),
]
LOAD = "lowest: 2 ohm, load: 2 ohm"
SUB = "type: sub, coils: 2, impedance: 4 ohm, power: 400 W"
TWO_MINUS = "two-minus: {from: amp.sub-negative, to: sub.coil-2-negative}"
TWO_PLUS = "two-plus: {from: amp.sub-positive, to: sub.coil-2-positive}"
SWAPPED = [
    (TWO_PLUS, TWO_PLUS.replace("coil-2-positive", "coil-2-negative")),
    (TWO_MINUS, TWO_MINUS.replace("coil-2-negative", "coil-2-positive")),
]
FUSES = "fuses: [30 A, 30 A]"
# Rule, the changes of the plan, and what the rule comes to. Where no source stands the limits are common practice.
CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    "as low as it bears": ("load-below-minimum", [], []),
    "an amplifier that bears 4 ohm": ("load-below-minimum", [("lowest: 2 ohm", "lowest: 4 ohm")], ["error amp.sub"]),
    "coils in series": ("load-below-minimum", [*SERIES, ("lowest: 2 ohm", "lowest: 8 ohm")], []),
    "no minimum": ("load-below-minimum", [("lowest: 2 ohm, ", "")], ["? the lowest load (`lowest`) of sub of amp"]),
    "no impedance": ("load-below-minimum", [("impedance: 4 ohm, ", "")], ["? the impedance of sub"]),
    "a wire from pole to pole": (
        "load-below-minimum",
        [("  one-plus:", "  slip: {from: amp.sub-positive, to: amp.sub-negative}\n  one-plus:")],
        ["error amp.sub"],
    ),
    "an output that may be bridged and does not say": (
        "load-below-minimum",
        [(LOAD, f"{LOAD}, lowest_bridged: 4 ohm")],
        ["? whether sub is bridged"],
    ),
    "a bridged output": (
        "bridge-halves-load",
        [(LOAD, f"{LOAD}, lowest_bridged: 4 ohm, bridged: true")],
        ["error amp.sub"],
    ),
    # Of 2 ohm each half sees 1 ohm.
    "a bridged output with the limit of one half": (
        "bridge-halves-load",
        [(LOAD, f"{LOAD}, bridged: true")],
        ["error amp.sub"],
    ),
    "a bridged output that bears it": ("bridge-halves-load", [(LOAD, "lowest: 1 ohm, bridged: true")], []),
    "a bridged output without a limit": (
        "bridge-halves-load",
        [(LOAD, "bridged: true")],
        ["? the lowest load across both (`lowest_bridged`) of sub of amp"],
    ),
    "one that is not bridged": ("bridge-halves-load", [], []),
    "a load as stated": ("coil-network-mismatch", [], []),
    "a load of 4 % more": ("coil-network-mismatch", [("load: 2 ohm", "load: 2.08 ohm")], []),
    "another load": ("coil-network-mismatch", [("load: 2 ohm", "load: 8 ohm")], ["warning amp.sub"]),
    "coils in series instead": ("coil-network-mismatch", SERIES, ["warning amp.sub"]),
    "no load stated": ("coil-network-mismatch", [(", load: 2 ohm", "")], []),
    "a load of coils nobody knows": ("coil-network-mismatch", [("impedance: 4 ohm, ", "")], ["? the impedance of sub"]),
    "both coils": ("coil-left-open", [], []),
    "one coil": ("coil-left-open", [(f"  {TWO_PLUS}\n", ""), (f"  {TWO_MINUS}\n", "")], ["warning sub"]),
    "one coil on purpose": (
        "coil-left-open",
        [(f"  {TWO_PLUS}\n", ""), (f"  {TWO_MINUS}\n", ""), ("coils: 2,", "coils: 2, open_coils: 1,")],
        [],
    ),
    "coils nobody counted": ("coil-left-open", [("coils: 2, ", "")], ["? the number of voice coils (`coils`) of sub"]),
    "coils that pull together": ("driver-polarity-mixed", [], []),
    "coils that pull against each other": ("driver-polarity-mixed", SWAPPED, ["warning sub"]),
    "said to be inverted and is not": (
        "driver-polarity-mixed",
        [(SUB, f"{SUB}, polarity: inverted")],
        ["warning sub"],
    ),
    # 400 W; a quarter more at most, twice as much burns (common practice, memory).
    "as much as it takes": ("power-over-driver", [], []),
    "a quarter more": ("power-over-driver", [("4 ohm, power: 400 W", "4 ohm, power: 320 W")], []),
    "half as much again": ("power-over-driver", [("4 ohm, power: 400 W", "4 ohm, power: 266 W")], ["warning sub"]),
    "twice and a little": ("power-over-driver", [("4 ohm, power: 400 W", "4 ohm, power: 199 W")], ["error sub"]),
    # 20 V in 2 ohm are 200 W.
    "a gain that spares it": (
        "power-over-driver",
        [("4 ohm, power: 400 W", "4 ohm, power: 199 W"), (LOAD, f"{LOAD}, gain_target: 20 V")],
        [],
    ),
    "a driver of unknown power": ("power-over-driver", [("4 ohm, power: 400 W", "4 ohm")], ["? the power of sub"]),
    "an amplifier of unknown power": ("power-over-driver", [("power: 400 W, at", "at")], ["? the power of sub of amp"]),
    "half of what it takes": ("power-under-driver", [("4 ohm, power: 400 W", "4 ohm, power: 800 W")], []),
    "less than half": ("power-under-driver", [("4 ohm, power: 400 W", "4 ohm, power: 900 W")], ["note sub"]),
    # 1.1 x 80 % x 14.4 V x 31 A are 393 W, of 32 A 406 W.
    "fuses that make it credible": ("power-claim-not-credible", [(FUSES, "fuses: [32 A]")], []),
    "fuses that do not": ("power-claim-not-credible", [(FUSES, "fuses: [31 A]")], ["warning amp"]),
    "no fuses stated": ("power-claim-not-credible", [(f"{FUSES}, ", "")], ["? the fuses on board (`fuses`) of amp"]),
    "a figure for advertising": (
        "power-claim-not-credible",
        [("continuous-1-percent", "other")],
        ["warning amp"],
    ),
    "a figure of unknown basis": (
        "power-claim-not-credible",
        [("rated: continuous-1-percent, ", "")],
        ["? the basis of the power (`rated`) of sub of amp"],
    ),
    "no high-pass on a sub": ("small-speaker-no-highpass", [], []),
    "a sub's low-pass": ("sub-no-lowpass", [], []),
    "a sub's low-pass that is high": ("sub-no-lowpass", [("low_pass: 80 Hz", "low_pass: 160 Hz")], ["note sub"]),
    "a sub without one": ("sub-no-lowpass", [("low_pass: 80 Hz", "low_pass: {not_applicable: none}")], ["note sub"]),
    "a sub of which it is not stated": (
        "sub-no-lowpass",
        [(", low_pass: 80 Hz", "")],
        ["? the low-pass filter of sub of amp"],
    ),
    "an output led to its speaker": ("speaker-output-to-body", [], []),
    "a pole on the body": (
        "speaker-output-to-body",
        [
            (
                "two-minus: {from: amp.sub-negative, to: sub.coil-2-negative}",
                "two-minus: {from: amp.sub-negative, to: stud}",
            )
        ],
        ["error two-minus"],
    ),
    "a voice coil on the body": (
        "speaker-output-to-body",
        [(TWO_MINUS, "two-minus: {from: stud, to: sub.coil-2-negative}")],
        ["error two-minus"],
    ),
    "a sub is no tweeter": ("tweeter-unprotected", [], []),
    "a driver of unknown type on a bass channel": ("tweeter-unprotected", [("type: sub, ", "")], []),
    "a driver of unknown type": (
        "tweeter-unprotected",
        [("type: sub, ", ""), (", low_pass: 80 Hz", "")],
        ["? the type of sub"],
    ),
    "a driver of unknown type and 300 mm": (
        "tweeter-unprotected",
        [("type: sub,", "diameter: 300 mm,"), (", low_pass: 80 Hz", "")],
        [],
    ),
}


@pytest.mark.parametrize(("rule", "swaps", "expected"), CASES.values(), ids=CASES.keys())
def test_what_a_rule_comes_to(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """Each change of the small plan comes to what the trade says of it."""
    system = ("scope: electrical\n", "scope: electrical\nvehicle: {system: 12 V}\n")
    assert outcome(changed(PLAN, system, *swaps), rule) == expected


TWEETER = "type: tweeter, coils: 2"
PROTECTED = [
    (", series_capacitor: true", "low_pass: 80 Hz", []),
    (", series_capacitor: false", "high_pass: 3 kHz, high_pass_locked: true", []),
    ("", "high_pass: 3 kHz, high_pass_locked: true", []),
    (", series_capacitor: false", "high_pass: 3 kHz, high_pass_locked: false", ["error sub"]),
    (", series_capacitor: false", "high_pass: {not_applicable: full range}", ["error sub"]),
    (", series_capacitor: false", "high_pass: 3 kHz", ["? the lock on the high-pass filter of sub of amp"]),
    ("", "high_pass: 3 kHz, high_pass_locked: false", ["? the series capacitor of sub"]),
]


@pytest.mark.parametrize(("part", "filters", "expected"), PROTECTED)
def test_what_protects_a_tweeter(part: str, filters: str, expected: list[str]) -> None:
    """A capacitor in series or a locked high-pass; what nobody states protects nothing."""
    text = changed(
        PLAN, ("type: sub, coils: 2", TWEETER), ("power: 400 W}", f"power: 400 W{part}}}"), ("low_pass: 80 Hz", filters)
    )
    assert outcome(text, "tweeter-unprotected") == expected


SMALL = [
    ("165 mm", "high_pass: 50 Hz", []),
    ("165 mm", "high_pass: 45 Hz", ["warning sub"]),
    ("165 mm", "high_pass: {not_applicable: full range}", ["warning sub"]),
    ("165 mm", "band: full", ["? the high-pass filter of sub of amp"]),
    ("166 mm", "band: full", []),
    ("not stated", "band: full", ["? the diameter of sub"]),
]


@pytest.mark.parametrize(("diameter", "filters", "expected"), SMALL)
def test_a_small_speaker_without_the_bass(diameter: str, filters: str, expected: list[str]) -> None:
    """Up to 165 mm a speaker wants a high-pass of 50 Hz at least (common practice, memory)."""
    text = changed(
        PLAN, ("type: sub, coils: 2", f"type: woofer, diameter: {diameter}, coils: 2"), ("low_pass: 80 Hz", filters)
    )
    assert outcome(text, "small-speaker-no-highpass") == expected


PORTED = [
    ("34 Hz", "high_pass: 25 Hz", []),
    ("34 Hz", "high_pass: 23 Hz", ["warning sub"]),
    ("34 Hz", "high_pass: 34 Hz", ["note sub"]),
    ("34 Hz", "high_pass: {not_applicable: none}", ["warning sub"]),
    ("34 Hz", "band: bass", ["? the high-pass filter of sub of amp"]),
    ("{not_applicable: closed}", "band: bass", []),
    ("not stated", "high_pass: 25 Hz", ["? the tuning of box"]),
]


@pytest.mark.parametrize(("tuning", "filters", "expected"), PORTED)
def test_a_filter_below_the_tuning_of_a_port(tuning: str, filters: str, expected: list[str]) -> None:
    """0.7 to 0.9 of the tuning (common practice, memory): of 34 Hz, 23.8 Hz to 30.6 Hz."""
    text = changed(
        PLAN,
        ("power: 400 W}", "power: 400 W, enclosure: box}\n  box: {kind: enclosure, tuning: " + tuning + "}"),
        ("low_pass: 80 Hz", filters),
    )
    assert outcome(text, "ported-no-subsonic") == expected


def test_one_load_between_two_channels_is_bridged() -> None:
    """Of 4 ohm each half sees 2 ohm, and the driver gets four times the power of one channel at 4 ohm: 400 W."""
    assert outcome(ACROSS, "bridge-halves-load") == outcome(ACROSS, "load-below-minimum") == []
    assert outcome(changed(ACROSS, ("impedance: 4 ohm", "impedance: 3 ohm")), "bridge-halves-load") == [
        "error amp.pair-left"
    ]
    assert messages(changed(ACROSS, ("power: 300 W", "power: 150 W")), "power-over-driver") == [
        "sub gets up to 400 W as it is wired; its voice coils take 150 W"
    ]


@pytest.mark.parametrize(
    "more",
    [
        "  third: {from: amp.pair-left-negative, to: sub.negative}\n",
        "  third: {from: amp.pair-right-positive, to: sub.positive}\n",
    ],
)
def test_outputs_that_work_into_one_load_are_told_as_that(more: str) -> None:
    """Three poles on one voice coil are no load that anybody could judge: an error for each of the outputs."""
    assert "error amp.pair-left" in outcome(ACROSS + more, "load-below-minimum")
    assert outcome(ACROSS + more, "bridge-halves-load") == []
    assert any("hang on" in message for message in messages(ACROSS + more, "load-below-minimum"))


def test_an_output_on_the_body_is_not_judged_by_its_load() -> None:
    """It is told of the wire that leads there, once, and passes no rule about its load."""
    text = changed(PLAN, (TWO_MINUS, "two-minus: {from: amp.sub-negative, to: stud}"))
    found = judged(text).findings
    assert [(one.rule, one.subject) for one in found if one.severity.word == "error"] == [
        ("speaker-output-to-body", "two-minus")
    ]
    assert outcome(changed(text, ("lowest: 2 ohm", "lowest: 16 ohm")), "load-below-minimum") == []


def test_a_stated_load_is_judged_where_no_speaker_is_drawn() -> None:
    """A plan without its speakers still says what the amplifier must bear."""
    text = PLAN[: PLAN.index("  one-plus")].replace("  sub: {kind: speaker", "  sub: {kind: enclosure} #")
    assert outcome(text, "load-below-minimum") == []
    assert outcome(text.replace("load: 2 ohm", "load: 1 ohm"), "load-below-minimum") == ["error amp.sub"]
    assert outcome(text.replace(", load: 2 ohm", ""), "load-below-minimum") == []


def test_like_drivers_in_one_box_move_together() -> None:
    """The one that is reversed without a word is told; said to be reversed on purpose, none is."""
    text = next(one for one in EXAMPLES if "coupe" in one.name).read_text(encoding="utf-8")
    plus, minus = "bass-amp.bass-positive, to: bass-2.positive", "bass-amp.bass-negative, to: bass-2.negative"
    swapped = changed(
        text,
        (plus, plus.replace("bass-2.positive", "bass-2.negative")),
        (minus, minus.replace("bass-2.negative", "bass-2.positive")),
    )
    assert outcome(text, "driver-polarity-mixed") == []
    assert outcome(swapped, "driver-polarity-mixed") == ["warning bass-2"]
    meant = changed(swapped, ("  bass-2: {kind: speaker,", "  bass-2: {kind: speaker, polarity: inverted,"))
    assert outcome(meant, "driver-polarity-mixed") == []


def test_drivers_in_series_on_one_channel_move_together() -> None:
    """Two drivers one after the other, the second reversed: told where no enclosure is named too."""
    text = ACROSS.replace("  sub:", "  two: {kind: speaker, type: sub, impedance: 4 ohm, power: 300 W}\n  sub:")
    text = text.replace("amp.pair-right-negative, to: sub.negative", "two.%s, to: sub.negative")
    last = "  last: {from: amp.pair-right-negative, to: two.%s}\n"
    assert outcome(text % "positive" + last % "negative", "driver-polarity-mixed") == []
    assert outcome(text % "negative" + last % "positive", "driver-polarity-mixed") == ["warning two"]


def test_an_amplifier_that_must_not_be_bridged_is_not() -> None:
    """The plan says that no load is permitted across both channels."""
    text = changed(ACROSS, ("lowest: 2 ohm", "lowest: 2 ohm, lowest_bridged: {not_applicable: not to be bridged}"))
    assert outcome(text, "bridge-halves-load") == ["error amp.pair-left"]


def test_the_order_of_the_file_changes_nothing() -> None:
    """Nodes and wires of a faulty plan turned round come to the same findings in the same words."""
    text = next(one for one in EXAMPLES if "coupe" in one.name).read_text(encoding="utf-8")
    data = yaml.safe_load(text.replace("impedance: 8 ohm", "impedance: 3 ohm").replace("lowest: 2 ohm, load", "load"))
    turned = {key: dict(reversed(value.items())) if key in ("nodes", "wires") else value for key, value in data.items()}

    def told(plan: dict[str, Any]) -> list[Any]:
        result = judged(yaml.safe_dump(plan, sort_keys=False))
        found = [(one.rule, one.subject, one.message, [c.message for c in one.consequences]) for one in result.findings]
        return [found, [(gap.needs, gap.rules) for gap in result.unchecked]]

    assert told(data) == told(turned)
    assert told(data)[0] and told(data)[1]


def test_speakers_that_share_a_channel_are_alike() -> None:
    """They differ in impedance, in power or in both; one whose power is not stated leaves it open."""
    text = next(one for one in EXAMPLES if "coupe" in one.name).read_text(encoding="utf-8")
    first = "bass-1: {kind: speaker, zone: boot, type: sub, coils: 1, impedance: 8 ohm, power: 150 W"
    for new, expected in (
        (first.replace("150 W", "200 W"), ["warning bass-amp.bass"]),
        (first.replace("8 ohm", "6 ohm"), ["warning bass-amp.bass"]),
        (first.replace(", power: 150 W", ""), ["? the power of bass-1"]),
    ):
        assert outcome(changed(text, (first, new)), "drivers-unequal-on-channel") == expected


# The current that 400 W cost by class at 13.8 V: D 36.2 A (80 %), AB 48.3 A (60 %); at best D 31.5 A (92 %), AB 44.6 A.
CURRENTS = [
    ("D", "33 A", []),
    ("D", "32 A", ["warning amp"]),
    ("D", "32 A maker", []),
    ("D", "28 A maker", ["warning amp"]),
    ("AB", "36 A", ["warning amp"]),
    ("AB", "44 A", []),
    ("other", "36 A", []),
]


@pytest.mark.parametrize(("class_", "amps", "expected"), CURRENTS)
def test_a_stated_current_fits_the_class(class_: str, amps: str, expected: list[str]) -> None:
    """At least 0.9 of what power and class come to; 400 W of class AB are 48 A, not 36 A."""
    text = changed(
        PLAN,
        ("class: D,", f"class: {class_}, supply: {amps},"),
        ("scope: electrical\n", "scope: electrical\nvehicle: {system: 12 V}\n"),
    )
    assert outcome(text, "efficiency-class-misused") == expected


# Faults of students' plans in whole plans: example, edit, and the finding that stands on its own.
HATCH = "coil-1-negative: {group: coil, from: bass-amp.sub-negative, to: subwoofer.coil-1-negative}"
WHOLE: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    # A dual driver of 4 ohm coils, from series (8 ohm) to parallel (2 ohm), on an amplifier that bears 4 ohm.
    "coils in parallel where only series meets the minimum": (
        "hatchback",
        [("lowest: 1 ohm, load: 2 ohm", "lowest: 4 ohm, load: 8 ohm")],
        ["load-below-minimum bass-amp.sub"],
    ),
    "a bridged output on half of its load": (
        "coupe",
        [
            (
                f"bass-{i}: {{kind: speaker, zone: boot, type: sub, coils: 1, impedance: 8 ohm",
                f"bass-{i}: {{kind: speaker, zone: boot, type: sub, coils: 1, impedance: 4 ohm",
            )
            for i in (1, 2)
        ],
        ["bridge-halves-load bass-amp.bass"],
    ),
    # 2 ohm across both are 1 ohm for each half; the amplifier bears 2 ohm there.
    "a bridged load that would suit one channel": (
        "coupe",
        [("lowest: 2 ohm, lowest_bridged: 4 ohm", "lowest: 3 ohm")],
        ["bridge-halves-load bass-amp.bass"],
    ),
    "a driver of 200 W on 500 W": (
        "hatchback",
        [("dc_resistance: 3.2 ohm, power: 500 W", "dc_resistance: 3.2 ohm, power: 200 W")],
        ["power-over-driver subwoofer"],
    ),
    # Two drivers of dual 4 ohm coils, all in parallel: 1 ohm, typed 2 ohm.
    "a total typed by hand": (
        "hatchback",
        [
            (
                "  bass-box:",
                "  second: {kind: speaker, zone: boot, type: sub, coils: 2, impedance: 4 ohm, power: 500 W}\n  bass-box:",
            ),
            (
                f"  {HATCH}\n",
                f"  {HATCH}\n"
                + "".join(
                    f"  more-{coil}-{pole}: {{group: coil, from: bass-amp.sub-{pole}, to: second.coil-{coil}-{pole}}}\n"
                    for coil in (1, 2)
                    for pole in ("positive", "negative")
                ),
            ),
        ],
        ["coil-network-mismatch bass-amp.sub"],
    ),
    "the same on an amplifier that bears 2 ohm": (
        "hatchback",
        [
            ("lowest: 1 ohm, load", "lowest: 2 ohm, load"),
            ("coils: 2, impedance: 4 ohm", "coils: 2, impedance: 2 ohm"),
        ],
        ["load-below-minimum bass-amp.sub"],
    ),
    # 240 W of class AB cost 29 A; reckoned as class D 22 A.
    "class AB reckoned as class D": (
        "coupe",
        [("supply: 29 A", "supply: 22 A")],
        ["efficiency-class-misused bass-amp"],
    ),
    # Two fuses of 20 A make 1.1 x 80 % x 14.4 V x 40 A = 507 W credible.
    # The driver's 500 W are exceeded twice over by a figure that nobody believes.
    "five thousand watts, and no gain set for less": (
        "hatchback",
        [
            ("sub: {power: 500 W, at: 2 ohm", "sub: {power: 5 kW, at: 2 ohm"),
            ("low_pass: 80 Hz,\n        gain_target: 31.6 V}", "low_pass: 80 Hz}"),
        ],
        ["power-claim-not-credible bass-amp"],
    ),
    "a thousand watts behind small fuses": (
        "hatchback",
        [("sub: {power: 500 W, at: 2 ohm", "sub: {power: 1000 W, at: 2 ohm")],
        ["power-claim-not-credible bass-amp"],
    ),
}


@pytest.mark.parametrize(("example", "swaps", "expected"), WHOLE.values(), ids=WHOLE.keys())
def test_a_fault_in_a_whole_plan_is_told_once(example: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One edit of a sound plan, and one finding of this group stands on its own; the others follow from it."""
    text = next(one for one in EXAMPLES if one.name.startswith(example)).read_text(encoding="utf-8")
    found = judged(changed(text, *swaps)).findings
    groups = ("load", "bridge", "coil", "driver", "power", "efficiency", "speaker", "tweeter", "sub", "ported")
    assert [f"{one.rule} {one.subject}" for one in found if one.rule.startswith(groups)] == expected
