"""The cable a source reaches before any fuse, on runs drawn by hand; every sum is in the table."""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from planned import network_of

from planlint.graph.reach import Reach, Stop, look_ahead, reaches_from
from planlint.graph.sources import sources_of

Nodes = dict[str, str | dict[str, Any]]
BLOCK = {"kind": "distribution", "outputs": {"out-1": {"fuse": "30 A"}, "out-2": {"fuse": "none"}}}


def reaches(nodes: Nodes, wires: list[str]) -> dict[str, Reach]:
    """By wire what the battery reaches before any fuse."""
    network = network_of({"battery": "battery", **nodes}, wires)
    (source,) = (one for one in sources_of(network) if one.vertex == "battery.positive")
    return {reach.wire.name: reach for reach in reaches_from(network, source)}


def told(stop: Stop | None) -> str:
    """A stop in short: its name, the cable to it in cm, and the wire of unknown length before it."""
    if stop is None:
        return "-"
    unknown = f" beyond {stop.unknown.name}" if stop.unknown else ""
    return f"{stop.name} {stop.cable * 100:.0f}{unknown}"


class Run(NamedTuple):
    """A run of cable; the wire asked about, whether it leaves the source, and the stops beyond it with the cable in cm.

    The stops: the farthest fuse in the run, the farthest in a block, a fuse at an unknown distance, the nearest open end.
    """

    nodes: Nodes
    wires: list[str]
    wire: str
    leaves: bool
    stops: tuple[str, str, str, str]


TAIL = "tail: battery.positive > main.line, 15 cm"
REACHES = {
    "a fuse in the cable": Run(
        {"main": "fuse", "amp": "load"},
        [TAIL, "feed: main.load > amp.power, 5 m"],
        "tail",
        leaves=True,
        stops=("main 15", "-", "-", "-"),
    ),
    "a fuse on the terminal": Run(
        {"main": "fuse", "amp": "load"},
        ["tail: battery.positive > main.line, 0 cm", "feed: main.load > amp.power, 5 m"],
        "tail",
        leaves=True,
        stops=("main 0", "-", "-", "-"),
    ),
    # 10 + 12 = 22 to the nearer, 10 + 35 = 45 to the farther fuse.
    "a bus with two branches": Run(
        {"bar": "bus", "near": "fuse", "far": "fuse"},
        ["tail: battery.positive > bar, 10 cm", "a: bar > near.line, 12 cm", "b: bar > far.line, 35 cm"],
        "tail",
        leaves=True,
        stops=("far 45", "-", "-", "-"),
    ),
    "one branch of a bus": Run(
        {"bar": "bus", "near": "fuse", "far": "fuse"},
        ["tail: battery.positive > bar, 10 cm", "a: bar > near.line, 12 cm", "b: bar > far.line, 35 cm"],
        "a",
        leaves=False,
        stops=("near 22", "-", "-", "-"),
    ),
    # 10 + 100 = 110 to the fan, which is open; the fuse stays at 10 + 12.
    "a bus with one open branch": Run(
        {"bar": "bus", "near": "fuse", "fan": "load"},
        ["tail: battery.positive > bar, 10 cm", "a: bar > near.line, 12 cm", "b: bar > fan.power, 1 m"],
        "tail",
        leaves=True,
        stops=("near 22", "-", "-", "fan.power 110"),
    ),
    # The maker's 2 m count as part of the source: only the 14 added cm are cable.
    "the maker's cable first": Run(
        {"stud": "bus", "main": "fuse"},
        ["makers*: battery.positive > stud, 2 m", "tail: stud > main.line, 14 cm"],
        "tail",
        leaves=True,
        stops=("main 14", "-", "-", "-"),
    ),
    # 5 + 20 + 6 = 31: closed contacts are no end and no cable.
    "a switch in the tail": Run(
        {"switch": "switch", "joint": "splice", "main": "fuse"},
        ["tail: battery.positive > switch.line, 5 cm", "b: switch.load > joint, 20 cm", "c: joint > main.line, 6 cm"],
        "tail",
        leaves=True,
        stops=("main 31", "-", "-", "-"),
    ),
    "an unknown length": Run(
        {"main": "fuse"},
        ["tail: battery.positive > main.line"],
        "tail",
        leaves=True,
        stops=("-", "-", "main 0 beyond tail", "-"),
    ),
    "an unknown length further on": Run(
        {"bar": "bus", "main": "fuse"},
        ["tail: battery.positive > bar, 10 cm", "b: bar > main.line"],
        "tail",
        leaves=True,
        stops=("-", "-", "main 10 beyond b", "-"),
    ),
    # A block's output without fuse is one with its input: 40 + 60 = 100 to the load on it.
    "a fused block": Run(
        {"block": BLOCK, "amp": "load", "fan": "load"},
        [
            "tail: battery.positive > block.in, 40 cm",
            "a: block.out-1 > amp.power, 50 cm",
            "b: block.out-2 > fan.power, 60 cm",
        ],
        "tail",
        leaves=True,
        stops=("-", "block.out-1 40", "-", "fan.power 100"),
    ),
    "an amplifier without a fuse": Run(
        {"amp": "load"},
        ["feed: battery.positive > amp.power, 5 m"],
        "feed",
        leaves=True,
        stops=("-", "-", "-", "amp.power 500"),
    ),
    "another battery without a fuse": Run(
        {"second": "battery"},
        ["link: battery.positive > second.positive, 4 m"],
        "link",
        leaves=True,
        stops=("-", "-", "-", "second.positive 400"),
    ),
    # Around the ring the shortest way counts: 10 + 20 = 30, not 10 + 50 + 50.
    "a ring": Run(
        {"bar": "bus", "joint": "splice", "main": "fuse"},
        [
            "tail: battery.positive > bar, 10 cm",
            "short: bar > main.line, 20 cm",
            "long-1: bar > joint, 50 cm",
            "long-2: joint > main.line, 50 cm",
        ],
        "tail",
        leaves=True,
        stops=("main 30", "-", "-", "-"),
    ),
    # The fuse beyond an amplifier's terminal guards what is taken there, not the run to it.
    "a tap with a fuse behind an amplifier": Run(
        {"amp": "load", "tap-fuse": "fuse"},
        ["feed: battery.positive > amp.power, 5 m", "tap: amp.power > tap-fuse.line, 5 cm"],
        "feed",
        leaves=True,
        stops=("-", "-", "-", "amp.power 500"),
    ),
    "a range counts at its longer end": Run(
        {"main": "fuse"},
        ["tail: battery.positive > main.line, 10..35 cm"],
        "tail",
        leaves=True,
        stops=("main 35", "-", "-", "-"),
    ),
}


@pytest.mark.parametrize("run", REACHES.values(), ids=REACHES.keys())
def test_what_a_source_reaches_before_a_fuse(run: Run) -> None:
    """Fuse, fused block, fuse at an unknown distance and open end with the cable to each, summed by hand."""
    reach = reaches(run.nodes, run.wires)[run.wire]
    beyond = reach.beyond
    found = tuple(told(stop) for stop in (beyond.in_run, beyond.in_block, beyond.blind, beyond.open_end))
    assert (reach.leaves, found) == (run.leaves, run.stops)


def test_behind_a_fuse_no_wire_is_reached() -> None:
    """What lies behind the first fuse or breaker is not in the table at all, and a factory wire never is."""
    found = reaches(
        {"stud": "bus", "main": "breaker", "amp": "load"},
        ["makers*: battery.positive > stud", "tail: stud > main.line, 15 cm", "feed: main.load > amp.power, 5 m"],
    )
    assert list(found) == ["tail"]


def test_a_ring_is_walked_from_both_sides() -> None:
    """Every wire of a ring is reached, the one that closes it too, and each sees the fuse."""
    wires = ["a: battery.positive > bar, 10 cm", "b: battery.positive > joint, 30 cm", "c: bar > joint, 40 cm"]
    found = reaches({"bar": "bus", "joint": "splice", "main": "fuse"}, [*wires, "d: joint > main.line, 5 cm"])
    assert {name: told(reach.beyond.in_run) for name, reach in found.items()} == {
        "a": "-",
        "b": "main 35",
        "c": "main 35",
        "d": "main 35",
    }


def test_look_ahead_finds_the_first_fuses_and_the_open_ends() -> None:
    """From the end of a wire: fuses met first with the cable to the farthest, and users met without one."""
    network = network_of(
        {"battery": "battery", "bar": "bus", "f1": "fuse", "f2": "fuse", "amp": "load", "fan": "load"},
        [
            "feed: battery.positive > bar, 1 m",
            *("a: bar > f1.line, 10 cm", "b: bar > f2.line, 30 cm", "c: f1.load > amp.power, 1 m"),
            "d: bar > fan.power, 2 m",
        ],
    )
    ahead = look_ahead(network, "bar.stud", "feed")
    assert sorted(link.name for link in ahead.devices) == ["f1", "f2"]
    assert (ahead.open_ends, ahead.unknown) == (("fan.power",), None)
    assert ahead.cable == pytest.approx(0.30)
    assert look_ahead(network, "battery.positive", "feed").open_ends == ("battery.positive",)
