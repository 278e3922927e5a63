"""How passive crossovers lead from their inputs to their outputs, band by band, and which bands are bass."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import product

from planlint.facts.case import Case
from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.plan.audio import Crossover

Pair = tuple[Vertex, Vertex]

# What the trade calls the outputs of a crossover, and what an output without such a name says in words of its bands.
_BASS = frozenset({"low", "lows", "woofer", "bass", "sub", "subwoofer"})
_ABOVE = frozenset({"high", "highs", "tweeter", "treble", "mid", "mids", "midrange"})
_SAID_ABOVE, _SAID_BELOW = re.compile(r"\b(above|high[ -]?pass)\b", re.I), re.compile(r"\b(below|low[ -]?pass)\b", re.I)


@frozen
class Passage:
    """A pole of a passive crossover's input joined to the same pole of one of its outputs, in that output's band.

    `bass` says whether that is the band from the bottom up (True) or one above it (False), None where nothing tells.
    """

    crossover: str
    band: str
    bass: bool | None
    ends: Pair


@frozen
class _Terminal:
    """A terminal of a crossover: its vertex, the band its name bears ('' for none), and its pole."""

    at: Vertex
    band: str
    pole: str


def passages(case: Case) -> tuple[Passage, ...]:
    """Return how passive crossovers join their inputs to their outputs, pole to pole."""
    return case.once("passages", lambda: tuple(_passages(case)))


def _passages(case: Case) -> Iterator[Passage]:
    for node in sorted((node for node in case.plan.nodes if isinstance(node, Crossover)), key=lambda one: one.name):
        wired = sorted(case.layout.wired.get(node.name, ()))
        inputs = [_terminal(node, at, "in") for at in wired if at.startswith(f"{node.name}.in-")]
        outputs = [_terminal(node, at, "out") for at in wired if not at.startswith(f"{node.name}.in-")]
        bands = sorted({one.band for one in outputs} - {""})
        for into, out in product(inputs, outputs):
            if into.pole != out.pole or not _feeds(into, out, outputs):
                continue
            # A terminal without a band serves all bands: the common negative.
            for band in [out.band] if out.band or not bands else bands:
                ends = (into.at, out.at)
                yield Passage(crossover=node.name, band=band, bass=_is_bass(node, band, len(bands)), ends=ends)


def _terminal(node: Crossover, at: Vertex, side: str) -> _Terminal:
    stem, _, pole = at.removeprefix(f"{node.name}.{side}").removeprefix("-").rpartition("-")
    return _Terminal(at=at, band=stem, pole=pole)


def _feeds(into: _Terminal, out: _Terminal, outputs: list[_Terminal]) -> bool:
    """Say whether an input leads to an output: one that bears a band's name to the outputs of that band alone."""
    mine = {one.band for one in outputs if into.band and f"{one.band}-".startswith(f"{into.band}-")}
    return not mine or not out.band or out.band in mine


def _is_bass(node: Crossover, band: str, bands: int) -> bool | None:
    words = set(band.split("-"))
    if words & _BASS or words & _ABOVE:
        return bool(words & _BASS)
    if bands <= 1 and isinstance(node.bands, str):
        above, below = _SAID_ABOVE.search(node.bands), _SAID_BELOW.search(node.bands)
        return None if bool(above) is bool(below) else bool(below)
    return None


def by_band(these: Iterable[Passage]) -> list[tuple[Passage, ...]]:
    """Return the passages that conduct together: a crossover leads each frequency to one of its outputs.

    Crossovers with outputs of the same names part at the same frequencies; of others every combination is taken.
    """
    of: dict[str, dict[str, list[Passage]]] = {}
    for one in these:
        of.setdefault(one.crossover, {}).setdefault(one.band, []).append(one)
    names = [tuple(sorted(bands)) for bands in of.values()]
    if len(set(names)) <= 1:
        together = [[of[crossover][band] for crossover in of] for band in (names[0] if names else ())]
    else:
        together = [list(choice) for choice in product(*(list(bands.values()) for bands in of.values()))]
    return [tuple(one for some in choice for one in some) for choice in together] or [()]
