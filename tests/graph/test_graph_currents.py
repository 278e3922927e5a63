"""Shared currents, held against numpy and the laws of Ohm and Kirchhoff."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from links import Web, link, web_of, webs

from planlint.graph.flow import feed, share
from planlint.graph.link import Link, LinkKind, Vertex

OHM = st.floats(1e-4, 1.0)
AMPS = st.floats(0.0, 200.0)
CONTACT_OHM = 1e-7


def dense_drops(
    post: Vertex, mine: list[Vertex], links: list[Link], ohm: dict[str, float], drawn: dict[Vertex, float]
) -> dict[Vertex, float]:
    """The volts between a post and the vertices it feeds: numpy's solution of all of Kirchhoff's equations at once."""
    index = {at: i for i, at in enumerate(mine)}
    matrix = np.zeros((len(mine), len(mine)))
    for one in links:
        i, j = index[one.ends[0]], index[one.ends[1]]
        siemens = 1.0 / max(ohm[one.key], CONTACT_OHM)
        matrix[[i, j], [i, j]] += siemens
        matrix[[i, j], [j, i]] -= siemens
    matrix[index[post]] = 0.0
    matrix[index[post], index[post]] = 1.0
    right = np.array([0.0 if at == post else drawn.get(at, 0.0) for at in mine])
    return dict(zip(mine, (float(v) for v in np.linalg.solve(matrix, right)), strict=True))


@st.composite
def loaded_webs(draw: st.DrawFn) -> tuple[Web, dict[str, float], dict[Vertex, float], list[Vertex]]:
    """A network with resistances, currents drawn at vertices, and one or two posts."""
    web = draw(webs())
    ohm = {key: 0.0 if one.kind is LinkKind.CONTACT else draw(OHM) for key, one in web.links.items()}
    vertices = sorted(web.adjacent)
    drawn = draw(st.dictionaries(st.sampled_from(vertices), AMPS, max_size=4))
    posts = draw(st.lists(st.sampled_from(vertices), min_size=1, max_size=2, unique=True))
    return web, ohm, drawn, posts


@given(loaded_webs())
def test_currents_share_as_kirchhoff_and_ohm_have_it(
    case: tuple[Web, dict[str, float], dict[Vertex, float], list[Vertex]],
) -> None:
    """At every vertex comes in what goes out and is drawn; drops are those of numpy's dense solution."""
    web, ohm, drawn, posts = case
    feeding = feed(web.adjacent, posts, lambda one: ohm[one.key])
    # A post that a contact joins to another feeds nothing: what it would feed is fed by the other.
    for post in dict.fromkeys(feeding.post.values()):
        mine = [at for at, by in feeding.post.items() if by == post]
        flow = share(web.adjacent, feeding, post, drawn, lambda one: ohm[one.key])
        links = [o for o in web.links.values() if set(o.ends) <= set(mine) and o.ends[0] != o.ends[1]]
        total = sum(drawn.get(at, 0.0) for at in mine)
        for at in mine:
            into = sum(flow.current[o.key] * (1 if o.ends[1] == at else -1) for o in links if at in o.ends)
            asked = drawn.get(at, 0.0) - (total if at == post else 0.0)
            # A contact is closed by 0.1 uohm: a rounding of the volts there is felt in its current.
            assert into == pytest.approx(asked, rel=1e-6, abs=1e-6 * (1 + total)), at
        expected = dense_drops(post, mine, links, ohm, drawn)
        scale = max(map(abs, expected.values()), default=0.0)
        for at, volts in (flow.drop or {}).items():
            assert volts == pytest.approx(expected[at], rel=1e-9, abs=1e-9 * scale + 1e-12), at
        for o in links:
            if ohm[o.key]:
                ohms_law = (expected[o.ends[1]] - expected[o.ends[0]]) / ohm[o.key]
                assert flow.current[o.key] == pytest.approx(ohms_law, rel=1e-6, abs=1e-8 * (1 + total)), o.key


@given(loaded_webs(), st.floats(0.5, 8.0))
def test_twice_the_current_twice_the_flow(
    case: tuple[Web, dict[str, float], dict[Vertex, float], list[Vertex]], factor: float
) -> None:
    """The network is linear: all currents drawn times a factor flow as all currents times that factor."""
    web, ohm, drawn, posts = case
    feeding = feed(web.adjacent, posts, lambda one: ohm[one.key])
    more = {at: amps * factor for at, amps in drawn.items()}
    once = share(web.adjacent, feeding, posts[0], drawn, lambda one: ohm[one.key])
    twice = share(web.adjacent, feeding, posts[0], more, lambda one: ohm[one.key])
    total = sum(drawn.values()) * factor
    assert dict(twice.current) == {
        key: pytest.approx(amps * factor, rel=1e-6, abs=1e-6 * (1 + total)) for key, amps in once.current.items()
    }


def test_two_equal_ways_share_in_halves() -> None:
    """90 A over 1 mohm beside 2 mohm share 60 to 30, and 60 mV are lost (Kirchhoff, by hand)."""
    web = web_of(
        [link("short", LinkKind.WIRE, "post", "amp"), link("long", LinkKind.WIRE, "amp", "post")],
        {},
    )
    ohm = {"wire short": 1e-3, "wire long": 2e-3}
    feeding = feed(web.adjacent, ["post"], lambda one: ohm[one.key])
    flow = share(web.adjacent, feeding, "post", {"amp": 90.0}, lambda one: ohm[one.key])
    assert dict(flow.current) == pytest.approx({"wire short": 60.0, "wire long": -30.0})
    assert flow.drop["amp"] == pytest.approx(0.060)


def test_each_vertex_is_fed_by_the_nearer_post() -> None:
    """Of two posts, one 1 mohm and one 3 mohm away, the nearer feeds; without resistances the fewer links decide."""
    web = web_of(
        [
            link("near", LinkKind.WIRE, "a", "load"),
            link("far-1", LinkKind.WIRE, "b", "joint"),
            link("far-2", LinkKind.WIRE, "joint", "load"),
        ],
        {},
    )
    ohm = {"wire near": 3e-3, "wire far-1": 0.5e-3, "wire far-2": 0.5e-3}
    assert feed(web.adjacent, ["a", "b"], lambda one: ohm[one.key]).post["load"] == "b"
    assert feed(web.adjacent, ["a", "b"]).post["load"] == "a"
    way = feed(web.adjacent, ["b"]).way("load")
    assert [one.name for one in way] == ["far-2", "far-1"]
