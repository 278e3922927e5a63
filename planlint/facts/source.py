"""What a rule may ask about a wire as the way out of a source: reach without a fuse, shorts, links between sources."""

from __future__ import annotations

from planlint.facts import conductor
from planlint.facts.case import Case
from planlint.graph.flow import feed
from planlint.graph.link import LinkKind
from planlint.graph.reach import Reach, Stop
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.plan.values import NotApplicable


def strong_reaches(case: Case, wire: Wire) -> tuple[Reach, ...]:
    """Return the reaches of a wire from sources that can give more than the wire may be fused for."""
    if wire.name not in case.layout.reaches:
        return ()
    return case.once(("strong reaches", wire.name), lambda: _strong_reaches(case, wire))


def _strong_reaches(case: Case, wire: Wire) -> tuple[Reach, ...]:
    strong = [reach for reach in case.layout.reaches[wire.name] if _strong(case, reach)]
    # The source that the wire itself leaves is the one to speak of, where there is one.
    return tuple(sorted(strong, key=lambda reach: not reach.leaves)) if len(strong) > 1 else tuple(strong)


def _strong(case: Case, reach: Reach) -> bool:
    source = reach.source
    if source.limit is not None:
        return source.limit > conductor.fuse_limit(case, reach.wire) * (1 + 1e-9)
    if source.limit_path:
        raise UnknownError(source.limit_path)
    return True


def before_any_fuse(case: Case, wire: Wire) -> bool:
    """Say whether a source reaches the wire before any fuse."""
    return bool(strong_reaches(case, wire))


def leaves_source(case: Case, wire: Wire) -> bool:
    """Say whether the wire is the first added cable at a source that does not limit its own current."""
    return any(reach.leaves for reach in strong_reaches(case, wire))


def source(case: Case, wire: Wire) -> Node:
    """Return the source whose current reaches the wire before any fuse."""
    reaches = strong_reaches(case, wire)
    if not reaches:
        raise UnfitError
    return reaches[0].source.node


def unfused_reach(case: Case, wire: Wire) -> float:
    """Return the cable in m from the source by this wire to the first fuse, on the worst branch.

    Raises UnfitError where it comes to no fuse in the run itself.
    """
    stop = _farthest(case, wire)
    if stop is None:
        raise UnfitError
    return stop.cable


def first_fuse(case: Case, wire: Wire) -> Node:
    """Return the first fuse that cable from the source comes to, on the worst branch."""
    stop = _farthest(case, wire)
    if stop is None:
        raise UnfitError
    return case.nodes[stop.name.partition(".")[0]]


def _farthest(case: Case, wire: Wire) -> Stop | None:
    stops = []
    for reach in strong_reaches(case, wire):
        if reach.leaves and reach.beyond.blind and reach.beyond.blind.unknown:
            unknown = reach.beyond.blind.unknown
            raise UnknownError((*unknown.path, "length"))
        stops += [stop for stop in (reach.beyond.in_run, reach.beyond.in_block) if reach.leaves and stop]
    return max(stops, key=lambda stop: (stop.cable, stop.name), default=None)


def run_to_block(case: Case, wire: Wire) -> float:
    """Return the cable in m from the source to a fused block that no fuse of the run's own precedes, 0 where none is.

    The fuses in a block guard its branches; the run to it has none of its own.
    """
    blocks = [r.beyond.in_block.cable for r in strong_reaches(case, wire) if r.leaves and r.beyond.in_block]
    return max(blocks, default=0.0)


def unfused_end(case: Case, wire: Wire) -> Node | None:
    """Return the user or other source that a source reaches by this wire without any fuse, None where there is none.

    Of a run of several wires the first beyond which nothing is fused answers for the whole.
    """
    for reach in strong_reaches(case, wire):
        end = reach.beyond.open_end
        if end and not _fused(reach) and not (reach.before and _answers(case, reach.before, reach)):
            return case.layout.network.owners[end.name]
    return None


def _fused(reach: Reach) -> bool:
    return bool(reach.beyond.in_run or reach.beyond.in_block or reach.beyond.blind)


def _answers(case: Case, before: Wire, reach: Reach) -> bool:
    """Say whether the wire before is itself a run beyond which nothing is fused."""
    others = (other for other in strong_reaches(case, before) if other.source == reach.source)
    return any(other.beyond.open_end and not _fused(other) for other in others)


def sheathed(case: Case, wire: Wire) -> bool:
    """Say whether all cable from the source to the first fuse lies in closed conduit from end to end."""
    mine = {reach.source.vertex for reach in strong_reaches(case, wire) if reach.leaves}
    return all(_in_conduit(other) for other in _tail(case, wire, mine))


def _tail(case: Case, wire: Wire, sources: set[str]) -> list[Wire]:
    """Return the wire and all that follow it before any fuse."""
    tail = [wire]
    names = {wire.name}
    for reaches in case.layout.reaches.values():
        for reach in reaches:
            if reach.source.vertex in sources and reach.before and reach.before.name in names:
                tail.append(reach.wire)
                names.add(reach.wire.name)
    return tail


def _in_conduit(wire: Wire) -> bool:
    parts = [part.protection for part in wire.route if not part.through] or [wire.protection]
    kinds = [wire.protection if part is None else part for part in parts]
    return all(kind == "conduit-closed" for kind in kinds if not isinstance(kind, NotApplicable))


def fuses_on_run(case: Case, wire: Wire) -> int:
    """Return how many fuses stand on the run from this wire's source to another source that does not limit itself.

    Raises UnfitError where the run leads to no such source.
    """
    return min(len(fuses) for _, fuses in _links_to_sources(case, wire))


def other_source(case: Case, wire: Wire) -> Node:
    """Return the other source to which the run from this wire's source leads by the fewest fuses."""
    mine = source(case, wire).name
    # Unfused from both ends, the run leads from each to the other.
    found = min(_links_to_sources(case, wire), key=lambda pair: (pair[0] == mine, len(pair[1]), pair[0]))
    return case.nodes[found[0]]


def _links_to_sources(case: Case, wire: Wire) -> list[tuple[str, list[str]]]:
    """Return, for each other source beyond the wire, its node's name and the fuses on the shortest way to it."""
    adjacent = case.layout.network.adjacent
    found = []
    for reach in strong_reaches(case, wire):
        if not reach.leaves:
            continue
        feeding = feed(adjacent, [reach.source.vertex])
        for other in case.layout.sources:
            if other.vertex == reach.source.vertex or other.limit is not None or other.limit_path:
                continue
            links = feeding.way(other.vertex)
            if any(link.kind is LinkKind.WIRE and link.name == wire.name for link in links):
                fuses = [link.name for link in links if link.kind is LinkKind.DEVICE]
                found.append((other.node.name, fuses))
    if not found:
        raise UnfitError
    return found


def shorts_to_negative(case: Case, wire: Wire) -> bool:
    """Say whether the wire joins a positive source to the body or a battery's negative with no user between."""
    conflict = case.layout.conflicts.get(wire.name)
    return conflict is not None and conflict.shorts


def joins(case: Case, wire: Wire) -> str:
    """Return which two kinds of conductor the wire joins that must stay apart, `nothing unlike` where it joins none."""
    conflict = case.layout.conflicts.get(wire.name)
    if conflict is None:
        return "nothing unlike"
    return " and ".join(sorted(family.value for family in conflict.joins))
