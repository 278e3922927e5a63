"""A sparse symmetric system eliminated once: solves any right-hand side, and knows the entries of its inverse that count."""

from __future__ import annotations

from heapq import heapify, heappop, heappush

# A pivot that elimination has brought down to this share of its row's entry is rounding: the system hangs on nothing there.
_NOTHING = 1e-13


class NotDefiniteError(Exception):
    """The system is not positive definite; `unknown` is where elimination found it."""

    def __init__(self, unknown: int) -> None:
        super().__init__(unknown)
        self.unknown = unknown


class Factor:
    """The elimination of a symmetric, positive definite system: per pivot its row beyond it, and its diagonal."""

    def __init__(self, steps: list[tuple[int, dict[int, float], float]], size: int) -> None:
        self._steps = steps
        self._size = size

    def solve(self, right: list[float]) -> list[float]:
        """Return x of A x = b; `right` is used up."""
        for pivot, row, diagonal in self._steps:
            share = right[pivot] / diagonal
            if share:
                for column, value in row.items():
                    right[column] -= value * share
        answer = [0.0] * self._size
        for pivot, row, diagonal in reversed(self._steps):
            total = right[pivot]
            for column, value in row.items():
                total -= value * answer[column]
            answer[pivot] = total / diagonal
        return answer

    def inverse(self) -> list[dict[int, float]]:
        """Return the entries of the inverse on its diagonal and wherever the elimination has an entry, row by row.

        Takahashi's equations: from the last pivot back each entry follows from those of later pivots.
        """
        found: list[dict[int, float]] = [{} for _ in range(self._size)]
        for pivot, row, diagonal in reversed(self._steps):
            entries = [(column, value / diagonal) for column, value in row.items()]
            mine = found[pivot]
            for column, _ in entries:
                there = found[column]
                entry = -sum(share * there[other] for other, share in entries)
                mine[column] = there[pivot] = entry
            mine[pivot] = 1.0 / diagonal - sum(share * mine[column] for column, share in entries)
        return found


def factor(rows: list[dict[int, float]]) -> Factor:
    """Return the elimination of a symmetric system, given as one row of {column: value} per unknown; `rows` are used up.

    Cholesky elimination without square roots, the pivot always an unknown of least degree, so that a tree takes linear
    time. Raises NotDefiniteError where a pivot is not above nothing.
    """
    steps: list[tuple[int, dict[int, float], float]] = []
    heap = [(len(row), index) for index, row in enumerate(rows)]
    scale = [row[index] for index, row in enumerate(rows)]
    heapify(heap)
    done = [False] * len(rows)
    while heap:
        degree, pivot = heappop(heap)
        row = rows[pivot]
        if done[pivot] or degree != len(row):
            continue
        done[pivot] = True
        diagonal = row.pop(pivot)
        if not diagonal > _NOTHING * abs(scale[pivot]):
            raise NotDefiniteError(pivot)
        steps.append((pivot, row, diagonal))
        for column, value in row.items():
            share = value / diagonal
            other = rows[column]
            del other[pivot]
            for inner, entry in row.items():
                other[inner] = other.get(inner, 0.0) - share * entry
            heappush(heap, (len(other), column))
    return Factor(steps, len(rows))
