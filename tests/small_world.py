"""A small plan and a few rules of its own, so that shipped rules change no test of reports."""

from __future__ import annotations

from planlint.rulebook.load import Rulebook, compile_rules
from planlint.shipped import ShippedFile

SOUND = """\
plan: 1
title: Small demo car
scope: electrical
nodes:
  battery: {kind: battery, capacity: 60 Ah}
  main-fuse: {kind: fuse, family: strip, rating: 80 A}
  sub-amp:
    kind: amp
    outputs:
      sub: {power: 300 W, at: 2 ohm, lowest: 2 ohm}
  stud: {kind: ground-point}
wires:
  feed-front: {from: battery.positive, to: main-fuse.line, gauge: 4 AWG, length: 15 cm, material: copper}
  feed-rear: {from: main-fuse.load, to: sub-amp.power, gauge: 4 AWG, length: 4 m, material: copper}
  amp-ground: {from: sub-amp.ground, to: stud, gauge: 4 AWG, length: 40 cm, material: copper}
"""
BROKEN = SOUND.replace("length: 4 m", "length: 40 m")
UNCHECKED = SOUND.replace(", length: 4 m", "")
UNREADABLE = SOUND.replace("length: 4 m", "length: 4")
WARNED = SOUND.replace(
    "main-fuse.load, to: sub-amp.power, gauge: 4 AWG", "main-fuse.load, to: sub-amp.power, gauge: 10 AWG"
)
ACCEPTED = BROKEN + (
    "accepted:\n  - {rule: cable-long, subject: feed-rear, reason: a bus, by: the foreman, until: '2031-05-31'}\n"
)

_RULE = """\
rule: {id}
title: {title}
about: wire
require:
  - {require}
settings: {settings}
mark: {mark}
says: "{says}"
asks: "{asks}"
because: It is so in the small world.
remedy: "{remedy}"
sources:
  - {{origin: common practice, cite: the small world}}
tier: 1
{extra}
faults:
  - {{set: {{length: 99 m}}, how_common: often}}
"""

_FILES = (
    {
        "id": "cable-long",
        "title": "Cable is long",
        "require": "{length: {at_most: {setting: longest}}, else: error}",
        "settings": "{longest: {value: 10 m, meaning: longest cable}}",
        "mark": "length",
        "says": "{subject} is {length} long; at most {longest}",
        "asks": "No cable is longer than {longest}.",
        "remedy": "Shorten {subject} to {longest}.",
        "extra": "acceptable: yes",
    },
    {
        "id": "cable-thin",
        "title": "Cable is thin",
        "require": "{gauge: {at_least: {setting: thinnest}}, else: warning}",
        "settings": "{thinnest: {value: 8 AWG, meaning: thinnest cable}}",
        "mark": "gauge",
        "says": "{subject} is {gauge}; at least {thinnest}",
        "asks": "Every cable is {thinnest} or thicker.",
        "remedy": "Take {thinnest} for {subject}.",
        "extra": "acceptable: no",
    },
)


def rule_file(**words: str) -> ShippedFile:
    """A rule file of the small world; `words` replace those of its first rule."""
    filled = {**_FILES[0], **words}
    return ShippedFile(name=f"rules/small/{filled['id']}.yaml", text=_RULE.format(**filled))


def small_rulebook() -> Rulebook:
    """The compiled rules of the small world."""
    book = compile_rules([rule_file(**words) for words in _FILES])
    assert not book.problems, [str(problem) for problem in book.problems]
    return book
