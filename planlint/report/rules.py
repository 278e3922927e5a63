"""Lists the rules and settings in force and where they come from."""

from __future__ import annotations

from itertools import groupby

from planlint.plan.quantity import show
from planlint.report.plain import fold
from planlint.rulebook.model import Rule
from planlint.trade.assumptions import assumptions

WIDTH = 80


def render_rules(rules: tuple[Rule, ...]) -> str:
    """Return the list of rules by group with their settings, then the values that stand in for what plans leave out."""
    lines = [f"{len(rules)} rules"]
    ordered = sorted(rules, key=lambda rule: (rule.group, rule.id))
    for group, members in groupby(ordered, key=lambda rule: rule.group):
        lines += ["", group]
        for rule in members:
            lines += fold(
                f"{rule.title} (tier {rule.tier}, {rule.file})",
                WIDTH,
                f"  {rule.severity.word:<8}{rule.id}: ",
                "      ",
            )
            for setting in rule.settings:
                lines += fold(f"{setting.name} = {setting.text}: {setting.meaning}", WIDTH, "      ")
    lines += ["", "Values that stand in for what a plan does not state, or fix the computation", ""]
    for one in assumptions().values():
        text = f"{one.name} = {show(one.value, one.dimension, one.unit)}: {one.meaning} ({one.source}; {one.origin})"
        lines += fold(text, WIDTH, "  ", "      ")
    return "\n".join(lines) + "\n"
