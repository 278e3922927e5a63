"""Sets apart the findings that someone takes responsibility for."""

from __future__ import annotations

from dataclasses import replace

from planlint.judge.result import AcceptedFinding, Told
from planlint.judge.tell import Teller
from planlint.plan.model import Acceptance, Plan
from planlint.rulebook.findings import Finding


def accept(
    plan: Plan, findings: tuple[Finding, ...], teller: Teller
) -> tuple[tuple[Told, ...], tuple[AcceptedFinding, ...]]:
    """Return the findings that stand and those accepted; an acceptance that does not count is remarked on."""
    by_key = {(one.rule, one.subject): one for one in plan.accepted}
    standing: list[Told] = []
    accepted: list[AcceptedFinding] = []
    for finding in findings:
        acceptance = by_key.get((finding.rule.id, finding.subject))
        told = teller.finding(finding)
        if acceptance is None:
            standing.append(told)
        elif reason := _refusal(finding, acceptance):
            standing.append(replace(told, remark=" ".join(part for part in (told.remark, reason) if part)))
        else:
            accepted.append(
                AcceptedFinding(
                    finding=told,
                    reason=str(acceptance.reason),
                    by=str(acceptance.by),
                    until=str(acceptance.until or ""),
                )
            )
    return tuple(standing), tuple(accepted)


def _refusal(finding: Finding, acceptance: Acceptance) -> str:
    """Return why an acceptance does not count, '' where it does."""
    if not finding.rule.acceptable or any(not one.rule.acceptable for one in finding.consequences):
        return "The plan accepts this finding, but it is one that nobody can accept."
    if not isinstance(acceptance.reason, str) or not isinstance(acceptance.by, str):
        return "The plan accepts this finding without a reason or without saying who does; so it stands."
    return ""
