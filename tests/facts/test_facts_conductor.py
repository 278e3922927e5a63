"""Ampacity, surroundings and fuse limits of wires where they lie, held against the published table by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hand import ask, case_of

ZONES = [{"name": "engine-bay"}, {"name": "cabin"}, {"name": "roof", "ambient": "40 C"}, {"name": "oven", "ambient": "110 C"}]
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
    "16 mm2 between 6 and 4 AWG": ("cabin", "cabin", {"gauge": "16 mm2"}, 30, 136.1),
}


@pytest.mark.parametrize(("near", "far", "fields", "ambient", "amps"), LYING.values(), ids=LYING.keys())
def test_ampacity_where_a_wire_lies(
    near: str | None, far: str | None, fields: dict[str, Any], ambient: float, amps: float
) -> None:
    """The hottest zone of its ends and route decides; 16 mm2: ln(16/13.302) / ln(21.151/13.302) = 0.3982 of the way from
    120 A to 160 A on log scales, so 120 x (160/120)^0.3982 = 134.6 A within 1.5 %."""
    case = case_of(
        {"battery": {"kind": "battery", "zone": near or "not stated"}, "it": {"kind": "load", "zone": far}},
        ["feed: battery.positive > it.power, 4 AWG"],
        zones=ZONES,
    )
    (wire,) = case.plan.wires
    assert wire.name == "feed"
    changed = case_of_fields(near, far, fields)
    assert ask(changed, "wire", "feed", "ambient") == ambient
    assert ask(changed, "wire", "feed", "ampacity") == pytest.approx(amps, rel=0.015 if "mm2" in str(fields) else 1e-4)
