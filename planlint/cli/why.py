"""`planlint why`: what a rule asks and why."""

from __future__ import annotations

import click

from planlint.cli.exits import READY
from planlint.cli.output import write_out
from planlint.judge.unreadable import TITLES
from planlint.report.why import render_format_why, render_why
from planlint.rulebook.load import shipped_rulebook
from planlint.text.problems import did_you_mean


@click.command()
@click.argument("rule")
def why(rule: str) -> int:
    """Tell what RULE asks, why, from which source, with which settings, how to meet it, and an edit that
    breaks it."""
    rules = {one.id: one for one in shipped_rulebook().rules}
    if rule in rules:
        write_out(render_why(rules[rule]))
    elif rule in TITLES:
        write_out(render_format_why(rule))
    else:
        near = did_you_mean(rule, (*rules, *TITLES))
        hint = f"did you mean `{near}`?" if near else "`planlint rules` lists them"
        raise click.UsageError(f"there is no rule `{rule}`; {hint}")
    return READY
