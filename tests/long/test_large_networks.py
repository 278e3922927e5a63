"""Networks far larger than a plan's, against networkx; run before a release, with `pytest tests/long`."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "graph"))

from links import KINDS, RATINGS, flow_into, link, web_of

from planlint.graph.link import LinkKind
from planlint.graph.protection import UNLIMITED, inflows


@pytest.mark.parametrize("seed", range(40))
def test_both_ends_of_every_wire_of_a_large_network(seed: int) -> None:
    """Sixty vertices in a sparse tangle with four sources: every wire's ends agree with networkx on the whole."""
    dice = random.Random(seed)
    vertices = [f"v{number}" for number in range(60)]
    tree = [(dice.choice(vertices[:at]), vertices[at]) for at in range(1, 60)]
    extra = [(dice.choice(vertices), dice.choice(vertices)) for _ in range(dice.randrange(12))]
    links = [link(f"l{i}", dice.choice(KINDS), *ends) for i, ends in enumerate(tree + extra)]
    web = web_of(links, {one.name: dice.choice(RATINGS) for one in links if one.kind is LinkKind.DEVICE})
    sources = {dice.choice(vertices): dice.choice((UNLIMITED, 40_000)) for _ in range(4)}
    found = inflows(web.adjacent, web.nets, sources, web.ratings).wire_ends
    assert set(found) == {one.name for one in web.wires}
    for one in web.wires:
        rest = [other for other in links if other.key != one.key]
        assert found[one.name] == tuple(flow_into(rest, web.ratings, sources, end) for end in one.ends), one.name
