"""Which grommets and fasteners a plan needs, and how many of them its list of parts holds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from planlint.facts.case import Case
from planlint.graph.unknown import UnknownError
from planlint.plan.quantity import Dimension, Quantity, show
from planlint.plan.runs import GroundPoint
from planlint.plan.values import QuantityField
from planlint.plan.work import Hole, Part
from planlint.trade import fasteners

_GROMMET = re.compile(r"\b(?:grommets?|glands?|nipples?)\b", re.IGNORECASE)
_MILLIMETRES = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) ?mm\b")
_THREAD = re.compile(r"\bM\d+(?:\.\d+)?\b")
_ALIKE = 0.05
# What a fastener is called on a list, by its type in the plan or its word in a ground point's text. A bracket and what
# is fixed with the maker's own screws need none.
_WORDS = {
    "nut-insert": r"(?:inserts?|rivet[- ]nuts?)",
    "through-bolt": r"(?:bolts?|(?:machine|hex(?:agon)?(?:[- ]head)?) screws?)",
    "sheet-screw": r"screws?",
    "strap": r"straps?",
    "hook-and-loop": r"(?:hook|tape)\w*",
    "stud": r"studs?",
    "bolt": r"(?:bolts?|(?:machine|hex(?:agon)?(?:[- ]head)?) screws?)",
    "screw": r"screws?",
    "insert": r"(?:inserts?|rivet[- ]nuts?)",
}
_KINDS = {name: re.compile(rf"\b{word}\b", re.IGNORECASE) for name, word in _WORDS.items()}
_FASTENER = re.compile("|".join(rf"\b{word}\b" for word in dict.fromkeys(_WORDS.values())), re.IGNORECASE)
# What is no fastener though its words may name the stud or screw that it goes on.
_OTHERS = re.compile(
    r"\b(?:rings?|lugs?|eyelets?|terminals?|cables?|wires?|fuses?|grommets?|ferrules?)\b", re.IGNORECASE
)
# A fastener that the vehicle has already.
_THEIRS = re.compile(r"\b(?:maker|factory|existing|original|vehicle|own)(?:'s|s)?\b", re.IGNORECASE)
# Where it is always one.
_THEIR_MEMBERS = ("factory-stud", "battery-negative", "belt-anchor", "seat-bolt")
# What has no thread.
_BAND = re.compile("|".join(rf"\b{_WORDS[name]}\b" for name in ("strap", "hook-and-loop")), re.IGNORECASE)
# What holds, and its thread, nothing where it names none.
_Need = tuple[str, str]


def words(part: Part) -> str:
    """Return what a part says of itself."""
    return " ".join(text for text in (part.part, part.size) if isinstance(text, str))


def amount(part: Part) -> int:
    """Return how many of a part are listed."""
    return part.amount if isinstance(part.amount, int) else 1


def is_grommet(part: Part) -> bool:
    """Say whether a part on the list is a grommet."""
    return bool(_GROMMET.search(words(part)))


def is_fastener(part: Part) -> bool:
    """Say whether a part on the list is a stud, bolt, screw, nut insert or strap."""
    return bool(_FASTENER.search(words(part))) and not _OTHERS.search(str(part.part))


def grommets_missing(case: Case, parts: tuple[Part, ...]) -> Iterator[str]:
    """Yield the grommets that the list lacks: one that says its sizes must say those of the hole."""
    for holes in _by_sizes(case):
        new = [hole for hole in holes if _is_new(hole)]
        count, there = _count(new), _listed(parts, holes)
        if there < count:
            yield f"grommet for {' and '.join(hole.name for hole in new)} ({there} of {count})"


def know_grommets(case: Case, parts: tuple[Part, ...]) -> None:
    """Raise UnknownError where the vehicle may have a grommet already or not, and the list holds none for that hole."""
    for holes in _by_sizes(case):
        open_ones = [hole for hole in holes if _is_new(hole) is None]
        if open_ones and _listed(parts, holes) < _count(hole for hole in holes if _is_new(hole) is not False):
            raise UnknownError((*open_ones[0].path, "grommet", "factory"))


def _by_sizes(case: Case) -> list[list[Hole]]:
    """Return the holes with a grommet, those together whose grommets are of one size."""
    found: dict[tuple[float, ...], list[Hole]] = {}
    for hole in sorted(case.plan.holes or (), key=lambda one: one.name):
        if hole.grommet is not None:
            found.setdefault(_sizes(hole), []).append(hole)
    return [found[sizes] for sizes in sorted(found)]


def _is_new(hole: Hole) -> bool | None:
    """Say whether a hole's grommet is to be bought; a hole that is drilled has none yet."""
    own = hole.grommet.factory if hole.grommet else None
    if isinstance(own, bool):
        return not own
    return None if hole.existing is True else True


def _count(holes: Iterable[Hole]) -> int:
    return sum(hole.amount if isinstance(hole.amount, int) else 1 for hole in holes)


def _listed(parts: Iterable[Part], holes: list[Hole]) -> int:
    return sum(amount(part) for part in parts if is_grommet(part) and _is_for(part, holes))


def _sizes(hole: Hole) -> tuple[float, ...]:
    """Return bore and groove of a hole's grommet in mm, as far as they are stated."""
    return _in_mm(hole.grommet.bore, hole.grommet.groove) if hole.grommet else ()


def _is_for(part: Part, holes: list[Hole]) -> bool:
    """Say whether a grommet names no size that is neither its own by the plan nor its hole's."""
    said = [float(number) for number in _MILLIMETRES.findall(words(part))]
    known = [size for hole in holes for size in (*_sizes(hole), *_in_mm(hole.diameter, hole.panel), *_width(hole))]
    return not _sizes(holes[0]) or all(any(_alike(size, one) for size in known) for one in said)


def _width(hole: Hole) -> tuple[float, ...]:
    return _in_mm(hole.grommet.width) if hole.grommet else ()


def _in_mm(*values: QuantityField) -> tuple[float, ...]:
    return tuple(one.low * 1e3 for one in values if isinstance(one, Quantity))


def _alike(one: float, other: float) -> bool:
    return abs(one - other) <= _ALIKE * max(one, other)


def fasteners_missing(case: Case, parts: Iterable[Part]) -> Iterator[str]:
    """Yield what holds mounts and ground points and the list lacks, by kind and thread, and of each thread in all."""
    listed = [part for part in parts if is_fastener(part)]
    needed: dict[_Need, int] = {}
    for need, count in (*_of_mounts(case), *_of_points(case)):
        needed[need] = needed.get(need, 0) + count
    together: dict[str, int] = {}
    short: set[str] = set()
    for (kind, thread), count in sorted(needed.items()):
        there = sum(amount(part) for part in listed if _KINDS[kind].search(words(part)) and _suits(part, thread))
        if there < count:
            short.add(thread)
            yield f"{f'{thread} {kind}'.replace('-', ' ').strip()} ({there} of {count})"
        together[thread] = together.get(thread, 0) + count
    threaded = [part for part in listed if not _BAND.search(str(part.part))]
    for thread, count in sorted(together.items()):
        there = sum(amount(part) for part in threaded if _suits(part, thread))
        if thread and there < count and thread not in short:
            yield f"fasteners with a thread of {thread} ({there} of {count})"


def _suits(part: Part, thread: str) -> bool:
    """Say whether nothing that a part says of its thread speaks against this one."""
    said = {*_THREAD.findall(words(part)), _thread(words(part))} - {""}
    return not thread or not said or thread in said


def _thread(text: str) -> str:
    """Return the thread that a text names, `M8` or in mm, nothing where it names none."""
    found = fasteners.thread(text)
    if found is None:
        return ""
    return (
        f"M{found * 1e3:.9g}" if abs(round(found * 1e4) - found * 1e4) < 1e-9 else show(found, Dimension.LENGTH, "mm")
    )


def _of_mounts(case: Case) -> Iterator[tuple[_Need, int]]:
    for mount in case.plan.mounts or ():
        held = mount.fasteners
        if held is not None and isinstance(held.type, str) and held.type in _KINDS and isinstance(held.amount, int):
            yield (held.type, _thread(held.size) if isinstance(held.size, str) else ""), held.amount


def _of_points(case: Case) -> Iterator[tuple[_Need, int]]:
    for node in case.plan.nodes:
        text = getattr(node, "fastener", None)
        theirs = node.factory is True or getattr(node, "member", None) in _THEIR_MEMBERS
        if isinstance(node, GroundPoint) and not theirs and isinstance(text, str) and not _is_theirs(text):
            kind = next((name for name in ("stud", "bolt", "screw", "insert") if _KINDS[name].search(text)), None)
            if kind:
                yield (kind, _thread(text)), 1


def _is_theirs(text: str) -> bool:
    """Say whether a text names a fastener that the vehicle has, as those of its seats and belts are."""
    return bool(_THEIRS.search(text)) or fasteners.holds_down(text) is not None
