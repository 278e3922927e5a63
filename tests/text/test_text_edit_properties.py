"""Edits of plan text, on generated plans in mixed styles: what must hold whatever is edited."""

import copy
import json
import re
from typing import Any

import yaml
from hypothesis import assume, given
from hypothesis import strategies as st

from planlint.text.document import Document
from planlint.text.edit import Action, Edit, add, apply, move, remove, rename, set_value
from planlint.text.places import Path
from planlint.text.reader import read

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
def plan_texts(draw: st.DrawFn, *, brackets: bool = True) -> tuple[dict[str, Any], str]:
    """A plan's data and a text that says them; without `brackets` every entry has lines of its own."""
    data = draw(PLANS)
    lines = _Writer(draw, brackets).block(data, 0)
    return data, draw(st.sampled_from(["\n", "\r\n"])).join([*lines, ""])


class _Writer:
    def __init__(self, draw: st.DrawFn, brackets: bool) -> None:
        self.draw = draw
        self.brackets = brackets
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
        if not isinstance(value, (dict, list)) or not value or (self.brackets and self.chance(3)):
            return self.flow(start, value, indent)
        deeper = indent + self.draw(st.sampled_from([2, 3]))
        if isinstance(value, list) and intro != "-" and self.chance(2):
            deeper = indent
        inner = self.block(value, deeper)
        if self.brackets and intro == "-" and inner[0].strip()[:1] not in ("", "#") and self.chance(2):
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
    return value.isascii() and bool(lines[-1].strip()) and all(not x[:1].isspace() and x.strip() == x for x in lines)


class _Dumper(yaml.SafeDumper):
    def ignore_aliases(self, data: Any) -> bool:  # noqa: ARG002
        """Writes equal values out in each place."""
        return True


@st.composite
def dumped_texts(draw: st.DrawFn) -> str:
    """A plan as the general libraries for YAML and JSON write it."""
    data = draw(PLANS)
    if draw(st.booleans()):
        return json.dumps(data, indent=draw(st.sampled_from([None, 2, "\t"])), ensure_ascii=draw(st.booleans()))
    return yaml.dump(
        data,
        Dumper=_Dumper,
        default_flow_style=draw(st.sampled_from([False, None, True])),
        width=draw(st.sampled_from([20, 80, 1000])),
        indent=draw(st.sampled_from([2, 4])),
        allow_unicode=True,
        sort_keys=False,
        explicit_start=draw(st.booleans()),
        line_break=draw(st.sampled_from(["\n", "\r\n"])),
    )


def sound(text: str) -> Document:
    """The document of a text that must be readable."""
    reading = read(text.encode())
    assert reading.problems == ()
    assert reading.document is not None
    return reading.document


def all_paths(data: Any, path: Path = ()) -> list[Path]:
    """The path of every value inside, in the order of the text."""
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [found for step, value in inner for found in ((*path, step), *all_paths(value, (*path, step)))]


def at(data: Any, path: Path) -> Any:
    """The value at a path."""
    for step in path:
        data = data[step]
    return data


@st.composite
def edits(draw: st.DrawFn, data: Any) -> Edit:
    """Any edit that can be made in a plan."""
    path = draw(st.sampled_from(all_paths(data)))
    holder, value = at(data, path[:-1]), at(data, path)
    new = draw(VALUES)
    fresh = draw(NAMES.filter(lambda name: name not in holder)) if isinstance(holder, dict) else ""
    choices = [set_value(path, new), remove(path)]
    if isinstance(holder, dict):
        choices += [
            rename(path, fresh),
            add((*path[:-1], fresh), new),
            set_value((*path[:-1], fresh, "x"), new),
        ]
    else:
        to = draw(st.integers(0, len(holder)))
        choices += [move(path, to), add((*path[:-1], to), new), set_value((*path[:-1], len(holder)), new)]
    if value is None or value == {}:
        choices.append(set_value((*path, "x", "y"), new))
    if value is None or value == []:
        choices.append(add((*path, 0), new))
    return draw(st.sampled_from(choices))


def done(data: Any, edit: Edit) -> Any:
    """The data with an edit made by Python's own lists and dictionaries."""
    data = copy.deepcopy(data)
    holder: Any = data
    step: Any = edit.path[-1]
    for here, following in zip(edit.path[:-1], edit.path[1:], strict=True):
        if (here not in holder if isinstance(holder, dict) else False) or holder[here] is None:
            holder[here] = [] if isinstance(following, int) else {}
        holder = holder[here]
    if edit.action is Action.RENAME:
        items = [(edit.name if name == step else name, value) for name, value in holder.items()]
        holder.clear()
        holder.update(items)
    elif edit.action is Action.REMOVE:
        del holder[step]
    elif edit.action is Action.MOVE:
        marked = [*holder[: edit.before], ..., *holder[edit.before :]]
        item = marked.pop(step + (step >= edit.before))
        holder[:] = [item if value is ... else value for value in marked]
    elif isinstance(holder, list) and (edit.action is Action.ADD or step == len(holder)):
        holder.insert(step, edit.value)
    else:
        holder[step] = edit.value
    return data


def comments(lines: list[str]) -> list[str]:
    """The numbers of the comments in lines of a generated plan."""
    return re.findall(r"# (c[0-9]+), \{\[: -$", "\n".join(lines), re.MULTILINE)


def common_start(one: list[str], other: list[str]) -> int:
    """How many lines at the beginning are the same."""
    return next((n for n, (x, y) in enumerate(zip(one, other, strict=False)) if x != y), min(len(one), len(other)))


def first_line(document: Document, path: Path) -> int:
    """The number of lines that end before the name or dash of a value."""
    step = path[-1]
    if isinstance(step, str):
        return document.key_span(path).line - 1
    if step > 0:
        return min(document.span((*path[:-1], step - 1)).end_line, document.key_span(path).line - 1)
    return document.span(path[:-1]).line - 1


@given(st.data())
def test_text_reads_back_as_the_edited_data(draws: st.DataObject) -> None:
    """Whatever the style and the edit, the new text says the old data with that edit made, names in order."""
    data, text = draws.draw(plan_texts())
    edit = draws.draw(edits(data))
    assert repr(sound(apply(sound(text), [edit])).data) == repr(done(data, edit))


@given(st.data())
def test_text_of_general_libraries_can_be_edited(draws: st.DataObject) -> None:
    """The same for plans as YAML and JSON libraries write them, plain names and folded text included."""
    text = draws.draw(dumped_texts())
    # Names of several lines, written with `?`, and numbers that YAML 1.1 takes for text are another matter.
    assume("? " not in text)
    document = read(text.encode()).document
    assume(document is not None and document.data)
    assert document is not None
    edit = draws.draw(edits(document.data))
    assert repr(sound(apply(document, [edit])).data) == repr(done(document.data, edit))


@given(st.data())
def test_json_stays_json(draws: st.DataObject) -> None:
    """An edited JSON plan is still JSON, and says for a JSON reader what it says for the plan reader."""
    data = draws.draw(PLANS)
    text = json.dumps(data, indent=draws.draw(st.sampled_from([None, 2])), ensure_ascii=False)
    edit = draws.draw(edits(data))
    assert repr(json.loads(apply(sound(text), [edit]))) == repr(done(data, edit))


@given(st.data())
def test_setting_back_gives_the_original_data(draws: st.DataObject) -> None:
    """A value that is set to another and back leaves the data as they were."""
    data, text = draws.draw(plan_texts())
    path = draws.draw(st.sampled_from(all_paths(data)))
    there = apply(sound(text), [set_value(path, draws.draw(VALUES))])
    back = apply(sound(there), [set_value(path, at(data, path))])
    assert repr(sound(back).data) == repr(data)


@given(st.data())
def test_lines_around_a_value_stay_when_it_is_set(draws: st.DataObject) -> None:
    """All lines before the name and behind the value that is set are the same bytes."""
    data, text = draws.draw(plan_texts())
    path = draws.draw(st.sampled_from(all_paths(data)))
    document = sound(text)
    old = text.splitlines(keepends=True)
    new = apply(document, [set_value(path, draws.draw(VALUES))]).splitlines(keepends=True)
    before = first_line(document, path)
    behind = len(old) - max(document.key_span(path).end_line, document.span(path).end_line)
    assert new[:before] == old[:before]
    assert new[len(new) - behind :] == old[len(old) - behind :]
    if not isinstance(at(data, path), (dict, list)):
        assert comments(new) == comments(old)


@given(st.data())
def test_additions_keep_every_line(draws: st.DataObject) -> None:
    """In block style a new name or item is nothing but new lines at one place."""
    data, text = draws.draw(plan_texts(brackets=False))
    path = draws.draw(st.sampled_from(all_paths(data)))
    step = "quite new" if isinstance(path[-1], str) else path[-1]
    old = text.splitlines(keepends=True)
    new = apply(sound(text), [add((*path[:-1], step), draws.draw(VALUES))]).splitlines(keepends=True)
    same = common_start(old, new)
    assert len(new) > len(old)
    assert new[len(new) - len(old) + same :] == old[same:]


@given(st.data())
def test_additions_keep_every_comment(draws: st.DataObject) -> None:
    """In any style a new name or item leaves every comment, in order."""
    data, text = draws.draw(plan_texts())
    path = draws.draw(st.sampled_from(all_paths(data)))
    step = "quite new" if isinstance(path[-1], str) else path[-1]
    changed = apply(sound(text), [add((*path[:-1], step), draws.draw(VALUES))])
    assert comments(changed.splitlines()) == comments(text.splitlines())


@given(st.data())
def test_removals_only_take_lines_away(draws: st.DataObject) -> None:
    """In block style the lines of one entry go, none above it and none of another entry."""
    data, text = draws.draw(plan_texts(brackets=False))
    shared = [path for path in all_paths(data) if len(at(data, path[:-1])) > 1]
    assume(shared)
    path = draws.draw(st.sampled_from(shared))
    document = sound(text)
    old = text.splitlines(keepends=True)
    new = apply(document, [remove(path)]).splitlines(keepends=True)
    before = first_line(document, path)
    behind = len(old) - max(document.key_span(path).end_line, document.span(path).end_line)
    assert new[:before] == old[:before]
    assert new[len(new) - behind :] == old[len(old) - behind :]
    above = new[before : len(new) - behind]
    assert all(not line.strip() or line.lstrip().startswith("#") for line in above)


@given(st.data())
def test_removals_keep_comments_of_others(draws: st.DataObject) -> None:
    """In any style the comments above what is removed stay, and none changes places."""
    data, text = draws.draw(plan_texts())
    path = draws.draw(st.sampled_from(all_paths(data)))
    document = sound(text)
    old = comments(text.splitlines())
    new = comments(apply(document, [remove(path)]).splitlines())
    first = first_line(document, path)
    above = comments(text.splitlines()[:first])
    assert new[: len(above)] == above
    assert new == [one for one in old if one in new]
    # What goes along stands inside what is removed, or right behind it.
    inside = comments(text.splitlines()[first : document.span(path).end_line])
    assert len(old) - len(new) <= len(inside) + 2
