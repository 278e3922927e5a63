"""What attacks on whole plans once found missing or falsely blamed, on the smallest plan that shows it."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome

# 300 W at 80 % and 13.8 V draw 27.2 A.
PLAN = """\
plan: 1
title: One amplifier and a converter
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  main: {kind: fuse, zone: engine-bay, family: strip, rating: 80 A, voltage: 32 V, interrupts: 5 kA}
  small: {kind: fuse, zone: engine-bay, family: blade, rating: 5 A, voltage: 32 V, interrupts: 2 kA}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 300 W, at: 2 ohm}}}
  converter: {kind: converter, zone: cargo, supply: 0.3 A}
  stud: {kind: ground-point, zone: cargo}
wires:
  tail: {from: battery.positive, to: main.line, gauge: 4 AWG, length: 15 cm}
  feed: {from: main.load, to: amp.power, gauge: 4 AWG, length: 4 m}
  tap: {from: main.load, to: small.line, gauge: 18 AWG, length: 15 cm}
  thin: {from: small.load, to: converter.power, gauge: 18 AWG, length: 4 m}
  amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm}
  thin-ground: {from: converter.ground, to: stud, gauge: 18 AWG, length: 40 cm}
"""
TWIN = ("  feed:", "  twin: {from: battery.positive, to: main.line, gauge: 4 AWG, length: 15 cm}\n  feed:")
TAP = "tap: {from: main.load, to: small.line, gauge: 18 AWG, length: 15 cm}"

# Rule, changes of the sound plan, and what the rule then says.
CASES: dict[str, tuple[str, list[tuple[str, str]], list[str]]] = {
    # 10 AWG may be fused for 30 A (common practice) and bears 51 A at 50 C (33 CFR 183.425 Table 5).
    "twin tails without a fuse, each too thin for the fuse they come to": (
        "parallel-runs-unprotected",
        [
            (
                "tail: {from: battery.positive, to: main.line, gauge: 4 AWG",
                "tail: {from: battery.positive, to: main.line, gauge: 10 AWG",
            ),
            ("  feed:", "  twin: {from: battery.positive, to: main.line, gauge: 10 AWG, length: 15 cm}\n  feed:"),
        ],
        ["error tail"],
    ),
    "twin tails that each suit the fuse": ("parallel-runs-unprotected", [TWIN], []),
    "twin tails that each suit the fuse are no fault of the fuse": ("fuse-exceeds-wire", [TWIN], []),
    # 33 CFR 183.455: 7 in (180 mm) from the point of connection.
    "a tap at a fuse's own stud with its fuse near": ("fuse-exceeds-wire", [], []),
    "a tap at a fuse's own stud is a step": ("step-down-unprotected", [], []),
    "a tap at a fuse's own stud with its fuse too far": (
        "step-down-unprotected",
        [(TAP, TAP.replace("15 cm", "40 cm"))],
        ["error tap"],
    ),
    "a thin wire behind a fuse with no fuse of its own": (
        "fuse-exceeds-wire",
        [
            (TAP, "tap: {from: main.load, to: converter.power, gauge: 18 AWG, length: 15 cm}"),
            ("  thin: {from: small.load, to: converter.power, gauge: 18 AWG, length: 4 m}\n", ""),
        ],
        ["error tap"],
    ),
    "a larger fuse behind a small one is no help": (
        "fuse-exceeds-wire",
        [("family: blade, rating: 5 A", "family: strip, rating: 100 A")],
        ["error tap"],
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_a_rule_says_of_it(case: str) -> None:
    """Each case gives exactly the findings of its rule that it names."""
    rule, swaps, expected = CASES[case]
    assert outcome(changed(PLAN, *swaps), rule) == expected


def test_a_tap_behind_a_factory_circuit() -> None:
    """The vehicle's own fuse of 20 A does not suit 20 AWG (5 A): a fuse of 2 A within 180 mm does."""
    text = changed(
        PLAN,
        (
            "  small: {kind: fuse, zone: engine-bay",
            "  circuit: {kind: factory-circuit, zone: cabin, fuse: 20 A}\n  small: {kind: fuse, zone: cabin",
        ),
        ("rating: 5 A", "rating: 2 A"),
        (TAP, "tap: {from: circuit, to: small.line, gauge: 20 AWG, length: 12 cm}"),
    )
    assert outcome(text, "fuse-exceeds-wire") == outcome(text, "step-down-unprotected") == []
    text = changed(text, ("length: 12 cm", "length: 30 cm"))
    assert messages(text, "step-down-unprotected") == [
        "tap (20 AWG) is fed by circuit with no fuse of its own within 18 cm; "
        "20 A can flow into it, and it may be fused for 5 A"
    ]


# Two batteries whose link is fused for 150 A at both ends; the body does not conduct.
LINKED = """\
plan: 1
title: Second battery in a body that does not conduct
scope: electrical
vehicle: {system: 12 V, body: composite}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}}
nodes:
  front: {kind: battery, zone: engine-bay}
  rear: {kind: battery, zone: cargo, role: added}
  front-fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 150 A, voltage: 32 V, interrupts: 5 kA}
  rear-fuse: {kind: fuse, zone: cargo, family: strip, rating: 150 A, voltage: 32 V, interrupts: 5 kA}
  amp-fuse: {kind: fuse, zone: cargo, family: strip, rating: 40 A, voltage: 32 V, interrupts: 5 kA}
  amp: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 300 W, at: 2 ohm}}}
  bar: {kind: bus, zone: cargo}
wires:
  front-tail: {from: front.positive, to: front-fuse.line, gauge: 1/0 AWG, length: 15 cm}
  link: {from: front-fuse.load, to: rear-fuse.load, gauge: 1/0 AWG, length: 5 m}
  rear-tail: {from: rear.positive, to: rear-fuse.line, gauge: 1/0 AWG, length: 15 cm}
  amp-tail: {from: rear.positive, to: amp-fuse.line, gauge: 8 AWG, length: 10 cm}
  feed: {from: amp-fuse.load, to: amp.power, gauge: 8 AWG, length: 50 cm}
  amp-ground: {from: amp.ground, to: bar, gauge: 8 AWG, length: 40 cm}
  rear-ground: {from: rear.negative, to: bar, gauge: 1/0 AWG, length: 40 cm}
  strap: {from: bar, to: front.negative, gauge: 1/0 AWG, length: 5 m}
"""


@pytest.mark.parametrize("gauge", ["8 AWG", "6 AWG"])
def test_a_thin_strap_brings_home_what_charges_the_second_battery(gauge: str) -> None:
    """The link lets 150 A pass: 8 AWG may be fused for 50 A and 6 AWG for 80 A (common practice), thick as the supply of
    the one amplifier they also serve."""
    assert outcome(LINKED, "fuse-exceeds-wire") == []
    thin = changed(
        LINKED,
        (
            "strap: {from: bar, to: front.negative, gauge: 1/0 AWG",
            f"strap: {{from: bar, to: front.negative, gauge: {gauge}",
        ),
    )
    assert outcome(thin, "fuse-exceeds-wire") == ["error strap"]
    assert messages(thin, "fuse-exceeds-wire")[0].startswith("150 A can flow into strap")
    thin = changed(
        LINKED,
        (
            "rear-ground: {from: rear.negative, to: bar, gauge: 1/0 AWG",
            f"rear-ground: {{from: rear.negative, to: bar, gauge: {gauge}",
        ),
    )
    assert outcome(thin, "fuse-exceeds-wire") == ["error rear-ground"]


CHARGED = changed(
    LINKED,
    ("rear: {kind: battery, zone: cargo, role: added}", "rear: {kind: battery, zone: cargo, role: added, link: 60 A}"),
)


def test_a_charge_link_is_judged_at_its_planned_current() -> None:
    """60 A through 10 m of 6 AWG (NEC chapter 9 table 8, at 50 C: 1.48 mohm/m) lose more than 0.8 V, through 5 m of 1/0
    a tenth of a volt; the way back is judged alike."""
    drops = ("supply-drop-high", "return-drop-high", "total-drop-high")
    assert [outcome(CHARGED, rule) for rule in drops] == [[], [], []]
    thin = changed(
        CHARGED,
        (
            "link: {from: front-fuse.load, to: rear-fuse.load, gauge: 1/0 AWG, length: 5 m}",
            "link: {from: front-fuse.load, to: rear-fuse.load, gauge: 6 AWG, length: 10 m}",
        ),
    )
    assert [outcome(thin, rule) for rule in drops] == [["warning rear"], [], ["warning rear"]]
    thin = changed(
        CHARGED,
        (
            "strap: {from: bar, to: front.negative, gauge: 1/0 AWG, length: 5 m}",
            "strap: {from: bar, to: front.negative, gauge: 4 AWG, length: 5 m}",
        ),
    )
    assert outcome(thin, "return-drop-high") == ["warning rear"]


def test_a_charge_link_whose_current_nobody_planned_is_not_judged() -> None:
    """Without the planned current its drop cannot be checked, and that is said."""
    assert outcome(LINKED, "supply-drop-high") == ["? the planned current of the link (`link`) of rear"]


def test_clad_cable_is_blamed_for_its_own_leg() -> None:
    """Clad on both legs, only the way back too thin for it: the ground wire is told, the supply wire is not."""
    clad = "material: copper-clad-aluminium"
    text = changed(
        PLAN,
        ("power: 300 W", "power: 700 W"),
        (
            "feed: {from: main.load, to: amp.power, gauge: 4 AWG, length: 4 m}",
            f"feed: {{from: main.load, to: amp.power, gauge: 1/0 AWG, length: 1 m, {clad}}}",
        ),
        (
            "amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm}",
            f"amp-ground: {{from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm, {clad}}}",
        ),
        ("body: steel-unibody", "body: steel-unibody, body_resistance: 1.7 mohm"),
    )
    assert outcome(text, "clad-treated-as-copper") == ["warning amp-ground"]


def test_two_leads_from_a_part_that_takes_no_current_carry_none() -> None:
    """Two thin grounds of an isolator on one stud: nothing of what charges the second battery runs through them."""
    text = changed(
        CHARGED,
        ("body: composite", "body: steel-unibody"),
        (
            "  amp-fuse:",
            "  isolator: {kind: isolator, zone: engine-bay}\n  stud: {kind: ground-point, zone: engine-bay}\n  amp-fuse:",
        ),
        (
            "  link: {from: front-fuse.load, to: rear-fuse.load,",
            "  into: {from: front-fuse.load, to: isolator.line, gauge: 1/0 AWG, length: 20 cm}\n"
            "  link: {from: isolator.load, to: rear-fuse.load,",
        ),
        (
            "  strap:",
            "".join(
                f"  {name}: {{from: isolator.ground, to: stud, gauge: 18 AWG, length: 40 cm}}\n"
                for name in ("coil", "twin")
            )
            + "  strap:",
        ),
    )
    assert outcome(text, "fuse-exceeds-wire") == []


def test_a_speaker_with_one_lead_is_not_wired() -> None:
    """A voice coil needs both leads: the one that is missing is named."""
    one = "  sub-plus: {from: amp.sub-positive, to: sub.positive, gauge: 12 AWG, length: 1 m}\n"
    other = "  sub-minus: {from: amp.sub-negative, to: sub.negative, gauge: 12 AWG, length: 1 m}\n"
    text = changed(PLAN, ("  stud:", "  sub: {kind: speaker, zone: cargo, impedance: 4 ohm}\n  stud:"))
    assert outcome(text + one + other, "node-unconnected") == []
    assert messages(text + one, "node-unconnected") == ["no wire ends at `negative` of sub"]


@pytest.mark.parametrize(("size", "found"), [("4 AWG, 6 m", []), ("4 AWG, 3 m", ["warning the plan"]), ("4 AWG", [])])
def test_a_length_in_the_words_of_a_size_counts(size: str, found: list[str]) -> None:
    """The plan needs 4.55 m of 4 AWG: 6 m in the words of the size are enough, 3 m are not, and no length is no gap."""
    text = (
        changed(PLAN, ("scope: electrical\n", ""))
        + f"""\
parts:
  - {{part: cable, size: "{size}"}}
  - {{part: cable, size: 18 AWG}}
  - {{part: fuse, size: 80 A strip}}
  - {{part: fuse, size: 5 A}}
"""
    )
    assert outcome(text, "parts-list-gap") == found


def test_a_body_that_nobody_measured_leaves_short_circuits_open() -> None:
    """A cable can chafe through to an aluminium body whatever leads there are: how fast its fuse opens is not known."""
    text = changed(LINKED, ("body: composite", "body: aluminium"))
    assert outcome(text, "fault-current-too-low") == ["? the body resistance of the vehicle"]
    assert (
        outcome(changed(text, ("body: aluminium", "body: aluminium, body_resistance: 2 mohm")), "fault-current-too-low")
        == []
    )
    assert outcome(LINKED, "fault-current-too-low") == []


def roots(text: str) -> list[str]:
    """The findings that count, each with its subject; notes are left out."""
    return sorted(f"{one.rule} {one.subject}" for one in judged(text).findings if one.severity.word != "note")


@pytest.mark.parametrize(
    ("swaps", "found"),
    [
        # 700 W at 80 % and 13.8 V are 63.4 A; 10 AWG bears 60 A, at 50 C 51 A (33 CFR 183.425 Table 5).
        (
            [("power: 300 W", "power: 700 W"), ("gauge: 4 AWG, length: 4 m", "gauge: 10 AWG, length: 4 m")],
            # The way home loses too much whatever the feed is made of: 63.4 A through 2 mohm of body and more.
            ["conductor-overloaded feed", "return-drop-high amp"],
        ),
        (
            [
                ("  amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm}\n", ""),
                ("to: stud, gauge: 18 AWG", "to: post, gauge: 18 AWG"),
                ("  stud:", "  post: {kind: ground-point, zone: cargo}\n  stud:"),
            ],
            ["return-path-missing amp"],
        ),
        ([("insulation: 105 C", "insulation: 60 C")], ["insulation-too-cool-for-zone feed"]),
    ],
)
def test_one_cause_is_one_finding(swaps: list[tuple[str, str]], found: list[str]) -> None:
    """What follows from a fault is listed under it; what many wires took over from one line is told once."""
    assert roots(changed(PLAN, *swaps)) == found


CONVERTED = """\
plan: 1
title: Van, 24 V, two amplifiers, aluminium body with return cable
scope: electrical
vehicle: {system: 24 V, body: aluminium, body_resistance: 3 mohm measured, alternator: {rating: 120 A}, factory_draw: 30 A}
zones: [{name: engine-bay}, {name: cab, kind: cabin}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}}
nodes:
  lower: {kind: battery, zone: engine-bay, capacity: 100 Ah}
  upper: {kind: battery, zone: engine-bay, capacity: 100 Ah}
  main: {kind: fuse, zone: engine-bay, family: strip, rating: 60 A, voltage: 58 V, interrupts: 5 kA}
  dc: {kind: charger, zone: cargo, input_limit: 30 A, output_limit: 50 A, bidirectional: false}
  amp: {kind: amp, zone: cargo, class: D, largest_fuse: 60 A, outputs: {sub: {power: 400 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: cargo, member: floor, fastener: "M8 stud, serrated washer"}
wires:
  series: {from: upper.negative, to: lower.positive, gauge: 1/0 AWG, length: 30 cm, factory: true}
  tail: {from: upper.positive, to: main.line, gauge: 6 AWG, length: 15 cm}
  feed: {from: main.load, to: dc.input, gauge: 6 AWG, length: 4 m}
  out: {from: dc.output, to: amp.power, gauge: 6 AWG, length: 1 m}
  amp-ground: {from: amp.ground, to: stud, gauge: 6 AWG, length: 40 cm}
  dc-ground: {from: dc.ground, to: stud, gauge: 6 AWG, length: 40 cm}
"""


def test_the_ground_of_a_charger_is_as_thick_as_the_thicker_of_its_two_sides() -> None:
    """What a charger takes and what it gives run against each other through its ground: 6 AWG will do for 6 AWG on both
    sides, 10 AWG will not."""
    assert outcome(CONVERTED, "return-thinner-than-supply") == []
    thin = changed(
        CONVERTED,
        ("dc-ground: {from: dc.ground, to: stud, gauge: 6 AWG", "dc-ground: {from: dc.ground, to: stud, gauge: 10 AWG"),
    )
    assert outcome(thin, "return-thinner-than-supply") == ["error dc-ground"]


def test_what_is_grounded_on_one_block_lacks_its_way_back_together() -> None:
    """Without a way from the block home nothing on it has a way back: one finding, and one for the battery's own."""
    fan = """\
  fan-feed: {from: amp-fuse.load, to: fan.power, gauge: 14 AWG, length: 50 cm}
  fan-ground: {from: fan.ground, to: bar, gauge: 14 AWG, length: 50 cm}
"""
    lone = changed(
        LINKED,
        ("  strap: {from: bar, to: front.negative, gauge: 1/0 AWG, length: 5 m}\n", ""),
        ("  rear-ground: {from: rear.negative, to: bar, gauge: 1/0 AWG, length: 40 cm}\n", fan),
        ("  bar:", "  fan: {kind: load, zone: cargo, supply: 4 A}\n  bar:"),
    )
    found = [one for one in roots(lone) if one.startswith("return-path-missing")]
    assert found == ["return-path-missing amp", "return-path-missing rear"]


@pytest.mark.parametrize(
    ("body", "found"),
    [
        ("composite", ["chassis-return-unsuitable stud"]),
        ("aluminium", ["chassis-return-unsuitable stud"]),
        ("steel-unibody", []),
    ],
)
def test_what_charges_a_battery_comes_home_by_a_body_that_conducts(body: str, found: list[str]) -> None:
    """The cable ends at a stud beside the second battery, and the 60 A of its link go on through the body (van makers'
    manuals: an aluminium body is measured first): one finding, the missing way home of the link under it."""
    text = changed(
        CHARGED,
        ("body: composite", f"body: {body}"),
        ("front: {kind: battery, zone: engine-bay}", "front: {kind: battery, zone: engine-bay, role: main}"),
        ("  bar: {kind: bus", "  stud: {kind: ground-point, zone: cargo, member: floor}\n  bar: {kind: bus"),
        ("to: front.negative, gauge: 1/0 AWG, length: 5 m", "to: stud, gauge: 1/0 AWG, length: 40 cm"),
    )
    ground = ("chassis-return-unsuitable", "return-path-missing")
    assert [one for one in roots(text) if one.startswith(ground)] == found


def test_one_missing_wire_at_a_second_battery_is_one_finding() -> None:
    """Without the cable at its negative post neither the battery nor the amplifier it feeds has a way back; one wire to
    the bar, which a strap joins to the front battery, gives it to both."""
    lone = changed(LINKED, ("  rear-ground: {from: rear.negative, to: bar, gauge: 1/0 AWG, length: 40 cm}\n", ""))
    assert [one for one in roots(lone) if one.startswith(("return-path-missing", "node-unconnected"))] == [
        "return-path-missing amp"
    ]


def test_a_weak_battery_collapses_in_a_body_that_does_not_conduct() -> None:
    """A battery of 60 mohm gives at most 12.6^2 / (4 x 0.06) = 661 W: 300 W at 80 % it bears, 1,200 W it does not."""
    weak = ("front: {kind: battery, zone: engine-bay}", "front: {kind: battery, zone: engine-bay, resistance: 60 mohm}")
    rear = (
        "rear: {kind: battery, zone: cargo, role: added}",
        "rear: {kind: battery, zone: cargo, role: added, resistance: 60 mohm}",
    )
    assert outcome(changed(LINKED, weak, rear), "supply-collapses") == []
    large = changed(LINKED, weak, rear, ("power: 300 W", "power: 1200 W"))
    assert outcome(large, "supply-collapses") == ["warning amp"]
