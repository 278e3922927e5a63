"""Ampacity, surroundings and fuse limits of wires where they lie, held against the published table by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hand import Nodes, ask, case_of

ZONES = [
    {"name": "engine-bay"},
    {"name": "cabin"},
    {"name": "roof", "ambient": "40 C"},
    {"name": "oven", "ambient": "110 C"},
]
BAY, ROOF, OVEN = ([{"zone": "cabin"}, {"through": "hole"}, {"zone": name}] for name in ("engine-bay", "roof", "oven"))

# Zones of both nodes, fields of the wire, its surroundings in C, its ampacity in A. 33 CFR 183.425 Table 5: 4 AWG bears
# 160 A at 105 C, 125 A at 75 C, 135 A at 90 C, 8 AWG 80 A at 105 C; note 1: x 0.85 (105 C) and x 0.75 (75 C, from memory)
# in engine spaces.
LYING: dict[str, tuple[str | None, str | None, dict[str, Any], float, float]] = {
    "in the cabin": ("cabin", "cabin", {}, 30, 160),
    "an end in the engine bay": ("engine-bay", "cabin", {}, 50, 160 * 0.85),
    "routed through the engine bay": ("cabin", "cabin", {"route": BAY}, 50, 160 * 0.85),
    # sqrt((105 - 40) / (105 - 30)) = 0.93095, the formula of NEC 310.15(B)
    "routed through a zone of 40 C": ("cabin", "cabin", {"route": ROOF}, 40, 160 * 0.93095),
    "routed where it is hotter than it may get": ("cabin", "cabin", {"route": OVEN}, 110, 0),
    "an end that may be anywhere": (None, "cabin", {}, 50, 160 * 0.85),
    "insulation not stated, so 75 C": ("cabin", "cabin", {"insulation": "not stated"}, 30, 125),
    "insulation not stated, in the engine bay": ("engine-bay", "cabin", {"insulation": "not stated"}, 50, 125 * 0.75),
    "insulation within a range": ("cabin", "cabin", {"insulation": "90..105 C"}, 30, 135),
    "insulation of 100 C counts as 90 C": ("cabin", "cabin", {"insulation": "100 C"}, 30, 135),
    # 0.78 is the trade's habit for clad (common practice).
    "clad aluminium": ("cabin", "cabin", {"material": "copper-clad-aluminium"}, 30, 160 * 0.78),
    "material not stated, so clad": ("cabin", "cabin", {"material": "not stated"}, 30, 160 * 0.78),
    "a range of sizes": ("cabin", "cabin", {"gauge": "4..8 AWG"}, 30, 80),
    # ln(16 / 13.302) / ln(21.151 / 13.302) = 0.39824 of the way from 120 A to 160 A: 120 x (160 / 120)^0.39824
    "16 mm2 between 6 and 4 AWG": ("cabin", "cabin", {"gauge": "16 mm2"}, 30, 134.57),
}


@pytest.mark.parametrize(("near", "far", "fields", "ambient", "amps"), LYING.values(), ids=LYING.keys())
def test_ampacity_where_a_wire_lies(
    near: str | None, far: str | None, fields: dict[str, Any], ambient: float, amps: float
) -> None:
    """The hottest zone of its ends and route decides, and the poorer end of what is not stated or a range."""
    case = case_of(
        {"battery": {"kind": "battery", "zone": near or "not stated"}, "fan": {"kind": "load", "zone": far}},
        ["feed: battery.positive > fan.power, 4 AWG"],
        also={"feed": fields},
        zones=ZONES,
    )
    assert ask(case, "wire", "feed", "ambient") == ambient
    assert ask(case, "wire", "feed", "ampacity") == pytest.approx(amps, rel=1e-4)


@pytest.mark.parametrize(
    ("gauge", "material", "amps"),
    [
        *(("4 AWG", "copper", 125), ("1/0 AWG", "copper", 300), ("18 AWG", "copper", 7.5), ("8 AWG", "copper", 50)),
        *(("4 AWG", "copper-clad-aluminium", 125 * 0.78), ("4..8 AWG", "copper", 50)),
        # 16 mm2 lie between 6 AWG (80 A) and 4 AWG (125 A): 80 x (125 / 80)^0.39824 = 95.6 A, so a fuse of 80 A.
        ("16 mm2", "copper", 80),
    ],
)
def test_the_largest_fuse_the_trade_allows(gauge: str, material: str, amps: float) -> None:
    """The trade's table by gauge (common practice), clad times 0.78, other sizes down to a standard rating."""
    nodes: Nodes = {"battery": "battery", "fan": "load"}
    case = case_of(nodes, [f"feed: battery.positive > fan.power, {gauge}, material={material}"])
    assert ask(case, "wire", "feed", "fuse_limit") == pytest.approx(amps)


def test_a_wire_without_gauge_has_no_ampacity_and_says_so() -> None:
    """Unknown stays unknown, and the missing field is named."""
    case = case_of({"battery": "battery", "fan": "load"}, ["feed: battery.positive > fan.power"])
    assert ask(case, "wire", "feed", "ampacity") == "? the gauge of feed"
    assert ask(case, "wire", "feed", "fuse_limit") == "? the gauge of feed"
