"""The keywords of JSON Schema as an explanation needs them checked: one error for one mistake."""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from jsonschema import Draft202012Validator, validators
from jsonschema.exceptions import ValidationError

Schema = Mapping[str, Any]
_STANDARD: Mapping[str, Callable[..., Any]] = Draft202012Validator.VALIDATORS
# What an error of ours is about, in the place of the keyword's name.
UNKNOWN_KEY, MISSING_KEY, BAD_NAME = "unknown key", "missing key", "bad name"


def target(root: Schema, reference: str) -> Any:
    """What stands at a local reference such as `#/$defs/length`. Raises KeyError for a wrong one."""
    found: Any = root
    for step in reference.removeprefix("#").split("/")[1:]:
        found = found[step.replace("~1", "/").replace("~0", "~")]
    return found


def parts(root: Schema, schema: Any) -> Iterator[Schema]:
    """The schema and all that hold with it in any case: its reference and the parts of its allOf."""
    if not isinstance(schema, Mapping):
        return
    yield schema
    if "$ref" in schema:
        yield from parts(root, target(root, schema["$ref"]))
    for part in schema.get("allOf", ()):
        yield from parts(root, part)


def explaining_validator(root: Schema) -> Any:
    """A validator for the schema whose errors carry what an explanation needs."""

    def unevaluated(validator: Any, inner: Any, instance: Any, schema: Schema) -> Iterator[ValidationError]:
        if inner is not False:
            yield from _STANDARD["unevaluatedProperties"](validator, inner, instance, schema)
        elif isinstance(instance, dict):
            yield from _unknown_keys(instance, _known(validator, root, schema, instance))

    own = {
        "additionalProperties": _additional,
        "unevaluatedProperties": unevaluated,
        "required": _required,
        "propertyNames": _names,
        "anyOf": _any_of,
    }
    extend: Any = validators.extend  # untyped in its stubs
    return extend(Draft202012Validator, own)(root)


def _additional(validator: Any, inner: Any, instance: Any, schema: Schema) -> Iterator[ValidationError]:
    if inner is not False:
        yield from _STANDARD["additionalProperties"](validator, inner, instance, schema)
    elif isinstance(instance, dict):
        yield from _unknown_keys(instance, [schema])


def _unknown_keys(instance: dict[str, Any], known: list[Schema]) -> Iterator[ValidationError]:
    names = tuple(dict.fromkeys(name for part in known for name in part.get("properties", ())))
    patterns = [pattern for part in known for pattern in part.get("patternProperties", ())]
    for key in instance:
        if key not in names and not any(re.search(pattern, key) for pattern in patterns):
            yield ValidationError(key, validator=UNKNOWN_KEY, validator_value=(key, names, patterns))


def _known(validator: Any, root: Schema, schema: Schema, instance: dict[str, Any]) -> list[Schema]:
    """The schemas whose properties an element may have.

    Where the property that chooses (`kind`) is itself at fault, those of every choice: which of them is meant
    is not known, and the fault is told already.
    """
    always = list(parts(root, schema))
    known = list(always)
    for part in always:
        if "if" in part:
            for branch in _branches(validator, always, part, instance):
                known += _known(validator, root, branch, instance)
    return known


def _branches(validator: Any, always: list[Schema], part: Schema, instance: dict[str, Any]) -> list[Schema]:
    condition, yes, no = part["if"], part.get("then", {}), part.get("else", {})
    if any(_at_fault(validator, always, name, instance) for name in condition.get("properties", ())):
        return [condition, yes, no]
    return [condition, yes] if validator.evolve(schema=condition).is_valid(instance) else [no]


def _at_fault(validator: Any, always: list[Schema], name: str, instance: dict[str, Any]) -> bool:
    if name not in instance:
        return any(name in part.get("required", ()) for part in always)
    declared = [part["properties"][name] for part in always if name in part.get("properties", ())]
    return not all(validator.evolve(schema=schema).is_valid(instance[name]) for schema in declared)


def _required(__: Any, names: list[str], instance: Any, _: Schema) -> Iterator[ValidationError]:
    for name in names if isinstance(instance, dict) else ():
        if name not in instance:
            yield ValidationError(name, validator=MISSING_KEY, validator_value=name)


def _names(validator: Any, names: Any, instance: Any, _: Schema) -> Iterator[ValidationError]:
    for name in instance if isinstance(instance, dict) else ():
        if not validator.evolve(schema=names).is_valid(name):
            yield ValidationError(name, validator=BAD_NAME, validator_value=name, schema=names)


def _any_of(validator: Any, choices: list[Any], instance: Any, _: Schema) -> Iterator[ValidationError]:
    tried = []
    for at, choice in enumerate(choices):
        errors = list(validator.descend(instance, choice, schema_path=at))
        if not errors:
            return
        tried.append(errors)
    meant = [errors for errors in tried if _is_meant(errors, instance)]
    if len(meant) == 1:
        yield from meant[0]
    else:
        yield ValidationError("fits none of the choices")


def _is_meant(errors: list[ValidationError], instance: Any) -> bool:
    """Whether a list or mapping is of the choice's kind and wrong only inside: its own errors help."""
    if not isinstance(instance, (dict, list)):
        return False
    own = [error.validator for error in errors if not error.path]
    strangers = own.count(UNKNOWN_KEY)
    return not {"type", "const", "enum", "anyOf"}.intersection(own) and not (instance and strangers == len(instance))
