"""Units a plan may use: symbols, other spellings, factors to SI, and the geometry of AWG sizes."""

from __future__ import annotations

import math
from enum import StrEnum
from functools import lru_cache

from planlint.frozen import frozen


class Dimension(StrEnum):
    """What a quantity measures."""

    LENGTH = "length"
    AREA = "area"
    CURRENT = "current"
    VOLTAGE = "voltage"
    RESISTANCE = "resistance"
    POWER = "power"
    CHARGE = "charge"
    TEMPERATURE = "temperature"
    TORQUE = "torque"
    TIME = "time"
    MASS = "mass"
    VOLUME = "volume"
    FREQUENCY = "frequency"
    CAPACITANCE = "capacitance"
    FORCE = "force"
    RATIO = "ratio"

    @property
    def phrase(self) -> str:
        """How messages name it: `a length`, `a conductor size`."""
        return _PHRASES.get(self) or f"a {self.value}"


_PHRASES = {
    Dimension.AREA: "a conductor size",
    Dimension.CHARGE: "a battery capacity",
    Dimension.RATIO: "a share",
}


@frozen
class Unit:
    """One unit: SI value = (number - zero) * factor; `factor` 0 marks gauge numbers, which have none."""

    symbol: str
    factor: float
    zero: float = 0.0
    spellings: tuple[str, ...] = ()


def _u(symbol: str, factor: float, *spellings: str, zero: float = 0.0) -> Unit:
    return Unit(symbol=symbol, factor=factor, zero=zero, spellings=spellings)


AWG = _u("AWG", 0.0, "awg")
FOOT_M = 0.3048
INCH_M = 0.0254
CIRCULAR_MIL_M2 = math.pi / 4 * (INCH_M / 1000) ** 2
_LBF_N = 4.4482216152605

# The first unit of a row is the one named where a plan forgot the unit.
UNITS: dict[Dimension, tuple[Unit, ...]] = {
    Dimension.LENGTH: (_u("m", 1.0), _u("cm", 0.01), _u("mm", 0.001), _u("ft", FOOT_M), _u("in", INCH_M)),
    Dimension.AREA: (
        AWG,
        _u("mm2", 1e-6, "mm²"),
        _u("kcmil", 1000 * CIRCULAR_MIL_M2),
        _u("cmil", CIRCULAR_MIL_M2),
    ),
    Dimension.CURRENT: (_u("A", 1.0), _u("mA", 0.001), _u("kA", 1000.0)),
    Dimension.VOLTAGE: (_u("V", 1.0), _u("mV", 0.001)),
    Dimension.RESISTANCE: (
        _u("ohm", 1.0, "Ω", "Ω"),
        _u("mohm", 0.001, "mΩ", "mΩ"),
        _u("kohm", 1000.0, "kΩ", "kΩ"),
        _u("Mohm", 1e6, "MΩ", "MΩ"),
    ),
    Dimension.POWER: (_u("W", 1.0), _u("kW", 1000.0)),
    Dimension.CHARGE: (_u("Ah", 3600.0), _u("mAh", 3.6)),
    Dimension.TEMPERATURE: (_u("C", 1.0, "°C", "℃"), _u("F", 5 / 9, "°F", "℉", zero=32.0)),
    Dimension.TORQUE: (
        _u("N.m", 1.0, "Nm", "N·m", "N⋅m"),
        _u("lbf.ft", _LBF_N * FOOT_M),
        _u("lbf.in", _LBF_N * INCH_M),
    ),
    Dimension.TIME: (_u("s", 1.0), _u("ms", 0.001), _u("min", 60.0), _u("h", 3600.0)),
    Dimension.MASS: (_u("kg", 1.0), _u("g", 0.001), _u("lb", 0.45359237), _u("oz", 0.45359237 / 16)),
    Dimension.VOLUME: (_u("L", 0.001, "l"), _u("ft3", FOOT_M**3, "ft³")),
    Dimension.FREQUENCY: (_u("Hz", 1.0), _u("kHz", 1000.0)),
    Dimension.CAPACITANCE: (_u("F", 1.0), _u("mF", 1e-3), _u("uF", 1e-6, "µF", "μF")),
    Dimension.FORCE: (_u("N", 1.0), _u("kN", 1000.0), _u("lbf", _LBF_N)),
    Dimension.RATIO: (_u("%", 0.01),),
}

SPELLINGS: dict[Dimension, dict[str, Unit]] = {
    dimension: {spelling: unit for unit in units for spelling in (unit.symbol, *unit.spellings)}
    for dimension, units in UNITS.items()
}

EXAMPLES: dict[Dimension, str] = {
    Dimension.LENGTH: "5.2 m",
    Dimension.AREA: "4 AWG",
    Dimension.CURRENT: "80 A",
    Dimension.VOLTAGE: "12.6 V",
    Dimension.RESISTANCE: "2 ohm",
    Dimension.POWER: "700 W",
    Dimension.CHARGE: "60 Ah",
    Dimension.TEMPERATURE: "105 C",
    Dimension.TORQUE: "8 N.m",
    Dimension.TIME: "15 min",
    Dimension.MASS: "3.6 kg",
    Dimension.VOLUME: "28 L",
    Dimension.FREQUENCY: "60 Hz",
    Dimension.CAPACITANCE: "1 F",
    Dimension.FORCE: "400 N",
    Dimension.RATIO: "20 %",
}

# Units in which a computed value is told when the plan gave none, largest first.
_READABLE: dict[Dimension, tuple[str, ...]] = {
    Dimension.LENGTH: ("m", "mm"),
    Dimension.AREA: ("mm2",),
    Dimension.CURRENT: ("A", "mA"),
    Dimension.VOLTAGE: ("V", "mV"),
    Dimension.RESISTANCE: ("kohm", "ohm", "mohm"),
    Dimension.TIME: ("h", "min", "s", "ms"),
    Dimension.MASS: ("kg", "g"),
    Dimension.FREQUENCY: ("kHz", "Hz"),
    Dimension.CAPACITANCE: ("F", "mF", "uF"),
    Dimension.FORCE: ("kN", "N"),
}
_LARGE_UNITS = frozenset({"kohm", "kHz", "kN", "h", "min"})

_GAUGE_NUMBERS = {f"{n}": n for n in range(41)} | {
    "00": -1, "000": -2, "0000": -3, "1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3,
}  # fmt: skip
_GAUGE_DIAMETER_36_M = 0.127e-3


def readable_unit(value_si: float, dimension: Dimension) -> str:
    """Return the symbol of the unit in which people read this SI value most easily."""
    symbols = _READABLE.get(dimension) or (UNITS[dimension][0].symbol,)
    for symbol in symbols:
        least = 1.0 if symbol in _LARGE_UNITS else 0.1
        if abs(value_si) >= least * SPELLINGS[dimension][symbol].factor:
            return symbol
    return symbols[-1] if value_si else EXAMPLES[dimension].rsplit(" ", 1)[1]


def gauge_number(text: str) -> int | None:
    """Return the AWG number of `4`, `1/0`, `0` or `00` (1/0 is 0, 4/0 is -3), else None."""
    return _GAUGE_NUMBERS.get(text)


def gauge_name(number: int) -> str:
    """Return how the trade writes an AWG number: 4 -> `4`, 0 -> `1/0`, -3 -> `4/0`."""
    return str(number) if number > 0 else f"{1 - number}/0"


def gauge_area(number: int) -> float:
    """Return the metal area in m2 of an AWG number by ASTM B258: 36 AWG 0.127 mm, 39 equal steps to 4/0."""
    diameter_m: float = _GAUGE_DIAMETER_36_M * 92 ** ((36 - number) / 39)
    return math.pi / 4 * diameter_m**2


@lru_cache(maxsize=1024)
def nearest_gauge(area_m2: float) -> int | None:
    """Return the AWG number whose ASTM B258 area lies within 1 % of this one, None where there is none."""
    if not 0 < area_m2 < math.inf:
        return None
    diameter_m = math.sqrt(area_m2 * 4 / math.pi)
    number = round(36 - 39 * math.log(diameter_m / _GAUGE_DIAMETER_36_M, 92))
    near = -3 <= number <= 40 and abs(area_m2 / gauge_area(number) - 1) <= 0.01
    return number if near else None
