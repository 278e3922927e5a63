"""Tells the numbers behind a verdict as tables: devices in each scenario, currents in wires, short circuits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from planlint.judge.numbers import Number, Numbers, ScenarioTable, WireRow
from planlint.judge.result import Result
from planlint.plan.quantity import Dimension, readable_unit, show
from planlint.report.beside import assumed_lines
from planlint.report.caution import CAUTION
from planlint.report.plain import columns, fold, safe
from planlint.rulebook.phrases import listed

WIDTH = 100
"""Columns of a table, but for names that are too long."""
_NONE, _UNKNOWN = "-", "?"
_ORIGINS = {"memory": "quoted from memory", "assumed": "assumed, since the family has no published times"}


def render_table(results: tuple[Result, ...]) -> str:
    """Return the tables of all results, ending with the caution."""
    lines: list[str] = []
    for result in results:
        lines += [safe(result.plan), *(fold(result.title, width=WIDTH) if result.title.strip() else ()), ""]
        lines += _plan(result) if result.numbers else ["  Nothing could be reckoned: the plan is unreadable.", ""]
    return "\n".join([*lines, *fold(CAUTION, width=WIDTH)]) + "\n"


def _plan(result: Result) -> list[str]:
    numbers = result.numbers
    assert numbers
    lines = ["  Devices, each scenario solved as a network", ""]
    for one in numbers.scenarios:
        lines += [*_devices(one), ""]
    lines += [*_wires(numbers), ""]
    lines += [*_shorts(numbers.wires), ""]
    if needs := _needs(numbers):
        lines += ["  ? The plan does not state", *_items(needs), ""]
    if assumed := assumed_lines(result.assumed):
        lines += ["  Assumed, since the plan does not state it", *assumed, ""]
    return [*lines, *fold(f"Verdict: {result.verdict.value}", "  ", width=WIDTH), ""]


def _devices(one: ScenarioTable) -> list[str]:
    title = f"    {one.words[0].upper()}{one.words[1:]}"
    if one.batteries_alone:
        title += " (the alternator is not stated: batteries alone)"
    if one.needs:
        return [title, *fold(f"not solved: the plan does not state {one.needs}", "      ", width=WIDTH)]
    if one.falling:
        collapse = f"no voltage at which the system works: that of {listed(one.falling, 'and')} falls without end"
        return [title, *fold(collapse, "      ", width=WIDTH)]
    head = ("device", "current", "voltage", "lost there", "lost back", "")
    rows = [
        (
            row.name,
            *map(_told, (row.current, row.volts, row.there, row.back)),
            "off: too little voltage" if row.off else "",
        )
        for row in one.devices
    ]
    return [title, *_columns(head, rows)]


def _wires(numbers: Numbers) -> list[str]:
    head = ("wire", "size", "asleep", "music", "full", "engine off", "fused for")
    fallen = [bool(one.falling) for one in numbers.scenarios]
    rows = [(row.name, row.size or _UNKNOWN, *_currents(row, fallen), _told(row.protecting)) for row in numbers.wires]
    what = "The last column is what can flow through before a fuse opens; short circuits follow below."
    told = fold(what, "      ", width=WIDTH)
    return ["  Currents in the wires of supply, charge, ground and turn-on", *_columns(head, rows), *told]


def _currents(row: WireRow, fallen: list[bool]) -> list[str]:
    """Return a wire's currents; where the supply collapses there are none to tell."""
    return ["collapse" if falls else _told(amps) for amps, falls in zip(row.currents, fallen, strict=True)]


def _shorts(wires: tuple[WireRow, ...]) -> list[str]:
    head = ("wire", "near end", "far end", "worst at", "fuse", "opens within", "withstands")
    rows = [
        (
            row.name,
            *map(_told, (one.near, one.far, one.worst)),
            one.fuse or (_UNKNOWN if one.opens.needs else "none before it"),
            _time(one.opens, "may never"),
            _time(one.withstands, "hours"),
        )
        for row in wires
        if (one := row.short)
    ]
    lines = ["  Short circuits in the wires of supply and charge: what they draw, and what the fuse does"]
    lines += _columns(head, rows)
    for origin, words in _ORIGINS.items():
        fuses = sorted({row.short.fuse for row in wires if row.short and row.short.origin == origin})
        if fuses:
            lines += fold(f"Opening times of {listed(tuple(fuses), 'and')}: {words}.", "      ", width=WIDTH)
    return lines


def _told(number: Number) -> str:
    if number.value is None:
        return _UNKNOWN if number.needs else _NONE
    # A thousandth of a milliampere or of a millivolt is none.
    value = 0.0 if abs(number.value) < 5e-7 else number.value
    return show(value, number.dimension, readable_unit(value, number.dimension))


def _time(number: Number, endless: str) -> str:
    if number.value is not None and math.isinf(number.value):
        return endless
    if number.value is None:
        return _told(number)
    return show(number.value, Dimension.TIME, "min" if number.value > 300 else "s")


def _columns(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Return rows in columns, names on the left and numbers flush right."""
    if not rows:
        return ["      none"]
    table = [[safe(cell) for cell in row] for row in (head, *rows)]
    widths = [max(columns(row[place]) for row in table) for place in range(len(head))]
    left = [name in _WORDS for name in head]
    return [_row(row, widths, left) for row in table]


_WORDS = ("device", "wire", "size", "fuse", "")


def _row(cells: Sequence[str], widths: Sequence[int], left: Sequence[bool]) -> str:
    told = []
    for cell, width, is_word in zip(cells, widths, left, strict=True):
        blank = " " * (width - columns(cell))
        told.append(cell + blank if is_word else blank + cell)
    return ("      " + "  ".join(told)).rstrip()


def _needs(numbers: Numbers) -> list[str]:
    """Return what the plan would have to state for every number to be known, each once."""
    found: list[Number] = []
    for row in numbers.wires:
        found += [*row.currents, row.protecting]
        if row.short:
            found += [row.short.near, row.short.far, row.short.worst, row.short.opens, row.short.withstands]
    found += [number for one in numbers.scenarios for row in one.devices for number in (row.volts, row.there, row.back)]
    return sorted({number.needs for number in found if number.needs})


def _items(texts: Iterable[str]) -> list[str]:
    return [line for text in texts for line in fold(text, "    - ", "      ", width=WIDTH)]
