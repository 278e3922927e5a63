"""Loads the packaged CSV tables and refuses rows without a source, an origin or a number where one is due."""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping
from functools import cache
from pathlib import Path

ORIGINS = frozenset({"seen", "memory", "computed", "common practice"})
"""How a figure was come by: read in the source, recalled, worked out, or a habit of the trade."""

Row = Mapping[str, str]


class TableError(ValueError):
    """A packaged table is damaged; the message names the file and the row."""


@cache
def table(name: str, columns: tuple[str, ...]) -> tuple[Row, ...]:
    """Return the rows of `name`.csv, which must have exactly these columns and then `source` and `origin`.

    Raises TableError.
    """
    path = Path(__file__).with_name(f"{name}.csv")
    with path.open(encoding="utf-8", newline="") as stream:
        reader = csv.DictReader(stream, strict=True)
        rows = tuple(reader)
    if tuple(reader.fieldnames or ()) != (*columns, "source", "origin"):
        raise TableError(f"{path.name}: expected the columns {', '.join(columns)}, source, origin")
    for count, row in enumerate(rows, start=2):
        check_row(f"{path.name}, row {count}", row)
    return rows


def check_row(where: str, row: Mapping[str, str | None]) -> None:
    """Raise TableError unless the row is complete, cites a source and names a known origin."""
    if None in row or None in row.values():
        raise TableError(f"{where}: too many or too few cells")
    if not row["source"] or row["origin"] not in ORIGINS:
        raise TableError(f"{where}: a source and an origin of {', '.join(sorted(ORIGINS))} are due")


def number(row: Row, column: str) -> float:
    """Return a cell as a finite number; raises TableError."""
    try:
        value = float(row[column])
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise TableError(f"column {column}: {row[column]!r} is no number")
    return value
