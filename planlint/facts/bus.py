"""What a rule may ask about the voltage of what feeds a device, against what the device is made for."""

from __future__ import annotations

from planlint.facts import device, user
from planlint.facts.case import Case
from planlint.graph.unknown import UnknownError
from planlint.plan.nodes import Battery, Charger, Node
from planlint.plan.quantity import Quantity
from planlint.trade.assumptions import convention

# The system for which the trade's figures stand, in V.
_PLAIN = 12.0


def bus_voltage(case: Case, node: Node) -> float:
    """Return the nominal voltage in V of what feeds a user: of the battery or charger, else of the vehicle's system.

    Raises UnfitError where nothing feeds it; UnknownError where a converter stands between it and a system of more than
    12 V and nobody says what that gives.
    """
    owner = case.layout.network.owners[user.post_of(case, node)]
    if isinstance(owner, Battery) and (pair := _in_series(case, owner)):
        return pair
    field = "output_voltage" if isinstance(owner, Charger) else "nominal"
    own = getattr(owner, field, None)
    if isinstance(own, Quantity):
        return _nominal(own.high)
    system = nominal_system(case, node)
    if system > _PLAIN and (isinstance(owner, Charger) or _behind_charger(case, owner)):
        raise UnknownError((*owner.path, field))
    return system


def _in_series(case: Case, upper: Battery) -> float | None:
    """Return the nominal voltage in V of a battery and those below it in series, None where it stands alone or one of them
    does not state its own."""
    below = dict(case.layout.network.series.values())
    chain: list[str] = [upper.name]
    while (lower := below.get(chain[-1])) and lower not in chain:
        chain.append(lower)
    own = [getattr(case.nodes[name], "nominal", None) for name in chain]
    volts = [one.high for one in own if isinstance(one, Quantity)]
    return sum(_nominal(one) for one in volts) if len(chain) == len(volts) > 1 else None


def nominal_system(case: Case, node: Node) -> float:
    """Return the nominal voltage in V of the vehicle's system: 12 V also where the plan states what it has while charged."""
    return _nominal(device.system(case, node))


def _nominal(volts: float) -> float:
    """Return the multiple of 12 V nearest to a voltage; a voltage of less than one battery is left as it is."""
    return _PLAIN * round(volts / _PLAIN) if volts > _PLAIN / 2 else volts


def _behind_charger(case: Case, owner: Node) -> bool:
    """Say whether a charger feeds the battery."""
    net = case.layout.network.net_of.get(f"{owner.name}.positive")
    outputs = (one.vertex for one in case.layout.sources if isinstance(one.node, Charger))
    return isinstance(owner, Battery) and any(
        at.endswith(".output") and case.layout.network.net_of[at] is net for at in outputs
    )


def charging_voltage(case: Case, node: Node) -> float:
    """Return the voltage in V to which what feeds a user rises while it is charged: 14.4 V for each 12 V."""
    return bus_voltage(case, node) * convention("rating_voltage") / _PLAIN


def taps_half(case: Case, node: Node) -> bool:
    """Say whether a user takes its current from the lower alone of two batteries in series."""
    owner = case.layout.network.owners[user.post_of(case, node)]
    return owner.name in {lower for _, lower in case.layout.network.series.values()}
