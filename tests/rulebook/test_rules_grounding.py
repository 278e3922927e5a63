"""The rules about grounding, each on small plans: where it holds, where it is broken, and where it cannot be checked."""

from __future__ import annotations

import pytest

from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS, answer
from planlint.judge.judge import judge, plan_of
from planlint.rulebook.evaluate import outcome_of
from planlint.rulebook.load import shipped_rulebook
from planlint.text.reader import read

RULES = {rule.id: rule for rule in shipped_rulebook().rules}
SOUND = """\
plan: 1
vehicle: {system: 12 V, body: steel-unibody, body_resistance: 2 mohm}
zones: [{name: engine-bay}, {name: cabin}, {name: cargo}]
nodes:
  battery: {kind: battery, zone: engine-bay, role: main}
  main: {kind: fuse, zone: engine-bay, family: strip, rating: 80 A}
  amp: {kind: load, zone: cargo, supply: 50 A}
  fan: {kind: load, zone: cargo, supply: 2 A}
  stud: {kind: ground-point, zone: cargo, section: main, member: floor, fastener: M8 stud with serrated washer, \
surface: bare-metal, sealed: true, fuel: none-near}
  far: {kind: ground-point, zone: cargo, member: rail, fastener: M8 stud with serrated washer, surface: bare-metal, \
fuel: none-near}
wires:
  tail: {from: battery.positive, to: main.line, gauge: 4 AWG, material: copper, insulation: 105 C, length: 18 cm}
  feed: {from: main.load, to: amp.power, gauge: 4 AWG, material: copper, insulation: 105 C, length: 3 m}
  fan-feed: {from: main.load, to: fan.power, gauge: 4 AWG, material: copper, insulation: 105 C, length: 3 m}
  amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG, material: copper, insulation: 105 C, length: 40 cm}
  fan-ground: {from: fan.ground, to: far, gauge: 4 AWG, material: copper, insulation: 105 C, length: 40 cm}
holes: none
mounts: none
steps: none
tests:
  - {test: return-drop, of: amp, limit: {at_most: 0.2 V}}
documents: none
"""
Edits = dict[str, str]
WARNING, NOTE, ERROR, HOLDS, ASIDE = "warning", "note", "error", "holds", "does not apply"
STUD = "section: main, member: floor, fastener: M8 stud with serrated washer, surface: bare-metal, sealed: true"
GROUND = "amp-ground: {from: amp.ground, to: stud, gauge: 4 AWG, material: copper, insulation: 105 C, length: 40 cm}"
BARE = {GROUND: GROUND.replace("40 cm}", "40 cm, ends: {to: {plating: none}}}")}
TEST = "  - {test: return-drop, of: amp, limit: {at_most: 0.2 V}}"


def lead(name: str, start: str, end: str, gauge: str = "4 AWG") -> str:
    """A copper wire of 40 cm, as a line of a plan."""
    return (
        f"\n  {name}: {{from: {start}, to: {end}, gauge: {gauge}, material: copper, insulation: 105 C, length: 40 cm}}"
    )


def edited(edits: Edits) -> str:
    """The sound plan with each text replaced, which must occur once."""
    text = SOUND
    for old, new in edits.items():
        assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times"
        text = text.replace(old, new)
    return text


def case_of(edits: Edits) -> Case:
    """The case of the sound plan with edits."""
    document = read(edited(edits).encode()).document
    assert document
    plan, problems = plan_of(document)
    assert plan, problems
    return Case(plan)


def outcome(rule: str, subject: str, edits: Edits) -> str:
    """What a rule comes to for a subject of an edited plan: severity, `holds`, `does not apply`, or `? what is missing`."""
    case = case_of(edits)
    element = next(one for one in SUBJECTS[RULES[rule].about].elements(case) if one.name == subject)
    found = outcome_of(case, RULES[rule], element)
    if not found.applies:
        return ASIDE
    if found.broken:
        return max(requirement.severity for requirement in found.broken).word
    return f"? {found.missing[0][1].needs}" if found.missing else HOLDS


def stud(old: str, new: str) -> Edits:
    """The edit that says something else of the stud."""
    return {STUD: STUD.replace(old, new)}


ALUMINIUM = {"body: steel-unibody, body_resistance: 2 mohm": "body: aluminium"}
FRAME = {"body: steel-unibody, body_resistance: 2 mohm": "body: steel-frame"}
NO_BODY = {"body: steel-unibody, body_resistance: 2 mohm": "class: van"}
BED = stud("section: main, member: floor", "section: bed, member: bed")
BOND = {"  far: {": "  strap: {kind: body-bond, joins: [bed, main], gauge: 4 AWG}\n  far: {"}
# A second battery in the cargo area that feeds the amplifier, and whose negative the ground leads reach by cable.
CABLE_HOME = {GROUND: GROUND + lead("home", "stud", "battery.negative")}
SECOND_AMP = {
    "  fan: {": "  amp-2: {kind: load, zone: cargo, supply: 60 A}\n  fan: {",
    GROUND: GROUND + lead("feed-2", "main.load", "amp-2.power") + lead("ground-2", "amp-2.ground", "stud"),
}
CAPACITOR = {
    "  fan: {": "  cap: {kind: capacitor, zone: cargo}\n  fan: {",
    GROUND: GROUND + lead("cap-feed", "cap.positive", "amp.power") + lead("cap-ground", "cap.negative", "amp.ground"),
}
# A second battery that feeds both and is grounded in the bed, on a bolt of its own.
BED_BATTERY = {
    "  fan: {": "  second: {kind: battery, zone: cargo, role: added}\n"
    "  bolt: {kind: ground-point, zone: cargo, section: bed}\n  fan: {",
    "tail: {from: battery.positive": "tail: {from: second.positive",
    GROUND: GROUND + lead("home", "second.negative", "bolt"),
}
BIG_FAN = {"supply: 2 A": "supply: 12 A"}
# 40 cm of 4 AWG have 0.37 mohm (0.930 mohm/m at 50 C: geometry by ASTM B258, copper by IEC 60028, 2 % lay), with two lugs
# of 0.2 mohm and a stud of 0.5 mohm 1.27 mohm. 50 A through it and the 52 A of both users through the body lose 0.2 V where
# the body has (200 - 50 x 1.272) / 52 = 2.62 mohm. Lugs, stud and the limit are common practice.
BODY_AT_LIMIT = {"body_resistance: 2 mohm": "body_resistance: 2.60 mohm"}
BODY_OVER = {"body_resistance: 2 mohm": "body_resistance: 2.64 mohm"}
RESULT = "limit: {at_most: 0.2 V}"

# Common practice where no source is named.
CASES: list[tuple[str, str, Edits, str]] = [
    # 49 USC 30122 forbids making a safety device inoperative; a belt anchor is one.
    ("ground-on-belt-anchor", "stud", {}, HOLDS),
    ("ground-on-belt-anchor", "stud", stud("member: floor", "member: belt-anchor"), ERROR),
    ("ground-on-belt-anchor", "stud", stud("member: floor", "member: belt-anchor, factory: true"), ERROR),
    ("ground-on-belt-anchor", "stud", stud("M8 stud", "M10 belt bolt"), ERROR),
    ("ground-on-belt-anchor", "stud", stud("member: floor, ", ""), "? the member of stud"),
    ("ground-on-belt-anchor", "stud", {"to: stud": "to: far"}, ASIDE),
    ("ground-on-seat-bolt", "stud", {}, HOLDS),
    ("ground-on-seat-bolt", "stud", stud("member: floor", "member: seat-bolt"), WARNING),
    ("ground-on-seat-bolt", "stud", stud("M8 stud", "bolt of the rear seat"), WARNING),
    ("ground-on-seat-bolt", "stud", stud("member: floor", "member: belt-anchor"), HOLDS),
    ("ground-on-seat-bolt", "stud", stud("member: floor, ", ""), "? the member of stud"),
    ("ground-on-weak-member", "stud", {}, HOLDS),
    ("ground-on-weak-member", "stud", stud("member: floor", "member: door"), WARNING),
    ("ground-on-weak-member", "stud", stud("member: floor", "member: bracket"), WARNING),
    ("ground-on-weak-member", "stud", stud("member: floor, ", ""), "? the member of stud"),
    # FAA AC 43.13-1B, 11-126: 6 in.
    ("ground-near-fuel", "stud", {}, HOLDS),
    (
        "ground-near-fuel",
        "stud",
        stud("sealed: true", "sealed: true, fuel: 6 in") | {", fuel: none-near}\n  far": "}\n  far"},
        HOLDS,
    ),
    ("ground-near-fuel", "stud", {"sealed: true, fuel: none-near": "sealed: true, fuel: 150 mm"}, HOLDS),
    ("ground-near-fuel", "stud", {"sealed: true, fuel: none-near": "sealed: true, fuel: 149 mm"}, ERROR),
    (
        "ground-near-fuel",
        "stud",
        {"sealed: true, fuel: none-near": "sealed: true"},
        "? the distance to the fuel system (`fuel`) of stud",
    ),
    ("ground-near-fuel", "stud", {"sealed: true, fuel: none-near": "sealed: true", "holes: none\n": ""}, ASIDE),
    (
        "ground-near-fuel",
        "stud",
        {"sealed: true, fuel: none-near": "fuel: 20 mm", "plan: 1": "plan: 1\nscope: electrical"},
        ERROR,
    ),
    # NEC 552.10: free of paint, plated hardware.
    ("ground-paint-left", "stud", {}, HOLDS),
    ("ground-paint-left", "stud", stud("bare-metal", "plated"), HOLDS),
    ("ground-paint-left", "stud", stud("bare-metal", "painted"), WARNING),
    ("ground-paint-left", "stud", stud("bare-metal", "coated"), WARNING),
    ("ground-paint-left", "stud", stud("surface: bare-metal, ", ""), "? the surface of stud"),
    (
        "ground-paint-left",
        "stud",
        stud("surface: bare-metal, ", "") | {"steps: none": "steps: [{do: ground-prep, of: stud}]"},
        HOLDS,
    ),
    (
        "ground-paint-left",
        "stud",
        stud("surface: bare-metal, ", "") | {"steps: none": "steps: [{do: ground-prep, of: far}]"},
        "? the surface of stud",
    ),
    ("ground-paint-left", "stud", stud("surface: bare-metal", "factory: true"), ASIDE),
    # FAA AC 43.13-1B, 11-188: no self-tapping screws for bonding.
    ("ground-fastener-weak", "stud", {}, HOLDS),
    ("ground-fastener-weak", "stud", stud("M8 stud with serrated washer", "self-tapping screw"), WARNING),
    ("ground-fastener-weak", "stud", stud("M8 stud", "M5 stud"), WARNING),
    ("ground-fastener-weak", "stud", stud("M8 stud", "1/4 in stud"), HOLDS),
    ("ground-fastener-weak", "stud", stud("M8 stud", "M6 stud"), HOLDS),
    ("ground-fastener-weak", "stud", stud("M8 stud", "M6 stud") | {GROUND: GROUND.replace("4 AWG", "2 AWG")}, WARNING),
    (
        "ground-fastener-weak",
        "stud",
        stud("M8 stud", "5/16 in stud") | {GROUND: GROUND.replace("4 AWG", "2 AWG")},
        HOLDS,
    ),
    ("ground-fastener-weak", "stud", stud("M8 stud", "M5 stud") | {GROUND: GROUND.replace("4 AWG", "10 AWG")}, HOLDS),
    ("ground-fastener-weak", "stud", stud("with serrated washer", "with plain washer"), WARNING),
    (
        "ground-fastener-weak",
        "stud",
        stud(" with serrated washer", ""),
        "? the bolt, its thread and what locks it (`fastener`) of stud",
    ),
    (
        "ground-fastener-weak",
        "stud",
        stud("M8 stud", "stud"),
        "? the bolt, its thread and what locks it (`fastener`) of stud",
    ),
    (
        "ground-fastener-weak",
        "stud",
        stud("fastener: M8 stud with serrated washer, ", ""),
        "? the bolt, its thread and what locks it (`fastener`) of stud",
    ),
    ("ground-stack-crowded", "stud", {}, HOLDS),
    ("ground-stack-crowded", "stud", {"to: far": "to: stud"}, HOLDS),
    (
        "ground-stack-crowded",
        "stud",
        {"to: far": "to: stud", GROUND: GROUND + lead("third", "amp.ground", "stud")},
        WARNING,
    ),
    ("ground-stack-crowded", "stud", SECOND_AMP, HOLDS),
    ("ground-stack-crowded", "stud", {**SECOND_AMP, "supply: 50 A": "supply: 51 A"}, WARNING),
    (
        "ground-stack-crowded",
        "stud",
        {**SECOND_AMP, "supply: 50 A": "position: left"},
        "? the current drawn (`supply`) of amp",
    ),
    (
        "ground-stack-crowded",
        "stud",
        {GROUND: GROUND + lead("second", "amp.ground", "stud"), "supply: 50 A": "supply: 150 A"},
        HOLDS,
    ),
    ("ground-shares-factory-stud", "stud", {}, HOLDS),
    ("ground-shares-factory-stud", "stud", stud("member: floor", "member: factory-stud"), WARNING),
    ("ground-shares-factory-stud", "stud", stud("member: floor", "member: floor, factory: true"), WARNING),
    ("ground-shares-factory-stud", "far", {"member: rail": "member: factory-stud"}, HOLDS),
    ("ground-shares-factory-stud", "far", {"member: rail": "member: factory-stud", **BIG_FAN}, WARNING),
    (
        "ground-shares-factory-stud",
        "far",
        {"member: rail": "member: factory-stud", "supply: 2 A": "position: left"},
        "? the current drawn (`supply`) of fan",
    ),
    ("ground-lead-long", "amp-ground", {GROUND: GROUND.replace("40 cm", "45 cm")}, HOLDS),
    ("ground-lead-long", "amp-ground", {GROUND: GROUND.replace("40 cm", "46 cm")}, NOTE),
    ("ground-lead-long", "amp-ground", {GROUND: GROUND.replace("40 cm", "90 cm")}, NOTE),
    ("ground-lead-long", "amp-ground", {GROUND: GROUND.replace("40 cm", "91 cm")}, WARNING),
    (
        "ground-lead-long",
        "amp-ground",
        {GROUND: GROUND.replace("to: stud", "to: battery.negative").replace("40 cm", "5 m")},
        ASIDE,
    ),
    ("ground-lead-long", "amp-ground", {GROUND: GROUND.replace(", length: 40 cm", "")}, "? the length of amp-ground"),
    ("ground-lead-long", "strap", {GROUND: GROUND + lead("strap", "stud", "far").replace("40 cm", "2 m")}, ASIDE),
    ("return-drop-high", "amp", {}, HOLDS),
    ("return-drop-high", "amp", BODY_AT_LIMIT, HOLDS),
    ("return-drop-high", "amp", BODY_OVER, WARNING),
    ("return-drop-high", "amp", {RESULT: "result: 0.25 V measured"}, WARNING),
    ("return-drop-high", "amp", {RESULT: "result: 0.15 V measured"}, HOLDS),
    ("return-drop-high", "amp", {GROUND: GROUND.replace(", length: 40 cm", "")}, "? the length of amp-ground"),
    ("return-drop-high", "amp", NO_BODY, "? the body of the vehicle"),
    ("chassis-return-unsuitable", "stud", {}, HOLDS),
    ("chassis-return-unsuitable", "stud", ALUMINIUM, WARNING),
    (
        "chassis-return-unsuitable",
        "stud",
        {**ALUMINIUM, **stud("sealed: true", "sealed: true, resistance: 3 mohm measured")},
        HOLDS,
    ),
    ("chassis-return-unsuitable", "stud", {"body: steel-unibody": "body: aluminium"}, HOLDS),
    ("chassis-return-unsuitable", "stud", {**ALUMINIUM, **CABLE_HOME}, ASIDE),
    ("chassis-return-unsuitable", "stud", NO_BODY, "? the body of the vehicle"),
    ("chassis-return-unsuitable", "far", NO_BODY, ASIDE),
    ("chassis-return-unsuitable", "stud", {**FRAME, **BED}, WARNING),
    ("chassis-return-unsuitable", "stud", {**FRAME, **BED, **BOND}, HOLDS),
    ("isolated-body-section", "stud", {}, HOLDS),
    ("isolated-body-section", "stud", BED, WARNING),
    ("isolated-body-section", "stud", {**BED, **BOND}, HOLDS),
    (
        "isolated-body-section",
        "stud",
        {**BED, "  far: {": "  strap: {kind: body-bond, gauge: 4 AWG}\n  far: {"},
        "? the sections joined (`joins`) of strap",
    ),
    (
        "isolated-body-section",
        "stud",
        {**BED, "member: rail": "section: main, member: rail", GROUND: GROUND + lead("strap", "stud", "far")},
        HOLDS,
    ),
    ("isolated-body-section", "stud", {**BED, **CABLE_HOME}, ASIDE),
    ("isolated-body-section", "far", {}, ASIDE),
    ("isolated-body-section", "far", FRAME, "? the section of far"),
    ("ground-resistance-unmeasured", "stud", {}, HOLDS),
    (
        "ground-resistance-unmeasured",
        "stud",
        {TEST: "  - {test: ground-resistance, of: stud, method: four-wire}"},
        HOLDS,
    ),
    ("ground-resistance-unmeasured", "stud", {TEST: "  - {test: ground-resistance, of: stud, method: ohmmeter}"}, NOTE),
    ("ground-resistance-unmeasured", "stud", {TEST: "  - {test: ground-resistance, of: far, method: four-wire}"}, NOTE),
    ("ground-resistance-unmeasured", "stud", {f"tests:\n{TEST}": "tests: none"}, NOTE),
    ("ground-resistance-unmeasured", "stud", {f"tests:\n{TEST}\n": ""}, "? the tests of the plan"),
    (
        "ground-resistance-unmeasured",
        "stud",
        {f"tests:\n{TEST}": "tests: none", **stud("sealed: true", "resistance: 2 mohm measured")},
        HOLDS,
    ),
    ("ground-resistance-unmeasured", "far", {f"tests:\n{TEST}": "tests: none"}, ASIDE),
    ("engine-ground-used-for-audio", "stud", {}, HOLDS),
    ("engine-ground-used-for-audio", "stud", stud("member: floor", "member: engine"), NOTE),
    ("engine-ground-used-for-audio", "stud", stud("member: floor, ", ""), "? the member of stud"),
    ("ground-unsealed-outside", "stud", stud("sealed: true", "sealed: false"), ASIDE),
    ("ground-unsealed-outside", "stud", {"zone: cargo, section": "zone: engine-bay, section"}, HOLDS),
    (
        "ground-unsealed-outside",
        "stud",
        {"zone: cargo, " + STUD: "zone: engine-bay, " + STUD.replace("sealed: true", "sealed: false")},
        WARNING,
    ),
    (
        "ground-unsealed-outside",
        "far",
        {"zone: cargo, member: rail": "zone: engine-bay, member: rail"},
        "? whether far is sealed",
    ),
    ("ground-unsealed-outside", "far", {"zone: cargo, member: rail": "member: rail"}, "? the zone of far"),
    (
        "ground-fastener-weak",
        "stud",
        stud("member: floor, fastener: M8 stud with serrated washer", "member: battery-negative"),
        ASIDE,
    ),
    (
        "ground-paint-left",
        "stud",
        stud("member: floor", "member: battery-negative") | {"surface: bare-metal, fuel": "fuel"},
        HOLDS,
    ),
    ("isolated-body-section", "stud", {**BED, **BED_BATTERY}, HOLDS),
    (
        "isolated-body-section",
        "stud",
        {**BED, **BED_BATTERY, "  fan: {": BED_BATTERY["  fan: {"].replace("section: bed", "section: main")},
        WARNING,
    ),
    ("ground-chained", "fan-ground", {}, HOLDS),
    ("ground-chained", "cap-ground", CAPACITOR, HOLDS),
    ("ground-chained", "fan-ground", {"to: far": "to: amp.ground"}, NOTE),
    ("ground-chained", "amp-ground", {"to: far": "to: amp.ground"}, HOLDS),
    ("ground-dissimilar-metal", "stud", {}, ASIDE),
    ("ground-dissimilar-metal", "stud", {STUD: STUD + ", metal: aluminium"}, HOLDS),
    ("ground-dissimilar-metal", "stud", {STUD: STUD.replace("true", "false, metal: aluminium"), **BARE}, WARNING),
]


@pytest.mark.parametrize(
    ("rule", "subject", "edits", "expected"), CASES, ids=[f"{n}-{c[0]}" for n, c in enumerate(CASES)]
)
def test_a_rule_about_grounding_judges_a_small_plan(rule: str, subject: str, edits: Edits, expected: str) -> None:
    """The rule is broken with the severity named, holds, does not apply, or names what is missing."""
    assert outcome(rule, subject, edits) == expected


def test_every_rule_here_has_a_plan_that_breaks_it_and_one_in_which_it_holds() -> None:
    """The table leaves out no rule of the group but those about missing and thin returns, which have tests elsewhere."""
    group = {rule.id for rule in RULES.values() if rule.group == "grounding"}
    broken = {rule for rule, _, _, expected in CASES if expected in (ERROR, WARNING, NOTE)}
    held = {rule for rule, _, _, expected in CASES if expected == HOLDS}
    assert broken == held == group - {"return-path-missing", "return-thinner-than-supply", "ground-potential-split"}


# What a bar or stud takes: (nodes in place of `far`, number of leads to it, expected). ABYC E-11 (second-hand): at most
# four terminals on a stud.
BARS = [
    ("far: {kind: bus, zone: cargo}", 4, HOLDS),
    ("far: {kind: bus, zone: cargo}", 5, "? the lugs in their order (`lugs`) of far"),
    ("far: {kind: bus, zone: cargo, lugs: [fan-ground, g1]}", 5, HOLDS),
    ("far: {kind: bus, zone: cargo, lugs: [fan-ground, g1, g2, g3, g4]}", 5, WARNING),
    ("far: {kind: ground-point, zone: cargo, member: ground-block}", 3, HOLDS),
    ("far: {kind: ground-point, zone: cargo, member: ground-block}", 5, "? the lugs in their order (`lugs`) of far"),
    ("far: {kind: ground-point, zone: cargo, member: ground-block, lugs: [fan-ground, g1, g2]}", 3, HOLDS),
    ("far: {kind: ground-point, zone: cargo, member: ground-block, lugs: [fan-ground, g1, g2, g3, g4]}", 5, WARNING),
    ("far: {kind: ground-point, zone: cargo, member: ground-block, lugs: g1}", 3, HOLDS),
    ("far: {kind: ground-point, zone: cargo, member: rail, factory: true}", 4, HOLDS),
    ("far: {kind: ground-point, zone: cargo, member: rail, factory: true}", 5, WARNING),
    ("far: {kind: ground-point, zone: cargo, member: rail}", 2, HOLDS),
    ("far: {kind: ground-point, zone: cargo, member: rail}", 3, WARNING),
]


@pytest.mark.parametrize(("far", "count", "expected"), BARS)
def test_lugs_are_counted_on_studs_and_listed_on_bars(far: str, count: int, expected: str) -> None:
    """A new point takes two lugs, any stud four; of a bar or block only the lugs that it lists lie on its stud."""
    plain = next(line for line in SOUND.splitlines() if line.startswith("  far: ")).strip()
    leads = "".join(lead(f"g{n}", "fan.ground", "far") for n in range(1, count))
    assert outcome("ground-stack-crowded", "far", {plain: far, GROUND: GROUND + leads}) == expected


def test_current_at_a_point_is_brought_there_or_taken_home_not_both() -> None:
    """50 A and 2 A come to the stud and 52 A go on to the second battery: 52 A flow through the joint, not 104."""
    edits = {
        "  fan: {": "  second: {kind: battery, zone: cargo, role: added}\n  fan: {",
        "tail: {from: battery.positive": "tail: {from: second.positive",
        "to: far": "to: stud",
        GROUND: GROUND + lead("home", "second.negative", "stud"),
    }
    case = case_of(edits)
    point = next(one for one in case.plan.nodes if one.name == "stud")
    assert answer(case, "node", "ground_current", point) == pytest.approx(52.0)


def test_one_cause_in_the_body_is_one_finding() -> None:
    """An aluminium body under two ground points is told once, and so is a bed that nothing joins to the frame."""
    for edits, rule in ((ALUMINIUM, "chassis-return-unsuitable"), ({**FRAME, **BED}, "isolated-body-section")):
        found = [one.rule for one in judge(edited(edits).encode(), "plan").findings if one.rule in RULES]
        mine = [one for one in found if one in ("chassis-return-unsuitable", "isolated-body-section")]
        assert mine == [rule]


CHAINED = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody, body_resistance: 1 mohm measured}
defaults: {wire: {material: copper, insulation: 105 C, gauge: 4 AWG, length: 40 cm}}
nodes:
  battery: {kind: battery, zone: engine-bay}
  fuse: {kind: fuse, zone: engine-bay, rating: 100 A, interrupts: 5 kA}
  block:
    kind: distribution
    zone: cargo
    outputs: {out-1: {fuse: 80 A, interrupts: 5 kA}, out-2: {fuse: 30 A, interrupts: 5 kA}}
  big: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 500 W, at: 2 ohm}}}
  small: {kind: amp, zone: cargo, class: D, outputs: {sub: {power: 150 W, at: 2 ohm}}}
  stud: {kind: ground-point, zone: cargo, member: floor, surface: bare-metal}
wires:
  tail: {from: battery.positive, to: fuse.line, length: 15 cm}
  feed: {from: fuse.load, to: block.in, length: 2 m}
  big-feed: {from: block.out-1, to: big.power}
  small-feed: {from: block.out-2, to: small.power, gauge: 10 AWG}
  chain: {from: big.ground, to: small.ground}
  common: {from: small.ground, to: stud, gauge: 8 AWG}
"""


def test_the_common_lead_of_chained_grounds_bears_both() -> None:
    """4 AWG leads from one amplifier to the other's terminal and 8 AWG on from there: 100 A of fuse on 8 AWG (50 A)."""
    result = judge(CHAINED.encode(), "small")
    every = [one for told in result.findings for one in (told, *told.consequences)]
    assert {one.subject for one in every if one.severity.word == "error"} == {"chain", "common"}
    assert [one.rule for one in result.findings if one.severity.word == "error"] == ["ground-chained"]
    thick = judge(CHAINED.replace("to: stud, gauge: 8 AWG", "to: stud").encode(), "small")
    assert [one.rule for one in thick.findings if one.severity.word != "note"] == []
