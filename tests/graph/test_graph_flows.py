"""What limits the current in wires, held against networkx's maximum flow on the whole network."""

from __future__ import annotations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st
from links import Web, feeds, flow_into, link, multigraph, web_of, webs

from planlint.graph.link import LinkKind
from planlint.graph.loops import knots_of, loops_of
from planlint.graph.maxflow import maximum_flow
from planlint.graph.protection import UNLIMITED, inflows

ARCS = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(0, 30)), max_size=20)


@given(ARCS)
def test_maximum_flow_is_that_of_networkx(arcs: list[tuple[int, int, int]]) -> None:
    """The greatest flow between two vertices over random arcs, parallel ones, loops and arcs back included."""
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from([0, 6])
    for start, end, capacity in arcs:
        if start != end:
            before = graph.get_edge_data(start, end, {"capacity": 0})["capacity"]
            graph.add_edge(start, end, capacity=before + capacity)
    proper = [arc for arc in arcs if arc[0] != arc[1]]
    assert maximum_flow(proper, 0, 6) == nx.maximum_flow_value(graph, 0, 6)


def test_a_short_path_that_blocks_two_long_ones_is_taken_back() -> None:
    """s-a-d-t is the shortest way and blocks the rest: only with a-d undone do s-a-c-e-t and s-b-x-d-t carry 2."""
    ways = ("sa", "ad", "dt", "ac", "ce", "et", "sb", "bx", "xd")
    assert maximum_flow([(way[0], way[1], 1) for way in ways], "s", "t") == 2


@given(st.data())
def test_both_ends_of_every_wire_get_the_flow_of_the_whole_network(choices: st.DataObject) -> None:
    """A wire's ends, with the wire out, and every vertex with all in: networkx on the whole network agrees."""
    web = choices.draw(webs())
    sources = choices.draw(feeds(web))
    found = inflows(web.adjacent, web.nets, sources, web.ratings, sorted(web.adjacent))
    fed = {at for net in web.nets if net.vertices & sources.keys() for at in net.vertices}
    assert {one.name for one in web.wires if one.ends[0] in fed} == set(found.wire_ends)
    assert set(found.at) == fed
    for at in fed:
        assert found.at[at] == flow_into(web.links.values(), web.ratings, sources, at), at
    for one in web.wires:
        if one.ends[0] in fed:
            rest = [other for other in web.links.values() if other.key != one.key]
            expected = tuple(flow_into(rest, web.ratings, sources, end) for end in one.ends)
            assert found.wire_ends[one.name] == expected, one.name


@given(st.data())
def test_a_wire_that_alone_joins_two_sources_lies_between_them(choices: st.DataObject) -> None:
    """Of wires on no loop just those lie between sources into both ends of which current can flow."""
    web = choices.draw(webs())
    sources = choices.draw(feeds(web))
    found = inflows(web.adjacent, web.nets, sources, web.ratings)
    single = {tuple(sorted(pair)) for pair in nx.bridges(nx.Graph(multigraph(web.links.values())))}
    parallel = multigraph(web.links.values())
    for one in web.wires:
        if tuple(sorted(one.ends)) in single and parallel.number_of_edges(*one.ends) == 1:
            rest = [other for other in web.links.values() if other.key != one.key]
            both = all(flow_into(rest, web.ratings, sources, end) for end in one.ends)
            assert (one.name in found.between) == both, one.name


def test_parallel_fuses_add_up_and_a_fuse_in_series_holds() -> None:
    """Two fuses of 80 A side by side let 160 A into the wire behind them; a third of 100 A before both lets 100 A."""
    pair = [
        link("fuse-1", LinkKind.DEVICE, "battery", "bar"),
        link("fuse-2", LinkKind.DEVICE, "battery", "bar"),
        link("feed", LinkKind.WIRE, "bar", "amp"),
    ]
    web = web_of(pair, {"fuse-1": 80_000, "fuse-2": 80_000})
    assert inflows(web.adjacent, web.nets, {"battery": UNLIMITED}, web.ratings).wire_ends == {"feed": (160_000, 0)}
    third = link("main", LinkKind.DEVICE, "post", "battery")
    web = web_of([third, *pair], {"fuse-1": 80_000, "fuse-2": 80_000, "main": 100_000})
    assert inflows(web.adjacent, web.nets, {"post": UNLIMITED}, web.ratings).wire_ends == {"feed": (100_000, 0)}


@given(webs(most_vertices=9, most_links=16))
def test_a_link_is_in_a_knot_of_loops_just_where_it_is_no_bridge(web: Web) -> None:
    """networkx's bridges part the links; two links share a knot just where they stay joined without all bridges."""
    graph = multigraph(one for one in web.links.values() if one.ends[0] != one.ends[1])
    simple = nx.Graph(graph)
    bridges = {edge for pair in nx.bridges(simple) if len(edge := tuple(graph[pair[0]][pair[1]])) == 1}
    alone = {key for edge in bridges for key in edge}
    found = loops_of(web.links)
    inside = {key for knot in found.values() for key in knot.links}
    assert inside == {key for _, _, key in graph.edges(keys=True)} - alone
    graph.remove_edges_from([edge for edge in list(graph.edges(keys=True)) if edge[2] in alone])
    parts = {frozenset(part) for part in nx.connected_components(graph) if len(part) > 1}
    assert {knot.vertices for knot in found.values()} == parts
    assert all(at in knot.vertices for at, knot in found.items())


@given(webs())
def test_the_knots_of_a_part_are_its_loops(web: Web) -> None:
    """Seen from the links: every link of a loop leads to all links of its knot, others to none."""
    for net in web.nets:
        links = {key: one for key, one in web.links.items() if one.ends[0] in net.vertices}
        expected = {key: knot.links for knot in loops_of(links).values() for key in knot.links}
        found = knots_of(web.adjacent, net.vertices)
        assert {key: {one.key for one in knot} for key, knot in found.items()} == expected
