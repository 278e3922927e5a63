"""Facts about speakers on small plans, against pencil and paper, published figures and a nodal solution by scipy."""

from __future__ import annotations

from typing import Any

import pytest
from coil_plans import check
from hand import UNFIT, Nodes, ask, case_of

from planlint.facts.case import Case

AMP: dict[str, Any] = {"kind": "amp", "class": "AB", "outputs": {"left": {"power": "100 W", "at": "4 ohm"}}}


def test_random_wirings_are_what_scipy_says() -> None:
    """Load, share of power and polarity of random wirings, many of which close no way from pole to pole."""
    closed = [check(seed) for seed in range(80)]
    assert 30 < sum(closed) < 70


def parallel(count: int, ohm: str, **also: Any) -> Case:
    """The case of an amplifier with so many like drivers side by side."""
    drivers = {f"d{i}": {"kind": "speaker", "impedance": ohm, "power": "50 W", **also} for i in range(count)}
    pairs = [(f"d{i}", pole) for i in range(count) for pole in ("positive", "negative")]
    wires = [f"{one}-{pole}: amp.left-{pole} > {one}.{pole}, 12 AWG, 1 m" for one, pole in pairs]
    return case_of({"amp": AMP, **drivers}, wires)


@pytest.mark.parametrize(("count", "printed"), [(3, 2.66), (4, 2.0)])
def test_coils_of_eight_ohm_in_parallel(count: int, printed: float) -> None:
    """Three coils of 8 ohm are 2.66 ohm (cut, not rounded), four are 2 ohm (audio education page, parallel table)."""
    found = ask(parallel(count, "8 ohm"), "channel", "amp.left", "load_seen")
    assert printed <= found < printed + 0.01


def test_like_drivers_share_the_power_of_the_real_load() -> None:
    """100 W at 4 ohm are 20 V: two drivers of 4 ohm get 100 W each (Joule's law)."""
    case = parallel(2, "4 ohm")
    assert [ask(case, "node", one, "driver_power") for one in ("d0", "d1")] == pytest.approx([100.0, 100.0])


def test_a_range_of_impedance_counts_at_its_lower_end() -> None:
    """The load that strains the amplifier is the lowest it may be."""
    assert ask(parallel(1, "3..4 ohm"), "channel", "amp.left", "load_seen") == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("ohm", "load"), [("not stated", "? the impedance of d0"), ("0 ohm", 0.0), ({"not_applicable": "none"}, UNFIT)]
)
def test_an_impedance_that_is_no_load(ohm: Any, load: Any) -> None:
    """What is not stated is unknown, and a coil of nothing is a short circuit."""
    assert ask(parallel(1, ohm), "channel", "amp.left", "load_seen") == load


# Pole of the amplifier or terminal of a part, wired to another.
TWO_WAY = [
    "in-1: amp.left-positive > x.in-positive, 14 AWG, 1 m",
    "in-2: amp.left-negative > x.in-negative, 14 AWG, 1 m",
    "low-1: x.out-low-positive > woofer.positive, 14 AWG, 1 m",
    "low-2: x.out-low-negative > woofer.negative, 14 AWG, 1 m",
    "high-1: x.out-high-positive > tweeter.positive, 14 AWG, 1 m",
    "high-2: x.out-high-negative > tweeter.negative, 14 AWG, 1 m",
]
SET: Nodes = {
    "amp": AMP,
    "x": "crossover",
    "woofer": {"kind": "speaker", "type": "woofer", "impedance": "4 ohm", "power": "80 W"},
    "tweeter": {"kind": "speaker", "type": "tweeter", "impedance": "6 ohm", "power": "10 W"},
}


def test_a_crossover_puts_one_driver_on_the_amplifier_at_a_time() -> None:
    """The load is that of the worst band, not both in parallel (2.4 ohm), and the woofer gets all of its band, which is the
    bass: the tweeter alone is set apart from that."""
    case = case_of(SET, TWO_WAY)
    assert ask(case, "channel", "amp.left", "load_seen") == pytest.approx(4.0)
    assert ask(case, "node", "woofer", "driver_power") == pytest.approx(100.0)
    assert ask(case, "node", "tweeter", "driver_power") == UNFIT
    assert [ask(case, "node", one, "set_apart") for one in ("woofer", "tweeter")] == [False, True]


def test_a_tweeter_with_a_capacitor_beside_a_woofer_plays_its_own_band() -> None:
    """The nominal load stays that of the woofer, and nobody calls them unlike (common practice)."""
    tweeter = {"kind": "speaker", "type": "tweeter", "impedance": "4 ohm", "power": "10 W", "series_capacitor": True}
    pairs = [(one, pole) for one in ("woofer", "tweeter") for pole in ("positive", "negative")]
    wires = [f"{one}-{pole}: amp.left-{pole} > {one}.{pole}, 14 AWG, 1 m" for one, pole in pairs]
    case = case_of({"amp": AMP, "woofer": SET["woofer"], "tweeter": tweeter}, wires)
    assert ask(case, "channel", "amp.left", "load_seen") == pytest.approx(4.0)
    assert ask(case, "channel", "amp.left", "driver_count") == 1
    assert ask(case, "node", "woofer", "driver_power") == pytest.approx(100.0)
    assert ask(case, "node", "tweeter", "driver_power") == UNFIT
    alone = case_of({"amp": AMP, "tweeter": tweeter}, [wire for wire in wires if "tweeter" in wire])
    assert ask(alone, "node", "tweeter", "driver_power") == pytest.approx(100.0)


def test_two_sets_on_one_channel_are_in_parallel_band_by_band() -> None:
    """Two woofers of 4 ohm are 2 ohm; two tweeters of 6 ohm are 3 ohm."""
    twice = [line.replace("x.", "y.").replace("woofer", "woofer-2").replace("tweeter", "tweeter-2") for line in TWO_WAY]
    twice = [f"second-{line}" for line in twice]
    nodes: Nodes = {**SET, "y": "crossover", "woofer-2": SET["woofer"], "tweeter-2": SET["tweeter"]}
    assert ask(case_of(nodes, TWO_WAY + twice), "channel", "amp.left", "load_seen") == pytest.approx(2.0)


def test_a_dual_coil_driver_on_two_channels_sums_their_power() -> None:
    """Each coil is a load of its own channel; the driver gets both."""
    both = {**AMP, "outputs": {side: {"power": "100 W", "at": "4 ohm"} for side in ("left", "right")}}
    sub = {"kind": "speaker", "coils": 2, "impedance": "4 ohm", "power": "200 W"}
    wires = [
        f"{side}-{pole}: amp.{side}-{pole} > sub.coil-{coil}-{pole}, 12 AWG, 1 m"
        for coil, side in ((1, "left"), (2, "right"))
        for pole in ("positive", "negative")
    ]
    case = case_of({"amp": both, "sub": sub}, wires)
    assert [ask(case, "channel", f"amp.{side}", "load_seen") for side in ("left", "right")] == pytest.approx([4.0, 4.0])
    assert ask(case, "node", "sub", "driver_power") == pytest.approx(200.0)
    assert ask(case, "node", "sub", "coils_left_open") == 0


@pytest.mark.parametrize(
    ("declared", "open_coils", "rating"), [(None, 1, 100.0), (1, 0, 100.0)], ids=["not declared", "on purpose"]
)
def test_a_coil_left_open_takes_its_part_of_the_power_away(
    declared: int | None, open_coils: int, rating: float
) -> None:
    """A driver on one of two coils takes half (common practice, memory)."""
    sub = {"kind": "speaker", "coils": 2, "impedance": "4 ohm", "power": "200 W"}
    wires = [f"{pole}: amp.left-{pole} > sub.coil-1-{pole}, 12 AWG, 1 m" for pole in ("positive", "negative")]
    case = case_of({"amp": AMP, "sub": sub | ({"open_coils": declared} if declared else {})}, wires)
    assert ask(case, "node", "sub", "coils_left_open") == open_coils
    assert ask(case, "node", "sub", "driver_rating") == pytest.approx(rating)


def test_a_coil_whose_ends_are_joined_carries_nothing() -> None:
    """It brakes the cone and is no part of the load."""
    sub = {"kind": "speaker", "coils": 2, "impedance": "4 ohm", "power": "200 W"}
    wires = [f"{pole}: amp.left-{pole} > sub.coil-1-{pole}, 12 AWG, 1 m" for pole in ("positive", "negative")]
    case = case_of({"amp": AMP, "sub": sub}, [*wires, "loop: sub.coil-2-positive > sub.coil-2-negative, 12 AWG, 10 cm"])
    assert ask(case, "node", "sub", "coils_left_open") == 1
    assert ask(case, "channel", "amp.left", "load_seen") == pytest.approx(4.0)


def test_a_gain_set_for_less_gives_less() -> None:
    """14.1 V in 4 ohm are 50 W (root of P R)."""
    quiet = {**AMP, "outputs": {"left": {"power": "100 W", "at": "4 ohm", "gain_target": "14.142 V"}}}
    wires = [f"{pole}: amp.left-{pole} > sub.{pole}, 12 AWG, 1 m" for pole in ("positive", "negative")]
    case = case_of({"amp": quiet, "sub": {"kind": "speaker", "impedance": "4 ohm"}}, wires)
    assert ask(case, "node", "sub", "driver_power") == pytest.approx(50.0, rel=1e-3)


# What the processor's output and the amplifier's own say of the high-pass, and what comes of it.
FILTERS: list[tuple[Any, Any, Any]] = [
    ("60 Hz", "90 Hz", 90.0),
    ("not stated", "90 Hz", 90.0),
    ({"not_applicable": "none"}, "not stated", "? the high-pass filter of left of amp"),
    ({"not_applicable": "none"}, {"not_applicable": "none"}, 0.0),
]


@pytest.mark.parametrize(("before", "own", "expected"), FILTERS)
def test_filters_one_after_another(before: Any, own: Any, expected: Any) -> None:
    """Of two filters the sharper counts; a filter that nobody states is unknown, and one that is not there is none."""
    amp = {**AMP, "outputs": {"left": {"power": "100 W", "at": "4 ohm", "high_pass": own}}}
    processor = {"kind": "processor", "outputs": {"front": {"high_pass": before}}}
    wires = [f"{pole}: amp.left-{pole} > woofer.{pole}, 12 AWG, 1 m" for pole in ("positive", "negative")]
    line = "line: processor.output-front > amp.input-front, 20 AWG, 1 m"
    nodes: Nodes = {"amp": amp, "processor": processor, "woofer": {"kind": "speaker", "impedance": "4 ohm"}}
    assert ask(case_of(nodes, [*wires, line]), "node", "woofer", "lowest_frequency") == expected
