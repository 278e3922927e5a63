"""Solves a sparse symmetric system by elimination in order of least degree."""

from __future__ import annotations

from heapq import heapify, heappop, heappush


def solve(matrix: list[dict[int, float]], right: list[float]) -> list[float]:
    """Return x of A x = b for a symmetric, positive definite A given as one row of {column: value} per unknown.

    Cholesky elimination without square roots; the pivot is always an unknown of least degree, so a tree is solved in
    linear time. The arguments are used up. Raises ZeroDivisionError where an unknown hangs on nothing.
    """
    order: list[tuple[int, dict[int, float], float]] = []
    heap = [(len(row), index) for index, row in enumerate(matrix)]
    heapify(heap)
    done = [False] * len(matrix)
    while heap:
        degree, pivot = heappop(heap)
        row = matrix[pivot]
        if done[pivot] or degree != len(row):
            continue
        done[pivot] = True
        diagonal = row.pop(pivot)
        order.append((pivot, row, diagonal))
        for column, value in row.items():
            factor = value / diagonal
            other = matrix[column]
            del other[pivot]
            right[column] -= factor * right[pivot]
            for inner, entry in row.items():
                other[inner] = other.get(inner, 0.0) - factor * entry
            heappush(heap, (len(other), column))
    answer = [0.0] * len(matrix)
    for pivot, row, diagonal in reversed(order):
        rest = sum(value * answer[column] for column, value in row.items())
        answer[pivot] = (right[pivot] - rest) / diagonal
    return answer
