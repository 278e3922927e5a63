"""Writes data as YAML in mixed styles, with comments and blank lines wherever they may stand."""

import json
from typing import Any

from hypothesis import strategies as st

WORDS = st.sampled_from(
    [
        *(
            "4 AWG",
            "5.2 m",
            "battery.positive",
            "not stated",
            "1/0 AWG",
            "M8 stud",
            "0.6",
            "12",
            "1e3",
            "0x1F",
        ),
        *(
            "true",
            "null",
            "~",
            "",
            "on",
            "no",
            "1:30",
            "a: b",
            "a #b",
            "#a",
            "- a",
            "-",
            "?",
            "? a",
            "a, b",
            "[a",
        ),
        *(
            "{a}",
            "a]",
            "'a'",
            '"a"',
            "&a",
            "*a",
            "!a",
            "%a",
            "@a",
            "`a",
            "|",
            ">",
            "a:",
            ":a",
            " a",
            "a ",
            "<<",
        ),
        *(
            "...",
            "---",
            "... a",
            "a\nb",
            "a\n\nb\n",
            "a\tb",
            "a\\b",
            "\\ud83d\\ude00",
            "µ Ω 🔊",
            "=",
            "é",
            ".inf",
        ),
    ]
)
SCALARS = (
    WORDS
    | st.text(st.sampled_from("ab1.:,#-?[]{}'\"\\ \n&!"), max_size=6)
    | st.none()
    | st.booleans()
    | st.integers(-1000, 10**20)
    | st.floats(allow_nan=False, allow_infinity=False)
)
NAMES = st.sampled_from(["from", "to", "gauge", "length", "a b", "x", "true", "12", "a: b", "-"]) | WORDS
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(NAMES, inner, max_size=4),
    max_leaves=12,
)
PLANS = st.dictionaries(NAMES, VALUES, min_size=1, max_size=5)


@st.composite
def plan_texts(draw: st.DrawFn) -> tuple[dict[str, Any], str]:
    """A plan's data and a text that says them."""
    data = draw(PLANS)
    lines = _Writer(draw).block(data, 0)
    return data, draw(st.sampled_from(["\n", "\r\n"])).join([*lines, ""])


class _Writer:
    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.comments = 0

    def chance(self, one_in: int) -> bool:
        return self.draw(st.integers(1, one_in)) == one_in

    def comment(self) -> str:
        self.comments += 1
        return f"# c{self.comments}, {{[: -"

    def tail(self) -> str:
        return f"  {self.comment()}" if self.chance(5) else ""

    def between(self, indent: int) -> list[str]:
        """Now and then a comment line or a blank one before an entry."""
        lines = [" " * indent + self.comment()] if self.chance(5) else []
        return [*lines, ""] if self.chance(8) else lines

    def block(self, value: Any, indent: int) -> list[str]:
        if isinstance(value, dict):
            entries = [(f"{json.dumps(name, ensure_ascii=False)}:", inner) for name, inner in value.items()]
        else:
            entries = [("-", inner) for inner in value]
        return [line for entry in entries for line in [*self.between(indent), *self.entry(*entry, indent)]]

    def entry(self, intro: str, value: Any, indent: int) -> list[str]:
        start = " " * indent + intro
        if value is None and self.chance(2):
            return [start + self.tail()]
        if isinstance(value, str) and value.strip() and _fits_block(value) and self.chance(2):
            return self.literal(start, value, indent)
        if not isinstance(value, (dict, list)) or not value or self.chance(3):
            return self.flow(start, value, indent)
        deeper = indent + self.draw(st.sampled_from([2, 3]))
        if isinstance(value, list) and intro != "-" and self.chance(2):
            deeper = indent
        inner = self.block(value, deeper)
        if intro == "-" and inner[0].strip()[:1] not in ("", "#") and self.chance(2):
            return [start + " " * (deeper - indent - 1) + inner[0].lstrip(), *inner[1:]]
        return [start + self.tail(), *inner]

    def literal(self, start: str, value: str, indent: int) -> list[str]:
        body = value.removesuffix("\n").split("\n")
        sign = "|" if value.endswith("\n") else "|-"
        return [f"{start} {sign}{self.tail()}", *(" " * (indent + 2) + line if line else "" for line in body)]

    def flow(self, start: str, value: Any, indent: int) -> list[str]:
        if not isinstance(value, (dict, list)) or not value or self.chance(2):
            return [f"{start} {self.inline(value)}{self.tail()}"]
        inner = " " * (indent + 4)
        if isinstance(value, dict):
            written = [f"{json.dumps(k, ensure_ascii=False)}: {self.inline(v)}" for k, v in value.items()]
        else:
            written = [self.inline(v) for v in value]
        commas = ["," for _ in written]
        if self.chance(2):
            commas[-1] = ""
        body = [
            line
            for item, comma in zip(written, commas, strict=True)
            for line in [*self.between(indent + 4), f"{inner}{item}{comma}{self.tail()}"]
        ]
        opening, closing = "{}" if isinstance(value, dict) else "[]"
        return [f"{start} {opening}{self.tail()}", *body, " " * (indent + 2) + closing + self.tail()]

    def inline(self, value: Any) -> str:
        if isinstance(value, dict):
            pairs = [f"{json.dumps(k, ensure_ascii=False)}: {self.inline(v)}" for k, v in value.items()]
            return "{" + ", ".join(pairs) + ("," if pairs and self.chance(5) else "") + "}"
        if isinstance(value, list):
            return "[" + ", ".join(map(self.inline, value)) + ("," if value and self.chance(5) else "") + "]"
        return json.dumps(value, ensure_ascii=False)


def _fits_block(value: str) -> bool:
    lines = value.removesuffix("\n").split("\n")
    return (
        value.isascii()
        and bool(lines[-1].strip())
        and all(not x[:1].isspace() and x.strip() == x for x in lines)
    )
