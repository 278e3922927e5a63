"""What a rule may ask about the level of the music where it enters a part, and where it comes from."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.graph.link import Vertex
from planlint.graph.signals import amp_entry, channel_of, output_entry
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Converter, Radio
from planlint.plan.nodes import Node
from planlint.text.places import Path
from planlint.trade import levels


def output_level(case: Case, at: Vertex, *, upper: bool = True) -> float:
    """Return the highest clean RMS voltage in V that an output gives; of a range the upper or the lower end.

    That of an added amplifier is sqrt(P R) of its rating. Raises UnknownError for what is not stated, UnfitError for data.
    """
    node, channel = case.layout.network.owners[at], channel_of(at)
    if isinstance(node, Radio):
        entry = output_entry(node, channel)
        if entry is None:
            raise UnknownError((*node.path, "outputs", channel, "highest"))
        if entry.type == "bus":
            raise UnfitError
        return float(value_of(entry, "highest", "highest", upper=upper))
    if isinstance(node, Converter):
        return float(value_of(node, "output_highest", "output_highest", upper=upper))
    output = amp_entry(node, channel) if isinstance(node, Amp) else None
    if output is None:
        raise UnfitError
    power, load = (value_of(output, field, field, upper=upper) for field in ("power", "at"))
    return levels.rms_voltage(power, load)


def input_level(case: Case, node: Node) -> float:
    """Return the highest clean voltage in V that any output wired to the part's inputs gives, RMS.

    Raises UnknownError for a level that is not stated, unless a known one already is more than the inputs take.
    """
    known, missing = _levels(case, node, upper=True)
    highest = max(known, default=0.0)
    if missing and highest <= float(value_of(node, "input_highest", "input_highest", upper=False)):
        raise UnknownError(missing)
    return highest


def weakest_level(case: Case, node: Node) -> float:
    """Return the lowest of the voltages in V that the outputs wired to the part's inputs give at their clean highest, RMS.

    Raises UnknownError for a level that is not stated, unless a known one already is less than the inputs need.
    """
    known, missing = _levels(case, node, upper=False)
    lowest = min(known, default=0.0)
    if missing and (not known or lowest >= float(value_of(node, "input_lowest", "input_lowest"))):
        raise UnknownError(missing)
    return lowest


def _levels(case: Case, node: Node, *, upper: bool) -> tuple[list[float], Path | None]:
    """Return the known levels at a part's inputs, and the first field that is missing for one. Raises UnfitError without
    a source."""
    known, missing = [], None
    for at in sources_of(case, node):
        try:
            known.append(output_level(case, at, upper=upper))
        except UnknownError as error:
            missing = missing or error.path
        except UnfitError:
            continue
    if not known and missing is None:
        raise UnfitError
    return known, missing


def sources_of(case: Case, node: Node) -> tuple[Vertex, ...]:
    """Return the outputs, sorted, that wires join to the inputs of a part."""
    return case.once(("signal sources", node.name), lambda: _sources_of(case, node))


def _sources_of(case: Case, node: Node) -> tuple[Vertex, ...]:
    signals = case.layout.signals
    found = {out for at in signals.inputs.get(node.name, ()) for out in signals.joined[at].outputs}
    return tuple(sorted(found))


def signal_sources(case: Case, node: Node) -> tuple[Node, ...]:
    """Return the parts whose outputs wires join to the inputs of a part."""
    found = {owner.name: owner for at in sources_of(case, node) if (owner := case.layout.network.owners[at])}
    return tuple(found[name] for name in sorted(found))


def loudest_source(case: Case, node: Node) -> Node | None:
    """Return the part that gives the highest level to the inputs."""
    known = [(_known(case, at), at) for at in sources_of(case, node)]
    loudest = max(known, default=(0.0, ""))[1]
    return case.layout.network.owners.get(loudest)


def weakest_source(case: Case, node: Node) -> Node | None:
    """Return the part that gives the lowest level to the inputs."""
    known = [(volts, at) for at in sources_of(case, node) if (volts := _known(case, at, upper=False)) > 0.0]
    return case.layout.network.owners[min(known)[1]] if known else None


def _known(case: Case, at: Vertex, *, upper: bool = True) -> float:
    try:
        return output_level(case, at, upper=upper)
    except (UnknownError, UnfitError):
        return 0.0


def overdrive(case: Case, node: Node) -> str:
    """Return by how many decibels the level at the inputs is more than they take."""
    most = float(value_of(node, "input_highest", "input_highest", upper=False))
    return f"{levels.decibels(input_level(case, node) / most):.1f} dB" if most > 0 else "any amount"
