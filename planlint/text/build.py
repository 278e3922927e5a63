"""A tree of YAML nodes becomes plain data; doubled names, names that are no text and the like are noted."""

from dataclasses import dataclass, field
from typing import Any

from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from planlint.frozen import frozen
from planlint.text.document import Data
from planlint.text.encoding import UNPRINTABLE
from planlint.text.scalars import NUMERIC, WORDS, NotFiniteError, plain

# What a fault is called here; the reader turns each into a Problem with words.
DOUBLED, DOUBLED_ID, NOT_TEXT, MERGE, TOO_DEEP, NOT_FINITE, CONTROL = (
    "doubled", "doubled-id", "not-text", "merge", "too-deep", "not-finite", "control",
)  # fmt: skip


@frozen
class Fault:
    """A fault at a node; `first` is the name that a doubled one repeats."""

    what: str
    node: Node
    first: Node | None = None


@dataclass(slots=True)
class Builder:
    """Builds the data of one tree and gathers its faults in the order of the text."""

    most_depth: int
    faults: list[Fault] = field(default_factory=list)

    def value(self, node: Node, depth: int = 1) -> Data:
        """The data of a node that stands inside `depth - 1` others."""
        kind = node.__class__
        if kind is ScalarNode:
            return self._scalar(node)
        if depth > self.most_depth:
            self.faults.append(Fault(what=TOO_DEEP, node=node))
            return None
        return self._mapping(node, depth) if kind is MappingNode else self._sequence(node, depth)

    def _mapping(self, node: Any, depth: int) -> dict[str, Data]:
        data: dict[str, Data] = {}
        words, numeric, scalar = WORDS, NUMERIC, ScalarNode
        for key, value in node.value:
            name = key.value
            if key.__class__ is not scalar or key.style or name in words or name[0] in numeric or name == "<<":
                self._check_name(key)
                if key.__class__ is not scalar:
                    name = ""
            if (
                value.__class__ is scalar
                and not value.style
                and (t := value.value) not in words
                and (t[0] not in numeric or " " in t)
            ):
                data[name] = t
            else:
                data[name] = self.value(value, depth + 1)
        if len(data) < len(node.value):
            self._note_doubled(node, depth)
        return data

    def _sequence(self, node: Any, depth: int) -> list[Data]:
        return [self.value(item, depth + 1) for item in node.value]

    def _scalar(self, node: Any) -> Data:
        text: str = node.value
        if node.style:
            if node.style == '"' and not text.isprintable() and UNPRINTABLE.search(text):
                self.faults.append(Fault(what=CONTROL, node=node))
            return text
        try:
            return plain(text)
        except NotFiniteError:
            self.faults.append(Fault(what=NOT_FINITE, node=node))
            return None

    def _check_name(self, key: Any) -> None:
        if key.__class__ is ScalarNode and key.value == "<<" and not key.style:
            self.faults.append(Fault(what=MERGE, node=key))
        elif key.__class__ is not ScalarNode or not isinstance(self._name(key), str):
            self.faults.append(Fault(what=NOT_TEXT, node=key))

    def _name(self, key: Any) -> Data:
        before = len(self.faults)
        name = self._scalar(key)
        return key.value if len(self.faults) > before else name  # its own fault has been noted

    def _note_doubled(self, mapping: Node, depth: int) -> None:
        # Ids stand right inside a section and name mappings; a doubled field is another matter.
        ids = depth == 2 and all(value.__class__ is MappingNode or not value.value for _, value in mapping.value)
        what = DOUBLED_ID if ids else DOUBLED
        first: dict[str, Node] = {}
        for key, _ in mapping.value:
            if key.__class__ is ScalarNode and first.setdefault(key.value, key) is not key:
                self.faults.append(Fault(what=what, node=key, first=first[key.value]))


def paths(root: Node, wanted: set[int]) -> dict[int, tuple[str | int, ...]]:
    """The path of each node whose id() is wanted; a name has the path of its value."""
    found: dict[int, tuple[str | int, ...]] = {}
    stack: list[tuple[Node, tuple[str | int, ...]]] = [(root, ())]
    while stack and len(found) < len(wanted):
        node, path = stack.pop()
        if id(node) in wanted:
            found[id(node)] = path
        if isinstance(node, SequenceNode):
            stack.extend((item, (*path, at)) for at, item in enumerate(node.value))
        elif isinstance(node, MappingNode):
            for key, value in node.value:
                inner = (*path, key.value) if isinstance(key.value, str) else path
                stack.extend(((key, inner), (value, inner)))
    return found
