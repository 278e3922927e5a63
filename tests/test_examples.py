"""The example plans: sound ones are ready, faulty ones raise what they say, numbers fit pencil and paper."""

from __future__ import annotations

import difflib
import re
from pathlib import Path
from typing import Any

import pytest

from planlint.facts.case import Case
from planlint.facts.table import SUBJECTS, answer
from planlint.judge.judge import judge, plan_of
from planlint.judge.result import Result, Verdict
from planlint.rulebook.model import Severity
from planlint.text.reader import read

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"
SOUND = sorted(EXAMPLES.glob("*.plan.yaml"))
FAULTY = sorted((EXAMPLES / "faulty").glob("*.plan.yaml"))
EXPECTED = re.compile(r"# Expected: (.+)")
ONE = re.compile(r"([a-z0-9-]+) at ([a-z0-9.-]+) \((error|warning|note)\)")
BASE = re.compile(r"^# As ([a-z-]+\.plan\.yaml), but .+\.$", re.MULTILINE)

# What an installer computes with pencil and paper for the five scenarios: P / (efficiency x 13.8 V), cable at
# 50 C from its geometry (ASTM B258, 2 % lay), 0.2 mohm a lug, 0.5 mohm a stud, 80 mV at rating a fuse, 2 mohm
# of body unless measured. Ampacities: 33 CFR 183.425 Table 5, rounded. The rest is common practice without a
# published source, rounded as a person writes it.
NUMBERS = [
    ("hatchback", "user", "bass-amp", "current", 45),
    ("hatchback", "user", "bass-amp", "supply_drop", 0.40),
    ("hatchback", "user", "bass-amp", "return_drop", 0.15),
    ("hatchback", "user", "bass-amp", "total_drop", 0.55),
    ("hatchback", "wire", "feed-front", "ampacity", 136),
    ("hatchback", "wire", "amp-feed", "fault_current", 720),
    ("pickup", "wire", "amp-feed", "fault_current", 1020),
    ("hatchback", "wire", "converter-feed", "fuse_limit", 7.5),
    ("pickup", "user", "amp", "current", 65),
    ("pickup", "user", "amp", "supply_drop", 0.27),
    ("pickup", "user", "amp", "return_drop", 0.16),
    ("pickup", "user", "charger", "current", 52),
    ("pickup", "wire", "aux-ground", "current", 65),
    ("pickup", "wire", "charge-aux", "current", 40),
    ("two-batteries", "user", "amp", "current", 36),
    ("two-batteries", "user", "amp", "supply_drop", 0.20),
    ("two-batteries", "user", "amp", "return_drop", 0.07),
    ("two-batteries", "wire", "link-long", "current", 60),
    ("two-batteries", "wire", "link-long", "fuse_limit", 200),
    ("two-batteries", "user", "rear-battery", "supply_drop", 0.46),
    ("two-batteries", "user", "rear-battery", "return_drop", 0.19),
    ("sedan", "user", "main-amp", "current", 36),
    ("sedan", "user", "sub-amp", "current", 32),
    ("sedan", "user", "main-amp", "supply_drop", 0.33),
    ("sedan", "user", "main-amp", "return_drop", 0.17),
    ("sedan", "user", "sub-amp", "supply_drop", 0.33),
    ("show-wagon", "user", "bass-amp-left", "current", 82),
    ("show-wagon", "user", "door-amp", "current", 39),
    ("show-wagon", "wire", "main-feed", "current", 202),
    ("show-wagon", "wire", "link-long", "current", 100),
    ("show-wagon", "user", "bass-amp-right", "supply_drop", 0.40),
    ("show-wagon", "user", "bass-amp-right", "return_drop", 0.18),
    ("show-wagon", "wire", "link-long", "ampacity", 242),
    # The vehicle's own draw, 35 % of the amplifiers' current or the planned current of the link, and 5 A of charge.
    ("hatchback", "vehicle", "vehicle", "charging_demand", 66),
    ("pickup", "vehicle", "vehicle", "charging_demand", 117),
    ("two-batteries", "vehicle", "vehicle", "charging_demand", 110),
    ("sedan", "vehicle", "vehicle", "charging_demand", 99),
    ("show-wagon", "vehicle", "vehicle", "charging_demand", 165),
    ("show-wagon", "vehicle", "vehicle", "idle_demand", 131),
    # Turning on: three amplifiers and a relay coil; the converter's amplifier; the coil at 13.8 V over 80 ohm.
    ("show-wagon", "node", "processor", "turn_on_load", 0.205),
    ("hatchback", "node", "converter", "turn_on_load", 0.020),
    ("sedan", "node", "processor", "turn_on_load", 0.040),
    ("start-stop", "user", "amp", "current", 27),
    ("start-stop", "node", "interface", "turn_on_load", 0.173),
    ("start-stop", "node", "relay", "contact_current", 1.02),
    # 12.6 V less 0.7 V of the diode and 0.15 A x 5.8 m x 23.9 mohm/m.
    ("start-stop", "node", "relay", "turn_on_volts", 11.9),
    ("show-wagon", "vehicle", "vehicle", "added_parked_draw", 0.004),
    # 70 Ah, half of it at 23 A: 1.5 h.
    ("pickup", "node", "aux-battery", "lasts", 1.5 * 3600),
    ("show-wagon", "user", "rear-battery", "supply_drop", 0.45),
    # 300 W / (0.8 x 13.8 V); its average from 80 % of 100 Ah; 60 A, the charger's 30 A, the fan's 2 A and 5 A of charge.
    ("camper", "user", "amp", "current", 27.2),
    ("camper", "node", "house-battery", "lasts", 80 / (27.2 * 0.35) * 3600),
    ("camper", "vehicle", "vehicle", "charging_demand", 97),
    ("camper", "wire", "alternator-cable", "current", 180),
    # From the car-audio scenarios: what the job takes from the vehicle's own battery at full power.
    ("pickup", "vehicle", "vehicle", "added_draw", 52),
    ("sedan", "vehicle", "vehicle", "added_draw", 68.6),
    ("show-wagon", "vehicle", "vehicle", "strap_demand", 160),
    # Two coils of 4 ohm, and two of 2 ohm, side by side; two drivers of 8 ohm across a bridged output, half for each half.
    ("hatchback", "channel", "bass-amp.sub", "load_seen", 2),
    ("show-wagon", "channel", "bass-amp-left.sub", "load_seen", 1),
    ("two-batteries", "channel", "amp.horns-left", "load_seen", 4),
    ("coupe", "channel", "bass-amp.bass", "load_seen", 4),
    ("coupe", "channel", "bass-amp.bass", "half_load", 2),
    # What is stated for the load as wired; 7.75 V in 4 ohm.
    ("hatchback", "node", "subwoofer", "driver_power", 500),
    ("pickup", "node", "front-left", "driver_power", 75),
    ("sedan", "node", "sub", "driver_power", 350),
    ("coupe", "node", "bass-1", "driver_power", 120),
    ("coupe", "node", "tweeter-left", "driver_power", 15),
    # 500 W / (80 % x 14.4 V) and a tenth more against the fuses on board: 1.1 x 80 % x 14.4 V x 60 A.
    ("hatchback", "node", "bass-amp", "fused_power", 760),
]

# The share of its fuse that a run uses at full power: (example, wire, share).
LOADING = [
    ("hatchback", "feed-rear", 0.57),
    ("pickup", "amp-feed", 0.65),
    ("two-batteries", "link-long", 0.48),
    ("two-batteries", "amp-feed", 0.72),
    ("sedan", "feed", 0.68),
    ("sedan", "main-amp-feed", 0.72),
    ("sedan", "sub-amp-feed", 0.79),
    ("show-wagon", "main-feed", 0.67),
    ("show-wagon", "bass-left-feed", 0.65),
    ("show-wagon", "door-feed", 0.77),
]


def text_of(example: str) -> str:
    """Return the text of a sound example."""
    return (EXAMPLES / f"{example}.plan.yaml").read_text(encoding="utf-8")


def judged(text: str) -> Result:
    """Return the Result of a plan's text."""
    return judge(text.encode(), "example")


def fact(text: str, about: str, name: str, fact_name: str) -> Any:
    """Return the answer to a fact about the named element of a plan's text."""
    document = read(text.encode()).document
    assert document
    plan, problems = plan_of(document)
    assert plan, problems
    case = Case(plan)
    element = next(one for one in SUBJECTS[about].elements(case) if one.name == name)
    return answer(case, about, fact_name, element)


def findings(result: Result) -> list[tuple[str, str, str]]:
    """Return rule, subject and severity of all findings that count, sorted."""
    return sorted((one.rule, one.subject, one.severity.name.lower()) for one in result.findings)


def _body(text: str) -> list[str]:
    return [line for line in text.splitlines() if not line.startswith("#")]


def name_of(path: Path) -> str:
    """Return the name of a test's plan."""
    return path.name.removesuffix(".plan.yaml")


def replaced(text: str, old: str, new: str) -> str:
    """Return the text with the one occurrence of `old` replaced."""
    assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times"
    return text.replace(old, new)


@pytest.mark.parametrize("path", SOUND, ids=name_of)
def test_a_sound_example_is_ready(path: Path) -> None:
    """A sound example has no error, no warning, and nothing of error class that could not be checked."""
    result = judged(path.read_text(encoding="utf-8"))
    assert [one for one in result.findings if one.severity is not Severity.NOTE] == []
    assert result.verdict in (Verdict.READY, Verdict.READY_ELECTRICAL)


def test_the_short_example_is_short_and_has_nothing_left_open() -> None:
    """Twenty-odd lines are a useful plan: not a note, nothing unchecked."""
    text = text_of("minimal")
    result = judged(text)
    assert len(text.splitlines()) <= 25
    assert (result.findings, result.unchecked) == ((), ())


def test_all_examples_are_there() -> None:
    """The tables of this module speak of plans that exist, and of no fewer than these."""
    assert {name_of(path) for path in SOUND} == {row[0] for row in NUMBERS} | {"minimal"}
    assert len(FAULTY) >= 10


@pytest.mark.parametrize("path", SOUND + FAULTY, ids=name_of)
def test_an_example_tells_an_editor_its_schema(path: Path) -> None:
    """The modeline leads from the example's own folder to the schema in the repository."""
    found = re.search(r"^# yaml-language-server: \$schema=(\S+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
    assert found
    assert (path.parent / found[1]).resolve() == EXAMPLES.parent / "schemas" / "plan.schema.json"


@pytest.mark.parametrize("path", FAULTY, ids=name_of)
def test_a_faulty_example_raises_exactly_what_it_says(path: Path) -> None:
    """The first line of a faulty example lists all of its findings."""
    text = path.read_text(encoding="utf-8")
    line = EXPECTED.fullmatch(text.splitlines()[0])
    assert line, "the first line is `# Expected: rule at subject (severity); ...`"
    expected = [ONE.fullmatch(part) for part in line[1].split("; ")]
    assert all(expected), line[1]
    assert findings(judged(text)) == sorted(one.groups() for one in expected if one)


@pytest.mark.parametrize("path", FAULTY, ids=name_of)
def test_a_faulty_example_is_one_edit_away_from_a_sound_one(path: Path) -> None:
    """A faulty example is the sound one it names with at most two lines changed, or three left out."""
    text = path.read_text(encoding="utf-8")
    base = BASE.search(text)
    assert base
    sound = text_of(base[1].removesuffix(".plan.yaml"))
    changed = [line for line in difflib.ndiff(_body(sound), _body(text)) if line[0] in "+-"]
    assert 1 <= sum(line[0] == "-" for line in changed) <= 3
    assert sum(line[0] == "+" for line in changed) <= 2


@pytest.mark.parametrize(("example", "about", "name", "fact_name", "expected"), NUMBERS)
def test_a_number_fits_the_hand_calculation(
    example: str, about: str, name: str, fact_name: str, expected: float
) -> None:
    """Every number that the facts compute for a scenario is within 5 % of pencil and paper."""
    assert fact(text_of(example), about, name, fact_name) == pytest.approx(expected, rel=0.05)


@pytest.mark.parametrize(("example", "wire", "share"), LOADING)
def test_the_share_of_the_fuse_fits_the_hand_calculation(example: str, wire: str, share: float) -> None:
    """Current over protecting rating is the share of the fuse that the scenario gives, within 5 %."""
    text = text_of(example)
    current = fact(text, "wire", wire, "current")
    assert current / fact(text, "wire", wire, "protecting_rating") == pytest.approx(share, rel=0.05)


# A worse body than the scenario's: (example, text, its replacement, user, return drop in V). Common practice.
POORER_BODIES = [
    ("hatchback", "steel-unibody", "steel-unibody\n  body_resistance: 3.1 mohm", "bass-amp", 0.20),
    ("pickup", "1.1 mohm measured", "2 mohm measured", "amp", 0.22),
    ("sedan", "0.6 mohm measured", "2 mohm measured", "processor", 0.22),
]


@pytest.mark.parametrize(("example", "old", "new", "user", "volts"), POORER_BODIES)
def test_a_poorer_body_loses_what_the_scenario_says(example: str, old: str, new: str, user: str, volts: float) -> None:
    """With more body resistance the return leg loses as much as pencil and paper say, within 5 %."""
    assert fact(replaced(text_of(example), old, new), "user", user, "return_drop") == pytest.approx(volts, rel=0.05)


def test_the_break_even_of_the_body_is_where_the_return_drop_turns() -> None:
    """The body may have (0.2 V - return drop) / current more than the assumed 2 mohm; beyond that it fails."""
    text = text_of("hatchback")
    assumed = next(one for one in judged(text).assumed if one.name == "body_resistance")
    spare = 0.2 - fact(text, "user", "bass-amp", "return_drop")
    by_hand = 2e-3 + spare / fact(text, "wire", "feed-rear", "current")
    assert assumed.turns_at == pytest.approx(by_hand, rel=2e-3)

    def rules_at(ohm: float) -> list[str]:
        body = f"steel-unibody\n  body_resistance: {ohm * 1000:.4f} mohm"
        return [one.rule for one in judged(replaced(text, "steel-unibody", body)).findings]

    assert rules_at(by_hand * 0.99) == []
    assert rules_at(by_hand * 1.01) == ["return-drop-high"]
