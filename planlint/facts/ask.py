"""Makes facts of the functions that answer them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from planlint.facts import device, plain, wire
from planlint.facts.case import Case, Fact, Yields
from planlint.plan.quantity import Dimension


def facts_of(entries: Mapping[Callable[[Case, Any], Any], Dimension | Yields]) -> dict[str, Fact]:
    """Return facts by their names, which are those of their functions."""
    drawn = (wire.circuit, plain.kind, plain.factory, device.scope)
    return {
        ask.__name__: Fact(name=ask.__name__, ask=ask, yields=yields, drawn=ask in drawn)
        for ask, yields in entries.items()
    }
