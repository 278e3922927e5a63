"""What the YAML scanner and parser complain of, in the words of the people who write plans."""

from collections.abc import Callable

import yaml

from planlint.frozen import frozen
from planlint.text.encoding import place
from planlint.text.places import Span
from planlint.text.problems import PLAN_FORMAT, Problem


@frozen
class _Trouble:
    """A complaint with what is needed to word it: where it arose and where the thing in question began."""

    said: str
    text: str
    at: int
    began: int

    @property
    def sign(self) -> str:
        """The character at which the scanner stopped; empty at the end of the file."""
        return self.text[self.at : self.at + 1]

    @property
    def before(self) -> str:
        """What stands on the same line before it."""
        return self.text[max(self.text.rfind("\n", 0, self.at), self.text.rfind("\r", 0, self.at)) + 1 : self.at]

    @property
    def ended(self) -> bool:
        """Whether nothing but blank space follows."""
        return self.text[self.at : self.at + 1000].strip() == ""


_Words = tuple[int, str, str]  # where, what was found and expected, what to do
_INDENT = "Indent names that belong together equally, with spaces: `wires:`, `  feed:`, `    gauge: 4 AWG`."


def syntax_problem(error: yaml.YAMLError, text: str) -> Problem:
    """The problem for an error of the YAML library, at its own place."""
    mark, context = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
    at = mark.index if mark else 0
    said = getattr(error, "problem", None) or str(error)
    trouble = _Trouble(said=said, text=text, at=at, began=context.index if context else at)
    index, message, remedy = next(words for sign, words in _KNOWN if sign in said)(trouble)
    return Problem(rule=PLAN_FORMAT, message=message, remedy=remedy, span=_span(text, index))


def _span(text: str, index: int) -> Span:
    return place(text, index, 1 if text[index : index + 1].strip("\r\n") else 0)


def _tab(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found a tab where the line is indented; expected spaces.",
        "Replace each tab at the beginning of the line by two spaces: `  gauge: 4 AWG`.",
    )


def _cannot_start(trouble: _Trouble) -> _Words:
    if trouble.sign == "\t":
        return _tab(trouble)
    return (
        trouble.at,
        f"Found a value that begins with `{trouble.sign}`; expected quotes around such text.",
        f'Put the text in double quotes: `remark: "{trouble.sign} ..."`.',
    )


def _colon(trouble: _Trouble) -> _Words:
    if ": " in trouble.before:
        return (
            trouble.at,
            "Found a second `: ` on one line; expected one name and one value.",
            'Put a text that contains a colon in quotes: `remark: "note: see sheet 2"`.',
        )
    return (
        trouble.at,
        "Found a name with a colon inside the value above; expected names of one level under each other.",
        _INDENT,
    )


def _no_colon(trouble: _Trouble) -> _Words:
    return (
        trouble.began,
        "Found a name without a colon; expected a name, a colon, a space and a value.",
        "Write `gauge: 4 AWG`.",
    )


def _tight_colon(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found a colon without a space after it; expected a name, a colon, a space and a value.",
        "Put a space after the colon: `{zone: cargo}`.",
    )


def _bracket(trouble: _Trouble) -> _Words:
    opened = trouble.text[trouble.began]
    closing = "]" if opened == "[" else "}"
    example = "`[front, rear]`" if opened == "[" else "`{zone: cargo, length: 2 m}`"
    if trouble.ended:
        message = f"Found `{opened}` that is never closed; expected `{closing}`."
        return trouble.began, message, f"Add `{closing}` where it ends: {example}."
    line = place(trouble.text, trouble.began).line
    return (
        trouble.at,
        f"Found no `,` and no `{closing}` before this, inside the `{opened}` opened in line {line}.",
        f"Part the entries by commas and close them with `{closing}`: {example}.",
    )


def _quote(trouble: _Trouble) -> _Words:
    sign = trouble.text[trouble.began]
    return (
        trouble.began,
        f"Found a quote {sign} that is never closed; expected the same quote at the end of the text.",
        f"Add the closing quote: `title: {sign}Cargo sub{sign}`.",
    )


def _no_key(trouble: _Trouble) -> _Words:
    if not trouble.before.strip():
        return (
            trouble.at,
            "Found a line whose indentation fits none of the lines above; expected it under one of them.",
            _INDENT,
        )
    return (
        trouble.at,
        "Found more text after the value was complete; expected the end of the line.",
        'Delete it, or put the whole value in one pair of quotes: `remark: "the whole text"`.',
    )


def _no_dash(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found a line without `- ` among the items of a list; expected `- ` before every item.",
        "Write `- name: cabin`, or indent the line so that it belongs to the item above.",
    )


def _dash(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found a list item on the line of its name; expected the list to begin on the next line.",
        "Write `zones:`, then `  - name: cabin` on a line of its own; or `[front, rear]` on one line.",
    )


def _no_content(trouble: _Trouble) -> _Words:
    if trouble.ended:
        return _unended(trouble)
    return (
        trouble.at,
        f"Found `{trouble.sign}` where a value is due.",
        'Write the value, or put text that begins so in quotes: `remark: "[sic]"`.',
    )


def _unended(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found the end of the file inside a bracket; expected `]` or `}`.",
        "Close every bracket: `[front, rear]`, `{zone: cargo, length: 2 m}`.",
    )


def _escape(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found a backslash with a character that has no such meaning inside double quotes.",
        "Use single quotes, where a backslash stands for itself: `remark: 'C:\\plans'`.",
    )


def _no_character(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found an escape that names no character; expected the code of a character.",
        'Write the character itself: `remark: "5 Ω"`.',
    )


def _deep(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found values nested far too deeply for a plan.",
        "Close the brackets that are open: `[front, rear]`. A sound plan is about six levels deep.",
    )


def _documents(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found a second document in the file; expected one plan a file.",
        "Delete the line `---` or `...`, or move what follows it into a file of its own.",
    )


def _outside(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found text after the plan was complete; expected a plan of names and values, and nothing after it.",
        "Write names and values from the first column on: `plan: 1`, then `title: Cargo sub`.",
    )


def _directive(trouble: _Trouble) -> _Words:
    return (
        trouble.began,
        "Found a line that begins with `%`; such instructions are not part of the plan format.",
        'Delete the line; text that begins with `%` goes in quotes: `remark: "% of load"`.',
    )


def _block_header(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        "Found text right after `|` or `>`; expected the text to begin on the next line.",
        'Begin the text on the next line, indented; or put it in quotes: `remark: "a | b"`.',
    )


def _other(trouble: _Trouble) -> _Words:
    return (
        trouble.at,
        f"The text is no valid YAML here: {trouble.said}.",
        "Compare with a line of the right form: `gauge: 4 AWG`.",
    )


# The first entry whose sign occurs in the library's words tells it; the last one always does.
_KNOWN: tuple[tuple[str, Callable[[_Trouble], _Words]], ...] = (
    ("found character that cannot start any token", _cannot_start),
    ("found a tab character", _tab),
    ("mapping values are not allowed", _colon),
    ("could not find expected ':'", _no_colon),
    ("found unexpected ':'", _tight_colon),
    ("did not find expected ',' or", _bracket),
    ("found unexpected end of stream", _quote),
    ("found unexpected document indicator", _quote),
    ("did not find expected key", _no_key),
    ("did not find expected '-' indicator", _no_dash),
    ("block sequence entries are not allowed", _dash),
    ("did not find expected node content", _no_content),
    ("found unknown escape character", _escape),
    ("found invalid Unicode character escape code", _no_character),
    ("did not find expected hexdecimal number", _no_character),
    ("maximum nesting depth", _deep),
    ("but found another document", _documents),
    ("did not find expected <document start>", _outside),
    ("directive", _directive),
    ("found incompatible YAML document", _directive),
    ("did not find expected comment or line break", _block_header),
    ("", _other),
)
