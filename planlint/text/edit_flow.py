"""Edits of lists and mappings in flow style: in brackets, on one line or several, with commas between."""

from planlint.text.document import Data
from planlint.text.edit_block import Patch
from planlint.text.edit_layout import (
    Entry,
    Holder,
    after_comma,
    is_first_on_line,
    line_end,
    line_start,
    newline,
    next_line,
)
from planlint.text.edit_values import flow_text, scalar_text


def replaced(holder: Holder, at: int, value: Data) -> list[Patch]:
    """Writes another value in the place of an entry's."""
    entry = holder.entries[at]
    style = entry.node.style if isinstance(entry.node.value, str) and entry.node.style else ""
    new = flow_text(value, quote=_quote(holder, value, style))
    if entry.end > entry.head or entry.key is None:
        return [(entry.node.start_mark.index, entry.end, new)]
    if entry.head == entry.key.end_mark.index:
        return [_insertion(entry.head, f": {new}")]
    blanks = _blanks_end(holder.text, entry.head)
    return [(entry.head, blanks if holder.text[blanks] == "," else entry.head, f" {new}")]


def inserted(holder: Holder, at: int, name: str | None, value: Data) -> list[Patch]:
    """Writes a new entry before position `at`, in the manner of its neighbours."""
    new = flow_text(value, quote=holder.quote)
    if name is not None:
        new = f"{scalar_text(name, flow=True, quote=holder.quote)}: {new}"
    text, entries = holder.text, holder.entries
    if not entries:
        return _first(holder, new)
    if not _in_brackets(holder):
        return [_insertion(holder.node.start_mark.index, "{"), _insertion(entries[-1].end, f", {new}}}")]
    if at == len(entries):
        return _last(holder, new)
    start = entries[at].start
    between = f"{newline(text)}{_indent(text, start)}" if _has_own_line(holder, entries[at]) else " "
    return [_insertion(start, f"{new},{between}")]


def removed(holder: Holder, at: int) -> list[Patch]:
    """Takes an entry away with one comma and the comment on its line; comment lines above it stay."""
    text, entry = holder.text, holder.entries[at]
    if not _in_brackets(holder):
        return [(holder.node.start_mark.index, entry.end, "{}")]
    comma = after_comma(text, entry.end)
    stop = comma or entry.end
    if len(holder.entries) == 1:
        return _only(holder, entry, stop)
    if at == len(holder.entries) - 1:
        return _without_last(holder, comma)
    if _is_alone(holder, entry, stop):
        return [_lines(text, entry, stop)]
    following = holder.entries[at + 1].start
    has_comment = "#" in text[stop:following]
    return [(entry.start, line_end(text, stop) if has_comment else following, "")]


def moved(holder: Holder, at: int, before: int) -> list[Patch]:
    """Puts an item elsewhere: the items change places, what stands between them stays."""
    order = [slot for slot in range(len(holder.entries)) if slot != at]
    order.insert(before - (before > at), at)
    written = [holder.text[entry.start : entry.end] for entry in holder.entries]
    return [(entry.start, entry.end, written[slot]) for entry, slot in zip(holder.entries, order, strict=True)]


def _quote(holder: Holder, value: Data, style: str) -> str:
    """The quotes of new text: those of a JSON plan, or of the text that it replaces."""
    return holder.quote or (style if isinstance(value, str) and style in ("'", '"') else "")


def _first(holder: Holder, new: str) -> list[Patch]:
    opening, closing = holder.node.start_mark.index + 1, _closing(holder)
    blank = not holder.text[opening:closing].strip()
    return [(opening if blank else closing, closing, new)]


def _last(holder: Holder, new: str) -> list[Patch]:
    text, last = holder.text, holder.entries[-1]
    comma = after_comma(text, last.end)
    end = last.end if last.key is None or last.end > last.head else _blanks_end(text, last.head)
    # Right behind a colon a comma would be taken for text.
    own = [] if comma else [_insertion(end, " ," if text[end - 1] == ":" else ",")]
    trailing = "," if comma else ""
    at = comma or end
    if not _has_own_line(holder, last):
        return [*own, _insertion(at, f" {new}{trailing}")]
    at = line_end(text, at) if line_end(text, at) <= _closing(holder) else at
    return [*own, _insertion(at, f"{newline(text)}{_indent(text, last.start)}{new}{trailing}")]


def _only(holder: Holder, entry: Entry, stop: int) -> list[Patch]:
    text, opening, closing = holder.text, holder.node.start_mark.index + 1, _closing(holder)
    if "#" not in text[opening : entry.start] + text[stop:closing]:
        return [(opening, closing, "")]
    if _is_alone(holder, entry, stop):
        return [_lines(text, entry, stop)]
    return [(entry.start, stop, "")]


def _without_last(holder: Holder, comma: int | None) -> list[Patch]:
    text, before, entry = holder.text, holder.entries[-2], holder.entries[-1]
    stop = comma or entry.end
    # The comma before it goes, unless its own remains as the one behind the last entry.
    begin = after_comma(text, before.end) or before.end
    drop: list[Patch] = [] if comma else [(begin - 1, begin, "")]
    if _is_alone(holder, entry, stop):
        return [*drop, _lines(text, entry, stop)]
    if "#" in text[begin : entry.start]:
        return [*drop, (entry.start, stop, "")]
    return [(begin if comma else begin - 1, stop, "")]


def _is_alone(holder: Holder, entry: Entry, stop: int) -> bool:
    """Whether the lines of an entry hold nothing else but its comment."""
    rest = holder.text[stop : line_end(holder.text, stop)].strip()
    return _has_own_line(holder, entry) and (not rest or rest.startswith("#"))


def _has_own_line(holder: Holder, entry: Entry) -> bool:
    beginning = line_start(holder.text, entry.start)
    return is_first_on_line(holder.text, entry.start) and holder.node.start_mark.index < beginning


def _lines(text: str, entry: Entry, stop: int) -> Patch:
    return line_start(text, entry.start), next_line(text, line_end(text, stop)), ""


def _in_brackets(holder: Holder) -> bool:
    """Whether it has brackets of its own; the mapping in `[in: 1]` has none."""
    return holder.text[holder.node.start_mark.index] in "{["


def _blanks_end(text: str, at: int) -> int:
    while text[at] == " ":
        at += 1
    return at


def _closing(holder: Holder) -> int:
    return int(holder.node.end_mark.index) - 1


def _indent(text: str, start: int) -> str:
    return text[line_start(text, start) : start]


def _insertion(at: int, new: str) -> Patch:
    return at, at, new
