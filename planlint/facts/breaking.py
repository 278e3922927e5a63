"""What a rule may ask about what a fuse has to break, and what it is made to break."""

from __future__ import annotations

from typing import Any

from planlint.facts import conductor, short
from planlint.facts.case import Case
from planlint.facts.device import Device
from planlint.graph.link import Link, Vertex
from planlint.graph.sources import Source
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.nodes import Battery
from planlint.plan.quantity import Quantity
from planlint.trade.fuses import interrupting_rating


def breaking_current(case: Case, device: Device) -> float:
    """Return the most current in A that the device may have to break: all sources of one side into a short at the other.

    Batteries at their lowest resistance, the better way back, the device's own resistance included; a source that limits
    itself adds its limit; in a loop the device breaks its own share. Raises UnknownError naming what is missing, UnfitError
    where no battery feeds it or nothing has a way back.
    """
    return case.once(("breaking current", device.name), lambda: _breaking(case, device))


def _breaking(case: Case, device: Device) -> float:
    into = _into(case, device.link)
    if not any(isinstance(source.node, Battery) for sources in into.values() for source in sources):
        raise UnfitError
    most = max(short.together(case, device.link, far, sources) for far, sources in into.items())
    if not most:
        raise UnfitError
    return most


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
