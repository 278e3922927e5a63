"""A plan with fifty mistakes: all are told in one run, each at its own line, none caused by another."""

from __future__ import annotations

import re

from planlint.judge.judge import judge
from planlint.judge.result import Verdict

# Each line with a mistake says so in a remark, with the id under which it must be told.
PLAN = """\
plan: 1
title: Fifty mistakes
autor: a hurried student                                        # wrong: plan-format
date: 2031-13-01                                                # wrong: plan-format
state: finished                                                 # wrong: plan-format
vehicle:
  system: 12                                                    # wrong: unit-ambiguous
  body: steal-unibody                                           # wrong: plan-format
  body_resistance: 2 mV                                         # wrong: plan-format
  start_stop: maybe                                             # wrong: plan-format
  alternator: {raiting: 110 A}                                  # wrong: plan-format
  restraints:
    wait: 10 minuets                                            # wrong: plan-format
    zones: [column, seat-sides]                                 # wrong: plan-format
customer: {engine_off: 1}                                       # wrong: unit-ambiguous
zones:
  - {name: engine-bay}
  - {name: cabin, ambience: 40 C}                               # wrong: plan-format
  - {name: cargo}
  - {name: engine-bay}                                          # wrong: id-duplicate
defaults:
  wire: {material: cooper}                                      # wrong: plan-format
  fuse: {voltage: 32 volts}                                     # wrong: plan-format
groups:
  power: {gauge: 4 GAW}                                         # wrong: plan-format
nodes:
  battery: {kind: battery, zone: engine-bey}                    # wrong: plan-format
  Main Fuse: {kind: fuse}                                       # wrong: plan-format
  spare: {kind: fues}                                           # wrong: plan-format
  nothing: {zone: cargo}                                        # wrong: required-field-missing
  fuse: {kind: fuse, rating: 80}                                # wrong: unit-ambiguous
  small-fuse: {kind: fuse, family: blades}                      # wrong: plan-format
  amp: {kind: amp, class: d}                                    # wrong: plan-format
  amp-2:
    kind: amp
    outputs:
      sub: {power: 600 ohm}                                     # wrong: plan-format
      top: {impedance: 4 ohm}                                   # wrong: plan-format
    fuses: 30 A                                                 # wrong: plan-format
    mass: -3 kg                                                 # wrong: plan-format
  stud: {kind: ground-point, lugs: [ground-2, grond]}           # wrong: plan-format
  stud-2: {kind: ground-point, fuel: 20}                        # wrong: unit-ambiguous
  woofer: {kind: speaker, coils: two}                           # wrong: plan-format
  sub: {kind: speaker}
  sub: {kind: speaker}                                          # wrong: id-duplicate
wires:
  front: {from: battery.positiv, to: fuse.line}                 # wrong: endpoint-unknown
  rear: {from: fuse.load, to: amplifier.power}                  # wrong: endpoint-unknown
  ground: {from: amp.ground, too: stud}                         # wrong: plan-format
  ground-2: {from: amp-2.ground, to: stud, group: powr}         # wrong: plan-format
  feed-2: {to: amp-2.power}                                     # wrong: required-field-missing
  short: {from: amp.input-left, to: amp-2.input-left, length: 3..2 m}   # wrong: plan-format
  long: {from: amp.input-right, to: amp-2.input-right, length: 3 A}     # wrong: plan-format
  loop:
    from: battery.positive
    to: fuse.line
    ends: {from: {type: rings}}                                 # wrong: plan-format
    route:
      - {length: 1 m}                                           # wrong: required-field-missing
      - {zone: cabin, along: sil}                               # wrong: plan-format
      - {through: floor-hol}                                    # wrong: plan-format
holes:
  floor-hole: {diameter: ten mm}                                # wrong: plan-format
  wall-hole: {finish: [debur]}                                  # wrong: plan-format
mounts:
  board: {holds: ampp}                                          # wrong: plan-format
steps:
  - {do: disconnect}                                            # wrong: plan-format
  - {of: battery}                                               # wrong: required-field-missing
  - {do: drill, after: chek-back}                               # wrong: plan-format
tests:
  - {test: supply-drop, limit: {at_most: 0.5}}                  # wrong: unit-ambiguous
documents:
  - {document: consent, date: soon}                             # wrong: plan-format
"""
MARK = re.compile(r"# wrong: ([a-z-]+)$")


def test_all_mistakes_of_a_file_are_told_at_once_each_at_its_own_line() -> None:
    """Misspelt names, wrong kinds and types, missing units and fields, doubled ids, unknown ends, dangling names."""
    planted = {number: mark.group(1) for number, line in enumerate(PLAN.splitlines(), 1) if (mark := MARK.search(line))}
    assert len(planted) >= 50
    result = judge(PLAN.encode(), "student.plan.yaml")
    assert result.verdict is Verdict.UNREADABLE
    told = [(finding.place.span.line, finding.rule) for finding in result.findings]
    assert sorted(told) == sorted(planted.items())


def test_a_section_that_says_none_bears_a_mistake_elsewhere() -> None:
    """A word in place of a list is no list with gaps."""
    text = "plan: 1\nnodes: {battery: {kind: battery, foo: 1}}\nparts: none\nsteps: none\nholes: none\n"
    (finding,) = judge(text.encode(), "x").findings
    assert (finding.rule, "`foo`" in finding.message) == ("plan-format", True)


def test_every_mistake_says_what_was_found_and_what_to_do() -> None:
    """A message without a remedy, or one that speaks of the machinery, helps nobody."""
    for finding in judge(PLAN.encode(), "student.plan.yaml").findings:
        assert re.match(r"Found ", finding.message), finding.message
        assert finding.remedy and finding.remedy[0].isupper(), finding.message
        assert "None" not in finding.message and "schema" not in finding.message
