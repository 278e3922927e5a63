"""The resistance between a post and every place that it reaches, over all ways at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from planlint.graph.circuit import conduct
from planlint.graph.factor import factor
from planlint.graph.link import Link, Vertex
from planlint.graph.ways import Ways

# What has no resistance of its own counts with this many ohm: a tenth of a microvolt at one ampere.
_NONE = 1e-7


def resistances_from(ways: Ways, post: Vertex, ohm: Callable[[Link], float]) -> Mapping[Vertex, float]:
    """Return the effective resistance in ohm between a post and every vertex that it serves, which are all that it reaches.

    Along the only way it is a sum. A knot of loops hangs on that way by one vertex: from there it adds its own effective
    resistance, the diagonal of the inverse of its conductance matrix (the Thevenin resistance).
    """
    found = {post: 0.0}
    for at, (before, link) in ways.feeding.back.items():
        if at in found:
            continue
        knot = ways.knots.get(link.key)
        if knot is None:
            found[at] = found[before] + ohm(link)
        else:
            found |= {other: found[before] + own for other, own in _within(knot, before, ohm)}
    return found


def _within(knot: tuple[Link, ...], entry: Vertex, ohm: Callable[[Link], float]) -> Iterable[tuple[Vertex, float]]:
    """Yield the vertices of a knot with the effective resistance in ohm between each and the one that it hangs on."""
    vertices = dict.fromkeys(at for link in knot for at in link.ends if at != entry)
    rows = {at: i for i, at in enumerate(vertices)}
    matrix: list[dict[int, float]] = [{i: 0.0} for i in range(len(rows))]
    for link in knot:
        conduct(matrix, rows.get(link.ends[0]), rows.get(link.ends[1]), 1.0 / max(ohm(link), _NONE))
    inverse = factor(matrix).inverse()
    yield from ((at, inverse[i][i]) for at, i in rows.items())
