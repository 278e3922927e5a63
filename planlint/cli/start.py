"""Starts the command line: nothing is garbage while libraries and commands are loaded, so it is not searched for."""

from __future__ import annotations

import gc

from planlint.text.pause import no_garbage_search


def main() -> None:
    """Run the command line and leave with its exit code."""
    with no_garbage_search():
        from planlint.cli.main import main as run
    # What is loaded stays to the end: no later search need look at it again.
    gc.freeze()
    run()
