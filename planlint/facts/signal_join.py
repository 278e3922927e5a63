"""What a rule may ask about what signal wires join: outputs with each other and with ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from planlint.facts.case import Case
from planlint.frozen import frozen
from planlint.graph.link import BODY_HUB, Link, LinkKind, Vertex
from planlint.graph.nets import Net
from planlint.graph.signals import Joined, amp_entry, channel_of, output_entry, pole_of, terminal_of
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.graph.users import ground_vertex
from planlint.plan.audio import Amp, Converter, Radio
from planlint.plan.kinds import Role
from planlint.plan.model import Wire
from planlint.plan.nodes import Node
from planlint.text.places import Path

_GROUNDS = frozenset({Role.NEGATIVE, Role.BODY, Role.RETURN})


@frozen
class Grounding:
    """How a wire grounds a bridged speaker output, in words (None: not at all), and the part by whose input it does.

    `missing` is the field that would tell, where none is stated.
    """

    output: str
    how: str | None
    through: Node | None = None
    missing: Path | None = None


def _grounding(case: Case, wire: Wire) -> Grounding:
    found = case.once("groundings", lambda: _groundings(case)).get(wire.name)
    if found is None:
        raise UnfitError
    return found


def live_speaker_wire(case: Case, wire: Wire) -> bool:
    """Say whether a wire is the first to bring a bridged speaker output of the vehicle's into an added part, or joins one to
    ground or to another channel."""
    return wire.name in case.once("groundings", lambda: _groundings(case))


def grounding(case: Case, wire: Wire) -> str | None:
    """Return how the wire ties a speaker output, both of whose wires are live, to ground, None where it does not.

    An output of unknown type counts as such a one. Raises UnknownError where it is not stated whether an input measures the
    difference of both wires, UnfitError for a wire that carries no such output into another part.
    """
    found = _grounding(case, wire)
    if found.missing:
        raise UnknownError(found.missing)
    return found.how


def bridged_output(case: Case, wire: Wire) -> str:
    """Return the speaker output of the vehicle's that the wire carries, both of whose wires are live."""
    return _grounding(case, wire).output


def grounding_part(case: Case, wire: Wire) -> Node | None:
    """Return the part by whose input the wire is grounded."""
    return _grounding(case, wire).through


def _groundings(case: Case) -> Mapping[str, Grounding]:
    """Return by wire how it grounds a bridged output: of the wires into one part the first stands for all."""
    found = dict(_into_parts(case))
    found.update(_between_channels(case))
    found.update(_into_ground(case))
    return found


def _live(case: Case, at: Vertex) -> bool:
    """Say whether a vertex is a speaker output of the vehicle's both of whose wires are live; so where nobody says."""
    owner = case.layout.network.owners[at]
    if not isinstance(owner, Radio) or Role.RADIO_SPEAKER not in case.layout.network.roles[at]:
        return False
    entry = output_entry(owner, channel_of(at))
    return entry is None or entry.type is None or entry.type == "speaker-bridged"


def _named(case: Case, at: Vertex) -> str:
    return f"{terminal_of(at)} of {case.layout.network.owners[at].name}"


def _into_ground(case: Case) -> Iterator[tuple[str, Grounding]]:
    """Yield the wires that join a live speaker wire to ground outright; the drawing counts them as slips."""
    here, signals = case.layout.network, case.layout.signals
    for name in sorted(case.layout.conflicts):
        for near, far in (here.ends[name], here.ends[name][::-1]):
            joined = signals.joined.get(near)
            outputs = joined.outputs if joined else (near,) if _is_output(case, near) else ()
            live = [at for at in outputs if _live(case, at)]
            if live and _GROUNDS & _roles_around(case, far):
                yield name, Grounding(output=_named(case, live[0]), how=f"to ground at {here.owners[far].name}")


def _is_output(case: Case, at: Vertex) -> bool:
    return Role.RADIO_SPEAKER in case.layout.network.roles.get(at, ())


def _roles_around(case: Case, at: Vertex) -> set[Role]:
    here = case.layout.network
    net = here.net_of.get(at)
    return {role for one in (net.vertices if net else (at,)) for role in here.roles.get(one, ())}


def _between_channels(case: Case) -> Iterator[tuple[str, Grounding]]:
    """Yield for each negative output that one net joins with an earlier one the first added wire on the way there."""
    signals = case.layout.signals
    for joined in {id(one): one for one in signals.joined.values()}.values():
        negatives = [at for at in joined.outputs if pole_of(at) == "negative" and _live(case, at)]
        for at in negatives[1:]:
            for wire in _joining(case, at, negatives[0]):
                yield wire.name, Grounding(output=_named(case, at), how=f"to {_named(case, negatives[0])}")


def _joining(case: Case, start: Vertex, end: Vertex) -> tuple[Wire, ...]:
    """Return the first added wire on a shortest way between two joined vertices, the maker's own where none is added."""
    here = case.layout.network
    before: dict[Vertex, Link | None] = {start: None}
    front = [start]
    for at in front:
        for other, link in sorted(here.adjacent.get(at, ()), key=lambda pair: pair[1].key):
            if other not in before and link.kind is LinkKind.WIRE:
                before[other] = link
                front.append(other)
    wires: list[Wire] = []
    at = end
    while (step := before[at]) is not None:
        wires += [wire for wire in here.wires_at[step.ends[0]] if wire.name == step.name]
        at = step.ends[0] if step.ends[1] == at else step.ends[1]
    wires.reverse()
    return tuple([wire for wire in wires if wire.factory is not True] or wires)[:1]


def _into_parts(case: Case) -> Iterator[tuple[str, Grounding]]:
    """Yield for each added part the first wire by which the negative of a live speaker output enters it."""
    signals = case.layout.signals
    for name in sorted(signals.inputs):
        part = case.nodes[name]
        if not isinstance(part, (Amp, Converter)):
            continue
        entering = sorted(
            (wire.name, live)
            for at in signals.inputs[name]
            if (live := _live_source(case, at, signals.joined[at])) is not None
            for wire in case.layout.network.wires_at.get(at, ())
        )
        if entering:
            wire, live = entering[0]
            how, missing = _through(case, part)
            yield wire, Grounding(output=_named(case, live), how=how, through=part, missing=missing)


def _live_source(case: Case, at: Vertex, joined: Joined) -> Vertex | None:
    """Return the live output that reaches an input's ground side, if any; a terminal without a pole has both sides."""
    if pole_of(at) == "positive":
        return None
    grounding = [out for out in joined.outputs if pole_of(at) or pole_of(out) != "positive"]
    return next((out for out in grounding if _live(case, out)), None)


def _through(case: Case, part: Amp | Converter) -> tuple[str | None, Path | None]:
    """Return how the ground side of a part's input is grounded, in words, or the field that would tell."""
    if not _reaches_ground(case, part) or part.input_balanced is True:
        return None, None
    if part.input_balanced is None:
        return None, (*part.path, "input_balanced")
    return (f"to ground through the input of {part.name}" if part.input_balanced is False else None), None


def _reaches_ground(case: Case, part: Node) -> bool:
    """Say whether the inner ground of a part is grounded: by its own ground terminal, or by the shields of its outputs."""
    here, signals = case.layout.network, case.layout.signals
    ahead, seen = [part], {part.name}
    for one in ahead:
        ground = ground_vertex(one)
        if ground and ground in here.wires_at and _grounded(case, here.net_of.get(ground)):
            return True
        for at in (at for out in signals.outputs.get(one.name, ()) for at in signals.joined[out].inputs):
            owner = here.owners[at]
            if isinstance(owner, (Amp, Converter)) and owner.input_balanced is not True and owner.name not in seen:
                seen.add(owner.name)
                ahead.append(owner)
    return False


def _grounded(case: Case, net: Net | None) -> bool:
    if net is None:
        return False
    roles = case.layout.network.roles
    return BODY_HUB in net.vertices or any(
        role in (Role.NEGATIVE, Role.BODY) for at in net.vertices for role in roles.get(at, ())
    )


def ground_point_near(case: Case, wire: Wire) -> str:
    """Return an added ground point in the zone to which the wire leads, by name. Raises UnfitError where there is none."""
    zone = case.nodes[wire.to.node].zone
    points = (one for one in case.plan.nodes if one.kind == "ground-point" and not one.factory and one.zone == zone)
    found = min((one.name for one in points), default=None)
    if found is None:
        raise UnfitError
    return found


def joined_speaker_outputs(case: Case, node: Node) -> str | None:
    """Return the outputs of amplifiers or of the radio that wires join, where one of the part's is the first of them."""
    return _joined(case, node, speaker=True)


def joined_line_outputs(case: Case, node: Node) -> str | None:
    """Return the line outputs that wires join, where one of the part's is the first of them."""
    return _joined(case, node, speaker=False)


def _joined(case: Case, node: Node, *, speaker: bool) -> str | None:
    signals = case.layout.signals
    mine = signals.outputs.get(node.name, ())
    if not mine:
        raise UnfitError
    for at in mine:
        outputs = signals.joined[at].outputs
        if at != outputs[0] or len(outputs) < 2:
            continue
        group = _different(case, outputs)
        if len(group) > 1 and speaker is any(_at_speaker_level(case, one) for one in group):
            return " and ".join(_named(case, one) for one in group)
    return None


def _at_speaker_level(case: Case, at: Vertex) -> bool:
    return bool({Role.RADIO_SPEAKER, Role.SPEAKER} & set(case.layout.network.roles[at]))


def _different(case: Case, outputs: tuple[Vertex, ...]) -> list[Vertex]:
    """Return one terminal for each channel, where terminals of different channels are joined that are not both negative."""
    if all(pole_of(at) == "negative" for at in outputs):
        return []
    found: dict[tuple[str, str], Vertex] = {}
    for at in outputs:
        found.setdefault(_channel(case, at), at)
    return list(found.values())


def _channel(case: Case, at: Vertex) -> tuple[str, str]:
    """Return the channel of an output; an amplifier's output of one channel may have several pairs of terminals."""
    owner, channel = case.layout.network.owners[at], channel_of(at)
    if isinstance(owner, Amp):
        entry = amp_entry(owner, channel)
        if entry and entry.channels in (None, 1):
            return owner.name, entry.name
    return owner.name, channel


def one_output(case: Case, node: Node) -> str:
    """Return the first positive output terminal of the part. Raises UnfitError where it has none wired."""
    return _positives(case, node)[0]


def other_output(case: Case, node: Node) -> str:
    """Return a positive output terminal of another channel of the part. Raises UnfitError where it has one channel."""
    first, *rest = _positives(case, node)
    found = next((at for at in rest if _channel(case, at) != _channel(case, first)), None)
    if found is None:
        raise UnfitError
    return found


def _positives(case: Case, node: Node) -> list[Vertex]:
    found = [at for at in case.layout.signals.outputs.get(node.name, ()) if pole_of(at) != "negative"]
    if not found:
        raise UnfitError
    return found
