"""What attacks on the grounds of whole plans once found told twice, or told where the mistake is not."""

from __future__ import annotations

import pytest
from small_plans import changed, judged, messages, outcome

# 300 W at 80 % and 13.8 V draw 27.2 A, 200 W 18.1 A; 4 AWG bears both.
PLAN = """\
plan: 1
title: Two amplifiers and a battery behind a charger
scope: electrical
vehicle: {class: van, system: 12 V, body: steel-unibody, body_resistance: 1 mohm measured}
zones: [{name: bay, kind: engine-bay}, {name: cab, kind: cabin}, {name: rear, kind: cargo}]
defaults:
  wire: {material: copper, insulation: 105 C}
  fuse: {family: strip, voltage: 32 V, interrupts: 5 kA}
nodes:
  front: {kind: battery, zone: bay, role: main}
  charger-fuse: {kind: fuse, zone: bay, rating: 60 A}
  charger: {kind: charger, zone: rear, input_limit: 40 A, output_limit: 30 A, bidirectional: false, isolates: true}
  house: {kind: battery, zone: rear, role: added, chemistry: agm}
  out-fuse: {kind: fuse, zone: rear, rating: 50 A}
  main: {kind: fuse, zone: rear, rating: 80 A}
  block: {kind: distribution, zone: rear, outputs: {out-1: {fuse: 40 A}, out-2: {fuse: 30 A}}}
  bass: {kind: amp, zone: rear, class: D, lowest_voltage: 9 V, outputs: {sub: {power: 300 W, at: 2 ohm}}}
  mids: {kind: amp, zone: rear, class: D, lowest_voltage: 9 V, outputs: {front: {power: 200 W, at: 4 ohm}}}
  bar: {kind: bus, zone: rear, lugs: house-ground}
  stud: {kind: ground-point, zone: rear, member: floor, fastener: M8 stud with serrated nut, surface: bare-metal}
wires:
  in-1: {from: front.positive, to: charger-fuse.line, gauge: 4 AWG, length: 15 cm}
  in-2: {from: charger-fuse.load, to: charger.input, gauge: 4 AWG, length: 4 m}
  out-1: {from: charger.output, to: out-fuse.load, gauge: 6 AWG, length: 50 cm}
  out-2: {from: out-fuse.line, to: house.positive, gauge: 6 AWG, length: 15 cm}
  tail: {from: house.positive, to: main.line, gauge: 4 AWG, length: 15 cm}
  feed: {from: main.load, to: block.in, gauge: 4 AWG, length: 50 cm}
  bass-feed: {from: block.out-1, to: bass.power, gauge: 8 AWG, length: 50 cm}
  mids-feed: {from: block.out-2, to: mids.power, gauge: 8 AWG, length: 50 cm}
  bass-ground: {from: bass.ground, to: bar, gauge: 8 AWG, length: 60 cm}
  mids-ground: {from: mids.ground, to: bar, gauge: 8 AWG, length: 60 cm}
  charger-ground: {from: charger.ground, to: bar, gauge: 4 AWG, length: 40 cm}
  house-ground: {from: house.negative, to: bar, gauge: 4 AWG, length: 30 cm}
  stud-ground: {from: bar, to: stud, gauge: 4 AWG, length: 30 cm}
"""
CHAINED = ("mids.ground, to: bar", "mids.ground, to: bass.ground")
HOUSE = "  house-ground: {from: house.negative, to: bar, gauge: 4 AWG, length: 30 cm}\n"


def roots(text: str) -> list[str]:
    """The findings that stand on their own, as `rule subject`."""
    return [f"{one.rule} {one.subject}" for one in judged(text).findings]


def test_the_plan_is_sound() -> None:
    """Nothing is found in the plan that the tests here break."""
    assert roots(PLAN) == []


def test_a_chain_is_the_cause_of_what_its_lead_bears() -> None:
    """Where one amplifier is grounded through another, a lead thick enough for one alone is no mistake of its own."""
    (found,) = judged(changed(PLAN, CHAINED)).findings
    assert (found.rule, found.subject) == ("ground-chained", "mids-ground")
    assert ("return-thinner-than-supply", "bass-ground") in [(one.rule, one.subject) for one in found.consequences]


def test_a_lead_too_thin_for_its_own_part_is_told_beside_the_chain() -> None:
    """Parted from the chain, a lead of 12 AWG would still be thinner than the supply of 8 AWG."""
    thin = changed(PLAN, CHAINED, ("bass.ground, to: bar, gauge: 8 AWG", "bass.ground, to: bar, gauge: 12 AWG"))
    assert [one for one in roots(thin) if one.startswith(("ground-chained", "return-thinner"))] == [
        "return-thinner-than-supply bass-ground",
        "ground-chained mids-ground",
    ]


def test_a_battery_without_its_ground_is_one_finding() -> None:
    """Without the one wire at the negative of a battery behind a charger nothing it feeds has a way back, and no ground wire
    there is too long for a body to which it was never meant to lead."""
    (found,) = judged(changed(PLAN, (HOUSE, ""), (", lugs: house-ground", ""))).findings
    assert (found.rule, found.subject) == ("return-path-missing", "bass")
    below = {(one.rule, one.subject) for one in found.consequences}
    assert below >= {("node-unconnected", "house"), ("ground-lead-long", "bass-ground")}


def test_a_thin_ground_of_clad_aluminium_is_thin_first() -> None:
    """Copper of the same size would be too thin as well: 6 AWG behind 4 AWG."""
    text = changed(
        PLAN,
        (HOUSE, HOUSE.replace("gauge: 4 AWG", "material: copper-clad-aluminium, gauge: 6 AWG")),
    )
    (found,) = judged(text).findings
    assert (found.rule, found.subject) == ("return-thinner-than-supply", "house-ground")
    assert "clad-treated-as-copper" in [one.rule for one in found.consequences]


@pytest.mark.parametrize(
    ("fastener", "seat", "belt"),
    [
        ("M8 bolt with star washer beside the seat bolt", [], []),
        ("M8 bolt with star washer (not the seat bolt)", [], []),
        ("M8 stud near the belt anchor", [], []),
        ("M10 bolt of the seat rail near the tunnel", ["warning stud"], []),
        ("'M10 bolt, star washer, seat rail bolt'", ["warning stud"], []),
        ("M10 bolt of the belt buckle beside the tunnel", [], ["error stud"]),
    ],
)
def test_a_bolt_beside_another_is_not_that_bolt(fastener: str, seat: list[str], belt: list[str]) -> None:
    """Words that tell where a bolt is, or which it is not, do not make it the bolt of a seat or belt."""
    text = changed(PLAN, ("M8 stud with serrated nut", fastener))
    assert outcome(text, "ground-on-seat-bolt") == seat
    assert outcome(text, "ground-on-belt-anchor") == belt


def test_a_return_that_no_fuse_limits_names_none() -> None:
    """What comes home from a charger that limits its own current passes no fuse, and none is named."""
    text = changed(
        PLAN,
        ("  out-2: {from: out-fuse.line, to: house.positive, gauge: 6 AWG, length: 15 cm}\n", ""),
        ("out-1: {from: charger.output, to: out-fuse.load", "out-1: {from: charger.output, to: fan.power"),
        ("  out-fuse: {kind: fuse, zone: rear, rating: 50 A}\n", "  fan: {kind: load, zone: rear, supply: 4 A}\n"),
        (HOUSE, HOUSE + "  fan-ground: {from: fan.ground, to: bar, gauge: 18 AWG, length: 30 cm}\n"),
    )
    assert [one for one in messages(text, "fuse-exceeds-wire") if one.startswith("30 A can flow into fan-ground")] == [
        "30 A can flow into fan-ground if all that comes home by it is shorted at once; its insulation bears 20 A where it "
        "lies (30 C), and at most 1.25 times that"
    ]


# Copper of 16 mm2 conducts as clad aluminium of 25.6 mm2 does (1.6 times the resistivity).
@pytest.mark.parametrize(
    ("supply", "back", "found"),
    [
        ("copper-clad-aluminium, gauge: 26 mm2", "copper, gauge: 16 mm2", []),
        ("copper-clad-aluminium, gauge: 35 mm2", "copper, gauge: 16 mm2", ["warning charger-ground"]),
        ("copper, gauge: 26 mm2", "copper, gauge: 16 mm2", ["warning charger-ground"]),
        ("copper-clad-aluminium, gauge: 26 mm2", "not stated, gauge: 16 mm2", ["warning charger-ground"]),
    ],
)
def test_thin_copper_brings_back_what_thick_clad_aluminium_brings(supply: str, back: str, found: list[str]) -> None:
    """A ground wire is held against its supply wire by what both conduct, where both say what they are made of."""
    text = changed(
        PLAN,
        ("to: charger.input, gauge: 4 AWG", f"to: charger.input, material: {supply}"),
        ("charger.ground, to: bar, gauge: 4 AWG", f"charger.ground, to: bar, material: {back}"),
    )
    assert [one for one in outcome(text, "return-thinner-than-supply") if "charger-ground" in one] == found


@pytest.mark.parametrize(
    ("vehicle", "section", "found"),
    [
        ("body: composite", "", []),
        ("body: composite, body_resistance: 1 mohm measured", "", ["? the section of stud"]),
        ("body: composite", "section: box, ", ["error stud"]),
        ("body: aluminium", "", ["? the section of stud"]),
    ],
)
def test_a_body_of_plastic_is_not_asked_for_its_sections(vehicle: str, section: str, found: list[str]) -> None:
    """Where no part of the body conducts, no strap between its parts would help; that it does not conduct is told."""
    text = changed(
        PLAN,
        ("body: steel-unibody, body_resistance: 1 mohm measured", vehicle),
        ("zone: rear, member: floor", f"zone: rear, {section}member: floor"),
    )
    assert outcome(text, "isolated-body-section") == found
    assert ("body_resistance" in vehicle) != bool(outcome(text, "chassis-return-unsuitable"))
