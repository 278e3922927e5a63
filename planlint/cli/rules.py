"""`planlint rules`: the rules and settings in force."""

from __future__ import annotations

from pathlib import Path

import click

from planlint.cli.exits import READY, UNREADABLE
from planlint.cli.output import write_out
from planlint.cli.plans import files_below, read_regular, reason, shown_path
from planlint.report.rules import render_rules, render_verified
from planlint.rulebook.load import compile_rules, shipped_rulebook
from planlint.shipped import ShippedFile
from planlint.text.encoding import decode
from planlint.text.reader import BYTES_TO_READ


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
    if not folder or "\0" in folder or not Path(folder).is_dir():
        raise click.UsageError(
            f"there is no folder {shown_path(folder)}; name one that holds rule files, as in "
            "`planlint rules --verify our-rules`"
        )
    files, troubles = _rule_files(Path(folder))
    if not files and not troubles:
        raise click.UsageError(f"found no rule file in {shown_path(folder)}; expected files that end in .yaml")
    book = compile_rules(files, [rule.id for rule in shipped_rulebook().rules])
    write_out(render_verified(book, troubles, len(files) + len(troubles)))
    return UNREADABLE if book.problems or troubles else READY


def _rule_files(top: Path) -> tuple[list[ShippedFile], list[tuple[str, str]]]:
    """Return the rule files of a folder, and the names of those that cannot be read with the reason."""
    files, troubles = [], []
    for found in files_below(top, (".yaml", ".yml")):
        try:
            if isinstance(found, OSError):
                raise found
            files.append(_rule_file(found))
        except OSError as error:
            name = str(error.filename) if isinstance(found, OSError) else shown_path(found)
            troubles.append((shown_path(name), f"It could not be read: {reason(error)}."))
    return files, troubles


def _rule_file(path: Path) -> ShippedFile:
    if path.suffix != ".yaml":
        raise OSError(0, f"rule files end in .yaml; name it {shown_path(path.stem)}.yaml")
    text = decode(read_regular(path, BYTES_TO_READ)[0])
    if not isinstance(text, str):
        raise OSError(0, f"line {text.span.line}: {text.message} {text.remedy}".removesuffix("."))
    return ShippedFile(name=shown_path(path), text=text)
