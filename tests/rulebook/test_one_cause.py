"""One cause, one finding: what is wrong in one place of a plan is told once, however many elements suffer from it."""

from __future__ import annotations

import pytest
from small_plans import changed, judged

# 500 W at 80 % and 13.8 V draw 45.3 A, 240 W draw 21.7 A: together 67.0 A. Limits are common practice of the trade.
PLAN = """\
plan: 1
title: Two amplifiers behind a fused block
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
defaults: {wire: {material: copper, insulation: 105 C}}
groups: {branch: {gauge: 6 AWG}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  main-fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 100 A, voltage: 32 V, interrupts: 5 kA}
  block: {kind: distribution, zone: cargo, outputs: {
    out-1: {fuse: 60 A, voltage: 32 V}, out-2: {fuse: 30 A, voltage: 32 V}}}
  bass: {kind: amp, zone: cargo, class: D, largest_fuse: 80 A, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  mids: {kind: amp, zone: cargo, class: D, largest_fuse: 40 A, outputs: {left: {power: 240 W, at: 4 ohm}}}
  stud: {kind: ground-point, zone: cargo, resistance: 1 mohm measured}
wires:
  tail: {from: battery.positive, to: main-fuse.line, gauge: 2 AWG, length: 15 cm}
  feed: {from: main-fuse.load, to: block.in, gauge: 2 AWG, length: 3 m}
  bass-feed: {from: block.out-1, to: bass.power, group: branch, length: 40 cm}
  mids-feed: {from: block.out-2, to: mids.power, group: branch, length: 40 cm}
  bass-ground: {from: bass.ground, to: stud, group: branch, length: 40 cm}
  mids-ground: {from: mids.ground, to: stud, group: branch, length: 40 cm}
"""


def roots(text: str) -> list[str]:
    """What the report tells on its own: rule and subject of each finding that stands under no other."""
    return [f"{one.rule} {one.subject}" for one in judged(text).findings]


def test_the_sound_plan_is_ready() -> None:
    """What is told below comes from the changes alone."""
    assert roots(PLAN) == []


OWN_GAUGES = [(f"{pair}, group: branch", f"{pair}, gauge: 6 AWG") for pair in ("to: bass.power", "to: mids.power")]
RUN = "{from: main-fuse.load, to: block.in, gauge: 6 AWG, length: 2 m}"
FUSED = "out-1: {fuse: 80 A, voltage: 32 V}, out-2: {fuse: 80 A, voltage: 32 V}"
# What is wrong in one place, and the findings that stand on their own.
ONE_PLACE: dict[str, tuple[list[tuple[str, str]], list[str]]] = {
    "the insulation of all wires": (
        [("insulation: 105 C", "insulation: 75 C")],
        ["insulation-too-cool-for-zone feed"],
    ),
    # 45.3 A and 21.7 A through 14 AWG.
    "the gauge of one group": (
        [("gauge: 6 AWG", "gauge: 14 AWG")],
        ["conductor-overloaded bass-feed"],
    ),
    "a block without fuses": (
        [
            ("outputs: {\n    out-1: {fuse: 60 A, voltage: 32 V}, out-2: {fuse: 30 A, voltage: 32 V}}", "fused: false"),
            *OWN_GAUGES,
        ],
        ["step-down-unprotected bass-feed"],
    ),
    # Two runs of 6 AWG (80 A each by the trade's table) behind 100 A.
    "two runs side by side": (
        [
            (
                "feed: {from: main-fuse.load, to: block.in, gauge: 2 AWG, length: 3 m}",
                "feed: " + RUN + "\n  feed-2: " + RUN,
            ),
        ],
        ["parallel-runs-unprotected feed"],
    ),
    "a block with fuses in the return": (
        [
            ("  stud:", "  star: {kind: distribution, zone: cargo, outputs: {" + FUSED + "}}\n  stud:"),
            ("bass.ground, to: stud", "bass.ground, to: star.out-1"),
            (
                "mids.ground, to: stud, group: branch, length: 40 cm}",
                "mids.ground, to: star.out-2, gauge: 6 AWG, length: 40 cm}\n"
                "  star-ground: {from: star.in, to: stud, gauge: 2 AWG, length: 20 cm}",
            ),
        ],
        ["fuse-in-return bass-ground"],
    ),
    # 67 A through 40 A; the branch of 60 A is larger than the main fuse only because that is too small.
    "a main fuse that is too small": (
        [("family: strip, rating: 100 A", "family: strip, rating: 40 A")],
        ["main-fuse-below-branch-sum main-fuse"],
    ),
    "a body that does not conduct": (
        [("steel-unibody", "composite"), ("resistance: 1 mohm measured", "member: floor")],
        ["chassis-return-unsuitable stud"],
    ),
    "a ground bar from which nothing leads to the stud": (
        [
            ("  stud:", "  star: {kind: bus, zone: cargo}\n  stud:"),
            ("bass.ground, to: stud", "bass.ground, to: star"),
            ("mids.ground, to: stud", "mids.ground, to: star"),
        ],
        ["return-path-missing bass"],
    ),
    "a composite body with a bar before the stud": (
        [
            ("steel-unibody", "composite"),
            ("resistance: 1 mohm measured", "member: floor"),
            ("  stud:", "  star: {kind: bus, zone: cargo}\n  stud:"),
            ("bass.ground, to: stud", "bass.ground, to: star"),
            ("  mids-ground:", "  strap: {from: star, to: stud, gauge: 2 AWG, length: 20 cm}\n  mids-ground:"),
            ("mids.ground, to: stud", "mids.ground, to: star"),
        ],
        ["chassis-return-unsuitable stud"],
    ),
    # 100 A into both wires of an amplifier, which may be fused for 50 A.
    "a thin branch without a fuse": (
        [
            ("out-1: {fuse: 60 A, voltage: 32 V}", "out-1: {fuse: none}"),
            ("bass.power, group: branch", "bass.power, gauge: 8 AWG"),
            ("bass.ground, to: stud, group: branch", "bass.ground, to: stud, gauge: 8 AWG"),
        ],
        ["step-down-unprotected bass-feed"],
    ),
    "a main fuse that is too large": (
        [("family: strip, rating: 100 A", "family: strip, rating: 500 A")],
        ["fuse-exceeds-wire feed"],
    ),
}


@pytest.mark.parametrize(("swaps", "expected"), ONE_PLACE.values(), ids=ONE_PLACE.keys())
def test_what_is_wrong_in_one_place_is_one_finding(swaps: list[tuple[str, str]], expected: list[str]) -> None:
    """One number of the plan is changed, and one finding stands on its own."""
    assert roots(changed(PLAN, *swaps)) == expected


TAP = (
    "  bass-feed:",
    "  tap: {from: bass.power, to: fan.power, gauge: 18 AWG, length: 2 m}\n"
    "  fan-ground: {from: fan.ground, to: stud, gauge: 18 AWG, length: 40 cm}\n  bass-feed:",
)
FAN = ("  stud:", "  fan: {kind: load, zone: cargo, supply: 1 A}\n  stud:")


def told_under(text: str, root: str) -> set[str]:
    """The subjects of what the report lists under one finding."""
    [found] = [one for one in judged(text).findings if f"{one.rule} {one.subject}" == root]
    return {one.subject for one in found.consequences}


def test_what_is_jumped_from_a_device_is_not_blamed_for_what_that_device_lacks() -> None:
    """A tap without a fuse at an amplifier's terminal, and before the amplifier a fuse that its maker forbids."""
    broken = changed(PLAN, TAP, FAN, ("largest_fuse: 80 A", "largest_fuse: 40 A"))
    assert "fuse-above-equipment-max bass" in roots(broken)
    assert "bass" not in told_under(broken, "amp-terminal-tap-unfused tap")


def test_a_ground_wire_is_not_blamed_for_the_fuse_before_a_device() -> None:
    """An amplifier through which another is grounded, its ground wire too thin for both, behind a fuse too large for it."""
    broken = changed(
        PLAN,
        ("bass.ground, to: stud, group: branch", "bass.ground, to: mids.ground, group: branch"),
        ("mids.ground, to: stud, group: branch", "mids.ground, to: stud, gauge: 10 AWG"),
        # Later in the alphabet than the ground wire.
        (
            "mids-feed: {from: block.out-2, to: mids.power, group: branch",
            "to-mids: {from: block.out-2, to: mids.power, gauge: 8 AWG",
        ),
        ("out-2: {fuse: 30 A", "out-2: {fuse: 60 A"),
    )
    assert "mids" in told_under(broken, "fuse-exceeds-wire to-mids")
    assert "mids" not in told_under(broken, "ground-chained bass-ground")


def test_a_poor_way_back_is_not_blamed_on_the_way_there() -> None:
    """The feed is too long for its gauge and the ground point too poor: mending one leaves the other."""
    long = ("gauge: 2 AWG, length: 3 m}", "gauge: 2 AWG, length: 12 m}")
    poor = ("resistance: 1 mohm measured", "resistance: 5 mohm measured")
    assert {"supply-drop-high bass", "return-drop-high bass"} <= set(roots(changed(PLAN, long, poor)))


def test_one_poor_cable_is_told_once_for_all_that_it_feeds() -> None:
    """Both amplifiers lose too much voltage in the cable they share."""
    long = ("gauge: 2 AWG, length: 3 m}", "gauge: 2 AWG, length: 12 m}")
    assert [one for one in roots(changed(PLAN, long)) if one.startswith("supply-drop")] == ["supply-drop-high bass"]


ONE_AMP = """\
plan: 1
title: An amplifier and a fan on one fuse that is too large
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
defaults: {wire: {material: copper, insulation: 105 C}}
nodes:
  battery: {kind: battery}
  main-fuse: {kind: fuse, family: strip, rating: 150 A, voltage: 32 V, interrupts: 5 kA}
  amp: {kind: amp, class: D, outputs: {sub: {power: 200 W, at: 2 ohm}}}
  fan: {kind: load, supply: 1 A}
  stud: {kind: ground-point}
wires:
  tail: {from: battery.positive, to: main-fuse.line, gauge: 8 AWG, length: 15 cm}
  feed: {from: main-fuse.load, to: amp.power, gauge: 8 AWG, length: 3 m}
  tap: {from: amp.power, to: fan.power, gauge: 18 AWG, length: 1 m}
  amp-ground: {from: amp.ground, to: stud, gauge: 8 AWG, length: 40 cm}
  fan-ground: {from: fan.ground, to: amp.ground, gauge: 18 AWG, length: 1 m}
"""


def test_a_fuse_that_is_too_large_is_told_at_a_supply_wire() -> None:
    """The ground wire that suffers too comes first in the alphabet, and yet the fuse stands in the supply wires."""
    assert [one for one in roots(ONE_AMP) if one.startswith("fuse-exceeds-wire")] == ["fuse-exceeds-wire feed"]


# The fan again, behind a fuse of its own near the amplifier's terminal.
FUSED_FAN = [
    (
        "  bass-feed:",
        "  tap: {from: bass.power, to: fan-fuse.line, gauge: 18 AWG, length: 10 cm}\n"
        "  fan-feed: {from: fan-fuse.load, to: fan.power, gauge: 18 AWG, length: 1 m}\n"
        "  fan-ground: {from: fan.ground, to: own-stud, gauge: 18 AWG, length: 40 cm}\n  bass-feed:",
    ),
    (
        FAN[0],
        "  own-stud: {kind: ground-point, zone: cargo}\n  fan-fuse: {kind: fuse, zone: cargo, rating: 3 A, voltage: 32 V}\n"
        + FAN[1],
    ),
]


def test_a_thin_ground_is_seen_where_the_supply_wire_feeds_a_small_part_besides() -> None:
    """The fan takes 1 A of the 46.3 A in the feed of the amplifier."""
    assert roots(changed(PLAN, *FUSED_FAN)) == []
    ground = "bass-ground: {from: bass.ground, to: stud, "
    thin = changed(PLAN, *FUSED_FAN, (f"{ground}group: branch", f"{ground}gauge: 8 AWG"))
    assert roots(thin) == ["return-thinner-than-supply bass-ground"]


def test_one_poor_ground_is_told_once_for_all_that_come_home_by_it() -> None:
    """Both amplifiers lose more than 0.2 V at the ground point that they share: 67 A through 5 mohm."""
    poor = changed(PLAN, ("resistance: 1 mohm measured", "resistance: 5 mohm measured"))
    (found,) = judged(poor).findings
    assert (found.rule, found.subject) == ("return-drop-high", "bass")
    assert "the same at mids" in [place.message for place in found.related]


RELAY = (
    "  stud:",
    "  relay: {kind: relay, zone: cargo, rating: 30 A, coil: 150 mA}\n"
    "  circuit: {kind: factory-circuit, zone: cabin, circuit: accessory, fuse: 20 A}\n"
    "  coil-stud: {kind: ground-point, zone: cargo}\n  stud:",
)
LEADS = """\
  coil: {from: circuit.out, to: relay.coil-positive, gauge: 20 AWG, length: 1 m}
  coil-ground: {from: relay.coil-negative, to: coil-stud, gauge: 20 AWG, length: 30 cm}
  common: {from: battery.positive, to: relay.common, gauge: 18 AWG, length: 4 m}
  wake: {from: relay.normally-open, to: bass.turn-on, gauge: 18 AWG, length: 1 m}
"""


def test_the_lead_of_a_coil_is_not_blamed_on_the_feed_of_the_contacts() -> None:
    """The fuse of the circuit is too large for the coil's lead, and the contacts are fed without any fuse."""
    found = roots(changed(PLAN, RELAY) + LEADS)
    assert {"fuse-exceeds-wire coil", "source-wire-unfused common"} <= set(found)
    assert not any(one.startswith("relay-feed-unfused") for one in found)
