"""Finds the rules and schemas that travel with planlint, in an installed wheel and in a checkout."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from planlint.frozen import frozen

_PACKAGE = Path(__file__).resolve().parent


class ShippedDataMissingError(Exception):
    """The installation is damaged: a folder or file that travels with planlint is not there."""


@frozen
class ShippedFile:
    """One packaged text file; `name` is its path from the top of the repository, with forward slashes."""

    name: str
    text: str


def rules_folder() -> Path:
    """Folder of the rule files; raises ShippedDataMissingError when the installation is damaged."""
    return find_folder("rules", _PACKAGE)


def schemas_folder() -> Path:
    """Folder of the JSON Schemas; raises ShippedDataMissingError when the installation is damaged."""
    return find_folder("schemas", _PACKAGE)


def find_folder(name: str, package: Path) -> Path:
    """Folder `name` for the planlint in `package`: inside it in a wheel, beside it in a checkout.

    Raises ShippedDataMissingError when it is in neither place.
    """
    inside = package / f"_{name}"
    if inside.is_dir():
        return inside
    beside = package.parent / name
    # Without this mark a stranger's site-packages/rules would be taken for ours.
    if (package.parent / "pyproject.toml").is_file() and beside.is_dir():
        return beside
    raise ShippedDataMissingError(_missing(f"the folder {name}/"))


def rule_files() -> tuple[ShippedFile, ...]:
    """Every packaged rule file, in the order of its name; raises ShippedDataMissingError."""
    folder = rules_folder()
    named = {f"rules/{path.relative_to(folder).as_posix()}": path for path in folder.rglob("*.yaml")}
    return tuple(ShippedFile(name=name, text=_read(named[name])) for name in sorted(named))


def rule_data() -> dict[str, Any] | None:
    """Return the data of every packaged rule file by its name, as a wheel carries it read; None in a checkout.

    Raises ShippedDataMissingError.
    """
    read = _PACKAGE / "_rules.json"
    found: dict[str, Any] | None = json.loads(_read(read)) if read.is_file() else None
    return found


def schema_text(name: str) -> str:
    """Text of one packaged schema, such as "plan.schema.json"; raises ShippedDataMissingError."""
    return _read(schemas_folder() / name)


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise ShippedDataMissingError(_missing(f"the file {path.name}")) from error


def _missing(what: str) -> str:
    return (
        f"{what} that travels with planlint was not found; "
        "expected it inside the installed package or at the top of the checkout; "
        "install planlint again: pip install --force-reinstall planlint"
    )
