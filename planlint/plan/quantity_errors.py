"""Explains in people's words why a text is no quantity, always with an example that is one."""

from __future__ import annotations

import re

from planlint.plan.units import SPELLINGS, UNITS, Dimension, gauge_number

BASES = ("measured", "maker", "stated", "estimated")
_D = Dimension

# What people write for a unit, and the symbol a plan uses for it.
_MEANT: dict[Dimension, dict[str, str]] = {
    _D.LENGTH: {
        "feet": "ft", "foot": "ft", "'": "ft", "inch": "in", "inches": "in", '"': "in",
        "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    },
    _D.AREA: {
        "mm": "mm2", "mm^2": "mm2", "sqmm": "mm2", "sq mm": "mm2", "qmm": "mm2",
        "ga": "AWG", "gauge": "AWG", "mcm": "kcmil",
    },
    _D.CURRENT: {"amp": "A", "amps": "A", "ampere": "A", "amperes": "A"},
    _D.VOLTAGE: {"volt": "V", "volts": "V"},
    _D.RESISTANCE: {"ohms": "ohm", "r": "ohm", "milliohm": "mohm", "milliohms": "mohm"},
    _D.POWER: {"watt": "W", "watts": "W", "va": "W"},
    _D.CHARGE: {"a.h": "Ah", "amp hours": "Ah", "amp-hours": "Ah"},
    _D.TEMPERATURE: {"deg c": "C", "degc": "C", "celsius": "C", "°": "C", "deg f": "F", "degf": "F"},
    _D.TORQUE: {"ft-lb": "lbf.ft", "ft lb": "lbf.ft", "lb-ft": "lbf.ft", "in-lb": "lbf.in"},
    _D.TIME: {
        "sec": "s", "second": "s", "seconds": "s", "minute": "min", "minutes": "min", "mins": "min",
        "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    },
    _D.MASS: {"lbs": "lb", "pound": "lb", "pounds": "lb", "kilo": "kg", "kilos": "kg"},
    _D.VOLUME: {"litre": "L", "litres": "L", "liter": "L", "liters": "L", "cu ft": "ft3", "cuft": "ft3"},
    _D.FREQUENCY: {"hertz": "Hz", "cycles": "Hz"},
    _D.CAPACITANCE: {"farad": "F", "farads": "F"},
    _D.FORCE: {"newton": "N", "newtons": "N", "lb": "lbf", "lbs": "lbf"},
    _D.RATIO: {"percent": "%", "pct": "%"},
}  # fmt: skip

_COMMA = re.compile(r"([0-9]{1,9}),([0-9]{1,9})([^0-9].{0,40})?")
_FRACTION = re.compile(r"([0-9]{1,4})/([0-9]{1,4})([^0-9].{0,40})?")
_SPAN = re.compile(r"(?:-|–|—|to ) ?([0-9].{0,40})")
_EXPONENT = re.compile(r"[eE][+-]?[0-9]")
_USUAL_THINNEST = 24


class QuantityError(ValueError):
    """A text that is no quantity: what was found, what was expected, and an example that is valid."""

    def __init__(self, found: str, expected: str, example: str) -> None:
        super().__init__(f"found {found}; expected {expected}, for example `{example}`")
        self.found = found
        self.expected = expected
        self.example = example


# The examples below are proposals made of the text; the reader replaces one that it would itself refuse.


def explain_number(text: str, dimension: Dimension) -> QuantityError:
    """Say why `text` does not begin with a number a plan may use."""
    wanted = f"{dimension.phrase} as a number with its unit"
    if not text:
        return QuantityError("nothing", wanted, "")
    if "±" in text or "+/-" in text:
        return _tolerance(text)
    if comma := _COMMA.fullmatch(text):
        return _comma(text, comma[1], comma[2], comma[3] or "")
    if (part := _FRACTION.fullmatch(text)) and int(part[2]):
        decimal = f"{int(part[1]) / int(part[2]):.6f}".rstrip("0").rstrip(".")
        return QuantityError(f"a fraction in `{text}`", "a decimal number", f"{decimal}{part[3] or ''}")
    if re.search(r"[0-9]{10}", text):
        return QuantityError(f"a number with too many digits in `{text}`", f"{wanted} (at most nine digits)", "")
    first, _, rest = text.partition(" ")
    if rest and first in BASES:
        return QuantityError(f"`{first}` at the front", "this word after the unit", f"{rest} {first}")
    return QuantityError(f"`{text}`", wanted, "")


def _tolerance(text: str) -> QuantityError:
    return QuantityError(f"a tolerance in `{text}`", "the two ends of a range with two dots, or one value", "")


def _comma(text: str, whole: str, part: str, rest: str) -> QuantityError:
    either = f" (or `{whole}{part}{rest}`, if the comma parts thousands)" if len(part) == 3 else ""
    return QuantityError(f"a comma in `{text}`", f"a point before decimals{either}", f"{whole}.{part}{rest}")


def explain_unit(text: str, number: str, spelling: str, dimension: Dimension) -> QuantityError:
    """Say why what follows the number is no unit of this dimension."""
    if not spelling:
        return _missing(number, dimension)
    if "±" in spelling or "+/-" in spelling:
        return _tolerance(text)
    if span := _SPAN.fullmatch(spelling):
        return QuantityError(f"`{text}`", "two dots between the ends of a range", f"{number}..{span[1]}")
    if meant := _meant(spelling, dimension):
        return QuantityError(f"`{text}`", f"the unit written `{meant}`", f"{number} {meant}")
    unit, _, rest = spelling.partition(" ")
    if rest and unit in SPELLINGS[dimension]:
        expected = f"nothing after the unit but {_listed(BASES)}"
        return QuantityError(f"`{rest}` after the unit in `{text}`", expected, f"{number} {unit}")
    return _foreign(text, number, spelling, dimension)


def _foreign(text: str, number: str, spelling: str, dimension: Dimension) -> QuantityError:
    """Say that the unit measures something else, or that there is none such."""
    wanted = f"{dimension.phrase} in {_listed(_symbols(dimension))}"
    other = next((other for other in Dimension if spelling in SPELLINGS[other]), None)
    if other:
        return QuantityError(f"`{text}`, which is {other.phrase}", wanted, "")
    if _EXPONENT.match(spelling):
        return QuantityError(f"a power of ten in `{text}`", f"{wanted}, with the number written out", "")
    close = _closest(spelling, dimension)
    hint = f" (did you mean `{close}`?)" if close else ""
    example = f"{number} {close}" if close else ""
    return QuantityError(f"the unknown unit `{spelling}` in `{text}`", f"{wanted}{hint}", example)


def _missing(number: str, dimension: Dimension) -> QuantityError:
    symbols = _symbols(dimension)
    gauge = gauge_number(number)
    metric = dimension is Dimension.AREA and (gauge is None or gauge > _USUAL_THINNEST)
    example = f"{number} {symbols[1] if metric else symbols[0]}"
    return QuantityError(f"`{number}` without a unit", f"{dimension.phrase} in {_listed(symbols)}", example)


def _symbols(dimension: Dimension) -> tuple[str, ...]:
    return tuple(unit.symbol for unit in UNITS[dimension])


def _listed(words: tuple[str, ...]) -> str:
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


def _meant(spelling: str, dimension: Dimension) -> str | None:
    """Return the symbol meant by a habit of writing, a plural or wrong capitals."""
    folded = spelling.casefold().rstrip(".")
    if folded in _MEANT[dimension]:
        return _MEANT[dimension][folded]
    singular = folded.removesuffix("s")
    alike = {known.symbol for name, known in SPELLINGS[dimension].items() if name.casefold() in (folded, singular)}
    return alike.pop() if len(alike) == 1 else None


def _closest(spelling: str, dimension: Dimension) -> str | None:
    from difflib import get_close_matches  # only errors need it

    near = get_close_matches(spelling, [*SPELLINGS[dimension], *_MEANT[dimension]], n=1, cutoff=0.6)
    if not near:
        return None
    known = SPELLINGS[dimension].get(near[0])
    return known.symbol if known else _MEANT[dimension][near[0]]
