"""`planlint check`: judge plans."""

from __future__ import annotations

import sys

import click

from planlint.cli.exits import exit_code
from planlint.cli.output import wants_colour, write_file, write_out
from planlint.cli.plans import PlanFile, plan_files
from planlint.judge.judge import judge, unreadable_file
from planlint.judge.result import Result
from planlint.report.json import render_json
from planlint.report.text import render_text
from planlint.rulebook.model import SEVERITIES

FORMATS = ("text", "json")


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option(
    "--output",
    "outputs",
    multiple=True,
    metavar="FORMAT[:FILE]",
    help=f"Report as {' or '.join(FORMATS)}, to FILE or standard output. Repeatable; text to standard output by default.",
)
@click.option(
    "--fail-at",
    type=click.Choice([*SEVERITIES, "never"]),
    default="error",
    show_default=True,
    help="Severity from which a finding breaks a plan.",
)
def check(paths: tuple[str, ...], outputs: tuple[str, ...], fail_at: str) -> int:
    """Judge plans: files, - for standard input, and in folders every *.plan.yaml, *.plan.yml and *.plan.json.

    Exit code: 0 ready, 1 broken, 2 unreadable or wrong use, 3 an error-class rule could not be checked.
    """
    targets = _targets(outputs or ("text",))
    results = tuple(_judge(file, fail_at) for file in plan_files(paths))
    for kind, path in targets:
        if path:
            write_file(path, _render(kind, results, colour=False))
        else:
            write_out(_render(kind, results, colour=wants_colour(sys.stdout.isatty())))
    return exit_code((result.verdict for result in results), never_fail=fail_at == "never")


def _targets(outputs: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return format and file of each output. Raises click.UsageError for an unknown format or two reports to one place."""
    targets = []
    for text in outputs:
        kind, _, path = text.partition(":")
        if kind not in FORMATS:
            raise click.UsageError(
                f"found --output {text}; expected {' or '.join(FORMATS)}, as in --output json:report.json"
            )
        targets.append((kind, path))
    places = [path for _, path in targets]
    if len(set(places)) < len(places):
        raise click.UsageError("two reports would go to the same place; give each --output a file of its own")
    return targets


def _judge(file: PlanFile, fail_at: str) -> Result:
    if file.trouble:
        return unreadable_file(file.name, file.trouble)
    return judge(file.raw, file.name, fail_at=SEVERITIES.get(fail_at))


def _render(kind: str, results: tuple[Result, ...], *, colour: bool) -> str:
    return render_json(results) if kind == "json" else render_text(results, colour=colour)
