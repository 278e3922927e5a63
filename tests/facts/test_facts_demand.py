"""Design currents and voltage drop, held against pencil and paper (the arithmetic stands beside each value)."""

from __future__ import annotations

from typing import Any

import pytest
from hand import UNFIT, Nodes, ask, case_of

from planlint.judge.judge import judge

# Efficiencies 60 % (AB), 65 % (H), 80 % (D, one channel), 75 % (D, several) at 13.8 V: planning values of public
# car-audio handbooks, common practice.
CURRENTS: dict[str, tuple[dict[str, Any], Any]] = {
    # 4 x 75 / (0.60 x 13.8) = 300 / 8.28
    "class AB": ({"class": "AB", "outputs": {"doors": {"power": "75 W", "channels": 4}}}, 36.2319),
    # 600 / (0.80 x 13.8) = 600 / 11.04
    "class D, one channel": ({"class": "D", "outputs": {"sub": {"power": "600 W"}}}, 54.3478),
    # 4 x 75 / (0.75 x 13.8) = 300 / 10.35
    "class D, four channels": ({"class": "D", "outputs": {"doors": {"power": "75 W", "channels": 4}}}, 28.9855),
    # 600 / 10.35: one channel, but stated to play the whole range
    "class D, full range": ({"class": "D", "outputs": {"a": {"power": "600 W", "band": "full"}}}, 57.9710),
    # 300 / 10.35 + 400 / 11.04
    "class D, doors and bass": (
        {
            "class": "D",
            "outputs": {"doors": {"power": "75 W", "channels": 4}, "sub": {"power": "400 W", "band": "bass"}},
        },
        65.2174,
    ),
    # 500 / (0.65 x 13.8) = 500 / 8.97
    "class H": ({"class": "H", "outputs": {"sub": {"power": "500 W"}}}, 55.7414),
    # 54.3 A wanted, 25 + 25 A on board
    "fuses on board hold it back": (
        {"class": "D", "outputs": {"sub": {"power": "600 W"}}, "fuses": ["25 A", "25 A"]},
        50.0,
    ),
    "fuses on board leave room": (
        {"class": "D", "outputs": {"sub": {"power": "600 W"}}, "fuses": ["30 A", "30 A"]},
        54.3478,
    ),
    "a fuse on board is not stated": (
        {"class": "D", "outputs": {"sub": {"power": "600 W"}}, "fuses": ["25 A", "not stated"]},
        54.3478,
    ),
    "a range counts at its upper end": ({"class": "D", "outputs": {"sub": {"power": "300..600 W"}}}, 54.3478),
    "no outputs, but the maker's supply current": ({"class": "D", "supply": "42 A"}, 42.0),
    "the maker's figure": ({"class": "D", "outputs": {"sub": {"power": "600 W"}}, "supply": "48 A maker"}, 48.0),
    "a figure measured": ({"class": "AB", "outputs": {"sub": {"power": "600 W"}}, "supply": "90 A measured"}, 90.0),
    "a guess above what power costs": ({"class": "D", "outputs": {"sub": {"power": "600 W"}}, "supply": "60 A"}, 60.0),
    "a guess below it": ({"class": "D", "outputs": {"sub": {"power": "600 W"}}, "supply": "48 A"}, 54.3478),
    "a guess of a class nobody knows": (
        {"class": "other", "outputs": {"sub": {"power": "600 W"}}, "supply": "48 A"},
        48.0,
    ),
    "more than its own fuses let through": (
        {"class": "D", "outputs": {"sub": {"power": "600 W"}}, "supply": "70 A maker", "fuses": ["25 A", "25 A"]},
        50.0,
    ),
    "no power": ({"class": "D", "outputs": {"sub": {}}}, "? the power of sub of it"),
    "no class": ({"outputs": {"sub": {"power": "600 W"}}}, "? the class of it"),
    "nothing": ({"class": "D"}, "? the outputs of it"),
}


@pytest.mark.parametrize(("amp", "amps"), CURRENTS.values(), ids=CURRENTS.keys())
def test_the_design_current_of_an_amplifier(amp: dict[str, Any], amps: Any) -> None:
    """P / (efficiency x 13.8 V) summed over the outputs, at most the fuses on board; unknown where a part is."""
    case = case_of({"battery": "battery", "it": {"kind": "amp", **amp}}, ["feed: battery.positive > it.power"])
    found = ask(case, "user", "it", "current")
    assert found == (amps if isinstance(amps, str) else pytest.approx(amps, rel=1e-5))


@pytest.mark.parametrize(
    ("system", "amps"),
    # 600 / (0.80 x 13.8) at 12 V, 600 / (0.80 x 27.6) at twice that.
    [("12 V", 54.3478), ("24 V", 27.1739), ("not stated", "? the system of the vehicle")],
)
def test_the_design_current_rests_on_the_system(system: str, amps: Any) -> None:
    """Half the current at twice the voltage; unknown where the voltage is."""
    nodes: Nodes = {"battery": "battery", "it": {"kind": "amp", "class": "D", "outputs": {"sub": {"power": "600 W"}}}}
    case = case_of(nodes, ["feed: battery.positive > it.power"], vehicle={"system": system})
    assert ask(case, "user", "it", "current") == (amps if isinstance(amps, str) else pytest.approx(amps, rel=1e-5))


@pytest.mark.parametrize(
    ("kind", "fields", "end", "amps"),
    [
        ("load", {"supply": "300 mA"}, "power", 0.3),
        ("converter", {"supply": "0.3..0.5 A"}, "power", 0.5),
        ("charger", {"input_limit": "52 A", "output_limit": "40 A"}, "input", 52.0),
        ("capacitor", {}, "positive", 0.0),
        ("load", {}, "power", "? the current drawn (`supply`) of it"),
    ],
)
def test_the_design_current_of_other_users(kind: str, fields: dict[str, str], end: str, amps: Any) -> None:
    """The stated supply current, of a charger its input limit, of a capacitor nothing."""
    case = case_of({"battery": "battery", "it": {"kind": kind, **fields}}, [f"feed: battery.positive > it.{end}"])
    assert ask(case, "user", "it", "current") == (amps if isinstance(amps, str) else pytest.approx(amps))


# 4 AWG: 0.127 mm x 92^(32/39) = 5.1894 mm, 21.151 mm2 (ASTM B258). Copper at 50 C: 0.0172414 x (1 + 0.00393 x 30)
# = 0.0192742 ohm mm2/m (IEC 60028); x 1.02 for lay / 21.151 = 0.92949 mohm/m. A lug 0.2 mohm, a fuse 80 mV at its rating,
# a stud 0.5 mohm, the body 2 mohm (common practice).
AMP = {"kind": "amp", "class": "D", "outputs": {"sub": {"power": "600 W"}}}
RUN: Nodes = {"battery": "battery", "main": {"kind": "fuse", "rating": "80 A"}, "amp": AMP, "stud": "ground-point"}
WIRES = [
    "tail: battery.positive > main.line, 4 AWG, 15 cm",
    "feed: main.load > amp.power, 4 AWG, 5 m",
    "ground: amp.ground > stud, 4 AWG, 40 cm",
]
STEEL = {"body": "steel-unibody"}


def drops(nodes: Nodes, wires: list[str], user: str = "amp", **vehicle: str) -> list[Any]:
    """The drops on the supply leg, on the return leg and on both, of a plan in a vehicle."""
    case = case_of(nodes, wires, vehicle=vehicle)
    return [ask(case, "user", user, fact) for fact in ("supply_drop", "return_drop", "total_drop")]


def test_drop_on_both_legs() -> None:
    """Supply 5.15 m x 0.92949 + 4 x 0.2 + 80/80 = 6.5869 mohm x 54.348 A = 0.35798 V; return 0.4 x 0.92949 + 2 x 0.2
    + 0.5 + 2 = 3.2718 mohm x 54.348 A = 0.17782 V."""
    assert drops(RUN, WIRES, **STEEL) == pytest.approx([0.35798, 0.17782, 0.53580], rel=1e-4)


def test_drop_by_a_cable_back_to_the_battery() -> None:
    """Return 5 m x 0.92949 + 0.4 = 5.0475 mohm x 54.348 A = 0.27432 V: neither stud nor body."""
    back = [*WIRES[:2], "ground: amp.ground > battery.negative, 4 AWG, 5 m"]
    assert drops(RUN, back)[1] == pytest.approx(0.27432, rel=1e-4)


def test_drop_by_a_measured_ground() -> None:
    """Return 0.37180 + 0.4 + 0.5 + 1.1 measured = 2.3718 mohm x 54.348 A = 0.12890 V; the body itself counts no more."""
    measured = {**RUN, "stud": {"kind": "ground-point", "resistance": "1.1 mohm measured"}}
    assert drops(measured, WIRES)[1] == pytest.approx(0.12890, rel=1e-4)


def test_drop_by_a_stated_body() -> None:
    """Return 0.37180 + 0.4 + 0.5 + 4 (the worse end) = 5.2718 mohm x 54.348 A = 0.28651 V."""
    assert drops(RUN, WIRES, body_resistance="1..4 mohm")[1] == pytest.approx(0.28651, rel=1e-4)


def test_drop_of_two_users_on_one_cable() -> None:
    """The fan's 10 A run through tail, fuse and feed too: (0.13942 + 0.4 + 1 + 4.64745 + 0.4 mohm) x 64.348 A
    = 0.42388 V at the bar; 1 m of 16 AWG there (1.3090 mm2: 15.0185 + 0.4 mohm) x 10 A = 0.15418 V more."""
    nodes = {**RUN, "bar": "bus", "fan": {"kind": "load", "supply": "10 A"}}
    wires = [
        *("tail: battery.positive > main.line, 4 AWG, 15 cm", "feed: main.load > bar, 4 AWG, 5 m"),
        *("amp-feed: bar > amp.power, 4 AWG, 0 m", "fan-feed: bar > fan.power, 16 AWG, 1 m"),
    ]
    assert drops(nodes, wires, "fan")[0] == pytest.approx(0.42388 + 0.15422, rel=1e-4)
    case = case_of(nodes, wires)
    assert ask(case, "wire", "feed", "current") == pytest.approx(64.3478, rel=1e-5)
    assert ask(case, "wire", "fan-feed", "current") == pytest.approx(10.0)


def test_two_cables_beside_each_other_share() -> None:
    """4 AWG (4.64745 + 0.4 mohm) beside 8 AWG (8.3656 mm2: 2.35003 x 5 + 0.4 = 12.1502 mohm) carry 54.348 A as
    12.1502 : 5.0475, so 38.396 A and 15.952 A, and lose 0.19381 V."""
    case = case_of(RUN, [*WIRES[:2], "second: main.load > amp.power, 8 AWG, 5 m"])
    assert ask(case, "wire", "feed", "current") == pytest.approx(38.396, rel=1e-4)
    assert ask(case, "wire", "second", "current") == pytest.approx(15.952, rel=1e-4)
    # The tail and the fuse: 0.13942 + 0.4 + 1 = 1.53942 mohm x 54.348 A = 0.08366 V.
    assert ask(case, "user", "amp", "supply_drop") == pytest.approx(0.08366 + 0.19381, rel=1e-4)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("4 AWG, 5 m", "4 AWG", ["? the length of feed", 0.17782, "? the length of feed"]),
        ("4 AWG, 40 cm", "length=40 cm", [0.35798, "? the gauge of ground", "? the gauge of ground"]),
    ],
)
def test_drop_names_what_is_missing(old: str, new: str, expected: list[Any]) -> None:
    """A length or gauge that is not stated leaves its leg unknown, and the other one known."""
    wires = [wire.replace(old, new) for wire in WIRES]
    found = drops(RUN, wires, **STEEL)
    assert found == [want if isinstance(want, str) else pytest.approx(want, rel=1e-4) for want in expected]


def test_no_way_has_no_drop() -> None:
    """A user that nothing feeds, and one whose ground leads nowhere, have no drop (other rules tell them)."""
    case = case_of(RUN, [*WIRES[:1], "ground: amp.ground > stud, 4 AWG, 1 m", "odd: amp.power > main.load"])
    assert ask(case_of(RUN, WIRES[:2], vehicle=STEEL), "user", "amp", "return_drop") == UNFIT
    assert ask(case, "user", "amp", "return_drop") == "? the body of the vehicle"
    assert ask(case_of(RUN, WIRES[1:]), "user", "amp", "supply_drop") == UNFIT


PLAN = """\
plan: 1
scope: electrical
vehicle: {{system: 12 V, body: steel-unibody}}
nodes:
  battery: {{kind: battery, zone: cabin}}
  main: {{kind: fuse, zone: cabin, rating: 80 A}}
  amp: {{kind: amp, zone: cabin, class: D, outputs: {{sub: {{power: {power}, at: 2 ohm}}}}}}
  stud: {{kind: ground-point, zone: cabin}}
wires:
  tail: {{from: battery.positive, to: main.line, gauge: 4 AWG, length: 15 cm, material: copper, insulation: 105 C}}
  feed: {{from: main.load, to: amp.power, gauge: 4 AWG, length: 5 m, material: copper, insulation: 105 C}}
  ground: {{from: amp.ground, to: stud, gauge: 4 AWG, length: 40 cm, material: copper, insulation: 105 C}}
"""


# The way back, 0.2 V: 600 W: 0.2 V / 54.348 A = 3.6800 mohm - 1.2718 cable, lugs and stud = 2.4082 mohm. 690 W (62.5 A):
# 3.2000 - 1.2718 = 1.9282 mohm: below the assumed 2 mohm, so the rule is broken now and would hold below.
# Both legs, 0.7 V: 828 W (75 A): 9.3333 mohm - 6.5869 supply - 1.2718 = 1.4746 mohm, below the assumed as well.
@pytest.mark.parametrize(("power", "mohm", "breaks"), [("600 W", 2.4082, True), ("690 W", 1.9282, False)])
def test_the_break_even_of_the_assumed_body(power: str, mohm: float, breaks: bool) -> None:
    """The assumed 2 mohm of body decide up to the resistance at which the way back loses 0.2 V."""
    (body,) = (one for one in judge(PLAN.format(power=power).encode(), "x").assumed if one.name == "body_resistance")
    assert body.value == pytest.approx(2e-3)
    assert body.turns_at == pytest.approx(mohm * 1e-3, rel=1e-3)
    assert f"would {'break' if breaks else 'meet'} return-drop-high" in body.turns


def test_the_break_even_below_the_assumed_body() -> None:
    """With 828 W the assumed body breaks the rule; 1.4746 mohm or less would meet it."""
    (body,) = (one for one in judge(PLAN.format(power="828 W").encode(), "x").assumed if one.name == "body_resistance")
    assert body.turns_at == pytest.approx(1.4746e-3, rel=1e-3)
    assert "would meet total-drop-high" in body.turns
