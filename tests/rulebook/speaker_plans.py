"""Small plans of amplifiers and their speakers, sound as they stand."""

from __future__ import annotations

HEAD = "plan: 1\ntitle: speakers\nscope: electrical\nvehicle: {system: 12 V}\nnodes:\n"
# A mono amplifier with two pairs of posts, a driver of 2 ohm on each.
POSTS = f"""{HEAD}\
  amp: {{kind: amp, class: D, outputs: {{sub: {{channels: 1, power: 800 W, at: 1 ohm, lowest: 1 ohm, load: 1 ohm}}}}}}
  one: {{kind: speaker, type: sub, coils: 1, impedance: 2 ohm, power: 400 W}}
  two: {{kind: speaker, type: sub, coils: 1, impedance: 2 ohm, power: 400 W}}
wires:
  a: {{from: amp.sub-1-positive, to: one.positive}}
  b: {{from: amp.sub-1-negative, to: one.negative}}
  c: {{from: amp.sub-2-positive, to: two.positive}}
  d: {{from: amp.sub-2-negative, to: two.negative}}
"""
# A crossover with one negative for both bands, as many are built.
SET = f"""{HEAD}\
  amp: {{kind: amp, class: AB, outputs: {{
    left: {{power: 60 W, at: 4 ohm, lowest: 4 ohm, high_pass: 60 Hz, high_pass_locked: true}},
    right: {{power: 60 W, at: 4 ohm, lowest: 4 ohm, high_pass: 60 Hz, high_pass_locked: true}}}}}}
  x: {{kind: crossover}}
  cone: {{kind: speaker, type: woofer, coils: 1, impedance: 4 ohm, power: 60 W, diameter: 165 mm}}
  dome: {{kind: speaker, type: tweeter, coils: 1, impedance: 4 ohm, power: 20 W, series_capacitor: false}}
wires:
  a: {{from: amp.left-positive, to: x.in-positive}}
  b: {{from: amp.left-negative, to: x.in-negative}}
  c: {{from: x.out-low-positive, to: cone.positive}}
  d: {{from: x.out-negative, to: cone.negative}}
  e: {{from: x.out-high-positive, to: dome.positive}}
  f: {{from: x.out-negative, to: dome.negative}}
"""
# A tweeter beside a woofer on one channel.
BESIDE = SET[: SET.index("  a: ")] + "".join(
    f"  {name}-{pole}: {{from: amp.left-{pole}, to: {name}.{pole}}}\n"
    for name in ("cone", "dome")
    for pole in ("positive", "negative")
)
