"""Finds and reads the plan files that a command line names."""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

from planlint.frozen import frozen
from planlint.text.reader import BYTES_TO_READ

ENDINGS = (".plan.yaml", ".plan.yml", ".plan.json")
_NAME_ONE = "Name a plan file, a folder that holds some, or - for standard input: `planlint check cars/van.plan.yaml`."


@frozen
class PlanFile:
    """A plan file: its name in reports, its bytes, or why it could not be read and what to do then.

    `identity` is device and number of the file on disk, so that two spellings of one path are known as one.
    """

    name: str
    raw: bytes = b""
    trouble: str = ""
    remedy: str = ""
    identity: tuple[int, int] | None = None


def plan_files(paths: tuple[str, ...]) -> list[PlanFile]:
    """Return the files that the paths name, each once: files, `-` for standard input, and every plan below
    folders."""
    found: dict[object, PlanFile] = {}
    for text in paths:
        for file in _files(text):
            found.setdefault(file.identity or file.name, file)
    return list(found.values())


def shown_path(path: str | Path) -> str:
    """Return a path as reports name it: bytes of a file name that are no text become `\\udcff`."""
    text = path.as_posix() if isinstance(path, Path) else path
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def files_below(folder: Path, endings: tuple[str, ...]) -> Iterator[Path | OSError]:
    """Yield the files of a folder and those below it with one of these endings, by name; folders that cannot
    be read as
    errors. Hidden folders (a repository's own, an environment) and links to folders are passed over."""
    errors: list[OSError] = []
    for top, folders, names in os.walk(folder, onerror=errors.append):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield from (Path(top, name) for name in sorted(names) if name.endswith(endings))
    yield from errors


def read_regular(path: Path, most: int) -> tuple[bytes, tuple[int, int]]:
    """Return the first `most` bytes of a regular file and its identity. Raises OSError; pipes and devices
    are refused, since
    reading them may never end."""
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise IsADirectoryError(0, "it is a folder")
        if not stat.S_ISREG(status.st_mode):
            raise OSError(0, "it is a pipe or a device, not a file")
        with path.open("rb") as file:
            return file.read(most), (status.st_dev, status.st_ino)
    except ValueError as error:  # a NUL in the name
        raise OSError(0, "its name is none that a file can have") from error


def reason(error: OSError) -> str:
    """Return why a file could not be read, in the words of the system."""
    text = error.strerror or type(error).__name__
    return text[:1].lower() + text[1:]


def _files(text: str) -> list[PlanFile]:
    if text == "-":
        return [_standard_input()]
    path = Path(text)
    if not path.is_dir():
        return [_read(path)]
    found = [_read(one) if isinstance(one, Path) else _unreadable_folder(one) for one in files_below(path, ENDINGS)]
    return found or [_nothing(path)]


def _standard_input() -> PlanFile:
    try:
        if sys.stdin is None:
            raise OSError(0, "it is closed")
        return PlanFile(name="-", raw=sys.stdin.buffer.read(BYTES_TO_READ))
    except OSError as error:
        trouble = f"standard input could not be read: {reason(error)}"
        return PlanFile(name="-", trouble=trouble, remedy="Send a plan to it: `planlint check - < van.plan.yaml`.")


def _read(path: Path) -> PlanFile:
    name = shown_path(path)
    try:
        raw, identity = read_regular(path, BYTES_TO_READ)
        return PlanFile(name=name, raw=raw, identity=identity)
    except FileNotFoundError:
        return PlanFile(name=name, trouble=f"there is no file {name}", remedy=_NAME_ONE)
    except PermissionError as error:
        remedy = "Allow yourself to read it, or copy it to where you may."
        return PlanFile(name=name, trouble=f"the file {name} could not be read: {reason(error)}", remedy=remedy)
    except OSError as error:
        return PlanFile(name=name, trouble=f"the file {name} could not be read: {reason(error)}", remedy=_NAME_ONE)


def _unreadable_folder(error: OSError) -> PlanFile:
    name = shown_path(Path(str(error.filename)))
    trouble = f"the folder {name} could not be read: {reason(error)}; plans in it are not judged"
    return PlanFile(name=name, trouble=trouble, remedy="Allow yourself to read it, or name the plans one by one.")


def _nothing(folder: Path) -> PlanFile:
    name = shown_path(folder)
    trouble = f"found no plan in the folder {name}; expected a file that ends in {', '.join(ENDINGS)}"
    return PlanFile(name=name, trouble=trouble, remedy="Rename the plan, as in `van.plan.yaml`, or name the file.")
