"""Anchors, aliases and tags: found before anything is built, so that none of them is ever followed."""

import re
from typing import Any

import yaml
from yaml.tokens import AliasToken, AnchorToken, TagToken

from planlint.text.places import Span, line_starts
from planlint.text.problems import MOST_PROBLEMS, PLAN_FORMAT, Problem, shown

# Where one of them could stand: the signs also occur in ordinary text, where only the scanner can tell.
_CANDIDATE = re.compile(r"""(?:^|[\s\[\]{},:"'])(?:[&*][^\s]|!)""")


def refused(text: str, loader: Any) -> tuple[Problem, ...]:
    """A problem for every anchor, alias and tag, up to the first syntax error or one more than are told."""
    if not any(sign in text for sign in "&*!") or _CANDIDATE.search(text) is None:
        return ()
    problems = []
    try:
        for token in yaml.scan(text, Loader=loader):
            if isinstance(token, (AnchorToken, AliasToken, TagToken)):
                problems.append(_problem(token, text))
                if len(problems) > MOST_PROBLEMS:
                    break
    except yaml.YAMLError:
        pass  # composing meets the same error and reports it
    return tuple(problems)


def without(text: str, problems: tuple[Problem, ...]) -> str:
    """The text with every refused mark made harmless in place, so that all else keeps its line and column."""
    starts = line_starts(text)
    pieces, done = [], 0
    for span in (problem.span for problem in problems):
        start = starts[span.line - 1] + span.column - 1
        end = starts[span.end_line - 1] + span.end_column - 1
        alias = text[start] == "*"
        pieces.append(text[done:start] + ("''" if alias else "").ljust(end - start))
        done = end
    return "".join((*pieces, text[done:]))


def _problem(token: Any, text: str) -> Problem:
    start, end = token.start_mark, token.end_mark
    written = shown(text[start.index : end.index])
    message, remedy = _words(token, written)
    return Problem(
        rule=PLAN_FORMAT,
        message=message,
        remedy=remedy,
        span=Span(line=start.line + 1, column=start.column + 1, end_line=end.line + 1, end_column=end.column + 1),
    )


def _words(token: Any, written: str) -> tuple[str, str]:
    if isinstance(token, TagToken):
        return (
            f"Found the tag `{written}`; tags are not part of the plan format.",
            'Delete the tag; where a value must be text, put it in quotes: `remark: "5"`.',
        )
    what = "anchor" if isinstance(token, AnchorToken) else "alias"
    return (
        f"Found the {what} `{written}`; expected every value written out where it belongs.",
        "Write the value itself in each place: `gauge: 4 AWG`. If it is plain text, put it in quotes: "
        f'`remark: "{written}"`.',
    )
