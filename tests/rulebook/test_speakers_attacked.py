"""What attacks on the rules about the load of speakers once found missing or falsely blamed, on the smallest plan."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome, remedies
from speaker_plans import BESIDE, HEAD, POSTS, SET

# Two channels of 50 W at 4 ohm, a front speaker on each behind a capacitor and a subwoofer across both behind a choke.
BOTH_WAYS = f"""{HEAD}\
  amp: {{kind: amp, class: AB, fuses: [30 A], outputs: {{
    left: {{power: 50 W, at: 4 ohm, lowest: 2 ohm, lowest_bridged: 4 ohm}},
    right: {{power: 50 W, at: 4 ohm, lowest: 2 ohm, lowest_bridged: 4 ohm}}}}}}
  choke: {{kind: crossover, bands: below 100 Hz}}
  one: {{kind: speaker, type: full-range, coils: 1, impedance: 4 ohm, power: 60 W, diameter: 130 mm, series_capacitor: true}}
  two: {{kind: speaker, type: full-range, coils: 1, impedance: 4 ohm, power: 60 W, diameter: 130 mm, series_capacitor: true}}
  sub: {{kind: speaker, type: sub, coils: 1, impedance: 4 ohm, power: 200 W}}
wires:
  a: {{from: amp.left-positive, to: one.positive}}
  b: {{from: amp.left-negative, to: one.negative}}
  c: {{from: amp.right-positive, to: two.positive}}
  d: {{from: amp.right-negative, to: two.negative}}
  e: {{from: amp.left-positive, to: choke.in-positive}}
  f: {{from: amp.right-negative, to: choke.in-negative}}
  g: {{from: choke.out-positive, to: sub.positive}}
  h: {{from: choke.out-negative, to: sub.negative}}
"""
ONE, SUB = "one: {kind: speaker, type: full-range, coils: 1, impedance: 4 ohm", "type: sub, coils: 1, impedance: 4 ohm"
# Rule, the changes, and what the rule comes to.
AT_ONCE: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    "each load in a band of its own": ("load-below-minimum", [], []),
    "the bridge bears it": ("bridge-halves-load", [], []),
    # Of 2 ohm each half sees 1 ohm.
    "a bridge of 2 ohm": ("bridge-halves-load", [(SUB, SUB.replace("4 ohm", "2 ohm"))], ["error amp.left-with-right"]),
    "a front speaker of 1 ohm": ("load-below-minimum", [(ONE, ONE.replace("4 ohm", "1 ohm"))], ["error amp.left"]),
    # 50 W at 4 ohm are 14.1 V, twice that in 4 ohm 200 W (Ohm's law).
    "the power of the bridge": ("power-over-driver", [("power: 200 W", "power: 90 W")], ["error sub"]),
    "the choke filters the subwoofer": ("sub-no-lowpass", [], []),
    "no capacitor before one": (
        "load-below-minimum",
        [(f"{ONE}, power: 60 W, diameter: 130 mm, series_capacitor: true", f"{ONE}, series_capacitor: false")],
        ["error amp.left"],
    ),
    "nobody says whether there is a capacitor": (
        "load-below-minimum",
        [(f"{ONE}, power: 60 W, diameter: 130 mm, series_capacitor: true", ONE)],
        ["? the series capacitor of one"],
    ),
    "nobody says what the choke does": (
        "load-below-minimum",
        [(", bands: below 100 Hz", "")],
        ["? the bands of choke"],
    ),
    "the choke is none": ("load-below-minimum", [("below 100 Hz", "high-pass")], ["error amp.left"]),
    "across both positives": (
        "load-below-minimum",
        [("f: {from: amp.right-negative", "f: {from: amp.right-positive")],
        ["error amp.left"],
    ),
}


@pytest.mark.parametrize(("rule", "swaps", "expected"), AT_ONCE.values(), ids=AT_ONCE.keys())
def test_stereo_and_bridged_at_once(rule: str, swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """Sound where a choke keeps the one to the bass and capacitors the others above it (common practice)."""
    assert outcome(changed(BOTH_WAYS, *swaps), rule) == expected


def test_a_finding_of_a_bridge_between_two_channels_can_be_accepted() -> None:
    """Its name is one that a plan may write."""
    text = changed(BOTH_WAYS, (SUB, SUB.replace("4 ohm", "3 ohm")))
    text += "accepted:\n  - {rule: bridge-halves-load, subject: amp.left-with-right, reason: tried, by: the foreman}\n"
    assert outcome(text, "bridge-halves-load") == []
    assert [one.finding.subject for one in judged(text).accepted] == ["amp.left-with-right"]


# Two mono amplifiers linked across one driver: positive to positive, their negatives joined.
LINKED = f"""{HEAD}\
  one: {{kind: amp, class: D, outputs: {{sub: {{power: 500 W, at: 2 ohm, lowest: 1 ohm, lowest_bridged: 2 ohm}}}}}}
  two: {{kind: amp, class: D, outputs: {{sub: {{power: 500 W, at: 2 ohm, lowest: 1 ohm, lowest_bridged: 4 ohm}}}}}}
  driver: {{kind: speaker, type: sub, coils: 1, impedance: 4 ohm, power: 1000 W}}
wires:
  a: {{from: one.sub-positive, to: driver.positive}}
  b: {{from: two.sub-positive, to: driver.negative}}
  c: {{from: one.sub-negative, to: two.sub-negative}}
"""


def test_two_linked_amplifiers_are_a_bridge() -> None:
    """Each drives half of 4 ohm: 2 x 500 W (Ohm's law); the one that bears less decides."""
    for rule in ("load-below-minimum", "bridge-halves-load", "power-over-driver", "outputs-paralleled"):
        assert outcome(LINKED, rule) == []
    low = changed(LINKED, ("impedance: 4 ohm", "impedance: 3 ohm"))
    assert outcome(low, "bridge-halves-load") == ["error two.sub-with-one"]
    assert messages(changed(LINKED, ("power: 1000 W", "power: 400 W")), "power-over-driver") == [
        "driver gets up to 1000 W as it is wired; its voice coils take 400 W"
    ]


def test_two_amplifiers_that_nobody_links_share_no_load() -> None:
    """Without a joint of their negatives, or where the plan does not say that their makers permit it."""
    for swap in (
        ("  c: {from: one.sub-negative, to: two.sub-negative}\n", ""),
        (", lowest_bridged: 2 ohm", ""),
        ("lowest_bridged: 4 ohm", "lowest_bridged: {not_applicable: not to be linked}"),
    ):
        assert outcome(changed(LINKED, swap), "load-below-minimum") == ["error one.sub"]


def test_two_pairs_of_posts_of_one_channel_are_in_parallel() -> None:
    """Two drivers of 2 ohm are 1 ohm for the one channel, and share what it gives."""
    assert outcome(POSTS, "load-below-minimum") == outcome(POSTS, "coil-network-mismatch") == []
    low = changed(POSTS, ("lowest: 1 ohm", "lowest: 2 ohm"))
    assert outcome(low, "load-below-minimum") == ["error amp.sub"]
    assert outcome(POSTS, "power-over-driver") == outcome(POSTS, "power-under-driver") == []
    wired_across = changed(POSTS, ("b: {from: amp.sub-1-negative", "b: {from: amp.sub-2-negative"))
    assert outcome(wired_across, "load-below-minimum") == outcome(wired_across, "bridge-halves-load") == []


def test_pairs_of_posts_that_nobody_counted_are_not_taken_for_channels() -> None:
    """One channel with two pairs of posts sees half of what two channels see."""
    text = changed(POSTS, ("channels: 1, ", ""))
    assert outcome(text, "load-below-minimum") == ["? the number of channels (`channels`) of sub of amp"]
    two = changed(POSTS, ("channels: 1", "channels: 2"), ("lowest: 1 ohm", "lowest: 2 ohm"))
    assert outcome(two, "load-below-minimum") == []


def test_outputs_that_hang_together_in_a_chain_are_one_fault() -> None:
    """A driver from the first to the second output and one from the second to the third: told once, with all three."""
    each = "power: 50 W, at: 4 ohm, lowest: 2 ohm"
    text = changed(
        POSTS,
        (
            "sub: {channels: 1, power: 800 W, at: 1 ohm, lowest: 1 ohm, load: 1 ohm}",
            f"a: {{{each}}}, b: {{{each}}}, c: {{{each}}}",
        ),
        ("amp.sub-1-positive", "amp.a-positive"),
        ("amp.sub-1-negative", "amp.b-negative"),
        ("amp.sub-2-positive", "amp.b-positive"),
        ("amp.sub-2-negative", "amp.c-negative"),
    )
    (found,) = [one for one in judged(text).findings if one.rule == "load-below-minimum"]
    assert found.subject == "amp.a"
    assert [place.message for place in found.related if "same" in place.message] == [
        "the same at amp.b",
        "the same at amp.c",
    ]


def test_a_crossover_with_a_common_negative_is_judged_band_by_band() -> None:
    """Each band is 4 ohm, not the 2 ohm of both, and not nothing."""
    assert outcome(SET, "load-below-minimum") == outcome(SET, "tweeter-unprotected") == []
    low = changed(SET, ("coils: 1, impedance: 4 ohm, power: 60 W", "coils: 1, impedance: 3 ohm, power: 60 W"))
    assert outcome(low, "load-below-minimum") == ["error amp.left"]


def test_a_crossover_with_an_input_for_each_band_joins_no_channels() -> None:
    """The woofer's and the tweeter's input each lead to the output of that band alone."""
    text = changed(
        SET,
        ("to: x.in-positive", "to: x.in-low-positive"),
        ("b: {from: amp.left-negative, to: x.in-negative}", "b: {from: amp.left-negative, to: x.in-low-negative}"),
        ("d: {from: x.out-negative", "d: {from: x.out-low-negative"),
        ("f: {from: x.out-negative", "f: {from: x.out-high-negative"),
    )
    more = "".join(f"  {pole}: {{from: amp.right-{pole}, to: x.in-high-{pole}}}\n" for pole in ("positive", "negative"))
    assert outcome(text + more, "load-below-minimum") == []
    slip = more.replace("amp.right-negative", "amp.left-negative")
    assert outcome(text + slip, "load-below-minimum") == ["error amp.left"]


def test_a_thin_lead_counts_against_its_own_speaker() -> None:
    """18 AWG is 21.4 mohm/m, 24 mohm/m at 50 C (ASTM B258 geometry): 12 m of it are 14 % of 2 ohm; the other has none."""
    text = changed(
        POSTS,
        ("channels: 1, ", ""),
        ("amp.sub-2-positive", "amp.sub-1-positive"),
        ("amp.sub-2-negative", "amp.sub-1-negative"),
    )
    text = text.replace("nodes:", "defaults: {wire: {material: copper, gauge: 8 AWG, length: 50 cm}}\nnodes:")
    assert outcome(text, "speaker-cable-loss") == []
    thin = changed(text, ("to: one.positive}", "to: one.positive, gauge: 18 AWG, length: 12 m}"))
    assert outcome(thin, "speaker-cable-loss") == ["warning one"]


def test_a_tweeter_behind_a_capacitor_does_not_double_the_loss() -> None:
    """At any frequency the cable feeds the woofer or the tweeter: 0.19 ohm are 4.8 % of 4 ohm, not 9.6 % of 2 ohm."""
    text = changed(BESIDE, ("series_capacitor: false", "series_capacitor: true"))
    text = text.replace("amp.left-positive, to: dome", "cone.positive, to: dome").replace(
        "amp.left-negative, to: dome", "cone.negative, to: dome"
    )
    text = text.replace("nodes:", "defaults: {wire: {material: copper, gauge: 8 AWG, length: 5 cm}}\nnodes:")
    long = changed(text, ("to: cone.positive}", "to: cone.positive, gauge: 18 AWG, length: 8 m}"))
    assert outcome(long, "speaker-cable-loss") == []


def test_like_drivers_wired_unlike_get_unlike_power() -> None:
    """One with its coils in series beside one with them in parallel: 8 ohm and 2 ohm, a fifth and four fifths."""
    text = POSTS.replace("coils: 1, impedance: 2 ohm", "coils: 2, impedance: 4 ohm")
    parallel = text.replace("one.positive", "one.coil-1-positive").replace("one.negative", "one.coil-1-negative")
    both = parallel.replace("two.positive", "two.coil-1-positive").replace("two.negative", "two.coil-1-negative")
    pair = "  {0}p: {{from: {0}.coil-1-positive, to: {0}.coil-2-positive}}\n"
    pair += "  {0}n: {{from: {0}.coil-1-negative, to: {0}.coil-2-negative}}\n"
    assert outcome(both + pair.format("one") + pair.format("two"), "drivers-unequal-on-channel") == []
    series = parallel.replace("two.positive", "two.coil-1-positive").replace("two.negative", "two.coil-2-negative")
    link = "  link: {from: two.coil-1-negative, to: two.coil-2-positive}\n"
    assert outcome(series + pair.format("one") + link, "drivers-unequal-on-channel") == ["warning amp.sub"]


def test_what_does_not_apply_is_not_asked_for() -> None:
    """An amplifier without fuses of its own, and a driver whose power nobody rates."""
    text = changed(POSTS, ("class: D,", "class: D, fuses: {not_applicable: none on board},"))
    assert outcome(text, "power-claim-not-credible") == ["? the basis of the power (`rated`) of sub of amp"]
    assert outcome(changed(text, ("lowest: 1 ohm", "rated: continuous-1-percent")), "power-claim-not-credible") == []
    bare = POSTS.replace("power: 400 W", "power: {not_applicable: not rated}")
    assert outcome(bare, "power-over-driver") == outcome(bare, "drivers-unequal-on-channel") == []


def test_an_open_coil_is_the_cause_of_another_load() -> None:
    """Of two coils of 2 ohm in series one is left out: one finding, and the load under it."""
    text = changed(
        POSTS,
        ("one: {kind: speaker, type: sub, coils: 1", "one: {kind: speaker, type: sub, coils: 2"),
        ("load: 1 ohm", "load: 1.33 ohm"),
    )
    text = text.replace("one.positive", "one.coil-1-positive").replace("one.negative", "one.coil-1-negative")
    told = {one.rule: [under.rule for under in one.consequences] for one in judged(text).findings}
    assert "coil-network-mismatch" in told["coil-left-open"]
    assert messages(text, "coil-left-open") == [
        "voice coils of one that carry no current: 1 of 2; the plan does not say that this is meant"
    ]


def test_a_short_circuit_is_told_as_one() -> None:
    """A wire from pole to pole leaves no load, and no voice coil is to blame."""
    text = POSTS + "  slip: {from: amp.sub-1-positive, to: amp.sub-2-negative}\n"
    assert messages(text, "load-below-minimum") == [
        "a wire leads from pole to pole of amp.sub: that is no load but a short circuit"
    ]
    assert remedies(text, "load-below-minimum") == ["Take out what joins the two poles of amp.sub."]
    assert outcome(text, "coil-left-open") == []


def test_two_amplifiers_on_one_coil_are_one_fault() -> None:
    """What each of them sees follows from the joint."""
    text = POSTS.replace(
        "  one:", "  second: {kind: amp, class: D, outputs: {sub: {power: 800 W, at: 1 ohm, lowest: 1 ohm}}}\n  one:", 1
    )
    text += "  e: {from: second.sub-positive, to: one.positive}\n  f: {from: second.sub-negative, to: one.negative}\n"
    told = [(one.rule, one.subject) for one in judged(text).findings if one.severity.word == "error"]
    assert told == [("outputs-paralleled", "amp")]


def test_what_outputs_that_are_joined_play_is_not_guessed() -> None:
    """The band that each gets depends on both: filters and likeness are told once the joint is undone."""
    text = POSTS.replace(
        "channels: 1, power: 800 W, at: 1 ohm, lowest: 1 ohm, load: 1 ohm", "power: 800 W, at: 1 ohm, lowest: 1 ohm"
    )
    text = text.replace("amp.sub-1-", "amp.sub-").replace("sub: {power", "low: {power: 20 W, at: 4 ohm}, sub: {power")
    text = text.replace("amp.sub-2-", "amp.low-") + "  slip: {from: amp.sub-positive, to: amp.low-positive}\n"
    assert outcome(text, "outputs-paralleled") == ["error amp"]
    assert outcome(text, "drivers-unequal-on-channel") == outcome(text, "sub-no-lowpass") == []


def test_an_output_on_the_battery_is_as_bad_as_one_on_the_body() -> None:
    """Told once, as an error, with the slip of the drawing under it."""
    text = POSTS.replace("  one:", "  battery: {kind: battery}\n  one:", 1)
    wrong = changed(text, ("a: {from: amp.sub-1-positive", "a: {from: battery.positive"))
    assert messages(wrong, "speaker-output-to-body") == ["a joins amp.sub to a supply cable"]
    assert [one.rule for one in judged(wrong).findings if one.rule == "wire-function-conflict"] == []


def test_an_output_with_one_pole_left_out_is_told_once() -> None:
    """Of the amplifier where the speaker has both its wires, else of the speaker."""
    open_at_amp = changed(
        POSTS, ("channels: 1", "channels: 2"), ("a: {from: amp.sub-1-positive", "a: {from: amp.input-1")
    )
    assert messages(open_at_amp, "node-unconnected") == ["no wire ends at `power` and `sub-1-positive` of amp"]
    open_at_both = changed(open_at_amp, ("  a: {from: amp.input-1, to: one.positive}\n", ""))
    assert messages(open_at_both, "node-unconnected") == [
        "no wire ends at `positive` of one",
        "no wire ends at `power` of amp",
    ]


def test_each_coil_on_a_channel_of_its_own_has_its_cable_judged() -> None:
    """18 AWG is 24 mohm/m at 50 C (ASTM B258 geometry): 20 m of it are 12 % of 4 ohm on one coil of two."""
    text = changed(
        POSTS,
        ("channels: 1", "channels: 2"),
        (
            "one: {kind: speaker, type: sub, coils: 1, impedance: 2 ohm",
            "one: {kind: speaker, type: sub, coils: 2, impedance: 4 ohm",
        ),
        ("to: one.positive", "to: one.coil-1-positive"),
        ("to: one.negative", "to: one.coil-1-negative"),
        ("to: two.positive", "to: one.coil-2-positive, gauge: 18 AWG, length: 20 m"),
        ("to: two.negative", "to: one.coil-2-negative"),
    ).replace("nodes:", "defaults: {wire: {material: copper, gauge: 8 AWG, length: 50 cm}}\nnodes:")
    assert outcome(text, "speaker-cable-loss") == ["warning one"]
    assert outcome(changed(text, ("gauge: 18 AWG, length: 20 m", "gauge: 8 AWG")), "speaker-cable-loss") == []


def test_an_output_that_nothing_hangs_on_need_not_say_whether_it_is_bridged() -> None:
    """It drives nothing."""
    text = changed(POSTS, ("outputs: {sub:", "outputs: {spare: {power: 50 W, at: 4 ohm, lowest_bridged: 4 ohm}, sub:"))
    assert outcome(text, "load-below-minimum") == []


@pytest.mark.parametrize("ends", ["from: amp.input-1, to: joint", "from: joint, to: amp.input-1"])
def test_an_input_spliced_to_the_supply_is_a_slip_of_the_drawing(ends: str) -> None:
    """Whichever way round its wire is drawn, it is told of the wire."""
    text = POSTS.replace("  one:", "  joint: {kind: splice}\n  one:", 1)
    text += f"  p: {{from: amp.power, to: joint}}\n  q: {{{ends}}}\n"
    assert outcome(text, "wire-function-conflict") == ["warning q"]


def test_an_output_that_must_not_be_bridged_need_not_say_that_it_is_not() -> None:
    """The plan says that there is no load across two channels, so nobody asks whether there is one."""
    text = changed(POSTS, ("lowest: 1 ohm, load", "lowest: 1 ohm, lowest_bridged: {not_applicable: mono}, load"))
    assert outcome(text, "load-below-minimum") == outcome(text, "bridge-halves-load") == []


def test_a_grounded_wire_names_the_output_at_which_it_ends() -> None:
    """Where several outputs hang together too, it is not another one that it grounds."""
    text = changed(
        POSTS, ("channels: 1", "channels: 2"), ("d: {from: amp.sub-2-negative", "d: {from: amp.sub-1-positive")
    )
    text = text.replace("  one:", "  stud: {kind: ground-point}\n  one:", 1)
    text += "  e: {from: amp.sub-2-negative, to: two.negative}\n  f: {from: stud, to: amp.sub-2-negative}\n"
    assert messages(text, "speaker-output-to-body") == ["f joins amp.sub-2 to the body or to a ground cable"]
