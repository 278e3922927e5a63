"""What README shows is what planlint does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planlint.judge.judge import judge
from planlint.plan.kinds import KINDS
from planlint.report.text import render_text

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8") if (ROOT / "README.md").exists() else ""
PLANS = re.findall(r"<!-- plan: ([a-z ()]+) -->\n```yaml\n(.*?)```", README, re.S)
OUTPUTS = re.findall(r"<!-- output: (\S+) -->\n```text\n(.*?)```", README, re.S)


def test_readme_is_there_to_be_checked() -> None:
    """README holds the plans and outputs that the tests below check."""
    assert PLANS and OUTPUTS


@pytest.mark.parametrize(("verdict", "text"), PLANS, ids=[plan[:20] for _, plan in PLANS])
def test_a_plan_in_readme_comes_to_the_verdict_it_says(verdict: str, text: str) -> None:
    """A reader who saves the block gets the verdict that stands before it, and no finding."""
    result = judge(text.encode(), "my.plan.yaml")
    assert result.verdict.value.startswith(verdict)
    assert result.findings == ()


@pytest.mark.parametrize(("path", "text"), OUTPUTS, ids=[path for path, _ in OUTPUTS])
def test_an_output_in_readme_is_what_check_prints(path: str, text: str) -> None:
    """A reader who runs the command sees what README shows."""
    assert render_text((judge((ROOT / path).read_bytes(), path),)) == text


def test_readme_names_every_kind_and_terminal() -> None:
    """A reader finds every kind of node in README, and no kind or terminal that there is not."""
    rows = re.findall(r"^\| (`[^|]*) \| ([^|]*) \|$", README.split("| kind of node |")[1].split("\n\n")[0], re.M)
    kinds = {kind for first, _ in rows for kind in re.findall(r"`([a-z-]+)`", first)}
    assert kinds == set(KINDS)
    known = {name.replace("*", "...") for kind in KINDS.values() for name, _ in kind.terminals}
    named = {name for _, second in rows for name in re.findall(r"`([a-z-]+(?:\.\.\.)?)`", second)}
    assert named - known == {"sub", "sub-positive", "sub-negative"}
