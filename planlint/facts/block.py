"""What a rule may ask about a distribution block and its ports, about bars and contacts, and about what holds them."""

from __future__ import annotations

from collections import Counter

from planlint.facts import device, wire
from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.graph.link import LinkKind
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import End, Wire
from planlint.plan.nodes import Node
from planlint.plan.runs import Distribution
from planlint.plan.work import Mount

# What is screwed down stays; a strap or hook-and-loop tape does not count.
_SCREWED = ("nut-insert", "through-bolt", "sheet-screw", "bracket")


def current(case: Case, node: Node) -> float:
    """Return the design current in A through the contacts of a switch, isolator or relay, or in all through a
    distribution block.

    Raises UnfitError where no user of current and no planned transfer lies beyond it, as in a turn-on lead.
    """
    if isinstance(node, Distribution):
        return case.once(("block current", node.name), lambda: _block_current(case, node))
    link = case.layout.network.links.get(f"{LinkKind.CONTACT} {node.name}")
    if link is None:
        raise UnfitError
    return device.through(case, link)


def _block_current(case: Case, block: Distribution) -> float:
    """Return the larger of what the wires at its inputs and those at its outputs carry together in A."""
    sums = {"in": 0.0, "out": 0.0}
    for one in case.plan.wires:
        for end in one.ends:
            if end.node == block.name and one.name in case.layout.words:
                sums["in" if end.terminal.startswith("in") else "out"] += wire.current(case, one)
    return max(sums.values())


def holds_fuses(case: Case, node: Node) -> bool:
    """Say whether the node is a fuse or breaker, or a block with a fuse in one of its outputs."""
    return any(one.node is node for one in case.layout.network.devices)


def held_by(case: Case, node: Node) -> Mount | None:
    """Return the mount that holds the node, None where none does. Raises UnknownError where the plan tells of no mounts."""
    if case.plan.mounts is None:
        raise UnknownError(("mounts",))
    return next((mount for mount in case.plan.mounts if node.name in mount.holds), None)


def screws(case: Case, node: Node) -> int:
    """Return by how many screws, bolts or brackets the mount is fixed that holds the node."""
    mount = held_by(case, node)
    if mount is None:
        return 0
    fasteners = mount.fasteners
    if fasteners is None or fasteners.type is None:
        raise UnknownError((*mount.path, "fasteners", "type") if fasteners else (*mount.path, "fasteners"))
    if fasteners.type not in _SCREWED:
        return 0
    if not isinstance(fasteners.amount, int):
        raise UnknownError((*mount.path, "fasteners", "amount"))
    return fasteners.amount


def port(case: Case, wire: Wire) -> str | None:
    """Return the port of a distribution block in which the wire ends, as `block.out-1`, None where it ends in none; of two
    ports the one that it shares with other wires."""
    ends = _ports(case, wire)
    if not ends:
        return None
    return crowded_port(case, wire) or " and ".join(f"{end.node}.{end.terminal}" for end in ends)


def crowded_port(case: Case, wire: Wire) -> str | None:
    """Return the port of a distribution block in which the wire ends with other wires, None where it ends in none."""
    found = [end for end in _ports(case, wire) if _wires_in(case, end) > 1]
    return " and ".join(f"{end.node}.{end.terminal}" for end in found) or None


def _ports(case: Case, wire: Wire) -> list[End]:
    return case.once("ports", lambda: _all_ports(case)).get(wire.name, [])


def _all_ports(case: Case) -> dict[str, list[End]]:
    """Return by wire name the ends that lie in ports of distribution blocks."""
    blocks = {node.name for node in case.plan.nodes if node.kind == "distribution"}
    found = {wire.name: [end for end in wire.ends if end.node in blocks] for wire in case.plan.wires}
    return {name: ends for name, ends in found.items() if ends}


def port_wires(case: Case, wire: Wire) -> int:
    """Return how many wires end in the port of a distribution block in which the wire ends."""
    return max((_wires_in(case, end) for end in _ports(case, wire)), default=0)


def _wires_in(case: Case, end: End) -> int:
    return case.once("wires by port", lambda: _count_ports(case))[end.node, end.terminal]


def _count_ports(case: Case) -> Counter[tuple[str, str]]:
    every = case.once("ports", lambda: _all_ports(case)).values()
    return Counter((end.node, end.terminal) for ends in every for end in ends)


def port_smallest(case: Case, wire: Wire) -> float:
    """Return the area in m2 of the thinnest conductor that the block's port clamps; of two ports the one that asks more."""
    return max(_of_ports(case, wire, "smallest_cable"))


def port_largest(case: Case, wire: Wire) -> float:
    """Return the area in m2 of the thickest conductor that the block's port takes; of two ports the one that takes less."""
    return min(_of_ports(case, wire, "largest_cable"))


def _of_ports(case: Case, wire: Wire, field: str) -> list[float]:
    found = []
    for end in _ports(case, wire):
        block = case.nodes[end.node]
        assert isinstance(block, Distribution)
        output = next((one for one in block.outputs if one.name == end.terminal), None)
        own = output is not None and getattr(output, field) is not None
        found.append(value_of(output if own else block, field, field))
    if not found:
        raise UnfitError
    return found
