"""What a rule may ask about what a fuse has to break, and what it is made to break."""

from __future__ import annotations

from typing import Any

from planlint.facts import conductor, short
from planlint.facts.case import Case
from planlint.facts.device import Device
from planlint.graph.circuit import Branch, Circuit
from planlint.graph.link import Link, Vertex
from planlint.graph.nodal import solve_circuit
from planlint.graph.piecewise import STIFF_OHM, Supply
from planlint.graph.sources import Source
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.nodes import Battery
from planlint.plan.quantity import Quantity
from planlint.trade.fuses import interrupting_rating

# The place at which a short circuit comes together.
_FAULT = "the short circuit"


def breaking_current(case: Case, device: Device) -> float:
    """Return the most current in A that the device may have to break: all sources of one side into a short at the other.

    Batteries at their lowest resistance, the better way back, the device's own resistance included; a source that limits
    itself adds its limit; in a loop the device breaks its own share. Of ranges the ends count at which most flows. Raises
    UnknownError naming what is missing, UnfitError where no battery feeds it or nothing has a way back.
    """
    return case.once(("breaking current", device.name), lambda: case.at_most(lambda most: _breaking(most, device)))


def _breaking(case: Case, device: Device) -> float:
    into = _feeding(case, device)
    return _most([together(case, device.link, at, sources) for at, sources in into.items()])


def breaking_bound(case: Case, device: Device) -> float:
    """Return a current in A that what the device may have to break cannot pass, quickly known: the sum of what each source
    could give alone. Raises UnknownError and UnfitError as `breaking_current` does."""
    return case.at_most(lambda most: _bound(most, device))


def _bound(case: Case, device: Device) -> float:
    into = _feeding(case, device)
    return _most([sum(_alone(case, one, at) for one in sources) for at, sources in into.items()])


def _feeding(case: Case, device: Device) -> dict[Vertex, list[Source]]:
    into = _into(case, device.link)
    if not any(isinstance(source.node, Battery) for sources in into.values() for source in sources):
        raise UnfitError
    return into


def _most(found: list[float]) -> float:
    if not max(found):
        raise UnfitError
    return max(found)


def _alone(case: Case, source: Source, at: Vertex) -> float:
    supply = _supply(case, source, at)
    return supply.most(short.resistance_out(case, source.vertex, at)) if supply else 0.0


def _into(case: Case, fuse: Link) -> dict[Vertex, list[Source]]:
    """Return the sources that drive current through a fuse into a short circuit at its one end, and at its other.

    In a loop every source of the network does, at either.
    """
    net = case.layout.network.net_of[fuse.ends[0]]
    if fuse.key in net.around:
        every = [source for source in case.layout.sources if source.vertex in net.vertices]
        return dict.fromkeys(fuse.ends, every)
    into: dict[Vertex, list[Source]] = {}
    for source in case.layout.sources:
        back = short.ways_out(case, source.vertex).feeding.back
        far = next((at for at in fuse.ends if at in back and back[at][1].key == fuse.key), None)
        if far is not None:
            into.setdefault(far, []).append(source)
    return into


def breaking_limit(case: Case, device: Device) -> float:
    """Return the current in A that the device is stated to break, else what its family is published to break.

    Raises UnknownError where neither is known.
    """
    stated, family = (_own(device, field) for field in ("interrupts", "family"))
    if isinstance(stated, Quantity):
        return stated.low
    system = conductor.stated(case.plan.vehicle.system, ("vehicle", "system")).high
    published = interrupting_rating(family, system) if isinstance(family, str) else None
    if published is None:
        raise UnknownError((*device.path, "interrupts"))
    return published.current_a


def _own(device: Device, field: str) -> Any:
    found = getattr(device.link.output, field, None) if device.link.output else None
    return getattr(device.node, field, None) if found is None else found


def together(case: Case, fuse: Link, at: Vertex, sources: list[Source]) -> float:
    """Return the most current in A through a fuse that sources together drive into a short circuit right behind it.

    Batteries at their lowest resistance, of each one's ways back the better; a source that limits itself gives its limit.
    A battery without a way back gives nothing. Raises UnknownError naming what is missing.
    """
    supplies = {source.vertex: found for source in sources if (found := _supply(case, source, at))}
    out = {post: short.resistance_out(case, post, at) for post in supplies}
    if len(supplies) == 1 and fuse.key not in case.layout.network.net_of[at].around:
        only = next(iter(supplies.values()))
        return only.most(out[only.key])
    # Whatever else hangs on the network carries nothing: all current runs by these ways, whose loops are whole.
    links = {link.key: link for post in supplies for link in short.ways_out(case, post).way(at)}
    cables = tuple(Branch(key=key, ends=link.ends, ohm=short.short_or_safe(case, link)) for key, link in links.items())
    bolted = Branch(key="short", ends=(at, _FAULT), ohm=0.0)
    solved = solve_circuit(Circuit(branches=(*cables, bolted), supplies=tuple(supplies.values())))
    return abs(solved.current.get(fuse.key, 0.0))


def _supply(case: Case, source: Source, at: Vertex) -> Supply | None:
    """Return a source as it feeds a short circuit at a place, its way back included; None for a battery without one."""
    ends = source.vertex, _FAULT
    if not isinstance(source.node, Battery):
        if source.limit is None:
            raise UnknownError(source.limit_path or source.node.path)
        return Supply(
            key=source.vertex, ends=ends, emf=short.voltage(case), ohm=STIFF_OHM, limit=source.limit, charge=0.0
        )
    inside = short.battery_resistance(case, source.vertex, lowest=True)
    try:
        home = min(short.ways_home(case, source.vertex, at))
    except UnfitError:
        return None
    return Supply(key=source.vertex, ends=ends, emf=short.voltage(case), ohm=inside + home)
