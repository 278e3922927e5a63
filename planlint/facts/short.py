"""How much current a short circuit draws: through each fuse from each battery, the others taken out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planlint.facts import conductor, wiring
from planlint.facts.case import Case
from planlint.facts.conductor import short_resistance
from planlint.frozen import frozen
from planlint.graph.flow import feed, share
from planlint.graph.link import BODY_HUB, Link, LinkKind, Vertex, rating_of, rating_path
from planlint.graph.resistances import resistances_from
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.users import ground_vertex, power_vertex
from planlint.graph.ways import Ways, home_of, measured_ground
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery
from planlint.plan.quantity import Quantity
from planlint.text.places import Path
from planlint.trade.assumptions import convention


@frozen
class Short:
    """A short circuit along a wire as one battery feeds it: the current in A at its near and its far end.

    `fuses` are those that lie before the wire on every way from that battery, each with its share of the least current.
    """

    post: Vertex
    near: float
    far: float
    fuses: tuple[tuple[Link, float], ...]


def shorts(case: Case, wire: Wire) -> tuple[Short, ...]:
    """Return what a short circuit along a supply wire draws from each battery that a fuse parts from it.

    12.6 V (25.2 V on a 24 V system) over the battery, the supply and the return, conductors at 20 C. Raises UnknownError
    naming what is missing, UnfitError where no battery feeds the wire through a fuse.
    """
    return case.once(("shorts", wire.name), lambda: _shorts(case, wire))


def _shorts(case: Case, wire: Wire) -> tuple[Short, ...]:
    ends = case.layout.network.ends[wire.name]
    found = []
    for source in case.layout.sources:
        if isinstance(source.node, Battery) and ends[0] in case.layout.network.net_of[source.vertex].vertices:
            here = _short_from(case, wire, source.vertex, ends)
            if here is not None and not here.fuses:
                # A battery reaches it without a fuse: other rules ask how far.
                raise UnfitError
            if here is not None:
                found.append(here)
    if not found:
        raise UnfitError
    return tuple(found)


def _short_from(case: Case, wire: Wire, post: Vertex, ends: tuple[Vertex, Vertex]) -> Short | None:
    ways = ways_out(case, post)
    if not all(at in ways.feeding.post for at in ends):
        return None
    met = case.once(("met", post), lambda: _fuses_met(ways, post))
    nearer = min(ends, key=lambda at: (met[at][0], at))
    before = met[nearer][1]
    currents = {at: prospective(case, post, at) for at in ends}
    return Short(
        post=post,
        near=max(currents.values()),
        far=min(currents.values()),
        fuses=_shares(case, ways, post, currents, before),
    )


# How many links lead from a post to a place, and the fuses and breakers among them, loops whole.
_Met = tuple[int, tuple[Link, ...]]


def _fuses_met(ways: Ways, post: Vertex) -> Mapping[Vertex, _Met]:
    """Return by place what is met on the way there from a post."""
    met: dict[Vertex, _Met] = {post: (0, ())}
    # Every link of a knot names the same tuple.
    in_knot: dict[int, tuple[Link, ...]] = {}
    for at, (before, link) in ways.feeding.back.items():
        count, fuses = met[before]
        knot = ways.knots.get(link.key, (link,))
        here = in_knot.get(id(knot)) if len(knot) > 1 else None
        if here is None:
            here = in_knot[id(knot)] = tuple(one for one in knot if one.kind is LinkKind.DEVICE)
        met[at] = count + 1, fuses + tuple(one for one in here if one not in fuses) if here else fuses
    return met


def at_ends(case: Case, wire: Wire) -> list[tuple[float, float]]:
    """Return what each battery that reaches a supply wire, through a fuse or not, drives into a short circuit at its two
    ends, in A. Raises UnknownError naming what is missing, UnfitError where none reaches it."""
    ends = case.layout.network.ends[wire.name]
    posts = [one.vertex for one in case.layout.sources if isinstance(one.node, Battery)]
    reached = [post for post in posts if all(at in ways_out(case, post).feeding.post for at in ends)]
    if not reached:
        raise UnfitError
    return [(prospective(case, post, ends[0]), prospective(case, post, ends[1])) for post in reached]


def _shares(
    case: Case, ways: Ways, post: Vertex, currents: Mapping[Vertex, float], fuses: tuple[Link, ...]
) -> tuple[tuple[Link, float], ...]:
    """Return the fuses with what each carries at least, by either end, as a share of the current drawn at the far end.

    Where there is one way each carries all of it; a wire that lies in a loop draws by other shares at its other end.
    """
    if not any(link.key in ways.knots for link in fuses):
        return tuple((link, 1.0) for link in fuses)
    flows = [
        share(ways.adjacent, ways.feeding, post, {at: amps}, lambda link: short_or_safe(case, link)).current
        for at, amps in currents.items()
    ]
    far = min(currents.values())
    parts = ((link, min(abs(flow.get(link.key, 0.0)) for flow in flows) / far) for link in fuses)
    return tuple((link, part) for link, part in parts if part > 1e-6)


def ways_out(case: Case, post: Vertex) -> Ways:
    """Return the ways by which a battery alone reaches the supply side."""
    return case.once(("ways out", post), lambda: _ways_out(case, post))


def _ways_out(case: Case, post: Vertex) -> Ways:
    network = case.layout.network
    net = network.net_of[post]
    ohm = (lambda link: short_or_safe(case, link)) if net.knots else None
    return Ways(adjacent=network.adjacent, feeding=feed(network.adjacent, [post], ohm), knots=net.around)


def prospective(case: Case, post: Vertex, at: Vertex) -> float:
    """Return the current in A that a battery alone drives into a short circuit at a place of the supply side.

    The battery at its highest resistance, and of the ways back, the body there and the ground lead of the part there, the
    poorer. Raises UnknownError naming what is missing.
    """
    return case.once(("prospective", post, at), lambda: _prospective(case, post, at))


def _prospective(case: Case, post: Vertex, at: Vertex) -> float:
    out = resistance_out(case, post, at)
    inside = battery_resistance(case, post, lowest=False)
    return voltage(case) / (inside + out + max(ways_home(case, post, at)))


@frozen
class Along:
    """The resistances in ohm from one place to every other that its ways serve, and on which ways something is missing."""

    ohm: Mapping[Vertex, float]
    gaps: Mapping[Vertex, Path]

    def to(self, at: Vertex) -> float:
        """Return the resistance to a place. Raises UnknownError naming what is missing on the way there."""
        if at in self.gaps:
            raise UnknownError(self.gaps[at])
        return self.ohm[at]


def _along(case: Case, ways: Ways, start: Vertex) -> Along:
    missing: dict[str, Path] = {}

    def ohm(link: Link) -> float:
        try:
            return short_resistance(case, link)
        except UnknownError as error:
            missing[link.key] = error.path
            return wiring.safe(case, link)

    found = resistances_from(ways, start, ohm)
    gaps: dict[Vertex, Path] = {}
    for at, (before, link) in ways.feeding.back.items() if missing else ():
        here = min((one.key for one in ways.knots.get(link.key, (link,)) if one.key in missing), default=None)
        if here or before in gaps:
            gaps[at] = missing[here] if here else gaps[before]
    return Along(ohm=found, gaps=gaps)


def resistance_out(case: Case, post: Vertex, at: Vertex) -> float:
    """Return the resistance in ohm between a battery's post and a place of the supply side. Raises UnknownError."""
    return case.once(("ohm out", post), lambda: _along(case, ways_out(case, post), post)).to(at)


def ways_home(case: Case, post: Vertex, at: Vertex) -> tuple[float, ...]:
    """Return the resistances in ohm of the ways home from a place: by the body there, by the ground lead of its part.

    Raises UnknownError naming what is missing, a body's resistance too where there is a lead: a cable may chafe through
    to it. Raises UnfitError where there is no way.
    """
    both = _by_lead(case, post, at), _by_body(case, post, at)
    known = tuple(ohm for ohm in both if ohm is not None)
    if not known:
        raise UnfitError
    return known


def _by_lead(case: Case, post: Vertex, at: Vertex) -> float | None:
    owner = case.layout.network.owners[at]
    lead = f"{owner.name}.negative" if isinstance(owner, Battery) else ground_vertex(owner)
    # The thin ground of an isolator's coil is no way home for what runs through its studs.
    if not isinstance(owner, Battery) and at != power_vertex(owner):
        return None
    if lead is None or lead not in case.layout.network.wires_at:
        return None
    return _home(case, post, lead)


def _by_body(case: Case, post: Vertex, at: Vertex) -> float | None:
    vehicle = case.plan.vehicle
    if vehicle.body == "composite" and vehicle.body_resistance is None:
        return None
    zone = case.layout.network.owners[at].zone
    return case.once(("body home", post, zone), lambda: _by_body_of(case, post, zone))


def _by_body_of(case: Case, post: Vertex, zone: Any) -> float | None:
    for link in case.layout.measured_joints:
        measured = measured_ground(link)
        # Within a zone the body has no resistance: what was measured from a point of it holds for all of it.
        if measured and link.node and link.node.zone == zone and _measured_home(case, post, link):
            return case.end(measured, upper=True)
    there = f"the body in {zone if isinstance(zone, str) else 'an unnamed zone'}"
    if there in case.layout.measured_back(post).feeding.post:
        return _home(case, post, there)
    hub = _home(case, post, BODY_HUB)
    return None if hub is None else hub + conductor.body_resistance(case) / 2


def _measured_home(case: Case, post: Vertex, link: Link) -> bool:
    """Say whether the resistance of a ground point was measured to the battery whose post this is."""
    home = home_of(case.layout.network, post)
    return any(
        other == home for other, one in case.layout.measured_back(post).adjacent[link.ends[0]] if one.key == link.key
    )


def _home(case: Case, post: Vertex, at: Vertex) -> float | None:
    """Return the resistance in ohm between a place of the return side and the battery's negative, None without a way."""
    ways = case.layout.measured_back(post)
    if at not in ways.feeding.post:
        return None
    home = home_of(case.layout.network, post)
    return case.once(("ohm home", post), lambda: _along(case, ways, home)).to(at)


def voltage(case: Case) -> float:
    """Return the voltage in V that drives a short circuit: 12.6 V for 12 V of the system.

    Raises UnknownError where the system is not stated.
    """
    system = conductor.stated(case.plan.vehicle.system, ("vehicle", "system"))
    return convention("short_circuit_voltage") * case.end(system, upper=False) / 12.0


def battery_resistance(case: Case, post: Vertex, *, lowest: bool) -> float:
    """Return the internal resistance in ohm of a battery as stated, of a range the lowest or highest, else as assumed."""
    return case.once(("inside", post, lowest), lambda: _battery_resistance(case, post, lowest))


def _battery_resistance(case: Case, post: Vertex, lowest: bool) -> float:
    battery = case.layout.network.owners[post]
    stated = getattr(battery, "resistance", None)
    if isinstance(stated, Quantity):
        return stated.low if lowest else stated.high
    system = conductor.stated(case.plan.vehicle.system, ("vehicle", "system")).high
    name = "battery_resistance_lowest" if lowest else "battery_resistance"
    return float(case.assume(name, battery.name)) * system / 12.0


def fuse_rating(link: Link) -> float:
    """Return the rating of a fuse in A, of a range the higher. Raises UnknownError."""
    rating = rating_of(link)
    if rating is None:
        raise UnknownError(rating_path(link))
    return rating.high


def short_or_safe(case: Case, link: Link) -> float:
    """Return the resistance of a link in ohm as a short circuit meets it, a safe one where it is not known."""
    try:
        return short_resistance(case, link)
    except UnknownError:
        return wiring.safe(case, link)
