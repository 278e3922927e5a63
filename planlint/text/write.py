"""Writes the data of a plan as YAML text that the reader reads as the same data."""

import math
from typing import Any

import yaml
from yaml.nodes import ScalarNode

from planlint.text.document import Data
from planlint.text.encoding import UNPRINTABLE
from planlint.text.problems import shown
from planlint.text.scalars import NotFiniteError, plain

_TEXT = "tag:yaml.org,2002:str"


def plan_text(data: dict[str, Data]) -> str:
    """Return YAML in block style, with keys in the given order and lines as long as their texts.

    Raises ValueError for a text with a character that no plan may contain.
    """
    return yaml.dump(
        data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, default_flow_style=False, width=math.inf
    )


class _Dumper(yaml.SafeDumper):
    """PyYAML's writer; texts are quoted where YAML 1.1 takes them for something else, and here where 1.2 does."""

    def ignore_aliases(self, _data: Any) -> bool:
        return True  # the reader refuses aliases: what stands twice is written twice

    def resolve(self, kind: Any, value: Any, implicit: Any) -> Any:
        """Return the tag that a reader gives to what is written so; an unquoted text that is no text has none of ours."""
        if kind is ScalarNode and (bad := UNPRINTABLE.search(value)):
            text = shown(UNPRINTABLE.sub(" ", value))
            raise ValueError(
                f"found the character U+{ord(bad[0]):04X} in `{text}`; expected only characters that print"
            )
        tag = super().resolve(kind, value, implicit)  # type: ignore[no-untyped-call]
        # NOTE: 1.1 takes `0o7`, `08`, `1e3` and `1.5e3` for text, 1.2 for numbers. What PyYAML writes for a number, a truth
        # value or null is the same in both. `implicit[0]` asks about the unquoted scalar.
        if kind is ScalarNode and implicit[0] and tag == _TEXT and not _is_text(value):
            return ""
        return tag


def _is_text(unquoted: str) -> bool:
    try:
        return isinstance(plain(unquoted), str)
    except NotFiniteError:
        return False
