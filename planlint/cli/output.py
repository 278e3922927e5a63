"""Writes reports where the command line sends them."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

import click

from planlint.cli.plans import shown_path


def wants_colour() -> bool:
    """Say whether to colour standard output: NO_COLOR forbids it, FORCE_COLOR asks for it, else where a
    terminal can."""
    if os.environ.get("NO_COLOR"):
        return False
    if os.environ.get("FORCE_COLOR"):
        return True
    return sys.stdout is not None and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"


def write_out(text: str) -> None:
    """Write a report to standard output; characters it cannot show are replaced. Raises click.ClickException.

    Where its reader has gone (a pager, head) there is nobody left to tell, and nothing more is said.
    """
    try:
        if sys.stdout is None:
            raise OSError(0, "it is closed")
        # As bytes, so that line ends are the same on every system.
        sys.stdout.buffer.write(text.encode(sys.stdout.encoding or "utf-8", "replace"))
        sys.stdout.flush()
    except BrokenPipeError:
        _give_up_stdout()
    except OSError as error:
        _give_up_stdout()
        message = f"the report could not be written to standard output: {error.strerror or error}"
        raise click.ClickException(message) from error


def _give_up_stdout() -> None:
    """Let what is left in the buffer go nowhere, or the interpreter would complain about it at its end."""
    if sys.stdout is not None:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())


def write_file(path: str, text: str) -> None:
    """Write a report to a file, which is replaced only once the whole report is on disk. Raises
    click.ClickException."""
    target = Path(path)
    data = text.encode("utf-8", "backslashreplace")
    try:
        if target.exists() and not target.is_file() and not target.is_dir():
            target.write_bytes(data)  # a pipe or device is written to, never replaced
        else:
            _replace(Path(os.path.realpath(target)), data)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        message = f"the report could not be written to {shown_path(path)}: {why}"
        raise click.ClickException(message) from error


def _replace(target: Path, data: bytes) -> None:
    handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=".planlint-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        # mkstemp makes a private file; a report is as readable as the one it replaces, or as any other new
        # file.
        umask = os.umask(0)
        os.umask(umask)
        Path(temporary).chmod(target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~umask)
        Path(temporary).replace(target)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
