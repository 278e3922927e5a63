"""The rules and schemas are found wherever planlint is installed, and all of them travel."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from planlint import shipped
from planlint.rulebook import load
from planlint.text.reader import read

CHECKOUT = Path(__file__).resolve().parent.parent


def files_in(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its relative name, without what Python leaves behind."""
    found = (path for path in folder.rglob("*") if path.is_file() and path.suffix != ".pyc")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def make(folder: Path) -> Path:
    """A new folder, with those above it."""
    folder.mkdir(parents=True)
    return folder


@pytest.mark.parametrize(("name", "find"), [("rules", shipped.rules_folder), ("schemas", shipped.schemas_folder)])
def test_the_planlint_under_test_ships_every_file_of_the_checkout(name: str, find: Callable[[], Path]) -> None:
    """A wheel carries the same files as the repository (`.ci/run` makes sure that a wheel is under test)."""
    expected = files_in(CHECKOUT / name)
    assert expected, f"{name}/ is empty"
    assert files_in(find()) == expected


def test_the_planlint_under_test_ships_the_whole_package() -> None:
    """The tables beside the modules travel too, and nothing of an earlier build is left in the wheel."""
    expected = files_in(CHECKOUT / "planlint")
    assert any(name.endswith(".csv") for name in expected)
    shipped_files = files_in(Path(shipped.__file__).resolve().parent)
    packaged = {
        n: data for n, data in shipped_files.items() if not n.startswith(("_rules/", "_rules.json", "_schemas/"))
    }
    assert packaged == expected


def test_the_rules_that_a_wheel_carries_read_are_those_of_its_files() -> None:
    """Compiled from what was read at build they are the same rules as from the YAML, which stays the source."""
    data = shipped.rule_data()
    files = shipped.rule_files()
    read_now = {file.name: reading.document.data for file in files if (reading := read(file.text.encode())).document}
    assert len(read_now) == len(files) > 0
    assert data in (None, read_now)
    from_data = load._compile_read(read_now)
    from_files = load.compile_rules(files)
    assert from_data.problems == from_files.problems == ()
    told = [
        [(rule.id, rule.when, [r.condition for r in rule.require]) for rule in book.rules]
        for book in (from_data, from_files)
    ]
    assert told[0] == told[1]


def test_a_wheel_finds_the_folder_inside_itself(tmp_path: Path) -> None:
    """An installed package looks into itself first, even with a folder of that name beside it."""
    package = make(tmp_path / "planlint")
    make(tmp_path / "rules")
    inside = make(package / "_rules")
    assert shipped.find_folder("rules", package) == inside


def test_a_checkout_finds_the_folder_beside_the_package(tmp_path: Path) -> None:
    """An editable install reads the files that the developer edits."""
    beside = make(tmp_path / "schemas")
    (tmp_path / "pyproject.toml").touch()
    assert shipped.find_folder("schemas", make(tmp_path / "planlint")) == beside


def test_a_strangers_folder_is_not_taken(tmp_path: Path) -> None:
    """A folder `rules` beside an installed package belongs to someone else."""
    make(tmp_path / "rules")
    with pytest.raises(shipped.ShippedDataMissingError):
        shipped.find_folder("rules", make(tmp_path / "planlint"))


def test_a_damaged_installation_says_what_is_missing_and_what_to_do(tmp_path: Path) -> None:
    """The message names the folder, where it was expected and the command that helps."""
    with pytest.raises(shipped.ShippedDataMissingError) as caught:
        shipped.find_folder("rules", tmp_path)
    message = str(caught.value)
    assert "rules/" in message
    assert "expected" in message
    assert "pip install --force-reinstall planlint" in message


def test_rule_files_come_with_their_repository_names_in_order() -> None:
    """Load errors can point at `rules/<group>/<id>.yaml`, and the order never depends on the disk."""
    found = {f"rules/{name}": text for name, text in files_in(CHECKOUT / "rules").items()}
    expected = sorted((name, text.decode()) for name, text in found.items() if name.endswith(".yaml"))
    assert [(file.name, file.text) for file in shipped.rule_files()] == expected


def test_a_schema_is_read_by_its_name() -> None:
    """The text is that of the file in the repository."""
    expected = (CHECKOUT / "schemas" / "plan.schema.json").read_text(encoding="utf-8")
    assert shipped.schema_text("plan.schema.json") == expected


def test_an_unknown_schema_is_named() -> None:
    """A missing file is named, and never leaves as a bare operating-system error."""
    with pytest.raises(shipped.ShippedDataMissingError, match=r"no-such\.schema\.json"):
        shipped.schema_text("no-such.schema.json")
