"""Sets apart the findings that someone takes responsibility for."""

from __future__ import annotations

from dataclasses import replace

from planlint.facts.papers import is_reason
from planlint.judge.result import AcceptedFinding, Told
from planlint.judge.tell import Teller
from planlint.plan.model import Acceptance, Plan
from planlint.rulebook.findings import Finding


def accept(
    plan: Plan, findings: tuple[Finding, ...], teller: Teller, today: str | None = None
) -> tuple[tuple[Told, ...], tuple[AcceptedFinding, ...]]:
    """Return the findings that stand and those accepted; an acceptance that does not count is remarked on.

    `today` is the day to judge by, as year-month-day: what was accepted until an earlier day stands.
    """
    standing: list[Told] = []
    accepted: list[AcceptedFinding] = []
    for finding in findings:
        told = teller.finding(finding)
        offered = [one for one in plan.accepted if (one.rule, one.subject) == (finding.rule.id, finding.subject)]
        refusals = [_refusal(plan, finding, one, today) for one in offered]
        if "" in refusals:
            accepted.append(_accepted(told, offered[refusals.index("")]))
        elif refusals:
            standing.append(replace(told, remark=" ".join(filter(None, (told.remark, refusals[0])))))
        else:
            standing.append(told)
    return tuple(standing), tuple(accepted)


def _accepted(told: Told, acceptance: Acceptance) -> AcceptedFinding:
    reason, by, until = (
        value if isinstance(value, str) else "" for value in (acceptance.reason, acceptance.by, acceptance.until)
    )
    return AcceptedFinding(finding=told, reason=reason, by=by, until=until)


def _refusal(plan: Plan, finding: Finding, acceptance: Acceptance, today: str | None) -> str:
    """Return why an acceptance does not count, '' where it does."""
    strict = [one.rule.id for one in (finding, *finding.consequences) if not one.rule.can_accept(one.own)]
    worse = [one.rule.id for one in finding.consequences if one.own > finding.own]
    if worse and not strict:
        return f"The plan accepts this finding, but {worse[0]}, which follows from it, is worse; so it stands."
    alone = [name for name in finding.merged if not _accepts(plan, finding, name)]
    if alone:
        return f"The plan accepts this finding, but not the same at {alone[0]}; so it stands."
    if strict:
        return f"The plan accepts this finding, but nobody can accept {strict[0]}; so it stands."
    if not is_reason(acceptance.reason) or not _says(acceptance.by):
        return "The plan accepts this finding without a reason or without saying who does; so it stands."
    if today is not None and isinstance(acceptance.until, str) and acceptance.until < today:
        return f"The plan accepts this finding until {acceptance.until}, which is past; so it stands."
    return ""


def _accepts(plan: Plan, finding: Finding, subject: str) -> bool:
    return any((one.rule, one.subject) == (finding.rule.id, subject) for one in plan.accepted)


def _says(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip())
