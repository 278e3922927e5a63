"""The parts of the plan schema that know no field: values, records, sections."""

from __future__ import annotations

from typing import Any

from planlint.plan.fields import Json
from planlint.plan.units import Dimension
from planlint.plan.values import NONE_NEAR, NOT_STATED

_END = r"(?!\n)$"
_NAME = "[a-z0-9][a-z0-9-]*"
_NOT_APPLICABLE: Json = {"$ref": "#/$defs/not-applicable"}
_UNKNOWN: list[Json] = [_NOT_APPLICABLE, {"type": "null"}]


def _value(title: str, examples: list[Any], *branches: Json) -> Json:
    return {"title": title, "examples": [*examples, NOT_STATED], "anyOf": [*branches, *_UNKNOWN]}


def values() -> Json:
    """Return the definitions of single values."""
    found: Json = {
        "name": {
            "title": "a name of small letters, digits and hyphens",
            "examples": ["main-fuse", "amp-2"],
            "type": "string",
            "pattern": f"^{_NAME}{_END}",
        },
        "endpoint": {
            "title": "a node and its terminal",
            "examples": ["battery.positive", "floor-stud"],
            "type": "string",
            "pattern": rf"^{_NAME}(\.{_NAME})?{_END}",
        },
        "not-applicable": record(
            "a statement that the field has no value here, with the reason",
            None,
            {
                "not_applicable": {
                    "description": "Why the field has no value here.",
                    "title": "a reason",
                    "examples": ["the unit has no fuse of its own"],
                    "type": "string",
                    "minLength": 1,
                }
            },
            required=["not_applicable"],
        ),
        **_plain_values(),
    }
    for dimension, examples in _EXAMPLES.items():
        found[dimension.value] = _value(f"{dimension.phrase} with its unit", examples, {"type": "string"})
    return found


def _plain_values() -> Json:
    """Return the definitions of values that are read as they stand, and of quantities of more than one form."""
    word: Json = {"const": NOT_STATED}
    day = "^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])" + _END
    return {
        "text": _value("a text", ["left of the battery"], {"type": "string"}),
        "flag": _value("true or false", [True, False], {"type": "boolean"}, word),
        "count": _value("a whole number from 1 up", [1, 2], {"type": "integer", "minimum": 1}, word),
        "date": _value("a date as year-month-day", ["2031-05-31"], {"type": "string", "pattern": day}, word),
        "names": {
            "title": "a name or a list of names",
            "examples": ["main-fuse", ["main-fuse", "sub-amp"], NOT_STATED],
            "anyOf": [
                {"type": "array", "items": {"$ref": "#/$defs/name"}},
                {"type": "string", "pattern": f"^{_NAME}{_END}"},
                word,
                {"type": "null"},
            ],
        },
        "quantity": _value("a quantity with its unit", ["0.5 V", "5 mohm", "50 mA"], {"type": "string"}),
        "distance": _value(
            f"a length with its unit, or the word {NONE_NEAR}", ["120 mm", NONE_NEAR], {"type": "string"}
        ),
        "fuse-rating-or-none": _value(
            "a current with its unit, or the word none", ["60 A", "none"], {"type": "string"}
        ),
    }


_EXAMPLES: dict[Dimension, list[Any]] = {
    Dimension.LENGTH: ["5.2 m", "17 ft 6 in"],
    Dimension.AREA: ["4 AWG", "25 mm2"],
    Dimension.CURRENT: ["80 A", "300 mA"],
    Dimension.VOLTAGE: ["12.6 V", "100 mV"],
    Dimension.RESISTANCE: ["4 ohm", "4.5 mohm"],
    Dimension.POWER: ["600 W", "1.2 kW"],
    Dimension.CHARGE: ["60 Ah", "70 Ah maker"],
    Dimension.TEMPERATURE: ["105 C", "50 C"],
    Dimension.CAPACITANCE: ["1 F", "0.5 F"],
    Dimension.MASS: ["3.6 kg", "8 lb"],
    Dimension.FORCE: ["1 kN", "400 N"],
    Dimension.TIME: ["15 min", "1.2 ms"],
    Dimension.FREQUENCY: ["80 Hz", "3 kHz"],
    Dimension.TORQUE: ["8 N.m", "6 lbf.ft"],
    Dimension.VOLUME: ["28 L", "1 ft3"],
    Dimension.RATIO: ["35 %"],
}


def record(title: str, example: Json | None, properties: Json, *, required: list[str] | None = None) -> Json:
    """Return the definition of a mapping with these fields and no others."""
    return {
        "title": title,
        **({"examples": [example]} if example else {}),
        "type": "object",
        **({"required": required} if required else {}),
        "additionalProperties": False,
        "properties": properties,
    }


def ref(name: str, description: str, *examples: Any) -> Json:
    """Return a field that another definition describes."""
    return {"description": description, "$ref": f"#/$defs/{name}", **({"examples": [*examples]} if examples else {})}


def section(description: str, title: str, examples: list[Any], shape: Json, empty: str = "") -> Json:
    """Return a section of the plan; `empty` is the word that says that there is nothing of it."""
    word: list[Json] = [{"const": empty}] if empty else []
    return {
        "description": description,
        "if": {"type": shape["type"]},
        "then": shape,
        "else": {
            "title": title,
            "examples": [*examples, *([empty] if empty else [])],
            "anyOf": [*word, {"type": "null"}],
        },
        "title": title,
        "examples": [*examples, *([empty] if empty else [])],
    }
