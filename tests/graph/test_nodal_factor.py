"""The elimination of networks of conductances, held against numpy."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import csc_matrix  # type: ignore[import-untyped]
from scipy.sparse.linalg import spsolve  # type: ignore[import-untyped]

from planlint.graph.factor import NotDefiniteError, factor, order_of, order_with_core

Array = npt.NDArray[np.float64]
Rows = list[dict[int, float]]


def rows_of(dense: Array) -> Rows:
    """A symmetric matrix as conductances: those to later unknowns, and what is left of each row to the reference."""
    size = len(dense)
    rows = [{i: float(ground)} for i, ground in enumerate(dense.sum(axis=1))]
    for i in range(size):
        rows[i].update({j: -float(dense[i, j]) for j in range(i + 1, size) if dense[i, j]})
    return rows


def random_network(size: int, seed: int) -> Array:
    """Conductances over five decades between random pairs, one of each to the reference."""
    dice = np.random.default_rng(seed)
    dense = np.diag(10 ** dice.uniform(-2, 3, size))
    for _ in range(2 * size):
        i, j = dice.integers(0, size, 2)
        if i != j:
            siemens = 10 ** dice.uniform(-1, 4)
            dense[[i, j], [i, j]] += siemens
            dense[[i, j], [j, i]] -= siemens
    return dense


@given(st.integers(1, 30), st.integers(0, 2**32 - 1), st.booleans())
def test_potentials_and_entries_of_the_inverse_are_numpys(size: int, seed: int, numbered: bool) -> None:
    """On the diagonal and wherever two unknowns are joined, the inverse of a random network's matrix; and a solution."""
    dense = random_network(size, seed)
    joined = [(i, j) for i, row in enumerate(rows_of(dense)) for j in row]
    right = np.random.default_rng(seed).uniform(-100, 100, size)
    done = factor(rows_of(dense), range(size) if numbered else None)
    inverse, found = np.linalg.inv(dense), done.inverse()
    for i, j in joined:
        assert found[i][j] == pytest.approx(inverse[i, j], rel=1e-7)
        assert found[j][i] == found[i][j]
    expected = list(np.linalg.solve(dense, right))
    assert done.solve([float(amps) for amps in right]) == pytest.approx(expected, rel=1e-6, abs=1e-8)


@given(st.integers(1, 8), st.integers(0, 2**32 - 1), st.floats(0.01, 10))
def test_a_matrix_that_is_not_definite_is_refused(size: int, seed: int, shift: float) -> None:
    """A symmetric matrix is refused where numpy finds an eigenvalue below nothing, and only there."""
    dice = np.random.default_rng(seed)
    half = dice.uniform(-1, 1, (size, size))
    dense = half @ half.T + np.diag(dice.uniform(-shift, shift, size))
    least = float(np.min(np.linalg.eigvalsh(dense)))
    if abs(least) < 1e-6:
        return
    if least > 0:
        found = factor(rows_of(dense)).solve([1.0] * size)
        assert found == pytest.approx(list(np.linalg.solve(dense, np.ones(size))), rel=1e-6, abs=1e-8)
    else:
        with pytest.raises(NotDefiniteError) as error:
            factor(rows_of(dense))
        assert 0 <= error.value.unknown < size


def test_an_unknown_that_hangs_on_nothing_is_refused() -> None:
    """A network without a solution raises, it does not answer."""
    with pytest.raises(NotDefiniteError) as error:
        factor([{0: 1.0}, {1: 0.0, 2: 3.0}, {2: 0.0}])
    assert error.value.unknown in (1, 2)


@given(st.integers(2, 20), st.integers(0, 2**32 - 1), st.data())
def test_what_is_left_open_is_closed_with_more_conductances(size: int, seed: int, choices: st.DataObject) -> None:
    """All but the last unknowns eliminated once, conductances at the last ones added later: numpy on the whole."""
    dense, leave = random_network(size, seed), choices.draw(st.integers(1, size))
    begun = factor(rows_of(dense), range(size), leave)
    for siemens in (0.0, 1e-3, 1e4):
        rest = {one: dict(row) for one, row in begun.rest.items()}
        rest[size - 1][size - 1] += siemens
        whole = dense.copy()
        whole[-1, -1] += siemens
        right = np.random.default_rng(seed).uniform(-100, 100, size)
        found = begun.closed(rest).solve([float(amps) for amps in right])
        assert found == pytest.approx(list(np.linalg.solve(whole, right)), rel=1e-6, abs=1e-8)


@given(st.integers(1, 9), st.integers(0, 2**32 - 1), st.booleans())
def test_potentials_are_those_of_a_sparse_solve(size: int, seed: int, numbered: bool) -> None:
    """Currents into a random network: scipy's sparse solve to nine digits of the largest potential."""
    dense, right = random_network(size, seed), np.random.default_rng(seed).uniform(-100, 100, size)
    expected = np.atleast_1d(spsolve(csc_matrix(dense), right))
    found = factor(rows_of(dense), range(size) if numbered else None).solve([float(amps) for amps in right])
    assert found == pytest.approx(list(expected), rel=1e-9, abs=1e-9 * float(np.max(np.abs(expected))))


@given(st.integers(1, 20), st.integers(0, 2**32 - 1), st.data())
def test_what_others_come_to_at_the_open_unknowns_is_numpys(size: int, seed: int, choices: st.DataObject) -> None:
    """Conductances between the open ones and the currents that reach them (Schur's complement); then all potentials."""
    leave = choices.draw(st.integers(0, size))
    dense, right = random_network(size, seed), np.random.default_rng(seed).uniform(-100, 100, size)
    end, amps = size - leave, [float(one) for one in right]
    begun = factor(rows_of(dense), range(size), leave)
    begun.reduce(amps)
    across = dense[end:, :end] @ np.linalg.inv(dense[:end, :end])
    left = rows_of(dense[end:, end:] - across @ dense[:end, end:])
    assert list(begun.rest) == list(range(end, size))
    for one, row in begun.rest.items():
        expected = {end + other: siemens for other, siemens in left[one - end].items()}
        scale = 1e-7 * sum(expected.values())
        assert row == {at: pytest.approx(expected.get(at, 0.0), rel=1e-7, abs=scale) for at in row}
        assert all(at in row or abs(siemens) < scale for at, siemens in expected.items())
    assert amps[end:] == pytest.approx(list(right[end:] - across @ right[:end]), rel=1e-7, abs=1e-7)
    volts = np.linalg.solve(dense, right)
    assert begun.extend(amps, list(volts[end:])) == pytest.approx(list(volts), rel=1e-6, abs=1e-8)


def test_what_lies_amid_many_that_are_held_comes_after_what_is_easily_eliminated() -> None:
    """0 between two held ends goes first; 3 amid four of them does not, for that would join each with each; 8 comes last."""
    pairs = [(0, 1), (0, 2), *((3, end) for end in (4, 5, 6, 7)), (2, 8)]
    beside: list[set[int]] = [{b if a == one else a for a, b in pairs if one in (a, b)} for one in range(9)]
    order, core = order_with_core(beside, {1, 2, 4, 5, 6, 7}, {8})
    assert (order[0], order[-1], core) == (0, 8, 8)
    assert sorted(order) == list(range(9))


def test_the_order_takes_every_unknown_once_and_a_tree_from_its_leaves() -> None:
    """In that order a tree fills in nothing: as many entries of the inverse as the tree's matrix has."""
    dice = np.random.default_rng(0)
    pairs = [(int(dice.integers(0, i)), i) for i in range(1, 300)]
    beside: list[set[int]] = [set() for _ in range(300)]
    for one, other in pairs:
        beside[one].add(other)
        beside[other].add(one)
    assert sorted(order_of(beside)) == list(range(300))
    rows: Rows = [{i: 1.0} for i in range(300)]
    for one, other in pairs:
        rows[one][other] = 1.0
    assert sum(len(row) for row in factor(rows).inverse()) == 300 + 2 * 299


def test_a_faint_conductance_is_not_lost_among_great_ones() -> None:
    """A chain of 10 MS that hangs on 1 nS: the potential of 1 nA through it is 1 V everywhere, to the last digits."""
    rows = [{i: 0.0, i + 1: 1e7} for i in range(50)] + [{50: 1e-9}]
    found = factor(rows).solve([1e-9] + [0.0] * 50)
    assert found == pytest.approx([1.0] * 51, rel=1e-12)
