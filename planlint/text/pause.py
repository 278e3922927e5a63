"""Pauses the search for garbage while a tree that is no garbage grows: searching it would cost as much as building it."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_garbage_search() -> Iterator[None]:
    """Pause the collector for a while, and leave it as it was found."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()
