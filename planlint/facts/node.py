"""What a rule may ask about any node."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

from planlint.facts import turn_on, wiring
from planlint.facts.case import Case
from planlint.facts.channel import Channel, State, channels
from planlint.facts.speaker_coils import islands, net
from planlint.graph.link import Vertex
from planlint.graph.network import vertex
from planlint.graph.users import power_vertex
from planlint.plan.audio import Amp, Converter, Speaker
from planlint.plan.kinds import KINDS
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node
from planlint.plan.runs import BodyBond
from planlint.text.series import one_after_another

_OTHER = re.compile("(?:positive|negative)$")


def open_terminals(case: Case, node: Node) -> str | None:
    """Return the terminals that should be wired and are not, None where all are; `any terminal` where none is."""
    wired = case.layout.wired
    if node.name not in wired:
        return "any terminal" if KINDS[node.kind].terminals and not _needs_no_wire(node) else None
    missing = [name for name in _required(case, node) if vertex(node, name) not in wired[node.name]]
    if isinstance(node, Speaker):
        missing += _half_wired(node, wired[node.name])
    if isinstance(node, Amp):
        missing += _half_wired_outputs(case, node)
    return one_after_another([f"`{name}`" for name in missing]) or None


def _needs_no_wire(node: Node) -> bool:
    """Say whether a part is whole without a wire, as a strap is that says what it joins."""
    return isinstance(node, BodyBond) and bool(node.joins)


def _half_wired(node: Node, wired: set[Vertex]) -> list[str]:
    """Return the poles of a speaker's coils or an amplifier's outputs of which only the other one is wired."""
    poles = [at.removeprefix(f"{node.name}.") for at in sorted(wired)]
    return [other for other in _other_poles(poles) if other not in poles]


def _other_poles(poles: Iterable[str]) -> list[str]:
    return [_OTHER.sub(lambda match: "negative" if match[0] == "positive" else "positive", pole) for pole in poles]


def _half_wired_outputs(case: Case, amp: Amp) -> list[str]:
    """Return the poles of an amplifier's outputs of which only the other one is wired, and led to a speaker both ends of
    which are: where one of these is not, that is told of the speaker."""
    found: list[str] = []
    if not _half_wired(amp, case.layout.wired[amp.name]):
        return found
    for channel in channels(case):
        if channel.amp is not amp or channel.state is not State.OPEN or channel.poles is not None:
            continue
        hung = [one for one in case.plan.nodes if isinstance(one, Speaker) and _hangs(case, one, channel)]
        if hung and not any(_half_wired(one, case.layout.wired[one.name]) for one in hung):
            found += _other_poles([at.removeprefix(f"{amp.name}.") for at in channel.ends[:1]])
    return found


def _hangs(case: Case, speaker: Speaker, channel: Channel) -> bool:
    here = islands(case)
    nets = {other for at in channel.ends for other in here.get(net(case, at), {net(case, at)})}
    return any(net(case, at) in nets for at in case.layout.wired.get(speaker.name, ()))


def _required(case: Case, node: Node) -> tuple[str, ...]:
    """Return the terminals that must be wired; the vehicle maker grounds the main battery, and nobody an added one. A
    converter that works without a supply needs none."""
    if isinstance(node, Converter) and node.type == "passive":
        return ()
    added = isinstance(node, Battery) and node.role == "added"
    return (*KINDS[node.kind].required, *(("negative",) if added else ()))


def fed(case: Case, node: Node) -> bool:
    """Say whether a source of the plan reaches the node's supply terminal, on either side of a changeover relay; true of
    nodes that have none, or none wired."""
    here = case.layout.network
    power = power_vertex(node)
    if power is None or power not in here.wires_at or power not in here.net_of:
        return True
    return here.net_of[power] in case.layout.fed_nets or power in turn_on.reached(case)


def dead_ends(case: Case, node: Node) -> tuple[Node, ...]:
    """Return the parts at whose unwired terminal the supply of a node ends that nothing feeds, or that themselves get none
    and would pass it on."""
    here, power = case.layout.network, power_vertex(node)
    if power is None or fed(case, node):
        return ()
    around = here.net_of[power].vertices
    beside = {owner.name: owner for at in around if (owner := here.owners[at]) is not node}
    return tuple(
        one for _, one in sorted(beside.items()) if open_terminals(case, one) or _passes_none(case, one, around)
    )


def _passes_none(case: Case, node: Node, around: Collection[Vertex]) -> bool:
    """Say whether nothing feeds a node, which takes its supply from elsewhere."""
    return power_vertex(node) not in around and not fed(case, node)


def wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the wires that end at the node."""
    return case.once("wires by node", lambda: _wires_by_node(case)).get(node.name, ())


def _wires_by_node(case: Case) -> dict[str, tuple[Wire, ...]]:
    found: dict[str, list[Wire]] = {}
    for wire in case.plan.wires:
        for name in dict.fromkeys(end.node for end in wire.ends):
            found.setdefault(name, []).append(wire)
    return {name: tuple(wires) for name, wires in found.items()}


def ungrounded_users(case: Case, node: Node) -> tuple[Node, ...]:
    """Return, of a ground point or bar at which no wire ends, the users of current from which no wire leads home; of a
    battery with nothing at its negative post, those of them that it feeds."""
    if isinstance(node, Battery) and vertex(node, "negative") not in case.layout.wired.get(node.name, ()):
        return tuple(user for user, post in _lacking(case) if post == vertex(node, "positive"))
    if node.kind not in ("ground-point", "bus") or wires(case, node):
        return ()
    return tuple(user for user, _ in _lacking(case))


def _lacking(case: Case) -> tuple[tuple[Node, Vertex | None], ...]:
    """Return the users of current from which no wire leads home, each with the post that feeds it."""
    return case.once("users without a way home", lambda: _without_way_home(case))


def _without_way_home(case: Case) -> tuple[tuple[Node, Vertex | None], ...]:
    feeding = wiring.supply(case).ways.feeding.post
    lacking = [one for one in wiring.all_demands(case) if not wiring.leads_home(case, one)]
    return tuple((case.nodes[one.name], feeding.get(one.power)) for one in sorted(lacking, key=lambda one: one.name))


def wire_count(case: Case, node: Node) -> int:
    """Return how many wires end at the node."""
    return len(wires(case, node))
