"""The command line: the group that all commands belong to."""

from __future__ import annotations

import sys

import click

from planlint import __version__
from planlint.cli.check import check
from planlint.cli.exits import UNREADABLE
from planlint.cli.rules import rules
from planlint.cli.why import why


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(__version__, prog_name="planlint")
def commands() -> None:
    """Judge plans for adding an amplifier and a subwoofer to a vehicle that keeps its factory radio, before a panel
    comes off."""


for _command in (check, why, rules):
    commands.add_command(_command)


def main() -> None:
    """Run the command line; wrong use and trouble with files end with code 2 and never with a traceback."""
    try:
        code = commands.main(standalone_mode=False)
    except click.exceptions.Abort:
        code = UNREADABLE
    except click.ClickException as error:
        error.show()
        code = UNREADABLE
    except BrokenPipeError:
        # The reader of our output (a pager, head) has gone; there is nobody left to tell.
        sys.stderr.close()
        code = UNREADABLE
    sys.exit(code if isinstance(code, int) else 0)
