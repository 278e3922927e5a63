"""Surrogate pairs: JSON writes an emoji as two escapes, which YAML's own rules do not know."""

import re

from yaml.nodes import Node, ScalarNode

# A doubled backslash is matched first, so that what follows it is not taken for an escape.
_PAIR = re.compile(r"\\\\|\\u([dD][89abAB][0-9a-fA-F]{2})\\u([dD][c-fC-F][0-9a-fA-F]{2})")
_WRITTEN = r"\uFDD0\uFDD1"  # two code points that are reserved for no character: as long as a pair
_READ = "\ufdd0\ufdd1"


def present(text: str) -> bool:
    """Whether the text may hold surrogate pairs at all."""
    return "\\ud" in text or "\\uD" in text


def stand_in(text: str) -> str:
    """The text with a stand-in of the same length for every pair."""
    return _PAIR.sub(lambda match: _WRITTEN if match[1] else match[0], text)


def restore(root: Node, text: str) -> None:
    """Puts into the scalars of a tree that was composed from the stand-ins what the text says."""
    stack = [root]
    while stack:
        node = stack.pop()
        if isinstance(node, ScalarNode):
            _restore(node, text[node.start_mark.index : node.end_mark.index])
        else:
            for inner in node.value:
                stack.extend(inner if isinstance(inner, tuple) else (inner,))


def _restore(node: ScalarNode, written: str) -> None:
    found = [match for match in _PAIR.finditer(written) if match[1]]
    if not found:
        return
    quoted = node.style == '"'
    originals = iter([_character(match) if quoted else match[0] for match in found])
    stand_in = re.escape(_READ if quoted else _WRITTEN)
    node.value = re.sub(stand_in, lambda match: next(originals, match[0]), node.value)


def _character(pair: re.Match[str]) -> str:
    high, low = int(pair[1], 16), int(pair[2], 16)
    return chr(0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00))
