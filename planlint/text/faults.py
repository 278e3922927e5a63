"""The faults that building a tree meets, each as a problem in plain words."""

from collections.abc import Callable, Sequence

from yaml.nodes import Node, SequenceNode

from planlint.text import build
from planlint.text.places import Path, Span
from planlint.text.problems import ID_DUPLICATE, MOST_PROBLEMS, PLAN_FORMAT, Problem, shown


def fault_problems(faults: Sequence[build.Fault], root: Node, most_depth: int) -> tuple[Problem, ...]:
    """The problems of a tree whose deepest level may be `most_depth`, at most one more than are told."""
    faults = sorted(faults, key=lambda fault: fault.node.start_mark.index)[: MOST_PROBLEMS + 1]
    where = build.paths(root, {id(fault.node) for fault in faults})
    return tuple(_problem(fault, where[id(fault.node)], most_depth) for fault in faults)


def _problem(fault: build.Fault, path: Path, most_depth: int) -> Problem:
    message, remedy = _WORDS[fault.what](fault)
    return Problem(
        rule=ID_DUPLICATE if fault.what == build.DOUBLED_ID else PLAN_FORMAT,
        message=message.replace("{most}", str(most_depth)) if fault.what == build.TOO_DEEP else message,
        remedy=remedy,
        span=_span(fault.node),
        path=path,
    )


def _span(node: Node) -> Span:
    start, end = node.start_mark, node.end_mark
    if not isinstance(node.value, str):  # a list or mapping as a name: its opening says enough
        return Span(line=start.line + 1, column=start.column + 1, end_line=start.line + 1, end_column=start.column + 2)
    return Span(line=start.line + 1, column=start.column + 1, end_line=end.line + 1, end_column=end.column + 1)


def _doubled(fault: build.Fault) -> tuple[str, str]:
    name = shown(fault.node.value)
    return (
        f"Found the name `{name}` a second time; the first is in line {_first_line(fault)}.",
        f"Keep one of the two; every name stands once: `{name}: ...`.",
    )


def _doubled_id(fault: build.Fault) -> tuple[str, str]:
    name = shown(fault.node.value)
    return (
        f"Found a second element with the id `{name}`; the first is in line {_first_line(fault)}.",
        f"Give one of the two an id of its own, such as `{name}-2`, and name it where it is meant.",
    )


def _first_line(fault: build.Fault) -> int:
    return int(fault.first.start_mark.line) + 1 if fault.first is not None else 0


def _not_text(fault: build.Fault) -> tuple[str, str]:
    if isinstance(fault.node.value, str):
        found = f"`{shown(fault.node.value)}`" if fault.node.value else "nothing"
        return (
            f"Found {found} as a name; names must be text.",
            f'Put the name in quotes, `"{shown(fault.node.value) or "feed"}": ...`, or choose a word.',
        )
    kind = "list" if isinstance(fault.node, SequenceNode) else "mapping"
    return (
        f"Found a {kind} as a name; names must be text.",
        "Write a word before the colon: `gauge: 4 AWG`.",
    )


def _merge(_: build.Fault) -> tuple[str, str]:
    return (
        "Found the merge key `<<`; expected every value written out where it belongs.",
        "Write the names and values themselves in each place: `gauge: 4 AWG`.",
    )


def _too_deep(_: build.Fault) -> tuple[str, str]:
    return (
        "Found values nested more than {most} levels deep; a plan is about six.",
        "Close the brackets that are open, or mend the indentation: `zones: [{name: cabin}]`.",
    )


def _not_finite(fault: build.Fault) -> tuple[str, str]:
    return (
        f"Found the number `{shown(fault.node.value, 30)}`; expected one that a computation can use.",
        "Write an ordinary number with its unit: `length: 5.2 m`; what is not known is `not stated`.",
    )


def _control(_: build.Fault) -> tuple[str, str]:
    return (
        "Found an escape for a character that does not print; expected only text.",
        'Delete the escape; a line break inside quotes is `\\n`: `remark: "one\\ntwo"`.',
    )


_WORDS: dict[str, Callable[[build.Fault], tuple[str, str]]] = {
    build.DOUBLED: _doubled,
    build.DOUBLED_ID: _doubled_id,
    build.NOT_TEXT: _not_text,
    build.MERGE: _merge,
    build.TOO_DEEP: _too_deep,
    build.NOT_FINITE: _not_finite,
    build.CONTROL: _control,
}
