"""What a schema wants at a place, in words: its title, an example, the words to choose from."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from planlint.frozen import frozen
from planlint.text.keywords import Schema, parts, target

_TYPES = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "object": "names and values",
    "array": "a list",
    "boolean": "true or false",
    "null": "nothing",
}
_BESIDE = {"properties", "patternProperties"}
_INSIDE = {"items", "additionalProperties", "unevaluatedProperties"}
_CHOICE = {"allOf", "anyOf", "oneOf"}


@frozen
class Wanted:
    """What is expected: `name` reads on after "expected"; `is_closed` where only `choices` will do."""

    name: str
    example: Any
    choices: tuple[str, ...]
    is_closed: bool


def wanted(root: Schema, schemas: Iterable[Any]) -> Wanted:
    """What these schemas, all of one place and the outermost first, want of its value."""
    every = [part for schema in schemas for part in _with_choices(root, schema)]
    choices = tuple(dict.fromkeys(word for part in every for word in _words(part)))
    examples = [part["examples"][0] for part in every if part.get("examples")]
    return Wanted(
        name=_name(every),
        example=examples[0] if examples else None,
        choices=choices,
        is_closed=bool(choices) and not any(_is_open(part) for part in every),
    )


def at_place(root: Schema, schema_path: Iterable[Any]) -> list[Any]:
    """The schemas that an error's path passes at the error's own place, outermost first."""
    steps = iter(schema_path)
    here: list[Any] = [root]
    for step in steps:
        current = _holder(root, here[-1], step)
        if current is not here[-1]:
            here.append(current)
        if step in _BESIDE:
            here = [current[step][next(steps)]]
        elif step in _INSIDE and isinstance(current[step], Mapping):
            here = [current[step]]
        elif step in _CHOICE and (choice := next(steps, None)) is not None:
            here.append(current[step][choice])
        elif step in ("then", "else"):
            here.append(current[step])
    return here


def property_schemas(root: Schema, schemas: Iterable[Any], name: str) -> list[Any]:
    """What the schemas of an element say of its property."""
    every = (part for schema in schemas for part in parts(root, schema))
    return [part["properties"][name] for part in every if name in part.get("properties", ())]


def inline(value: Any) -> str:
    """A value as it may be written in a plan, on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name}: {inline(inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(inline(inner) for inner in value) + "]"
    return str(value).lower() if isinstance(value, bool) or value is None else str(value)


def _holder(root: Schema, schema: Any, step: Any) -> Any:
    """The part of a schema in which the keyword stands: references leave no trace in an error's path."""
    while isinstance(schema, Mapping) and step not in schema and "$ref" in schema:
        schema = target(root, schema["$ref"])
    return schema


def _with_choices(root: Schema, schema: Any) -> Iterator[Schema]:
    for part in parts(root, schema):
        yield part
        for choice in part.get("anyOf", ()):
            yield from _with_choices(root, choice)


def _words(part: Schema) -> Iterator[str]:
    for word in part.get("enum", ()):
        yield inline(word)
    if "const" in part:
        yield inline(part["const"])


def _is_open(part: Schema) -> bool:
    listed = "enum" in part or "const" in part
    return not listed and ("pattern" in part or "type" in part)


def _name(every: list[Schema]) -> str:
    for part in every:
        if title := part.get("title"):
            return _with_article(title)
    types = [part["type"] for part in every if isinstance(part.get("type"), str)]
    return " or ".join(dict.fromkeys(_TYPES[kind] for kind in types)) or "another value"


def _with_article(title: str) -> str:
    words = title.split()
    if words[0].lower() in ("a", "an", "the", "one", "some", "text", "names"):
        return title[0].lower() + title[1:]
    plain = title if words[0].isupper() and len(words[0]) > 1 else title[0].lower() + title[1:]
    return f"{'an' if plain[0].lower() in 'aeio' else 'a'} {plain}"
