"""The packaged tables are whole, cited and refused when damaged; readings between points are sound."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import planlint.trade
from planlint.trade.curves import log_log
from planlint.trade.tables import ORIGINS, TableError, check_row, number, table

FOLDER = Path(planlint.trade.__file__).parent
FILES = sorted(FOLDER.glob("*.csv"))


def test_there_are_tables() -> None:
    """The checks below have files to look at."""
    assert len(FILES) >= 8


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_row_cites_its_source(path: Path) -> None:
    """Each row of each packaged table names a source and how its figures were come by."""
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert rows
    for row in rows:
        assert row["source"].strip()
        assert row["origin"] in ORIGINS
        assert None not in row.values()


@pytest.mark.parametrize(
    "row",
    [
        {"a": "1", "source": "", "origin": "seen"},
        {"a": "1", "source": "somewhere", "origin": "guessed"},
        {"a": "1", "source": "somewhere", "origin": None},
    ],
)
def test_a_damaged_row_is_refused(row: dict[str, str | None]) -> None:
    """A row without source, with an unknown origin or with cells missing stops the load."""
    with pytest.raises(TableError, match="here"):
        check_row("here", row)


def test_other_columns_than_expected_are_refused() -> None:
    """A table whose columns are not those asked for is named in the error."""
    with pytest.raises(TableError, match=r"materials\.csv"):
        table("materials", ("material", "price"))


@pytest.mark.parametrize("cell", ["", "x", "nan", "inf"])
def test_a_cell_that_is_no_number_is_refused(cell: str) -> None:
    """Words and numbers that are not finite do not become figures."""
    with pytest.raises(TableError, match="is no number"):
        number({"a": cell}, "a")


POINTS = ((1.0, 10.0), (4.0, 40.0), (16.0, 20.0))


def test_log_log_gives_the_points_themselves() -> None:
    """At a tabled place the tabled value comes back unchanged, also within rounding of it."""
    assert [log_log(x, POINTS) for x, _ in POINTS] == [y for _, y in POINTS]
    assert log_log(4.0 * (1 + 1e-12), POINTS) == 40.0


@given(x=st.floats(1.0, 16.0))
def test_log_log_follows_a_power_law(x: float) -> None:
    """Between points of y = 10 x and then y = 80 / sqrt(x) the curve is that power law (closed form)."""
    expected = 10 * x if x <= 4 else 80 / x**0.5
    assert log_log(x, POINTS) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("x", [0.99, 16.1])
def test_log_log_does_not_reach_beyond_its_points(x: float) -> None:
    """Outside the table there is no value to read."""
    with pytest.raises(ValueError, match="outside"):
        log_log(x, POINTS)
