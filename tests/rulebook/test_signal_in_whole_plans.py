"""Mistakes about signal and ground planted in the five whole plans: each is one finding, with nothing else beside it.

The mistakes are common practice: those that trainers plant, and those that a look at one part at a time misses.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from small_plans import changed, judged

EXAMPLES = Path(__file__).parents[2] / "examples"
CONVERTER = "input_lowest: 1 V, input_resistance: 20 kohm, input_balanced: true,"
ELSEWHERE = (
    "  boot-stud: # takes two",
    "  dash-point: {kind: ground-point, zone: cabin, section: main, member: strut, fastener: the maker's M8 stud,\n"
    "    surface: bare-metal, sealed: true, fuel: none-near, lugs: [converter-ground]}\n  boot-stud: # takes two",
)
# By what is done: the example, the edits, and all that is found then and was not found before, by rule and subject.
MISTAKES: dict[str, tuple[str, list[tuple[str, str]], set[tuple[str, str]]]] = {
    "converter grounded at the dash, amplifier in the boot": (
        "hatchback",
        [
            ELSEWHERE,
            ("    from: converter.ground\n    to: boot-stud\n", "    from: converter.ground\n    to: dash-point\n"),
        ],
        {("ground-potential-split", "line")},
    ),
    "factory speakers taken off, no load in their place": (
        "hatchback",
        [("factory_speaker: kept", "factory_speaker: removed")],
        {("load-sense-unsatisfied", "radio")},
    ),
    "a pickup's radio that looks for its speakers": (
        "pickup",
        [
            (
                "detects_load: false, volume_dependent: false}\n      speaker-right",
                "volume_dependent: false}\n      speaker-right",
            )
        ],
        {("load-sense-unsatisfied", "radio")},
    ),
    "a processor that no longer loads the factory amplifier": (
        "sedan",
        [("input_resistance: 47 ohm", "input_resistance: 20 kohm"), ("loads_radio: true", "loads_radio: false")],
        {("load-sense-unsatisfied", "factory-amp")},
    ),
    "a converter whose inputs share its ground": (
        "hatchback",
        [(CONVERTER, CONVERTER.replace("true", "false"))],
        {("speaker-minus-grounded", "tap-negative")},
    ),
    "an amplifier whose speaker-level inputs share its ground": (
        "pickup",
        [("input_balanced: true # speaker level, both wires live", "input_balanced: false")],
        {("speaker-minus-grounded", "left-negative")},
    ),
    "a processor whose inputs share its ground": (
        "sedan",
        [("     input_balanced: true, output_highest", "     input_balanced: false, output_highest")],
        {("speaker-minus-grounded", "tweeter-negative")},
    ),
    "a radio's minus on a ground point": (
        "pickup",
        [("to: amp.input-left-negative", "to: cab-stud")],
        {("speaker-minus-grounded", "left-negative")},
    ),
    "nobody looked for a factory amplifier in the hatchback": (
        "hatchback",
        [("factory_amp: none", "factory_amp: unknown")],
        {("factory-amp-not-determined", "vehicle")},
    ),
    "nobody looked for a factory amplifier in the van": (
        "two-batteries",
        [("factory_amp: none", "factory_amp: unknown")],
        {("factory-amp-not-determined", "vehicle")},
    ),
    "nobody looked for a factory amplifier in the wagon": (
        "show-wagon",
        [("factory_amp: none", "factory_amp: unknown")],
        {("factory-amp-not-determined", "vehicle")},
    ),
    # 24 V against the 20 V that the processor takes.
    "the factory amplifier's bass channel tapped after all": (
        "sedan",
        [
            (
                "  line-doors:",
                "  bass-positive: {from: factory-amp.speaker-bass-positive, to: processor.input-bass-positive, group: tap}\n"
                "  bass-negative: {from: factory-amp.speaker-bass-negative, to: processor.input-bass-negative, group: tap}\n"
                "  line-doors:",
            )
        ],
        {("input-level-overdriven", "processor")},
    ),
    "a tweeters' channel that ends early": (
        "sedan",
        [("to: 20 kHz measured", "to: 8 kHz measured")],
        {("tap-band-limited", "main-amp")},
    ),
    "nothing takes out the delay": (
        "sedan",
        [("removes_delay: true", "removes_delay: false")],
        {("summing-needed", "main-amp")},
    ),
    "noise cancelling forgotten": (
        "sedan",
        [("  noise_cancelling_plan: off-by-maker\n", "")],
        {("noise-cancel-unhandled", "vehicle")},
    ),
    "both channels of the radio on one input": (
        "pickup",
        [("to: amp.input-right-positive", "to: amp.input-left-positive")],
        {("outputs-paralleled", "radio")},
    ),
}


@pytest.mark.parametrize("mistake", MISTAKES)
def test_a_mistake_is_found_once_with_nothing_beside_it(mistake: str) -> None:
    """What is found after the edit and was not before is the mistake alone."""
    example, swaps, expected = MISTAKES[mistake]
    text = (EXAMPLES / f"{example}.plan.yaml").read_text(encoding="utf-8")
    before = {(one.rule, one.subject) for one in judged(text).findings}
    after = {(one.rule, one.subject) for one in judged(changed(text, *swaps)).findings}
    assert after - before == expected
    assert before <= after
