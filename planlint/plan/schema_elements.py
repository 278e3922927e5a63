"""The parts of the plan schema that describe elements: vehicle, wires, nodes, the work, and defaults for them."""

from __future__ import annotations

from planlint.plan.audio import Band, Output, RadioOutput
from planlint.plan.fields import Json
from planlint.plan.kinds import KINDS
from planlint.plan.model import Acceptance, Segment, Termination, Terminations, Wire
from planlint.plan.runs import BlockOutput, CurvePoint
from planlint.plan.schema_parts import record, ref
from planlint.plan.values import ORIGINAL
from planlint.plan.vehicle import Customer, FactoryAlternator, Restraints, Vehicle, Zone
from planlint.plan.work import Check, Document, Fasteners, Grommet, Hole, Limit, Mount, Part, Photo, Step


def definitions() -> Json:
    """Return the definitions of all elements by name."""
    return {**_vehicle_records(), **_wire_records(), **_work_records(), **_nodes(), **_defaults()}


def fields_of(cls: type, *, but: tuple[str, ...] = ()) -> Json:
    """Return the schemas of a dataclass's fields by their keys in the file."""
    fields = cls.__dataclass_fields__  # type: ignore[attr-defined]
    keys = {ORIGINAL.get(name, name): entry.metadata for name, entry in fields.items() if "schema" in entry.metadata}
    return {key: metadata["schema"] for key, metadata in keys.items() if key not in but}


def _required(cls: type) -> list[str]:
    fields = cls.__dataclass_fields__  # type: ignore[attr-defined]
    return [name for name, entry in fields.items() if entry.metadata.get("required")]


def _named(description: str, properties: Json) -> Json:
    return {"description": description, "additionalProperties": False, "properties": properties}


def _plain(title: str, example: Json, properties: Json) -> Json:
    """Return the definition of a record without required fields; its key alone, without a value, is a record too."""
    return {**record(title, example, properties), "type": ["object", "null"]}


def _zone_names() -> Json:
    kinds = ("engine-bay", "cabin", "cargo", "bed", "box", "underbody", "battery-box")
    return {
        "name": ref("name", "Name by which nodes and routes refer to the zone.", "engine-bay", "cabin"),
        "kind": {
            "title": "a kind of zone",
            "description": "What kind of place it is; the name where it is left out.",
            "examples": list(kinds[:2]),
            "enum": list(kinds),
        },
        "segment": ref(
            "segment-defaults", "What holds for every stretch of cable in this zone unless the stretch says otherwise."
        ),
    }


_GROUP = ref(
    "names",
    "Groups whose fields the wire takes over where it does not state its own; of two, the later goes first.",
    "power",
)


def _ends() -> Json:
    rest = "a node and its terminal; the terminal may be left out where there is only one."
    return {
        "from": ref("endpoint", f"Where the wire begins: {rest}"),
        "to": ref("endpoint", f"Where the wire ends: {rest}", "main-fuse.line", "floor-stud"),
    }


def _terminals(kind: str) -> str:
    names = [name.replace("-*", "-1 ...") for name, _ in KINDS[kind].terminals]
    own = ", and positive and negative of each output (sub-positive, sub-negative)" if kind == "amp" else ""
    return f" Terminals: {', '.join(names)}{own}." if names else ""


def _vehicle_records() -> Json:
    """Return the definitions of the vehicle and of the parts of its nodes."""
    return {
        "vehicle": _plain(
            "a mapping of what is known of the vehicle", {"system": "12 V", "body": "steel-unibody"}, fields_of(Vehicle)
        ),
        "factory-alternator": _named("The vehicle maker's alternator.", fields_of(FactoryAlternator)),
        "restraints": _named("Airbags and belt tensioners.", fields_of(Restraints)),
        "customer": _plain(
            "a mapping of how it will be used", {"engine_off": "1 h", "duty": "35 %"}, fields_of(Customer)
        ),
        "zone": record("a zone", {"name": "engine-bay"}, {**_zone_names(), **fields_of(Zone)}, required=["name"]),
        "block-output": _plain(
            "an output of a distribution block", {"fuse": "60 A", "family": "anl-mini"}, fields_of(BlockOutput)
        ),
        "amp-output": _plain(
            "an output of an amplifier", {"power": "600 W", "at": "2 ohm", "lowest": "2 ohm"}, fields_of(Output)
        ),
        "processor-output": _plain("an output of a processor", {"low_pass": "80 Hz"}, fields_of(Band)),
        "radio-output": _plain(
            "an output of the radio", {"type": "speaker-bridged", "highest": "6.5 V"}, fields_of(RadioOutput)
        ),
        "curve-point": _plain("a point of a curve", {"current": "160 A", "opens": "5 s"}, fields_of(CurvePoint)),
    }


def _wire_records() -> Json:
    """Return the definitions of wires, their routes and their ends."""
    route, hole = fields_of(Segment, but=("through",)), {"through": fields_of(Segment)["through"]}
    return {
        "segment": {
            "title": "a stretch in a zone or a hole passed through",
            "examples": [
                {"zone": "cabin", "along": "sill", "side": "left", "length": "3.4 m"},
                {"through": "firewall-hole"},
            ],
            "type": "object",
            "if": {"required": ["through"]},
            "then": _named("A passage through a panel.", hole),
            "else": {**_named("A stretch within a zone.", route), "required": ["zone"]},
        },
        "termination": _named("One end of a wire.", fields_of(Termination)),
        "terminations": _named("How the ends of a wire are made.", fields_of(Terminations)),
        "wire": record(
            "a wire",
            {"from": "battery.positive", "to": "main-fuse.line", "gauge": "4 AWG", "length": "15 cm"},
            {**_ends(), "group": _GROUP, **fields_of(Wire)},
            required=["from", "to"],
        ),
        "wire-group": _plain(
            "what the wires of a group share", {"gauge": "4 AWG", "material": "copper"}, fields_of(Wire)
        ),
    }


def _work_records() -> Json:
    """Return the definitions of holes and mounts, and of the entries of all lists of the work."""
    return {
        "hole": _plain("a hole", {"barrier": "bulkhead", "serves": "feed-rear", "diameter": "16 mm"}, fields_of(Hole)),
        "grommet": _named("A grommet.", fields_of(Grommet)),
        "mount": _plain("a mount", {"holds": "sub-amp", "mass": "3.6 kg", "substrate": "wood"}, fields_of(Mount)),
        "fasteners": _named("What holds a mount.", fields_of(Fasteners)),
        "step": record(
            "a step", {"do": "disconnect-negative", "of": "battery"}, fields_of(Step), required=_required(Step)
        ),
        "test": record(
            "a test",
            {"test": "supply-drop", "condition": "full load", "limit": {"at_most": "0.5 V"}},
            fields_of(Check),
            required=_required(Check),
        ),
        "limit": _named("What a test must show.", fields_of(Limit)),
        "part": record("a part", {"part": "fuse", "size": "80 A strip"}, fields_of(Part), required=_required(Part)),
        "document": record(
            "a document",
            {"document": "consent", "ref": "job sheet 14"},
            fields_of(Document),
            required=_required(Document),
        ),
        "photo": _plain("a photo", {"of": "boot-stud", "when": "before"}, fields_of(Photo)),
        "acceptance": record(
            "an accepted finding",
            {"rule": "ground-too-long", "subject": "amp-ground", "reason": "measured 1.1 mohm", "by": "the foreman"},
            {
                "rule": ref("name", "Rule whose finding is accepted.", "ground-too-long"),
                "subject": ref(
                    "endpoint",
                    "Name of the part, wire or other element it is accepted for; `block.out-1` for the output of a block.",
                    *("amp-ground", "block.out-1"),
                ),
                **fields_of(Acceptance),
            },
            required=["rule", "subject"],
        ),
    }


def _nodes() -> Json:
    """Return the definitions of the nodes, of which `kind` chooses one, and of what stands for what is not said of them."""
    kind: Json = {
        "description": "What the part is; it decides which fields and terminals it has.",
        "title": "a kind of node",
        "examples": ["battery", "fuse", "amp"],
        "enum": list(KINDS),
    }
    own = {
        name: _named(
            " ".join((it.node.__doc__ or "").split("; `")[0].split()).rstrip(".") + "." + _terminals(name),
            {"kind": {"$ref": "#/$defs/node-kind"}, **fields_of(it.node)},
        )
        for name, it in KINDS.items()
    }
    chosen = [
        {
            "if": {"required": ["kind"], "properties": {"kind": {"const": name}}, "type": "object"},
            "then": {"$ref": f"#/$defs/{name}"},
        }
        for name in KINDS
    ]
    node = {
        "title": "a part of the system",
        "examples": [{"kind": "fuse", "family": "anl-mini", "rating": "80 A"}],
        "type": "object",
        "required": ["kind"],
        "properties": {"kind": {"$ref": "#/$defs/node-kind"}},
        "allOf": chosen,
    }
    return {"node-kind": kind, "node": node, **own}


def _defaults() -> Json:
    """Return the definition of what holds unless an element says otherwise."""
    of = {"wire": "wire-group", "end": "termination", "segment": "segment-defaults", "hole": "hole", "mount": "mount"}
    of |= {"block-output": "block-output", "step": "step-defaults", "test": "test-defaults", "part": "part-defaults"}
    of |= {kind: kind for kind in KINDS}
    properties = {
        name: {
            "title": f"fields of every {name}",
            "type": ["object", "null"],
            **ref(one, f"What holds for every {name} that says nothing else.", {}),
        }
        for name, one in of.items()
    }
    segment = _plain("what the stretches share", {"support": "300 mm"}, fields_of(Segment, but=("zone", "through")))
    defaults = _plain("a mapping of kinds of element to fields", {"wire": {"material": "copper"}}, properties)
    step = _plain("what the steps share", {"wear": ["eyes"]}, fields_of(Step, but=("do",)))
    test = _plain("what the tests share", {"by": "the installer"}, fields_of(Check, but=("test",)))
    part = _plain("what the parts share", {"spare": 1}, fields_of(Part, but=("part",)))
    return {
        "segment-defaults": segment,
        "step-defaults": step,
        "test-defaults": test,
        "part-defaults": part,
        "defaults": defaults,
    }
