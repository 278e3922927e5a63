"""What a plan says once for many elements: who takes it over, what goes first, and how a report tells where it stands."""

from __future__ import annotations

from typing import Any

import pytest

from planlint.judge.judge import judge
from planlint.plan.build import build
from planlint.plan.model import Plan, Wire
from planlint.plan.quantity import Dimension, parse
from planlint.plan.runs import Distribution
from planlint.report.text import render_text

Json = dict[str, Any]


def plan(**sections: Any) -> Json:
    """A plan of a battery, a fuse and an amplifier in a row, with other sections over it."""
    return {
        "plan": 1,
        "zones": [{"name": "engine-bay", "segment": {"support": "25 cm", "fixing": "p-clip"}}, {"name": "cabin"}],
        "nodes": {"battery": {"kind": "battery"}, "main": {"kind": "fuse"}, "amp": {"kind": "amp"}},
        "wires": {"front": {"from": "battery.positive", "to": "main.line"}},
        **sections,
    }


def built(**sections: Any) -> Plan:
    """The plan of sections that have no fault."""
    building = build(plan(**sections))
    assert building.faults == ()
    return building.plan


def front(**sections: Any) -> Wire:
    """The one wire of a plan."""
    return built(**sections).wires[0]


FRONT = {"from": "battery.positive", "to": "main.line"}


def test_a_default_holds_for_every_element_of_its_kind() -> None:
    """Wires, nodes by kind, holes, mounts and steps take over what they do not say."""
    made = built(
        defaults={
            "wire": {"material": "copper"},
            "fuse": {"voltage": "32 V"},
            "hole": {"back_checked": True},
            "mount": {"substrate": "steel"},
            "step": {"wear": ["eyes"]},
        },
        holes={"floor": {"serves": "front"}},
        mounts={"board": None},
        steps=[{"do": "drill"}, {"do": "route", "wear": ["hands"]}],
    )
    assert made.wires[0].material == "copper"
    assert [getattr(node, "voltage", None) for node in made.nodes] == [None, parse("32 V", Dimension.VOLTAGE), None]
    assert made.holes and made.holes[0].back_checked is True
    assert made.mounts and made.mounts[0].substrate == "steel"
    assert made.steps and [step.wear for step in made.steps] == [("eyes",), ("hands",)]


@pytest.mark.parametrize(
    ("own", "group", "expected"),
    [
        ({}, {}, "aluminium"),
        ({}, {"material": "copper"}, "copper"),
        ({"material": "tinned-copper"}, {"material": "copper"}, "tinned-copper"),
        ({"material": "not stated"}, {"material": "copper"}, None),
        ({"material": None}, {"material": None}, "aluminium"),
    ],
)
def test_own_words_go_first_then_the_group_then_the_defaults(own: Json, group: Json, expected: str | None) -> None:
    """What is said not to be stated stays unknown; a name without a value says nothing."""
    wire = front(
        defaults={"wire": {"material": "aluminium"}},
        groups={"power": group},
        wires={"front": {**FRONT, "group": "power", **own}},
    )
    assert wire.material == expected


def test_of_two_groups_the_later_goes_first() -> None:
    """One group may hold the conductor and another how it ends; where both say something the later one counts."""
    wire = front(
        groups={"power": {"material": "copper", "gauge": "4 AWG"}, "thin": {"gauge": "8 AWG"}},
        wires={"front": {**FRONT, "group": ["power", "thin"]}},
    )
    assert (wire.material, wire.gauge) == ("copper", parse("8 AWG", Dimension.AREA))


def test_a_zone_speaks_for_the_stretches_in_it() -> None:
    """Before the defaults and behind the stretch itself; a passage through a panel takes over nothing."""
    wire = front(
        defaults={"segment": {"support": "45 cm", "protection": "loom"}},
        wires={"front": {**FRONT, "route": [{"zone": "engine-bay"}, {"through": "grommet"}, {"zone": "cabin"}]}},
    )
    supports = [part.support for part in wire.route]
    assert supports == [parse("25 cm", Dimension.LENGTH), None, parse("45 cm", Dimension.LENGTH)]
    assert [part.protection for part in wire.route] == ["loom", None, "loom"]


def test_the_fuses_of_a_block_take_over_what_they_share() -> None:
    """Each listed output of a distribution block is an element with a default of its own."""
    made = built(
        defaults={"block-output": {"family": "strip"}},
        nodes={
            **plan()["nodes"],
            "block": {"kind": "distribution", "outputs": {"out-1": {"fuse": "60 A"}, "out-2": None}},
        },
    )
    (block,) = (node for node in made.nodes if isinstance(node, Distribution))
    assert [output.family for output in block.outputs] == ["strip", "strip"]


def test_both_ends_of_a_wire_take_over_how_an_end_is_made() -> None:
    """Each end by its own name: its own words, the group's, the wires' and the ends' defaults."""
    wire = front(
        defaults={"end": {"tool": "hex-die", "type": "ring"}, "wire": {"ends": {"to": {"type": "ferrule"}}}},
        groups={"power": {"ends": {"from": {"stud": "M8"}}}},
        wires={"front": {**FRONT, "group": "power", "ends": {"from": {"type": "blade"}}}},
    )
    assert wire.ends_made and wire.ends_made.from_ and wire.ends_made.to
    made = [(end.type, end.tool, end.stud) for end in (wire.ends_made.from_, wire.ends_made.to)]
    assert made == [("blade", "hex-die", "M8"), ("ferrule", "hex-die", None)]


def test_what_holds_for_both_ends_goes_behind_what_one_end_says() -> None:
    """The wire's own `both` goes before its group's, and behind its own `from`."""
    wire = front(
        groups={"power": {"ends": {"both": {"stud": "M6", "tool": "ratchet"}, "to": {"sleeve": True}}}},
        wires={"front": {**FRONT, "group": "power", "ends": {"both": {"stud": "M8"}, "from": {"stud": "M5"}}}},
    )
    assert wire.ends_made and wire.ends_made.from_ and wire.ends_made.to
    made = [(end.stud, end.tool, end.sleeve) for end in (wire.ends_made.from_, wire.ends_made.to)]
    assert made == [("M5", "ratchet", None), ("M8", "ratchet", True)]


def test_what_the_vehicle_maker_put_there_takes_over_nothing() -> None:
    """The job's own habits say nothing of the maker's cables and parts."""
    made = built(
        defaults={"wire": {"material": "copper"}, "fuse": {"voltage": "32 V"}},
        nodes={**plan()["nodes"], "main": {"kind": "fuse", "factory": True}},
        wires={"front": {**FRONT, "factory": True}},
    )
    assert made.wires[0].material is None
    assert getattr(made.nodes[1], "voltage", None) is None


def test_every_value_taken_over_knows_where_it_stands() -> None:
    """Origins name the field itself, so that a report can quote its line."""
    made = built(
        defaults={"wire": {"material": "copper"}},
        groups={"power": {"gauge": "4 AWG"}},
        wires={"front": {**FRONT, "group": "power", "route": [{"zone": "engine-bay"}]}},
    )
    assert dict(made.origins) == {
        ("wires", "front", "material"): ("defaults", "wire", "material"),
        ("wires", "front", "gauge"): ("groups", "power", "gauge"),
        ("wires", "front", "route", 0, "support"): ("zones", 0, "segment", "support"),
        ("wires", "front", "route", 0, "fixing"): ("zones", 0, "segment", "fixing"),
    }


def test_a_mistake_in_a_default_is_told_once_where_it_stands() -> None:
    """However many elements take it over, and also where none does."""
    wires = {name: {**FRONT, "group": "power"} for name in ("front", "second")}
    faults = build(
        plan(
            defaults={"capacitor": {"voltage": "20 A"}},
            groups={"power": {"gauge": "4 GAW"}},
            wires=wires,
        )
    ).faults
    assert [fault.path for fault in faults] == [("defaults", "capacitor", "voltage"), ("groups", "power", "gauge")]


def test_a_wire_of_an_unknown_group_is_told_with_the_nearest_name() -> None:
    """A misspelt group would leave the wire without all that the group says."""
    (fault,) = build(plan(groups={"power": {}}, wires={"front": {**FRONT, "group": "powr"}})).faults
    assert (fault.path[:3], "`power`" in fault.remedy) == (("wires", "front", "group"), True)


def test_a_finding_says_which_values_come_from_a_default_and_where() -> None:
    """A wire too thin by its group is marked at the wire; the group's line is shown beside it."""
    text = """\
plan: 1
scope: electrical
vehicle: {system: 12 V, body: steel-unibody}
defaults:
  wire: {material: copper, insulation: 105 C, length: 40 cm}
groups:
  thin: {gauge: 12 AWG}
nodes:
  battery: {kind: battery}
  main: {kind: fuse, rating: 80 A}
  amp: {kind: amp, class: D, outputs: {sub: {power: 600 W}}}
  stud: {kind: ground-point}
wires:
  front: {from: battery.positive, to: main.line, gauge: 4 AWG, length: 15 cm}
  rear: {from: main.load, to: amp.power, group: thin}
  ground: {from: amp.ground, to: stud, gauge: 4 AWG}
"""
    result = judge(text.encode(), "x")
    every = (one for told in result.findings for one in (told, *told.consequences))
    (finding,) = (one for one in every if one.rule == "fuse-exceeds-wire")
    assert (finding.subject, finding.place.span.line) == ("rear", 15)
    beside = {place.name: (place.span.line, place.message) for place in finding.related}
    assert beside["groups thin"] == (7, "gauge of rear comes from here")
    assert beside["defaults wire"] == (5, "material, insulation, length of rear come from here")
    assert "groups thin, line 7: gauge of rear comes from here" in render_text((result,))
