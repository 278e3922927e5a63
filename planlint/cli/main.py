"""The command line: the group that all commands belong to."""

from __future__ import annotations

import io
import sys

import click

from planlint import __version__
from planlint.cli.check import check
from planlint.cli.exits import READY, UNREADABLE
from planlint.cli.rules import rules
from planlint.cli.schema import schema
from planlint.cli.why import why
from planlint.judge.unreadable import where
from planlint.report.plain import safe
from planlint.rulebook.load import RulebookError
from planlint.shipped import ShippedDataMissingError


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(__version__, prog_name="planlint")
def commands() -> None:
    """Judge plans for adding an amplifier and a subwoofer to a vehicle that keeps its factory radio, before
    a panel
    comes off."""


for _command in (check, why, rules, schema):
    commands.add_command(_command)


def main() -> None:
    """Run the command line and leave with its exit code; whatever fails ends in words and code 2, never in a
    traceback."""
    sys.exit(run())


def run(arguments: list[str] | None = None) -> int:
    """Run the command line with these arguments (None: those of the process) and return the exit code."""
    try:
        code = commands.main(arguments, prog_name="planlint", standalone_mode=False)
        return code if isinstance(code, int) else READY
    except click.exceptions.Abort:
        _say("Error: stopped before the end; nothing was reported")
    except click.ClickException as error:
        said = io.StringIO()
        error.show(file=said)
        _say(said.getvalue())
    except (RulebookError, ShippedDataMissingError) as error:
        _say(f"Error: the installation is damaged: {error}")
    except Exception as error:
        _say(
            f"Error: planlint met a fault of its own ({where(error)}), which is no fault of yours. "
            "Please report it with the command and what `planlint --version` says."
        )
    return UNREADABLE


def _say(text: str) -> None:
    """Write a message to standard error; what it quotes from the command line takes no effect there."""
    click.echo("\n".join(safe(line) for line in text.rstrip("\n").split("\n")), err=True)
