"""What attacks on the rules about filters and polarity of drivers once found missing or falsely blamed."""

from __future__ import annotations

from small_plans import changed, judged, messages, outcome, remedies
from speaker_plans import BESIDE, HEAD, POSTS, SET


def test_a_tweeter_on_the_output_for_the_bass_is_not_protected() -> None:
    """The two drivers changed about at the crossover: the tweeter gets the bass, and the power of it."""
    text = changed(SET, ("to: cone.positive", "to: new"), ("to: dome.positive", "to: cone.positive"))
    text = changed(text, ("to: new", "to: dome.positive"))
    (found,) = [one for one in judged(text).findings if one.severity.word == "error"]
    assert (found.rule, found.subject) == ("tweeter-unprotected", "dome")
    assert [one.rule for one in found.consequences] == ["power-over-driver"]


def test_a_locked_filter_of_80_hz_protects_no_tweeter() -> None:
    """It must begin at 1 kHz at least (common practice, memory), or the tweeter gets nearly all the bass."""
    text = SET[: SET.index("  a: ")] + "  a: {from: amp.left-positive, to: dome.positive}\n"
    text += "  b: {from: amp.left-negative, to: dome.negative}\n"
    assert outcome(text, "tweeter-unprotected") == ["error dome"]
    assert (
        outcome(
            changed(
                text, ("left: {power: 60 W, at: 4 ohm, lowest: 4 ohm, high_pass: 60 Hz", "left: {high_pass: 2 kHz")
            ),
            "tweeter-unprotected",
        )
        == []
    )


LOADS = (
    "load-below-minimum",
    "coil-network-mismatch",
    "drivers-unequal-on-channel",
    "power-over-driver",
    "tweeter-unprotected",
)


def test_a_tweeter_without_its_capacitor_is_the_cause_of_what_follows() -> None:
    """Beside a woofer it gets too much, is unlike and lowers the load that was meant: one finding, the others under it."""
    text = changed(
        BESIDE,
        ("left: {power: 60 W, at: 4 ohm, lowest: 4 ohm", "left: {power: 60 W, at: 4 ohm, lowest: 2 ohm, load: 4 ohm"),
    )
    told = [one for one in judged(text).findings if one.rule in LOADS]
    assert [(one.rule, one.subject) for one in told] == [("tweeter-unprotected", "dome")]
    assert sorted(one.rule for one in told[0].consequences) == [
        "coil-network-mismatch",
        "drivers-unequal-on-channel",
        "power-over-driver",
    ]


def test_a_capacitor_that_nobody_states_leaves_the_load_open() -> None:
    """With one the load is 4 ohm, without one 2 ohm: nobody can tell."""
    text = changed(BESIDE, (", series_capacitor: false", ""))
    for rule in ("load-below-minimum", "power-over-driver", "tweeter-unprotected"):
        assert outcome(text, rule) == ["? the series capacitor of dome"]
    assert outcome(changed(BESIDE, ("series_capacitor: false", "series_capacitor: true")), "load-below-minimum") == []


# A processor that filters by channel, before an amplifier that does not.
PROCESSED = f"""{HEAD}\
  dsp: {{kind: processor, outputs: {{
    high-left: {{high_pass: 3 kHz, high_pass_locked: true}},
    low-left: {{high_pass: 60 Hz}}}}}}
  amp: {{kind: amp, class: D, outputs: {{
    high: {{channels: 2, power: 20 W, at: 4 ohm}},
    low: {{channels: 2, power: 60 W, at: 4 ohm}}}}}}
  cone: {{kind: speaker, type: woofer, coils: 1, impedance: 4 ohm, power: 60 W, diameter: 6.5 in}}
  dome: {{kind: speaker, type: tweeter, coils: 1, impedance: 4 ohm, power: 20 W, series_capacitor: false}}
wires:
  s: {{from: dsp.output-high-left, to: amp.input-high-left}}
  t: {{from: dsp.output-low-left, to: amp.input-low-left}}
  a: {{from: amp.low-left-positive, to: cone.positive}}
  b: {{from: amp.low-left-negative, to: cone.negative}}
  c: {{from: amp.high-left-positive, to: dome.positive}}
  d: {{from: amp.high-left-negative, to: dome.negative}}
"""
SWAPPED = [
    ("to: amp.input-high-left", "to: new"),
    ("to: amp.input-low-left", "to: amp.input-high-left"),
    ("to: new", "to: amp.input-low-left"),
]


def test_the_lock_must_be_on_the_filter_that_protects() -> None:
    """A locked 80 Hz beside 3 kHz that anybody may turn is none; and of what is not stated nobody can tell."""
    own = ("high: {channels: 2, power: 20 W, at: 4 ohm", "high: {high_pass: 80 Hz, high_pass_locked: true, channels: 2")
    text = changed(PROCESSED, own)
    assert outcome(text, "tweeter-unprotected") == []
    text = changed(text, ("high_pass: 3 kHz, high_pass_locked: true", "high_pass: 3 kHz, high_pass_locked: false"))
    assert outcome(text, "tweeter-unprotected") == ["error dome"]
    text = changed(text, (", high_pass_locked: false", ""))
    assert outcome(text, "tweeter-unprotected") == ["? the lock on the high-pass filter of high of amp"]
    bare = changed(PROCESSED, ("high_pass: 3 kHz, high_pass_locked: true", "low_pass: 20 kHz"))
    assert outcome(bare, "tweeter-unprotected") == ["? the high-pass filter of high of amp"]


def test_the_filters_of_a_processor_count_by_channel() -> None:
    """Each output of the processor filters the channel that it feeds; swapped at the inputs, the tweeter gets the bass."""
    assert outcome(PROCESSED, "tweeter-unprotected") == outcome(PROCESSED, "small-speaker-no-highpass") == []
    text = PROCESSED
    for swap in SWAPPED:
        text = changed(text, swap)
    assert outcome(text, "tweeter-unprotected") == ["error dome"]
    # 6.5 in is what the trade calls 165 mm.
    deep = changed(PROCESSED, ("low-left: {high_pass: 60 Hz}", "low-left: {high_pass: 40 Hz}"))
    assert outcome(deep, "small-speaker-no-highpass") == ["warning cone"]


def test_inputs_without_a_channels_name_may_get_any_filter() -> None:
    """Where no name tells which output feeds which channel, their filters count only where they are alike."""
    text = changed(PROCESSED, ("amp.input-high-left", "amp.input-1"), ("amp.input-low-left", "amp.input-2"))
    assert outcome(text, "small-speaker-no-highpass") == ["? the high-pass filter of low of amp"]
    alike = changed(text, ("low-left: {high_pass: 60 Hz}", "low-left: {high_pass: 3 kHz}"))
    assert outcome(alike, "small-speaker-no-highpass") == []


# A radio that filters, an amplifier that does not, and two small speakers in series.
RADIO = f"""{HEAD}\
  radio: {{kind: radio, outputs: {{line-front: {{type: line, from: 80 Hz, to: 20 kHz}}}}}}
  amp: {{kind: amp, class: AB, outputs: {{
    front: {{channels: 2, power: 40 W, at: 4 ohm, high_pass: {{not_applicable: in the radio}}}}}}}}
  one: {{kind: speaker, type: full-range, coils: 1, impedance: 4 ohm, power: 20 W, diameter: 100 mm}}
  two: {{kind: speaker, type: full-range, coils: 1, impedance: 4 ohm, power: 20 W, diameter: 100 mm}}
wires:
  s: {{from: radio.line-front-left, to: amp.input-front-left}}
  a: {{from: amp.front-left-positive, to: one.positive}}
  b: {{from: one.negative, to: two.positive}}
  c: {{from: two.negative, to: amp.front-left-negative}}
"""


def test_a_radio_that_gives_no_bass_spares_a_small_speaker() -> None:
    """Its lowest frequency counts where the amplifier says that it has no filter; a capacitor in series does it too."""
    assert outcome(RADIO, "small-speaker-no-highpass") == []
    deep = changed(RADIO, ("from: 80 Hz", "from: 20 Hz"))
    # One filter is missing: told once, with both speakers.
    (found,) = [one for one in judged(deep).findings if one.rule == "small-speaker-no-highpass"]
    assert found.subject == "one"
    assert "the same at two" in [place.message for place in found.related]
    assert outcome(deep.replace("diameter:", "series_capacitor: true, diameter:"), "small-speaker-no-highpass") == []
    open_one = changed(RADIO, ("from: 80 Hz, to: 20 kHz", "to: 20 kHz"))
    assert outcome(open_one, "small-speaker-no-highpass") == ["? the lowest frequency (`from`) of line-front of radio"]
    bare = changed(RADIO, ("  s: {from: radio.line-front-left, to: amp.input-front-left}\n", ""))
    assert messages(bare, "small-speaker-no-highpass")[0] == (
        "one (100 mm) gets the bass: nothing filters what amp.front-left gives it"
    )


def test_a_sub_of_a_port_is_not_guarded_by_a_poor_radio() -> None:
    """That a radio gives less bass is told of the signal; of a range of tunings the upper end wants the filter."""
    text = changed(
        RADIO,
        (
            "two: {kind: speaker, type: full-range",
            "box: {kind: enclosure, tuning: 28..34 Hz}\n  two: {kind: speaker, enclosure: box, type: sub",
        ),
    )
    assert messages(text, "ported-no-subsonic") == [
        "two works in an enclosure tuned to 34 Hz, and nothing filters what it gets below that"
    ]
    low = changed(text, ("high_pass: {not_applicable: in the radio}", "high_pass: 22 Hz"))
    assert outcome(low, "ported-no-subsonic") == ["warning two"]
    assert outcome(changed(low, ("22 Hz", "24 Hz")), "ported-no-subsonic") == []


def test_a_subwoofer_says_in_which_of_the_drawn_enclosures_it_works() -> None:
    """Where the plan draws a ported box and the driver does not name it, nobody knows whether it wants a filter."""
    text = POSTS.replace("  one:", "  box: {kind: enclosure, tuning: 30 Hz}\n  one:", 1)
    assert outcome(text, "ported-no-subsonic") == ["? the enclosure of one", "? the enclosure of two"]
    assert outcome(POSTS, "ported-no-subsonic") == []


def test_coils_that_pull_against_each_other_are_told_as_that() -> None:
    """Swapping both wires of the driver would change nothing."""
    text = changed(
        POSTS,
        ("one: {kind: speaker, type: sub, coils: 1", "one: {kind: speaker, type: sub, coils: 2"),
        ("to: one.positive", "to: one.coil-1-positive"),
        ("to: one.negative", "to: one.coil-1-negative"),
    )
    text += "  e: {from: amp.sub-1-positive, to: one.coil-2-negative}\n"
    text += "  f: {from: amp.sub-1-negative, to: one.coil-2-positive}\n"
    assert messages(text, "driver-polarity-mixed") == [
        "the voice coils of one work against each other as they are wired"
    ]
    assert remedies(text, "driver-polarity-mixed") == ["Swap the two wires of one voice coil of one."]


def test_subwoofers_move_together_wherever_they_stand() -> None:
    """Two on channels of their own, in no enclosure that the plan draws, one reversed: the bass cancels."""
    apart = changed(POSTS, ("channels: 1", "channels: 2"))
    swapped = (
        apart.replace("from: amp.sub-2-positive", "from: X")
        .replace("sub-2-negative", "sub-2-positive")
        .replace("from: X", "from: amp.sub-2-negative")
    )
    assert outcome(apart, "driver-polarity-mixed") == []
    assert outcome(swapped, "driver-polarity-mixed") == ["warning two"]
    meant = changed(swapped, ("two: {kind: speaker,", "two: {kind: speaker, polarity: inverted,"))
    assert outcome(meant, "driver-polarity-mixed") == []
    # So do a pair on one output; what hangs on outputs of different names does not work together.
    assert outcome(swapped.replace("type: sub", "type: woofer"), "driver-polarity-mixed") == ["warning two"]


def test_poles_changed_about_before_a_crossover_are_told_once() -> None:
    """All drivers behind it are reversed by one slip, and told against those of the other channel."""
    text = SET.replace("    left: {power", "    front: {channels: 2, power").replace("amp.left-", "amp.front-left-")
    nodes, wires = text[text.index("  x: ") : text.index("wires:")], text[text.index("  a: ") :]
    for name in ("x", "cone", "dome"):
        nodes = nodes.replace(f"  {name}: ", f"  {name}-2: ")
        wires = wires.replace(f"{name}.", f"{name}-2.")
    wires = wires.replace("front-left", "front-right").replace("  ", "  other-")
    text = text.replace("wires:\n", f"{nodes}wires:\n{wires}")
    assert outcome(text, "driver-polarity-mixed") == []
    slip = changed(text, ("to: x-2.in-positive", "to: new"), ("to: x-2.in-negative", "to: x-2.in-positive"))
    (found,) = [
        one for one in judged(changed(slip, ("to: new", "to: x-2.in-negative"))).findings if "polarity" in one.rule
    ]
    assert found.subject == "cone-2"
    assert "the same at dome-2" in [place.message for place in found.related]


def test_a_pair_for_left_and_right_works_together() -> None:
    """Two woofers on outputs of their own, `front-left` and `front-right`, one reversed."""
    pair = POSTS.replace("type: sub", "type: woofer").replace("sub-1-", "front-left-").replace("sub-2-", "front-right-")
    of_amp = pair[pair.index("sub: {channels") : pair.index("}}\n")]
    own = of_amp.replace("channels: 1, ", "").removeprefix("sub")
    text = changed(pair, (of_amp, f"front-left{own}, front-right{own}"))
    assert outcome(text, "driver-polarity-mixed") == []
    slip = changed(text, ("to: two.positive", "to: new"), ("to: two.negative", "to: two.positive"))
    assert outcome(changed(slip, ("to: new", "to: two.negative")), "driver-polarity-mixed") == ["warning two"]
