"""Random wirings of voice coils drawn as whole plans, and what a nodal solution by scipy makes of them."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pytest
from hand import UNFIT, ask, case_of
from scipy.linalg import pinvh  # type: ignore[import-untyped]

from planlint.facts.channel import channels

# 200 W at 4 ohm are 28.3 V, whatever the load.
WATTS, AT = 200.0, 4.0
# Parts of a voltage below this are nothing.
NOTHING = 1e-9
Coil = tuple[str, str, int, int, float]


def drawn(draw: random.Random) -> list[Coil]:
    """Coils as driver, coil, the nets of the positive and negative end, ohm; net 0 and 1 are the poles."""
    nets = draw.randint(2, 6)
    coils: list[Coil] = []
    for number in range(draw.randint(1, 4)):
        ohm = draw.choice([1.0, 2.0, 3.0, 4.0, 8.0])
        for coil in range(draw.randint(1, 2)):
            coils.append((f"driver-{number}", f"coil-{coil + 1}", draw.randrange(nets), draw.randrange(nets), ohm))
    return coils


def nodal(coils: list[Coil]) -> tuple[float, dict[str, float], dict[str, set[bool]]] | None:
    """The load, each driver's share of the power and the way its coils point, by the pseudoinverse of the Laplacian."""
    size = 2 + max(max(a, b) for _, _, a, b, _ in coils)
    laplacian = np.zeros((size, size))
    for _, _, a, b, ohm in coils:
        if a != b:
            laplacian[[a, b, a, b], [a, b, b, a]] += np.array([1, 1, -1, -1]) / ohm
    inflow = np.zeros(size)
    inflow[0], inflow[1] = 1.0, -1.0
    volts = pinvh(laplacian) @ inflow
    if not np.allclose(laplacian @ volts, inflow, atol=1e-6):
        return None
    load = float(volts[0] - volts[1])
    shares: dict[str, float] = {}
    ways: dict[str, set[bool]] = {}
    for driver, _, a, b, ohm in coils:
        across = float(volts[a] - volts[b])
        shares[driver] = shares.get(driver, 0.0) + across**2 / ohm / load
        if abs(across) > NOTHING * load:
            ways.setdefault(driver, set()).add(across > 0)
    return load, shares, ways


def plan_of(coils: list[Coil], draw: random.Random, *, bridged: bool) -> Any:
    """The case of a plan with these coils, its elements in any order."""
    poles = ("amp.left-positive", "amp.right-negative") if bridged else ("amp.left-positive", "amp.left-negative")
    places = {0: poles[0], 1: poles[1]}
    each = {"power": f"{WATTS} W", "at": f"{AT} ohm"}
    nodes: dict[str, Any] = {"amp": {"kind": "amp", "class": "AB", "outputs": {"left": each, "right": each}}}
    wires = []
    for driver, coil, a, b, ohm in coils:
        fields = {"kind": "speaker", "type": "sub", "impedance": f"{ohm} ohm", "power": "1 W"}
        nodes[driver] = {**fields, "coils": sum(one[0] == driver for one in coils)}
        for pole, at in (("positive", a), ("negative", b)):
            if at > 1:
                nodes[f"splice-{at}"] = "splice"
            ends = [f"{driver}.{coil}-{pole}", places.get(at, f"splice-{at}.joint")]
            draw.shuffle(ends)
            wires.append(f"{driver}-{coil}-{pole}: {ends[0]} > {ends[1]}, 12 AWG, 1 m")
    draw.shuffle(wires)
    mixed = list(nodes.items())
    draw.shuffle(mixed)
    return case_of(dict(mixed), wires)


def check(seed: int) -> bool:
    """Whether a random wiring closes the way from pole to pole; asserts that the facts are what scipy finds."""
    draw = random.Random(seed)
    coils, bridged = drawn(draw), draw.random() < 0.3
    found = nodal(coils)
    case = plan_of(coils, draw, bridged=bridged)
    wired = {at for _, _, *ends, _ in coils for at in ends}
    name = "amp.left"
    if 0 not in wired or found is None:
        # No current: no load to tell, in whichever way it is asked.
        names = [one.name for one in channels(case)]
        assert {ask(case, "channel", one, "load_seen") for one in names} == {UNFIT}
        return False
    load, shares, ways = found
    assert ask(case, "channel", name, "load_seen") == pytest.approx(load, rel=1e-9)
    assert ask(case, "channel", name, "bridges") is bridged
    # Two bridged channels swing twice the voltage of one.
    whole = (4.0 if bridged else 1.0) * WATTS * AT / load
    for driver, share in shares.items():
        power = ask(case, "node", driver, "driver_power")
        assert power == (UNFIT if power == UNFIT else pytest.approx(whole * share, rel=1e-9, abs=1e-9 * whole))
        assert (power == UNFIT) <= (share < NOTHING), driver
        polarity = ask(case, "node", driver, "wired_polarity")
        words = {frozenset({True}): "normal", frozenset({False}): "inverted", frozenset({True, False}): "mixed"}
        assert polarity == words.get(frozenset(ways.get(driver, ())), UNFIT)
    return True
