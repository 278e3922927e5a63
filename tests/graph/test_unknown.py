"""What a missing field is called in front of people."""

from __future__ import annotations

import pytest

from planlint.graph.unknown import UnknownError
from planlint.text.places import Path


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (("nodes", "main-fuse", "interrupts"), "the breaking capacity (`interrupts`) of main-fuse"),
        (("nodes", "fan", "attended"), "whether fan is attended"),
        (("nodes", "amp", "outputs", "sub", "rated"), "the basis of the power (`rated`) of sub of amp"),
        (("wires", "feed", "ends", "to", "plating"), "the plating of the end `to` of feed"),
        (("wires", "feed", "route", 1, "exhaust"), "the distance to the exhaust (`exhaust`) of stretch 2 of feed"),
        (("holes", "panel", "grommet", "factory"), "the origin (`factory`) of the grommet of panel"),
        (("mounts", "board", "fasteners", "type"), "the type of the fasteners of board"),
        (("vehicle", "alternator", "at_idle"), "the output at idle (`at_idle`) of the vehicle's alternator"),
        (("customer", "engine_off"), "the listening time with the engine off (`engine_off`) of the customer"),
        (("tests",), "the tests of the plan"),
    ],
)
def test_a_missing_field_is_told_in_words(path: Path, words: str) -> None:
    """Where the field's name is no word for it, the words come first and the name behind them; every owner is named."""
    assert UnknownError(path).needs == words
