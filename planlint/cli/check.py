"""`planlint check`: judge plans."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path

import click

from planlint.cli.exits import exit_code
from planlint.cli.output import wants_colour, write_file, write_out
from planlint.cli.plans import ENDINGS, PlanFile, plan_files, shown_path
from planlint.judge.judge import judge
from planlint.judge.result import Result
from planlint.judge.unreadable import unreadable_file
from planlint.report.json import render_json
from planlint.report.table import render_table
from planlint.report.text import render_text
from planlint.rulebook.model import SEVERITIES, Severity

FORMATS = ("text", "json", "table")
_NEVER = "never"


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option(
    "--output",
    "outputs",
    multiple=True,
    metavar="FORMAT[:FILE]",
    help="Report as text, as json, or as a table of currents, voltages and short circuits, to FILE or standard output. "
    "Repeatable; text to standard output by default.",
)
@click.option(
    "--fail-at",
    type=click.Choice([*SEVERITIES, _NEVER]),
    default="error",
    show_default=True,
    help="Severity from which a finding breaks a plan; `never` ends with 0 where it would be 1 or 3.",
)
@click.option(
    "--today",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="Day to judge by, as in 2031-05-31: what a plan accepts until an earlier day stands. Without it nothing expires.",
)
def check(paths: tuple[str, ...], outputs: tuple[str, ...], fail_at: str, today: datetime | None) -> int:
    """Judge plans: files, - for standard input, and in folders every *.plan.yaml, *.plan.yml and *.plan.json.

    Exit code: 0 ready, 1 broken, 2 unreadable or wrong use, 3 an error-class rule could not be checked.
    """
    if "" in paths:
        raise click.UsageError("found an empty path; name a plan file, as in `planlint check van.plan.yaml`")
    targets = _targets(outputs or ("text",))
    files = plan_files(paths)
    _refuse_to_overwrite(targets, files)
    severity = SEVERITIES.get(fail_at, Severity.ERROR)
    day = today.date().isoformat() if today else None
    numbers = any(kind == "table" for kind, _ in targets)
    results = tuple(_judge(file, severity, day, numbers=numbers) for file in files)
    # Files first: whatever becomes of standard output, they are written.
    for kind, path in sorted(targets, key=lambda target: not target[1]):
        if path:
            write_file(path, _render(kind, results, colour=False))
        else:
            write_out(_render(kind, results, colour=wants_colour()))
    return exit_code((result.verdict for result in results), never_fail=fail_at == _NEVER)


def _targets(outputs: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return format and file ('' for standard output) of each output. Raises click.UsageError for what
    cannot be meant."""
    targets = [_target(text) for text in outputs]
    places = [path and os.path.realpath(path) for _, path in targets]
    if len(set(places)) < len(places):
        raise click.UsageError("two reports would go to the same place; give each --output a file of its own")
    return targets


def _target(text: str) -> tuple[str, str]:
    kind, colon, path = text.partition(":")
    if kind not in FORMATS:
        raise click.UsageError(
            f"found --output {text}; expected {' or '.join(FORMATS)}, as in --output json:report.json"
        )
    if colon and not path:
        raise click.UsageError(
            f"found --output {text} without a file; write --output {kind}:report.{kind} for a file, "
            f"or --output {kind} for standard output"
        )
    if "\0" in path:
        raise click.UsageError(f"found a file name in --output {text} that no file can have")
    return kind, path


def _refuse_to_overwrite(targets: list[tuple[str, str]], files: list[PlanFile]) -> None:
    """Refuse a report that would take the place of a plan. Raises click.UsageError."""
    judged = {file.identity for file in files if file.identity}
    for kind, path in targets:
        if path and (path.lower().endswith(ENDINGS) or _identity(path) in judged):
            raise click.UsageError(
                f"the report would overwrite the plan {shown_path(path)}; name another file, "
                f"as in --output {kind}:report.{kind}"
            )


def _identity(path: str) -> tuple[int, int] | None:
    try:
        status = Path(path).stat()
    except OSError:
        return None
    return status.st_dev, status.st_ino


def _judge(file: PlanFile, fail_at: Severity, today: str | None, *, numbers: bool) -> Result:
    if file.trouble:
        return unreadable_file(file.name, file.trouble, file.remedy)
    return judge(file.raw, file.name, fail_at=fail_at, today=today, numbers=numbers)


def _render(kind: str, results: tuple[Result, ...], *, colour: bool) -> str:
    if kind == "table":
        return render_table(results)
    return render_json(results) if kind == "json" else render_text(results, colour=colour)
