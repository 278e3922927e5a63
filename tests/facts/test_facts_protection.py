"""What really limits the current in each wire, drawn and reckoned by hand: the fuse upstream is often not the answer."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hand import UNFIT, Nodes, ask, case_of

A = "battery.positive"


def fuses(**ratings: int | None) -> Nodes:
    """Fuses by name; None has no rating stated."""
    return {
        name: {"kind": "fuse", **({"rating": f"{rating} A"} if rating is not None else {})}
        for name, rating in ratings.items()
    }


BATTERIES: Nodes = {"battery": "battery", "far": {"kind": "battery", "role": "added"}}
BLOCK: Nodes = {"block": {"kind": "distribution", "outputs": {"out-1": {"fuse": "30 A"}, "out-2": {"fuse": "none"}}}}
CHANGEOVER = [
    *(f"a: {A} > day.line", f"b: {A} > night.line", "c: day.load > relay.normally-open"),
    *("d: night.load > relay.normally-closed", "e: relay.common > fan.power"),
]
# Nodes beside a battery, wires, and what limits each wire asked about, in A.
LIMITS: dict[str, tuple[Nodes, list[str], dict[str, Any]]] = {
    # Before the fuse all of the battery's current can flow; what the wire carries for long is limited by the fuse it meets.
    "one fuse": (
        {**fuses(main=80), "fan": "load"},
        [f"tail: {A} > main.line", "feed: main.load > fan.power"],
        {"tail": 80, "feed": 80},
    ),
    "no fuse": ({"fan": "load"}, [f"feed: {A} > fan.power"], {"feed": UNFIT}),
    # 80 + 60: parallel feeds add up. Into one branch comes what the other lets back, 60, or its own 80; not the sum.
    "parallel feeds": (
        {**fuses(one=80, two=60), "bar": "bus", "fan": "load"},
        [
            *(f"t1: {A} > one.line", f"t2: {A} > two.line", "b1: one.load > bar", "b2: two.load > bar"),
            "feed: bar > fan.power",
        ],
        {"feed": 140, "b1": 80, "b2": 80},
    ),
    # From the near end 80, from the far end 100: the larger counts.
    "a second battery at the far end": (
        {**BATTERIES, **fuses(near=80, second=100)},
        [f"t1: {A} > near.line", "link: near.load > second.load", "t2: second.line > far.positive"],
        {"link": 100},
    ),
    # 80 from one battery and 100 from the other: both feed the fan's wire.
    "two batteries on one bar": (
        {**BATTERIES, **fuses(near=80, second=100), "bar": "bus", "fan": "load"},
        [
            *(f"t1: {A} > near.line", "b1: near.load > bar", "b2: bar > second.load"),
            *("t2: second.line > far.positive", "feed: bar > fan.power"),
        ],
        {"feed": 180, "b1": 100, "b2": 100},
    ),
    "a fused block": (
        {**fuses(main=100), **BLOCK, "amp": "load", "fan": "load"},
        [
            *(f"tail: {A} > main.line", "feed: main.load > block.in"),
            *("a: block.out-1 > amp.power", "b: block.out-2 > fan.power"),
        ],
        {"feed": 100, "a": 30, "b": 100},
    ),
    # Working 30, resting 10, never both: 30 and not 40. The resting side gets its own 10 and nothing back.
    "a changeover relay": (
        {**fuses(day=30, night=10), "relay": "relay", "fan": "load"},
        CHANGEOVER,
        {"e": 30, "c": 30, "d": 10},
    ),
    "the same the other way round": (
        {**fuses(day=10, night=30), "relay": "relay", "fan": "load"},
        CHANGEOVER,
        {"e": 30, "c": 10, "d": 30},
    ),
    # An alternator gives 110 A and no more.
    "an alternator alone": (
        {"alternator": {"kind": "alternator", "rating": "110 A"}, "fan": "load"},
        ["feed: alternator.output > fan.power"],
        {"feed": 110},
    ),
    # 110 from the alternator, 150 back from the battery through the fuse.
    "an alternator and a battery": (
        {"alternator": {"kind": "alternator", "rating": "110 A"}, **fuses(main=150)},
        ["feed: alternator.output > main.line", f"tail: main.load > {A}"],
        {"feed": 150},
    ),
    # 40 from the charger, 60 back from the battery it fills; before it 52 of need behind 70 of fuse.
    "a charger": (
        {
            **BATTERIES,
            **fuses(first=70, second=60),
            "charger": {"kind": "charger", "input_limit": "52 A", "output_limit": "40 A", "bidirectional": False},
        },
        [
            *(f"t1: {A} > first.line", "in: first.load > charger.input"),
            *("out: charger.output > second.line", "t2: second.load > far.positive"),
        ],
        {"in": 70, "out": 60},
    ),
    # Not stated to be one-way, it counts as a source at its input too: 52 against the fuse's 70, the larger counts.
    "a charger that may work backwards": (
        {**fuses(first=40), "charger": {"kind": "charger", "input_limit": "52 A", "output_limit": "40 A"}},
        [f"t1: {A} > first.line", "in: first.load > charger.input"],
        {"in": 52},
    ),
    "a circuit of the vehicle": (
        {"acc": {"kind": "factory-circuit", "fuse": "15 A"}, "fan": "load"},
        ["feed: acc.out > fan.power"],
        {"feed": 15},
    ),
    # Two fuses in series: the smaller holds.
    "fuses in series": (
        {**fuses(main=80, small=10), "fan": "load"},
        [f"t: {A} > main.line", "m: main.load > small.line", "feed: small.load > fan.power"],
        {"m": 80, "feed": 10},
    ),
    "a rating that is not stated decides": (
        {**fuses(main=80, small=None), "fan": "load"},
        [f"t: {A} > main.line", "m: main.load > small.line", "feed: small.load > fan.power"],
        {"m": 80, "feed": "? the rating of small"},
    ),
    # The unknown fuse is on another branch: it decides nothing here.
    "a rating that is not stated decides nothing": (
        {**fuses(main=80, small=None), "fan": "load", "lamp": "load"},
        [f"t: {A} > main.line", "feed: main.load > fan.power", f"s: {A} > small.line", "l: small.load > lamp.power"],
        {"feed": 80},
    ),
    "an alternator without a rating": (
        {"alternator": "alternator", "fan": "load"},
        ["feed: alternator.output > fan.power"],
        {"feed": "? the rating of alternator"},
    ),
    "a rating within a range counts at its upper end": (
        {"main": {"kind": "fuse", "rating": "60..80 A"}, "fan": "load"},
        [f"tail: {A} > main.line", "feed: main.load > fan.power"],
        {"feed": 80},
    ),
    # A closed switch is a conductor; what stands behind it is fed.
    "a switch": (
        {**fuses(main=80), "switch": "switch", "fan": "load"},
        [f"t: {A} > main.line", "m: main.load > switch.line", "feed: switch.load > fan.power"],
        {"m": 80, "feed": 80},
    ),
}


@pytest.mark.parametrize(("nodes", "wires", "limits"), LIMITS.values(), ids=LIMITS.keys())
def test_what_limits_the_current_in_a_wire(nodes: Nodes, wires: list[str], limits: dict[str, Any]) -> None:
    """The protecting rating of wires by hand: the larger of what can flow into both ends with the wire out."""
    case = case_of({"battery": "battery", **nodes}, [f"{wire}, 4 AWG" for wire in wires])
    found = {name: ask(case, "wire", name, "protecting_rating") for name in limits}
    assert found == {n: v if isinstance(v, str) else pytest.approx(v) for n, v in limits.items()}


def test_upstream_nothing_may_limit() -> None:
    """Before its first fuse a wire can get all that the battery gives; behind it what the fuse lets pass."""
    case = case_of(
        {"battery": "battery", **fuses(main=80), "fan": "load"}, [f"t: {A} > main.line", "f: main.load > fan.power"]
    )
    assert (ask(case, "wire", "t", "upstream_rating"), ask(case, "wire", "f", "upstream_rating")) == (math.inf, 80.0)


STEP: Nodes = {
    "battery": "battery",
    **fuses(main=80, small=5),
    "joint": "splice",
    "amp": "amp",
    "fan": "load",
    "converter": "converter",
}
STEPS = [
    *(f"tail: {A} > main.line, 4 AWG, 10 cm", "feed: main.load > joint, 4 AWG, 1 m"),
    *("same: joint > amp.power, 4 AWG, 1 m", "thin: joint > small.line, 16 AWG, 12 cm"),
    "rest: small.load > fan.power, 16 AWG, 2 m",
]
# Wire, whether it steps down, cable from its joint to its own fuse in m, what feeds it, what limits it in A.
STEPPING = [
    ("tail", False, 0.10, UNFIT, 80),
    ("feed", False, UNFIT, UNFIT, 80),
    ("same", False, UNFIT, "feed", 80),
    ("thin", True, 0.12, "feed", 5),
    ("rest", False, UNFIT, UNFIT, 5),
]


@pytest.mark.parametrize(("wire", "steps", "reach", "feeder", "amps"), STEPPING, ids=[row[0] for row in STEPPING])
def test_where_a_conductor_gets_thinner(wire: str, steps: bool, reach: Any, feeder: str, amps: float) -> None:
    """At a joint with a thicker wire and no fuse between; the thin wire's own fuse then limits its load."""
    case = case_of(STEP, STEPS)
    found = [ask(case, "wire", wire, f) for f in ("steps_down", "own_fuse_reach", "fed_by", "protecting_rating")]
    assert found == [steps, reach if reach == UNFIT else pytest.approx(reach), feeder, pytest.approx(amps)]


def test_thinner_at_the_battery_post_is_no_step() -> None:
    """A thin wire beside a thick one on a post is fed by the post, not by the thick wire."""
    case = case_of(STEP, [*STEPS[:2], f"thin: {A} > small.line, 16 AWG, 12 cm", "rest: small.load > fan.power"])
    assert ask(case, "wire", "thin", "steps_down") is False


def test_the_farthest_of_a_wires_own_fuses_counts() -> None:
    """12 cm to the joint, then 3 cm to one fuse and 20 cm to the other: 32 cm, and 5 + 3 = 8 A; with an open end none."""
    nodes = {**STEP, **fuses(tiny=3), "fork": "splice", "lamp": "load"}
    wires = [
        *STEPS[:2],
        *("thin: joint > fork, 16 AWG, 12 cm", "f1: fork > small.line, 16 AWG, 3 cm"),
        *("f2: fork > tiny.line, 16 AWG, 20 cm", "r1: small.load > fan.power, 16 AWG", "r2: tiny.load > lamp.power"),
    ]
    case = case_of(nodes, wires)
    assert ask(case, "wire", "thin", "own_fuse_reach") == pytest.approx(0.32)
    assert ask(case, "wire", "thin", "protecting_rating") == pytest.approx(8.0)
    opened = case_of(nodes, [*wires, "open: fork > converter.power, 16 AWG, 1 m"])
    assert ask(opened, "wire", "thin", "own_fuse_reach") == UNFIT
    assert ask(opened, "wire", "thin", "protecting_rating") == pytest.approx(80.0)
    unknown = case_of(nodes, [wire.replace(", 20 cm", "") for wire in wires])
    assert ask(unknown, "wire", "thin", "own_fuse_reach") == "? the length of f2"


def test_what_is_tapped_from_a_devices_terminal() -> None:
    """A jumper from an amplifier's terminal takes power from it; its own fuse stands 5 cm away. Branches at a joint and
    the wire that feeds the amplifier are tapped from nothing."""
    wires = [*STEPS, "jumper: amp.power > tiny.line, 18 AWG, 5 cm", "end: tiny.load > converter.power, 18 AWG, 1 m"]
    case = case_of({**STEP, **fuses(tiny=3)}, wires)
    tapped = {wire.name: ask(case, "wire", wire.name, "tapped_from") for wire in case.plan.wires}
    assert tapped == {**dict.fromkeys(tapped), "jumper": "amp"}
    assert ask(case, "wire", "jumper", "own_fuse_reach") == pytest.approx(0.05)


def test_a_tap_for_a_capacitor_is_told_apart() -> None:
    """A capacitor at an amplifier's terminal is no user of current beyond it (common practice)."""
    case = case_of({**STEP, "cap": "capacitor"}, [*STEPS, "c: amp.power > cap.positive, 8 AWG, 20 cm"])
    assert ask(case, "wire", "c", "tapped_from") == "amp"
    assert ask(case, "wire", "c", "taps_for_capacitor") is True


def test_a_run_that_two_batteries_feed_is_for_charging() -> None:
    """Between two sources a supply wire is a charge wire; the branch that only takes is supply."""
    case = case_of(
        {**BATTERIES, **fuses(near=80, second=100), "bar": "bus", "fan": "load"},
        [
            *(f"t1: {A} > near.line", "b1: near.load > bar", "b2: bar > second.load"),
            *("t2: second.line > far.positive", "feed: bar > fan.power"),
        ],
    )
    found = {wire.name: ask(case, "wire", wire.name, "circuit") for wire in case.plan.wires}
    assert found == {**dict.fromkeys(("t1", "b1", "b2", "t2"), "charge"), "feed": "supply"}


# Gauge of an alternator's cable, whether it is a source that the cable must fear. The trade fuses 8 AWG with at most 50 A
# and 4 AWG with 125 A (common practice); the alternator limits itself to 110 A.
@pytest.mark.parametrize(("gauge", "feared"), [("8 AWG", True), ("4 AWG", False)])
def test_a_source_that_limits_itself_is_feared_by_thin_cable_only(gauge: str, feared: bool) -> None:
    """A cable that bears all the source can give needs no fuse against it."""
    case = case_of(
        {"alternator": {"kind": "alternator", "rating": "110 A"}, "fan": "load"},
        [f"feed: alternator.output > fan.power, {gauge}, 1 m"],
    )
    assert ask(case, "wire", "feed", "before_any_fuse") is feared
    assert ask(case, "wire", "feed", "leaves_source") is feared
    assert ask(case, "wire", "feed", "unfused_end") == ("fan" if feared else None)


LINK = [
    *(f"t1: {A} > near.line, 4 AWG, 15 cm", "link: near.load > second.load, 4 AWG, 5 m"),
    "t2: second.line > far.positive, 4 AWG, 20 cm",
]


def test_fuses_on_a_run_between_two_batteries_are_counted() -> None:
    """Two fuses on the link, seen from either battery; 15 and 20 cm to the nearer one."""
    case = case_of({**BATTERIES, **fuses(near=80, second=80)}, LINK)
    assert [ask(case, "wire", name, "fuses_on_run") for name in ("t1", "link", "t2")] == [2, UNFIT, 2]
    assert [ask(case, "wire", name, "unfused_reach") for name in ("t1", "t2")] == pytest.approx([0.15, 0.20])
    assert [ask(case, "wire", name, "first_fuse") for name in ("t1", "t2")] == ["near", "second"]
    assert [ask(case, "wire", name, "source") for name in ("t1", "t2")] == ["battery", "far"]
    assert ask(case, "wire", "t1", "other_source") == "far"


def test_a_run_with_one_fuse_is_long_from_the_other_end() -> None:
    """One fuse near the first battery: from the second it stands at the far end of 20 cm + 5 m."""
    wires = [LINK[0], "link: near.load > bar, 4 AWG, 5 m", "t2: bar > far.positive, 4 AWG, 20 cm"]
    case = case_of({**BATTERIES, **fuses(near=80), "bar": "bus"}, wires)
    assert ask(case, "wire", "t2", "unfused_reach") == pytest.approx(5.2)
    assert ask(case, "wire", "t2", "fuses_on_run") == 1
