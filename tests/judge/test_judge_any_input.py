"""Whatever the bytes, judging ends in a result that can be reported, and the same bytes end in the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_world import SOUND

from planlint.judge.judge import judge
from planlint.judge.result import Result, Verdict
from planlint.judge.unreadable import OWN_FAULT

EXAMPLE = (Path(__file__).resolve().parents[2] / "examples" / "hatchback.plan.yaml").read_text(encoding="utf-8")
WORDS = st.sampled_from(
    [
        *("", " ", "\n", "\t", ":", "-", "{", "}", "[", "]", "#", "'", '"', "\r", "\x00", "\x1b", "é", "日"),
        *(
            "0",
            "-1 m",
            "0 A",
            "0 W",
            "1e999 m",
            "0.0001 mohm",
            "99999 m",
            "40 AWG",
            "not stated",
            "none",
            "null",
        ),
        *(
            "battery.positive",
            "sub-amp.power",
            "{not_applicable: x}",
            "2..4 m",
            "5 A..1 A",
            "4/0 AWG",
            "copper",
        ),
        *("kind: battery", "kind: amp", "length: 1 m", "factory: true", "ohm", "W"),
    ]
)


def assert_judged(raw: bytes) -> Result:
    """A result of planlint's own making, never of its own fault, with every place inside the text."""
    result = judge(raw, "x.plan.yaml")
    assert [finding.message for finding in result.findings if finding.rule == OWN_FAULT] == []
    assert (result.verdict is Verdict.UNREADABLE) <= bool(result.findings)
    places = [finding.place for finding in result.findings] + [gap.place for gap in result.unchecked]
    assert [place for place in places if place.span.column > len(place.line) + 1 and place.line] == []
    return result


@given(st.binary(max_size=300))
def test_any_bytes_are_judged(raw: bytes) -> None:
    """Bytes that are no plan end in findings."""
    assert assert_judged(raw).verdict is Verdict.UNREADABLE


@st.composite
def mangled(draw: st.DrawFn, text: str) -> str:
    """A plan of which a few random slices are deleted, doubled, moved or replaced."""
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = draw(st.integers(start, min(len(text), start + draw(st.sampled_from([0, 3, 20, 200])))))
        piece = text[start:end]
        put = draw(st.sampled_from(["", piece * 2]) | WORDS)
        text = text[:start] + put + text[end:]
    return text


@st.composite
def lines_mangled(draw: st.DrawFn, text: str) -> str:
    """A plan of which whole lines are dropped, doubled, swapped, or get another value: most stay readable."""
    lines = text.split("\n")
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        other = draw(st.integers(0, len(lines) - 1))
        key, colon, _ = lines[at].rpartition(": ")
        choice = draw(st.sampled_from(["drop", "double", "swap", "value"]))
        if choice == "drop":
            lines[at] = ""
        elif choice == "double":
            lines.insert(other, lines[at])
        elif choice == "swap":
            lines[at], lines[other] = lines[other], lines[at]
        elif colon:
            lines[at] = f"{key}: {draw(WORDS)}"
    return "\n".join(lines)


@given(mangled(EXAMPLE) | lines_mangled(EXAMPLE) | lines_mangled(SOUND))
def test_any_mangled_plan_is_judged(text: str) -> None:
    """A plan with random damage is judged or told why not, never with an error of planlint."""
    assert_judged(text.encode())


@given(lines_mangled(EXAMPLE))
def test_the_same_bytes_give_the_same_result(text: str) -> None:
    """Judging twice comes to the same."""
    assert assert_judged(text.encode()) == assert_judged(text.encode())


@pytest.mark.parametrize("line", range(EXAMPLE.count("\n")))
def test_a_plan_without_one_of_its_lines_is_judged(line: int) -> None:
    """Whichever line is left out, the outcome is a result."""
    lines = EXAMPLE.split("\n")
    del lines[line]
    assert assert_judged("\n".join(lines).encode()).plan == "x.plan.yaml"
