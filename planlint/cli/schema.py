"""`planlint schema`: the shipped JSON Schemas, for editors."""

from __future__ import annotations

import click

from planlint.cli.exits import READY
from planlint.cli.output import write_out
from planlint.shipped import schema_text
from planlint.text.problems import did_you_mean

SCHEMAS = ("plan", "rule", "policy", "report")


@click.command()
@click.argument("name", default="plan", metavar=f"[{'|'.join(SCHEMAS)}]")
def schema(name: str) -> int:
    """Print the JSON Schema of plans, rules, house policies or reports.

    An editor completes, explains and checks files by it: `plan` (the default) is for plans, `rule` for rule files,
    `policy` for a shop's own settings (which no command reads yet), `report` for what `planlint check --output json` writes.
    """
    if name not in SCHEMAS:
        near = did_you_mean(name, SCHEMAS)
        hint = f"did you mean `{near}`?" if near else f"expected {', '.join(SCHEMAS[:-1])} or {SCHEMAS[-1]}"
        raise click.UsageError(f"there is no schema `{name}`; {hint}")
    write_out(schema_text(f"{name}.schema.json"))
    return READY
