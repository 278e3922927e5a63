"""Turn-on leads against independent solvers and published coils; what the drawing says of them."""

from __future__ import annotations

import random

import numpy as np
import pytest
from hand import UNFIT, ask, case_of

from planlint.facts.case import Case

# 12.6 V: a full battery with the engine off. 13.8 V: the voltage at which coils are reckoned.
REST, RUNNING = 12.6, 13.8
# The resistances of 18 and 20 AWG copper at 50 C in ohm per m: 0.82 and 0.52 mm2 by ASTM B258 with 2 % lay, copper of
# IEC 60028 (1/58 ohm mm2 per m at 20 C, 0.00393 per K).
AREA = {18: np.pi / 4 * 1.02362**2, 20: np.pi / 4 * 0.81178**2}
PER_M = {gauge: 1.02 / 58 / area * (1 + 0.00393 * 30) for gauge, area in AREA.items()}
LUG = 0.2e-3


def wire_ohm(gauge: int, length: float) -> float:
    """A wire with its two lugs."""
    return float(PER_M[gauge] * length + 2 * LUG)


def net_case(seed: int) -> tuple[Case, list[tuple[str, str, float]], dict[str, float], dict[str, float]]:
    """A turn-on net with loops between splices: case, resistances, drawn currents in A and coils in ohm by terminal."""
    dice = random.Random(seed)
    joints = [f"joint-{i}" for i in range(6)]
    nodes: dict[str, str | dict[str, object]] = {"source": {"kind": "control-source", "circuit": "accessory"}}
    nodes |= dict.fromkeys(joints, "splice")
    pairs = [("source.out", "joint-0.joint")]
    pairs += [(f"joint-{dice.randrange(i)}.joint", f"joint-{i}.joint") for i in range(1, 6)]
    pairs += [tuple(f"{name}.joint" for name in dice.sample(joints, 2)) for _ in range(3)]  # type: ignore[misc]
    amps, coils = {}, {}
    for i in range(3):
        nodes[f"amp-{i}"] = {"kind": "amp", "turn_on_draw": f"{20 + 10 * i} mA"}
        amps[f"amp-{i}.turn-on"] = (20 + 10 * i) / 1000
        pairs.append((f"{dice.choice(joints)}.joint", f"amp-{i}.turn-on"))
    for i in range(2):
        nodes[f"relay-{i}"] = {"kind": "relay", "coil_resistance": f"{70 + 20 * i} ohm"}
        coils[f"relay-{i}.coil-positive"] = 70.0 + 20 * i
        pairs.append((f"{dice.choice(joints)}.joint", f"relay-{i}.coil-positive"))
    wires, ohms = [], []
    for i, (start, end) in enumerate(pairs):
        gauge, length = dice.choice((18, 20)), dice.randrange(1, 60) / 4
        wires.append(f"w{i}: {start} > {end}, {gauge} AWG, {length} m")
        ohms.append((start, end, wire_ohm(gauge, length)))
    return case_of(nodes, wires), ohms, amps, coils


def by_numpy(ohms: list[tuple[str, str, float]], amps: dict[str, float], coils: dict[str, float]) -> dict[str, float]:
    """The voltages of such a net, solved with dense matrices by numpy: currents sum to zero at every joint."""
    names = sorted({at for one in ohms for at in one[:2]} - {"source.out"})
    at = {name: i for i, name in enumerate(names)}
    matrix, right = np.zeros((len(names), len(names))), np.zeros(len(names))
    for start, end, ohm in ohms:
        for one, other in ((start, end), (end, start)):
            if one in at:
                matrix[at[one], at[one]] += 1 / ohm
                if other in at:
                    matrix[at[one], at[other]] -= 1 / ohm
                else:
                    right[at[one]] += REST / ohm
    for name, drawn in amps.items():
        right[at[name]] -= drawn
    for name, ohm in coils.items():
        matrix[at[name], at[name]] += 1 / ohm
    solved = np.linalg.solve(matrix, right)
    return {name: float(solved[i]) for name, i in at.items()}


@pytest.mark.parametrize("seed", range(12))
def test_voltages_of_a_net_with_loops_are_those_of_a_dense_solver(seed: int) -> None:
    """Nodal equations of the same net by numpy: the same voltage at each turn-on terminal, to a millivolt."""
    case, ohms, amps, coils = net_case(seed)
    expected = by_numpy(ohms, amps, coils)
    for at in (*amps, *coils):
        assert ask(case, "node", at.split(".")[0], "turn_on_volts") == pytest.approx(expected[at], abs=1e-3), at


@pytest.mark.parametrize("seed", range(4))
def test_an_output_gives_the_sum_of_all_that_hangs_on_it(seed: int) -> None:
    """20 + 30 + 40 mA, and coils of 70 and 90 ohm at 13.8 V, whatever the wires between."""
    case, _, _, _ = net_case(seed)
    by_hand = 0.090 + RUNNING / 70 + RUNNING / 90
    assert ask(case, "node", "source", "turn_on_load") == pytest.approx(by_hand)


def relay_case(coil: str, system: str = "12 V") -> Case:
    """A relay with a coil on a lead."""
    nodes = {"source": {"kind": "control-source", "circuit": "accessory"}, "relay": {"kind": "relay", **_coil(coil)}}
    return case_of(nodes, ["on: source.out > relay.coil-positive, 18 AWG, 1 m"], vehicle={"system": system})  # type: ignore[arg-type]


def _coil(told: str) -> dict[str, str]:
    return {"coil_resistance" if "ohm" in told else "coil": told} if told else {}


def test_a_coil_by_its_resistance_draws_most_at_its_least() -> None:
    """60 to 80 ohm at the 13.8 V of a running system: 230 mA; on 24 V twice as much."""
    assert ask(relay_case("60..80 ohm"), "node", "source", "turn_on_load") == pytest.approx(RUNNING / 60)
    assert ask(relay_case("60..80 ohm", "24 V"), "node", "source", "turn_on_load") == pytest.approx(2 * RUNNING / 60)


def test_a_coil_by_its_current_is_taken_as_stated() -> None:
    """A stated current needs no voltage; of a range the most counts."""
    assert ask(relay_case("150..200 mA"), "node", "source", "turn_on_load") == pytest.approx(0.2)
    assert ask(relay_case(""), "node", "source", "turn_on_load") == "? the coil current (`coil`) of relay"


def test_two_outputs_on_one_lead_are_each_taken_alone() -> None:
    """Both lead to both parts: either must bear all of it."""
    nodes = {
        "radio": {"kind": "radio", "turn_on_limit": "300 mA"},
        "key": {"kind": "control-source", "circuit": "accessory"},
        "joint": "splice",
        "one": {"kind": "amp", "turn_on_draw": "20 mA"},
        "two": {"kind": "amp", "turn_on_draw": "30 mA"},
    }
    wires = [
        "a: radio.turn-on > joint.joint, 18 AWG, 1 m",
        "b: key.out > joint.joint, 18 AWG, 1 m",
        "c: joint.joint > one.turn-on, 18 AWG, 1 m",
        "d: joint.joint > two.turn-on, 18 AWG, 1 m",
    ]
    case = case_of(nodes, wires)  # type: ignore[arg-type]
    assert ask(case, "node", "radio", "turn_on_load") == pytest.approx(0.05)
    assert ask(case, "node", "key", "turn_on_load") == pytest.approx(0.05)
    assert ask(case, "node", "one", "turn_on_sources") == ("key", "radio")


def test_a_switch_to_the_supply_puts_no_supply_on_the_radio() -> None:
    """A switch that also turns the amplifier on from the battery: what hangs on the battery does not load the radio."""
    nodes = {
        "battery": "battery",
        "lamp": {"kind": "load", "supply": "5 A"},
        "radio": {"kind": "radio", "turn_on_limit": "300 mA"},
        "switch": "switch",
        "amp": {"kind": "amp", "turn_on_draw": "20 mA"},
    }
    wires = [
        "feed: battery.positive > lamp.power, 14 AWG, 1 m",
        "to-switch: lamp.power > switch.line, 18 AWG, 1 m",
        "from-switch: switch.load > amp.turn-on, 18 AWG, 1 m",
        "on: radio.turn-on > amp.turn-on, 18 AWG, 1 m",
    ]
    case = case_of(nodes, wires)  # type: ignore[arg-type]
    assert ask(case, "node", "radio", "turn_on_load") == pytest.approx(0.02)
    assert ask(case, "node", "battery", "turn_on_load") == UNFIT
    assert ask(case, "node", "amp", "turn_on_sources") == ("battery", "radio")
    assert ask(case, "node", "battery", "permanently_on") == ()


def test_a_trunk_that_also_feeds_a_turn_on_lead_is_a_supply() -> None:
    """A cable to a splice feeds an amplifier and, over a relay, its turn-on terminal: only the branch is a lead."""
    nodes = {"battery": "battery", "joint": "splice", "other": "splice", "relay": "relay", "amp": {"kind": "amp"}}
    wires = [
        "front: battery.positive > joint.joint, 4 AWG, 1 m",
        "rear: joint.joint > other.joint, 4 AWG, 1 m",
        "feed: other.joint > amp.power, 4 AWG, 1 m",
        "contact: joint.joint > relay.common, 18 AWG, 1 m",
        "on: relay.normally-open > amp.turn-on, 18 AWG, 1 m",
    ]
    case = case_of(nodes, wires)  # type: ignore[arg-type]
    assert {name: case.layout.words[name] for name in ("front", "rear", "feed", "contact", "on")} == {
        "front": "supply",
        "rear": "supply",
        "feed": "supply",
        "contact": "turn-on",
        "on": "turn-on",
    }


def test_a_lead_that_cannot_carry_its_load_leaves_nothing() -> None:
    """20 A through 60 m of 20 AWG would lose far more than there is; a coil of no resistance states none."""
    nodes = {
        "key": {"kind": "control-source", "circuit": "accessory"},
        "fan": {"kind": "load", "supply": "20 A"},
        "amp": {"kind": "amp", "turn_on_draw": "20 mA"},
    }
    wires = ["a: key.out > fan.power, 20 AWG, 60 m", "b: fan.power > amp.turn-on, 20 AWG, 1 m"]
    assert ask(case_of(nodes, wires), "node", "amp", "turn_on_volts") <= 0.0  # type: ignore[arg-type]
    assert ask(relay_case("0 ohm"), "node", "source", "turn_on_load") == "? the coil current (`coil`) of relay"
