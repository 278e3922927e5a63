"""What a rule may ask about an alternator drawn as a part, and about the cables by which it charges a battery."""

from __future__ import annotations

from planlint.facts import wire
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.graph.link import LinkKind, Vertex
from planlint.graph.unknown import UnfitError
from planlint.plan.model import Wire
from planlint.plan.nodes import Alternator, Battery, Node


def alternator_rating(case: Case, alternator: Node) -> float:
    """Return what an alternator drawn as a part gives hot in A, as it or else the vehicle states it."""
    if not isinstance(alternator, Alternator):
        raise UnfitError
    own = case.plan.vehicle.alternator
    rating = alternator.rating if alternator.rating is not None or own is None else own.rating
    return stated(rating, (*alternator.path, "rating")).high


def charge_cables(case: Case, alternator: Node) -> tuple[Wire, ...]:
    """Return the added cables that leave an alternator. Raises UnfitError where it has none."""
    found = case.layout.wires_at(f"{alternator.name}.output") if isinstance(alternator, Alternator) else ()
    if not found:
        raise UnfitError
    return found


def charge_ampacity(case: Case, alternator: Node) -> float:
    """Return what the cables that leave an alternator bear together in A, the maker's own among them.

    Raises UnfitError where none of them is added.
    """
    charge_cables(case, alternator)
    every = case.layout.network.wires_at[f"{alternator.name}.output"]
    return sum([wire.ampacity(case, one) for one in sorted(every, key=lambda one: one.name)])


def charging_alternator(case: Case, one: Wire) -> Node | None:
    """Return the alternator that charges a battery through the wire, where it is the added one at that battery's post; None
    for any other wire."""
    found = _at_batteries(case, past_fuses=True).get(one.name)
    return found[0] if found else None


def unfused_charge(case: Case, one: Wire) -> bool:
    """Say whether the wire joins a battery's post to an alternator with no fuse between."""
    return one.name in _at_batteries(case, past_fuses=False)


def _at_batteries(case: Case, *, past_fuses: bool) -> dict[str, tuple[Node, ...]]:
    return case.once(("charge wires", past_fuses), lambda: _charge_wires(case, past_fuses=past_fuses))


def _charge_wires(case: Case, *, past_fuses: bool) -> dict[str, tuple[Node, ...]]:
    """Return by the name of each added wire at a battery's post the alternators that reach it there by no other battery."""
    posts = {one.vertex for one in case.layout.sources if isinstance(one.node, Battery)}
    found: dict[str, tuple[Node, ...]] = {}
    for source in case.layout.sources:
        if isinstance(source.node, Alternator):
            for name in _reached(case, source.vertex, posts, past_fuses=past_fuses):
                found[name] = (*found.get(name, ()), source.node)
    return found


def _reached(case: Case, start: Vertex, posts: set[Vertex], *, past_fuses: bool) -> list[str]:
    """Return the added wires that end at a battery's post and that current from a vertex comes to."""
    here = case.layout.network
    seen, front, wires = {start}, [start], []
    for at in front:
        for other, link in here.adjacent.get(at, ()):
            if link.kind is LinkKind.DEVICE and not past_fuses:
                continue
            if other in posts and link.wire and link.wire.name not in here.makers:
                wires.append(link.wire.name)
            if other not in seen | posts:
                seen.add(other)
                front.append(other)
    return sorted(set(wires))
