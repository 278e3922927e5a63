"""A network of conductances eliminated once: solves any currents, and knows the resistances that count."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from heapq import heapify, heappop, heappush
from operator import mul

# Removing an unknown beside this many others makes no more conductances than it takes away (star to mesh).
_EASY = 3


class NotDefiniteError(Exception):
    """The network is not positive definite; `unknown` is where elimination found it."""

    def __init__(self, unknown: int) -> None:
        super().__init__(unknown)
        self.unknown = unknown


class Factor:
    """The elimination of a network: per unknown the conductances to later ones as it was removed, and their sum.

    The last unknowns may still be open: `rest` has the conductances between them that all others come to, as `factor` takes
    them.
    """

    def __init__(
        self, order: Sequence[int], beyond: list[dict[int, float]], sums: list[float], rest: dict[int, dict[int, float]]
    ) -> None:
        self._order = order
        self._beyond = beyond
        self._sums = sums
        self.rest = rest

    def closed(self, rest: dict[int, dict[int, float]]) -> Factor:
        """Return the elimination of the whole network where `rest` are the conductances between the open unknowns."""
        ground = {one: row.pop(one, 0.0) for one, row in rest.items()}
        beyond, sums = list(self._beyond), list(self._sums)
        for one, row in rest.items():
            beyond[one] = row
        _finish(list(rest), len(rest), beyond, ground, sums)
        return Factor(self._order, beyond, sums, {})

    def solve(self, right: list[float]) -> list[float]:
        """Return the potentials in V with these currents in A flowing in; `right` is used up."""
        self.reduce(right)
        return self.extend(right, [])

    def reduce(self, right: list[float]) -> None:
        """Let the currents in A that flow in at eliminated unknowns flow in at those that are open."""
        for pivot in self._order[: len(self._order) - len(self.rest)]:
            if right[pivot]:
                share = right[pivot] / self._sums[pivot]
                for column, siemens in self._beyond[pivot].items():
                    right[column] += siemens * share

    def extend(self, reduced: list[float], rest: list[float]) -> list[float]:
        """Return all potentials in V by those of the open unknowns in their order, and the currents in A as reduced."""
        answer = [0.0] * len(reduced)
        for one, volts in zip(self.rest, rest, strict=True):
            answer[one] = volts
        at = answer.__getitem__
        for pivot in reversed(self._order[: len(self._order) - len(self.rest)]):
            there = self._beyond[pivot]
            answer[pivot] = (reduced[pivot] + sum(map(mul, there.values(), map(at, there)))) / self._sums[pivot]
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


def factor(rows: list[dict[int, float]], order: Sequence[int] | None = None, leave: int = 0) -> Factor:
    """Return the elimination of a network: per unknown its conductances in S to others, under its own number the reference.

    Each conductance between two unknowns stands in the row of one of them: of the one that comes first, where the order
    of elimination is given; so many of its last unknowns are left open. Star-mesh transformation: removing an unknown joins
    its neighbours with each other. Nothing is ever subtracted, so a network of conductances above 0 loses no digits however
    far they lie apart (after Grassmann, Taksar and Heyman, 1985). `rows` are used up. Raises NotDefiniteError where the
    conductances of an unknown do not add up to more than nothing.
    """
    ground = {one: row.pop(one, 0.0) for one, row in enumerate(rows)}
    if order is None:
        order, rows = _ordered(rows)
    rank = None if order == range(len(order)) else sorted(range(len(order)), key=order.__getitem__).__getitem__
    sums = [0.0] * len(rows)
    end = len(order) - leave
    for place, pivot in enumerate(order[:end]):
        row = rows[pivot]
        if len(row) == len(order) - place - 1:
            # All that is left is joined with all: in lists that is several times as fast.
            _finish(order[place:], end - place, rows, ground, sums)
            break
        sums[pivot] = total = _total(pivot, ground, row.values())
        earth = ground[pivot] / total
        columns = sorted(row, key=rank)
        for first, column in enumerate(columns, 1):
            siemens, there = row[column], rows[column]
            ground[column] += siemens * earth
            share = siemens / total
            for other in columns[first:]:
                there[other] = there.get(other, 0.0) + share * row[other]
    return Factor(order, rows, sums, {one: {one: ground[one], **rows[one]} for one in order[end:]})


def _total(pivot: int, ground: dict[int, float], siemens: Iterable[float]) -> float:
    total = ground[pivot] + sum(siemens)
    if not total > 0:
        raise NotDefiniteError(pivot)
    return total


def _finish(
    order: Sequence[int], many: int, rows: list[dict[int, float]], ground: dict[int, float], sums: list[float]
) -> None:
    """Eliminate so many more of the unknowns that are left, as if each were joined with every other."""
    dense = [[rows[one].get(other, 0.0) for other in order[place:]] for place, one in enumerate(order, 1)]
    for place, pivot in enumerate(order[:many]):
        row = dense[place]
        sums[pivot] = total = _total(pivot, ground, row)
        earth = ground[pivot] / total
        for far, siemens in enumerate(row, 1):
            ground[order[place + far]] += siemens * earth
            share = siemens / total
            dense[place + far] = [had + share * more for had, more in zip(dense[place + far], row[far:], strict=True)]
    for place, (one, row) in enumerate(zip(order, dense, strict=True), 1):
        rows[one] = dict(zip(order[place:], row, strict=True))


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


def order_of(beside: list[set[int]], last: Iterable[int] = ()) -> list[int]:
    """Return in which order to eliminate unknowns, given the neighbours of each: always one of least degree.

    So a tree takes linear time, for removing a leaf joins nothing. Some may have to come last. `beside` is used up.
    """
    return order_with_core(beside, (), last)[0]


def order_with_core(beside: list[set[int]], held: Iterable[int], last: Iterable[int]) -> tuple[list[int], int]:
    """Return such an order that begins with what is easily eliminated and not held, and how many unknowns come after."""
    order: list[int] = []
    late = sorted(set(last))
    free = set(range(len(beside))).difference(late)
    _remove(beside, free.difference(held), _EASY, order)
    core = len(beside) - len(order)
    _remove(beside, free.difference(order), len(beside), order)
    return order + late, core


def _remove(beside: list[set[int]], left: set[int], most: int, order: list[int]) -> None:
    """Eliminate one of those left after the other, always one of least degree, while that is no more than so many."""
    heap = [(len(beside[one]), one) for one in left]
    heapify(heap)
    while heap:
        degree, pivot = heappop(heap)
        mine = beside[pivot]
        if pivot not in left or degree != len(mine):
            continue
        if degree > most:
            return
        if degree == len(beside) - len(order) - 1:
            # All that is left is joined with all: no order is better than another.
            order += sorted(left)
            return
        left.discard(pivot)
        order.append(pivot)
        for one in mine:
            there = beside[one]
            if degree > 1:
                there |= mine
                there.discard(one)
            there.discard(pivot)
            if one in left:
                heappush(heap, (len(there), one))
