"""Hand-made results with everything a report can tell: rules that grow or change do not change them."""

from __future__ import annotations

from math import inf

from planlint.judge.result import AcceptedFinding, AssumedValue, Place, Result, Told, Unchecked, Verdict
from planlint.rulebook.findings import FactUsed
from planlint.rulebook.model import Citation, Severity
from planlint.text.places import Span

LINE = "  feed-front: {from: battery.positive, to: main-fuse, length: 90 cm, gauge: 4 AWG, insulation: 105 C}"


def place(line: int, text: str, marked: str, name: str = "", message: str = "") -> Place:
    """A place in a line of text, at the marked words."""
    column = text.index(marked) + 1
    span = Span(line=line, column=column, end_line=line, end_column=column + len(marked))
    return Place(span=span, line=text, name=name, message=message)


FAR = Told(
    rule="main-fuse-too-far",
    title="First fuse is too far from its source",
    severity=Severity.ERROR,
    about="wire",
    subject="feed-front",
    message="90 cm of cable runs from battery to the first fuse, main-fuse; at most 18 in",
    remedy="Move main-fuse along the cable to within 200 mm of battery, or fit a fuse at the terminal itself.",
    remark="",
    place=place(21, LINE, "90 cm", "feed-front"),
    related=(
        place(8, "  main-fuse: {kind: fuse}", "main-fuse", "main-fuse", "the first fuse"),
        place(22, "  feed-2: {gauge: 4 AWG}", "feed-2", "feed-2", "the same at feed-2"),
    ),
    facts=(
        FactUsed(name="unfused_reach", value=0.9, unit="m", text="90 cm"),
        FactUsed(name="protecting_rating", value=inf, unit="A", text="unlimited"),
        FactUsed(name="first_fuse", value="main-fuse", unit="", text="main-fuse"),
    ),
    sources=(
        Citation(origin="published", cite="33 CFR 183.455(b)"),
        Citation(origin="common practice", cite=""),
    ),
    consequences=(
        Told(
            rule="source-wire-unfused",
            title="Cable from a source without a fuse",
            severity=Severity.ERROR,
            about="wire",
            subject="feed-front",
            message="the cable from battery has no fuse within 18 in",
            remedy="Fit one.",
            remark="",
            place=place(21, LINE, "feed-front", "feed-front"),
        ),
    ),
)
DROP = Told(
    rule="supply-drop-high",
    title="Too much voltage is lost on the way to the device",
    severity=Severity.WARNING,
    about="user",
    subject="sub-amp",
    message="0.9 V is lost between the battery and sub-amp at 45.3 A; at most 0.5 V",
    remedy="Use thicker or shorter cable.",
    remark="The material of feed-rear is not stated; reckoned as clad aluminium (found with copper too).",
    place=place(12, "  サブ:\tsub-amp: # \x1b[31m", "sub-amp", "sub-amp"),
)
SILENT = Told(
    rule="conductor-material-not-stated",
    title="Conductor material is not stated",
    severity=Severity.NOTE,
    about="wire",
    subject="feed-rear",
    message="feed-rear carries 45.3 A and its material is not stated",
    remedy="State it, as in `material: copper`.",
    remark="",
    place=place(25, "  feed-rear:", "feed-rear", "feed-rear"),
)
BODY = AssumedValue(
    name="body_resistance",
    about="",
    meaning="resistance of a steel unibody",
    shown="2 mohm",
    value=0.002,
    unit="ohm",
    rules=("total-drop-high",),
    subjects=("sub-amp",),
    turns_at=0.00503,
    turns="above 5.03 mohm sub-amp would break total-drop-high",
    open=True,
)
MATERIAL = AssumedValue(
    name="material",
    about="feed-rear",
    meaning="material of feed-rear",
    shown="copper-clad aluminium",
    value="copper-clad-aluminium",
    unit="",
    rules=("supply-drop-high",),
    subjects=("sub-amp",),
    turns_at=None,
    turns="",
    open=True,
)
GAP = Unchecked(
    section="wires",
    needs="the length of converter-feed",
    rules=("conductor-overloaded", "fuse-exceeds-wire", "supply-drop-high"),
    subjects=("converter-feed",),
    severity=Severity.ERROR,
    place=place(31, "  converter-feed:", "converter-feed", "converter-feed"),
)
MINOR_GAP = Unchecked(
    section="wires",
    needs="the gauge of turn-on",
    rules=("total-drop-high",),
    subjects=("turn-on",),
    severity=Severity.WARNING,
    place=place(35, "  turn-on:", "turn-on", "turn-on"),
)

BROKEN = Result(
    plan="cars/demo.plan.yaml",
    title="Demo car\x1b[2J with 低音",
    verdict=Verdict.BROKEN,
    findings=(FAR, DROP, SILENT),
    accepted=(AcceptedFinding(finding=SILENT, reason="jacket says copper", by="the foreman", until="2031-05-31"),),
    unchecked=(GAP, MINOR_GAP),
    assumed=(MATERIAL, BODY),
    sections=("holes", "mounts", "steps", "tests", "documents"),
)
SOUND = Result(plan="sound.plan.yaml", title="Sound", verdict=Verdict.READY_ELECTRICAL, findings=(), assumed=(BODY,))
UNCHECKED = Result(plan="open.plan.yaml", title="", verdict=Verdict.UNCHECKED, findings=(), unchecked=(GAP,))
UNREADABLE = Result(
    plan="slip.plan.yaml",
    title="Slip",
    verdict=Verdict.UNREADABLE,
    findings=(
        Told(
            rule="unit-ambiguous",
            title="Number without a unit",
            severity=Severity.ERROR,
            about="file",
            subject="wires.feed.length",
            message="Found the number 40 without a unit as `length`; expected a length with its unit such as `5.2 m`.",
            remedy="Write it in the form `length: 5.2 m`.",
            remark="",
            place=place(3, "    length: 40", "40"),
        ),
    ),
)
ALL = (BROKEN, SOUND, UNCHECKED, UNREADABLE)
