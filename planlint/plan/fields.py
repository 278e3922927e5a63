"""How the dataclasses of a plan declare their fields: how each is read, and how the schema describes it."""

from __future__ import annotations

from dataclasses import field
from typing import Any

from planlint.plan.quantity import Dimension
from planlint.plan.values import (
    NOT_STATED,
    Convert,
    any_quantity,
    distance,
    fuse_or_none,
    items,
    many,
    named,
    plain,
    quantity,
    record,
)

Json = dict[str, Any]


def declared(convert: Convert, schema: Json, *, default: Any = None, required: bool = False) -> Any:
    """Declare a field with its reader and its part of the schema; unknown unless the file states it."""
    return field(default=default, metadata={"convert": convert, "schema": schema, "required": required})


def _of(ref: str, about: str, examples: tuple[Any, ...]) -> Json:
    # An editor writes a single example into the plan, where it would look like a statement.
    examples = (*examples, NOT_STATED) if len(examples) == 1 else examples
    return {"description": about, "$ref": f"#/$defs/{ref}", **({"examples": list(examples)} if examples else {})}


def measure(dimension: Dimension, about: str, *examples: str) -> Any:
    """Declare a quantity."""
    return declared(quantity(dimension), _of(dimension.value, about, examples))


def measured(about: str, *examples: str) -> Any:
    """Declare a quantity of whichever dimension its unit tells."""
    return declared(any_quantity, _of("quantity", about, examples))


def nearest(what: str) -> Any:
    """Declare the distance to what must not be hit, touched or heated; `none-near` where there is none."""
    return declared(
        distance, _of("distance", f"Distance to {what}; `none-near` where nothing of it lies within 300 mm.", ())
    )


def fuse_or_no_fuse(about: str) -> Any:
    """Declare the rating of a fuse that may be missing on purpose."""
    return declared(fuse_or_none, _of("fuse-rating-or-none", about, ("60 A", "none")))


def text(about: str, *examples: str, required: bool = False) -> Any:
    """Declare a text."""
    return declared(plain, _of("text", about, examples), required=required)


def flag(about: str) -> Any:
    """Declare something that is true or false."""
    return declared(plain, _of("flag", about, ()))


def count(about: str, *examples: int) -> Any:
    """Declare a whole number from 1 up."""
    return declared(plain, _of("count", about, examples))


def day(about: str) -> Any:
    """Declare a date."""
    return declared(plain, _of("date", about, ()))


def choice(title: str, about: str, *words: str, example: str = "", required: bool = False) -> Any:
    """Declare a word out of a closed list; `title` names it in messages."""
    examples = [example or words[0], *(() if required else (NOT_STATED,))]
    if required:
        return declared(
            plain, {"title": title, "description": about, "examples": examples, "enum": list(words)}, required=True
        )
    return declared(plain, {"title": title, "description": about, "examples": examples, "anyOf": words_of(words)})


def words_of(words: tuple[str, ...]) -> list[Json]:
    """Return the alternatives of a closed list of words."""
    return [{"enum": [*words, NOT_STATED]}, {"$ref": "#/$defs/not-applicable"}, {"type": "null"}]


def names(about: str, *examples: str) -> Any:
    """Declare a list of names; one name alone may stand without the list."""
    return declared(_names, _of("names", about, ([*examples], examples[0])), default=())


def _names(value: Any, _path: Any, _faults: Any) -> tuple[str, ...]:
    return tuple(value) if isinstance(value, list) else (str(value),)


def choices(title: str, about: str, *words: str) -> Any:
    """Declare a list of words out of a closed list; one word alone may stand without the list."""
    then = {"items": {"title": title, "examples": [words[0]], "enum": list(words)}}
    schema = _container(about, f"a list, each {title}", "array", then, [list(words[:2]), words[0]])
    schema["else"]["anyOf"].insert(0, {"enum": list(words)})
    return declared(_names, schema)


def several(dimension: Dimension, about: str, title: str, *examples: str) -> Any:
    """Declare a list of quantities, which may not apply."""
    then = {"items": {"$ref": f"#/$defs/{dimension.value}"}}
    return declared(many(quantity(dimension)), _container(about, title, "array", then, [list(examples)], na=True))


def within(cls: type, ref: str, about: str, title: str, example: Json) -> Any:
    """Declare a mapping of further fields."""
    return declared(record(cls), _container(about, title, "object", {"$ref": f"#/$defs/{ref}"}, [example]))


def by_name(cls: type, ref: str, about: str, title: str, example: Json, keys: Json | None = None) -> Any:
    """Declare a mapping of names to mappings of further fields."""
    then = {"propertyNames": keys or {"$ref": "#/$defs/name"}, "additionalProperties": {"$ref": f"#/$defs/{ref}"}}
    return declared(named(record(cls)), _container(about, title, "object", then, [example]), default=())


def listed(cls: type, ref: str, about: str, title: str, example: list[Json]) -> Any:
    """Declare a list of mappings of further fields."""
    then = {"items": {"$ref": f"#/$defs/{ref}"}}
    return declared(items(record(cls)), _container(about, title, "array", then, [example]), default=())


def _container(about: str, title: str, shape: str, then: Json, examples: list[Any], *, na: bool = False) -> Json:
    """Return the schema of a list or mapping that may be not stated; by if/then, so that what is wrong inside it is told
    at its own place."""
    examples = [*examples, NOT_STATED]
    other = [{"const": NOT_STATED}, *([{"$ref": "#/$defs/not-applicable"}] if na else []), {"type": "null"}]
    return {
        "description": about,
        "if": {"type": shape},
        "then": then,
        "else": {"title": title, "examples": examples, "anyOf": other},
        "title": title,
        "examples": examples,
    }
