"""The shape of a plan: accepted at once by the fast validator, explained by the slow one where it is not."""

from typing import Any

import jsonschema_rs

from planlint.text.document import Document
from planlint.text.places import Path
from planlint.text.problems import PLAN_FORMAT, Problem, shown

# By identity: a schema is a big mapping, loaded once. The schema itself is kept, so that no id is used twice.
_COMPILED: dict[int, tuple[dict[str, Any], Any]] = {}


def check_shape(document: Document, schema: dict[str, Any]) -> tuple[Problem, ...]:
    """Every way in which a document departs from a JSON schema (2020-12), in the order of the text.

    The schema's references must be local (`#/$defs/...`). It must not change between two calls.
    """
    validator = _compiled(schema)
    if validator.is_valid(document.data):
        return ()
    from planlint.text.explain import explain  # with jsonschema, which only a rejected plan needs

    return explain(document, schema) or _untold(document, validator)


def _compiled(schema: dict[str, Any]) -> Any:
    known = _COMPILED.get(id(schema))
    if known is None:
        known = _COMPILED[id(schema)] = (schema, jsonschema_rs.Draft202012Validator(schema))
    return known[1]


def _untold(document: Document, validator: Any) -> tuple[Problem, ...]:
    """Where the two validators differ, the fast one's own words: what it rejects never passes in silence."""
    errors = list(validator.iter_errors(document.data))
    paths = {tuple(error.instance_path) for error in errors}
    around = {path[:length] for path in paths for length in range(len(path))}
    told = {tuple(error.instance_path): error for error in errors if tuple(error.instance_path) not in around}
    return tuple(sorted((_problem(document, error) for error in told.values()), key=lambda told: told.span))


def _problem(document: Document, error: Any) -> Problem:
    path: Path = tuple(error.instance_path)
    return Problem(
        rule=PLAN_FORMAT,
        message=f"Found a value that does not fit: {shown(error.message, 200)}.",
        remedy="Compare with the field's description in the schema: `gauge: 4 AWG`.",
        span=document.span(path),
        path=path,
    )
