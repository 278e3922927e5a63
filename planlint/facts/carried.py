"""Whether a supply is seen to carry its system at full power without solving the network: a proof for sound supplies."""

from __future__ import annotations

from collections.abc import Mapping

from planlint.facts import scenario, short, wiring
from planlint.facts.case import Case
from planlint.facts.demand import design_voltage
from planlint.facts.scenario import Scenario
from planlint.frozen import frozen
from planlint.graph.design import Demand
from planlint.graph.link import Link, LinkKind, Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.ways import Ways, home_of
from planlint.plan.nodes import Alternator, Battery
from planlint.plan.quantity import Quantity
from planlint.trade.assumptions import convention

# The share of its open voltage that a battery is shown to hold at every load. Any share would be a proof: a lower one lets
# loads draw more, a higher one leaves less to lose.
_HELD = 0.75


@frozen
class _Tap:
    """Something that draws `amps` at most between two places."""

    power: Vertex
    ground: Vertex
    amps: float


def surely_carries(case: Case) -> bool:
    """Say whether one or two batteries alone are seen to carry all loads at full power, engine running or off.

    A load draws at most P/V. If every load drew what it asks for at `_HELD` times the batteries' voltage and still kept
    more than that, the solution reached from rest lies above. At a load all currents together take away at most what they
    would with its own battery alone: each what it loses on the links that both share, and inside. (Transfer resistances
    only shrink when a second battery of the same voltage is joined, as do those of a loop against one way through it.)
    """
    return case.once("supply holds", lambda: _surely_carries(case))


def _surely_carries(case: Case) -> bool:
    posts = [one.vertex for one in case.layout.sources if isinstance(one.node, Battery)]
    users = [one for one in wiring.all_demands(case) if one.ground]
    if len(posts) not in (1, 2) or any(one.amps is None for one in users) or any(s.fused for s in case.layout.sources):
        return False
    feeding = wiring.supply(case).ways.feeding.post
    try:
        held = _held(case, users)
        taps = [*_user_taps(case, users, held), *_vehicle_taps(case, posts)]
        mine = {post: [one for one in users if feeding.get(one.power) == post] for post in posts}
        return sum(map(len, mine.values())) == len(users) and all(
            _holds(case, post, served, taps, held) for post, served in mine.items() if served
        )
    except (UnknownError, UnfitError):
        return False


def _user_taps(case: Case, users: list[Demand], held: float) -> list[_Tap]:
    growth = design_voltage(case) / held
    return [_Tap(power=one.power, ground=one.ground or "", amps=growth * (one.amps or 0.0)) for one in users]


def _vehicle_taps(case: Case, posts: list[Vertex]) -> list[_Tap]:
    """Return what batteries may take while the engine runs, and the vehicle's own draw where its alternator is elsewhere.

    Raises UnfitError where the alternator does not cover the vehicle.
    """
    charge = convention("battery_charge_current")
    taps = [_Tap(power=post, ground=home_of(case.layout.network, post), amps=charge) for post in posts]
    vehicle, main = case.plan.vehicle, scenario.main_battery(case)
    draw = vehicle.factory_draw
    if not main or not isinstance(draw, Quantity) or not scenario.alternator_known(case):
        return taps
    if any(isinstance(one.node, Alternator) for one in case.layout.sources):
        return [*taps, _Tap(power=main, ground=home_of(case.layout.network, main), amps=draw.high)]
    rating = vehicle.alternator.rating if vehicle.alternator else None
    if not isinstance(rating, Quantity) or rating.low < draw.high:
        raise UnfitError
    return taps


def _holds(case: Case, post: Vertex, served: list[Demand], taps: list[_Tap], held: float) -> bool:
    """Say whether the users that a battery feeds keep their voltage although all that can draws on it."""
    out, back = short.ways_out(case, post), case.layout.ways_back(post)
    reached = [one for one in taps if one.power in out.feeding.post]
    if any(one.ground not in back.feeding.post for one in reached):
        return False
    carried = _carried(out, back, reached)
    total = sum(one.amps for one in reached)
    inside = total * short.battery_resistance(case, post, lowest=False)
    emf = short.voltage(case)
    return all(emf - inside - _lost(case, out, back, one, carried, total) >= held for one in served)


def _carried(out: Ways, back: Ways, taps: list[_Tap]) -> Mapping[str, float]:
    """Return by link what all taps draw beyond it."""
    amps: dict[str, float] = {}
    for one in taps:
        for link in _way(out, back, one.power, one.ground):
            amps[link.key] = amps.get(link.key, 0.0) + one.amps
    return amps


def _way(out: Ways, back: Ways, power: Vertex, ground: Vertex) -> list[Link]:
    return [*out.feeding.way(power), *back.feeding.way(ground)]


def _lost(case: Case, out: Ways, back: Ways, user: Demand, carried: Mapping[str, float], total: float) -> float:
    """Return the volts lost on a user's way at most. Raises UnknownError; UnfitError where contacts may part it."""
    volts = 0.0
    for link in _way(out, back, user.power, user.ground or ""):
        if link.kind is LinkKind.CONTACT and scenario.opens(link, Scenario.FULL_OFF):
            raise UnfitError
        # In a loop others may join the way from anywhere.
        amps = total if link.key in out.knots or link.key in back.knots else carried[link.key]
        volts += amps * wiring.run_resistance(case, link)
    return volts


def _held(case: Case, users: list[Demand]) -> float:
    """Return the voltage in V that is to be shown for every load: no maker asks for more."""
    lowest = (getattr(case.nodes[one.name], "lowest_voltage", None) for one in users)
    return max([_HELD * short.voltage(case), *(one.low for one in lowest if isinstance(one, Quantity))])
