"""What a rule may ask about the supply as a whole: whether it carries the system at full power at all."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.facts import scenario, short, user, wiring
from planlint.facts.case import Case
from planlint.facts.scenario import Scenario, State
from planlint.graph.design import Demand
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.nodes import Battery, Node
from planlint.plan.quantity import Quantity
from planlint.trade.assumptions import convention

# With music the same system draws less.
_JUDGED = (Scenario.FULL, Scenario.FULL_OFF)
# The share of its open voltage that a battery is shown to hold at every load, and the margin of that proof.
_HELD, _MARGIN = 0.75, 1.1


def collapses(case: Case, user: Node) -> str | None:
    """Return the scenarios in which the supply cannot carry the system and the user's voltage falls first.

    Raises UnknownError naming what is missing to solve the network.
    """
    return _words(one for one in _judged(case) if one.solution is None and one.falling[:1] == (user.name,))


def shut_off(case: Case, user: Node) -> str | None:
    """Return the scenarios in which the user gets less than its lowest voltage and goes off.

    Raises UnknownError naming what is missing to solve the network.
    """
    return _words(one for one in _judged(case) if one.solution and user.name in one.solution.off)


def falling(case: Case, user: Node) -> tuple[Node, ...]:
    """Return the other users whose voltage falls where the supply collapses."""
    names = {name for one in _judged(case) if one.solution is None for name in one.falling}
    return tuple(case.nodes[name] for name in sorted(names) if name != user.name and name in case.nodes)


def _words(states: Iterable[State]) -> str | None:
    return " and ".join(one.scenario.words for one in states) or None


def _judged(case: Case) -> tuple[State, ...]:
    if case.once("supply holds", lambda: _surely_holds(case)):
        return ()
    return tuple(scenario.state(case, one) for one in _JUDGED)


def _surely_holds(case: Case) -> bool:
    """Say whether the batteries alone are seen to carry all design currents, without solving the network.

    Loads draw at most P/V. At `_HELD` times the batteries' voltage at every load they draw no more than that share asks for,
    and lose in proportion to what is lost at design currents; where what is left is not below that voltage, the solution
    reached from rest lies above it, since all loads' currents fall as their voltages rise. With several batteries every
    load counts with its own way, on which it loses at most what all currents together would lose there.
    """
    batteries = [one for one in case.layout.sources if isinstance(one.node, Battery)]
    users = [one for one in wiring.all_demands(case) if one.ground]
    if not batteries or any(one.amps is None for one in users) or any(one.fused for one in case.layout.sources):
        return False
    vehicle = case.plan.vehicle
    alternator = vehicle.alternator.rating if vehicle.alternator else None
    spare = (
        alternator.low - draw.high
        if isinstance(alternator, Quantity) and isinstance(draw := vehicle.factory_draw, Quantity)
        else 0.0
    )
    total = sum(one.amps or 0.0 for one in users) + convention("battery_charge_current") * (len(batteries) - 1)
    lost = _lost_alone if len(batteries) == 1 else _lost_at_most
    try:
        held, emf = _held(case, users), short.voltage(case)
        growth = _MARGIN * scenario.design_voltage(case) / held
        return spare >= 0 and all(emf - growth * lost(case, case.nodes[one.name], total) >= held for one in users)
    except (UnknownError, UnfitError):
        return False


def _lost_alone(case: Case, node: Node, total: float) -> float:
    """Return the volts that a user loses at design currents, from inside the only battery on."""
    inside = short.battery_resistance(case, user.post_of(case, node), lowest=False)
    return user.supply_drop(case, node) + user.return_drop(case, node) + inside * total


def _lost_at_most(case: Case, node: Node, total: float) -> float:
    """Return the volts that all currents together would lose on a user's way, from inside its battery on."""
    mine = wiring.demands_by_name(case)[node.name]
    ways = [*wiring.user_way(case, mine), *wiring.user_way_back(case, mine)]
    inside = short.battery_resistance(case, user.post_of(case, node), lowest=False)
    return total * (inside + sum(wiring.run_resistance(case, link) for link in ways))


def _held(case: Case, users: list[Demand]) -> float:
    """Return the voltage in V that is to be shown for every load: no maker asks for more."""
    lowest = (getattr(case.nodes[one.name], "lowest_voltage", None) for one in users)
    return max([_HELD * short.voltage(case), *(one.low for one in lowest if isinstance(one, Quantity))])
