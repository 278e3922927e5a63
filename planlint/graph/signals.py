"""The way of the music through the wires: which outputs reach which inputs, by the terminals joined in one net."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.graph.network import Network
from planlint.plan.audio import Amp, Output, Radio, RadioOutput, Tap
from planlint.plan.kinds import Role
from planlint.plan.nodes import Node

_POLES = ("-positive", "-negative")
_Entry = TypeVar("_Entry", Output, RadioOutput)


@frozen
class Joined:
    """The ends of music that one net joins, each sorted: outputs, inputs, and the voice coils of drivers."""

    outputs: tuple[Vertex, ...]
    inputs: tuple[Vertex, ...]
    coils: tuple[Vertex, ...]
    taps: tuple[Node, ...]


@frozen
class Signals:
    """All music of a plan: by vertex what its net joins, and by node its wired inputs and outputs, sorted."""

    joined: Mapping[Vertex, Joined]
    inputs: Mapping[str, tuple[Vertex, ...]]
    outputs: Mapping[str, tuple[Vertex, ...]]


def signals_of(network: Network) -> Signals:
    """Return how the wires of a network carry the music."""
    joined: dict[Vertex, Joined] = {}
    for net in network.nets:
        parts = [(at, part) for at in net.vertices if (part := _end_of(network, at))]
        if any(part != _COIL for _, part in parts):
            joined.update(dict.fromkeys(net.vertices, _join(network, sorted(parts), net.vertices)))
    every = sorted(joined)
    return Signals(joined=joined, inputs=_by_node(network, every, _INPUT), outputs=_by_node(network, every, _OUTPUT))


def _join(network: Network, parts: list[tuple[Vertex, str]], net: Iterable[Vertex]) -> Joined:
    taps = {owner.name for at in net if (owner := network.owners.get(at)) and isinstance(owner, Tap)}
    ends = {one: tuple(at for at, part in parts if part == one) for one in (_OUTPUT, _INPUT, _COIL)}
    return Joined(
        outputs=ends[_OUTPUT],
        inputs=ends[_INPUT],
        coils=ends[_COIL],
        taps=tuple(network.nodes[name] for name in sorted(taps)),
    )


def _by_node(network: Network, every: list[Vertex], part: str) -> dict[str, tuple[Vertex, ...]]:
    found: dict[str, list[Vertex]] = {}
    for at in every:
        if _end_of(network, at) == part:
            found.setdefault(network.owners[at].name, []).append(at)
    return {name: tuple(ends) for name, ends in found.items()}


_OUTPUT, _INPUT, _COIL = "output", "input", "coil"


def _end_of(network: Network, at: Vertex) -> str | None:
    roles = network.roles.get(at, ())
    if Role.LINE in roles or Role.RADIO_SPEAKER in roles:
        return _OUTPUT
    if Role.SPEAKER in roles:
        return _OUTPUT if isinstance(network.owners[at], Amp) else _COIL
    return _INPUT if Role.INPUT in roles else None


def terminal_of(at: Vertex) -> str:
    """Return the name of a vertex's terminal."""
    return at.partition(".")[2]


def channel_of(at: Vertex) -> str:
    """Return the terminal of a vertex without its pole: `speaker-rear` of `speaker-rear-negative`."""
    name = terminal_of(at)
    return next((name.removesuffix(pole) for pole in _POLES if name.endswith(pole)), name)


def pole_of(at: Vertex) -> str | None:
    """Return the pole of a vertex, None where its terminal names none and stands for both."""
    return next((pole[1:] for pole in _POLES if terminal_of(at).endswith(pole)), None)


def output_entry(radio: Radio, channel: str) -> RadioOutput | None:
    """Return what the plan says of the radio's output to which a channel belongs, None where it says nothing."""
    return _entry(radio.outputs, channel)


def amp_entry(amp: Amp, channel: str) -> Output | None:
    """Return the amplifier's output to which a channel belongs, None where there is none."""
    return _entry(amp.outputs, channel)


def _entry(outputs: tuple[_Entry, ...], channel: str) -> _Entry | None:
    fitting = [one for one in outputs if channel == one.name or channel.startswith(f"{one.name}-")]
    return max(fitting, key=lambda one: len(one.name), default=None)


def fed_by(channel: str, inputs: tuple[Vertex, ...]) -> tuple[Vertex, ...]:
    """Return the inputs of a part that feed one of its outputs: those named alike, or all where none is."""
    mine = tuple(at for at in inputs if _alike(channel, channel_of(at).removeprefix("input-")))
    return mine or inputs


def _alike(one: str, other: str) -> bool:
    return one == other or one.startswith(f"{other}-") or other.startswith(f"{one}-")
