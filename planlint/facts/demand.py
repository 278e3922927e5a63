"""What each user of current takes at full power."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.graph.design import Demand
from planlint.graph.network import Network
from planlint.graph.unknown import UnknownError
from planlint.graph.users import ground_vertex, power_vertex
from planlint.plan.audio import Amp, Output
from planlint.plan.nodes import Capacitor, Charger, Node
from planlint.plan.quantity import Quantity
from planlint.plan.values import NotApplicable
from planlint.trade.amplifiers import design_current, efficiency_assumption
from planlint.trade.assumptions import convention


def demands(case: Case, network: Network) -> tuple[Demand, ...]:
    """Return the demand of every user; one that cannot be computed names the field it lacks."""
    return tuple(_demand(case, network, node) for node in network.users.values())


def _demand(case: Case, network: Network, node: Node) -> Demand:
    power, ground = power_vertex(node), ground_vertex(node)
    assert power
    wired = ground if ground in network.wires_at else None
    try:
        amps, missing = user_current(case, node), None
    except UnknownError as error:
        amps, missing = None, error.path
    return Demand(name=node.name, power=power, ground=wired, amps=amps, missing=missing)


def user_current(case: Case, node: Node) -> float:
    """Return the design current of a user in A. Raises UnknownError naming what is missing."""
    return case.once(("current of", node.name), lambda: _user_current(case, node))


def _user_current(case: Case, node: Node) -> float:
    if isinstance(node, Amp):
        return _amp_current(case, node)
    if isinstance(node, Capacitor):
        return 0.0
    if isinstance(node, Charger):
        return stated(node.input_limit, (*node.path, "input_limit")).high
    supply = getattr(node, "supply", None)
    return stated(supply, (*node.path, "supply")).high


def _amp_current(case: Case, amp: Amp) -> float:
    """Return P / (efficiency x voltage) summed over the outputs, at most the sum of the fuses on board, in A.

    A current that the maker states or somebody measured stands in its place, any other that is stated where it is more.
    """
    total = _stated_current(case, amp) if isinstance(amp.supply, Quantity) else _reckoned_current(case, amp)
    on_board = board_fuses(amp)
    return total if on_board is None else min(total, on_board)


def _stated_current(case: Case, amp: Amp) -> float:
    told = stated(amp.supply, (*amp.path, "supply")).high
    if is_sure(amp):
        return told
    try:
        return max(told, _reckoned_current(case, amp))
    except UnknownError:
        return told


def is_sure(amp: Amp) -> bool:
    """Say whether the supply current that is stated of an amplifier is the maker's figure or measured."""
    return isinstance(amp.supply, Quantity) and amp.supply.basis in ("maker", "measured")


def _reckoned_current(case: Case, amp: Amp) -> float:
    if not amp.outputs:
        raise UnknownError((*amp.path, "outputs"))
    volts = design_voltage(case)
    if not isinstance(amp.class_, str):
        raise UnknownError((*amp.path, "class"))
    outputs = sorted(amp.outputs, key=lambda output: output.name)
    return sum(design_current(output_power(amp, one), efficiency(case, amp, one), volts) for one in outputs)


def design_voltage(case: Case) -> float:
    """Return the voltage in V of the running system under load: 13.8 V on a 12 V system, in proportion on another.

    Raises UnknownError where the system is not stated: nobody can tell 12 V from 24 V.
    """
    system = stated(case.plan.vehicle.system, ("vehicle", "system"))
    return convention("design_voltage") * system.low / 12.0


def output_power(amp: Amp, output: Output) -> float:
    """Return the power of all channels of an output in W."""
    channels = output.channels if isinstance(output.channels, int) else 1
    return channels * stated(output.power, (*output.path, "power")).high


def efficiency(case: Case, amp: Amp, output: Output) -> float:
    """Return the share of supply power that an output delivers at full power, by the amplifier's class."""
    return convention(efficiency_name(amp, output))


def efficiency_name(amp: Amp, output: Output) -> str:
    """Return under which name the trade's efficiency of an output stands, by class and by whether it plays bass alone."""
    if not isinstance(amp.class_, str):
        raise UnknownError((*amp.path, "class"))
    name = efficiency_assumption(amp.class_, _mono(amp, output))
    if name is None:
        raise UnknownError((*amp.path, "supply"))
    return name


def _mono(amp: Amp, output: Output) -> bool:
    """Say whether an output is a bass channel: stated, or the only channel of its amplifier."""
    if isinstance(output.band, str):
        return output.band == "bass"
    return len(amp.outputs) == 1 and output.channels in (None, 1)


def board_fuses(amp: Amp) -> float | None:
    """Return the sum of an amplifier's own fuses in A, None where one is not stated."""
    if amp.fuses is None or isinstance(amp.fuses, NotApplicable):
        return None
    ratings = [fuse.high for fuse in amp.fuses if isinstance(fuse, Quantity)]
    return sum(ratings) if ratings and len(ratings) == len(amp.fuses) else None
