"""The resistance that a network of voice coils puts between the two poles of an amplifier's output."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.graph.circuit import conduct
from planlint.graph.factor import factor
from planlint.graph.link import Vertex


def coil_load(
    joints: Iterable[tuple[Vertex, Vertex]], coils: Iterable[tuple[Vertex, Vertex, float]], poles: tuple[Vertex, Vertex]
) -> float | None:
    """Return the effective resistance in ohm between two poles, None where no coil leads from one to the other.

    `joints` are wires without resistance, `coils` have theirs above 0 in ohm. Kirchhoff's laws: the diagonal of the
    inverse of the conductance matrix. Poles that the wires join directly have 0 ohm.
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
    if start == end:
        return 0.0
    links = [(net(a), net(b), ohm) for a, b, ohm in coils if net(a) != net(b)]
    reached = {end}
    while more := {at for a, b, _ in links if (a in reached) != (b in reached) for at in (a, b)} - reached:
        reached |= more
    if start not in reached:
        return None
    rows = {at: i for i, at in enumerate(sorted(reached - {end}))}
    matrix: list[dict[int, float]] = [{i: 0.0} for i in range(len(rows))]
    for a, b, ohm in links:
        if a in reached:
            conduct(matrix, rows.get(a), rows.get(b), 1.0 / ohm)
    return factor(matrix).inverse()[rows[start]][rows[start]]
