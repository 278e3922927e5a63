"""Finds and reads the plan files that a command line names."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from planlint.text.reader import BYTES_TO_READ

ENDINGS = (".plan.yaml", ".plan.yml", ".plan.json")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFile:
    """A plan file: its name in reports, its bytes, or why it could not be read."""

    name: str
    raw: bytes = b""
    trouble: str = ""


def plan_files(paths: tuple[str, ...]) -> list[PlanFile]:
    """Return the files that the paths name: files, `-` for standard input, and in folders every plan below them."""
    found: dict[str, PlanFile] = {}
    for text in paths:
        for file in _files(text):
            found.setdefault(file.name, file)
    return list(found.values())


def _files(text: str) -> list[PlanFile]:
    if text == "-":
        return [PlanFile(name="-", raw=sys.stdin.buffer.read(BYTES_TO_READ))]
    path = Path(text)
    if path.is_dir():
        # A hidden folder (a repository's own, an environment) holds no plan of the user's.
        below = sorted(
            p for p in path.rglob("*") if p.name.endswith(ENDINGS) and p.is_file() and not _hidden(p, path)
        )
        return [_read(p) for p in below] or [PlanFile(name=text, trouble=_nothing(text))]
    return [_read(path)]


def _hidden(path: Path, top: Path) -> bool:
    return any(part.startswith(".") for part in path.relative_to(top).parts[:-1])


def _nothing(folder: str) -> str:
    return f"found no plan in the folder {folder}; expected a file that ends in {' or '.join(ENDINGS)}"


def _read(path: Path) -> PlanFile:
    name = path.as_posix()
    try:
        with path.open("rb") as file:
            return PlanFile(name=name, raw=file.read(BYTES_TO_READ))
    except FileNotFoundError:
        return PlanFile(
            name=name, trouble=f"there is no file {name}; name a plan file, a folder, or - for standard input"
        )
    except OSError as error:
        return PlanFile(name=name, trouble=f"{name} could not be read: {error.strerror or error}")
