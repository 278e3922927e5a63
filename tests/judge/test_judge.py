"""From the bytes of a plan to its result: verdicts, places, acceptances, and what is wrong with a file."""

from __future__ import annotations

import re
from typing import Any

import pytest
from small_world import ACCEPTED, BROKEN, SOUND, UNCHECKED, UNREADABLE, WARNED, small_rulebook

from planlint.judge import judge as judging
from planlint.judge.judge import judge
from planlint.judge.result import Place, Result, Verdict
from planlint.judge.unreadable import unreadable_file
from planlint.rulebook.evaluate import judge_case
from planlint.rulebook.load import RulebookError
from planlint.rulebook.model import Severity
from planlint.shipped import ShippedDataMissingError
from planlint.text.places import Span

RULES = small_rulebook().rules
WHOLE = SOUND.replace("scope: electrical\n", "")
NONE_LEFT = WHOLE + "holes: none\nmounts: none\nsteps: none\ntests: none\ndocuments: none\n"


def judged(text: str, **options: Any) -> Result:
    """A text judged by the rules of the small world."""
    return judge(text.encode(), "car.plan.yaml", rules=RULES, **options)


@pytest.mark.parametrize(
    ("text", "fail_at", "verdict"),
    [
        (SOUND, Severity.ERROR, Verdict.READY_ELECTRICAL),
        (WHOLE, Severity.ERROR, Verdict.READY_ELECTRICAL),
        (NONE_LEFT, Severity.ERROR, Verdict.READY),
        (BROKEN, Severity.ERROR, Verdict.BROKEN),
        (WARNED, Severity.ERROR, Verdict.READY_ELECTRICAL),
        (WARNED, Severity.WARNING, Verdict.BROKEN),
        (WARNED, Severity.NOTE, Verdict.BROKEN),
        (UNCHECKED, Severity.ERROR, Verdict.UNCHECKED),
        (UNREADABLE, Severity.ERROR, Verdict.UNREADABLE),
        (ACCEPTED, Severity.ERROR, Verdict.READY_ELECTRICAL),
        ("", Severity.ERROR, Verdict.UNREADABLE),
    ],
)
def test_the_verdict_follows_from_findings_and_gaps(text: str, fail_at: Severity, verdict: Verdict) -> None:
    """Broken from the severity asked for on; unchecked where an error could hide; ready only where neither
    is so."""
    assert judged(text, fail_at=fail_at).verdict is verdict


def test_a_finding_points_at_its_value() -> None:
    """The place of a finding is the value at fault, with its line and the name of its element."""
    (finding,) = judged(BROKEN).findings
    line = next(line for line in BROKEN.split("\n") if "40 m" in line)
    column = line.index("40 m") + 1
    span = Span(line=14, column=column, end_line=14, end_column=column + 4)
    assert finding.place == Place(span=span, line=line, name="feed-rear")


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_change_no_place(end: str) -> None:
    """Plans of every system are judged alike: LF, CRLF and CR end a line (YAML 1.2.2, 5.4)."""
    assert judged(BROKEN.replace("\n", end)) == judged(BROKEN)


def test_what_is_missing_is_told_once() -> None:
    """A missing length is one entry with its rules, its subject and the place where it would stand."""
    (gap,) = judged(UNCHECKED).unchecked
    assert (gap.needs, gap.rules, gap.subjects, gap.place.name, gap.place.span.line) == (
        "the length of feed-rear",
        ("cable-long",),
        ("feed-rear",),
        "feed-rear",
        14,
    )


@pytest.mark.parametrize(
    ("text", "title", "subject", "line"),
    [
        (UNREADABLE, "Number without a unit", "wires.feed-rear.length", 14),
        (
            SOUND.replace("stud,", "stad,").replace("to: stud", "to: stad"),
            "Wire ends at nothing",
            "wires.amp-ground.to",
            15,
        ),
        (SOUND.replace("  stud:", "  battery:"), "Name used twice", "nodes.battery", 11),
        (SOUND.replace("kind: fuse, ", ""), "Field is missing", "nodes.main-fuse", 6),
        ("plan: 1\nnodes: [", "Not written as a plan is", "", 2),
        ("plan: 1\n\tnodes: {}", "Not written as a plan is", "", 2),
        ("plan: 1\ntitle: a\x00b", "Not written as a plan is", "", 2),
    ],
)
def test_a_file_that_is_no_plan_says_where(text: str, title: str, subject: str, line: int) -> None:
    """What is wrong with the file itself is told with its line, which is quoted."""
    result = judged(text)
    first = result.findings[0]
    assert (result.verdict, first.title, first.subject, first.place.span.line) == (
        Verdict.UNREADABLE,
        title,
        subject,
        line,
    )
    assert first.place.line == text.split("\n")[line - 1]


@pytest.mark.parametrize(
    ("raw", "line"),
    [
        (b"plan: 1\ntitle: K\xe4fer", "title: K\ufffdfer"),
        (b"\xef\xbb\xbfplan: \x01", "plan: \x01"),
        ("plan: \x01".encode("utf-16"), "plan: \x01"),
    ],
)
def test_bytes_that_are_no_text_are_quoted_as_far_as_they_are(raw: bytes, line: str) -> None:
    """A line that cannot be read is still shown, whatever its encoding."""
    assert judge(raw, "x", rules=RULES).findings[0].place.line == line


@pytest.mark.parametrize(
    ("accepted", "reason"),
    [
        ("{rule: cable-thin, subject: feed-rear, reason: short, by: me}", "nobody can accept cable-thin"),
        ("{rule: cable-long, subject: feed-rear, by: me}", "without a reason"),
        ("{rule: cable-long, subject: feed-rear, reason: short}", "without saying who"),
        ("{rule: cable-long, subject: feed-rear, reason: not stated, by: me}", "without a reason"),
        ("{rule: cable-long, subject: feed-rear, reason: ' ', by: me}", "without a reason"),
        ("{rule: cable-long, subject: feed-rear, reason: {not_applicable: no}, by: me}", "without a reason"),
    ],
)
def test_an_acceptance_that_does_not_count_is_remarked_on(accepted: str, reason: str) -> None:
    """The finding stands, and says why the plan's acceptance of it does not count."""
    text = BROKEN.replace(
        "main-fuse.load, to: sub-amp.power, gauge: 4 AWG", "main-fuse.load, to: sub-amp.power, gauge: 10 AWG"
    )
    result = judged(f"{text}accepted: [{accepted}]\n")
    remarks = [finding.remark for finding in result.findings if finding.remark]
    assert (len(result.findings), result.accepted, len(remarks), reason in remarks[0]) == (2, (), 1, True)


def test_an_acceptance_of_another_subject_accepts_nothing() -> None:
    """An acceptance counts for its own rule and subject alone."""
    result = judged(ACCEPTED.replace("subject: feed-rear", "subject: feed-front"))
    assert ([finding.remark for finding in result.findings], result.accepted) == ([""], ())


def test_the_sound_one_of_two_acceptances_counts() -> None:
    """A finding accepted twice, once without a reason, is accepted, with the reason that is given."""
    text = ACCEPTED.replace("accepted:\n", "accepted:\n  - {rule: cable-long, subject: feed-rear, by: me}\n")
    assert [(one.reason, one.by, one.until) for one in judged(text).accepted] == [
        ("a bus", "the foreman", "2031-05-31")
    ]


def test_an_acceptance_without_an_end_has_none() -> None:
    """Where the plan says that no end applies, none is made up."""
    text = ACCEPTED.replace("'2031-05-31'", "{not_applicable: for good}")
    assert [one.until for one in judged(text).accepted] == [""]


def test_a_file_that_is_not_there_is_told_in_words() -> None:
    """Trouble with the disk becomes a finding without a line to quote."""
    result = unreadable_file("x.plan.yaml", "there is no file x.plan.yaml", "Name one.")
    (told,) = result.findings
    assert (result.verdict, told.message, told.remedy, told.place.line) == (
        Verdict.UNREADABLE,
        "There is no file x.plan.yaml.",
        "Name one.",
        "",
    )


def failing_at(*rules: str) -> Any:
    """A judge_case that fails as soon as one of these rules is asked."""

    def failing(case: Any, asked: Any) -> Any:
        if any(rule.id in rules for rule in asked):
            raise KeyError(f"at {id(case)}")
        return judge_case(case, asked)

    return failing


@pytest.mark.parametrize(
    ("rules", "named"),
    [(("cable-thin",), "cable-thin"), (("cable-long", "cable-thin"), "2 rules, cable-long among them")],
)
def test_a_fault_of_planlint_is_a_finding(rules: tuple[str, ...], named: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """An error inside planlint leaves the plan unreadable, names the rule and the place in planlint, and
    asks to report it."""
    monkeypatch.setattr(judging, "judge_case", failing_at(*rules))
    first, second = judged(SOUND), judged(SOUND)
    (told,) = first.findings
    assert (first.verdict, told.rule, told.title) == (
        Verdict.UNREADABLE,
        "planlint-fault",
        "A fault of planlint itself",
    )
    assert re.fullmatch(
        rf"planlint met a fault of its own while judging {named} "
        r"\(KeyError in planlint\.judge\.judge, line \d+\); the plan is not judged\.",
        told.message[:1].lower() + told.message[1:],
    )
    assert ("report it" in told.remedy, first == second) == (True, True)


def test_a_fault_before_any_rule_is_a_finding_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """An error outside the rules names none."""

    def failing(*_given: object) -> None:
        raise RecursionError

    monkeypatch.setattr(judging, "build", failing)
    (told,) = judged(SOUND).findings
    assert (told.rule, "while judging" in told.message, "RecursionError" in told.message) == (
        "planlint-fault",
        False,
        True,
    )


@pytest.mark.parametrize("error", [RulebookError, ShippedDataMissingError])
def test_a_damaged_installation_is_no_finding_of_a_plan(
    error: type[Exception], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where planlint's own files are damaged no plan is blamed: the error is passed on."""

    def damaged() -> None:
        raise error("rules/ is missing")

    monkeypatch.setattr(judging, "shipped_rulebook", damaged)
    with pytest.raises(error):
        judge(SOUND.encode(), "x")
