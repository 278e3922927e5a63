"""The resistance between a post and every place that it reaches, over all ways at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from planlint.graph.circuit import conduct
from planlint.graph.factor import factor
from planlint.graph.link import Link, Vertex
from planlint.graph.ways import Ways

# What has no resistance of its own counts with this many ohm: a tenth of a microvolt at one ampere.
_NONE = 1e-7


def resistances_from(ways: Ways, post: Vertex, ohm: Callable[[Link], float]) -> Mapping[Vertex, float]:
    """Return the effective resistance in ohm between a post and every vertex that it serves.

    Along the only way it is a sum; with loops it is the diagonal of the inverse of the conductance matrix (the Thevenin
    resistance).
    """
    served = [at for at, by in ways.feeding.post.items() if by == post]
    if not any(link.key in ways.knots for at in served for _, link in ways.adjacent[at]):
        found = {post: 0.0}
        for at in served:
            if at in ways.feeding.back:
                before, link = ways.feeding.back[at]
                found[at] = found[before] + ohm(link)
        return found
    rows = {at: i for i, at in enumerate(at for at in served if at != post)}
    matrix: list[dict[int, float]] = [{i: 0.0} for i in range(len(rows))]
    inside = {*rows, post}
    links = {link.key: link for at in served for other, link in ways.adjacent[at] if other in inside and other != at}
    for link in links.values():
        conduct(matrix, rows.get(link.ends[0]), rows.get(link.ends[1]), 1.0 / max(ohm(link), _NONE))
    inverse = factor(matrix).inverse()
    return {post: 0.0, **{at: inverse[i][i] for at, i in rows.items()}}
