"""What each wire is for, from what it joins, and which wire is at fault where unlike conductors meet."""

from __future__ import annotations

from typing import Any

import pytest
from planned import network_of, plan_of

from planlint.graph.circuits import find_conflicts, wire_families
from planlint.graph.network import build_network, changeover_states

Nodes = dict[str, str | dict[str, Any]]
SUB = {"kind": "amp", "outputs": {"sub": {"power": "300 W"}}}
SYSTEM: Nodes = {
    "battery": "battery",
    "main": "fuse",
    "joint": "splice",
    "amp": SUB,
    "block": "bus",
    "stud": "ground-point",
    "radio": "radio",
    "tap": "tap",
    "converter": "converter",
    "key": "control-source",
    "relay": "relay",
    "fan": "load",
    "dsp": "processor",
    "filter": "crossover",
    "sub": "speaker",
    "door": "speaker",
}

# Wire, what it joins, its circuit.
CIRCUITS = [
    ("battery.positive > main.line", "supply"),
    ("main.load > joint", "supply"),
    ("joint > amp.power", "supply"),
    ("joint > relay.common", "supply"),
    ("relay.normally-open > fan.power", "supply"),
    ("amp.ground > block", "ground"),
    ("fan.ground > block", "ground"),
    ("relay.coil-negative > block", "ground"),
    ("block > stud", "ground"),
    ("battery.negative > stud", "ground"),
    ("key.out > relay.coil-positive", "turn-on"),
    ("converter.turn-on-out > amp.turn-on", "turn-on"),
    ("radio.turn-on > converter.turn-on-in", "turn-on"),
    ("radio.data > dsp.data", "data"),
    ("radio.line-left > dsp.input-left", "line-signal"),
    ("converter.output-left > amp.input-left", "line-signal"),
    ("radio.speaker-left-positive > tap.positive", "speaker-signal"),
    ("tap.out-positive > converter.input-left-positive", "speaker-signal"),
    ("tap.positive > door.positive", "speaker"),
    ("amp.sub-positive > filter.in-positive", "speaker"),
    ("filter.out-positive > sub.coil-1-positive", "speaker"),
]


def test_the_circuit_of_a_wire_follows_from_what_it_joins() -> None:
    """One system with a wire of every circuit (charge is told apart by what feeds it, with the facts)."""
    network = network_of(SYSTEM, [f"w{i}: {ends}" for i, (ends, _) in enumerate(CIRCUITS)])
    families = wire_families(network)
    found = {ends: families[f"w{i}"] for i, (ends, _) in enumerate(CIRCUITS)}
    assert {ends: family.value if family else None for ends, family in found.items()} == dict(CIRCUITS)
    assert find_conflicts(network) == ()


def test_a_wire_between_bare_joints_is_for_nothing_known() -> None:
    """Where nothing tells what a wire is for, nothing is guessed."""
    network = network_of({**SYSTEM, "a": "splice", "b": "splice"}, ["lone: a > b"])
    assert wire_families(network) == {"lone": None}


SOUND = [
    *("tail: battery.positive > main.line", "feed: main.load > amp.power", "ground: amp.ground > stud"),
    *("spk-plus: amp.sub-positive > sub.positive", "spk-minus: amp.sub-negative > sub.negative"),
    *("on: converter.turn-on-out > amp.turn-on", "line: converter.output-left > amp.input-left"),
    *("tap-left: radio.speaker-left-positive > converter.input-left-positive", "back: battery.negative > stud"),
]
# A wire that does not belong, what it joins in alphabetical order, whether it shorts a source to the body.
CONFLICTS = [
    ("main.load > stud", {"supply", "ground"}, True),
    ("battery.positive > battery.negative", {"supply", "ground"}, True),
    ("amp.power > amp.sub-positive", {"supply", "speaker"}, False),
    ("amp.sub-negative > stud", {"speaker", "ground"}, False),
    ("converter.turn-on-out > stud", {"turn-on", "ground"}, False),
    ("battery.positive > radio.speaker-right-positive", {"supply", "speaker-signal"}, False),
    ("radio.data > stud", {"data", "ground"}, False),
    ("converter.output-right > battery.positive", {"supply", "line-signal"}, False),
]


@pytest.mark.parametrize(("ends", "joins", "shorts"), CONFLICTS, ids=[ends for ends, _, _ in CONFLICTS])
def test_the_wire_that_joins_unlike_conductors_is_at_fault(ends: str, joins: set[str], shorts: bool) -> None:
    """In a sound system the one wire added wrongly is named, with the two kinds it joins."""
    (found,) = find_conflicts(network_of(SYSTEM, [*SOUND, f"wrong: {ends}"]))
    assert (found.wire.name, {family.value for family in found.joins}, found.shorts) == ("wrong", joins, shorts)


def test_each_of_two_wrong_wires_is_named() -> None:
    """Two slips in one plan are two conflicts, each at its own wire."""
    wrong = ["wrong-1: amp.power > amp.sub-positive", "wrong-2: converter.turn-on-out > stud"]
    assert [one.wire.name for one in find_conflicts(network_of(SYSTEM, [*SOUND, *wrong]))] == ["wrong-1", "wrong-2"]


def test_power_from_a_turn_on_lead_and_turn_on_from_power_are_allowed() -> None:
    """Common practice: a fan on a turn-on lead, and a turn-on lead from a switched supply."""
    wires = [*SOUND, "fan-feed: converter.turn-on-out > fan.power", "fan-ground: fan.ground > stud"]
    wires += ["live: battery.positive > relay.coil-positive", "coil-ground: relay.coil-negative > stud"]
    assert find_conflicts(network_of(SYSTEM, wires)) == ()


def test_a_changeover_relay_has_two_states_and_joins_one_side_in_each() -> None:
    """A relay wired on both sides is seen working and resting; one wired on one side only as it works."""
    nodes: Nodes = {"relay": "relay", "a": "bus", "b": "bus", "c": "bus"}
    plan = plan_of(nodes, ["w1: a > relay.common", "w2: relay.normally-open > b", "w3: relay.normally-closed > c"])
    assert set(changeover_states(plan)) == {frozenset(), frozenset({"relay"})}
    working, resting = build_network(plan), build_network(plan, frozenset({"relay"}))
    assert [
        sorted(at for at in network.net_of["a.stud"].vertices if at.endswith(".stud")) for network in (working, resting)
    ] == [["a.stud", "b.stud"], ["a.stud", "c.stud"]]
    single = plan_of(nodes, ["w1: a > relay.common", "w2: relay.normally-open > b"])
    assert changeover_states(single) == [frozenset()]
