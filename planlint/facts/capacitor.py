"""What a rule may ask about a stiffening capacitor: how it is charged at first, what it bears, how far it stands."""

from __future__ import annotations

import math

from planlint.facts import bus, conductor, standing
from planlint.facts.case import Case
from planlint.graph.flow import feed
from planlint.graph.link import Link
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp
from planlint.plan.nodes import Capacitor, Node
from planlint.plan.quantity import Quantity
from planlint.plan.values import NotApplicable
from planlint.plan.work import Step


def precharged(case: Case, node: Node) -> bool:
    """Say whether a step of the work charges a capacitor before a fuse joins it to the battery.

    Raises UnknownError where the plan tells of no steps, UnfitError where it says that the capacitor needs none.
    """
    if not isinstance(node, Capacitor) or isinstance(node.precharge, NotApplicable):
        raise UnfitError
    steps = _steps(case)
    at = [index for index, step in enumerate(steps) if node.precharge and node.precharge in (step.name, step.do)]
    joins = [index for index, step in enumerate(steps) if _joins(case, step, node)]
    return bool(at) and all(at[0] < index for index in joins)


def _steps(case: Case) -> tuple[Step, ...]:
    if case.plan.steps is None:
        raise UnknownError(("steps",))
    return case.plan.steps


def _joins(case: Case, step: Step, node: Node) -> bool:
    """Say whether a step puts in a fuse before the capacitor, or the first power on it; one that names no part means all."""
    if step.do not in ("insert-fuse", "first-power"):
        return False
    mine = {node.name, *(device.node.name for device in standing.feeding_fuses(case, node))}
    return not step.of or not mine.isdisjoint(step.of)


def discharged(case: Case, node: Node) -> bool:
    """Say whether a step of the work empties or parts the capacitor (`isolate-other`, of it)."""
    return any(step.do == "isolate-other" and node.name in step.of for step in _steps(case))


def tells_steps(case: Case, _node: Node) -> bool:
    """Say whether the plan lays down the steps of the work."""
    return case.plan.steps is not None


def repairs(case: Case, _node: Node) -> bool:
    """Say whether the job is a repair of a system that is there already."""
    return case.plan.about.task == "repair"


def voltage_across(case: Case, node: Node) -> float:
    """Return the nominal voltage in V of the supply that a capacitor stands across; of one that is not wired that of the
    vehicle's system."""
    try:
        return bus.bus_voltage(case, node)
    except UnfitError:
        return bus.nominal_system(case, node)


def cable_to_amp(case: Case, node: Node) -> float:
    """Return the cable in m from a capacitor to the supply terminal of the nearest amplifier.

    Raises UnfitError where no amplifier is joined to it, UnknownError where a length on the way is not stated.
    """
    here, start = case.layout.network, f"{node.name}.positive"
    amps = [at for at, user in here.users.items() if isinstance(user, Amp)]
    if not isinstance(node, Capacitor) or start not in here.adjacent:
        raise UnfitError
    ways = feed(here.adjacent, [start], _metres)
    found = [[link for link in ways.way(at) if link.wire] for at in sorted(amps) if at in ways.post]
    if not found:
        raise UnfitError
    nearest = min(found, key=lambda links: sum([_metres(link) for link in links]))
    return sum([conductor.length(link.wire) for link in nearest if link.wire])


def _metres(link: Link) -> float:
    """Return the cable in a link in m; farther than any other where its length is not stated."""
    if link.wire is None:
        return 0.0
    return link.wire.length.high if isinstance(link.wire.length, Quantity) else math.inf
