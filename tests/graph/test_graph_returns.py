"""What can flow into ground wires, held against networkx's directed maximum flow over supply, users and grounds."""

from __future__ import annotations

from typing import Any

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st
from links import flow_into, multigraph
from planned import network_of

from planlint.graph.link import Link, LinkKind, rating_of
from planlint.graph.network import Network
from planlint.graph.protection import UNLIMITED, inflows
from planlint.graph.returns import NOTHING, Returns
from planlint.graph.sources import sources_of
from planlint.graph.stems import Walks
from planlint.graph.ways import home_of


@st.composite
def supplied(draw: st.DrawFn) -> Network:
    """A random network: one or two batteries, fuses and joints, loads on them, and a tangle of grounds."""
    nodes: dict[str, str | dict[str, Any]] = {"b0": "battery", "g0": "bus", "g1": "bus", "p0": "ground-point"}
    wires, live, grounds = [], ["b0.positive"], ["g0", "g1", "p0", "b0.negative"]
    if draw(st.booleans()):
        nodes["b1"] = {"kind": "battery", "role": draw(st.sampled_from(["main", "added"]))}
        live.append("b1.positive")
        grounds.append("b1.negative")
    for index, rating in enumerate(draw(st.lists(st.sampled_from([0, 5, 20, 80]), max_size=4))):
        if rating:
            nodes[f"f{index}"] = {"kind": "fuse", "rating": f"{rating} A"}
            near, far = f"f{index}.line", f"f{index}.load"
        else:
            nodes[f"f{index}"] = "splice"
            near = far = f"f{index}"
        wires.append((draw(st.sampled_from(live)), near))
        live.append(far)
    for index in range(draw(st.integers(1, 3))):
        nodes[f"u{index}"] = "load"
        wires.append((draw(st.sampled_from(live)), f"u{index}.power"))
        grounds.append(f"u{index}.ground")
    pair = st.tuples(st.sampled_from(live), st.sampled_from(live))
    wires += draw(st.lists(pair, max_size=2))
    wires += draw(st.lists(st.tuples(st.sampled_from(grounds), st.sampled_from(grounds)), min_size=2, max_size=9))
    return network_of(nodes, [f"w{index}: {start} > {end}" for index, (start, end) in enumerate(wires)])


def expected_into(
    network: Network, wire: Link, end: int, sources: dict[str, int], ratings: dict[str, int], homes: set[str]
) -> int:
    """The flow in mA into one end of a ground wire by networkx, by no way past its other end, nor past the only home;
    nothing where none of it comes home from there, past the first."""
    links = {link.key: link for around in network.adjacent.values() for _, link in around}
    rest = [link for key, link in links.items() if key != wire.key]
    graph = multigraph(rest)
    graph.add_nodes_from(wire.ends)
    near, far = wire.ends[end], wire.ends[1 - end]
    if near == far:
        return 0
    if nx.node_connected_component(graph.subgraph(set(graph) - {near}), far).isdisjoint(homes):
        return 0
    past = {far} | (homes - {near} if len(homes) == 1 else set())
    rest = [link for link in rest if past.isdisjoint(link.ends)]
    users = {at.removesuffix(".ground") for at in network.wires_at if at.endswith(".ground")}
    users = {user for user in users if f"{user}.power" in network.adjacent and f"{user}.ground" not in past}
    shorts = [(f"{user}.power", f"{user}.ground") for user in users]
    return flow_into(rest, ratings, sources, near, shorts)


@given(supplied())
def test_ground_wires_get_the_flow_through_users_as_shorts(network: Network) -> None:
    """Both ends of every ground wire, loops, parallel wires and several homes included."""
    found_sources = sources_of(network)
    sources = {source.vertex: UNLIMITED for source in found_sources}
    ratings = {link.name: round(rating.high * 1000) for link in network.devices if (rating := rating_of(link))}
    homes = {home_of(network, at) for at in sources}
    users = [at for at in network.wires_at if at.endswith(".power")]
    into = inflows(network.adjacent, network.nets, sources, ratings, users).at
    found = Returns(network, sources, ratings, network.users, into, frozenset(homes), Walks(network.adjacent))
    grounds = [net for net in network.nets if any(at.endswith(".ground") for at in net.vertices)]
    links = {link.key: link for net in grounds for at in net.vertices for _, link in network.adjacent[at]}
    for link in links.values():
        if link.kind is LinkKind.WIRE:
            expected = tuple(expected_into(network, link, end, sources, ratings, homes) for end in (0, 1))
            assert found.ends(link.name) == expected, link.name


def test_a_ground_wire_that_serves_two_users_bears_both() -> None:
    """20 A and 30 A behind 40 A: their common ground wire can get 40 A, each one's own its fuse."""
    network = network_of(
        {
            "battery": "battery",
            "main": {"kind": "fuse", "rating": "40 A"},
            "joint": "splice",
            "small": {"kind": "fuse", "rating": "20 A"},
            "large": {"kind": "fuse", "rating": "30 A"},
            "fan": "load",
            "lamp": "load",
            "bar": "bus",
        },
        [
            *("tail: battery.positive > main.line", "feed: main.load > joint"),
            *("to-small: joint > small.line", "to-large: joint > large.line"),
            *("fan-feed: small.load > fan.power", "lamp-feed: large.load > lamp.power"),
            *("fan-ground: fan.ground > bar", "lamp-ground: lamp.ground > bar", "return: bar > battery.negative"),
        ],
    )
    ratings = {"main": 40_000, "small": 20_000, "large": 30_000}
    sources = {"battery.positive": UNLIMITED}
    into = inflows(network.adjacent, network.nets, sources, ratings, ["fan.power", "lamp.power"]).at
    assert into == {"fan.power": 20_000, "lamp.power": 30_000}
    returns = Returns(
        network, sources, ratings, network.users, into, frozenset(["battery.negative"]), Walks(network.adjacent)
    )
    assert returns.ends("fan-ground") == (20_000, 0)
    assert returns.ends("lamp-ground") == (30_000, 0)
    assert returns.ends("return") == (40_000, 0)
    assert returns.ends("feed") == NOTHING
