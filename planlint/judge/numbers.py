"""The numbers of a plan for a table: currents and voltages in each scenario, short circuits and what they do to wires."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planlint.facts import opening, protection, scenario, short, user
from planlint.facts.case import Case
from planlint.facts.scenario import Scenario, State
from planlint.frozen import frozen
from planlint.graph.link import Vertex, wire_key
from planlint.graph.nodal import Solution
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.ways import home_of
from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.plan.quantity import Dimension, Quantity, show_quantity
from planlint.trade.clearing import Clearing

# Wires that carry the supply's current.
_POWER = ("supply", "charge", "ground", "turn-on")


@frozen
class Number:
    """A number in SI; where it is None, `needs` is what the plan would have to state, '' where the question does not fit."""

    dimension: Dimension
    value: float | None = None
    needs: str = ""


@frozen
class DeviceRow:
    """A user of current in one scenario: amps, volts at its terminals, volts lost on the way there and back."""

    name: str
    current: Number
    volts: Number
    there: Number
    back: Number
    off: bool = False


@frozen
class ScenarioTable:
    """A scenario: its devices, or why it has no solution (`falling` are the devices whose voltage collapses).

    `batteries_alone` says that the engine runs and nothing is known of the alternator: it is left out with what the vehicle
    draws.
    """

    words: str
    devices: tuple[DeviceRow, ...] = ()
    needs: str = ""
    falling: tuple[str, ...] = ()
    batteries_alone: bool = False


@frozen
class ShortRow:
    """A short circuit along a wire: what it draws at the near and at the far end, the current between at which the wire is
    worst off, the fuse that has to open then, how long that may take, how long the wire withstands it; `origin` says where
    opening times come from."""

    near: Number
    far: Number
    worst: Number
    fuse: str
    opens: Number
    withstands: Number
    origin: str


@frozen
class WireRow:
    """A wire: its size as the plan states it, its current in each scenario, what can flow in before a fuse opens."""

    name: str
    size: str
    currents: tuple[Number, ...]
    protecting: Number
    short: ShortRow | None


@frozen
class Numbers:
    """The numbers of a plan; `wires` have a current for each of `scenarios`, in their order."""

    scenarios: tuple[ScenarioTable, ...]
    wires: tuple[WireRow, ...]


def numbers_of(case: Case) -> Numbers:
    """Return the numbers of a plan. What is not stated leaves a number open and is named there."""
    states = {one: _state(case, one) for one in Scenario}
    wires = (one for one in case.plan.wires if case.layout.words.get(one.name) in _POWER)
    rows = (_wire(case, one, tuple(states.values())) for one in wires)
    return Numbers(
        scenarios=tuple(_scenario(case, one, found) for one, found in states.items()),
        wires=tuple(row for row in rows if any(one != _NOTHING for one in (*row.currents, row.protecting))),
    )


# A turn-on lead of which nothing is reckoned is left out.
_NOTHING = Number(dimension=Dimension.CURRENT)


def _state(case: Case, one: Scenario) -> State | str:
    try:
        return scenario.state(case, one)
    except UnknownError as error:
        return error.needs


def _scenario(case: Case, one: Scenario, found: State | str) -> ScenarioTable:
    if isinstance(found, str):
        return ScenarioTable(words=one.words, needs=found)
    alone = one.running and not scenario.alternator_known(case)
    if found.solution is None:
        return ScenarioTable(words=one.words, falling=found.falling, batteries_alone=alone)
    drawn = [draw for draw in found.circuit.draws if draw.key in case.nodes]
    devices = tuple(_device(case, case.nodes[draw.key], draw.ends, found.solution) for draw in drawn)
    return ScenarioTable(words=one.words, devices=devices, batteries_alone=alone)


def _device(case: Case, node: Node, ends: tuple[Vertex, Vertex], solution: Solution) -> DeviceRow:
    def lost(first: Vertex, second: Vertex) -> float:
        if solution.islands.get(first) is None or solution.islands.get(first) != solution.islands.get(second):
            raise UnfitError
        return solution.volts[first] - solution.volts[second]

    def home() -> Vertex:
        return home_of(case.layout.network, user.post_of(case, node))

    return DeviceRow(
        name=node.name,
        current=Number(dimension=Dimension.CURRENT, value=solution.taken[node.name]),
        volts=_number(Dimension.VOLTAGE, lambda: lost(*ends)),
        there=_number(Dimension.VOLTAGE, lambda: lost(user.post_of(case, node), ends[0])),
        back=_number(Dimension.VOLTAGE, lambda: lost(ends[1], home())),
        off=node.name in solution.off,
    )


def _number(dimension: Dimension, ask: Callable[[], float]) -> Number:
    try:
        return Number(dimension=dimension, value=ask())
    except UnknownError as error:
        return Number(dimension=dimension, needs=error.needs)
    except UnfitError:
        return Number(dimension=dimension)


def _wire(case: Case, one: Wire, states: tuple[State | str, ...]) -> WireRow:
    return WireRow(
        name=one.name,
        size=show_quantity(one.gauge) if isinstance(one.gauge, Quantity) else "",
        currents=tuple(_current(one, found) for found in states),
        protecting=_number(Dimension.CURRENT, lambda: protection.protecting_rating(case, one)),
        short=_short(case, one) if case.layout.words[one.name] in ("supply", "charge") else None,
    )


def _current(one: Wire, found: State | str) -> Number:
    if isinstance(found, str):
        return Number(dimension=Dimension.CURRENT, needs=found)
    amps = found.solution.current.get(wire_key(one.name)) if found.solution else None
    return Number(dimension=Dimension.CURRENT, value=None if amps is None else abs(amps))


def _short(case: Case, one: Wire) -> ShortRow:
    def ends(pick: Callable[[Sequence[float]], float]) -> Number:
        return _number(Dimension.CURRENT, lambda: max(pick(pair) for pair in short.at_ends(case, one)))

    def worst(dimension: Dimension, pick: Callable[[Clearing], float]) -> Number:
        return _number(dimension, lambda: pick(opening.worst_clearing_of(case, one)[1]))

    try:
        fuse, origin = opening.worst_clearing_of(case, one)[0].fuse.name, opening.band_origin(case, one)
    except (UnknownError, UnfitError):
        fuse, origin = "", ""
    return ShortRow(
        near=ends(max),
        far=ends(min),
        worst=worst(Dimension.CURRENT, lambda it: it.current),
        fuse=fuse,
        opens=worst(Dimension.TIME, lambda it: it.opens),
        withstands=worst(Dimension.TIME, lambda it: it.withstands.seconds),
        origin=origin,
    )
