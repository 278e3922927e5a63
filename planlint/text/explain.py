"""Why a document is rejected: every departure from the schema as one problem in plain words."""

import re
from collections.abc import Iterable, Mapping
from typing import Any, cast

from jsonschema.exceptions import ValidationError

from planlint.text.document import Document
from planlint.text.keywords import BAD_NAME, MISSING_KEY, UNKNOWN_KEY, Schema, explaining_validator
from planlint.text.places import Path
from planlint.text.problems import (
    MOST_PROBLEMS,
    PLAN_FORMAT,
    REQUIRED_FIELD_MISSING,
    UNIT_AMBIGUOUS,
    Problem,
    did_you_mean,
    shown,
)
from planlint.text.scalars import plain
from planlint.text.wanted import Wanted, at_place, inline, property_schemas, wanted

KIND = "kind"  # the property by which a schema chooses what else an element has
_FEW = 40  # so many words may be listed
_BARE_NUMBER = re.compile(r"[-+]?[0-9.]+")
_BOUNDS = {
    "minItems": "at least {} item(s)",
    "maxItems": "at most {} item(s)",
    "minProperties": "at least {} name(s)",
    "maxProperties": "at most {} name(s)",
    "minLength": "at least {} character(s)",
    "maxLength": "at most {} characters",
    "minimum": "{} or more",
    "maximum": "{} or less",
    "exclusiveMinimum": "more than {}",
    "exclusiveMaximum": "less than {}",
    "multipleOf": "a multiple of {}",
    "uniqueItems": "items that all differ",
}


def explain(document: Document, schema: Schema) -> tuple[Problem, ...]:
    """The problems of a document that a schema rejects, in the order of the text; empty if it is accepted."""
    errors = list(explaining_validator(schema).iter_errors(document.data))
    told: dict[tuple[Any, ...], Problem] = {}
    for error in _own_mistakes(errors):
        told.setdefault(_identity(error), _problem(document, schema, error))
    ordered = sorted(told.values(), key=lambda problem: (problem.span, problem.message))
    return _capped(ordered)


def _capped(problems: list[Problem]) -> tuple[Problem, ...]:
    if len(problems) <= MOST_PROBLEMS:
        return tuple(problems)
    more = f"Found {len(problems) - MOST_PROBLEMS:,} more problems from here on."
    remedy = "Mend those above first, then check again."
    last = problems[MOST_PROBLEMS]
    note = Problem(rule=PLAN_FORMAT, message=more, remedy=remedy, span=last.span, path=last.path)
    return (*problems[:MOST_PROBLEMS], note)


def _own_mistakes(errors: list[ValidationError]) -> list[ValidationError]:
    """The errors without those that another one causes."""
    slips = {slip for error in errors if (slip := _slip(error, errors))}
    kindless = {_path(error) for error in errors if _missing(error) == KIND}
    return [
        error
        for error in errors
        if (_path(error), _missing(error)) not in slips
        and not ("then" in error.absolute_schema_path and _path(error) in kindless)
    ]


def _slip(error: ValidationError, errors: list[ValidationError]) -> tuple[Path, str] | None:
    """The missing key, if any, for which an unknown one was written: one mistake, told once."""
    if error.validator != UNKNOWN_KEY:
        return None
    path = _path(error)
    missing = [name for other in errors if _path(other) == path and (name := _missing(other))]
    meant = did_you_mean(error.message, missing)
    return (path, meant) if meant else None


def _missing(error: ValidationError) -> str:
    return error.message if error.validator == MISSING_KEY else ""


def _path(error: ValidationError) -> Path:
    return tuple(error.absolute_path)


def _identity(error: ValidationError) -> tuple[Any, ...]:
    """Equal for errors about one mistake: a value is wrong once, however many keywords say so."""
    keyed = error.validator in (UNKNOWN_KEY, MISSING_KEY, BAD_NAME)
    return (_path(error), error.validator, error.message) if keyed else (_path(error),)


def _problem(document: Document, schema: Schema, error: ValidationError) -> Problem:
    path = _path(error)
    if error.validator == UNKNOWN_KEY:
        return _unknown_key(document, error, (*path, error.message))
    if error.validator == MISSING_KEY:
        return _missing_key(document, schema, error, path)
    if error.validator == BAD_NAME:
        return _bad_name(document, schema, error, (*path, error.message))
    return _wrong_value(document, schema, error, path)


def _unknown_key(document: Document, error: ValidationError, path: Path) -> Problem:
    key, allowed, patterns = cast(tuple[str, tuple[str, ...], list[str]], error.validator_value)
    meant, expected = did_you_mean(key, allowed), _listed(allowed, patterns)
    if ":" in key:
        name, _, value = key.partition(":")
        remedy = f"Put a space after the colon: `{shown(name)}: {shown(value)}`."
    elif meant:
        remedy = f"Did you mean `{meant}`? Write `{meant}: ...`."
    elif cast(dict[str, Any], error.instance)[key] is None:
        remedy = 'If it belongs to the text before the comma, put that text in quotes: `note: "lamps, horn, radio"`.'
    else:
        remedy = f"Delete it, or write it as a remark: `# {shown(key)}`."
    return Problem(
        rule=PLAN_FORMAT,
        message=f"Found the unknown name `{shown(key)}` in {_element(path[:-1])}; {expected}.",
        remedy=remedy,
        span=document.key_span(path),
        path=path,
    )


def _listed(words: Iterable[str], patterns: Iterable[str] = ()) -> str:
    listed = sorted(words)
    few = [f"`{word}`" for word in listed[:_FEW]] + ["..."] * (len(listed) > _FEW)
    few += [f"a name of the form `{pattern}`" for pattern in patterns]
    if not few:
        return "expected no names here"
    return f"expected {'one of ' if len(few) > 1 else ''}{', '.join(few)}"


def _missing_key(document: Document, schema: Schema, error: ValidationError, path: Path) -> Problem:
    name = error.message
    want = wanted(schema, property_schemas(schema, at_place(schema, error.absolute_schema_path), name))
    kind = cast(dict[str, Any], error.instance).get(KIND)
    chosen = isinstance(kind, str) and "then" in error.absolute_schema_path
    due = f"every {shown(str(kind))} needs it" if chosen else "it is required"
    unsure = f"; where it is not known, `{name}: not stated`" if "not stated" in want.choices else ""
    return Problem(
        rule=REQUIRED_FIELD_MISSING,
        message=f"Found no `{name}` in {_element(path)}; {due}.",
        remedy=f"Add `{name}: {_example(want)}`{unsure}.",
        span=document.key_span(path),
        path=path,
    )


def _bad_name(document: Document, schema: Schema, error: ValidationError, path: Path) -> Problem:
    want = wanted(schema, [error.schema])
    return Problem(
        rule=PLAN_FORMAT,
        message=f"Found the name `{shown(error.message)}`; expected {want.name}.",
        remedy=f"Choose a name such as `{_example(want, 'feed-front')}`.",
        span=document.key_span(path),
        path=path,
    )


def _wrong_value(document: Document, schema: Schema, error: ValidationError, path: Path) -> Problem:
    want = wanted(schema, [*at_place(schema, error.absolute_schema_path), error.schema])
    unitless = _lacks_unit(error.instance, want)
    without = " without a unit" if unitless else ""
    return Problem(
        rule=UNIT_AMBIGUOUS if unitless else PLAN_FORMAT,
        message=f"Found {_found(error.instance)}{without}{_at(path)}; expected {_expected(error, want)}.",
        remedy=_remedy(error.instance, want, path),
        span=document.span(path) if error.instance is not None else document.key_span(path),
        path=path,
    )


def _lacks_unit(instance: Any, want: Wanted) -> bool:
    """Whether a bare number stands where an example shows a number with a unit."""
    bare = _is_number(instance) or (isinstance(instance, str) and _BARE_NUMBER.fullmatch(instance) is not None)
    return bare and isinstance(want.example, str) and re.match(r"[0-9.]+ \S", want.example) is not None


def _expected(error: ValidationError, want: Wanted) -> str:
    if (bound := _BOUNDS.get(str(error.validator))) is not None:
        return bound.format(error.validator_value)
    if want.is_closed:
        return _listed(want.choices).removeprefix("expected ")
    such = "" if want.example is None else f" such as `{inline(want.example)}`"
    others = "".join(f", or `{word}`" for word in want.choices[:_FEW] if word != want.example)
    return f"{want.name}{such}{others}"


def _remedy(instance: Any, want: Wanted, path: Path) -> str:
    name = "" if not path else f"{path[-1]}: " if isinstance(path[-1], str) else "- "
    meant = did_you_mean(instance, want.choices) if isinstance(instance, str) else None
    if meant:
        return f"Did you mean `{meant}`? Write `{name}{meant}`."
    if _is_number(instance) and want.name == "a text":
        return f'Write it as a text, in quotes: `{name}"{instance}"`.'
    return f"Write it in the form `{name}{_example(want)}`."


def _is_number(instance: Any) -> bool:
    return isinstance(instance, (int, float)) and not isinstance(instance, bool)


def _example(want: Wanted, otherwise: str = "...") -> str:
    if isinstance(want.example, str) and not isinstance(plain(want.example), str):
        return f'"{want.example}"'
    if want.example is not None:
        return inline(want.example)
    return want.choices[0] if want.choices else otherwise


def _found(instance: Any) -> str:
    if isinstance(instance, Mapping):
        return "names and values" if instance else "an empty mapping"
    if isinstance(instance, list):
        return "a list" if instance else "an empty list"
    if instance is None:
        return "nothing"
    if isinstance(instance, (bool, str)):
        return f"`{shown(inline(instance))}`" if instance != "" else "an empty text"
    return f"the number {instance}"


def _at(path: Path) -> str:
    return f" as {_element(path)}" if path else ""


def _element(path: Path) -> str:
    """The element as a person would name it."""
    if not path:
        return "the plan"
    if isinstance(path[-1], str):
        return f"`{shown(path[-1])}`"
    return f"item {path[-1] + 1} of {_element(path[:-1])}"
