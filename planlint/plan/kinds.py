"""The kinds of node: class, terminals, and what each terminal is for.

A terminal name that ends in `-*` stands for any name with that beginning. The first terminal of a kind with one terminal may
be left out in a wire's end.
"""

from __future__ import annotations

from enum import StrEnum
from functools import lru_cache

from planlint.frozen import frozen
from planlint.plan.audio import Amp, Converter, Crossover, Enclosure, Processor, Radio, Speaker, Tap
from planlint.plan.nodes import Alternator, Battery, Capacitor, Charger, ControlSource, FactoryCircuit, Load, Node
from planlint.plan.runs import (
    BodyBond,
    Breaker,
    Bus,
    Diode,
    Distribution,
    Fuse,
    GroundPoint,
    Isolator,
    Relay,
    Splice,
    Switch,
)


class Role(StrEnum):
    """What a terminal is for, and so what may be joined to it."""

    SOURCE = "a positive source"
    NEGATIVE = "a battery negative"
    POWER = "a supply input"
    RETURN = "a ground terminal"
    BODY = "the vehicle body"
    TURN_ON = "a turn-on input"
    TURN_ON_SOURCE = "a turn-on source"
    INPUT = "a signal input"
    LINE = "a line-level output"
    RADIO_SPEAKER = "a speaker output of the radio"
    SPEAKER = "a speaker connection"
    DATA = "a data connection"
    THROUGH = "a joint"


@frozen
class Kind:
    """One kind of node: the dataclass that holds it, its terminals with their roles, and which of them must be wired."""

    node: type[Node]
    terminals: tuple[tuple[str, Role], ...]
    required: tuple[str, ...] = ()

    @property
    def only_terminal(self) -> str | None:
        """The terminal that a wire's end may leave out."""
        return self.terminals[0][0] if len(self.terminals) == 1 else None


_LINE_LOAD = (("line", Role.THROUGH), ("load", Role.THROUGH))
_CONSUMER = (("power", Role.POWER), ("ground", Role.RETURN))
_SIGNAL_DEVICE = (
    *_CONSUMER,
    ("turn-on-in", Role.TURN_ON),
    ("turn-on-out", Role.TURN_ON_SOURCE),
    ("input-*", Role.INPUT),
    ("output-*", Role.LINE),
    ("data", Role.DATA),
)
_RADIO = Kind(
    node=Radio,
    terminals=(
        *_CONSUMER,
        ("turn-on", Role.TURN_ON_SOURCE),
        ("line-*", Role.LINE),
        ("speaker-*", Role.RADIO_SPEAKER),
        ("input-*", Role.INPUT),
        ("data", Role.DATA),
    ),
)

KINDS: dict[str, Kind] = {
    "battery": Kind(
        node=Battery,
        terminals=(("positive", Role.SOURCE), ("negative", Role.NEGATIVE)),
        required=("positive",),
    ),
    "alternator": Kind(
        node=Alternator,
        terminals=(("output", Role.SOURCE), ("case", Role.BODY)),
        required=("output",),
    ),
    "fuse": Kind(node=Fuse, terminals=_LINE_LOAD, required=("line", "load")),
    "breaker": Kind(node=Breaker, terminals=_LINE_LOAD, required=("line", "load")),
    "switch": Kind(node=Switch, terminals=_LINE_LOAD, required=("line", "load")),
    "diode": Kind(node=Diode, terminals=_LINE_LOAD, required=("line", "load")),
    "isolator": Kind(
        node=Isolator,
        terminals=(*_LINE_LOAD, ("trigger", Role.TURN_ON), ("ground", Role.RETURN)),
        required=("line", "load"),
    ),
    "relay": Kind(
        node=Relay,
        terminals=(
            ("coil-positive", Role.TURN_ON),
            ("coil-negative", Role.RETURN),
            ("common", Role.THROUGH),
            ("normally-open", Role.THROUGH),
            ("normally-closed", Role.THROUGH),
        ),
        required=("coil-positive", "coil-negative", "common"),
    ),
    "distribution": Kind(
        node=Distribution,
        terminals=(
            ("in", Role.THROUGH),
            ("in-*", Role.THROUGH),
            ("out", Role.THROUGH),
            ("out-*", Role.THROUGH),
        ),
        required=("in",),
    ),
    "bus": Kind(node=Bus, terminals=(("stud", Role.THROUGH),), required=("stud",)),
    "splice": Kind(node=Splice, terminals=(("joint", Role.THROUGH),), required=("joint",)),
    "amp": Kind(
        node=Amp,
        terminals=(*_CONSUMER, ("turn-on", Role.TURN_ON), ("input-*", Role.INPUT)),
        required=("power",),
    ),
    "converter": Kind(node=Converter, terminals=_SIGNAL_DEVICE, required=("power",)),
    "processor": Kind(node=Processor, terminals=_SIGNAL_DEVICE, required=("power",)),
    "charger": Kind(
        node=Charger,
        terminals=(
            ("input", Role.POWER),
            ("output", Role.SOURCE),
            ("ground", Role.RETURN),
            ("trigger", Role.TURN_ON),
        ),
        required=("input", "output"),
    ),
    "radio": _RADIO,
    "factory-amp": _RADIO,
    "tap": Kind(
        node=Tap,
        terminals=(
            ("positive", Role.THROUGH),
            ("negative", Role.THROUGH),
            ("out-positive", Role.THROUGH),
            ("out-negative", Role.THROUGH),
        ),
    ),
    "ground-point": Kind(node=GroundPoint, terminals=(("body", Role.BODY),), required=("body",)),
    "body-bond": Kind(node=BodyBond, terminals=(("a", Role.BODY), ("b", Role.BODY))),
    "capacitor": Kind(
        node=Capacitor,
        terminals=(("positive", Role.POWER), ("negative", Role.RETURN)),
        required=("positive",),
    ),
    "speaker": Kind(
        node=Speaker,
        terminals=(("positive", Role.SPEAKER), ("negative", Role.SPEAKER), ("coil-*", Role.SPEAKER)),
    ),
    "crossover": Kind(node=Crossover, terminals=(("in-*", Role.SPEAKER), ("out-*", Role.SPEAKER))),
    "control-source": Kind(node=ControlSource, terminals=(("out", Role.TURN_ON_SOURCE),)),
    "factory-circuit": Kind(node=FactoryCircuit, terminals=(("out", Role.SOURCE),)),
    "enclosure": Kind(node=Enclosure, terminals=()),
    "load": Kind(node=Load, terminals=_CONSUMER, required=("power",)),
}


def terminal_role(node: Node, terminal: str) -> Role | None:
    """Return the role of a node's terminal; an amplifier's output poles bear the names of its outputs."""
    if isinstance(node, Amp) and terminal.endswith(("-positive", "-negative")):
        own = any(terminal.startswith(output.name + "-") for output in node.outputs)
        return Role.SPEAKER if own else role_of(node.kind, terminal)
    return role_of(node.kind, terminal)


@lru_cache(maxsize=4096)
def role_of(kind: str, terminal: str) -> Role | None:
    """Return the role of a terminal of a kind, or None where there is no such terminal."""
    for name, role in KINDS[kind].terminals:
        if name == terminal or (name.endswith("*") and name[:-1] < terminal and terminal.startswith(name[:-1])):
            return role
    return None


def terminal_names(node: Node) -> tuple[str, ...]:
    """Return the terminals that a person may write for this node, for messages."""
    names = tuple(name for name, _ in KINDS[node.kind].terminals)
    if isinstance(node, Amp):
        names += tuple(f"{output.name}-{pole}" for output in node.outputs for pole in ("positive", "negative"))
    return names
