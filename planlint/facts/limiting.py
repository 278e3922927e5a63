"""Which fuses limit the current of a wire: those that a reader must look at where it is too much."""

from __future__ import annotations

import math
from itertools import combinations

from planlint.facts import wiring
from planlint.facts.case import Case
from planlint.facts.protection import own_fuses, rating_beyond, steps_down
from planlint.facts.wire import circuit
from planlint.graph.flow import feed
from planlint.graph.link import Link, LinkKind, Vertex, rating_of, wire_key
from planlint.graph.protection import UNLIMITED
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node
from planlint.plan.runs import BlockOutput
from planlint.text.series import one_after_another


def protecting_fuses(case: Case, wire: Wire) -> tuple[Node | BlockOutput, ...]:
    """Return the fuses nearest to the wire that limit its current: nodes, and fused outputs of distribution blocks."""
    found = [link.output or link.node for link in _limiting(case, wire)]
    return tuple(element for element in found if element is not None)


def limited_by(case: Case, wire: Wire) -> str | None:
    """Return the names of the fuses nearest to the wire that limit its current, None where none does."""
    return one_after_another([link.name for link in _limiting(case, wire)]) or None


def counting(case: Case, wire: Wire) -> str:
    """Return in words how far what can flow into the wire is counted: of a ground wire all that comes home by it at once."""
    if circuit(case, wire) != "ground":
        return "before a fuse opens"
    fuses = limited_by(case, wire)
    return f"if all that comes home by it is shorted at once{f' (fuses: {fuses})' if fuses else ''}"


def _limiting(case: Case, wire: Wire) -> tuple[Link, ...]:
    return case.once(("limiting", wire.name), lambda: _find_limiting(case, wire))


def _find_limiting(case: Case, wire: Wire) -> tuple[Link, ...]:
    if circuit(case, wire) == "ground":
        return _coming_home(case, wire)
    # The same fuses as those whose ratings are the wire's protecting rating.
    into = max(case.layout.limits.fed(wire.name))
    if into >= UNLIMITED or steps_down(case, wire):
        beyond, amps = own_fuses(case, wire), rating_beyond(case, wire)
        if beyond and amps is not None and amps * 1000 <= into:
            return beyond.devices
    return _before(case, wire)


def _coming_home(case: Case, wire: Wire) -> tuple[Link, ...]:
    """Return the fuses that limit what comes home by a ground wire: of each user it serves the one that lets least pass,
    or those between batteries where more than that comes home from them."""
    users = wiring.users_by_wire(case).get(wire.name, frozenset())
    links = [_least(wiring.user_way(case, demand)) for demand in wiring.all_demands(case) if demand.name in users]
    found = {link.name: link for link in links if link}
    most, together = max(case.layout.limits.fed(wire.name)), sum(map(_stated, found.values())) * 1000
    # Current from several sources comes home to each by itself: the one by which most comes may be all that counts.
    alone = [link for link in found.values() if abs(_lets(link) * 1000 - most) < 1]
    if together < most and (between := _between_batteries(case)):
        found = {link.name: link for link in between}
    elif together > most + 1 and alone:
        found = {alone[0].name: alone[0]}
    return tuple(found[name] for name in sorted(found))


def _between_batteries(case: Case) -> list[Link]:
    """Return for every two batteries that charge each other the fuse on the way that lets least pass."""
    posts = [source.vertex for source in case.layout.sources if isinstance(source.node, Battery)]
    found = []
    for first, second in combinations(posts, 2):
        way = feed(case.layout.network.adjacent, [first]).way(second)
        fuses = [link for link in way if _lets(link) < math.inf]
        found += [min(fuses, key=lambda link: (_lets(link), link.name))] if fuses else []
    return found


def _before(case: Case, wire: Wire) -> tuple[Link, ...]:
    """Return the fuses by which most can flow into the wire: at that one of its ends into which more can."""
    into = case.layout.limits.fed(wire.name)
    ends = [at for at, amps in zip(case.layout.network.ends[wire.name], into, strict=True) if amps == max(into)]
    ways = _ways_from_sources(case, wire, ends)
    shared = [link for link in ways[0] if all(link in way for way in ways)] if ways else []
    # A fuse that all of it passes, and that lets pass just that, is the only one that limits it.
    alone = [link for link in shared if abs(_lets(link) * 1000 - max(into)) < 1]
    least = [_least(way) for way in ways]
    found = {link.name: link for link in (alone[:1] or least) if link}
    return tuple(found[name] for name in sorted(found))


def _ways_from_sources(case: Case, wire: Wire, ends: list[Vertex]) -> list[list[Link]]:
    """Return the shortest way from each end of a wire to each source that feeds it, the wire taken out."""
    here = case.layout
    feeds = [
        (one.vertex, feed(here.network.adjacent, [one.vertex], without=wire_key(wire.name))) for one in here.sources
    ]
    return [ways.way(at) for post, ways in feeds for at in ends if at == post or at in ways.back]


def _least(way: list[Link]) -> Link | None:
    """Return the fuse on a way that lets least pass, of equal ones the nearest; one whose rating is not stated, where it
    is nearest."""
    fuses = [link for link in way if link.kind is LinkKind.DEVICE]
    if not fuses or rating_of(fuses[0]) is None:
        return fuses[0] if fuses else None
    return min(fuses, key=_lets)


def _lets(link: Link) -> float:
    rating = rating_of(link) if link.kind is LinkKind.DEVICE else None
    return rating.high if rating else math.inf


def _stated(link: Link) -> float:
    rating = rating_of(link)
    return rating.high if rating else 0.0
