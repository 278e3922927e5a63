"""What a field of a plan may hold, and how plain data becomes it.

A field holds its value, `None` (absent or `not stated`: unknown) or `NotApplicable` (the plan says why not).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from planlint.frozen import frozen
from planlint.plan.quantity import Dimension, Quantity, QuantityError, parse
from planlint.text.places import Path

NOT_STATED = "not stated"


@frozen
class NotApplicable:
    """A field that the planner declares to have no value here, with the reason."""

    reason: str


@frozen
class Fault:
    """A value that cannot be understood: where it stands, what was found and what would do."""

    path: Path
    message: str
    remedy: str
    rule: str = "plan-format"


QuantityField = Quantity | NotApplicable | None
WordField = str | NotApplicable | None
FlagField = bool | NotApplicable | None
CountField = int | NotApplicable | None

Convert = Callable[[Any, Path, list[Fault]], Any]
# By key of the file: the attribute's name, and how its value is read.
Readers = dict[str, tuple[str, Convert]]


def read_value(value: Any, path: Path, faults: list[Fault], convert: Convert) -> Any:
    """Return the value of one field: converted, unknown or declared not applicable."""
    if value is None or value == NOT_STATED:
        return None
    if type(value) is dict and "not_applicable" in value:
        return NotApplicable(reason=str(value["not_applicable"]))
    return convert(value, path, faults)


def quantity(dimension: Dimension) -> Convert:
    """Return the reader of a quantity of this dimension."""

    def convert(value: Any, path: Path, faults: list[Fault]) -> Quantity | None:
        try:
            return parse(value, dimension)
        except QuantityError as error:
            faults.append(
                Fault(
                    path=path,
                    message=f"found {error.found}; expected {error.expected}",
                    remedy=f"write it as in `{error.example}`",
                )
            )
            return None

    return convert


def any_quantity(value: Any, path: Path, faults: list[Fault]) -> Quantity | None:
    """Take a quantity of whichever dimension its unit tells; a fault shows a few of them."""
    for dimension in _BY_UNIT:
        try:
            return parse(value, dimension)
        except QuantityError:
            continue
    message = f"found `{value}`; expected a quantity with its unit"
    faults.append(Fault(path=path, message=message, remedy="write it as in `0.2 V`, `5 mohm`, `50 mA` or `30 C`"))
    return None


# Of a symbol that two dimensions share, the first here counts: `1 F` is a capacitance nowhere that this reads.
_BY_UNIT = (
    *(Dimension.VOLTAGE, Dimension.CURRENT, Dimension.RESISTANCE, Dimension.TEMPERATURE, Dimension.TIME),
    *(Dimension.FREQUENCY, Dimension.POWER, Dimension.FORCE, Dimension.TORQUE, Dimension.LENGTH, Dimension.RATIO),
)
NONE_NEAR = "none-near"


def distance(value: Any, path: Path, faults: list[Fault]) -> Quantity | NotApplicable | None:
    """Take a distance, or the word that says that nothing is near."""
    if value == NONE_NEAR:
        return NotApplicable(reason="nothing of it lies within 300 mm")
    return quantity(Dimension.LENGTH)(value, path, faults)  # type: ignore[no-any-return]


def fuse_or_none(value: Any, path: Path, faults: list[Fault]) -> Quantity | NotApplicable | None:
    """Take the rating of a fuse, or the word that says that there is none."""
    if value == "none":
        return NotApplicable(reason="no fuse")
    return quantity(Dimension.CURRENT)(value, path, faults)  # type: ignore[no-any-return]


def plain(value: Any, _path: Path, _faults: list[Fault]) -> Any:
    """Take a word, flag or number as it stands; the schema has judged its type."""
    return value


def many(convert: Convert) -> Convert:
    """Return the reader of a list whose items `convert` reads."""

    def each(value: Any, path: Path, faults: list[Fault]) -> tuple[Any, ...]:
        return tuple(read_value(item, (*path, index), faults, convert) for index, item in enumerate(value))

    return each


def items(convert: Convert) -> Convert:
    """Return the reader of a list of elements; those that could not be read are left out and keep their numbers."""
    each = many(convert)
    return lambda value, path, faults: tuple(item for item in each(value, path, faults) if item is not None)


def named(convert: Convert) -> Convert:
    """Return the reader of a mapping of names to what `convert` reads; keeps the order of the file."""

    def each(value: Any, path: Path, faults: list[Fault]) -> tuple[Any, ...]:
        return tuple(convert({**(item or {}), "name": name}, (*path, name), faults) for name, item in value.items())

    return each


def record(cls: type) -> Convert:
    """Return the reader of a mapping into the dataclass `cls`, whose fields say how each value is read."""
    readers = readers_of(cls)

    def convert(value: Any, path: Path, faults: list[Fault]) -> Any:
        # Where `name` is no field of the file, `named` has taken it from the key.
        name = {"name": value["name"]} if "name" in value and "name" not in readers else {}
        return cls(path=path, **name, **read_fields(value, path, faults, readers))

    return convert


def read_fields(data: dict[str, Any], path: Path, faults: list[Fault], readers: Readers) -> dict[str, Any]:
    """Return the constructor arguments that `data` gives; what is unknown keeps its default."""
    read: dict[str, Any] = {}
    for key, value in data.items():
        if value is None or key not in readers:
            continue
        name, convert = readers[key]
        # Most fields are words: they need no more than to be known.
        if convert is plain and type(value) is not dict:
            found = None if value == NOT_STATED else value
        else:
            found = read_value(value, (*path, key), faults, convert)
        if found is not None:
            read[name] = found
    return read


# Keys of the plan that are words of Python, or of the dataclass itself, by the attribute that bears them.
ORIGINAL = {"class_": "class", "from_": "from", "ends_made": "ends"}


def readers_of(cls: type) -> Readers:
    """Return, for a dataclass of the plan, its keys in the file with the attribute's name and how each is read."""
    fields = cls.__dataclass_fields__  # type: ignore[attr-defined]
    return {
        ORIGINAL.get(name, name): (name, entry.metadata["convert"])
        for name, entry in fields.items()
        if "convert" in entry.metadata
    }
