"""What a rule may ask about a plan's own papers: its consents, its texts, and what it accepts."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from planlint.facts.case import Case, Found
from planlint.facts.channel import channels
from planlint.facts.device import devices
from planlint.frozen import frozen
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.model import About, Acceptance
from planlint.plan.values import ORIGINAL
from planlint.plan.work import Document
from planlint.text.places import Path
from planlint.trade.wording import vague_words_in


def consents(case: Case, _about: About) -> tuple[Document, ...]:
    """Return the consents among the plan's documents. Raises UnknownError where it has no section of documents."""
    if case.plan.documents is None:
        raise UnknownError(("documents",))
    return tuple(one for one in case.plan.documents if one.document == "consent")


def consent(case: Case, about: About) -> str:
    """Return what the documents hold of a consent: `signed`, `unsigned` where none says who signed it, or `missing`."""
    found = consents(case, about)
    if not found:
        return "missing"
    return "signed" if any(_says(one.signed_by) for one in found) else "unsigned"


def _says(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip())


@frozen
class Text:
    """A text that somebody wrote into the plan: of which field of what, in which section, and its words."""

    path: Path
    name: str
    section: str
    words: str


def texts(case: Case) -> tuple[Text, ...]:
    """Return what the plan says in words of added nodes, of holes, mounts and steps."""
    return case.once("texts", lambda: tuple(_texts(case)))


def _texts(case: Case) -> Iterator[Text]:
    plan = case.plan
    added = [node for node in plan.nodes if node.factory is not True]
    sections = (("nodes", added), ("holes", plan.holes), ("mounts", plan.mounts), ("steps", plan.steps))
    for section, elements in sections:
        for element in elements or ():
            # What it holds of further fields stands beside it.
            parts: list[Any] = [element, getattr(element, "fasteners", None), getattr(element, "grommet", None)]
            for part in parts:
                kind: Any = type(part)
                for attribute, key in _text_fields(kind):
                    words = getattr(part, attribute)
                    if isinstance(words, str):
                        name = element.name if section != "steps" else f"step {int(element.path[1]) + 1}"
                        told = f"the {key.replace('_', ' ')} of {name}"
                        yield Text(path=(*part.path, key), name=told, section=section, words=words)


# Names of elements, which the reader looks up.
_NAMES = ("name", "zone", "enclosure", "precharge", "resistance_to")


@cache
def _text_fields(cls: type) -> tuple[tuple[str, str], ...]:
    """Return the fields of an element that hold free text: attribute, and name in the file."""
    fields = getattr(cls, "__dataclass_fields__", {})
    return tuple(
        (name, ORIGINAL.get(name, name))
        for name, entry in fields.items()
        if entry.metadata.get("schema", {}).get("$ref") == "#/$defs/text" and name not in _NAMES
    )


def section(_case: Case, text: Text) -> str:
    """Return the section of the plan in which the text stands."""
    return text.section


def vague_words(_case: Case, text: Text) -> str | None:
    """Return the words of the text that nobody can check, None where it has none."""
    return vague_words_in(text.words)


def accepted_rule(_case: Case, acceptance: Acceptance) -> str:
    """Return the rule whose finding is accepted."""
    return acceptance.rule


def omission(_case: Case, acceptance: Acceptance) -> str | None:
    """Return what the acceptance does not say of reason, date and who takes responsibility, None where it says all."""
    said = (("who accepts it", acceptance.by), ("a date", acceptance.date))
    lacks = [] if is_reason(acceptance.reason) else ["a reason"]
    return " and ".join(lacks + [words for words, value in said if not _says(value)]) or None


# What people write into a field that must not stay empty.
_NO_REASON = frozenset(
    {
        *("na", "none", "no", "nil", "null", "nothing", "no reason", "not stated", "unknown", "tbd", "todo"),
        *("ok", "okay", "yes", "fine"),
    }
)


def is_reason(value: object) -> bool:
    """Say whether a text gives a reason: it has letters or digits, and is no word for nothing."""
    kept = "".join(one for one in str(value).casefold() if one.isalnum() or one.isspace()).split()
    return _says(value) and bool(kept) and " ".join(kept) not in _NO_REASON


def can_be_accepted(case: Case, acceptance: Acceptance) -> bool:
    """Say whether somebody may take responsibility for the finding that is accepted."""
    found = _found(case)
    key = (acceptance.rule, acceptance.subject)
    return found.findings.get(key, found.rules.get(acceptance.rule, True))


def rule_known(case: Case, acceptance: Acceptance) -> bool:
    """Say whether there is a rule of the name that the acceptance gives."""
    return acceptance.rule in _found(case).rules


def subject_known(case: Case, acceptance: Acceptance) -> bool:
    """Say whether the plan has an element of the name that the acceptance gives."""
    return acceptance.subject in case.once("names", lambda: _names(case))


def _names(case: Case) -> frozenset[str]:
    plan, found = case.plan, _found(case)
    sections = (plan.nodes, plan.wires, plan.holes or (), plan.mounts or (), texts(case), devices(case), channels(case))
    own = {element.name for elements in sections for element in elements}
    return frozenset(
        own | {plan.vehicle.name, plan.about.name} | {subject for _, subject in (*found.findings, *found.gaps)}
    )


def still_found(case: Case, acceptance: Acceptance) -> bool:
    """Say whether the rule is broken by the element for which it is accepted.

    Raises UnknownError where that cannot be checked.
    """
    key = (acceptance.rule, acceptance.subject)
    found = _found(case)
    if key in found.findings:
        return True
    if key in found.gaps:
        raise UnknownError(found.gaps[key])
    return False


def expired(case: Case, acceptance: Acceptance) -> bool:
    """Say whether its last day is past. Raises UnfitError where no day is given to judge by, or it has no last day."""
    if case.today is None or not isinstance(acceptance.until, str):
        raise UnfitError
    return acceptance.until < case.today


def _found(case: Case) -> Found:
    if case.found is None:
        raise UnfitError
    return case.found
