"""The load of a network of voice coils, held against pencil and paper and against scipy."""

from __future__ import annotations

import os
import random

import numpy as np
import pytest
from scipy.linalg import pinvh  # type: ignore[import-untyped]

from planlint.graph.coils import solve_coils

Coils = list[tuple[str, str, float]]


def load(joints: list[tuple[str, str]], coils: Coils, poles: tuple[str, str]) -> float | None:
    """The resistance between two poles, None where nothing leads from one to the other."""
    found = solve_coils(joints, coils, poles)
    return found.ohm if found else None


@pytest.mark.parametrize(
    ("coils", "ohm"),
    [
        ([("p", "n", 4.0), ("p", "n", 4.0)], 2.0),
        ([("p", "m", 4.0), ("m", "n", 4.0)], 8.0),
        ([("p", "n", 4.0)] * 4, 1.0),
        ([("p", "m", 4.0), ("m", "n", 4.0)] * 2, 4.0),
        # A balanced bridge: its middle coil carries nothing.
        ([("p", "a", 4.0), ("a", "n", 4.0), ("p", "b", 4.0), ("b", "n", 4.0), ("a", "b", 2.0)], 4.0),
        ([("p", "m", 4.0)], None),
        ([("n", "n", 4.0), ("p", "n", 4.0), ("x", "y", 2.0)], 4.0),
    ],
)
def test_the_load_by_pencil_and_paper(coils: Coils, ohm: float | None) -> None:
    """Series adds, parallel divides, any textbook of circuits; a coil left open does not count."""
    found = load([], coils, ("p", "n"))
    assert found is None if ohm is None else found == pytest.approx(ohm)


def test_poles_joined_by_a_wire_have_no_resistance() -> None:
    """A wire from pole to pole is a short circuit."""
    assert load([("p", "x"), ("x", "n")], [("p", "n", 4.0)], ("p", "n")) == 0.0


@pytest.mark.parametrize("seed", range(1000 if os.environ.get("PLANLINT_LONG") == "1" else 50))
def test_the_load_of_any_wiring_is_what_scipy_says(seed: int) -> None:
    """The resistance distance by the pseudoinverse of the Laplacian (Klein and Randic, 1993), nets merged by wires."""
    draw = random.Random(seed)
    size = draw.randint(2, 8)
    nets = [f"net-{i}" for i in range(size)]
    ends = [(i, draw.randrange(i)) for i in range(1, size)]
    extra = [draw.sample(range(size), 2) for _ in range(draw.randint(0, 6))]
    ends += [(a, b) for a, b in extra]
    laplacian, joints, coils = np.zeros((size, size)), [], []
    for number, (a, b) in enumerate(ends):
        ohm = draw.choice([1.0, 2.0, 4.0, 8.0])
        coils.append((f"coil-{number}-a", f"coil-{number}-b", ohm))
        joints += [(f"coil-{number}-a", nets[a]), (nets[b], f"coil-{number}-b")]
        laplacian[a, a] += 1 / ohm
        laplacian[b, b] += 1 / ohm
        laplacian[a, b] -= 1 / ohm
        laplacian[b, a] -= 1 / ohm
    draw.shuffle(joints)
    inverse = pinvh(laplacian)
    expected = inverse[0, 0] + inverse[-1, -1] - 2 * inverse[0, -1]
    assert load(joints, coils, (nets[0], nets[-1])) == pytest.approx(expected, rel=1e-9)
