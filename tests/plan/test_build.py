"""Data that fits the schema becomes the typed plan, or a list of all that cannot be understood in it."""

from __future__ import annotations

import json
from typing import Any

import jsonschema_rs
import pytest

from planlint.plan.audio import Amp
from planlint.plan.build import build
from planlint.plan.kinds import KINDS
from planlint.plan.model import End
from planlint.plan.quantity import Quantity
from planlint.plan.runs import Distribution, Fuse
from planlint.plan.units import Dimension
from planlint.plan.values import NotApplicable
from planlint.shipped import schema_text

Json = dict[str, Any]
SCHEMA = jsonschema_rs.validator_for(json.loads(schema_text("plan.schema.json")))


def sound_plan() -> Json:
    """A small sound plan: one subwoofer amplifier in the cargo area behind one fuse."""
    return {
        "plan": 1,
        "title": "Subwoofer in the cargo area, radio kept",
        "vehicle": {
            "system": "12 V",
            "alternator": {"rating": "100 A", "at_idle": "50 A"},
            "factory_draw": "38 A",
            "body": "steel-unibody",
        },
        "zones": [{"name": "engine-bay", "ambient": "50 C"}, {"name": "cabin"}, {"name": "cargo"}],
        "nodes": {
            "battery": {"kind": "battery", "zone": "engine-bay", "capacity": "60 Ah"},
            "main-fuse": {"kind": "fuse", "zone": "engine-bay", "family": "anl-mini", "rating": "80 A"},
            "block": {
                "kind": "distribution",
                "zone": "cargo",
                "outputs": {"out-1": {"fuse": "60 A", "family": "anl-mini"}, "out-2": {"fuse": "none"}},
            },
            "sub-amp": {
                "kind": "amp",
                "zone": "cargo",
                "class": "D",
                "fuses": ["30 A", "30 A"],
                "outputs": {"sub": {"power": "500 W", "at": "2 ohm", "lowest": "1 ohm", "channels": 1}},
            },
            "sub": {"kind": "speaker", "zone": "cargo", "coils": 1, "impedance": "2 ohm"},
            "floor-stud": {"kind": "ground-point", "zone": "cargo", "fastener": "M8 stud"},
        },
        "wires": {
            "feed-front": {"from": "battery.positive", "to": "main-fuse.line", "length": "15 cm"},
            "feed-rear": {
                "from": "main-fuse.load",
                "to": "block.in",
                "gauge": "4 AWG",
                "length": "5.2 m measured",
                "route": [
                    {"zone": "engine-bay", "length": "0.6 m"},
                    {"through": "firewall-hole"},
                    {"zone": "cabin", "along": "sill", "side": "left", "length": "3.4 m"},
                    {"zone": "cargo", "length": "1.2 m"},
                ],
            },
            "feed-amp": {"from": "block.out-1", "to": "sub-amp.power", "gauge": "8 AWG", "length": "40 cm"},
            "amp-ground": {"from": "sub-amp.ground", "to": "floor-stud", "gauge": "4 AWG", "length": "40 cm"},
            "sub-plus": {"from": "sub-amp.sub-positive", "to": "sub.positive"},
        },
        "holes": {"firewall-hole": {"existing": True, "serves": "feed-rear", "fuel": "none-near"}},
        "mounts": {"amp-board": {"holds": ["sub-amp"], "zone": "cargo", "mass": "6 kg"}},
        "steps": [
            {"do": "disconnect-negative", "of": "battery"},
            {"do": "trim-out", "after": "disconnect-negative"},
            {"do": "route", "of": ["feed-rear"], "after": ["trim-out"]},
        ],
        "tests": [{"test": "supply-drop", "of": "sub-amp", "limit": {"at_most": "0.5 V"}}],
        "accepted": [{"rule": "label-missing", "subject": "sub-plus", "reason": "short", "by": "owner"}],
    }


def changed(**changes: Any) -> Json:
    """The sound plan with other values, each at a path with double underscores between its steps."""
    plan = sound_plan()
    for place, value in changes.items():
        *above, last = (step.replace("_", "-") for step in place.split("__"))
        inner: Any = plan
        for step in above:
            inner = inner[int(step) if step.isdigit() else step]
        inner[last] = value
    return plan


def amount(si: float, dimension: Dimension, unit: str, basis: str = "") -> Quantity:
    """A quantity without a range."""
    return Quantity(dimension=dimension, low=si, high=si, unit=unit, basis=basis)


def test_a_sound_plan_fits_the_schema_and_has_no_faults() -> None:
    """The plan all others are made from is sound, so each fault below comes of its own change."""
    assert SCHEMA.is_valid(sound_plan())
    assert build(sound_plan()).faults == ()


def test_the_plan_keeps_names_and_the_order_of_the_file() -> None:
    """Tuples follow the file, so equal files give equal reports."""
    plan = build(sound_plan()).plan
    assert [zone.name for zone in plan.zones] == ["engine-bay", "cabin", "cargo"]
    assert [zone.kind for zone in plan.zones] == ["engine-bay", "cabin", "cargo"]
    assert [node.name for node in plan.nodes] == list(sound_plan()["nodes"])
    assert [wire.name for wire in plan.wires] == list(sound_plan()["wires"])
    assert (plan.title, plan.scope) == ("Subwoofer in the cargo area, radio kept", "whole")
    assert (plan.accepted[0].rule, plan.accepted[0].by) == ("label-missing", "owner")


def test_quantities_become_si_values() -> None:
    """60 Ah is 216000 C (1 Ah = 3600 C, the SI brochure's hour); lengths keep their basis."""
    plan = build(sound_plan()).plan
    assert getattr(plan.nodes[0], "capacity") == amount(216000.0, Dimension.CHARGE, "Ah")  # noqa: B009
    assert plan.wires[1].length == amount(5.2, Dimension.LENGTH, "m", "measured")
    assert plan.wires[1].route[2].length == amount(3.4, Dimension.LENGTH, "m")
    assert plan.vehicle.alternator is not None
    assert plan.vehicle.alternator.at_idle == amount(50.0, Dimension.CURRENT, "A")


def test_outputs_bear_their_names_and_places() -> None:
    """What stands under a name in a mapping is named by it."""
    nodes = {node.name: node for node in build(sound_plan()).plan.nodes}
    block, amp = nodes["block"], nodes["sub-amp"]
    assert isinstance(block, Distribution)
    assert [(out.name, out.path) for out in block.outputs] == [
        ("out-1", ("nodes", "block", "outputs", "out-1")),
        ("out-2", ("nodes", "block", "outputs", "out-2")),
    ]
    assert block.outputs[0].fuse == amount(60.0, Dimension.CURRENT, "A")
    assert block.outputs[1].fuse == NotApplicable(reason="no fuse")
    assert isinstance(amp, Amp)
    assert (amp.class_, amp.outputs[0].name, amp.outputs[0].channels) == ("D", "sub", 1)
    assert amp.fuses == (amount(30.0, Dimension.CURRENT, "A"),) * 2


def test_a_wire_knows_its_ends_with_their_places() -> None:
    """A terminal left out is the only one of its kind."""
    ground = build(sound_plan()).plan.wires[3]
    path = ("wires", "amp-ground")
    assert ground.ends == (
        End(path=(*path, "from"), node="sub-amp", terminal="ground"),
        End(path=(*path, "to"), node="floor-stud", terminal="body"),
    )


@pytest.mark.parametrize("kind", [kind for kind, entry in KINDS.items() if entry.only_terminal])
def test_a_terminal_may_be_left_out_where_there_is_one(kind: str) -> None:
    """DESIGN allows it for these kinds and no others."""
    plan = changed(nodes__x={"kind": kind}, wires__w={"from": "x", "to": "battery.negative"})
    assert SCHEMA.is_valid(plan)
    building = build(plan)
    assert building.faults == ()
    assert building.plan.wires[-1].from_.terminal == KINDS[kind].terminals[0][0]


@pytest.mark.parametrize("kind", [kind for kind, entry in KINDS.items() if len(entry.terminals) > 1])
def test_a_terminal_must_be_named_where_there_are_several(kind: str) -> None:
    """The fault lists the terminals of the node, and any of them would do."""
    (fault,) = build(changed(nodes__x={"kind": kind}, wires__w={"from": "x", "to": "battery.negative"})).faults
    assert (fault.rule, fault.path) == ("endpoint-unknown", ("wires", "w", "from"))
    found, _, listed = fault.message.partition("; expected one of ")
    assert found == "found `x` without a terminal" and "`x." in fault.remedy
    ends = [f"x.{name.replace('*', '1')}" for name in listed.split(", ")]
    assert len(ends) == len(KINDS[kind].terminals)
    plans = [changed(nodes__x={"kind": kind}, wires__w={"from": end, "to": "battery.negative"}) for end in ends]
    assert [build(plan).faults for plan in plans] == [()] * len(plans)


@pytest.mark.parametrize("kind", [kind for kind, entry in KINDS.items() if not entry.terminals])
@pytest.mark.parametrize("end", ["x", "x.positive"])
def test_no_wire_ends_at_a_part_without_terminals(kind: str, end: str) -> None:
    """A box has none: the fault stands at the end and says what to do."""
    plan = changed(nodes__x={"kind": kind}, wires__w={"from": end, "to": "battery.negative"})
    assert SCHEMA.is_valid(plan)
    (fault,) = build(plan).faults
    assert (fault.rule, fault.path) == ("endpoint-unknown", ("wires", "w", "from"))
    assert f"`{end}`" in fault.message and fault.remedy


def test_every_kind_is_asked_about_its_terminals() -> None:
    """The three tests above share out the kinds among them."""
    by_count = [sum(min(len(entry.terminals), 2) == count for entry in KINDS.values()) for count in (0, 1, 2)]
    assert sum(by_count) == len(KINDS) and min(by_count) > 0


FAULTS: list[tuple[str, Json, str, tuple[str | int, ...], str, str]] = [
    (
        "unknown node",
        {"wires__feed_rear__from": "main-fues.load"},
        "endpoint-unknown",
        ("wires", "feed-rear", "from"),
        "found `main-fues.load`, but the plan has no node `main-fues`",
        "did you mean `main-fuse`?",
    ),
    (
        "unlike any node",
        {"wires__feed_rear__to": "qqq.in"},
        "endpoint-unknown",
        ("wires", "feed-rear", "to"),
        "the plan has no node `qqq`; expected one of its nodes (battery, main-fuse,",
        "as in `battery.positive`",
    ),
    (
        "unknown terminal",
        {"wires__feed_front__to": "main-fuse.lien"},
        "endpoint-unknown",
        ("wires", "feed-front", "to"),
        "has no terminal `lien`; expected one of line, load",
        "did you mean `main-fuse.line`?",
    ),
    (
        "pole of an output that is not there",
        {"wires__sub_plus__from": "sub-amp.front-positive"},
        "endpoint-unknown",
        ("wires", "sub-plus", "from"),
        "has no terminal `front-positive`",
        "`sub-amp.",
    ),
    (
        "unknown zone of a node",
        {"nodes__sub__zone": "crago"},
        "plan-format",
        ("nodes", "sub", "zone"),
        "found `crago`, but the plan has no zone of this name; expected one of cabin, cargo, engine-bay",
        "did you mean `cargo`?",
    ),
    (
        "unknown zone of a route",
        {"wires__feed_amp__route": [{"through": "firewall-hole"}, {"zone": "roof"}]},
        "plan-format",
        ("wires", "feed-amp", "route", 1, "zone"),
        "found `roof`, but the plan has no zone of this name; expected one of cabin, cargo, engine-bay",
        "list it under `zones:`",
    ),
    (
        "unknown zone of a mount",
        {"mounts__amp_board__zone": "crago"},
        "plan-format",
        ("mounts", "amp-board", "zone"),
        "found `crago`, but the plan has no zone of this name",
        "did you mean `cargo`?",
    ),
    (
        "unknown hole of a route",
        {"wires__sub_plus__route": [{"through": "firewal-hole"}]},
        "plan-format",
        ("wires", "sub-plus", "route", 0, "through"),
        "found `firewal-hole`, but the plan has no hole of this name; expected one of firewall-hole",
        "did you mean `firewall-hole`?",
    ),
    (
        "unknown part of a step",
        {"steps__2__of": ["feed-rear", "sub-apm"]},
        "plan-format",
        ("steps", 2, "of", 1),
        "found `sub-apm`, but the plan has no part, wire, hole or mount of this name",
        "did you mean `sub-amp`?",
    ),
    (
        "unknown step before a step",
        {"steps__1__after": ["check-bakc"]},
        "plan-format",
        ("steps", 1, "after", 0),
        "found `check-bakc`, but the plan has no step of this name",
        "did you mean `check-back`?",
    ),
    (
        "unknown enclosure of a speaker",
        {"nodes__sub__enclosure": "qqq"},
        "plan-format",
        ("nodes", "sub", "enclosure"),
        "found `qqq`, but the plan has no part, wire, hole or mount of this name",
        "name one that the plan has, or take the name out",
    ),
    (
        "unknown group of a wire",
        {"groups": {"power": None}, "wires__feed_amp__group": ["power", "powre"]},
        "plan-format",
        ("wires", "feed-amp", "group", 1),
        "found `powre`, but the plan has no group of this name; expected one of power",
        "did you mean `power`?",
    ),
    (
        "zone twice",
        {"zones": [{"name": "engine-bay"}, {"name": "cabin"}, {"name": "cargo"}, {"name": "cabin"}]},
        "id-duplicate",
        ("zones", 3, "name"),
        "found a second zone named `cabin`",
        "rename or remove one",
    ),
    (
        "no unit",
        {"wires__feed_rear__length": "5.2"},
        "plan-format",
        ("wires", "feed-rear", "length"),
        "found `5.2` without a unit; expected a length in",
        "write it as in `5.2 m`",
    ),
    (
        "unit of something else",
        {"nodes__main_fuse__rating": "80 V"},
        "plan-format",
        ("nodes", "main-fuse", "rating"),
        "expected a current",
        "write it as in `",
    ),
    (
        "quantity in a list",
        {"nodes__sub_amp__fuses": ["30 A", "thirty"]},
        "plan-format",
        ("nodes", "sub-amp", "fuses", 1),
        "found `thirty`",
        "write it as in `",
    ),
    (
        "quantity of an output",
        {"nodes__sub_amp__outputs__sub__at": "2 W"},
        "plan-format",
        ("nodes", "sub-amp", "outputs", "sub", "at"),
        "expected a resistance",
        "write it as in `",
    ),
    (
        "fuse of a block's output",
        {"nodes__block__outputs__out_1__fuse": "big"},
        "plan-format",
        ("nodes", "block", "outputs", "out-1", "fuse"),
        "found `big`",
        "write it as in `",
    ),
    (
        "quantity of a stretch",
        {"wires__feed_rear__route__0__length": "0.6 A"},
        "plan-format",
        ("wires", "feed-rear", "route", 0, "length"),
        "expected a length",
        "write it as in `",
    ),
    (
        "quantity of the alternator",
        {"vehicle__alternator__rating": "a lot"},
        "plan-format",
        ("vehicle", "alternator", "rating"),
        "found `a lot`",
        "write it as in `",
    ),
    (
        "quantity of a hole's grommet",
        {"holes__firewall_hole__grommet": {"bore": "wide"}},
        "plan-format",
        ("holes", "firewall-hole", "grommet", "bore"),
        "found `wide`",
        "write it as in `",
    ),
    (
        "distance in words",
        {"holes__firewall_hole__fuel": "far"},
        "plan-format",
        ("holes", "firewall-hole", "fuel"),
        "found `far`",
        "write it as in `",
    ),
    (
        "limit of a test",
        {"tests__0__limit": {"at_most": "little"}},
        "plan-format",
        ("tests", 0, "limit", "at_most"),
        "found `little`; expected a quantity with its unit",
        "write it as in `0.2 V`",
    ),
    (
        "quantity of an end",
        {"wires__feed_amp__ends": {"to": {"torque": "tight"}}},
        "plan-format",
        ("wires", "feed-amp", "ends", "to", "torque"),
        "found `tight`",
        "write it as in `",
    ),
    (
        "quantity of a default",
        {"defaults": {"mount": {"mass": "heavy"}}},
        "plan-format",
        ("defaults", "mount", "mass"),
        "found `heavy`",
        "write it as in `",
    ),
    (
        "quantity of a zone",
        {"zones__0__ambient": "hot"},
        "plan-format",
        ("zones", 0, "ambient"),
        "found `hot`",
        "write it as in `",
    ),
]


@pytest.mark.parametrize(
    ("name", "change", "rule", "path", "message", "remedy"), FAULTS, ids=[row[0] for row in FAULTS]
)
def test_a_fault_is_told_once_where_it_stands(
    name: str, change: Json, rule: str, path: tuple[str | int, ...], message: str, remedy: str
) -> None:
    """One change to the sound plan gives one fault: its place, what was found and expected, what to do."""
    plan = changed(**change)
    assert SCHEMA.is_valid(plan), name
    (fault,) = build(plan).faults
    assert (fault.rule, fault.path) == (rule, path)
    assert message in fault.message
    assert remedy in fault.remedy


def test_all_faults_are_told_in_one_run() -> None:
    """A person mends everything at once, not one fault a run."""
    apart = [(change, path) for _, change, _, path, _, _ in FAULTS if "zones" not in change]
    together: Json = {}
    for change, _ in apart:
        together |= change
    found = build(changed(**together)).faults
    assert {fault.path for fault in found} == {path for _, path in apart}
    assert len(found) == len(apart)


def test_any_zone_will_do_in_a_plan_that_lists_none() -> None:
    """A short plan names zones without listing them."""
    assert build(changed(zones=None, nodes__sub__zone="roof")).faults == ()


def test_a_stretch_in_no_stated_zone_is_unknown_and_no_fault() -> None:
    """`not stated` is no name of a zone."""
    assert build(changed(nodes__sub__zone="not stated", wires__feed_rear__route="not stated")).faults == ()


@pytest.mark.parametrize(
    ("written", "held"),
    [
        ("not stated", None),
        (None, None),
        ({"not_applicable": "fusible link instead"}, NotApplicable(reason="fusible link instead")),
        ("70..90 A", Quantity(dimension=Dimension.CURRENT, low=70.0, high=90.0, unit="A")),
    ],
)
def test_a_field_holds_a_value_or_nothing_or_a_reason(written: Any, held: Any) -> None:
    """Unknown and inapplicable stay apart from every value."""
    building = build(changed(nodes__main_fuse__rating=written))
    fuse = building.plan.nodes[1]
    assert isinstance(fuse, Fuse)
    assert (fuse.rating, building.faults) == (held, ())


@pytest.mark.parametrize("written", ["not stated", None])
def test_unknown_outputs_are_no_outputs(written: Any) -> None:
    """An amplifier without stated outputs still builds; a wire at one of them has an unknown end."""
    building = build(changed(nodes__sub_amp__outputs=written))
    assert [fault.path for fault in building.faults] == [("wires", "sub-plus", "from")]
