"""Reads quantities such as `5.2 m measured` or `2..4 m` into SI values and writes SI values for people."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from planlint.frozen import frozen
from planlint.plan.quantity_errors import BASES, QuantityError, explain_number, explain_unit
from planlint.plan.units import (
    AWG,
    EXAMPLES,
    FOOT_M,
    INCH_M,
    SPELLINGS,
    Dimension,
    Unit,
    gauge_area,
    gauge_name,
    gauge_number,
    nearest_gauge,
    readable_unit,
)

__all__ = [
    "BASES",
    "Dimension",
    "Quantity",
    "QuantityError",
    "parse",
    "readable_unit",
    "show",
    "show_quantity",
]

_LONGEST = 60
_ABSOLUTE_ZERO_C = -273.15

# NOTE: digits are bounded and no two neighbours can match the same character, so matching is linear.
_NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}"
_AMOUNT = re.compile(rf"([+−-]?)([0-9]/0|{_NUMBER}) ?([^0-9\s.,/].*)?")
_FEET_INCHES = re.compile(rf"({_NUMBER}) ?ft ?({_NUMBER}) ?in")
_INCHES_FEET = re.compile(rf"({_NUMBER}) ?in ?({_NUMBER}) ?ft")


@frozen
class Quantity:
    """A value of the plan in SI (temperatures in degrees Celsius, charge in coulomb, shares as plain ratio).

    `low` and `high` are equal unless the plan gave a range. `unit` is the symbol of the unit the plan used
    (of the upper end, where a range mixes units); `basis` is measured, maker, stated, estimated or ''.
    """

    dimension: Dimension
    low: float
    high: float
    unit: str
    basis: str = ""


@lru_cache(maxsize=8192)
def parse(text: str, dimension: Dimension) -> Quantity:
    """Read `text` as a quantity of this dimension.

    Raises QuantityError, which says what was found, what was expected and a valid example.
    """
    try:
        return _read(text, dimension)
    except QuantityError as error:
        example = error.example if _is_quantity(error.example, dimension) else EXAMPLES[dimension]
        raise QuantityError(error.found, error.expected, example) from None


def _is_quantity(text: str, dimension: Dimension) -> bool:
    try:
        _read(text, dimension)
    except QuantityError:
        return False
    return True


def _read(text: str, dimension: Dimension) -> Quantity:
    if len(text) > _LONGEST:
        raise QuantityError("a text that is too long", f"at most {_LONGEST} characters", "")
    words = text.split()
    basis = words.pop() if len(words) > 1 and words[-1] in BASES else ""
    body = " ".join(words)
    if ".." in body:
        low, high, unit = _read_range(body, dimension)
    else:
        low, unit = _read_amount(body, dimension)
        high = low
    return Quantity(dimension=dimension, low=low, high=high, unit=unit.symbol, basis=basis)


def _read_range(body: str, dimension: Dimension) -> tuple[float, float, Unit]:
    """Read `2..4 m` or `2 m..400 cm`; the lower end may leave its unit to the upper."""
    ends = [end.strip() for end in body.split("..")]
    if "..." in body or len(ends) != 2 or not all(ends):
        example = f"2..4 {EXAMPLES[dimension].rsplit(' ', 1)[1]}"
        raise QuantityError(f"`{body}`", "two ends with two dots between them", example)
    high, unit = _read_amount(ends[1], dimension)
    bare = _AMOUNT.fullmatch(ends[0])
    low_text = f"{ends[0]} {unit.symbol}" if bare and not bare[3] else ends[0]
    low, low_unit = _read_amount(low_text, dimension)
    if low > high and not (unit is AWG and low_unit is AWG):
        swapped = f"{ends[1]}..{low_text}"
        raise QuantityError(f"`{body}`, whose first end is the larger", "the smaller end first", swapped)
    # Gauge numbers fall as wires grow: `4..8 AWG` in either order means the same two wires.
    return min(low, high), max(low, high), unit


def _read_amount(text: str, dimension: Dimension) -> tuple[float, Unit]:
    """Read one number with its unit into SI."""
    if dimension is Dimension.LENGTH and (mixed := _FEET_INCHES.fullmatch(text)):
        return _clean(float(mixed[1]) * FOOT_M + float(mixed[2]) * INCH_M), SPELLINGS[dimension]["ft"]
    found = _AMOUNT.fullmatch(text)
    if not found:
        raise explain_number(text, dimension)
    sign, number, spelling = found[1], found[2], (found[3] or "").strip()
    unit = SPELLINGS[dimension].get(spelling)
    if unit is None and (turned := _INCHES_FEET.fullmatch(text)):
        raise QuantityError(f"`{text}`", "the feet before the inches", f"{turned[2]} ft {turned[1]} in")
    if unit is None:
        raise explain_unit(text, number, spelling, dimension)
    return _to_si(text, sign, number, unit, dimension), unit


def _to_si(text: str, sign: str, number: str, unit: Unit, dimension: Dimension) -> float:
    """Return the SI value of a signed number in a unit, refusing what no plan can mean."""
    if unit is AWG:
        return _gauge(text, sign, number)
    if "/" in number:
        raise explain_number(text, dimension)
    magnitude = float(number) if sign in ("", "+") else -float(number)
    value = _clean((magnitude - unit.zero) * unit.factor)
    if dimension is Dimension.TEMPERATURE:
        if value < _ABSOLUTE_ZERO_C:
            raise QuantityError(f"`{text}`, colder than absolute zero", dimension.phrase, "")
    elif magnitude < 0:
        raise QuantityError(f"`{text}`", f"{dimension.phrase} that is not negative", text.lstrip("−- "))
    return value


def _clean(value: float) -> float:
    """Drop the noise of binary fractions beyond 15 digits, so that 25 mm2 is 2.5e-05 in every report."""
    return float(f"{value:.15g}")


def _gauge(text: str, sign: str, number: str) -> float:
    gauge = gauge_number(number)
    if sign or gauge is None:
        below = gauge_number("0" * (int(number) + 1)) if sign and number.isdigit() and int(number) < 4 else None
        example = f"{gauge_name(below)} AWG" if below is not None else ""
        raise QuantityError(f"`{text}`, which is no AWG size", "a whole size from 40 AWG to 4/0 AWG", example)
    return gauge_area(gauge)


def show(value_si: float, dimension: Dimension, unit: str, digits: int = 3) -> str:
    """Write an SI value in a unit for people: `450 mm`, `17.1 ft`, `4 AWG`.

    `digits` significant digits are kept, whole numbers are never cut, and no exponent is written. An area in
    AWG that is no AWG size (within 1 %) is written in mm2; infinity is `unlimited`, not-a-number `unknown`.
    Raises ValueError for a unit that does not measure this dimension.
    """
    if not math.isfinite(value_si):
        return "unknown" if math.isnan(value_si) else "unlimited"
    found = SPELLINGS[dimension].get(unit)
    if found is None:
        raise ValueError(f"{unit!r} does not measure {dimension.phrase}")
    if found is AWG:
        gauge = nearest_gauge(value_si)
        if gauge is not None:
            return f"{gauge_name(gauge)} AWG"
        found = SPELLINGS[dimension]["mm2"]
    return f"{_decimal(value_si / found.factor + found.zero, digits)} {found.symbol}"


def _decimal(number: float, digits: int) -> str:
    """Write a number with so many significant digits, without exponent, trailing zeros or a negative zero."""
    if number == 0:
        return "0"
    places = min(max(digits - 1 - math.floor(math.log10(abs(number))), 0), 9)
    text = f"{number:.{places}f}"
    if places:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def show_quantity(quantity: Quantity) -> str:
    """Write a quantity as the plan has it, in the plan's unit and without its basis: `4 AWG`, `2..4 m`."""
    low, high = (show(end, quantity.dimension, quantity.unit, 6) for end in (quantity.low, quantity.high))
    if quantity.low == quantity.high:
        return low
    if low.rsplit(" ", 1)[1] == high.rsplit(" ", 1)[1]:
        low = low.rsplit(" ", 1)[0]
    return f"{low}..{high}"
