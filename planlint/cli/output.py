"""Writes reports where the command line sends them."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

import click


def wants_colour(stream_is_terminal: bool) -> bool:
    """Say whether to colour: NO_COLOR forbids it, FORCE_COLOR asks for it, else where a terminal shows it."""
    if os.environ.get("NO_COLOR"):
        return False
    return bool(os.environ.get("FORCE_COLOR")) or stream_is_terminal


def write_out(text: str) -> None:
    """Write a report to standard output; characters it cannot show are replaced."""
    stream = sys.stdout
    encoding = stream.encoding or "utf-8"
    stream.write(text.encode(encoding, "replace").decode(encoding))
    stream.flush()


def write_file(path: str, text: str) -> None:
    """Write a report to a file, which is replaced only once the whole report is on disk. Raises click.ClickException."""
    target = Path(path)
    try:
        handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
            # mkstemp makes a private file; a report is as readable as any other new file.
            umask = os.umask(0)
            os.umask(umask)
            Path(temporary).chmod(0o666 & ~umask)
            Path(temporary).replace(target)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise click.ClickException(
            f"the report could not be written to {path}: {error.strerror or error}"
        ) from error
