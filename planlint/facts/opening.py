"""What a rule may ask about a short circuit: what flows, which fuse opens, when, and how long the wire withstands it."""

from __future__ import annotations

import math
from collections.abc import Mapping

from planlint.facts import conductor, protection, short, wire
from planlint.facts.case import Case
from planlint.facts.conductor import short_resistance
from planlint.facts.device import Device
from planlint.facts.short import Short
from planlint.frozen import frozen
from planlint.graph.link import Link
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Dimension, Quantity, show
from planlint.plan.runs import BlockOutput
from planlint.text.places import Path
from planlint.trade.clearing import Clearing, worst_clearing
from planlint.trade.fuse_curves import Band, band_of, maker_band
from planlint.trade.withstand import HotterThanInsulationError, WireHeat, wire_heat


@frozen
class Fault:
    """One short circuit along a wire with the fuse that does best against it, and that fuse's share of the current."""

    short: Short
    fuse: Link
    share: float

    @property
    def multiple(self) -> float:
        """The current through the fuse over its rating where the least flows, at the wire's far end."""
        return self.short.far * self.share / short.fuse_rating(self.fuse)


def _worst_fault(case: Case, one: Wire) -> Fault:
    """Return the short circuit that asks most of its fuse. Raises UnknownError and UnfitError as `shorts` does."""
    return case.once(("worst fault", one.name), lambda: min(_faults(case, one), key=lambda found: found.multiple))


def _faults(case: Case, one: Wire) -> list[Fault]:
    found = []
    for at in short.shorts(case, one):
        every = [Fault(short=at, fuse=fuse, share=share) for fuse, share in at.fuses]
        found.append(max(every, key=lambda fault: (fault.multiple, fault.fuse.name)))
    return found


def fault_current(case: Case, one: Wire) -> float:
    """Return the least current in A that a short circuit in the wire drives through the fuse before it."""
    worst = _worst_fault(case, one)
    return worst.short.far * worst.share


def fault_fuse(case: Case, one: Wire) -> Node | BlockOutput:
    """Return the fuse that such a short circuit has to open."""
    return _element(_worst_fault(case, one).fuse)


def fault_rating(case: Case, one: Wire) -> float:
    """Return the rating of that fuse in A."""
    return short.fuse_rating(_worst_fault(case, one).fuse)


def fault_source(case: Case, one: Wire) -> Node:
    """Return the battery that feeds such a short circuit."""
    return case.layout.network.owners[_worst_fault(case, one).short.post]


def narrowest(case: Case, one: Wire) -> Wire:
    """Return the wire that holds such a short circuit down most, on its way there: the one with the most resistance."""
    ways = short.ways_out(case, _worst_fault(case, one).short.post)
    far = max(case.layout.network.ends[one.name], key=lambda at: len(ways.feeding.way(at)))
    way = ways.way(far)
    wires = [(short_resistance(case, link), link.wire) for link in way if link.wire]
    return max(wires, key=lambda pair: (pair[0], pair[1].name))[1]


def _element(link: Link) -> Node | BlockOutput:
    found = link.output or link.node
    assert found
    return found


def worst_clearing_of(case: Case, one: Wire) -> tuple[Fault, Clearing]:
    """Return the short circuit that lasts longest against what the wire withstands, warm from its load."""
    return case.once(("clearing", one.name), lambda: _find_clearing(case, one))


def _find_clearing(case: Case, one: Wire) -> tuple[Fault, Clearing]:
    heat, load = wire_warmth(case, one), _load(case, one)
    found = []
    for at in short.shorts(case, one):
        tried = [
            (Fault(short=at, fuse=fuse, share=share), _clearing(heat, at, fuse, share, load))
            for fuse, share in at.fuses
        ]
        found.append(min(tried, key=lambda pair: (*pair[1].lateness, pair[0].fuse.name)))
    return max(found, key=lambda pair: pair[1].lateness)


def _clearing(heat: WireHeat, at: Short, fuse: Link, share: float, load: float) -> Clearing:
    return worst_clearing(band(fuse), heat, at.far, at.near, before_a=load, share=share)


def wire_warmth(case: Case, one: Wire) -> WireHeat:
    """Return the wire as it heats. Raises UnfitError where the air around it is hotter than its insulation may get."""
    try:
        return wire_heat(
            conductor.area(one),
            conductor.material(case, one),
            conductor.insulation(case, one),
            conductor.ambient(case, one),
            wire.ampacity(case, one),
        )
    except HotterThanInsulationError:
        raise UnfitError from None


def _load(case: Case, one: Wire) -> float:
    """Return the current in A that warmed the wire before: its design load, its ampacity where that is not known."""
    try:
        return min(wire.current(case, one), wire.ampacity(case, one))
    except UnknownError:
        return wire.ampacity(case, one)


def band(fuse: Link) -> Band:
    """Return the opening times of a fuse: its maker's curve, else its family's band. Raises UnknownError for its rating."""
    rating = short.fuse_rating(fuse)
    points = [(p.current, p.opens) for p in getattr(fuse.node, "curve", ())]
    told = [(amps.low, time.high) for amps, time in points if isinstance(amps, Quantity) and isinstance(time, Quantity)]
    if told and not fuse.output:
        return maker_band(told)
    family = getattr(fuse.output or fuse.node, "family", None) or getattr(fuse.node, "family", None)
    return band_of(family if isinstance(family, str) else None, rating)


def opens_in_time(case: Case, one: Wire) -> bool:
    """Say whether a fuse opens before the wire is spoilt, at every current between the wire's two ends."""
    return worst_clearing_of(case, one)[1].clears


def worst_current(case: Case, one: Wire) -> float:
    """Return the short-circuit current in A at which the wire is worst off."""
    return worst_clearing_of(case, one)[1].current


def late_fuse(case: Case, one: Wire) -> Node | BlockOutput:
    """Return the fuse that opens first at that current."""
    return _element(worst_clearing_of(case, one)[0].fuse)


def opening(case: Case, one: Wire) -> str:
    """Return what that fuse may do at that current, in words."""
    return opening_words(worst_clearing_of(case, one)[1].opens)


def withstanding(case: Case, one: Wire) -> str:
    """Return how long the wire withstands that current, in words."""
    return seconds_words(worst_clearing_of(case, one)[1].withstands.seconds)


def opening_words(seconds: float) -> str:
    """Return an opening time in words."""
    return "may never open" if math.isinf(seconds) else f"may take {_time(seconds)} to open"


def seconds_words(seconds: float) -> str:
    """Return a time for which a wire withstands a current, in words."""
    return "for hours" if math.isinf(seconds) else f"for {_time(seconds)}"


def _time(seconds: float) -> str:
    return show(seconds, Dimension.TIME, "min" if seconds > 300 else "s")


def band_origin(case: Case, one: Wire) -> str:
    """Return where the opening times of that fuse come from: `published`, `memory`, or `assumed` for want of a band."""
    found = band(worst_clearing_of(case, one)[0].fuse)
    return "assumed" if found.assumed else "memory" if found.origin == "memory" else "published"


def _softest(case: Case, device: Device) -> tuple[Wire, Clearing]:
    """Return the wire behind a fuse that a soft short circuit endangers most, with what happens at its worst current.

    Raises UnfitError where it guards no wire that is judged.
    """
    return case.once(("softest", device.name), lambda: _find_softest(case, device))


def _find_softest(case: Case, device: Device) -> tuple[Wire, Clearing]:
    faults, gaps = case.once("wires behind fuses", lambda: _guarded(case))
    found, missing = [], gaps.get(device.link.key)
    for one, worst in faults.get(device.link.key, ()):
        try:
            heat = wire_warmth(case, one)
            low = min(heat.ampacity * _ABOVE, worst.short.far)
            found.append((one, _clearing_between(heat, worst, low, _load(case, one))))
        except UnknownError as error:
            missing = missing or error.path
        except UnfitError:
            continue
    softest = max(found, key=lambda pair: (*pair[1].lateness, pair[0].name), default=None)
    # One that is late is late whatever the others are.
    if missing and (softest is None or softest[1].lasts):
        raise UnknownError(missing)
    if softest is None:
        raise UnfitError
    return softest


def _guarded(case: Case) -> tuple[Mapping[str, list[tuple[Wire, Fault]]], Mapping[str, Path]]:
    """Return by fuse the wires that it has to guard against a short circuit, and what is missing to say so of others."""
    faults: dict[str, list[tuple[Wire, Fault]]] = {}
    gaps: dict[str, Path] = {}
    for one in sorted(case.plan.wires, key=lambda wire: wire.name):
        if case.layout.words.get(one.name) not in ("supply", "charge") or one.name in case.layout.network.makers:
            continue
        try:
            if protection.is_tap(case, one):
                continue
            worst = _worst_fault(case, one)
            faults.setdefault(worst.fuse.key, []).append((one, worst))
        except UnknownError as error:
            gaps |= {link.key: error.path for link in case.layout.fuses_toward_sources(one) if link.key not in gaps}
        except UnfitError:
            continue
    return faults, gaps


# A hair above the ampacity the wire begins to suffer.
_ABOVE = 1 + 1e-6


def _clearing_between(heat: WireHeat, worst: Fault, low: float, load: float) -> Clearing:
    return worst_clearing(band(worst.fuse), heat, low, worst.short.far, before_a=load, share=worst.share)


def soft_short_cleared(case: Case, device: Device) -> bool:
    """Say whether the fuse opens in time at every current from the ampacity of the wires behind it up."""
    return _softest(case, device)[1].lasts


def soft_wire(case: Case, device: Device) -> Wire:
    """Return the wire behind the fuse that a soft short circuit endangers most."""
    return _softest(case, device)[0]


def soft_current(case: Case, device: Device) -> float:
    """Return the current in A at which it is worst off."""
    return _softest(case, device)[1].current


def soft_opening(case: Case, device: Device) -> str:
    """Return what the fuse may do at that current, in words."""
    return opening_words(_softest(case, device)[1].opens)


def soft_withstanding(case: Case, device: Device) -> str:
    """Return how long the wire withstands that current, in words."""
    return seconds_words(_softest(case, device)[1].withstands.seconds)
