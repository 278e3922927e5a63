"""Whole plans of other hands against the rules of protection and distribution, and edits of them that plant one mistake."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome, remedies

# A coupe with the battery in its boot: a breaker, a bar, an amplifier of 72.5 A (800 W at 80 % and 13.8 V) with a capacitor.
BOOT = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, factory_draw: 60 A}
zones: [{name: cabin}, {name: boot, kind: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}, fuse: {family: anl, voltage: 32 V, interrupts: 6 kA}}
nodes:
  battery: {kind: battery, zone: boot, chemistry: agm, capacity: 80 Ah}
  breaker: {kind: breaker, zone: boot, rating: 150 A, voltage: 42 V, interrupts: 5 kA, reset: manual}
  bar: {kind: bus, zone: boot, size: M10, cover: true}
  fuse: {kind: fuse, zone: boot, rating: 100 A, holder_limit: 120 A, smallest_cable: 8 AWG, largest_cable: 2 AWG}
  cap: {kind: capacitor, zone: boot, capacitance: 1 F, voltage: 20 V}
  amp: {kind: amp, zone: boot, class: D, largest_fuse: 100 A, lowest_voltage: 9 V, highest_voltage: 16 V,
    outputs: {sub: {power: 800 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: boot, member: floor, resistance: 0.5 mohm measured}
wires:
  tail: {from: battery.positive, to: breaker.line, gauge: 2 AWG, length: 18 cm}
  main: {from: breaker.load, to: bar, gauge: 2 AWG, length: 60 cm}
  near: {from: bar, to: fuse.line, gauge: 4 AWG, length: 10 cm}
  feed: {from: fuse.load, to: amp.power, gauge: 4 AWG, length: 50 cm}
  onward: {from: amp.power, to: cap.positive, gauge: 4 AWG, length: 20 cm}
  home: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm}
  cap-home: {from: cap.negative, to: stud, gauge: 4 AWG, length: 30 cm}
"""

# Two batteries in the engine bay of a truck, an isolator between them; two amplifiers (45.3 A and 21.7 A) on the added one.
TRUCK = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-frame, body_resistance: 2 mohm, factory_draw: 50 A}
zones: [{name: bay, kind: engine-bay}, {name: cab, kind: cabin}]
defaults: {wire: {material: copper, insulation: 125 C}, fuse: {family: strip, voltage: 32 V, interrupts: 6 kA}}
nodes:
  front: {kind: battery, role: main, moved: false, zone: bay, chemistry: agm, capacity: 80 Ah}
  second: {kind: battery, role: added, zone: bay, chemistry: agm, capacity: 80 Ah, link: 60 A}
  link-fuse: {kind: fuse, zone: bay, rating: 150 A}
  isolator: {kind: isolator, zone: bay, rating: 200 A, rated_at: 85 C, control: ignition}
  rear-fuse: {kind: fuse, zone: bay, rating: 150 A}
  main-fuse: {kind: fuse, zone: bay, rating: 120 A}
  block: {kind: distribution, zone: cab, cover: true, outputs: {
    out-1: {fuse: 60 A, voltage: 32 V, interrupts: 2 kA}, out-2: {fuse: 30 A, voltage: 32 V, interrupts: 2 kA}}}
  bass: {kind: amp, zone: cab, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  mids: {kind: amp, zone: cab, class: D, outputs: {left: {power: 240 W, at: 4 ohm}}}
  stud: {kind: ground-point, zone: cab, resistance: 1 mohm measured, resistance_to: second}
  bay-stud: {kind: ground-point, zone: bay, resistance: 0.5 mohm measured}
wires:
  link-1: {from: front.positive, to: link-fuse.line, gauge: 35 mm2, length: 15 cm}
  link-2: {from: link-fuse.load, to: isolator.line, gauge: 35 mm2, length: 50 cm}
  link-3: {from: isolator.load, to: rear-fuse.line, gauge: 35 mm2, length: 1.2 m}
  link-4: {from: rear-fuse.load, to: second.positive, gauge: 35 mm2, length: 18 cm}
  tail: {from: second.positive, to: main-fuse.line, gauge: 35 mm2, length: 20 cm}
  main: {from: main-fuse.load, to: block.in, gauge: 35 mm2, length: 2 m}
  bass-feed: {from: block.out-1, to: bass.power, gauge: 16 mm2, length: 60 cm}
  mids-feed: {from: block.out-2, to: mids.power, gauge: 10 mm2, length: 60 cm}
  bass-home: {from: bass.ground, to: stud, gauge: 16 mm2, length: 40 cm}
  mids-home: {from: mids.ground, to: stud, gauge: 10 mm2, length: 40 cm}
  second-home: {from: second.negative, to: bay-stud, gauge: 35 mm2, length: 40 cm}
"""

# A van: a charger of 45 A in and 40 A out charges the battery in the rear, and shares a ground bar with what that one feeds.
VAN = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, body_resistance: 1.5 mohm measured, factory_draw: 45 A}
zones: [{name: bay, kind: engine-bay}, {name: rear, kind: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}, fuse: {family: anl-mini, voltage: 32 V, interrupts: 6 kA}}
nodes:
  starter: {kind: battery, role: main, moved: false, zone: bay, chemistry: agm, capacity: 80 Ah}
  house: {kind: battery, role: added, zone: rear, chemistry: agm, capacity: 100 Ah}
  in-fuse: {kind: fuse, zone: bay, rating: 70 A}
  charger: {kind: charger, zone: rear, input_limit: 45 A, output_limit: 40 A, bidirectional: false, isolates: true}
  out-fuse: {kind: fuse, zone: rear, rating: 60 A}
  main-fuse: {kind: fuse, zone: rear, rating: 120 A}
  block: {kind: distribution, zone: rear, cover: true, outputs: {
    out-1: {fuse: 60 A, voltage: 32 V, interrupts: 2 kA}, out-2: {fuse: 40 A, voltage: 32 V, interrupts: 2 kA}}}
  bass: {kind: amp, zone: rear, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  mids: {kind: amp, zone: rear, class: D, outputs: {left: {power: 240 W, at: 4 ohm}}}
  bar: {kind: bus, zone: rear, size: M8, cover: true}
  floor: {kind: ground-point, zone: rear, member: floor}
wires:
  charge-1: {from: starter.positive, to: in-fuse.line, gauge: 6 AWG, length: 15 cm}
  charge-2: {from: in-fuse.load, to: charger.input, gauge: 6 AWG, length: 4.5 m}
  charge-3: {from: charger.output, to: out-fuse.line, gauge: 6 AWG, length: 60 cm}
  charge-4: {from: out-fuse.load, to: house.positive, gauge: 6 AWG, length: 15 cm}
  charge-home: {from: charger.ground, to: bar, gauge: 6 AWG, length: 40 cm}
  tail: {from: house.positive, to: main-fuse.line, gauge: 2 AWG, length: 18 cm}
  main: {from: main-fuse.load, to: block.in, gauge: 2 AWG, length: 80 cm}
  bass-feed: {from: block.out-1, to: bass.power, gauge: 6 AWG, length: 50 cm}
  mids-feed: {from: block.out-2, to: mids.power, gauge: 8 AWG, length: 50 cm}
  bass-home: {from: bass.ground, to: bar, gauge: 6 AWG, length: 40 cm}
  mids-home: {from: mids.ground, to: bar, gauge: 8 AWG, length: 40 cm}
  trunk: {from: bar, to: house.negative, gauge: 2 AWG, length: 40 cm}
  house-home: {from: house.negative, to: floor, gauge: 2 AWG, length: 40 cm}
"""


def told(text: str) -> list[str]:
    """What is told on its own as worse than a note."""
    return [f"{one.severity.word} {one.rule} {one.subject}" for one in judged(text).findings if one.severity > 1]


def beside(text: str, rule: str) -> list[tuple[str, list[str]]]:
    """The findings of a rule that are told on their own: of each the subject, and what is pointed at besides."""
    here = [one for one in judged(text).findings if one.rule == rule]
    return [(one.subject, [f"{other.message}: {other.name}" for other in one.related]) for one in here]


@pytest.mark.parametrize("text", [BOOT, TRUCK, VAN])
def test_a_sound_plan_is_told_nothing(text: str) -> None:
    """No error and no warning without a cause; what is told below comes from the edits alone."""
    assert told(text) == []


def test_the_ground_trunk_of_a_battery_need_not_bear_what_a_charger_takes_and_gives() -> None:
    """Past the negative post of the battery it charges, a charger's input and output run against each other."""
    rule = "return-thinner-than-supply"
    assert outcome(VAN, rule) == []
    thin = changed(
        VAN,
        ("trunk: {from: bar, to: house.negative, gauge: 2 AWG", "trunk: {from: bar, to: house.negative, gauge: 6 AWG"),
    )
    assert messages(thin, rule) == ["trunk is 6 AWG, thinner than main (2 AWG); the same current flows through both"]


def test_a_charger_counts_whole_in_a_ground_that_its_own_source_feeds() -> None:
    """Where charger and amplifier both draw from the starter battery, what they take adds up in their common ground."""
    moved = changed(
        VAN,
        ("bass-feed: {from: block.out-1", "bass-feed: {from: in-fuse.load"),
        ("mids-home: {from: mids.ground, to: bar", "mids-home: {from: mids.ground, to: house.negative"),
        ("trunk: {from: bar, to: house.negative, gauge: 2 AWG", "trunk: {from: bar, to: house.negative, gauge: 8 AWG"),
    )
    told_there = messages(moved, "return-thinner-than-supply")
    assert told_there == ["trunk is 8 AWG, thinner than charge-1 (6 AWG), and 90.3 A flows through it; it bears 80 A"]


def test_what_nothing_feeds_is_not_told_to_be_made_for_another_voltage() -> None:
    """With its cable gone the amplifier is not fed; nobody can say what voltage it would get."""
    cut = changed(BOOT, ("  tail: {from: battery.positive, to: breaker.line, gauge: 2 AWG, length: 18 cm}\n", ""))
    assert outcome(cut, "voltage-system-mismatch") == []
    assert "warning amp" in outcome(cut, "node-unconnected")
    swapped = changed(
        BOOT,
        ("feed: {from: fuse.load, to: amp.power", "feed: {from: fuse.load, to: amp.ground"),
        (
            "home: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm",
            "home: {from: amp.power, to: stud, gauge: 4 AWG, length: 40 cm",
        ),
        ("  onward: {from: amp.power, to: cap.positive, gauge: 4 AWG, length: 20 cm}\n", ""),
    )
    assert outcome(swapped, "voltage-system-mismatch") == []
    assert "error feed" in outcome(swapped, "wire-function-conflict")


LARGE_LINK = ("link-fuse: {kind: fuse, zone: bay, rating: 150 A", "link-fuse: {kind: fuse, zone: bay, rating: 250 A")


def test_of_two_fuses_at_the_ends_of_a_link_the_too_large_one_is_pointed_at_once() -> None:
    """All cables behind one fuse that is too large for them are one finding; the sound fuse at the far end is left out."""
    assert beside(changed(TRUCK, LARGE_LINK), "fuse-exceeds-wire") == [
        (
            "link-1",
            [
                "what limits its current: link-fuse",
                "the same at link-2: link-2",
                "the same at link-3: link-3",
                "material, insulation of link-1 come from here: defaults wire",
            ],
        )
    ]


def test_of_two_equal_fuses_at_the_ends_of_a_link_both_are_pointed_at() -> None:
    """What flows in at either end is the same: a reader has to look at both."""
    both = changed(
        TRUCK,
        LARGE_LINK,
        ("rear-fuse: {kind: fuse, zone: bay, rating: 150 A", "rear-fuse: {kind: fuse, zone: bay, rating: 250 A"),
    )
    pointed = dict(beside(both, "fuse-exceeds-wire"))["link-2"]
    assert pointed[:2] == ["what limits its current: link-fuse", "what limits its current: rear-fuse"]


def test_a_fuse_that_all_current_passes_is_the_only_one_pointed_at() -> None:
    """Behind the main fuse the smaller one of the charger, which stands before the battery's post, limits nothing."""
    tapped = changed(VAN, ("bass-feed: {from: block.out-1", "bass-feed: {from: main-fuse.load"))
    assert beside(tapped, "fuse-exceeds-wire")[0] == (
        "bass-feed",
        ["what limits its current: main-fuse", "material, insulation of bass-feed come from here: defaults wire"],
    )


@pytest.mark.parametrize(("rating", "limiting"), [("150 A", "fuse"), ("200 A", "breaker")])
def test_a_fuse_too_large_is_told_of_the_supply_wire_whatever_follows_from_its_ground_wire(
    rating: str, limiting: str
) -> None:
    """The amplifier's own limit is broken as well, which makes it an error; the fuse is to be sought at the supply."""
    text = changed(BOOT, ("kind: fuse, zone: boot, rating: 100 A", f"kind: fuse, zone: boot, rating: {rating}"))
    assert told(text) == ["error fuse-exceeds-wire feed"]
    assert [one for _, pointed in beside(text, "fuse-exceeds-wire") for one in pointed[:5]] == [
        f"what limits its current: {limiting}",
        "the same at home: home",
        "the same at near: near",
        "the same at onward: onward",
        "material, insulation of feed come from here: defaults wire",
    ]
    assert remedies(text, "fuse-exceeds-wire") == [
        "Fit a fuse of at most 100 A before it (where several feed it, that is for all of them together), or a thicker wire."
    ]


def test_the_remedy_for_a_fuse_before_amplifier_and_capacitor_keeps_to_the_amplifiers_maker() -> None:
    """4 AWG bears 125 A, the amplifier no more than 100 A; the capacitor on the same feed changes nothing."""
    text = changed(BOOT, ("rating: 100 A, holder_limit: 120 A", "rating: 150 A"))
    assert outcome(text, "fuse-above-equipment-max") == ["error amp"]
    assert "at most 100 A" in remedies(text, "fuse-exceeds-wire")[0]
    mended = changed(text, ("kind: fuse, zone: boot, rating: 150 A", "kind: fuse, zone: boot, rating: 100 A"))
    assert told(mended) == []


def test_a_capacitors_wire_as_thick_as_the_feed_is_no_tap_of_its_own() -> None:
    """What is too much for it is too much for the feed, and told there; a thinner one is told with what mends it."""
    rule = "amp-terminal-tap-unfused"
    large = changed(BOOT, ("kind: fuse, zone: boot, rating: 100 A", "kind: fuse, zone: boot, rating: 150 A"))
    assert outcome(large, rule) == []
    thin = changed(BOOT, ("to: cap.positive, gauge: 4 AWG", "to: cap.positive, gauge: 8 AWG"))
    assert remedies(thin, rule) == [
        "Use a wire as thick as that which feeds amp, or fit a fuse of at most 50 A within 18 cm of it."
    ]
    assert told(changed(thin, ("to: cap.positive, gauge: 8 AWG", "to: cap.positive, gauge: 4 AWG"))) == []


def test_a_capacitor_draws_nothing_and_loses_nothing() -> None:
    """No fuse is told to feed it together with its amplifier, and no voltage to be lost on the way to it."""
    small = changed(BOOT, ("kind: fuse, zone: boot, rating: 100 A", "kind: fuse, zone: boot, rating: 80 A"))
    assert messages(small, "fuse-below-load") == [
        "72.5 A flows through fuse at full power; rated 80 A it leaves less than 1.25 times that"
    ]
    long = changed(BOOT, ("to: amp.power, gauge: 4 AWG, length: 50 cm", "to: amp.power, gauge: 4 AWG, length: 9 m"))
    assert outcome(long, "supply-drop-high") == ["warning amp"]


def test_a_charged_battery_is_named_among_what_draws_through_a_fuse() -> None:
    """45.3 A and 21.7 A of the amplifiers and the 60 A of the link make 127 A."""
    ahead = changed(TRUCK, ("tail: {from: second.positive", "tail: {from: link-fuse.load"))
    assert messages(ahead, "main-fuse-below-branch-sum") == [
        "bass, mids and second draw 127 A together through link-fuse; rated 150 A it leaves less than 1.25 times that"
    ]


def test_a_block_that_is_stated_to_be_unfused_has_no_fuse_where_an_output_states_none() -> None:
    """`fused: false` speaks for an output that tells only which cables it takes; `fuse` at the output goes before it."""
    port = "largest_cable: 4 AWG"
    bare = (
        f"kind: distribution, zone: cab, cover: true, fused: false, outputs: {{out-1: {{{port}}}, out-2: {{{port}}}}}}}"
    )
    start, rest = TRUCK.split("kind: distribution", 1)
    unfused = f"{start}{bare}\n  bass:{rest.split('  bass:', 1)[1]}"
    assert outcome(unfused, "step-down-unprotected") == ["error bass-feed"]
    fused = changed(unfused, (f"out-1: {{{port}}}, out-2: {{{port}}}", "out-1: {fuse: 60 A}, out-2: {fuse: 30 A}"))
    assert outcome(fused, "step-down-unprotected") == []


# The only wire at a fuse has that fuse, however near the next one is: it is too large, not missing.
CHAINED = changed(
    TRUCK,
    ("mids-feed: {from: block.out-2, to: mids.power", "mids-feed: {from: small.load, to: mids.power"),
    ("  stud:", "  small: {kind: fuse, zone: cab, rating: 30 A}\n  stud:"),
    ("wires:\n", "wires:\n  chain: {from: block.out-2, to: small.line, gauge: 10 mm2, length: 40 cm}\n"),
    ("out-2: {fuse: 30 A", "out-2: {fuse: 40 A"),
)


def test_the_only_wire_at_an_output_is_judged_by_the_fuse_of_that_output() -> None:
    """60 A on 10 mm2 (50 A) is a warning, whether an amplifier follows or a block with smaller fuses close by."""
    assert told(CHAINED) == []
    large = changed(CHAINED, ("out-2: {fuse: 40 A", "out-2: {fuse: 60 A"))
    assert told(large) == ["warning fuse-exceeds-wire chain"]
    short = changed(large, ("gauge: 10 mm2, length: 40 cm}\n  link-1", "gauge: 10 mm2, length: 15 cm}\n  link-1"))
    assert told(short) == []


@pytest.mark.parametrize(
    ("old", "new", "remedy"),
    [
        (
            "holder_limit: 120 A",
            "holder_limit: 60 A",
            "Take a holder made for at least 100 A, or a fuse of at most 60 A where the load allows it.",
        ),
        ("largest_cable: 2 AWG}", "largest_cable: 8 AWG}", "Take one whose terminals take 4 AWG."),
        (
            "smallest_cable: 8 AWG",
            "smallest_cable: 2 AWG",
            "Take one whose terminals clamp 4 AWG, or press a sleeve or pin that fills them on the cable.",
        ),
    ],
)
def test_the_remedy_for_a_holder_tells_what_is_wrong_with_it(old: str, new: str, remedy: str) -> None:
    """The holder's current, its largest cable and its smallest each have a remedy of their own."""
    assert remedies(changed(BOOT, (old, new)), "holder-mismatch") == [remedy]


def test_a_holder_for_the_right_fuse_is_told_under_the_fuse_that_is_too_large() -> None:
    """One fuse is too large for cable and holder: told once, at the cable."""
    text = changed(
        TRUCK,
        (
            "main-fuse: {kind: fuse, zone: bay, rating: 120 A",
            "main-fuse: {kind: fuse, zone: bay, rating: 250 A, holder_limit: 150 A",
        ),
    )
    assert told(text) == ["warning fuse-exceeds-wire main"]
    assert outcome(text, "holder-mismatch") == ["warning main-fuse"]


@pytest.mark.parametrize(
    ("outputs", "remedy"),
    [
        ("largest_cable: 16 mm2, ", "Use a block with a port that takes 35 mm2, or a reducer on the end of main."),
        (
            "smallest_cable: 50 mm2, ",
            "Use a block with a port that clamps 35 mm2, or a sleeve or pin on the end of main that fills the port.",
        ),
    ],
)
def test_the_remedy_for_a_port_tells_what_is_wrong_with_it(outputs: str, remedy: str) -> None:
    """A cable too thick and one too thin are mended in different ways."""
    text = changed(TRUCK, ("cover: true, outputs", f"cover: true, {outputs}outputs"))
    assert remedy in remedies(text, "block-port-mismatch")


def test_each_cable_in_one_port_gets_a_port_of_its_own() -> None:
    """That mends it: with the second cable in the other port nothing is left."""
    shared = changed(TRUCK, ("mids-feed: {from: block.out-2", "mids-feed: {from: block.out-1"))
    assert remedies(shared, "block-port-mismatch") == ["Give each cable a port of its own."]


def test_a_tail_that_branches_before_its_fuses_wants_one_before_the_branch() -> None:
    """Without its breaker the bar lies before the first fuse; moving that fuse would leave the other branches."""
    bare = changed(
        BOOT,
        ("  tail: {from: battery.positive, to: breaker.line, gauge: 2 AWG, length: 18 cm}\n", ""),
        ("main: {from: breaker.load", "main: {from: battery.positive"),
        ("  breaker: {kind: breaker, zone: boot, rating: 150 A, voltage: 42 V, interrupts: 5 kA, reset: manual}\n", ""),
    )
    assert remedies(bare, "main-fuse-too-far") == [
        "Have a fuse that suits the cable within 20 cm of battery, before the cable branches: move fuse there, or fit one "
        "at the terminal itself."
    ]


def test_what_is_shorter_than_a_foot_is_told_in_inches() -> None:
    """A plan in feet is not told of 0.656 ft."""
    feet = changed(
        BOOT, ("to: breaker.line, gauge: 2 AWG, length: 18 cm", "to: breaker.line, gauge: 2 AWG, length: 1 ft")
    )
    assert messages(feet, "main-fuse-too-far") == [
        "1 ft of cable runs from battery to the first fuse, breaker; 200 mm (7.87 in) or less is advised"
    ]


def test_current_that_nothing_limits_is_put_into_words() -> None:
    """Tapped between battery and breaker a thin wire has no fuse before it at all."""
    tapped = changed(
        BOOT,
        ("near: {from: bar", "near: {from: breaker.line"),
        ("gauge: 4 AWG, length: 10 cm", "gauge: 4 AWG, length: 30 cm"),
    )
    assert messages(tapped, "step-down-unprotected") == [
        "near (4 AWG) is fed by tail with no fuse of its own within 18 cm; current without limit can flow into it, and "
        "it may be fused for 100 A"
    ]


def test_a_fused_output_in_the_way_back_is_told_with_words_that_suit_it() -> None:
    """An output of a block cannot be taken out."""
    fused = changed(
        TRUCK,
        ("  stud:", "  ground-block: {kind: distribution, zone: cab, outputs: {out: {fuse: 150 A}}}\n  stud:"),
        ("bass-home: {from: bass.ground, to: stud", "bass-home: {from: bass.ground, to: ground-block.in"),
        ("wires:\n", "wires:\n  home: {from: ground-block.out, to: stud, gauge: 16 mm2, length: 10 cm}\n"),
    )
    assert remedies(fused, "fuse-in-return") == [
        "Put plain cable in place of ground-block.out; fuse the positive side alone."
    ]


def test_a_breaker_for_too_low_a_voltage_is_not_told_to_be_a_fuse() -> None:
    """The remedy fits breakers as well."""
    low = changed(BOOT, ("voltage: 42 V", "voltage: 14 V"))
    assert remedies(low, "fuse-voltage-low") == [
        "Take one made for at least 32 V, and for no less than 1.2 times 12 V."
    ]


@pytest.mark.parametrize(
    ("family", "rating", "told_of"),
    [
        ("blade", "100 A", ["warning fuse"]),
        ("blade-mini", "40 A", ["warning fuse"]),
        ("blade-maxi", "100 A", []),
        ("anl-mini", "200 A", []),
        ("not stated", "100 A", []),
    ],
)
def test_a_blade_fuse_has_a_rating_that_is_made(family: str, rating: str, told_of: list[str]) -> None:
    """The blade family ends at 40 A, its small one at 30 A; maxi blades of 100 A are rare, and bolted families overlap."""
    text = changed(BOOT, ("fuse, zone: boot, rating: 100 A", f"fuse, zone: boot, family: {family}, rating: {rating}"))
    assert outcome(text, "fuse-family-lacks-rating") == told_of


def test_a_block_output_has_a_fuse_that_is_made() -> None:
    """What holds of a fuse in the cable holds of one in a block."""
    text = changed(TRUCK, ("out-1: {fuse: 60 A", "out-1: {fuse: 60 A, family: blade"))
    assert outcome(text, "fuse-family-lacks-rating") == ["warning block.out-1"]


# A lorry of 24 V: a charger of 22 A in and 40 A out at 12 V feeds a block with an amplifier (23.2 A) and a lamp.
LORRY = """\
plan: 1
scope: electrical
vehicle: {class: truck, system: 24 V, body: steel-frame, body_resistance: 2 mohm, factory_draw: 40 A}
zones: [{name: frame, kind: underbody}, {name: cab, kind: cabin}]
defaults: {wire: {material: copper, insulation: 125 C, gauge: 10 mm2}}
nodes:
  pair: {kind: battery, zone: frame, nominal: 24 V, chemistry: flooded, capacity: 180 Ah}
  fuse: {kind: fuse, zone: frame, family: terminal, rating: 40 A, voltage: 58 V, interrupts: 10 kA}
  charger: {kind: charger, zone: cab, input_limit: 22 A, output_limit: 40 A, output_voltage: 12 V, highest_voltage: 32 V,
    bidirectional: false, isolates: true}
  block: {kind: distribution, zone: cab, cover: true, outputs: {
    out-1: {fuse: 40 A, voltage: 58 V, interrupts: 2 kA}, out-2: {fuse: 5 A, voltage: 58 V, interrupts: 2 kA}}}
  amp: {kind: amp, zone: cab, class: D, highest_voltage: 16 V, outputs: {sub: {power: 240 W, at: 4 ohm}}}
  lamp: {kind: load, zone: cab, type: lamp, supply: 2 A, highest_voltage: 16 V}
  stud: {kind: ground-point, zone: cab, member: floor, resistance: 2 mohm measured}
wires:
  tail: {from: pair.positive, to: fuse.line, length: 5 cm}
  feed: {from: fuse.load, to: charger.input, length: 4 m}
  out: {from: charger.output, to: block.in, length: 30 cm}
  amp-feed: {from: block.out-1, to: amp.power, length: 60 cm}
  lamp-feed: {from: block.out-2, to: lamp.power, gauge: 1.5 mm2, length: 2 m}
  charger-home: {from: charger.ground, to: stud, length: 40 cm}
  amp-home: {from: amp.ground, to: stud, length: 40 cm}
  lamp-home: {from: lamp.ground, to: stud, gauge: 1.5 mm2, length: 40 cm}
"""


def test_a_fuse_too_large_before_a_charger_is_told_with_the_chargers_ground() -> None:
    """What the charger takes and what its users bring back do not add up in its ground: most comes by the one fuse."""
    assert outcome(LORRY, "fuse-exceeds-wire") == []
    text = changed(LORRY, ("family: terminal, rating: 40 A", "family: terminal, rating: 80 A"))
    assert [(one, pointed[:3]) for one, pointed in beside(text, "fuse-exceeds-wire")] == [
        ("feed", ["what limits its current: fuse", "the same at charger-home: charger-home", "the same at tail: tail"])
    ]


def test_a_crowded_port_is_told_once_also_by_a_wire_between_two_blocks() -> None:
    """The wire from block to block ends in two ports; only the one it shares is told, and once."""
    text = changed(
        TRUCK,
        (
            "  stud:",
            "  next: {kind: distribution, zone: cab, outputs: {out: {fuse: 20 A}}}\n  stud:",
        ),
        ("mids-feed: {from: block.out-2", "mids-feed: {from: next.out"),
        ("wires:\n", "wires:\n  chain: {from: block.out-2, to: next.in, gauge: 10 mm2, length: 40 cm}\n"),
        ("out-2: {fuse: 30 A", "out-2: {fuse: 40 A"),
    )
    assert messages(text, "block-port-mismatch") == []
    shared = changed(text, ("mids-feed: {from: next.out", "mids-feed: {from: next.in"))
    assert messages(shared, "block-port-mismatch") == ["2 cables share next.in; a port takes 1"]


def test_current_that_has_come_home_to_its_battery_goes_no_farther() -> None:
    """What the second battery gives comes home to its post by the bar; through the body to the front battery comes no more
    than the link's fuses let pass (60 A), which 16 mm2 (80 A) bears. With larger ones it does not."""
    text = changed(
        TRUCK,
        ("link-fuse: {kind: fuse, zone: bay, rating: 150 A", "link-fuse: {kind: fuse, zone: bay, rating: 60 A"),
        ("bass-home: {from: bass.ground, to: stud", "bass-home: {from: bass.ground, to: bar"),
        ("mids-home: {from: mids.ground, to: stud", "mids-home: {from: mids.ground, to: bar"),
        ("  bay-stud:", "  bar: {kind: bus, zone: cab}\n  front-stud: {kind: ground-point, zone: bay}\n  bay-stud:"),
        (
            "wires:\n",
            "wires:\n"
            "  home: {from: bar, to: second.negative, gauge: 35 mm2, length: 3 m}\n"
            "  link-home: {from: second.negative, to: front.negative, gauge: 35 mm2, length: 2 m}\n"
            "  front-body: {from: front.negative, to: front-stud, gauge: 16 mm2, length: 40 cm}\n",
        ),
    )
    assert outcome(text, "fuse-exceeds-wire") == []
    large = changed(
        text, ("link-fuse: {kind: fuse, zone: bay, rating: 60 A", "link-fuse: {kind: fuse, zone: bay, rating: 100 A")
    )
    assert outcome(large, "fuse-exceeds-wire") == ["warning front-body"]


def test_what_several_parts_took_over_from_one_line_is_told_once() -> None:
    """A limit of all holders, a flag of all fuses, and a gauge of a group that is too thin for several ports."""
    two = changed(
        TRUCK,
        ("fuse: {family: strip, voltage", "fuse: {holder_limit: 100 A, accessible: false, family: strip, voltage"),
    )
    assert outcome(two, "holder-mismatch") == ["warning link-fuse"]
    assert remedies(two, "fuse-not-accessible") == ["Move link-fuse to where a hand reaches it without tools."]
    branches = changed(
        TRUCK,
        ("nodes:\n", "groups: {branch: {gauge: 16 mm2}}\nnodes:\n"),
        ("bass.power, gauge: 16 mm2", "bass.power, group: branch"),
        ("mids.power, gauge: 10 mm2", "mids.power, group: branch"),
        ("zone: cab, cover: true, outputs", "zone: cab, cover: true, smallest_cable: 25 mm2, outputs"),
    )
    assert [(one, pointed[0]) for one, pointed in beside(branches, "block-port-mismatch")] == [
        ("bass-feed", "the same at mids-feed: mids-feed")
    ]


def test_what_comes_home_from_a_fuse_too_large_is_told_under_the_wire_behind_it() -> None:
    """150 A before the charger is too much for 6 AWG, and with 60 A and 40 A too much for the trunk of 2 AWG (200 A)."""
    text = changed(
        VAN, ("in-fuse: {kind: fuse, zone: bay, rating: 70 A", "in-fuse: {kind: fuse, zone: bay, rating: 150 A")
    )
    assert told(text) == ["error fuse-exceeds-wire charge-1"]
    assert outcome(text, "fuse-exceeds-wire") == ["error charge-1", "warning trunk"]


def test_what_gets_no_current_is_told_under_the_part_whose_wire_is_missing() -> None:
    """One cable is missing: each of its ends is told, and whatever lies behind it under one of them."""
    cut = changed(TRUCK, ("  main: {from: main-fuse.load, to: block.in, gauge: 35 mm2, length: 2 m}\n", ""))
    here = {
        one.subject: [below.subject for below in one.consequences] for one in judged(cut).findings if one.severity > 1
    }
    assert here == {"block": ["bass", "mids"], "main-fuse": []}
