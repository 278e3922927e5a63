"""Every field of a plan that holds one value is a fact of its element: rules ask it by its name in the file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from planlint.facts.case import Case, Fact, Yields
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.quantity import Dimension, Quantity
from planlint.plan.values import ORIGINAL, NotApplicable

_YIELDS: dict[str, Dimension | Yields] = {
    **{dimension.value: dimension for dimension in Dimension},
    "distance": Dimension.LENGTH,
    "text": Yields.WORD,
    "date": Yields.WORD,
    "flag": Yields.FLAG,
    "count": Yields.COUNT,
}

_NO_FIELD = object()


def field_facts(classes: Iterable[type]) -> dict[str, Fact]:
    """Return the facts that the fields of these dataclasses give, by their names in the file.

    A field that is not stated raises UnknownError; one that an element does not have, or that the plan says does not
    apply, UnfitError. Of a range the worse end counts: the upper where a limit must not be passed, else the lower.
    """
    found: dict[str, Fact] = {}
    for cls in classes:
        for attribute, entry in cls.__dataclass_fields__.items():  # type: ignore[attr-defined]
            yields = _yields(entry.metadata.get("schema"))
            name = ORIGINAL.get(attribute, attribute)
            if yields is None:
                continue
            if name in found and found[name].yields is not yields:
                raise TypeError(f"the field {name} means two things")
            about = entry.metadata["schema"]["description"]
            found[name] = Fact(
                name=name,
                ask=_asks(attribute, name, True),
                low=_asks(attribute, name, False),
                stated=_states(attribute),
                yields=yields,
                told=about,
            )
    return found


def _yields(schema: dict[str, Any] | None) -> Dimension | Yields | None:
    """Return what a field yields by its schema, None for lists and mappings."""
    if not schema:
        return None
    if "$ref" in schema:
        return _YIELDS.get(schema["$ref"].removeprefix("#/$defs/"))
    words = schema.get("enum") or next((one["enum"] for one in schema.get("anyOf", ()) if "enum" in one), None)
    return Yields.WORD if words else None


def _asks(attribute: str, name: str, upper: bool) -> Callable[[Case, Any], Any]:
    return lambda _case, element: value_of(element, attribute, name, upper=upper)


def _states(attribute: str) -> Callable[[Case, Any], bool]:
    return lambda _case, element: is_stated(element, attribute)


def is_stated(element: Any, attribute: str) -> bool:
    """Say whether an element states a field. Raises UnfitError where it has no such field or it does not apply."""
    value = getattr(element, attribute, _NO_FIELD)
    if value is _NO_FIELD or isinstance(value, NotApplicable):
        raise UnfitError
    return value is not None


def value_of(element: Any, attribute: str, name: str, *, upper: bool = True) -> Any:
    """Return what an element states, of a range the upper or lower end; `name` is that of the field in the file.

    Raises UnknownError where it is not stated, UnfitError where the element has no such field or it does not apply.
    """
    try:
        value = getattr(element, attribute)
    except AttributeError:
        raise UnfitError from None
    if value is None:
        raise UnknownError((*element.path, name))
    if isinstance(value, NotApplicable):
        raise UnfitError
    if isinstance(value, Quantity):
        return value.high if upper else value.low
    return value
