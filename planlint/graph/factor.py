"""A network of conductances eliminated once: solves any currents, and knows the resistances that count."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heapify, heappop, heappush


class NotDefiniteError(Exception):
    """The network is not positive definite; `unknown` is where elimination found it."""

    def __init__(self, unknown: int) -> None:
        super().__init__(unknown)
        self.unknown = unknown


class Factor:
    """The elimination of a network: per unknown the conductances to later ones as it was removed, and their sum."""

    def __init__(self, order: Sequence[int], beyond: list[dict[int, float]], sums: list[float]) -> None:
        self._order = order
        self._beyond = beyond
        self._sums = sums

    def solve(self, right: list[float]) -> list[float]:
        """Return the potentials in V with these currents in A flowing in; `right` is used up."""
        for pivot in self._order:
            if right[pivot]:
                share = right[pivot] / self._sums[pivot]
                for column, siemens in self._beyond[pivot].items():
                    right[column] += siemens * share
        answer = [0.0] * len(right)
        for pivot in reversed(self._order):
            amps = right[pivot]
            for column, siemens in self._beyond[pivot].items():
                amps += siemens * answer[column]
            answer[pivot] = amps / self._sums[pivot]
        return answer

    def inverse(self) -> list[dict[int, float]]:
        """Return the entries of the inverse in ohm on its diagonal and wherever elimination has an entry, row by row.

        Takahashi's equations: from the last unknown back each entry follows from those of later ones.
        """
        found: list[dict[int, float]] = [{} for _ in self._sums]
        for pivot in reversed(self._order):
            total = self._sums[pivot]
            shares = [(column, siemens / total) for column, siemens in self._beyond[pivot].items()]
            mine = found[pivot]
            for column, _ in shares:
                there = found[column]
                mine[column] = there[pivot] = sum(share * there[other] for other, share in shares)
            mine[pivot] = 1.0 / total + sum(share * mine[column] for column, share in shares)
        return found


def factor(rows: list[dict[int, float]], order: Sequence[int] | None = None) -> Factor:
    """Return the elimination of a network: per unknown its conductances in S to others, under its own number the reference.

    Each conductance between two unknowns stands in the row of one of them: of the one that comes first, where the order
    of elimination is given. Star-mesh transformation: removing an unknown joins its neighbours with each other. Nothing is
    ever subtracted, so a network of conductances above 0 loses no digits however far they lie apart (after Grassmann,
    Taksar and Heyman, 1985). `rows` are used up. Raises NotDefiniteError where the conductances of an unknown do not add
    up to more than nothing.
    """
    ground = [row.pop(one, 0.0) for one, row in enumerate(rows)]
    if order is None:
        order, rows = _ordered(rows)
    rank = sorted(range(len(order)), key=order.__getitem__)
    sums = [0.0] * len(rows)
    for pivot in order:
        row = rows[pivot]
        total = ground[pivot] + sum(row.values())
        if not total > 0:
            raise NotDefiniteError(pivot)
        sums[pivot] = total
        beside = list(row.items())
        earth = ground[pivot] / total
        for place, (column, siemens) in enumerate(beside):
            ground[column] += siemens * earth
            share = siemens / total
            for other, more in beside[place + 1 :]:
                first, second = (column, other) if rank[column] < rank[other] else (other, column)
                there = rows[first]
                there[second] = there.get(second, 0.0) + share * more
    return Factor(order, rows, sums)


def _ordered(rows: list[dict[int, float]]) -> tuple[list[int], list[dict[int, float]]]:
    """Return an order of elimination, and the rows with each conductance where its first unknown stands."""
    beside: list[set[int]] = [set(row) for row in rows]
    for one, row in enumerate(rows):
        for other in row:
            beside[other].add(one)
    order = order_of(beside)
    rank = {one: place for place, one in enumerate(order)}
    made: list[dict[int, float]] = [{} for _ in rows]
    for one, row in enumerate(rows):
        for other, siemens in row.items():
            first, second = sorted((one, other), key=rank.__getitem__)
            made[first][second] = made[first].get(second, 0.0) + siemens
    return order, made


def order_of(beside: list[set[int]]) -> list[int]:
    """Return in which order to eliminate unknowns, given the neighbours of each: always one of least degree.

    So a tree takes linear time, for removing a leaf joins nothing. `beside` is used up.
    """
    order: list[int] = []
    heap = [(len(mine), one) for one, mine in enumerate(beside)]
    heapify(heap)
    done = [False] * len(beside)
    while heap:
        degree, pivot = heappop(heap)
        mine = beside[pivot]
        if done[pivot] or degree != len(mine):
            continue
        done[pivot] = True
        order.append(pivot)
        for one in mine:
            beside[one] |= mine
            beside[one] -= {one, pivot}
            heappush(heap, (len(beside[one]), one))
    return order
