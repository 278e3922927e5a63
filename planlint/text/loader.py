"""The parser of YAML text into nodes: without tags, since a plan's plain scalars are read by YAML 1.2 and not by 1.1.

NOTE: asking PyYAML's resolver for a tag that nobody looks at costs as much as all the rest of composing.
"""

from typing import Any

import yaml


class _WithoutTags:
    """The part of a PyYAML loader that gives nodes their tags, giving none."""

    def resolve(self, _kind: Any, _value: Any, _implicit: Any) -> str:
        return ""

    def descend_resolver(self, _parent: Any, _index: Any) -> None: ...

    def ascend_resolver(self) -> None: ...


if hasattr(yaml, "CSafeLoader"):
    from yaml.cyaml import CParser  # type: ignore[attr-defined]

    class Loader(_WithoutTags, CParser):
        """The C parser."""

        def __init__(self, stream: str) -> None:
            CParser.__init__(self, stream)

else:  # the same language, read ten times as slowly

    class Loader(_WithoutTags, yaml.SafeLoader):  # type: ignore[no-redef]
        """The parser in Python."""
