"""Where the entries of a list or mapping stand in the text: from name or dash to the end of the value."""

import re
from typing import Any

from yaml.nodes import MappingNode

from planlint.frozen import frozen
from planlint.text.edit_kinds import EditError
from planlint.text.places import Path
from planlint.text.problems import shown

_BLOCK_COLON, _FLOW_COLON = re.compile(r"[ \t]*:"), re.compile(r"\s*:")
# What may stand between entries; a comment is matched whole (`*+`): nothing in it is taken for a sign.
_TO_DASH = re.compile(r"(?:[ \t]*(?:#[^\r\n]*+)?(?:\r\n|\r|\n))*+ *")
_TO_COMMA = re.compile(r"(?:[ \t\r\n]|#[^\r\n]*+)*+,")
_BREAK = re.compile(r"\r\n|\r|\n")
_COMMENT_LINE = re.compile(r"(?:\r\n|\r|\n)( *)#[^\r\n]*")
_BLOCK_HEADER = re.compile(r"[|>][-+0-9]*")


@frozen
class Entry:
    """One entry: `start` of its name or dash, `head` behind the colon or dash, `end` of its value."""

    start: int
    head: int
    end: int
    key: Any  # a node of YAML, or None in a list
    node: Any


@frozen
class Holder:
    """A list or mapping and its entries; `head` is where the name or dash that it belongs to ends."""

    text: str
    node: Any
    head: int
    entries: tuple[Entry, ...]
    quote: str

    @property
    def flow(self) -> bool:
        """Whether it is written in brackets."""
        return bool(self.node.flow_style)

    @property
    def column(self) -> int:
        """The column of its names or dashes in block style, from 0."""
        return int(self.node.start_mark.column)

    def find(self, step: str | int) -> int | None:
        """The position among the entries, or None."""
        if isinstance(step, int):
            return step if step < len(self.entries) else None
        names = (at for at, entry in enumerate(self.entries) if entry.key and entry.key.value == step)
        return next(names, None)


def holders(text: str, root: Any, path: Path) -> list[Holder]:
    """The lists and mappings along a path, from the plan itself to the last that is there.

    An emptiness that is written out (`wires:` without a value) is none.
    """
    quote = '"' if is_json(root) else ""
    found = [_holder(text, root, root.start_mark.index, quote)]
    for step in path[:-1]:
        at = found[-1].find(step)
        if at is None or isinstance(found[-1].entries[at].node.value, str):
            break
        entry = found[-1].entries[at]
        found.append(_holder(text, entry.node, entry.head, quote))
    return found


def is_json(root: Any) -> bool:
    """Whether a plan is written as JSON: in brackets, with its names in double quotes."""
    return bool(root.flow_style and root.value and root.value[0][0].style == '"')


def _holder(text: str, node: Any, head: int, quote: str) -> Holder:
    return Holder(text=text, node=node, head=head, entries=tuple(_entries(text, node)), quote=quote)


def _entries(text: str, node: Any) -> list[Entry]:
    if isinstance(node, MappingNode):
        return [_pair(text, key, value, bool(node.flow_style)) for key, value in node.value]
    return _items(text, node)


def _pair(text: str, key: Any, value: Any, flow: bool) -> Entry:
    colon = (_FLOW_COLON if flow else _BLOCK_COLON).match(text, key.end_mark.index)
    if colon is None and not flow:
        raise EditError(
            f"Found the name `{shown(key.value)}` written with `?` and without a colon on its line; "
            f"expected `{shown(key.value)}: ...`. Write it so, then edit again."
        )
    head = colon.end() if colon else key.end_mark.index
    return Entry(start=key.start_mark.index, head=head, end=_end_of(text, value, head), key=key, node=value)


def _items(text: str, node: Any) -> list[Entry]:
    found: list[Entry] = []
    after = node.start_mark.index
    for item in node.value:
        if node.flow_style:
            start = head = item.start_mark.index
        else:
            match = _TO_DASH.match(text, after)
            start = match.end() if match else after
            head = start + 1
        after = _end_of(text, item, head)
        found.append(Entry(start=start, head=head, end=after, key=None, node=item))
    return found


def _end_of(text: str, node: Any, head: int) -> int:
    """Where a value ends; blank lines and comments behind a block are no part of it."""
    start, end = node.start_mark.index, int(node.end_mark.index)
    if isinstance(node.value, str):
        if node.style in ("|", ">"):
            header = _BLOCK_HEADER.match(text, start)
            # Blank lines that a block scalar keeps are part of its value.
            return end if header and "+" in header[0] else start + len(text[start:end].rstrip())
        return end if node.value or node.style else head
    return end if node.flow_style else _entries(text, node)[-1].end


def block_header(text: str, node: Any) -> int | None:
    """Where the sign of a block scalar (`|`, `>-`) ends, or None for every other value."""
    if not isinstance(node.value, str) or node.style not in ("|", ">"):
        return None
    header = _BLOCK_HEADER.match(text, node.start_mark.index)
    return header.end() if header else None


def newline(text: str) -> str:
    """The line end of a text: that of its first line."""
    found = _BREAK.search(text)
    return found[0] if found else "\n"


def line_start(text: str, at: int) -> int:
    """Where the line of a position begins."""
    return max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1


def line_end(text: str, at: int) -> int:
    """Where the line of a position ends, before its line break.

    A value that ends at the beginning of a line (a block scalar that keeps its blank lines) ends with the
    line before.
    """
    if at and text[at - 1] in "\r\n":
        return at - (2 if text[at - 2 : at] == "\r\n" else 1)
    found = _BREAK.search(text, at)
    return found.start() if found else len(text)


def next_line(text: str, at: int) -> int:
    """The beginning of the next line, from the end of a line on."""
    found = _BREAK.match(text, at)
    return found.end() if found else at


def block_end(text: str, end: int, column: int) -> int:
    """The end of the last line of a block entry, comment lines right below it from `column` on included."""
    at = line_end(text, end)
    while (comment := _COMMENT_LINE.match(text, at)) and len(comment[1]) >= column:
        at = comment.end()
    return at


def after_comma(text: str, end: int) -> int | None:
    """The position behind the comma that follows a value in brackets, or None where none follows."""
    found = _TO_COMMA.match(text, end)
    return found.end() if found else None


def is_first_on_line(text: str, at: int) -> bool:
    """Whether nothing but blanks stands before a position on its line."""
    return not text[line_start(text, at) : at].strip()
