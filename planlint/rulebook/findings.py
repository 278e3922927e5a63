"""What judging leaves behind: findings, what could not be checked, what was assumed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from planlint.frozen import frozen
from planlint.rulebook.model import Rule, Severity
from planlint.text.places import Path


@frozen
class Related:
    """Another place that a finding points at, with its own words."""

    path: Path
    message: str


@frozen
class FactUsed:
    """A fact that a finding rests on: its value in SI or as a word, and in words."""

    name: str
    value: float | str
    unit: str
    text: str


@frozen
class Finding:
    """A rule broken by a subject. `path` is the one primary place; `touches` are the elements it has to do with,
    `after` the wires it points to: what is wrong with those can be its cause; `shared` is the place from which its subject,
    and others with it, took over the field that is wrong; `comes_home` says that the subject is a ground wire.

    `severity` is the worst of the finding and its consequences, `own` that of the finding alone; `rank` is the place of the
    broken requirement in its rule, the sharpest first; `merged` are the other subjects for which it is told as well.
    """

    rule: Rule
    severity: Severity
    own: Severity
    rank: int
    subject: str
    path: Path
    message: str
    remedy: str
    remark: str
    facts: tuple[FactUsed, ...]
    related: tuple[Related, ...]
    touches: frozenset[tuple[str, str]]
    after: frozenset[tuple[str, str]]
    cause: str | None
    shared: Path | None = None
    comes_home: bool = False
    consequences: tuple[Finding, ...] = ()
    merged: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[str, str]:
        """The subject as it stands in `touches`."""
        return ("wire" if self.rule.about == "wire" else "node", self.subject)


@frozen
class Gap:
    """A rule that could not be checked for a subject, and the field of the plan that is missing."""

    rule: Rule
    severity: Severity
    subject: str
    path: Path
    needs: str


@frozen
class Assumed:
    """An assumption behind the judgement: its value, the rules and subjects that rest on it, and where one of them turns.

    `turns_at` is the value in SI nearest to the assumed one at which a rule that now holds breaks, or one that is now
    broken holds; None where no plausible value does. `turning` names that rule and subject.
    """

    name: str
    about: str
    value: float | str
    rules: tuple[str, ...]
    subjects: tuple[str, ...]
    turns_at: float | None = None
    turning: tuple[str, str] | None = None
    breaks: bool = True


def one_for_each_cause(findings: list[Finding]) -> list[Finding]:
    """Return the findings with those of one rule and one cause told as one: the worst, the others' places beside it."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        cause = finding.cause if finding.cause is not None else f"{finding.subject} alone"
        groups.setdefault((finding.rule.id, cause), []).append(finding)
    return [_told_as_one(group) for group in groups.values()]


def _told_as_one(group: list[Finding]) -> Finding:
    # Of a supply wire and the ground wire of the same device the supply wire is told: the fuse is there. Of equals that one
    # is told which asks for more, so that nothing is left once it is mended.
    worst = min(
        group, key=lambda finding: (-finding.own, finding.comes_home, -finding.severity, finding.rank, finding.subject)
    )
    others = [finding for finding in group if finding is not worst]
    told = {one.path[:2] for one in worst.related}
    related = tuple(
        Related(path=other.path, message=f"the same at {other.subject}")
        for other in others
        if other.path[:2] not in told
    )
    return replace(
        worst,
        severity=max(finding.severity for finding in group),
        related=worst.related + related,
        merged=tuple(sorted(other.subject for other in others)),
        consequences=tuple(one for finding in (worst, *others) for one in finding.consequences),
    )


def under_their_causes(findings: list[Finding]) -> list[Finding]:
    """Return the findings with each consequence moved under the finding that causes it.

    A finding is as severe as its worst consequence.
    """
    of_rule: dict[str, list[Finding]] = {}
    for finding in findings:
        of_rule.setdefault(finding.rule.id, []).append(finding)
    cause_of = {id(finding): _cause(finding, of_rule) for finding in findings}
    roots: dict[int, tuple[Finding, list[Finding]]] = {}
    for finding in findings:
        root = _root(finding, cause_of)
        _, found = roots.setdefault(id(root), (root, []))
        if root is not finding:
            found.append(finding)
    return [_with_consequences(root, tuple(found)) for root, found in roots.values()]


def _cause(finding: Finding, of_rule: Mapping[str, list[Finding]]) -> Finding | None:
    others = [other for rule in sorted(finding.rule.consequence_of) for other in of_rule.get(rule, ())]
    met = [other for other in others if other is not finding and _meet(finding, other)]
    # Of a supply wire and a ground wire of one rule the supply wire is the cause, unless it is of what comes home.
    first = [other for other in met if other.rule is met[0].rule]
    return min(first, key=lambda other: other.comes_home and not finding.comes_home, default=None)


def _meet(one: Finding, other: Finding) -> bool:
    """Say whether one finding can follow from the other."""
    if one.rule is other.rule:
        return _follows(one, other)
    if one.shared is not None and one.shared == other.shared:
        return True
    # What a user lacks comes from the wires that are pointed to, not from any other that ends there.
    if one.rule.about == "user" and one.after and other.rule.about == "wire" and not other.rule.both_legs:
        return other.key in one.after
    # What is wrong at some terminals of a part, which it points to by their wires, says nothing of its other wires.
    if one.rule.about == "wire" and other.rule.about == "node" and other.after:
        return not other.after.isdisjoint({one.key, *one.after})
    return one.key in other.touches or other.key in one.touches or other.key in one.after


def _follows(one: Finding, other: Finding) -> bool:
    """Say whether one finding of a rule can follow from another of the same: it points at that one's subject; or a fuse is
    too large for a supply wire, then it is for what comes home from there as well."""
    if one.comes_home and not other.comes_home and one.cause != other.cause:
        return not one.touches.isdisjoint(other.touches)
    return one.rule.about != "wire" and other.key in one.touches and one.key not in other.touches


def _root(finding: Finding, cause_of: dict[int, Finding | None]) -> Finding:
    """Return the finding at the root of a chain of causes; where rules name each other in a circle, the first met."""
    seen = [finding]
    while (cause := cause_of[id(seen[-1])]) is not None:
        if cause in seen:
            return min(seen[seen.index(cause) :], key=lambda one: (one.rule.id, one.subject))
        seen.append(cause)
    return seen[-1]


def _with_consequences(finding: Finding, consequences: tuple[Finding, ...]) -> Finding:
    worst = max((finding.severity, *(consequence.severity for consequence in consequences)))
    ordered = tuple(sorted(consequences, key=lambda one: (-one.severity, one.rule.id, one.subject)))
    return replace(finding, severity=worst, consequences=ordered)
