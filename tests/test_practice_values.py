"""Values of the trade that no standard prints (common practice, no published source), in whole plans."""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.judge.judge import judge
from planlint.judge.result import Result, Told, Verdict
from planlint.rulebook.model import Severity

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"
CABLE = "material: copper, insulation: 105 C"
Edit = tuple[str, str]

# With the assumed 2 mohm of body 68 A would lose more than 0.2 V on the way back; this body was measured.
PRACTICE_AMP: tuple[Edit, ...] = (
    ("600 W, at: 2 ohm", "750 W, at: 2 ohm"),
    ("rating: 80 A", "rating: 100 A"),
    ("largest_fuse: 80 A", "largest_fuse: 100 A"),
    ("body: steel-unibody", "body: steel-unibody, body_resistance: 1.5 mohm measured"),
)


def plan(base: str, *edits: Edit) -> str:
    """Return the text of a sound example with every occurrence of each old text replaced."""
    text = (EXAMPLES / f"{base}.plan.yaml").read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text, f"{old!r} is not in {base}"
        text = text.replace(old, new)
    return text


def nodes(*lines: str) -> Edit:
    """Return the edit that adds nodes to the minimal plan."""
    return ("  floor-stud: {kind", "".join(f"  {line}\n" for line in lines) + "  floor-stud: {kind")


def wires(*lines: str) -> Edit:
    """Return the edit that adds wires to the minimal plan."""
    return ("  sub-positive: {from", "".join(f"  {line}\n" for line in lines) + "  sub-positive: {from")


def cable(name: str, start: str, end: str, gauge: str, length: str) -> str:
    """Return a wire of copper with insulation for 105 C in one line."""
    return f"{name}: {{from: {start}, to: {end}, gauge: {gauge}, {CABLE}, length: {length}}}"


# The stud is left out where the ground goes elsewhere.
FLOOR_STUD_LEFT_OUT: Edit = (
    "  floor-stud: {kind: ground-point, zone: cargo, member: floor, fastener: M8 stud with serrated washer, "
    "surface: bare-metal}\n",
    "",
)


def judged(text: str) -> Result:
    """Return the Result of a plan's text; it must be readable."""
    result = judge(text.encode(), "plan")
    assert result.verdict is not Verdict.UNREADABLE, result.findings
    return result


# A fuse sized by the trade's table often does not guard its wire against a soft short circuit: a note, left aside here.
SOFT_SHORT = "soft-short-unprotected"


def findings(text: str) -> list[Told]:
    """Return all findings but the notes of soft short circuits."""
    return [one for one in judged(text).findings if one.rule != SOFT_SHORT]


def found(text: str) -> list[str]:
    """Return all findings that count as `rule at subject (severity)`, sorted."""
    return sorted(f"{one.rule} at {one.subject} ({one.severity.name.lower()})" for one in findings(text))


def is_sound(text: str) -> bool:
    """Say whether a plan is ready with no finding at all and nothing of error class unchecked."""
    result = judged(text)
    return result.verdict in (Verdict.READY, Verdict.READY_ELECTRICAL) and not findings(text)


# --- 750 W of class D in the cargo area over 5 m of cable: the everyday case.


def test_750_w_over_5_m_of_4_awg_behind_100_a_is_sound() -> None:
    """Common practice: 4 AWG copper and one 100 A fuse close to the battery feed 750 W in a compact car."""
    assert is_sound(plan("minimal", *PRACTICE_AMP))


def test_the_same_on_8_awg_is_not() -> None:
    """Common practice: 8 AWG behind 100 A is over-fused, and loses too much voltage over 5 m, on either leg."""
    assert found(plan("minimal", *PRACTICE_AMP, ("4 AWG", "8 AWG"))) == [
        "fuse-exceeds-wire at feed-front (error)",
        "return-drop-high at amp (warning)",
        "supply-drop-high at amp (warning)",
    ]


def test_the_same_on_clad_aluminium_is_not() -> None:
    """Common practice: clad aluminium of the same gauge bears less and loses more than copper."""
    clad = ("material: copper", "material: copper-clad-aluminium")
    finding = judged(plan("minimal", *PRACTICE_AMP, clad)).findings[0]
    assert (finding.rule, finding.severity) == ("clad-treated-as-copper", Severity.WARNING)
    assert {"fuse-exceeds-wire", "supply-drop-high"} <= {one.rule for one in finding.consequences}


CONVERTER = nodes(
    "converter: {kind: converter, zone: cargo, supply: 0.3 A, largest_fuse: 3 A}",
    "converter-fuse: {kind: fuse, zone: cargo, family: blade, rating: 3 A}",
)


def jumper(to_fuse: str) -> Edit:
    """Return the edit that feeds a converter from the amplifier's terminal, its own fuse that far away."""
    return wires(
        cable("jumper", "amp.power", "converter-fuse.line", "18 AWG", to_fuse),
        cable("jumper-rest", "converter-fuse.load", "converter.power", "18 AWG", "30 cm"),
        cable("converter-ground", "converter.ground", "floor-stud", "18 AWG", "30 cm"),
    )


@pytest.mark.parametrize("length", ["5 cm", "17 cm", "7 in"])
def test_a_jumper_with_its_own_fuse_near_the_terminal_is_sound(length: str) -> None:
    """Common practice: a converter may live off the amplifier's terminal behind a small fuse right there."""
    assert is_sound(plan("minimal", *PRACTICE_AMP, CONVERTER, jumper(length)))


def test_a_jumper_whose_fuse_is_far_from_the_terminal_is_found() -> None:
    """Common practice: half a metre of 18 AWG before its fuse hangs on the main fuse alone."""
    assert found(plan("minimal", *PRACTICE_AMP, CONVERTER, jumper("50 cm"))) == [
        "amp-terminal-tap-unfused at jumper (error)"
    ]


def test_a_jumper_without_a_fuse_is_found() -> None:
    """Common practice: the amplifier's own fuses do not guard what is jumped from its terminal."""
    text = plan("hatchback", ("from: block.out-2", "from: bass-amp.power"))
    assert "amp-terminal-tap-unfused at converter-feed (error)" in found(text)


# --- Faults planted into whole plans: the trade's list of mistakes and their severities, from practice.

LONG_COPPER = "    gauge: 4 AWG\n    material: tinned-copper\n    insulation: 105 C\n    length: 5.2 m measured"
LONG_CLAD = LONG_COPPER.replace("tinned-copper", "copper-clad-aluminium")
LONG_BARE = LONG_COPPER.replace("    material: tinned-copper\n", "")
NO_MAIN_FUSE = (
    (
        "  main-fuse: {kind: fuse, zone: engine-bay, family: anl-mini, rating: 80 A, voltage: 32 V, interrupts: 5 kA}\n",
        "",
    ),
    (f"  {cable('feed-front', 'battery.positive', 'main-fuse.line', '4 AWG', '15 cm')}\n", ""),
    ("from: main-fuse.load", "from: battery.positive"),
)
NO_REAR_LINK_FUSE = (
    ("  rear-link-fuse: {kind: fuse, zone: load-bay, rating: 125 A}\n", ""),
    ("to: rear-link-fuse.load", "to: rear-battery.positive"),
    (
        "  link-rear:\n"
        "    group: heavy\n"
        "    from: rear-link-fuse.line\n"
        "    to: rear-battery.positive\n"
        "    length: 20 cm\n"
        "    cut: 55 cm\n"
        "    protection: conduit-closed\n"
        "    route: [{zone: load-bay, length: 20 cm}]\n"
        "    ends: {from: {stud: M5, bore: 5.3 mm, torque: 4.5 N.m}}\n",
        "",
    ),
    (", rear-link-fuse", ""),
    (", link-rear", ""),
    ("[link-rear, ", "["),
)

PLANTED: dict[str, tuple[str, tuple[Edit, ...], list[str]]] = {
    "main fuse moved to 0.90 m": (
        "hatchback",
        (("length: 18 cm", "length: 0.90 m"),),
        ["main-fuse-too-far at feed-front (error)"],
    ),
    "main fuse at 40 cm": (
        "hatchback",
        (("length: 18 cm", "length: 40 cm"),),
        ["main-fuse-too-far at feed-front (warning)"],
    ),
    "main fuse deleted": ("minimal", NO_MAIN_FUSE, ["source-wire-unfused at feed-rear (error)"]),
    "150 A on 4 AWG": (
        "minimal",
        (("80 A", "150 A"),),
        ["fuse-exceeds-wire at feed-front (warning)"],
    ),
    "200 A on 4 AWG": (
        "minimal",
        (("80 A", "200 A"),),
        ["fuse-exceeds-wire at feed-front (error)"],
    ),
    "small output of the block unfused": (
        "sedan",
        (("out-3: {fuse: 3 A, family: blade, voltage: 32 V, interrupts: 1 kA,", "out-3: {fuse: none,"),),
        [
            "step-down-unprotected at processor-feed (error)",
        ],
    ),
    "link fused at the front only": (
        "two-batteries",
        NO_REAR_LINK_FUSE,
        ["two-source-run-one-fuse at link-long (error)"],
    ),
    "15 A on the converter's 18 AWG": (
        "hatchback",
        (("fuse: 3 A", "fuse: 15 A"),),
        ["fuse-exceeds-wire at converter-feed (error)", "parts-list-gap at the plan (warning)"],
    ),
    "main supply of clad aluminium": (
        "hatchback",
        ((LONG_COPPER, LONG_CLAD),),
        ["clad-treated-as-copper at feed-rear (warning)"],
    ),
    "material left out": (
        "hatchback",
        ((LONG_COPPER, LONG_BARE),),
        ["conductor-material-not-stated at feed-rear (note)", "supply-drop-high at bass-amp (warning)"],
    ),
    "4 AWG entered as 4 mm2": (
        "minimal",
        (("to: amp.power, gauge: 4 AWG", "to: amp.power, gauge: 4 mm2"),),
        [
            "conductor-overloaded at feed-rear (error)",
        ],
    ),
    "rear fuse of the link moved to its front": (
        "two-batteries",
        (
            ("length: 7.5 m measured", "length: 20 cm"),
            ("to: rear-battery.positive\n    length: 20 cm", "to: rear-battery.positive\n    length: 7.5 m"),
        ),
        ["main-fuse-too-far at link-rear (error)"],
    ),
    "body of 60 mohm": (
        "minimal",
        (("body: steel-unibody", "body: steel-unibody, body_resistance: 60 mohm"),),
        ["fault-current-too-low at feed-rear (warning)"],
    ),
}


@pytest.mark.parametrize(("base", "edits", "expected"), PLANTED.values(), ids=PLANTED.keys())
def test_a_planted_fault_is_found(base: str, edits: tuple[Edit, ...], expected: list[str]) -> None:
    """A fault of the trade's list in a whole plan gives exactly these findings (common practice)."""
    assert found(plan(base, *edits)) == expected


def test_the_clad_supply_loses_what_pencil_and_paper_say() -> None:
    """Clad aluminium takes the small hatchback's supply leg from 0.40 V to 0.54 V (common practice)."""
    finding = judged(plan("hatchback", (LONG_COPPER, LONG_CLAD))).findings[0]
    drop = next(fact.value for fact in finding.facts if fact.name == "served_supply_drop")
    assert drop == pytest.approx(0.54, rel=0.05)


# --- Sound variations that an installer would not remark on, and faults that a shallow look misses.

FRONT_FUSE = (
    "  main-fuse: {kind: fuse, zone: engine-bay, family: anl-mini, rating: 80 A, voltage: 32 V, interrupts: 5 kA}"
)
FRONT_BLOCK = (
    "  front: {kind: distribution, zone: engine-bay, outputs: {out-1: {fuse: 80 A, family: strip, interrupts: 5 kA}}}"
)
SECOND_AMP = "amp-2: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 300 W, at: 2 ohm, lowest: 2 ohm}}}"
BRANCHES = (
    ("power: 600 W, at", "power: 300 W, at"),
    ("to: amp.power", "to: block.in"),
    ("to: floor-stud, gauge: 4 AWG", "to: floor-stud, gauge: 8 AWG"),
    nodes(
        "block: {kind: distribution, zone: cargo, outputs: {out-1: {fuse: none}, out-2: {fuse: none}}}",
        "fuse-1: {kind: fuse, zone: cargo, family: anl-mini, rating: 40 A, interrupts: 5 kA}",
        "fuse-2: {kind: fuse, zone: cargo, family: anl-mini, rating: 40 A, interrupts: 5 kA}",
        SECOND_AMP,
    ),
    wires(
        cable("branch-1", "block.out-1", "fuse-1.line", "8 AWG", "15 cm"),
        cable("branch-2", "block.out-2", "fuse-2.line", "8 AWG", "17 cm"),
        cable("rest-1", "fuse-1.load", "amp.power", "8 AWG", "40 cm"),
        cable("rest-2", "fuse-2.load", "amp-2.power", "8 AWG", "40 cm"),
        cable("amp-2-ground", "amp-2.ground", "floor-stud", "8 AWG", "40 cm"),
    ),
)
CAPACITOR = (
    ("to: amp.power", "to: cap.positive"),
    nodes("cap: {kind: capacitor, zone: cargo, capacitance: 1 F, voltage: 20 V}"),
    wires(
        cable("cap-feed", "cap.positive", "amp.power", "4 AWG", "30 cm"),
        cable("cap-ground", "cap.negative", "floor-stud", "4 AWG", "30 cm"),
    ),
)
SOUND: dict[str, tuple[Edit, ...]] = {
    "a fused block near the battery": (
        (FRONT_FUSE, FRONT_BLOCK),
        ("main-fuse.line", "front.in"),
        ("main-fuse.load", "front.out-1"),
    ),
    "a fuse on the battery terminal": (("length: 15 cm", "length: 0 cm"), ("anl-mini", "terminal")),
    "two equal ground cables": (wires(cable("ground-2", "amp.ground", "floor-stud", "4 AWG", "40 cm")),),
    "a return cable to the battery": (
        ("to: floor-stud, gauge: 4 AWG", "to: battery.negative, gauge: 1/0 AWG"),
        ("length: 40 cm", "length: 5 m"),
        FLOOR_STUD_LEFT_OUT,
    ),
    "metric cable": (("4 AWG", "25 mm2"), ("80 A", "100 A")),
    "a 24 V system": (("system: 12 V", "system: 24 V"), ("class: D", "class: D, highest_voltage: 32 V maker")),
    "two amplifiers on an unfused block, each with a fuse in its cable": BRANCHES,
    "a capacitor in the feed": CAPACITOR,
    "feet and inches": (("length: 15 cm", "length: 6 in"), ("length: 5 m", "length: 16 ft 5 in")),
    "ranges": (("length: 15 cm", "length: 10..18 cm"), ("length: 5 m", "length: 4..5 m")),
    "a breaker": (
        ("kind: fuse, zone: engine-bay, family: anl-mini,", "kind: breaker, zone: engine-bay, reset: manual,"),
    ),
    "the fuse drawn the other way round": (
        ("to: main-fuse.line", "to: main-fuse.load"),
        ("from: main-fuse.load", "from: main-fuse.line"),
    ),
}


@pytest.mark.parametrize("edits", SOUND.values(), ids=SOUND.keys())
def test_a_sound_variation_raises_nothing(edits: tuple[Edit, ...]) -> None:
    """What an experienced installer would not remark on raises nothing (common practice)."""
    assert is_sound(plan("minimal", *edits))


FAN = nodes("bar: {kind: bus, zone: engine-bay}", "fan: {kind: load, zone: engine-bay, supply: 1 A}")
HIDDEN: dict[str, tuple[tuple[Edit, ...], list[str]]] = {
    "two fuses in parallel add up": (
        (
            nodes("fuse-2: {kind: fuse, zone: engine-bay, family: anl-mini, rating: 80 A, interrupts: 5 kA}"),
            wires(
                cable("feed-2", "battery.positive", "fuse-2.line", "4 AWG", "15 cm"),
                cable("joint", "fuse-2.load", "main-fuse.load", "4 AWG", "5 cm"),
            ),
        ),
        ["parallel-fuses at fuse-2 (error)"],
    ),
    "a second battery at the far end": (
        (
            nodes("battery-2: {kind: battery, zone: cargo, role: added, capacity: 60 Ah, link: 60 A}"),
            wires(
                cable("link", "battery-2.positive", "amp.power", "4 AWG", "20 cm"),
                cable("ground-2", "battery-2.negative", "floor-stud", "4 AWG", "30 cm"),
            ),
        ),
        ["second-battery-not-isolated at battery-2 (warning)", "source-wire-unfused at link (error)"],
    ),
    "a fan behind a relay without a fuse": (
        (
            nodes(
                "relay: {kind: relay, zone: engine-bay}",
                "fan: {kind: load, zone: cargo, supply: 2 A}",
                "key: {kind: control-source, zone: cabin, circuit: ignition}",
            ),
            wires(
                cable("relay-feed", "battery.positive", "relay.common", "14 AWG", "30 cm"),
                cable("fan-feed", "relay.normally-open", "fan.power", "14 AWG", "4 m"),
                cable("fan-ground", "fan.ground", "floor-stud", "14 AWG", "30 cm"),
                cable("coil-feed", "key.out", "relay.coil-positive", "18 AWG", "1 m"),
                cable("coil-ground", "relay.coil-negative", "battery.negative", "18 AWG", "1 m"),
            ),
        ),
        ["source-wire-unfused at relay-feed (error)"],
    ),
    "an alternator cable without a fuse at the battery": (
        (
            nodes("alternator: {kind: alternator, factory: true, zone: engine-bay, rating: 110 A}"),
            wires(cable("charge", "alternator.output", "battery.positive", "4 AWG", "1.2 m")),
        ),
        ["source-wire-unfused at charge (error)"],
    ),
    "one branch of a bar at the battery without a fuse": (
        (
            FAN,
            ("from: battery.positive, to: main-fuse.line", "from: bar, to: main-fuse.line"),
            ("length: 15 cm", "length: 10 cm"),
            wires(
                cable("bar-feed", "battery.positive", "bar", "4 AWG", "10 cm"),
                cable("fan-feed", "bar", "fan.power", "16 AWG", "1 m"),
                cable("fan-ground", "fan.ground", "battery.negative", "16 AWG", "1 m"),
            ),
        ),
        ["source-wire-unfused at fan-feed (error)"],
    ),
    "a range whose longer end is too long": (
        (("length: 15 cm", "length: 15..50 cm"),),
        ["main-fuse-too-far at feed-front (error)"],
    ),
    "thin cable before the fuse": (
        (("to: main-fuse.line, gauge: 4 AWG", "to: main-fuse.line, gauge: 8 AWG"),),
        ["fuse-exceeds-wire at feed-front (error)"],
    ),
}


@pytest.mark.parametrize(("edits", "expected"), HIDDEN.values(), ids=HIDDEN.keys())
def test_a_fault_that_a_shallow_look_misses_is_found(edits: tuple[Edit, ...], expected: list[str]) -> None:
    """A fuse stands in the plan and does not guard what it seems to (common practice)."""
    assert found(plan("minimal", *edits)) == expected


def test_a_branch_of_an_unfused_block_needs_its_fuse_within_180_mm() -> None:
    """Common practice, after 33 CFR 183.455 (7 in from the source): 30 cm of thin cable is too far."""
    text = plan("minimal", *BRANCHES).replace("length: 15 cm}\n  branch-2", "length: 30 cm}\n  branch-2")
    assert found(text) == ["step-down-unprotected at branch-1 (error)"]


def test_unknowns_of_error_class_are_never_a_pass() -> None:
    """A fuse without rating, a first cable without length, an amplifier without power: not ready."""
    for old in (", rating: 80 A", ", length: 15 cm", "power: 600 W, "):
        result = judged(plan("minimal", (old, "")))
        assert (result.verdict, result.findings) == (Verdict.UNCHECKED, ()), old
        assert result.unchecked[0].severity is Severity.ERROR
