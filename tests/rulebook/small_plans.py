"""What one rule says of a small plan written as text: its findings, and what it lacks."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.judge.judge import judge
from planlint.judge.result import Result, Told


def judged(text: str, today: str | None = None) -> Result:
    """The result of a plan that can be read."""
    result = judge(text.encode(), "small.plan.yaml", today=today)
    assert result.verdict.value != "unreadable", [told.message for told in result.findings]
    return result


def outcome(text: str, rule: str, today: str | None = None) -> list[str]:
    """What a rule came to: `severity subject` for each finding, in its own place or under its cause, and `? what is
    missing` for what it could not check."""
    result = judged(text, today)
    found = {f"{one.severity.word} {one.subject}" for one in _all(result.findings) if one.rule == rule}
    return sorted(found) + sorted(f"? {gap.needs}" for gap in result.unchecked if rule in gap.rules)


def messages(text: str, rule: str) -> list[str]:
    """What the findings of a rule say."""
    return sorted(one.message for one in _all(judged(text).findings) if one.rule == rule)


def remedies(text: str, rule: str) -> list[str]:
    """What to do about the findings of a rule."""
    return sorted(one.remedy for one in judged(text).findings if one.rule == rule)


def changed(text: str, *swaps: tuple[str, str]) -> str:
    """The text with each first part, which must occur once, replaced by the second."""
    for old, new in swaps:
        assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times"
        text = text.replace(old, new)
    return text


def _all(findings: tuple[Told, ...]) -> Iterator[Told]:
    for one in findings:
        yield one
        yield from _all(one.consequences)
