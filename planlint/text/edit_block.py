"""Edits of lists and mappings in block style: one entry a line or more, ordered by indentation."""

from planlint.text.document import Data
from planlint.text.edit_layout import (
    Entry,
    Holder,
    block_end,
    block_header,
    is_first_on_line,
    line_end,
    line_start,
    newline,
    next_line,
)
from planlint.text.edit_values import block_lines, scalar_text

Patch = tuple[int, int, str]
"""A stretch of the text, from and to, and what stands there afterwards."""


def replaced(holder: Holder, at: int, value: Data, spread: int) -> list[Patch]:
    """Writes another value behind a name or dash; the comment on that line stays."""
    text, entry = holder.text, holder.entries[at]
    old, begin = entry.node, entry.node.start_mark.index
    intro = text[entry.start : entry.head]
    style = old.style if isinstance(old.value, str) and old.style in ("'", '"') else ""
    head, *more = block_lines(intro, value, column=holder.column, spread=spread, quote=style)
    first, rest = head.removeprefix(intro), _below(holder, more)
    if entry.end == entry.head:
        return [(entry.head, entry.head, first), _insertion(line_end(text, entry.head), rest)]
    if (header := block_header(text, old)) is not None:
        return [(entry.head, header, first), (line_end(text, header), line_end(text, entry.end), rest)]
    if isinstance(old.value, str) or old.flow_style:
        if not rest:
            return [(begin, entry.end, first.lstrip())]
        return [(entry.head, entry.end, first), _insertion(line_end(text, entry.end), rest)]
    end = block_end(text, entry.end, holder.column + 1)
    if line_end(text, entry.head) < begin:
        return [(entry.head, entry.head, first), (line_end(text, entry.head), end, rest)]
    if line_end(text, begin) < entry.end:
        return [(entry.head, end, first + rest)]
    return [(entry.head, entry.end, first), _insertion(line_end(text, entry.end), rest)]


def inserted(holder: Holder, at: int, name: str | None, value: Data, spread: int) -> list[Patch]:
    """Writes a new entry before position `at`: a name with its value, or an item where there is no name."""
    intro = "-" if name is None else f"{scalar_text(name, flow=False)}:"
    lines = block_lines(intro, value, column=holder.column, spread=spread)
    return _put_before(holder, at, _below(holder, lines))


def removed(holder: Holder, at: int) -> list[Patch]:
    """Takes an entry away with the comment on its line; comment lines above it stay."""
    text, entry = holder.text, holder.entries[at]
    end = block_end(text, entry.end, holder.column + 1)
    beginning = line_start(text, entry.start)
    if len(holder.entries) == 1:
        empty = "[]" if entry.key is None else "{}"
        if line_start(text, holder.head) == beginning:
            return [(entry.start, end, empty)]
        return [(holder.head, holder.head, f" {empty}"), (beginning, next_line(text, end), "")]
    if is_first_on_line(text, entry.start):
        return [(beginning, next_line(text, end), "")]
    # The entry shares its line with the dash of the list around it.
    following = holder.entries[at + 1].start
    if "#" not in text[end:following]:
        return [(entry.start, following, "")]
    return [(len(text[: entry.start].rstrip(" ")), end, "")]


def moved(holder: Holder, at: int, before: int) -> list[Patch]:
    """Puts an item elsewhere in its list, with the comment lines right above it."""
    text, entry = holder.text, holder.entries[at]
    end = block_end(text, entry.end, holder.column + 1)
    if not is_first_on_line(text, entry.start):
        lines = newline(text) + " " * holder.column + text[entry.start : end]
        return [*removed(holder, at), *_put_before(holder, before, lines)]
    top = _top(holder, entry)
    lines = newline(text) + text[top:end]
    return [(top, next_line(text, end), ""), *_put_before(holder, before, lines)]


def _put_before(holder: Holder, at: int, lines: str) -> list[Patch]:
    """Lines, each with the line break before it, in front of an entry; behind the last where none is left."""
    text, entries = holder.text, holder.entries
    if at == 0 and not is_first_on_line(text, entries[0].start):
        own = lines.removeprefix(newline(text)).lstrip(" ")
        return [_insertion(entries[0].start, f"{own}{newline(text)}{' ' * holder.column}")]
    if at == 0:
        return [_insertion(line_end(text, holder.head), lines)]
    # A comment in the column of the dashes may belong to what follows the list.
    least = holder.column + (entries[0].key is None)
    return [_insertion(block_end(text, entries[at - 1].end, least), lines)]


def _top(holder: Holder, entry: Entry) -> int:
    """Where the comment lines right above an entry begin, or its own line where there are none."""
    text, top = holder.text, line_start(holder.text, entry.start)
    while top > 0:
        above = line_start(text, line_end(text, top))
        comment = text[above:top]
        if len(comment) - len(comment.lstrip(" ")) != holder.column or not comment.lstrip(" ").startswith("#"):
            break
        top = above
    return top


def _below(holder: Holder, lines: list[str]) -> str:
    return "".join(f"{newline(holder.text)}{' ' * holder.column}{line}" for line in lines)


def _insertion(at: int, new: str) -> Patch:
    return at, at, new
