"""Stereo and bridged at once: which loads hang between which poles of two channels, and whether their bands part them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from planlint.facts.case import Case
from planlint.facts.crossovers import Pair, Passage, passages
from planlint.facts.speaker_coils import Coil, between_nets, coils, linked
from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.text.places import Path


@frozen
class Load:
    """What hangs between two poles alone: its nets, and whether it plays the bass or what is above, None where both.

    `missing` is the field that would tell, where nothing does.
    """

    nets: frozenset[Vertex]
    bass: bool | None
    missing: Path | None = None


def loads_between(case: Case, poles: Collection[Vertex]) -> Mapping[frozenset[Vertex], Load]:
    """Return by pair of poles' nets what hangs between those two alone; nothing where something hangs on more of them."""
    every = [coil for some in coils(case).values() for coil in some]
    ways = passages(case)
    edges = [between_nets(case, ends) for ends in (*(one.ends for one in every), *(one.ends for one in ways))]
    groups = _groups(edges, poles)
    found: dict[frozenset[Vertex], list[frozenset[Vertex]]] = {}
    for group in groups:
        at = frozenset(group & set(poles))
        if len(at) > 2:
            return {}
        if len(at) == 2:
            found.setdefault(at, []).append(group)
    return {at: _load(case, frozenset().union(*some), every, ways) for at, some in found.items()}


def _groups(edges: Iterable[Pair], poles: Collection[Vertex]) -> list[frozenset[Vertex]]:
    """Return what hangs together where the poles are taken for ends, each with the poles that it reaches."""
    inner = linked(pair for pair in edges if not set(pair) & set(poles))
    groups: dict[frozenset[Vertex], set[Vertex]] = {}
    for a, b in edges:
        inside = [inner.get(at, frozenset({at})) for at in (a, b) if at not in poles]
        # A coil from pole to pole is a group of its own.
        key = inside[0] if inside else frozenset({a, b})
        groups.setdefault(key, set(key)).update((a, b))
    return [frozenset(group) for group in groups.values()]


def _load(case: Case, nets: frozenset[Vertex], every: Iterable[Coil], ways: Iterable[Passage]) -> Load:
    mine = [coil.speaker for coil in every if set(between_nets(case, coil.ends)) <= nets]
    if mine and all(one.series_capacitor is True for one in mine):
        return Load(nets=nets, bass=False)
    here = [one for one in ways if set(between_nets(case, one.ends)) <= nets]
    bands = {one.bass for one in here}
    if None in bands:
        return Load(nets=nets, bass=None, missing=(*case.nodes[here[0].crossover].path, "bands"))
    if here:
        return Load(nets=nets, bass=bands.pop() if len(bands) == 1 else None)
    # No subwoofer has a capacitor in series that nobody mentions.
    open_ones = [one for one in mine if one.series_capacitor is None and one.type != "sub"]
    missing = (*open_ones[0].path, "series_capacitor") if len(open_ones) == len(mine) > 0 else None
    return Load(nets=nets, bass=None, missing=missing)


def apart(loads: Mapping[frozenset[Vertex], Load], across: frozenset[Vertex]) -> bool:
    """Say whether what hangs across two channels plays, or may as far as it is stated, in a band of its own beside what
    hangs on each of them."""
    if any(one.bass is None and one.missing is None for one in loads.values()):
        return False
    bands = {at: one.bass for at, one in loads.items() if one.bass is not None}
    return all(bands.get(across) is not bass for at, bass in bands.items() if at != across)


def first_missing(loads: Mapping[frozenset[Vertex], Load]) -> Path | None:
    """Return the first field that would tell in which band a load plays, None where all is known."""
    return min((one.missing for one in loads.values() if one.missing), default=None)
