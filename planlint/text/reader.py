"""The reader: the bytes of a plan file become a document with places, or every problem that prevents it."""

from dataclasses import replace
from typing import Any, cast

import yaml
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from planlint.frozen import frozen
from planlint.text import build, pairs
from planlint.text.document import Document
from planlint.text.encoding import decode
from planlint.text.loader import Loader
from planlint.text.pause import no_garbage_search
from planlint.text.places import Span
from planlint.text.problems import MOST_PROBLEMS, PLAN_FORMAT, Problem
from planlint.text.refused import refused, without

_START = Span(line=1, column=1, end_line=1, end_column=1)


@frozen
class Limits:
    """What a file may ask for: its size in bytes, levels of nesting, and the number of values in it."""

    bytes: int = 4 * 1024 * 1024
    depth: int = 64
    values: int = 300_000


DEFAULT = Limits()
BYTES_TO_READ = DEFAULT.bytes + 1
"""As much of a file as is worth reading: with one byte above the limit it is refused, however long it is."""


@frozen
class Reading:
    """The document of a readable file, or None and the problems in the order of the text.

    `draft` is what of a file with problems has still the form of a plan: what is wrong in it besides can be told as well.
    """

    document: Document | None
    problems: tuple[Problem, ...]
    draft: Document | None = None


def read(raw: bytes, limits: Limits = DEFAULT) -> Reading:
    """Reads a plan file; whatever the bytes, it ends in a document or in problems, never in an exception."""
    if len(raw) > limits.bytes:
        return _refusal(f"Found more than {limits.bytes:,} bytes; a plan is a few thousand.")
    text = decode(raw)
    if isinstance(text, Problem):
        return Reading(document=None, problems=(text,))
    # No sign brings more than two values: a short text needs no counting.
    if 2 * len(text) >= limits.values and (values := most_values(text)) > limits.values:
        return _refusal(f"Found about {values:,} values; at most {limits.values:,} are read.")
    try:
        with no_garbage_search():
            return _read_text(text, limits)
    except (RecursionError, MemoryError):
        return _refusal("Found more than this computer can hold at a time.")


def most_values(text: str) -> int:
    """A number of values that the text cannot exceed, counted from the signs that part them.

    In `{a, b}` every comma and the brace bring a name and an empty value, hence twice.
    """
    single = text.count(":") + text.count("\n") + text.count("\r") - text.count("\r\n")
    return 1 + single + text.count("- ") + text.count("[") + text.count("?") + 2 * (text.count(",") + text.count("{"))


def _read_text(text: str, limits: Limits) -> Reading:
    problems = refused(text, Loader)
    if len(problems) > MOST_PROBLEMS:
        return _finish(None, problems)
    try:
        root = _compose(without(text, problems) if problems else text)
    except yaml.YAMLError as error:
        from planlint.text.syntax import syntax_problem  # only a faulty plan pays for it

        # With refused marks blanked out an error may be of the blanking: the marks are told alone.
        return _finish(None, problems or (syntax_problem(error, text),))
    if not isinstance(root, MappingNode):
        return _finish(None, (*problems, _no_mapping(root)))
    builder = build.Builder(most_depth=limits.depth)
    data: Any = builder.value(root)
    document = Document(data=data, text=text, root=root)
    if builder.faults:
        from planlint.text.faults import fault_problems  # likewise

        found = fault_problems(builder.faults, root, limits.depth)
        return replace(_finish(None, (*problems, *found)), draft=None if problems else document)
    return _finish(document, problems)


def _compose(text: str) -> Node | None:
    if not pairs.present(text):
        return yaml.compose(text, Loader=cast(Any, Loader))
    root = yaml.compose(pairs.stand_in(text), Loader=cast(Any, Loader))
    if root is not None:
        pairs.restore(root, text)
    return root


def _finish(document: Document | None, problems: tuple[Problem, ...]) -> Reading:
    if not problems:
        return Reading(document=document, problems=())
    ordered = sorted(problems, key=lambda problem: problem.span)
    told = ordered[:MOST_PROBLEMS]
    if len(ordered) > len(told):
        remedy = "Mend those above first, then check again."
        place = ordered[MOST_PROBLEMS].span
        told.append(Problem(rule=PLAN_FORMAT, message="More problems follow.", remedy=remedy, span=place))
    return Reading(document=None, problems=tuple(told))


def _no_mapping(root: Node | None) -> Problem:
    found = (
        "nothing but blank space and comments"
        if _is_empty(root)
        else "a list"
        if isinstance(root, SequenceNode)
        else "text"
    )
    place = _START
    if root is not None and not _is_empty(root):
        line, column = root.start_mark.line + 1, root.start_mark.column + 1
        place = Span(line=line, column=column, end_line=line, end_column=column + 1)
    return Problem(
        rule=PLAN_FORMAT,
        message=f"Found {found}; expected a plan of names and values.",
        remedy="Begin with `plan: 1` on the first line, then `title: Cargo sub`, `nodes:` and `wires:`.",
        span=place,
    )


def _is_empty(root: Node | None) -> bool:
    return root is None or (isinstance(root, ScalarNode) and not root.value and not root.style)


def _refusal(message: str) -> Reading:
    remedy = "Make sure that this is the plan file; plans of several vehicles go in files of their own."
    return Reading(
        document=None,
        problems=(Problem(rule=PLAN_FORMAT, message=message, remedy=remedy, span=_START),),
    )
