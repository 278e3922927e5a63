"""What a rule may ask about the ground leads at a point: what they bear, and whether cable takes it home."""

from __future__ import annotations

from itertools import combinations

from planlint.facts import charge, user, wire, wiring
from planlint.facts.case import Case
from planlint.facts.conductor import stated
from planlint.facts.plain import factory
from planlint.graph.link import LinkKind, Vertex
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.ways import home_of
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node
from planlint.plan.runs import GroundPoint

# A wire between two of these grounds no part: it straps the body, or grounds the vehicle's own battery.
_BODY_KINDS = frozenset({"ground-point", "body-bond", "battery", "alternator"})


def added_wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the added wires that end at the node."""
    found = case.once("added wires", lambda: _added_wires(case))
    return found.get(node.name, ())


def _added_wires(case: Case) -> dict[str, tuple[Wire, ...]]:
    found: dict[str, tuple[Wire, ...]] = {}
    for one in sorted(case.plan.wires, key=lambda wire: wire.name):
        if not factory(case, one):
            for name in {end.node for end in one.ends}:
                found[name] = (*found.get(name, ()), one)
    return found


def ground_leads(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the added ground wires at the node that ground a part or an added battery; straps of the body are none."""
    return tuple(one for one in added_wires(case, node) if _is_lead(case, one))


def _is_lead(case: Case, one: Wire) -> bool:
    if case.layout.words.get(one.name) != "ground":
        return False
    nodes = [case.nodes[end.node] for end in one.ends]
    return any(n.kind not in _BODY_KINDS or (isinstance(n, Battery) and n.role == "added") for n in nodes)


def lug_count(case: Case, node: Node) -> int:
    """Return how many lugs lie on the stud: of the wires that end there; on a bar or block, which has other screws too,
    those that it lists."""
    listed = set(getattr(node, "lugs", ()))
    if _has_screws(node):
        if not listed:
            raise UnknownError((*node.path, "lugs"))
        return len(listed)
    return len(listed | {one.name for one in case.plan.wires if node.name in (one.from_.node, one.to.node)})


def ground_current(case: Case, node: Node) -> float:
    """Return the design current in A that added wires bring to the point or take from it to a battery, the larger."""
    return case.once(("ground current", node.name), lambda: _ground_current(case, node))


def _ground_current(case: Case, node: Node) -> float:
    mine = ground_leads(case, node)
    home = [one for one in mine if any(isinstance(case.nodes[end.node], Battery) for end in one.ends)]
    brought = sum([wire.current(case, one) for one in mine if one not in home], 0.0)
    return max(brought, sum([wire.current(case, one) for one in home], 0.0))


def stacked_wires(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the two added wires on the node that bear the most current of different devices."""
    return _stacked(case, node)[1]


def stacked_current(case: Case, node: Node) -> float:
    """Return the current in A that two added wires on the node both bear, each for other devices."""
    return _stacked(case, node)[0]


def _stacked(case: Case, node: Node) -> tuple[float, tuple[Wire, Wire]]:
    leads = sorted(_on_stud(case, node), key=lambda lead: lead.name)
    if len(leads) < 2:
        raise UnfitError
    served = wiring.users_by_wire(case)
    found: list[tuple[float, tuple[Wire, Wire]]] = []
    for one, other in combinations(leads, 2):
        mine, others = served.get(one.name, frozenset()), served.get(other.name, frozenset())
        if mine and others and not mine & others:
            found.append((min(wire.current(case, one), wire.current(case, other)), (one, other)))
    if not found:
        raise UnfitError
    # Currents that differ by rounding are alike.
    return max(found, key=lambda pair: (round(pair[0], 9), pair[1][0].name, pair[1][1].name))


def _on_stud(case: Case, node: Node) -> tuple[Wire, ...]:
    """Return the leads whose lugs lie on the stud: all at a point, on a bar or block those that it lists."""
    found = ground_leads(case, node)
    return tuple(one for one in found if one.name in getattr(node, "lugs", ())) if _has_screws(node) else found


def _has_screws(node: Node) -> bool:
    """Say whether the node is a bar or block, which has other screws beside its stud."""
    return node.kind == "bus" or getattr(node, "member", None) == "ground-block"


def thickest_cable(case: Case, node: Node) -> float:
    """Return the conductor area in m2 of the thickest added wire at the node."""
    areas = [stated(one.gauge, (*one.path, "gauge")).high for one in added_wires(case, node)]
    if not areas:
        raise UnfitError
    return max(areas)


def cabled_home(case: Case, node: Node) -> bool:
    """Say whether the current that comes to the node has a cable all the way to its battery."""
    found = ground_leads(case, node)
    return bool(found) and all(_cabled(case, one) for one in found) and _charged_by_cable(case, found[0])


def _charged_by_cable(case: Case, one: Wire) -> bool:
    """Say whether what charges the batteries grounded where the wire is has a cable home to the battery that gives it."""
    network = case.layout.network
    run = _cable_runs(case).get(network.ends[one.name][0], frozenset())
    here = [link for name, link in charge.links(case).items() if charge.home(case, case.nodes[name]) in run]
    return all(home_of(network, link.giver) in run for link in here)


def to_body(case: Case, one: Wire) -> bool:
    """Say whether the wire leads a part's current to the body, from which no cable takes it home to the battery."""
    ends = [case.nodes[end.node] for end in one.ends]
    if all(node.kind in _BODY_KINDS for node in ends):
        return False
    run = _cable_runs(case).get(case.layout.network.ends[one.name][0], frozenset())
    return _touches(case, run, Role.BODY) and not _cabled(case, one)


def _touches(case: Case, run: frozenset[Vertex], role: Role) -> bool:
    """Say whether a run leads to a terminal of a role; a run is one object for all that it joins, and is asked once."""
    roles = case.layout.network.roles
    return case.once(("run touches", role, id(run)), lambda: any(role in roles.get(at, ()) for at in run))


def _cabled(case: Case, one: Wire) -> bool:
    """Say whether a wire reaches by cable alone the battery whose current it bears; of no user's current, any battery."""
    network = case.layout.network
    run = _cable_runs(case).get(network.ends[one.name][0], frozenset())
    names = sorted(wiring.users_by_wire(case).get(one.name, ()))
    if not names:
        return _touches(case, run, Role.NEGATIVE)
    return all(home_of(network, user.post_of(case, case.nodes[name])) in run for name in names)


def home_sections(case: Case, node: Node) -> set[str]:
    """Return the sections of the body in which the batteries are grounded whose current comes to the node by the body."""
    found: set[str] = set()
    for home in sorted(_homes_by_body(case, node)):
        owner = case.layout.network.owners.get(home)
        points = [case.nodes[at.partition(".")[0]] for at in _cable_runs(case).get(home, ())]
        sections = {n.section for n in points if isinstance(n, GroundPoint) and isinstance(n.section, str)}
        makers = isinstance(owner, Battery) and owner.role != "added"
        found |= sections | ({"main"} if makers or not sections else set())
    return found or {"main"}


def _homes_by_body(case: Case, node: Node) -> set[Vertex]:
    """Return where the current that leads bring to the node comes home, but for what a cable takes there."""
    network, found = case.layout.network, set[Vertex]()
    for one in ground_leads(case, node):
        run = _cable_runs(case).get(network.ends[one.name][0], frozenset())
        names = wiring.users_by_wire(case).get(one.name, ())
        homes = {home_of(network, user.post_of(case, case.nodes[name])) for name in names}
        charged = (link for name, link in charge.links(case).items() if charge.home(case, case.nodes[name]) in run)
        found |= {home for home in (*homes, *(home_of(network, link.giver) for link in charged)) if home not in run}
    return found


def _cable_runs(case: Case) -> dict[Vertex, frozenset[Vertex]]:
    """Return for each vertex all that cable, fuses and contacts join to it, without the body."""
    return case.once("cable runs", lambda: _find_runs(case))


def _find_runs(case: Case) -> dict[Vertex, frozenset[Vertex]]:
    adjacent = case.layout.network.adjacent
    found: dict[Vertex, frozenset[Vertex]] = {}
    for start in adjacent:
        if start in found:
            continue
        run = [start]
        seen = {start}
        for at in run:
            for other, link in adjacent[at]:
                if other not in seen and link.kind not in (LinkKind.GROUND_JOINT, LinkKind.BODY):
                    seen.add(other)
                    run.append(other)
        found.update(dict.fromkeys(run, frozenset(run)))
    return found


def far_end(case: Case, node: Node) -> str:
    """Return the other end of the first ground wire at the point, as a wire's end is written."""
    for one in ground_leads(case, node):
        for end in one.ends:
            if end.node != node.name:
                return f"{end.node}.{end.terminal}"
    raise UnfitError


def chained_through(case: Case, one: Wire) -> Node | None:
    """Return the part through whose ground terminal another part is grounded by the wire, None where it is through none.

    A capacitor is none: it belongs at the terminals of the part that it serves.
    """
    network = case.layout.network
    ends = network.ends[one.name]
    nodes = [case.nodes[end.node] for end in one.ends]
    if nodes[0] is nodes[1] or any(node.kind == "capacitor" for node in nodes):
        return None
    if any(Role.RETURN not in network.roles.get(at, ()) for at in ends):
        return None
    served = wiring.users_by_wire(case).get(one.name, frozenset())
    return next((node for node in nodes if node.name not in served), nodes[1])


def return_beside(case: Case, one: Wire) -> str:
    """Return the ground terminal of another part that is grounded where the wire is, as a wire's end is written."""
    roles, mine = case.layout.network.roles, case.layout.network.ends[one.name]
    for at in mine:
        for other in case.layout.wires_at(at):
            for end, far in zip(other.ends, case.layout.network.ends[other.name], strict=True):
                if far not in mine and Role.RETURN in roles.get(far, ()):
                    return f"{end.node}.{end.terminal}"
    raise UnfitError
