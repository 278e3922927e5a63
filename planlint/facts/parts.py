"""What a rule may ask about a plan's list of parts: whether it holds what the drawing needs."""

from __future__ import annotations

import re
from collections.abc import Iterator

from planlint.facts import hardware
from planlint.facts.cable import ready_made
from planlint.facts.case import Case
from planlint.facts.hardware import amount, words
from planlint.graph.network import laid_by_maker
from planlint.graph.unknown import UnknownError
from planlint.plan.model import About, Termination, Wire
from planlint.plan.quantity import Dimension, Quantity, QuantityError, parse, show
from planlint.plan.runs import FAMILIES, Distribution, Fuse
from planlint.plan.values import WordField
from planlint.plan.work import Part

_FUSE = re.compile(r"\bfuses?\b(?!\W+(?:holder|block|box|tap))", re.IGNORECASE)
_CABLE = re.compile(r"\b(?:cable|wire)s?\b", re.IGNORECASE)
_RING = re.compile(r"\b(?:ring|lug|eyelet)s?\b", re.IGNORECASE)
# Of such cable one metre holds more than one metre of conductor.
_SEVERAL = re.compile(r"\b(?:pairs?|twin|cores?|multicore|twisted)\b", re.IGNORECASE)
_AMPS = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)[ -]?(?:A|[Aa]mp(?:ere)?s?)\b")
_SIZES = re.compile(r"(?<![\w./])(\d+(?:\.\d+)?|[1-4]/0) ?(AWG|mm2|mm²|sq\.? ?mm|qmm)(?!\w)")
_LENGTHS = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) ?(m|cm|ft)\b")
_STUD = re.compile(r"\bM\d+\b")
# The first words of the families of fuses, as a list names them.
_PATTERNS = tuple(sorted({family.partition("-")[0] for family in FAMILIES}))
# Sizes that differ by less are one.
_ALIKE = 0.05


def parts_missing(case: Case, about: About) -> str | None:
    """Return what the plan needs and the list of parts does not hold: fuses, cable, ring terminals, the grommets of drilled
    holes, and what holds mounts and ground points; None for nothing.

    Raises UnknownError where the plan has no list of parts, or a fuse or wire does not state what is needed.
    """
    parts = _parts(case)
    missing = [
        *(*_fuses_missing(case, parts), *_cables_missing(case, parts), *_rings_missing(case, parts)),
        *(*hardware.grommets_missing(case, parts), *hardware.fasteners_missing(case, parts)),
    ]
    if missing:
        return ", ".join(missing)
    hardware.know_grommets(case, parts)
    for node in case.plan.nodes:
        if isinstance(node, Fuse) and node.factory is not True and node.rating is None:
            raise UnknownError((*node.path, "rating"))
    for wire in _added(case):
        if wire.gauge is None:
            raise UnknownError((*wire.path, "gauge"))
    return None


def fuse_parts(case: Case, _about: About) -> tuple[Part, ...]:
    """Return the fuses on the list of parts."""
    return tuple(part for part in _parts(case) if _FUSE.search(words(part)))


def cable_parts(case: Case, _about: About) -> tuple[Part, ...]:
    """Return the cables on the list of parts that alone have their size."""
    cables = [part for part in _parts(case) if _CABLE.search(str(part.part)) and _areas(part)]
    return tuple(one for one in cables if not any(_same_sizes(one, other) for other in cables if other is not one))


def ring_parts(case: Case, _about: About) -> tuple[Part, ...]:
    """Return the ring terminals on the list of parts."""
    return tuple(part for part in _parts(case) if _RING.search(str(part.part)))


def grommet_parts(case: Case, _about: About) -> tuple[Part, ...]:
    """Return the grommets on the list of parts."""
    return tuple(part for part in _parts(case) if hardware.is_grommet(part))


def fastener_parts(case: Case, _about: About) -> tuple[Part, ...]:
    """Return the studs, bolts, screws, nut inserts and straps on the list of parts."""
    return tuple(part for part in _parts(case) if hardware.is_fastener(part))


def spares_missing(case: Case, _about: About) -> str | None:
    """Return the fuses on the list of parts, by pattern and rating, of which none is kept as a spare; None where each has
    one. Raises UnknownError where the plan has no list of parts."""
    listed = [one for one in _parts(case) if _FUSE.search(words(one))]
    lacking = []
    for (rating, family), count in sorted(_patterns(case).items()):
        mine = [one for one in listed if _is_fuse(one, rating, family)]
        more = sum(amount(one) + (one.spare if isinstance(one.spare, int) else 0) for one in mine)
        # What the list holds too few of is a gap of the list.
        if sum(amount(one) for one in mine) >= count >= more:
            lacking.append(" ".join(filter(None, (show(rating, Dimension.CURRENT, "A"), family))))
    return ", ".join(lacking) or None


def _patterns(case: Case) -> dict[tuple[float, str], int]:
    """Return how many added fuses of each rating and pattern the plan has."""
    found: dict[tuple[float, str], int] = {}
    for rating, family in _fuses(case):
        key = rating, (family.partition("-")[0] if isinstance(family, str) else "")
        found[key] = found.get(key, 0) + 1
    return found


def _is_fuse(part: Part, rating: float, family: str) -> bool:
    """Say whether a listed fuse is of this rating, and says no other pattern of itself."""
    said = {word for word in _PATTERNS if re.search(rf"\b{word}\b", words(part), re.IGNORECASE)}
    return any(float(amps) == rating for amps in _amps(part)) and (not family or not said or family in said)


def _parts(case: Case) -> tuple[Part, ...]:
    if case.plan.parts is None:
        raise UnknownError(("parts",))
    return case.plan.parts


def _areas(part: Part) -> list[float]:
    """Return the conductor sizes in m2 that a part's words name."""
    found = []
    for number, unit in _SIZES.findall(words(part)):
        try:
            found.append(parse(f"{number} {'AWG' if unit == 'AWG' else 'mm2'}", Dimension.AREA).low)
        except QuantityError:
            continue
    return found


def _same_sizes(one: Part, other: Part) -> bool:
    return any(_alike(size, another) for size in _areas(one) for another in _areas(other))


def _alike(one: float, other: float) -> bool:
    return abs(one - other) <= _ALIKE * max(one, other)


def _fuses_missing(case: Case, parts: tuple[Part, ...]) -> Iterator[str]:
    needed: dict[float, int] = {}
    for rating in _ratings(case):
        needed[rating] = needed.get(rating, 0) + 1
    listed = [(float(amps), amount(one)) for one in parts if _FUSE.search(words(one)) for amps in _amps(one)]
    for rating, count in sorted(needed.items()):
        there = sum(amount for amps, amount in listed if amps == rating)
        if there < count:
            yield f"{show(rating, Dimension.CURRENT, 'A')} fuse ({there} of {count})"


def _amps(part: Part) -> list[str]:
    return _AMPS.findall(words(part))


def _ratings(case: Case) -> Iterator[float]:
    return (rating for rating, _ in _fuses(case))


def _fuses(case: Case) -> Iterator[tuple[float, WordField]]:
    """Yield rating and family of the added fuses, those in blocks among them."""
    for node in case.plan.nodes:
        if node.factory is True:
            continue
        if isinstance(node, Fuse) and isinstance(node.rating, Quantity):
            yield node.rating.high, node.family
        if isinstance(node, Distribution):
            yield from ((out.fuse.high, out.family) for out in node.outputs if isinstance(out.fuse, Quantity))


def _added(case: Case) -> tuple[Wire, ...]:
    """Return the wires that are cut from the list's cable: not the maker's, and none that come ready made."""
    wires = case.plan.wires
    return tuple(w for w in wires if not laid_by_maker(case.nodes, w) and not ready_made(case, w))


def _cables_missing(case: Case, parts: tuple[Part, ...]) -> Iterator[str]:
    cables = [part for part in parts if _CABLE.search(str(part.part))]
    for size, wires in sorted(_by_size(case).items()):
        here = [part for part in cables if any(_alike(size, one) for one in _areas(part))]
        named = show(size, Dimension.AREA, _unit(wires[0]))
        if not here:
            yield f"cable of {named}"
            continue
        # Where each says for which wires it is, the others are cut from something else.
        served = {name for part in here for name in part.serves} if all(part.serves for part in here) else None
        needed = sum(_cut(wire) for wire in wires if served is None or wire.name in served)
        lengths = [length for part in here if (length := _length(part)) is not None]
        single = len(lengths) == len(here) and not any(_SEVERAL.search(words(part)) for part in here)
        if single and sum(lengths) < needed * (1 - 1e-9):
            metres = [show(value, Dimension.LENGTH, "m") for value in (sum(lengths), needed)]
            yield f"cable of {named} ({metres[0]} of {metres[1]})"


def _length(part: Part) -> float | None:
    """Return the length of cable in m that a part states, in its own field or in the words of its size."""
    if isinstance(part.length, Quantity):
        return part.length.low
    found = _LENGTHS.findall(str(part.size))
    return sum(parse(f"{number} {unit}", Dimension.LENGTH).low for number, unit in found) if found else None


def _by_size(case: Case) -> dict[float, list[Wire]]:
    found: dict[float, list[Wire]] = {}
    for wire in _added(case):
        if isinstance(wire.gauge, Quantity):
            found.setdefault(wire.gauge.low, []).append(wire)
    return found


def _unit(wire: Wire) -> str:
    return wire.gauge.unit if isinstance(wire.gauge, Quantity) else "mm2"


def _cut(wire: Wire) -> float:
    """Return what a wire takes from the reel in m: its cut, else its length, nothing where neither is stated."""
    stated = wire.cut if isinstance(wire.cut, Quantity) else wire.length
    return stated.high if isinstance(stated, Quantity) else 0.0


def _rings_missing(case: Case, parts: tuple[Part, ...]) -> Iterator[str]:
    needed: dict[tuple[str, float, str], int] = {}
    for wire in _added(case):
        for end in (wire.ends_made.from_, wire.ends_made.to) if wire.ends_made else ():
            if end is not None and end.type == "ring" and (key := _ring(wire, end)):
                needed[key] = needed.get(key, 0) + 1
    rings = [part for part in parts if _RING.search(str(part.part))]
    for (stud, size, unit), count in sorted(needed.items()):
        there = sum(amount(part) for part in rings if _suits(part, stud, size))
        if there < count:
            words = " ".join(filter(None, (stud, "for", show(size, Dimension.AREA, unit))))
            yield f"ring terminal {words} ({there} of {count})"


def _ring(wire: Wire, end: Termination) -> tuple[str, float, str] | None:
    """Return the stud and the conductor that a ring is for, None where no size is stated."""
    size = end.barrel if isinstance(end.barrel, Quantity) else wire.gauge
    stud = _STUD.search(end.stud) if isinstance(end.stud, str) else None
    return (stud[0] if stud else "", size.low, size.unit) if isinstance(size, Quantity) else None


def _suits(part: Part, stud: str, size: float) -> bool:
    """Say whether a listed ring may be the one that is needed: nothing that it says of itself speaks against it."""
    studs, sizes = _STUD.findall(words(part)), _areas(part)
    return (not stud or not studs or stud in studs) and (not sizes or any(_alike(size, one) for one in sizes))
