"""A document: the plain data of a plan together with the place of every value and name in its text."""

from bisect import bisect_right
from dataclasses import dataclass, field
from typing import TypeAlias

from yaml.nodes import MappingNode, Node

from planlint.text.places import Path, Span, line_starts

Data: TypeAlias = "dict[str, Data] | list[Data] | str | int | float | bool | None"
_Children: TypeAlias = dict[str | int, tuple[Node, Node]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Document:
    """What a readable file says. `text` is the file without its byte-order mark, line ends untouched."""

    data: dict[str, Data]
    text: str
    root: Node = field(repr=False)
    _line_starts: list[int] = field(default_factory=list, init=False, repr=False)
    _known: dict[int, _Children] = field(default_factory=dict, init=False, repr=False)

    def span(self, path: Path) -> Span:
        """The place of a value; where the path leads nowhere, of the nearest thing around it."""
        return self._span_of(self._find(path)[1])

    def key_span(self, path: Path) -> Span:
        """The place of a value's name: of the item itself in a list, of the first name for the whole plan."""
        key, _ = self._find(path)
        if key is self.root and (first := next(iter(self._children(key).values()), None)):
            key = first[0]
        return self._span_of(key)

    def nearest(self, path: Path) -> Path:
        """The path as far as it leads somewhere."""
        node, length = self.root, 0
        for step in path:
            inner = self._children(node).get(step)
            if inner is None:
                break
            node, length = inner[1], length + 1
        return path[:length]

    def quote(self, span: Span) -> str:
        """The exact text of a span."""
        return self.text[self.offset(span.line, span.column) : self.offset(span.end_line, span.end_column)]

    def offset(self, line: int, column: int) -> int:
        """The position in `text`, from 0, of a line and column, both from 1."""
        return self._starts()[line - 1] + column - 1

    def _find(self, path: Path) -> tuple[Node, Node]:
        found = (self.root, self.root)
        for step in path:
            inner = self._children(found[1]).get(step)
            if inner is None:
                break
            found = inner
        return found

    def _children(self, node: Node) -> _Children:
        known = self._known.get(id(node))
        if known is None:
            known = self._known[id(node)] = children(node)
        return known

    def _span_of(self, node: Node) -> Span:
        start = node.start_mark
        end_line, end_column = self._end(node)
        return Span(line=start.line + 1, column=start.column + 1, end_line=end_line + 1, end_column=end_column + 1)

    def _end(self, node: Node) -> tuple[int, int]:
        """Line and column, from 0; earlier than a block's mark, which runs on over blanks and comments."""
        if getattr(node, "style", None) in ("|", ">"):
            written = self.text[node.start_mark.index : node.end_mark.index].rstrip()
            return self._position(node.start_mark.index + len(written))
        if getattr(node, "flow_style", True) or not node.value:
            return node.end_mark.line, node.end_mark.column
        last = node.value[-1]
        if not isinstance(last, tuple):
            return self._end(last)
        # NOTE: a name without value and colon (`? name`) leaves its null behind blank lines and comments.
        key, value = last
        unwritten = value.value == "" and value.start_mark.line > key.end_mark.line
        return self._end(key if unwritten else value)

    def _position(self, index: int) -> tuple[int, int]:
        starts = self._starts()
        line = bisect_right(starts, index) - 1
        return line, index - starts[line]

    def _starts(self) -> list[int]:
        if not self._line_starts:
            self._line_starts.extend(line_starts(self.text))
        return self._line_starts


def children(node: Node) -> _Children:
    """What stands directly inside a node: by name or position, the nodes of its name and of its value."""
    if isinstance(node.value, str):
        return {}
    if isinstance(node, MappingNode):
        return {key.value: (key, value) for key, value in node.value if isinstance(key.value, str)}
    return {at: (item, item) for at, item in enumerate(node.value)}
