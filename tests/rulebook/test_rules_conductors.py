"""Rules about conductors on small plans: what breaks them, what meets them, what leaves them unchecked."""

from __future__ import annotations

import re

import pytest
from small_plans import judged, outcome

# One amplifier of 50 A (552 W / (80 % x 13.8 V), class D) behind a fuse of 80 A; of its wires each case changes one thing.
PLAN = """\
plan: 1
title: one amplifier
scope: electrical
vehicle: {system: 12 V, class: hatch, body: steel-unibody, body_resistance: 0.1 mohm}
zones: [{name: engine-bay}, {name: cabin}]
nodes:
  battery: {kind: battery, zone: engine-bay}
  fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 80 A}
  amp: {kind: amp, zone: cabin, class: D, largest_cable: 4 AWG, outputs: {sub: {power: 552 W, at: 4 ohm}}}
  stud: {kind: ground-point, zone: cabin}
  sub: {kind: speaker, zone: cabin, impedance: 4 ohm}
defaults: {wire: {gauge: 4 AWG, material: copper, insulation: 105 C}, fuse: {interrupts: 5 kA}}
wires:
  tail: {from: battery.positive, to: fuse.line, length: 15 cm}
  feed: {from: fuse.load, to: amp.power, length: 5 m}
  return: {from: amp.ground, to: stud, length: 40 cm}
  plus: {from: amp.sub-positive, to: sub.positive, gauge: 1.5 mm2, length: 1 m}
  minus: {from: amp.sub-negative, to: sub.negative, gauge: 1.5 mm2, length: 1 m}
"""


def plan(wire: str = "", fields: str = "", *, whole: bool = False, **others: str) -> str:
    """The plan with further fields of a wire, which go before its own, and further lines by section."""
    text = PLAN.replace("scope: electrical\n", "") if whole else PLAN
    if wire:
        names = re.findall(r"(\w+):", re.sub(r"\{.*\}", "{}", fields))
        line = next(one for one in text.splitlines() if one.startswith(f"  {wire}:"))
        kept = re.sub(rf", (?:{'|'.join(names)}): [^,}}]*", "", line)
        text = text.replace(line, f"{kept[:-1]}, {fields}}}")
    for old, new in others.items():
        assert f"\n{old}:" in text or f"  {old}:" in text, old
        text = re.sub(rf"(?m)^(\s*){old}:.*$", rf"\g<1>{old}: {new}", text)
    return text


# The way to the amplifier: tail and feed of 4 AWG, four cable ends of 0.2 mohm, a fuse of 80 mV at 80 A. At 50 A 0.5 V are
# 10 mohm. NEC chapter 9 table 8 gives 4 AWG 0.308 ohm per 1000 ft at 75 C, so 0.930 mohm/m at 50 C, and clad of the poorer
# class 1.6 times that (common practice). 5 m: 0.33 V in copper, 0.47 V in clad; 6 m: 0.38 V and 0.54 V; 12 m: 0.66 V in
# copper, 0.72 V on both legs.
AMP = "{kind: amp, zone: cabin, class: D, largest_cable: 4 AWG, outputs: {sub: {power: 552 W, at: 4 ohm}}}"
CLAD = "material: copper-clad-aluminium"
DROP_5_M, DROP_6_M = (50 * ((0.15 + m) * 0.930 * 1.6 - 0.15 * 0.6 * 0.930 + 1.8) / 1000 for m in (5, 6))
CASES = {
    "clad that is short enough": ("clad-treated-as-copper", plan("feed", f"{CLAD}, length: 5 m"), []),
    "clad in which the voltage is lost": (
        "clad-treated-as-copper",
        plan("feed", f"{CLAD}, length: 6 m"),
        ["warning feed"],
    ),
    "so long that copper loses it too": ("clad-treated-as-copper", plan("feed", f"{CLAD}, length: 12 m"), []),
    "copper": ("clad-treated-as-copper", plan("feed", "length: 6 m"), []),
    "a material nobody stated": ("clad-treated-as-copper", plan("feed", "material: not stated, length: 6 m"), []),
    "clad of a length nobody stated": (
        "clad-treated-as-copper",
        plan("feed", f"{CLAD}, length: not stated"),
        ["? the length of feed"],
    ),
    # The trade's table allows 125 A on copper of 4 AWG, 97.5 A on clad (common practice).
    "clad that copper's fuse is too large for": (
        "clad-treated-as-copper",
        plan("feed", CLAD, fuse="{kind: fuse, zone: engine-bay, family: strip, rating: 100 A}"),
        ["warning feed"],
    ),
    # 33 CFR 183.425 Table 5: 8 AWG bears 80 A at 105 C where it is 30 C warm, so 62 A in clad (common practice); 750 W take
    # 68 A. What follows from it, the overload, is an error.
    "clad that bears less than flows": (
        "clad-treated-as-copper",
        plan(
            "feed",
            f"{CLAD}, gauge: 8 AWG, length: 1 m",
            amp=AMP.replace("552 W", "750 W"),
            battery="{kind: battery, zone: cabin}",
            fuse="{kind: fuse, zone: cabin, family: strip, rating: 80 A}",
        ),
        ["error feed"],
    ),
    "clad in the engine bay": ("clad-in-harsh-zone", plan("tail", CLAD), ["warning tail"]),
    "clad in the cabin": ("clad-in-harsh-zone", plan("return", CLAD), []),
    "clad whose end may be anywhere": (
        "clad-in-harsh-zone",
        plan("return", CLAD, stud="{kind: ground-point}"),
        ["? the zone of stud"],
    ),
    # ASTM B258: 4 AWG is 21.2 mm2, 8 AWG 8.4 mm2, 10 AWG 5.3 mm2.
    "mm2 for AWG": (
        "gauge-statement-conflict",
        plan("feed", "gauge: 4 mm2, ends: {both: {barrel: 4 AWG}}"),
        ["error feed"],
    ),
    "barrels in the same unit": (
        "gauge-statement-conflict",
        plan("feed", "gauge: 4 mm2, ends: {both: {barrel: 4 mm2}}"),
        [],
    ),
    "a lug of quite another size": (
        "gauge-statement-conflict",
        plan("feed", "gauge: 4 mm2, ends: {both: {barrel: 8 AWG}}"),
        [],
    ),
    "a number that means the same in both": (
        "gauge-statement-conflict",
        plan("feed", "gauge: 8 mm2, ends: {both: {barrel: 8 AWG}}"),
        [],
    ),
    "more copper than goes into the cable": (
        "gauge-statement-conflict",
        plan("feed", "gauge: 10 mm2, diameter: 4.5 mm"),
        ["error feed"],
    ),
    # ISO 6722 thin wall: 10 mm2 is 6 mm thick (memory).
    "a cable as thick as its size": ("gauge-statement-conflict", plan("feed", "gauge: 10 mm2, diameter: 6 mm"), []),
    "75 C in the engine bay": ("insulation-too-cool-for-zone", plan("tail", "insulation: 75 C"), ["warning tail"]),
    "105 C in the engine bay": ("insulation-too-cool-for-zone", plan(), []),
    "75 C in the cabin": ("insulation-too-cool-for-zone", plan("return", "insulation: 75 C"), ["warning return"]),
    "80 C in the cabin": ("insulation-too-cool-for-zone", plan("return", "insulation: 80 C"), []),
    "not stated in the cabin": ("insulation-too-cool-for-zone", plan("return", "insulation: not stated"), []),
    "not stated in the engine bay": (
        "insulation-too-cool-for-zone",
        plan("tail", "insulation: not stated"),
        ["? the insulation of tail"],
    ),
    "105 C close to the exhaust": (
        "insulation-too-cool-for-zone",
        plan("tail", "route: [{zone: engine-bay, exhaust: 250 mm}]"),
        ["error tail"],
    ),
    "105 C at 300 mm from the exhaust": (
        "insulation-too-cool-for-zone",
        plan("tail", "route: [{zone: engine-bay, exhaust: 300 mm}]"),
        [],
    ),
    "125 C close to the exhaust": (
        "insulation-too-cool-for-zone",
        plan("tail", "insulation: 125 C, route: [{zone: engine-bay, exhaust: 250 mm}]"),
        [],
    ),
    "an exhaust nobody measured": (
        "insulation-too-cool-for-zone",
        plan("tail", "route: [{zone: engine-bay}]", whole=True),
        ["? the distance to the exhaust (`exhaust`) of stretch 1 of tail"],
    ),
    "an exhaust nobody measured, where only the circuit counts": (
        "insulation-too-cool-for-zone",
        plan("tail", "route: [{zone: engine-bay}]"),
        [],
    ),
    "no exhaust near": (
        "insulation-too-cool-for-zone",
        plan("tail", "route: [{zone: engine-bay, exhaust: none-near}]", whole=True),
        [],
    ),
    "a solid conductor": ("conductor-solid", plan("plus", "stranding: solid"), ["warning plus"]),
    "mains cable": ("conductor-solid", plan("plus", "type: building"), ["warning plus"]),
    "fine strands": ("conductor-solid", plan("plus", "stranding: fine"), []),
    "speaker flex as a supply": ("conductor-wrong-kind", plan("return", "type: speaker"), ["warning return"]),
    "speaker flex to a speaker": ("conductor-wrong-kind", plan("plus", "type: speaker"), []),
    "speaker flex through the engine bay": (
        "conductor-wrong-kind",
        plan("plus", "type: speaker, route: [{zone: engine-bay}]"),
        ["warning plus"],
    ),
    # ISO 10133 asks for 1 mm2; 18 AWG is 0.82 mm2 (ASTM B258).
    "a thin wire by itself": (
        "conductor-mechanically-thin",
        plan("return", "gauge: 18 AWG, protection: none", whole=True),
        ["note return"],
    ),
    "a thin wire in a loom": (
        "conductor-mechanically-thin",
        plan("return", "gauge: 18 AWG, protection: loom", whole=True),
        [],
    ),
    "a thin wire by itself for a hand's breadth": (
        "conductor-mechanically-thin",
        plan(
            "return",
            "gauge: 18 AWG, protection: loom, route: [{zone: cabin, length: 20 cm, protection: none}]",
            whole=True,
        ),
        [],
    ),
    "a thin wire with nothing said of a cover": (
        "conductor-mechanically-thin",
        plan("return", "gauge: 18 AWG", whole=True),
        ["? the loom or other cover (`protection`) of return"],
    ),
    "a cable too thick for the amplifier": (
        "terminal-too-small-for-cable",
        plan("feed", "gauge: 2 AWG"),
        ["warning feed"],
    ),
    # IEC 60228 has 25 mm2, which 4 AWG (21.2 mm2 by ASTM B258) is not; 35 mm2 and 2 AWG (33.6 mm2) stand for each other.
    "25 mm2 into 4 AWG": ("terminal-too-small-for-cable", plan("feed", "gauge: 25 mm2"), ["warning feed"]),
    "35 mm2 into 2 AWG": (
        "terminal-too-small-for-cable",
        plan("feed", "gauge: 35 mm2", amp=AMP.replace("4 AWG", "2 AWG")),
        [],
    ),
    "a reducing pin": ("terminal-too-small-for-cable", plan("feed", "ends: {to: {type: pin}}, gauge: 2 AWG"), []),
    "a terminal nobody describes": (
        "terminal-too-small-for-cable",
        plan(amp=AMP.replace("largest_cable: 4 AWG, ", ""), whole=True),
        ["? the largest cable of amp"],
    ),
    "a tail cut with room to spare": (
        "cut-length-short",
        plan("tail", "cut: 30 cm", whole=True),
        REST := [
            *(
                "? the length to cut (`cut`) of feed",
                "? the length to cut (`cut`) of minus",
                "? the length to cut (`cut`) of plus",
                "? the length to cut (`cut`) of return",
            ),
        ],
    ),
    "a tail cut for making it once": ("cut-length-short", plan("tail", "cut: 18 cm", whole=True), REST),
    "a tail cut to its length": ("cut-length-short", plan("tail", "cut: 15 cm", whole=True), ["warning tail", *REST]),
    "a plan of the circuit alone": ("cut-length-short", plan("tail", "cut: 15 cm"), []),
    "no length": ("zero-or-implausible-length", plan("return", "length: 0 m"), ["warning return"]),
    "12 m": ("zero-or-implausible-length", plan("plus", "length: 12 m"), []),
    "17 m for 17 ft": ("zero-or-implausible-length", plan("plus", "length: 17 m"), ["warning plus"]),
    "17 m in a bus": (
        "zero-or-implausible-length",
        plan("plus", "length: 17 m", vehicle="{system: 12 V, class: bus}"),
        [],
    ),
    "17 m in who knows what": (
        "zero-or-implausible-length",
        plan("plus", "length: 17 m", vehicle="{system: 12 V}"),
        ["? the class of the vehicle"],
    ),
}


@pytest.mark.parametrize(("rule", "text", "expected"), CASES.values(), ids=CASES.keys())
def test_a_rule_about_conductors(rule: str, text: str, expected: list[str]) -> None:
    """The rule finds what breaks it, leaves alone what meets it, and names what it lacks."""
    assert outcome(text, rule) == expected


@pytest.mark.parametrize(
    ("cut", "found"),
    [("5.56 m", []), ("5.54 m", ["warning feed"]), ("{not_applicable: ready made}", [])],
)
def test_a_long_run_leaves_slack_for_both_ends(cut: str, found: list[str]) -> None:
    """5 m take 5 % for bends and 150 mm at each end, 5.55 m in all (common practice); what comes ready made is not cut."""
    text = plan("feed", f"cut: {cut}", whole=True)
    assert [one for one in outcome(text, "cut-length-short") if one.endswith("feed")] == found


def test_clad_cable_is_told_instead_of_the_loss_it_causes() -> None:
    """One cause is one finding: voltage drop and fuse of the same wire stand under the material of which it is made."""
    result = judged(plan("feed", f"{CLAD}, length: 6 m"))
    told = [(one.rule, [below.rule for below in one.consequences]) for one in result.findings]
    assert told == [("clad-treated-as-copper", ["clad-in-harsh-zone", "supply-drop-high", "soft-short-unprotected"])]
    volts = re.findall(r"([\d.]+) V", result.findings[0].message)
    assert [float(one) for one in volts[:2]] == pytest.approx([DROP_6_M, 50 * (6.15 * 0.930 + 1.8) / 1000], rel=0.01)
    assert DROP_5_M < 0.5 < DROP_6_M


# IEC 60228 class 5: 1.5 mm2 has 13.3 mohm/m at 20 C, so 14.87 mohm/m at 50 C; four cable ends have 0.8 mohm more. Both
# cables of a coil of 4 ohm: 2 x 6.5 m are 194 mohm, 4.9 %; 2 x 7 m are 209 mohm, 5.2 %; 2 x 14 m are 417 mohm, 10.4 %.
@pytest.mark.parametrize(
    ("length", "expected"),
    [("6.5 m", []), ("7 m", ["note sub"]), ("13 m", ["note sub"]), ("14 m", ["warning sub"]), ("not stated", None)],
)
def test_loss_in_the_cables_of_one_speaker(length: str, expected: list[str] | None) -> None:
    """The resistance of both cables counts against the impedance of the voice coil."""
    text = PLAN.replace("gauge: 1.5 mm2, length: 1 m", f"gauge: 1.5 mm2, length: {length}")
    expected = ["? the length of plus"] if expected is None else expected
    assert outcome(text, "speaker-cable-loss") == expected


SECOND = """\
  second: {kind: speaker, zone: cabin, impedance: 4 ohm}
  a: {kind: splice, zone: cabin, joint: crimp-sleeve}
  b: {kind: splice, zone: cabin, joint: crimp-sleeve}
defaults:"""
SHARED = """\
  plus: {from: amp.sub-positive, to: a, gauge: 1.5 mm2, length: 3 m}
  minus: {from: amp.sub-negative, to: b, gauge: 1.5 mm2, length: 3 m}
  plus-1: {from: a, to: sub.positive, gauge: 25 mm2, length: 10 cm}
  minus-1: {from: b, to: sub.negative, gauge: 25 mm2, length: 10 cm}
  plus-2: {from: a, to: second.positive, gauge: 25 mm2, length: 10 cm}
  minus-2: {from: b, to: second.negative, gauge: 25 mm2, length: 10 cm}
"""


@pytest.mark.parametrize(("metres", "expected"), [(3, []), (4, ["note second", "note sub"])])
def test_two_speakers_share_one_cable(metres: int, expected: list[str]) -> None:
    """Two coils of 4 ohm at one cable are 2 ohm: 2 x 3 m lose 4.5 %, 2 x 4 m 6.0 % (Ohm's law, IEC 60228 as above)."""
    text = PLAN[: PLAN.index("  plus:")].replace("defaults:", SECOND) + SHARED.replace(
        "length: 3 m", f"length: {metres} m"
    )
    assert outcome(text, "speaker-cable-loss") == expected


SERIES = """\
  plus: {from: amp.sub-positive, to: sub.coil-1-positive, gauge: 1.5 mm2, length: 8 m}
  link: {from: sub.coil-1-negative, to: sub.coil-2-positive, gauge: 25 mm2, length: 10 cm}
  minus: {from: amp.sub-negative, to: sub.coil-2-negative, gauge: 1.5 mm2, length: 8 m}
"""


def test_two_voice_coils_in_series() -> None:
    """Two coils of 4 ohm in series are 8 ohm: 2 x 8 m lose 3.0 %, where one coil would have lost 6.0 %."""
    text = PLAN[: PLAN.index("  plus:")].replace("impedance: 4 ohm}", "coils: 2, impedance: 4 ohm}") + SERIES
    assert outcome(text, "speaker-cable-loss") == []
    assert outcome(PLAN.replace("mm2, length: 1 m", "mm2, length: 8 m"), "speaker-cable-loss") == ["note sub"]


CROSSED = """\
  plus: {from: amp.sub-positive, to: filter.in-positive, gauge: 1.5 mm2, length: 4 m}
  minus: {from: amp.sub-negative, to: filter.in-negative, gauge: 1.5 mm2, length: 4 m}
  plus-1: {from: filter.out-low-positive, to: sub.positive, gauge: 1.5 mm2, length: 2 m}
  minus-1: {from: filter.out-low-negative, to: sub.negative, gauge: 1.5 mm2, length: 2 m}
  plus-2: {from: filter.out-high-positive, to: tweeter.positive, gauge: 1.5 mm2, length: 4 m}
  minus-2: {from: filter.out-high-negative, to: tweeter.negative, gauge: 1.5 mm2, length: 4 m}
"""


def test_a_crossover_gives_each_speaker_its_band() -> None:
    """Behind a crossover the whole way counts for each speaker alone: 2 x 6 m lose 4.5 % of 4 ohm, 2 x 8 m 6.0 %."""
    more = (
        "  tweeter: {kind: speaker, zone: cabin, impedance: 4 ohm}\n  filter: {kind: crossover, zone: cabin}\ndefaults:"
    )
    text = PLAN[: PLAN.index("  plus:")].replace("defaults:", more) + CROSSED
    assert outcome(text, "speaker-cable-loss") == ["note tweeter"]


@pytest.mark.parametrize(("fuse", "found"), [("80 A", ["error feed"]), ("50 A", [])])
def test_two_runs_behind_one_fuse(fuse: str, found: list[str]) -> None:
    """8 AWG may be fused for 50 A (common practice): behind 80 A two of them are unguarded (told once)."""
    text = plan("feed", "gauge: 8 AWG").replace("rating: 80 A", f"rating: {fuse}")
    text = text.replace("  return:", "  twin: {from: fuse.load, to: amp.power, gauge: 8 AWG, length: 5 m}\n  return:")
    assert outcome(text, "parallel-runs-unprotected") == found


def test_two_runs_with_a_fuse_each() -> None:
    """A fuse of 50 A for each of two runs guards both."""
    text = plan("feed", "gauge: 8 AWG").replace("rating: 80 A", "rating: 50 A")
    text = text.replace(
        "  stud:", "  second-fuse: {kind: fuse, zone: engine-bay, family: strip, rating: 50 A}\n  stud:"
    )
    twin = """\
  other-tail: {from: battery.positive, to: second-fuse.line, length: 15 cm}
  twin: {from: second-fuse.load, to: amp.power, gauge: 8 AWG, length: 5 m}
  return:"""
    assert outcome(text.replace("  return:", twin), "parallel-runs-unprotected") == []
