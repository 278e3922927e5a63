"""What a rule may ask about a user of current: an amplifier, a converter, a charger, any other load."""

from __future__ import annotations

from planlint.facts import charge, conductor, demand, wiring
from planlint.facts.case import Case
from planlint.graph.design import Demand
from planlint.graph.link import Link, LinkKind
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.ways import home_of
from planlint.plan.model import Wire
from planlint.plan.nodes import Battery, Node


def users(case: Case) -> tuple[Node, ...]:
    """Return the users of current in a plan, and the batteries that another battery charges."""
    return (*case.layout.network.users.values(), *(case.nodes[name] for name in charge.links(case)))


def current(case: Case, user: Node) -> float:
    """Return the design current in A at full power; of a battery that another charges, that of the link."""
    return charge.current(case, user) if isinstance(user, Battery) else demand.user_current(case, user)


def supply_drop(case: Case, user: Node) -> float:
    """Return the volts lost at design currents from the battery's positive post to the user.

    Raises UnknownError for anything on the way that is not stated, UnfitError where no source feeds the user.
    """
    return case.once(("supply drop", user.name), lambda: _supply_drop(case, user))


def _supply_drop(case: Case, user: Node) -> float:
    if isinstance(user, Battery):
        return charge.supply_drop(case, user)
    mine, side = _demand(case, user), wiring.supply(case)
    for link in wiring.user_way(case, mine):
        _know(case, link, side.missing(link.key))
    volts = side.drop(mine.power, lambda link: conductor.link_resistance(case, link))
    if volts is None:
        raise UnfitError
    return volts


def return_drop(case: Case, user: Node) -> float:
    """Return the volts lost at design currents from the user's ground terminal to the battery's negative post.

    Raises UnknownError for anything on the way that is not stated, UnfitError where there is no way back.
    """
    return case.once(("return drop", user.name), lambda: _return_drop(case, user))


def _return_drop(case: Case, user: Node) -> float:
    if isinstance(user, Battery):
        return charge.return_drop(case, user)
    mine = _demand(case, user)
    if not has_return(case, user) or not mine.ground:
        raise UnfitError
    side = wiring.way_back(case, post_of(case, user))
    for link in side.ways.way(mine.ground):
        _know(case, link, side.missing(link.key))
    volts = side.drop(mine.ground, lambda link: conductor.link_resistance(case, link))
    if volts is None:
        raise UnfitError
    return volts


def total_drop(case: Case, user: Node) -> float:
    """Return the volts lost on both legs together."""
    return supply_drop(case, user) + return_drop(case, user)


def has_return(case: Case, user: Node) -> bool:
    """Say whether current has a way by wire and body from the user back to the battery that feeds it."""
    return case.once(("has return", user.name), lambda: _has_return(case, user))


def _has_return(case: Case, user: Node) -> bool:
    ground, post = _ground_of(case, user), post_of(case, user)
    if not ground:
        return False
    ways = case.layout.measured_back(post)
    if ground not in ways.feeding.post:
        return False
    _know_who_grounds(case, post)
    if any(link.kind is LinkKind.BODY for link in ways.way(ground)):
        return _body_conducts(case)
    return True


def ground_island(case: Case, user: Node) -> str | None:
    """Return a name for all that is joined to the user's ground terminal: what lacks a way back there lacks it together.

    Where one wire at the negative post of the battery that feeds it would give both it and that battery their way back,
    it is the post; None where the user has no ground wire.
    """
    network, ground = case.layout.network, _ground_of(case, user)
    net = network.net_of.get(ground) if ground else None
    if net is None:
        return ground
    home = home_of(network, post_of(case, user))
    charged = charge.links(case).get(home.partition(".")[0])
    lone = home not in network.net_of and charged and home_of(network, charged.giver) in net.vertices
    return home if lone else min(net.vertices)


def _body_conducts(case: Case) -> bool:
    """Say whether the body carries current back. Raises UnknownError where only a measurement could tell."""
    vehicle = case.plan.vehicle
    if vehicle.body == "composite" and vehicle.body_resistance is None:
        return False
    conductor.body_resistance(case)
    return True


def post_of(case: Case, user: Node) -> str:
    """Return the post that feeds a user. Raises UnfitError where none does."""
    if isinstance(user, Battery):
        return charge.link_of(case, user).giver
    post = wiring.supply(case).ways.feeding.post.get(_demand(case, user).power)
    if post is None:
        raise UnfitError
    return post


def feeding_battery(case: Case, user: Node) -> Node | None:
    """Return the battery that feeds a user, None where another source does. Raises UnfitError where none does."""
    owner = case.layout.network.owners[post_of(case, user)]
    return owner if isinstance(owner, Battery) else None


def _know_who_grounds(case: Case, post: str) -> None:
    """Raise UnknownError where it is not stated whether the vehicle maker grounds one of several batteries."""
    battery = case.layout.network.owners[post]
    if isinstance(battery, Battery) and battery.role is None and _several_batteries(case):
        wired = f"{battery.name}.negative" in case.layout.network.wires_at
        if not wired:
            raise UnknownError((*battery.path, "role"))


def _several_batteries(case: Case) -> bool:
    count = case.once("batteries", lambda: sum(isinstance(node, Battery) for node in case.plan.nodes))
    return count > 1


def _demand(case: Case, user: Node) -> Demand:
    demand = wiring.demands_by_name(case).get(user.name)
    if demand is None:
        raise UnfitError
    return demand


def _know(case: Case, link: Link, missing: tuple[str | int, ...] | None) -> None:
    """Raise UnknownError where a link's resistance or current is not known."""
    if missing:
        raise UnknownError(missing)
    conductor.link_resistance(case, link)


def power_of(case: Case, user: Node) -> str:
    """Return the vertex of the user's supply terminal. Raises UnfitError where nothing is wired to it."""
    return charge.link_of(case, user).taker if isinstance(user, Battery) else _demand(case, user).power


def _ground_of(case: Case, user: Node) -> str | None:
    return charge.home(case, user) if isinstance(user, Battery) else _demand(case, user).ground


def supply_wires(case: Case, user: Node) -> tuple[Wire, ...]:
    """Return the added wires at the user's supply terminal; of a battery, those by which another charges it."""
    if isinstance(user, Battery):
        return tuple(w for w in case.layout.wires_at(power_of(case, user)) if charge.carries(case, user, w))
    return case.layout.wires_at(power_of(case, user))


def poorest_wire(case: Case, user: Node) -> Wire | None:
    """Return the added wire on the way from the source to the user that loses the most voltage, None where none is."""
    return _poorest(case, _way(case, user))


def poorest_of_both(case: Case, user: Node) -> Wire | None:
    """Return the added wire on the way from the source to the user and back that loses the most voltage."""
    back = [] if isinstance(user, Battery) else wiring.user_way_back(case, _demand(case, user))
    return _poorest(case, [*_way(case, user), *back])


def poorest_return(case: Case, user: Node) -> str | None:
    """Return the key of what loses the most voltage on the way back from the user: a wire, a joint or the body."""
    post, ground = post_of(case, user), _ground_of(case, user)
    side = wiring.way_back(case, post)
    found = []
    for link in side.ways.way(ground) if ground else []:
        amps = wiring.link_current(case, link.key, (side,))
        found.append((amps * conductor.link_resistance(case, link), link.key))
    return max(found, default=(0.0, None))[1]


def _way(case: Case, user: Node) -> list[Link]:
    return charge.way(case, user) if isinstance(user, Battery) else wiring.user_way(case, _demand(case, user))


def _poorest(case: Case, links: list[Link]) -> Wire | None:
    found: list[tuple[float, str, Wire]] = []
    for link in links:
        if link.wire and link.wire.name not in case.layout.network.makers:
            amps = wiring.link_current(case, link.key, wiring.sides(case, link.wire))
            found.append((amps * conductor.link_resistance(case, link), link.name, link.wire))
    return max(found, default=(0.0, "", None))[2]


def ground_wires(case: Case, user: Node) -> tuple[Wire, ...]:
    """Return the added wires at the user's ground terminal."""
    return case.layout.wires_at(_ground_of(case, user))
