"""What a rule may ask about a switch: what of the vehicle maker's own it parts from the battery."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.graph.link import BODY_HUB, LinkKind, Vertex
from planlint.graph.users import power_vertex
from planlint.plan.kinds import Role
from planlint.plan.nodes import Alternator, Battery, Node
from planlint.plan.runs import Switch

_Joined = frozenset[Vertex]


def cut_off(case: Case, switch: Node) -> str | None:
    """Return what of the vehicle's own the open switch parts from every battery: alternators, the maker's users of current
    and cables, or the whole body where it stands between the negative post and that; None for nothing."""
    return case.once(("cut off", switch.name), lambda: _cut_off(case, switch))


def _cut_off(case: Case, switch: Node) -> str | None:
    here = case.layout.network
    link = here.links.get(f"{LinkKind.CONTACT} {switch.name}")
    if link is None:
        return None
    if isinstance(switch, Switch) and switch.pole == "negative" and _grounds_battery(case, link.ends):
        return "the whole vehicle"
    posts = [f"{one.name}.positive" for one in case.plan.nodes if isinstance(one, Battery)]
    kept, lost = _reached(case, posts, link.key), _reached(case, posts, "")
    parted = {here.owners[at].name for at in lost - kept if at in here.owners and _is_makers(case, at)}
    return " and ".join(sorted(parted - {switch.name})) or None


def _reached(case: Case, posts: list[Vertex], without: str) -> _Joined:
    """Return all that cable, fuses and closed contacts join to the batteries' positive posts."""
    adjacent, seen = case.layout.network.adjacent, set(posts)
    front = list(posts)
    for at in front:
        for other, link in adjacent.get(at, ()):
            if other not in seen and link.key != without and link.kind not in (LinkKind.GROUND_JOINT, LinkKind.BODY):
                seen.add(other)
                front.append(other)
    return frozenset(seen)


def _is_makers(case: Case, at: Vertex) -> bool:
    """Say whether a terminal is an alternator's output, the supply of a part of the maker's, or an end of his cable."""
    here = case.layout.network
    node = here.owners[at]
    if isinstance(node, Alternator) or (node.factory is True and power_vertex(node) == at):
        return True
    return any(one.name in here.makers for one in here.wires_at.get(at, ()))


def _grounds_battery(case: Case, ends: tuple[Vertex, Vertex]) -> bool:
    """Say whether cable joins one side of a contact to the negative post of the vehicle's own battery, the other to the
    body."""
    sides = [_by_cable(case, at) for at in ends]
    roles, owners = case.layout.network.roles, case.layout.network.owners

    def own_post(at: Vertex) -> bool:
        owner = owners.get(at)
        return Role.NEGATIVE in roles.get(at, ()) and isinstance(owner, Battery) and owner.role != "added"

    posts = [any(own_post(at) for at in side) for side in sides]
    bodies = [any(Role.BODY in roles.get(at, ()) for at in side) for side in sides]
    return (posts[0] and bodies[1]) or (posts[1] and bodies[0])


def _by_cable(case: Case, start: Vertex) -> list[Vertex]:
    found = [start]
    for at in found:
        for other, link in case.layout.network.adjacent.get(at, ()):
            if link.kind is LinkKind.WIRE and other not in found and other != BODY_HUB:
                found.append(other)
    return found
