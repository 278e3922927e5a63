"""Conductor materials, the resistance of cables per metre and what heat they withstand in a short circuit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Literal

from planlint.frozen import frozen
from planlint.trade.curves import Points, log_log
from planlint.trade.tables import Row, number, table

GaugeSystem = Literal["awg", "metric"]

# What a cable counts as that does not say: clad of unknown class (trade habit; hidden clad is common).
UNKNOWN_MATERIAL = "copper-clad-aluminium"
# Strands lie in a helix and are longer than the cable; 2 % reproduces NEC chapter 9 table 8 within 1.5 %.
LAY_FACTOR = 1.02
REFERENCE_C = 20.0


@frozen
class Material:
    """A conductor material.

    rho20 in ohm*m, alpha20 per kelvin, `coating_factor` the resistance of coated against plain strands,
    `ampacity_factor` against copper, `k` and `k_constant` in A*sqrt(s)/m2, `beta_c` in degrees Celsius.
    """

    name: str
    rho20: float
    alpha20: float
    coating_factor: float
    ampacity_factor: float
    k: float
    k_constant: float
    beta_c: float
    source: str
    origin: str


@cache
def materials() -> Mapping[str, Material]:
    """Return the materials by name; an ampacity factor not tabled is the root of conductivity."""
    columns = (
        "material",
        "rho20_ohm_mm2_per_m",
        "alpha20_per_k",
        "coating_factor",
        "ampacity_factor",
        "k_70_160_a_sqrt_s_per_mm2",
        "k_constant_a_sqrt_s_per_mm2",
        "beta_c",
    )
    rows = table("materials", columns)
    copper_rho = number(rows[0], "rho20_ohm_mm2_per_m")
    return MappingProxyType({row["material"]: _material(row, copper_rho) for row in rows})


def _material(row: Row, copper_rho: float) -> Material:
    rho = number(row, "rho20_ohm_mm2_per_m")
    tabled = row["ampacity_factor"]
    return Material(
        name=row["material"],
        rho20=rho * 1e-6,
        alpha20=number(row, "alpha20_per_k"),
        coating_factor=number(row, "coating_factor"),
        ampacity_factor=number(row, "ampacity_factor") if tabled else math.sqrt(copper_rho / rho),
        k=number(row, "k_70_160_a_sqrt_s_per_mm2") * 1e6,
        k_constant=number(row, "k_constant_a_sqrt_s_per_mm2") * 1e6,
        beta_c=number(row, "beta_c"),
        source=row["source"],
        origin=row["origin"],
    )


def material_of(name: str) -> Material:
    """Return the material of this name; raises ValueError naming those there are."""
    found = materials().get(name)
    if found is None:
        raise ValueError(f"no conductor material {name!r}; there are {', '.join(materials())}")
    return found


@lru_cache(maxsize=4096)
def resistance_per_m(area_m2: float, system: GaugeSystem, material: str, temp_c: float) -> float:
    """Return the resistance of a stranded cable in ohm per metre at a conductor temperature.

    awg: rho/A by ASTM B258 area, x 1.02 for lay, coated strands x their factor. metric: IEC 60228:2004 class
    5 maximum, plain or tinned; clad and aluminium are scaled by what class 5 allows plain copper above rho/A,
    as no class 5 table exists for them. Raises ValueError for an unknown material or a senseless area.
    """
    stuff = material_of(material)
    if not 0 < area_m2 < math.inf:
        raise ValueError(f"a conductor of {area_m2} m2 has no resistance")
    ideal = ohm_per_m(stuff.rho20, stuff.alpha20, area_m2, temp_c)
    if system == "awg":
        return ideal * LAY_FACTOR * stuff.coating_factor
    return ideal * _class5_factor(area_m2, tinned=stuff.coating_factor > 1)


def ohm_per_m(rho20: float, alpha20: float, area_m2: float, temp_c: float) -> float:
    """Return rho20 (1 + alpha20 (T - 20)) / A in ohm per metre, from ohm*m, 1/K, m2 and degrees Celsius."""
    return at_temperature(rho20, alpha20, temp_c) / area_m2


def at_temperature(value20: float, alpha20: float, temp_c: float) -> float:
    """Return a resistance or resistivity known at 20 C at another temperature: R20 (1 + alpha20 (T - 20))."""
    return value20 * (1 + alpha20 * (temp_c - REFERENCE_C))


def _class5_factor(area_m2: float, *, tinned: bool) -> float:
    """Return IEC 60228 class 5 maximum over rho/A of copper; log-log between sizes, the end's beyond."""
    points = _class5_factors()[tinned]
    return log_log(min(max(area_m2, points[0][0]), points[-1][0]), points)


@cache
def _class5_factors() -> tuple[Points, Points]:
    columns = ("area_mm2", "plain_mohm_per_m", "tinned_mohm_per_m")
    rho20 = material_of("copper").rho20
    rows = [tuple(number(row, column) for column in columns) for row in table("iec60228", columns)]
    plain = tuple((area * 1e-6, mohm * 1e-3 * area * 1e-6 / rho20) for area, mohm, _ in rows)
    tinned = tuple((area * 1e-6, mohm * 1e-3 * area * 1e-6 / rho20) for area, _, mohm in rows)
    return plain, tinned


def adiabatic_k(material: str, start_c: float, final_c: float) -> float:
    """Return k in A*sqrt(s)/m2 for heating between two temperatures without loss, 0 where final <= start.

    k = K sqrt(ln((beta + final)/(beta + start))), IEC 60364-5-54 Annex A; sure for up to 5 s.
    """
    stuff = material_of(material)
    if final_c <= start_c:
        return 0.0
    return stuff.k_constant * math.sqrt(math.log((stuff.beta_c + final_c) / (stuff.beta_c + start_c)))
