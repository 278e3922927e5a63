"""`planlint rules`: the rules and settings in force."""

from __future__ import annotations

from pathlib import Path

import click

from planlint.cli.exits import READY, UNREADABLE
from planlint.cli.output import write_out
from planlint.report.rules import render_rules
from planlint.rulebook.load import RuleProblem, compile_rules, shipped_rulebook
from planlint.shipped import ShippedFile


@click.command()
@click.option(
    "--verify",
    "folder",
    metavar="FOLDER",
    help="Check the rule files of a folder instead of listing the rules.",
)
def rules(folder: str | None) -> int:
    """List the rules and settings in force and where they come from."""
    if folder is None:
        write_out(render_rules(shipped_rulebook().rules))
        return READY
    return _verify(folder)


def _verify(folder: str) -> int:
    top = Path(folder)
    if not top.is_dir():
        raise click.UsageError(
            f"there is no folder {folder}; name one that holds rule files, as in `rules --verify our-rules`"
        )
    files, troubles = _rule_files(top)
    if not files and not troubles:
        raise click.UsageError(f"found no rule file in {folder}; expected files that end in .yaml")
    known = [rule.id for rule in shipped_rulebook().rules]
    book = compile_rules(files, known)
    problems: list[RuleProblem | str] = [*troubles, *book.problems]
    lines = [str(problem) for problem in problems]
    verdict = (
        f"{len(book.rules)} rules are sound."
        if not problems
        else f"{len(problems)} problems in {len(files)} files."
    )
    write_out("\n".join([*lines, verdict]) + "\n")
    return UNREADABLE if problems else READY


def _rule_files(top: Path) -> tuple[list[ShippedFile], list[str]]:
    files, troubles = [], []
    for path in sorted(top.rglob("*.yaml")):
        try:
            files.append(ShippedFile(name=path.as_posix(), text=path.read_text(encoding="utf-8")))
        except (OSError, UnicodeDecodeError) as error:
            troubles.append(f"{path.as_posix()}: could not be read as UTF-8 text ({type(error).__name__})")
    return files, troubles
