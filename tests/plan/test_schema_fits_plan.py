"""The schemas are sound, and the plan schema and the plan's dataclasses say the same."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any

import jsonschema
import jsonschema_rs
import pytest

from planlint.plan import audio, model, nodes, runs, vehicle, work
from planlint.plan.audio import Band, Output, RadioOutput
from planlint.plan.build import build
from planlint.plan.kinds import KINDS
from planlint.plan.model import About, Acceptance, Segment, Termination, Terminations, Wire
from planlint.plan.nodes import Node
from planlint.plan.runs import BlockOutput, Contacts, CurvePoint, Device
from planlint.plan.units import Dimension
from planlint.plan.values import Convert, Fault, read_value, readers_of
from planlint.plan.vehicle import Customer, FactoryAlternator, Restraints, Vehicle, Zone
from planlint.plan.work import Check, Document, Fasteners, Grommet, Hole, Limit, Mount, Part, Photo, Step
from planlint.shipped import schema_text

Json = dict[str, Any]

SCHEMA: Json = json.loads(schema_text("plan.schema.json"))
REPORT: Json = json.loads(schema_text("report.schema.json"))
DEFS: Json = SCHEMA["$defs"]
SLOW = jsonschema.Draft202012Validator(SCHEMA)
FAST = jsonschema_rs.validator_for(SCHEMA)


def resolved(schema: Json) -> Json:
    """The schema with what it refers to written in; its own words go first."""
    if "$ref" not in schema:
        return schema
    return {**resolved(DEFS[schema["$ref"].removeprefix("#/$defs/")]), **schema}


def of_kind(kind: str) -> Json:
    """The properties of one kind of node."""
    branches = [
        branch["then"] for branch in DEFS["node"]["allOf"] if branch["if"]["properties"]["kind"]["const"] == kind
    ]
    assert len(branches) == 1
    properties: Json = resolved(branches[0])["properties"]
    return properties


def properties_in(schema: Any, path: str = "plan") -> Iterator[tuple[str, Json]]:
    """Every described property of a schema with its path; conditions describe nothing."""
    if isinstance(schema, list):
        for index, item in enumerate(schema):
            yield from properties_in(item, f"{path}/{index}")
    if isinstance(schema, dict):
        for name, prop in schema.get("properties", {}).items():
            yield f"{path}/{name}", prop
        for key, part in schema.items():
            if key not in ("if", "examples"):
                yield from properties_in(part, f"{path}/{key}")


def properties_of(definition: str) -> Json:
    """The properties of a definition."""
    properties: Json = DEFS[definition]["properties"]
    return properties


STRETCH: Json = DEFS["segment"]["else"]["properties"]
PASSAGE: Json = DEFS["segment"]["then"]["properties"]
SECTIONS = {
    *("plan", "title", "scope", "vehicle", "customer", "zones", "defaults", "groups", "nodes", "wires"),
    *("holes", "mounts", "steps", "tests", "parts", "documents", "photos", "accepted"),
}
# What the schema has beside the fields of the dataclass: names, kinds, ends and what is said once for many.
RECORDS: list[tuple[str, Json, type, set[str]]] = [
    *((kind, of_kind(kind), KINDS[kind].node, {"kind"}) for kind in KINDS),
    ("plan", SCHEMA["properties"], About, SECTIONS),
    ("vehicle", properties_of("vehicle"), Vehicle, set()),
    ("factory-alternator", properties_of("factory-alternator"), FactoryAlternator, set()),
    ("restraints", properties_of("restraints"), Restraints, set()),
    ("customer", properties_of("customer"), Customer, set()),
    ("zone", properties_of("zone"), Zone, {"name", "kind", "segment"}),
    ("wire", properties_of("wire"), Wire, {"from", "to", "group"}),
    ("wire-group", properties_of("wire-group"), Wire, set()),
    ("segment", {**PASSAGE, **STRETCH}, Segment, set()),
    ("terminations", properties_of("terminations"), Terminations, set()),
    ("termination", properties_of("termination"), Termination, set()),
    ("hole", properties_of("hole"), Hole, set()),
    ("grommet", properties_of("grommet"), Grommet, set()),
    ("mount", properties_of("mount"), Mount, set()),
    ("fasteners", properties_of("fasteners"), Fasteners, set()),
    ("step", properties_of("step"), Step, set()),
    ("test", properties_of("test"), Check, set()),
    ("limit", properties_of("limit"), Limit, set()),
    ("part", properties_of("part"), Part, set()),
    ("document", properties_of("document"), Document, set()),
    ("photo", properties_of("photo"), Photo, set()),
    ("acceptance", properties_of("acceptance"), Acceptance, {"rule", "subject"}),
    ("block-output", properties_of("block-output"), BlockOutput, set()),
    ("amp-output", properties_of("amp-output"), Output, set()),
    ("processor-output", properties_of("processor-output"), Band, set()),
    ("radio-output", properties_of("radio-output"), RadioOutput, set()),
    ("curve-point", properties_of("curve-point"), CurvePoint, set()),
]
PROPERTIES = list(properties_in(SCHEMA))
FIELDS = [
    pytest.param(properties[key], convert, id=f"{name}.{key}")
    for name, properties, cls, _ in RECORDS
    for key, (_, convert) in readers_of(cls).items()
    if key in properties
]


def full(properties: Json) -> Json:
    """A mapping that gives every property its first example, with every property of what is in it."""
    return {key: _full(prop) for key, prop in properties.items()}


def _full(prop: Json) -> Any:
    whole = resolved(prop)
    example = copy.deepcopy(whole.get("examples", [None])[0])
    shape = whole.get("then", whole)
    if "additionalProperties" in shape and isinstance(shape["additionalProperties"], dict):
        return {**example, next(iter(example)): _full(shape["additionalProperties"])}
    if prop.get("$ref") == "#/$defs/not-applicable":
        return example
    if "items" in shape and "properties" in resolved(shape["items"]):
        return [_full(shape["items"]), *example[1:]]
    inner = resolved(shape) if "$ref" in shape else shape
    return full(inner["properties"]) if "properties" in inner else example


def full_plan() -> Json:
    """A plan in which every field of every class has its example, and which has all that the examples name."""
    sections = full({key: prop for key, prop in SCHEMA["properties"].items() if key not in ("nodes", "wires")})
    nodes = {kind: {**full(of_kind(kind)), "kind": kind} for kind in KINDS}
    named = {name: {"kind": "bus"} for name in ("main-fuse", "sub-amp", "boot-stud", "bass-box", "aux-battery")}
    route = [{**full(STRETCH), "zone": "engine-bay"}, full(PASSAGE), {"zone": "cabin"}]
    ends = {"from": "battery.positive", "to": "main-fuse"}
    feed = {**full(properties_of("wire")), **ends, "route": route}
    others = dict.fromkeys(("feed-rear", "amp-ground", "converter-ground", "signal-left"), ends)
    holes = {**sections["holes"], "firewall-hole": None}
    return {**sections, "nodes": {**nodes, **named}, "wires": {"feed": feed, **others}, "holes": holes}


@pytest.mark.parametrize("schema", [SCHEMA, REPORT], ids=["plan", "report"])
def test_a_schema_obeys_the_metaschema_of_its_draft(schema: Json) -> None:
    """JSON Schema draft 2020-12 publishes a schema of schemas; ours fit it."""
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    assert jsonschema_rs.meta.is_valid(schema)


def test_the_schema_and_the_dataclasses_know_the_same_kinds() -> None:
    """A kind that only one of both knows would be refused or would crash."""
    kinds = [branch["if"]["properties"]["kind"]["const"] for branch in DEFS["node"]["allOf"]]
    assert kinds == DEFS["node-kind"]["enum"] == list(KINDS)


@pytest.mark.parametrize(("name", "properties", "cls", "more"), RECORDS, ids=[row[0] for row in RECORDS])
def test_the_schema_has_the_fields_of_the_dataclass(name: str, properties: Json, cls: type, more: set[str]) -> None:
    """A field that the schema lacks cannot be written; one that the dataclass lacks is lost unread."""
    assert set(properties) == set(readers_of(cls)) | more, name


def test_every_class_of_the_plan_is_held_against_the_schema() -> None:
    """The list above is complete: every class that declares fields for the file, wherever it is used."""
    modules = (nodes, runs, audio, vehicle, model, work)
    found = {one for module in modules for one in vars(module).values() if isinstance(one, type) and readers(one)}
    listed = {cls for _, _, cls, _ in RECORDS}
    # Node, and what kinds have in common, stand in no file by themselves.
    assert listed | {Node, Device, Contacts} == found


def readers(cls: type) -> bool:
    """Whether a class declares fields for the file."""
    return hasattr(cls, "__dataclass_fields__") and bool(readers_of(cls))


@pytest.mark.parametrize(("path", "prop"), PROPERTIES, ids=[path for path, _ in PROPERTIES])
def test_every_property_is_described_with_examples_that_are_valid(path: str, prop: Json) -> None:
    """An editor shows both; messages quote the title and the examples."""
    full = resolved(prop)
    assert full["description"].endswith("."), path
    assert full["title"] and full["examples"], path
    judge = jsonschema.Draft202012Validator({**prop, "$defs": DEFS})
    assert [example for example in full["examples"] if not judge.is_valid(example)] == []


@pytest.mark.parametrize(("prop", "convert"), FIELDS)
def test_every_example_of_a_field_is_read_without_fault(prop: Json, convert: Convert) -> None:
    """The reader of the field (a quantity's by its dimension) understands what the schema shows."""
    faults: list[Fault] = []
    for example in resolved(prop)["examples"]:
        read = read_value(example, ("x",), faults, convert)
        assert (read is None) == (example == "not stated"), example
    assert faults == []


def test_quantities_are_titled_as_the_reader_of_quantities_names_them() -> None:
    """A missing unit and a wrong type are told in the same words."""
    titles = {d: DEFS[d.value]["title"] for d in Dimension if d.value in DEFS}
    assert len(titles) == len(Dimension)
    assert titles == {d: f"{d.phrase} with its unit" for d in titles}


WORDS = [
    (path, allowed["enum"])
    for path, prop in PROPERTIES
    for allowed in resolved(prop).get("anyOf", ())
    if "enum" in allowed
]


@pytest.mark.parametrize(("path", "words"), WORDS, ids=[path for path, _ in WORDS])
def test_words_are_of_small_letters_and_hyphens_and_may_be_not_stated(path: str, words: list[str]) -> None:
    """Only an amplifier's class is written large, as the trade does."""
    *own, last = words
    assert last == "not stated"
    assert len(set(own)) == len(own) >= 2
    assert path.endswith("/class") or all(word.replace("-", "").isalnum() and word.islower() for word in own)


def test_a_plan_with_every_field_is_accepted_and_understood() -> None:
    """Both libraries accept the plan made of all examples, and building it finds no fault."""
    plan = full_plan()
    assert [error.message for error in SLOW.iter_errors(plan)] == []
    assert FAST.is_valid(plan)
    assert build(plan).faults == ()


def spots(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The path of every value in plain data."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield (*path, key)
        yield from spots(item, (*path, key))


def with_value(plan: Json, path: tuple[str | int, ...], value: Any) -> Json:
    """A copy of the plan with another value at the path."""
    changed: Any = copy.deepcopy(plan)
    inner = changed
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    return dict(changed)


VALUES: list[Any] = [
    None,
    "not stated",
    "none",
    5,
    -1.5,
    True,
    [],
    {},
    {"not_applicable": "x"},
    {"not_applicable": ""},
    "A b\n",
]


def sections() -> dict[str, Json]:
    """The full plan in parts, each a plan of its own: a judge takes them one by one far sooner than the whole each time."""
    whole = full_plan()
    bare = {"plan": 1, "nodes": {"x": {"kind": "bus"}}}
    kinds = {kind: {"plan": 1, "nodes": {kind: whole["nodes"][kind]}} for kind in KINDS}
    # What may be said once for many are the same fields again, but for those of a step.
    whole["defaults"] = {key: of if key == "step" else {} for key, of in whole["defaults"].items()}
    whole["groups"] = {"power": {}}
    whole["wires"] = {"feed": whole["wires"]["feed"]}
    longer = {key: {**bare, key: whole.pop(key)} for key in [*whole] if isinstance(whole[key], (dict, list))}
    return {**kinds, **{key: part for key, part in longer.items() if key != "nodes"}, "about": {**bare, **whole}}


PARTS = sections()


@pytest.mark.parametrize("part", PARTS)
def test_both_libraries_agree_whatever_stands_wherever(part: str) -> None:
    """Each kind of value at each spot of a plan: the fast judge and the one that explains say the same."""
    plan = PARTS[part]
    assert SLOW.is_valid(plan) and FAST.is_valid(plan)
    changed = [with_value(plan, path, value) for path in spots(plan) for value in VALUES]
    accepted = [other for other in changed if SLOW.is_valid(other)]
    assert [other for other in changed if FAST.is_valid(other)] == accepted
    assert 0 < len(accepted) < len(changed)
    # What both accept, the builder must take without falling over.
    assert [other for other in accepted if falls(other)] == []


def falls(plan: Json) -> str:
    """How the builder falls over a plan that fits the schema; '' where it takes it."""
    try:
        return "" if build(plan).plan.nodes else "no nodes"
    except Exception as error:
        return repr(error)


def node(**fields: Any) -> Json:
    """A plan of one node named `x`."""
    return {"plan": 1, "nodes": {"x": fields}}


def wire(**fields: Any) -> Json:
    """A plan with one wire named `w`."""
    return {"plan": 1, "nodes": {"x": {"kind": "bus"}}, "wires": {"w": fields}}


ACCEPTED = {"rule": "r", "subject": "x"}
ENDS = {"from": "x", "to": "x.stud"}
BAD: list[tuple[str, Json, list[str]]] = [
    ("unknown kind", node(kind="fuze"), ["$.nodes.x.kind enum"]),
    ("kind is a list", node(kind=["fuse"]), ["$.nodes.x.kind enum"]),
    ("no kind", node(rating="80 A"), ["$.nodes.x required"]),
    ("node without a body", {"plan": 1, "nodes": {"x": None}}, ["$.nodes.x type"]),
    ("unknown field", node(kind="fuse", ratng="80 A"), ["$.nodes.x additionalProperties"]),
    ("field of another kind", node(kind="fuse", coils=2), ["$.nodes.x additionalProperties"]),
    ("bare number", node(kind="fuse", rating=80), ["$.nodes.x.rating anyOf"]),
    ("unknown word", node(kind="fuse", family="anl mini"), ["$.nodes.x.family anyOf"]),
    ("reason left out", node(kind="fuse", rating={"not_applicable": ""}), ["$.nodes.x.rating anyOf"]),
    ("no coils", node(kind="speaker", coils=0), ["$.nodes.x.coils anyOf"]),
    ("one fuse, no list", node(kind="amp", fuses="30 A"), ["$.nodes.x.fuses anyOf"]),
    ("number in a list", node(kind="amp", fuses=["30 A", 30]), ["$.nodes.x.fuses[1] anyOf"]),
    (
        "output field",
        node(kind="amp", outputs={"sub": {"ohm": 2}}),
        ["$.nodes.x.outputs.sub additionalProperties"],
    ),
    ("output name", node(kind="distribution", outputs={"left": {}}), ["$.nodes.x.outputs pattern"]),
    ("list of nodes", {"plan": 1, "nodes": []}, ["$.nodes type"]),
    ("nodes empty", {"plan": 1, "nodes": {}}, ["$.nodes minProperties"]),
    ("nodes null", {"plan": 1, "nodes": None}, ["$.nodes type"]),
    ("nodes left out", {"plan": 1}, ["$ required"]),
    ("large letters in a name", {"plan": 1, "nodes": {"Amp": {"kind": "bus"}}}, ["$.nodes pattern"]),
    ("version", {**node(kind="bus"), "plan": 2}, ["$.plan const"]),
    ("version as text", {**node(kind="bus"), "plan": "1"}, ["$.plan const"]),
    ("scope", {**node(kind="bus"), "scope": "all"}, ["$.scope enum"]),
    ("unknown section", {**node(kind="bus"), "wire": {}}, ["$ additionalProperties"]),
    ("list of holes", {**node(kind="bus"), "holes": []}, ["$.holes anyOf"]),
    ("list of wires", {**node(kind="bus"), "wires": [ENDS]}, ["$.wires anyOf"]),
    ("wire without an end", wire(**{"from": "x"}), ["$.wires.w required"]),
    ("end in words", wire(**ENDS | {"to": "the stud"}), ["$.wires.w.to pattern"]),
    ("route of words", wire(**ENDS, route="along the sill"), ["$.wires.w.route anyOf"]),
    ("segment of words", wire(**ENDS, route=["sill"]), ["$.wires.w.route[0] type"]),
    ("segment nowhere", wire(**ENDS, route=[{"length": "1 m"}]), ["$.wires.w.route[0] required"]),
    (
        "zone and hole at once",
        wire(**ENDS, route=[{"through": "h", "zone": "cabin"}]),
        ["$.wires.w.route[0] additionalProperties"],
    ),
    ("zone without name", {**node(kind="bus"), "zones": [{"kind": "cabin"}]}, ["$.zones[0] required"]),
    (
        "date in words",
        {**node(kind="bus"), "accepted": [ACCEPTED | {"until": "May"}]},
        ["$.accepted[0].until anyOf"],
    ),
]


@pytest.mark.parametrize(("name", "plan", "expected"), BAD, ids=[row[0] for row in BAD])
def test_one_mistake_gives_one_error_where_it_stands(name: str, plan: Json, expected: list[str]) -> None:
    """A mistake is told once, at its place, and both libraries refuse it."""
    assert [f"{e.json_path} {e.validator}" for e in SLOW.iter_errors(plan)] == expected, name
    assert not FAST.is_valid(plan)


GOOD: list[tuple[str, Json]] = [
    ("sections with nothing in them", {**node(kind="bus"), "wires": None, "zones": None, "accepted": None}),
    ("nothing to drill, nothing to do", {**node(kind="bus"), "holes": "none", "mounts": None, "steps": "none"}),
    ("not stated", node(kind="fuse", rating="not stated", family="not stated", factory="not stated")),
    ("nothing after the colon", node(kind="fuse", rating=None, family=None, factory=None)),
    ("not applicable", node(kind="amp", fuses={"not_applicable": "none on board"})),
    ("unknown lists", node(kind="amp", fuses="not stated", outputs="not stated")),
    ("output without body", node(kind="amp", outputs={"sub": None})),
    ("route not stated", wire(**ENDS, route="not stated")),
]


@pytest.mark.parametrize(("name", "plan"), GOOD, ids=[row[0] for row in GOOD])
def test_what_is_unknown_is_no_mistake(name: str, plan: Json) -> None:
    """Unknown and inapplicable values fit the schema and build without fault."""
    assert [error.message for error in SLOW.iter_errors(plan)] == [], name
    assert FAST.is_valid(plan)
    assert build(plan).faults == ()


def sample_report() -> Json:
    """A report with one entry of every sort."""
    place = {"line": 3, "column": 5, "end_line": 3, "end_column": 9}
    finding = {
        "rule": "main-fuse-too-far",
        "severity": "error",
        "subject": {"about": "wire", "name": "feed"},
        "message": "90 cm of cable before the first fuse; at most 18 in",
        "place": place,
        "related": [{"message": "the first fuse", "place": place}],
        "facts": {"unfused_reach": {"value": 0.9, "unit": "m"}, "circuit": "supply"},
        "remedy": "move the fuse",
        "sources": [{"origin": "common practice"}, {"origin": "published", "cite": "33 CFR 183.455"}],
        "consequences": [
            {
                "rule": "source-wire-unfused",
                "severity": "error",
                "subject": {"about": "wire", "name": "feed"},
                "message": "unfused",
            }
        ],
    }
    assumption = {
        "name": "body_resistance", "about": "", "meaning": "resistance of the body", "value": 0.002, "unit": "ohm",
        "rules": ["return-drop-high"], "subjects": ["amp"], "fails_beyond": 0.0031, "text": "holds at 2 mohm",
    }  # fmt: skip
    entry = {
        "plan": "a.plan.yaml",
        "verdict": "ready (electrical only)",
        "counts": {"error": 1, "warning": 0, "note": 0, "accepted": 1, "cannot_check": 1},
        "findings": [finding],
        "accepted": [{**finding, "reason": "measured", "by": "the foreman", "until": "2031-05-31"}],
        "cannot_check": [{"needs": "length of feed", "rules": ["drop-high"], "place": place}],
        "assumed": [assumption],
    }
    return {"report": 1, "plans": [entry]}


def test_a_report_of_every_sort_of_entry_fits_the_report_schema() -> None:
    """The shape is the one that DESIGN gives to other programs."""
    assert [error.message for error in jsonschema.Draft202012Validator(REPORT).iter_errors(sample_report())] == []
    assert jsonschema_rs.validator_for(REPORT).is_valid(sample_report())


@pytest.mark.parametrize("path", list(spots(sample_report())), ids=lambda path: "/".join(map(str, path)))
def test_a_report_with_a_wrong_value_anywhere_does_not_fit(path: tuple[str | int, ...]) -> None:
    """A truth value stands nowhere in a report, so at every spot it must be refused."""
    wrong = with_value(sample_report(), path, True)
    assert not jsonschema.Draft202012Validator(REPORT).is_valid(wrong)
    assert not jsonschema_rs.validator_for(REPORT).is_valid(wrong)


@pytest.mark.parametrize(
    "spot",
    [(), ("plans", 0), ("plans", 0, "findings", 0), ("plans", 0, "accepted", 0), ("plans", 0, "assumed", 0)],
)
def test_a_report_has_no_other_fields(spot: tuple[str | int, ...]) -> None:
    """An unknown field in a report is a fault of planlint, not an extension."""
    wrong = with_value({"x": sample_report()}, ("x", *spot, "surprise"), 1)["x"]
    assert not jsonschema.Draft202012Validator(REPORT).is_valid(wrong)


def test_every_field_of_a_report_is_described() -> None:
    """Another program's author learns the shape from the schema alone."""
    fields = list(properties_in(REPORT, "report"))
    assert len(fields) > 40
    assert [path for path, prop in fields if not prop["description"].endswith(".")] == []
