"""The way of the signal through random wiring, against networkx: what reaches which input, and where it comes from."""

from __future__ import annotations

from typing import Any

import networkx as nx
import yaml
from hypothesis import given
from hypothesis import strategies as st

from planlint.facts.case import Case
from planlint.facts.signal import sources_of
from planlint.facts.signal_band import chain
from planlint.judge.judge import plan_of
from planlint.text.reader import read

JOINTS = ("splice-1", "splice-2", "tap-1.positive", "tap-1.out-positive", "tap-2.positive", "tap-2.out-positive")
RADIO = tuple(f"radio.speaker-{name}-positive" for name in ("front", "rear", "sub"))
PROCESSORS = ("p1", "p2", "p3")
AMPS = ("a1", "a2")
OUTPUTS = tuple(f"{name}.output-{side}" for name in PROCESSORS for side in ("x", "y"))
INPUTS = tuple(f"{name}.input-{side}" for name in (*PROCESSORS, *AMPS) for side in ("u", "v"))


@st.composite
def wirings(draw: st.DrawFn) -> dict[str, Any]:
    """The data of a plan with random signal wires between outputs, joints and inputs."""
    spots = st.sampled_from((*RADIO, *OUTPUTS, *JOINTS, *INPUTS))
    pairs = draw(st.lists(st.tuples(spots, spots).filter(lambda pair: pair[0] != pair[1]), min_size=1, max_size=16))
    nodes: dict[str, Any] = {name: {"kind": "processor", "sums": True} for name in PROCESSORS}
    nodes |= {name: {"kind": "amp", "outputs": {"bass": {"power": "100 W", "at": "4 ohm"}}} for name in AMPS}
    nodes |= {"splice-1": {"kind": "splice"}, "splice-2": {"kind": "splice"}}
    nodes |= {"tap-1": {"kind": "tap"}, "tap-2": {"kind": "tap"}, "radio": {"kind": "radio"}}
    order = draw(st.permutations(sorted(nodes)))
    wires = {f"w{number}": {"from": one, "to": other} for number, (one, other) in enumerate(pairs)}
    return {"plan": 1, "nodes": {name: nodes[name] for name in order}, "wires": wires}


def case_of(data: dict[str, Any]) -> Case:
    """The case of a plan's data."""
    document = read(yaml.safe_dump(data, sort_keys=False).encode()).document
    assert document
    plan, problems = plan_of(document)
    assert plan, problems
    return Case(plan)


def joined(data: dict[str, Any]) -> nx.Graph[str]:
    """The terminals as networkx joins them: the two sides of a tap are one."""
    graph: nx.Graph[str] = nx.Graph()
    for wire in data["wires"].values():
        ends = (end.replace("out-", "") if end.startswith("tap") else end for end in (wire["from"], wire["to"]))
        graph.add_edge(*ends)
    return graph


def feeding(graph: nx.Graph[str], part: str) -> set[str]:
    """The outputs in the same part of the graph as an input of a part."""
    mine = [at for at in graph if at.startswith(f"{part}.input")]
    reached = set().union(*(nx.node_connected_component(graph, at) for at in mine)) if mine else set()
    return reached & {*RADIO, *OUTPUTS}


@given(wirings())
def test_an_input_gets_what_wires_join_to_it(data: dict[str, Any]) -> None:
    """The outputs at the inputs of each part are those in the same connected part of the graph."""
    case, graph = case_of(data), joined(data)
    for part in (*PROCESSORS, *AMPS):
        assert set(sources_of(case, case.nodes[part])) == feeding(graph, part)


@given(wirings())
def test_an_amplifier_is_fed_from_all_that_leads_to_it(data: dict[str, Any]) -> None:
    """Through any chain or loop of processors that sum, music comes from the radio outputs that reach the amplifier."""
    case, graph = case_of(data), joined(data)
    ways: nx.DiGraph[str] = nx.DiGraph()
    for part in (*PROCESSORS, *AMPS):
        ways.add_node(part)
        ways.add_edges_from((out.partition(".")[0] if out in OUTPUTS else out, part) for out in feeding(graph, part))
    for amp in AMPS:
        found = chain(case, case.nodes[amp], "bass")
        before = nx.ancestors(ways, amp)
        assert {f"radio.{channel}-positive" for _, channel in found.origins} == before & set(RADIO)
        assert {node.name for node in found.through} == before & set(PROCESSORS)
