"""Writes the schema of plan files from the dataclasses, so that a field is described in one place."""

from __future__ import annotations

from planlint.plan.fields import Json
from planlint.plan.model import About
from planlint.plan.schema_elements import definitions, fields_of
from planlint.plan.schema_parts import ref, section, values


def plan_schema() -> Json:
    """Return the schema of plan files, JSON Schema draft 2020-12."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "a plan",
        "description": "A plan for adding an amplifier and a subwoofer to a vehicle. Quantities are texts with their unit; "
        "what is not stated is unknown and never assumed to be good.",
        "type": "object",
        "required": ["plan", "nodes"],
        "additionalProperties": False,
        "properties": {**_about(), **_shared(), **_network(), **_work()},
        "$defs": {**values(), **definitions()},
    }


def _by_name(definition: str) -> Json:
    return {
        "type": "object",
        "propertyNames": {"$ref": "#/$defs/name"},
        "additionalProperties": {"$ref": f"#/$defs/{definition}"},
    }


def _list(definition: str) -> Json:
    return {"type": "array", "items": {"$ref": f"#/$defs/{definition}"}}


def _about() -> Json:
    """Return the sections that say what the plan is about."""
    return {
        "plan": {
            "description": "Version of this format.",
            "title": "the version of the format",
            "examples": [1],
            "const": 1,
        },
        "title": {
            "description": "What the job is, in one line.",
            "title": "a text",
            "examples": ["Cargo-area sub for a compact hatchback"],
            "type": "string",
        },
        **fields_of(About),
        "scope": {
            "description": "Whether the whole job is judged or only its electrical part.",
            "title": "the scope of the plan",
            "examples": ["electrical"],
            "enum": ["electrical", "whole"],
        },
        "vehicle": ref("vehicle", "The vehicle as found, before the work."),
        "customer": ref("customer", "How the system will be used."),
    }


def _shared() -> Json:
    """Return the sections that hold for many elements."""
    return {
        "zones": section(
            "Parts of the vehicle between its panels, from front to rear in the order in which they stand.",
            "a list of zones",
            # Two examples: an editor fills in an only one by itself, and garbles a list of mappings.
            [
                [{"name": "engine-bay"}, {"name": "cabin"}, {"name": "cargo"}],
                [{"name": "cabin"}, {"name": "boot", "kind": "cargo"}],
            ],
            _list("zone"),
        ),
        "defaults": ref("defaults", "What holds unless an element says otherwise, by kind of element."),
        "groups": section(
            "Fields that wires share, by the name of the group that a wire names in `group`.",
            "a mapping of names to fields of wires",
            [{"power": {"gauge": "4 AWG", "material": "copper", "insulation": "105 C"}}],
            _by_name("wire-group"),
        ),
    }


def _network() -> Json:
    """Return the sections that make the circuit."""
    battery = {"battery": {"kind": "battery", "capacity": "60 Ah"}}
    feed = {"feed": {"from": "battery.positive", "to": "main-fuse.line", "gauge": "4 AWG", "length": "15 cm"}}
    return {
        "nodes": {
            "description": "The parts of the system by name: batteries, fuses, amplifiers, ground points and so on.",
            "title": "a mapping of names to parts",
            "examples": [battery],
            "minProperties": 1,
            **_by_name("node"),
        },
        "wires": section(
            "The wires by name, each from a terminal of one part to a terminal of another.",
            "a mapping of names to wires",
            [feed],
            _by_name("wire"),
        ),
    }


def _work() -> Json:
    """Return the sections of the work, and what someone takes responsibility for."""
    hole = {"boot-hole": {"barrier": "boot floor", "serves": "boot-stud", "diameter": "10 mm"}}
    mount = {"amp-board": {"holds": ["sub-amp"], "mass": "6 kg"}}
    drop = {"test": "supply-drop", "of": "sub-amp", "condition": "full load", "limit": {"at_most": "0.5 V"}}
    return {
        "holes": section(
            "What will be drilled or re-used; `none` where nothing will be.",
            *("a mapping of names to holes", [hole], _by_name("hole"), "none"),
        ),
        "mounts": section(
            "What is fixed where; `none` where nothing is.",
            *("a mapping of names to mounts", [mount], _by_name("mount"), "none"),
        ),
        "steps": section(
            "The work in its order; `none` where the plan leaves it out on purpose.",
            *("a list of steps", [[{"do": "disconnect-negative", "of": "battery"}]], _list("step"), "none"),
        ),
        "tests": section(
            "What will be measured after the work; `none` where the plan leaves it out on purpose.",
            *("a list of tests", [[drop]], _list("test"), "none"),
        ),
        **_papers(),
    }


def _papers() -> Json:
    """Return the sections of parts and papers, and of what someone takes responsibility for."""
    accepted = {"rule": "ground-too-long", "subject": "amp-ground", "reason": "measured 1.1 mohm", "by": "the foreman"}
    return {
        "parts": section(
            "The parts list; `none` where the plan leaves it out on purpose.",
            *(
                "a list of parts",
                [[{"part": "fuse", "size": "80 A strip", "amount": 1, "spare": 1}]],
                _list("part"),
                "none",
            ),
        ),
        "documents": section(
            "Papers that go with the job; `none` where there are none.",
            *("a list of documents", [[{"document": "consent", "ref": "job sheet 14"}]], _list("document"), "none"),
        ),
        "photos": section(
            "Photos that belong to the job; `none` where there are none.",
            *("a list of photos", [[{"of": "boot-stud", "when": "before"}]], _list("photo"), "none"),
        ),
        "accepted": section(
            "Findings that someone takes responsibility for.",
            "a list of accepted findings",
            [[accepted], [{**accepted, "until": "2031-06-01"}]],
            _list("acceptance"),
        ),
    }
