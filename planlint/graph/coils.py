"""The resistance that a network of voice coils puts between two poles of an output, and each coil's part of it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from planlint.graph.circuit import conduct
from planlint.graph.factor import factor
from planlint.graph.link import Vertex


class CoilNetwork(NamedTuple):
    """What a network of voice coils is between two poles.

    `ohm` is its effective resistance; `parts` are by coil the part of the voltage between the poles that lies across it,
    less than 0 where its first end is nearer to the second pole, 0 where it carries nothing.
    """

    ohm: float
    parts: tuple[float, ...]


def solve_coils(
    joints: Iterable[tuple[Vertex, Vertex]], coils: Iterable[tuple[Vertex, Vertex, float]], poles: tuple[Vertex, Vertex]
) -> CoilNetwork | None:
    """Return the network between two poles, None where no coil leads from one to the other.

    `joints` are wires without resistance, `coils` have theirs above 0 in ohm. Kirchhoff's laws with 1 A from pole to pole.
    Poles that the wires join directly have 0 ohm, and no coil carries anything.
    """
    root: dict[Vertex, Vertex] = {}

    def net(at: Vertex) -> Vertex:
        while at in root:
            at = root[at]
        return at

    for a, b in joints:
        if net(a) != net(b):
            root[net(a)] = net(b)
    start, end = net(poles[0]), net(poles[1])
    links = [(net(a), net(b), ohm) for a, b, ohm in coils]
    if start == end:
        return CoilNetwork(0.0, (0.0,) * len(links))
    reached = _reached(end, links)
    if start not in reached:
        return None
    rows = {at: i for i, at in enumerate(sorted(reached - {end}))}
    matrix: list[dict[int, float]] = [{i: 0.0} for i in range(len(rows))]
    for a, b, ohm in links:
        if a != b and a in reached:
            conduct(matrix, rows.get(a), rows.get(b), 1.0 / ohm)
    volts = dict(zip(rows, factor(matrix).solve([float(at == start) for at in rows]), strict=True))
    volts[end] = 0.0
    parts = (0.0 if a == b or a not in reached else (volts[a] - volts[b]) / volts[start] for a, b, _ in links)
    return CoilNetwork(volts[start], tuple(parts))


def _reached(end: Vertex, links: list[tuple[Vertex, Vertex, float]]) -> set[Vertex]:
    reached = {end}
    while more := {at for a, b, _ in links if (a in reached) != (b in reached) for at in (a, b)} - reached:
        reached |= more
    return reached
