"""The way back from a typed Plan to the plain data of a plan file, from which `build` makes an equal Plan."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import fields, is_dataclass
from typing import Any

from planlint.plan.model import End, Plan, Segment
from planlint.plan.quantity import Quantity, QuantityError, parse
from planlint.plan.units import AWG, INCH_M, SPELLINGS, UNITS, Dimension, Unit, gauge_name, nearest_gauge
from planlint.plan.values import NONE_NEAR, NOT_STATED, ORIGINAL, NotApplicable, distance, fuse_or_none
from planlint.plan.vehicle import Zone

Json = dict[str, Any]

# The sections of the work, in the order of the file; of these `none` says that there is nothing of them.
_WORK = ("holes", "mounts", "steps", "tests", "parts", "documents", "photos")
_WORDS = {distance: NONE_NEAR, fuse_or_none: "none"}


def plan_data(plan: Plan) -> Json:
    """Return data that fits the plan schema and from which `build` makes an equal plan, but without `origins`.

    What elements took over from defaults is written out in them; what is unknown is left out. Raises ValueError for a
    quantity that no text stands for; one that was read from a text always has one.
    """
    data = {
        "plan": 1,
        "title": plan.title or None,
        **_record(plan.about),
        "scope": plan.scope,
        "vehicle": _record(plan.vehicle) or None,
        "customer": None if plan.customer is None else _record(plan.customer),
        "zones": [_zone(zone) for zone in plan.zones] or None,
        "nodes": _many(plan.nodes),
        "wires": _many(plan.wires) or None,
        **{name: _section(getattr(plan, name)) for name in _WORK},
        "accepted": _many(plan.accepted) or None,
    }
    return {key: value for key, value in data.items() if value is not None}


def _section(elements: tuple[Any, ...] | None) -> Any:
    return None if elements is None else _many(elements) or "none"


def _many(items: tuple[Any, ...]) -> Any:
    """Return a list of the items; a mapping by their names, where the name is no field of the file."""
    if any(is_dataclass(item) and _is_key(item) for item in items):
        return {item.name: _record(item) for item in items}
    return [_value(item, None) for item in items]


def _is_key(record: Any) -> bool:
    return any(entry.name == "name" and "convert" not in entry.metadata for entry in fields(record))


def _zone(zone: Zone) -> Json:
    data = {"name": zone.name, **_record(zone)}
    if zone.kind == zone.name:
        del data["kind"]  # it was left out: not every name is a kind
    return data


def _record(record: Any) -> Json:
    """Return the fields of a record that hold something else than their default; its path and name stand around it."""
    data: Json = {}
    for entry in fields(record):
        value, convert = getattr(record, entry.name), entry.metadata.get("convert")
        if value is None or value == entry.default or (convert is None and entry.name in ("path", "name")):
            continue
        data[ORIGINAL.get(entry.name, entry.name)] = _value(value, convert)
    if isinstance(record, Segment) and not data.keys() & {"zone", "through"}:
        # One of them must stand in the file: it tells a stretch from a hole.
        return {"zone": NOT_STATED, **data}
    return data


def _value(value: Any, convert: Any) -> Any:
    """Return the plain data of one value, as `convert` reads it."""
    if isinstance(value, Quantity):
        return quantity_text(value)
    if isinstance(value, NotApplicable):
        word = _WORDS.get(convert)
        return word if word and convert(word, (), []) == value else {"not_applicable": value.reason}
    if isinstance(value, End):
        return f"{value.node}.{value.terminal}"
    if isinstance(value, tuple):
        return _many(value)
    return _record(value) if is_dataclass(value) else value


def quantity_text(quantity: Quantity) -> str:
    """Return the text that `parse` reads as exactly this quantity, in its own unit: `4 AWG`, `2..4 m measured`.

    Raises ValueError where there is none, since a text holds nine decimals.
    """
    own = SPELLINGS[quantity.dimension][quantity.unit]
    text = _amount(quantity.high, quantity.dimension, (own,))
    if quantity.low != quantity.high:
        # The lower end of a range may bear a unit of its own, and leaves it out where it is the same.
        low = _amount(quantity.low, quantity.dimension, (own, *UNITS[quantity.dimension]))
        text = f"{low.removesuffix(f' {own.symbol}') if low.count(' ') == 1 else low}..{text}"
    return f"{text} {quantity.basis}".rstrip()


def _amount(value_si: float, dimension: Dimension, units: tuple[Unit, ...]) -> str:
    """Return the shortest text in the first of the units that is read as exactly this value."""
    for text in (way for unit in units for way in _ways(value_si, unit)):
        with suppress(QuantityError):
            if parse(text, dimension).low == value_si:
                return text
    raise ValueError(f"no text in {units[0].symbol} stands for exactly {value_si!r} as {dimension.phrase}")


def _ways(value_si: float, unit: Unit) -> Iterator[str]:
    """Yield texts of a value in a unit, each nearer to it than those before."""
    if unit is AWG:
        gauge = nearest_gauge(value_si)
        yield from () if gauge is None else (f"{gauge_name(gauge)} AWG",)
        return
    for places in range(10):
        yield f"{value_si / unit.factor + unit.zero:.{places}f} {unit.symbol}"
    # The largest number that a text holds is read as the next one, which would need a tenth digit.
    yield f"{'9' * 9}.{'9' * 9} {unit.symbol}"
    if unit.symbol == "ft":
        feet, inches = divmod(value_si / INCH_M, 12)
        for places in range(10):
            yield f"{feet:.0f} ft {inches:.{places}f} in"
