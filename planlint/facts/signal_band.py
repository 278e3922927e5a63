"""What a rule may ask about the band an amplifier is fed with: where it comes from, and what is missing from it."""

from __future__ import annotations

from collections.abc import Callable

from planlint.facts.case import Case
from planlint.facts.fields import value_of
from planlint.facts.signal import sources_of
from planlint.frozen import frozen
from planlint.graph.link import Vertex
from planlint.graph.signals import amp_entry, channel_of, fed_by, output_entry
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Output, Processor, Radio, RadioOutput, Speaker
from planlint.plan.nodes import Node
from planlint.plan.quantity import Quantity
from planlint.plan.values import NotApplicable
from planlint.text.places import Path

# Above this a low-pass filter passes more than bass: common practice, subwoofers are filtered at 60 to 100 Hz.
_BASS_UP_TO_HZ = 150.0
# What is taken for the full range where outputs are told apart: common practice.
_FULL_FROM_HZ, _FULL_TO_HZ = 200.0, 10e3
# An output of the vehicle: its node, and the channel.
_Origin = tuple[Radio, str]


@frozen
class Chain:
    """Where the music of an amplifier's output comes from: the vehicle's own outputs, and the added parts on the way."""

    origins: tuple[_Origin, ...]
    through: tuple[Node, ...]

    def any_states(self, field: str) -> bool:
        """Say whether an added part on the way is said to do something."""
        return any(getattr(node, field, None) is True for node in self.through)


def chain(case: Case, amp: Node, channel: str) -> Chain:
    """Return the chain behind an output of an amplifier, whatever parts and wires lie on the way."""
    return case.once(("signal chain", amp.name, channel), lambda: _chain(case, amp, channel))


def _chain(case: Case, amp: Node, channel: str) -> Chain:
    origins: dict[tuple[str, str], _Origin] = {}
    through: dict[str, Node] = {}
    ahead, seen = [(amp, channel)], set()
    for node, want in ahead:
        if (node.name, want) in seen:
            continue
        seen.add((node.name, want))
        for at in _feeding(case, node, want):
            owner = case.layout.network.owners[at]
            if isinstance(owner, Radio):
                origins[owner.name, channel_of(at)] = owner, channel_of(at)
                continue
            through[owner.name] = owner
            ahead.append((owner, channel_of(at).removeprefix("output-")))
    return Chain(
        origins=tuple(origins[key] for key in sorted(origins)), through=tuple(through[key] for key in sorted(through))
    )


def _feeding(case: Case, node: Node, channel: str) -> tuple[Vertex, ...]:
    """Return the outputs joined to the inputs that feed a channel of a part; a part that sums adds all of them."""
    signals = case.layout.signals
    inputs = signals.inputs.get(node.name, ())
    mine = inputs if isinstance(node, Processor) and node.sums is True else fed_by(channel, inputs)
    return tuple(dict.fromkeys(out for at in mine for out in signals.joined[at].outputs))


def fed_by_vehicle(case: Case, amp: Node) -> bool:
    """Say whether the amplifier's music comes from an output of the vehicle's own."""
    return bool(sources_of(case, amp)) and any(chain(case, amp, one.name).origins for one in _outputs(amp))


def _outputs(amp: Node) -> tuple[Output, ...]:
    return amp.outputs if isinstance(amp, Amp) else ()


def _drivers(case: Case, amp: Node) -> dict[str, set[str]]:
    """Return by output of an amplifier the types of the drivers on it, `full-range` for all behind a crossover."""
    return case.once(("drivers on outputs", amp.name), lambda: _find_drivers(case, amp))


def _find_drivers(case: Case, amp: Node) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    owners, signals = case.layout.network.owners, case.layout.signals
    for at in signals.outputs.get(amp.name, ()):
        here = {_type(owners[coil]) for coil in signals.joined[at].coils}
        entry = amp_entry(amp, channel_of(at)) if isinstance(amp, Amp) else None
        if entry:
            found.setdefault(entry.name, set()).update(here)
    return found


def _type(driver: Node) -> str:
    if not isinstance(driver, Speaker):
        return "full-range"
    return driver.type if isinstance(driver.type, str) else "unknown"


def bass_outputs(case: Case, amp: Node) -> tuple[Output, ...]:
    """Return the outputs of an amplifier that play bass."""
    drivers = _drivers(case, amp)
    return tuple(one for one in _outputs(amp) if _plays_bass(one, drivers.get(one.name, set())))


def _plays_bass(output: Output, drivers: set[str]) -> bool:
    if output.band == "bass" or "sub" in drivers:
        return True
    return _filtered_low(output) and not drivers - {"unknown"}


def _filtered_low(output: Output) -> bool:
    return isinstance(output.low_pass, Quantity) and output.low_pass.high <= _BASS_UP_TO_HZ


def _full_outputs(case: Case, amp: Node) -> tuple[Output, ...]:
    drivers = _drivers(case, amp)
    bass = {one.name for one in bass_outputs(case, amp)}
    return tuple(
        one
        for one in _outputs(amp)
        if one.name not in bass and (one.band == "full" or "full-range" in drivers.get(one.name, set()))
    )


def bass_from(case: Case, amp: Node) -> float:
    """Return the lowest frequency in Hz of the music behind the amplifier's bass, where no part on the way restores it.

    Raises UnfitError where it plays no bass, or a part restores it.
    """
    chains = [chain(case, amp, one.name) for one in bass_outputs(case, amp)]
    return _worst(
        [
            min(_edge(origin, "from_") for origin in one.origins)
            for one in chains
            if one.origins and not one.any_states("restores_bass")
        ],
        max,
    )


def full_from(case: Case, amp: Node) -> float:
    """Return the lowest frequency in Hz of the music behind the amplifier's full-range outputs."""
    chains = [chain(case, amp, one.name) for one in _full_outputs(case, amp)]
    return _worst([min(_edge(origin, "from_") for origin in one.origins) for one in chains if one.origins], max)


def full_to(case: Case, amp: Node) -> float:
    """Return the highest frequency in Hz of the music behind the amplifier's full-range outputs."""
    chains = [chain(case, amp, one.name) for one in _full_outputs(case, amp)]
    return _worst([max(_edge(origin, "to") for origin in one.origins) for one in chains if one.origins], min)


def _worst(edges: list[float], worst: Callable[[list[float]], float]) -> float:
    if not edges:
        raise UnfitError
    return worst(edges)


def _edge(origin: _Origin, field: str) -> float:
    """Return an edge in Hz of the band an output of the vehicle gives, of a range the narrower one."""
    radio, channel = origin
    entry = output_entry(radio, channel)
    name = field.removesuffix("_")
    if entry is None:
        raise UnknownError((*radio.path, "outputs", channel, name))
    return float(value_of(entry, field, name, upper=field == "from_"))


def origin_nodes(case: Case, amp: Node) -> tuple[Node, ...]:
    """Return the parts of the vehicle from which the amplifier's music comes."""
    found = {one[0].name: one[0] for output in _outputs(amp) for one in chain(case, amp, output.name).origins}
    return tuple(found[name] for name in sorted(found))


def way_parts(case: Case, amp: Node) -> tuple[Node, ...]:
    """Return the added parts that the music passes on its way to the amplifier."""
    found = {one.name: one for output in _outputs(amp) for one in chain(case, amp, output.name).through}
    return tuple(found[name] for name in sorted(found))


def band_asked(case: Case, amp: Node) -> str:
    """Return what the amplifier asks of which outputs of the vehicle: bass or the full range."""
    kind = "bass" if bass_outputs(case, amp) else "the full range"
    return f"{kind} of {' and '.join(one.name for one in origin_outputs(case, amp))}"


def origin_count(case: Case, amp: Node) -> int:
    """Return how many of the vehicle's outputs, as the plan describes them, the amplifier's music comes from."""
    return len(origin_outputs(case, amp))


def parted_outputs(case: Case, amp: Node) -> str | None:
    """Return the vehicle's outputs behind the amplifier's full range that each give a part of it, None without them."""
    chains = [chain(case, amp, output.name) for output in _full_outputs(case, amp)]
    return next((_names(one) for one in chains if _split(one)), None)


def unsummed(case: Case, amp: Node) -> str | None:
    """Return the vehicle's outputs that each give a part of the band and that nothing adds up to a full range, None where
    there are none.

    Raises UnknownError for the edges of a band, and where it is not stated whether a processor sums.
    """
    for output in _full_outputs(case, amp):
        one = chain(case, amp, output.name)
        if _split(one):
            _know(one, "sums")
            if not one.any_states("sums"):
                return _names(one)
    return None


def undelayed(case: Case, amp: Node) -> str | None:
    """Return the vehicle's outputs that are added up though they play at different times, None where there are none.

    Raises UnknownError for the delay of outputs that share one band, and where it is not stated whether a processor takes
    the delays out.
    """
    for output in (*_full_outputs(case, amp), *bass_outputs(case, amp)):
        one = chain(case, amp, output.name)
        delays = _delays(one, needed=_parts_of_band(one))
        if len(set(delays)) > 1 and not one.any_states("removes_delay"):
            _know(one, "removes_delay")
            return _names(one)
    return None


def _know(one: Chain, field: str) -> None:
    """Raise UnknownError where a processor on the way does not say whether it does something, and none does it."""
    if not one.any_states(field):
        for node in one.through:
            if isinstance(node, Processor) and getattr(node, field) is None:
                raise UnknownError((*node.path, field))


def _split(one: Chain) -> bool:
    """Say whether a chain begins at outputs of different bands of which none is the full range."""
    bands = {(_edge(origin, "from_"), _edge(origin, "to")) for origin in one.origins}
    return len(bands) > 1 and not any(low <= _FULL_FROM_HZ and high >= _FULL_TO_HZ for low, high in bands)


def _parts_of_band(one: Chain) -> bool:
    try:
        return _split(one)
    except UnknownError:
        return False


def _delays(one: Chain, *, needed: bool) -> list[float]:
    """Return the delays in s of the outputs behind a chain as far as they are known; all of them where they are needed."""
    entries = {id(entry): entry for origin in one.origins if (entry := output_entry(*origin))}
    stated = [entry for entry in entries.values() if needed or isinstance(entry.delay, Quantity)]
    return [float(value_of(entry, "delay", "delay")) for entry in stated]


def _names(one: Chain) -> str:
    entries = (output_entry(*origin) for origin in one.origins)
    return " and ".join(dict.fromkeys(entry.name for entry in entries if entry))


def bass_follows_volume(case: Case, amp: Node) -> bool:
    """Say whether the music behind the amplifier's bass changes its tone with the volume and no part restores it.

    Raises UnknownError where it is not stated, UnfitError where the amplifier plays no bass from the vehicle.
    """
    chains = [one for output in bass_outputs(case, amp) if (one := chain(case, amp, output.name)).origins]
    if not chains:
        raise UnfitError
    open_ones = [one for one in chains if not one.any_states("restores_bass")]
    told = [flag for one in open_ones for origin in one.origins if (flag := _follows_volume(origin)) is not None]
    if any(flag is True for flag in told):
        return True
    missing = next((path for path in told if not isinstance(path, bool)), None)
    if missing:
        raise UnknownError(missing)
    return False


def _follows_volume(origin: _Origin) -> bool | Path | None:
    """Return whether an output's tone follows the volume, the field that would tell, or None where that does not apply."""
    radio, channel = origin
    entry = output_entry(radio, channel)
    stated = entry.volume_dependent if entry else None
    if isinstance(stated, NotApplicable):
        return None
    name = entry.name if entry else channel
    return stated if isinstance(stated, bool) else (*radio.path, "outputs", name, "volume_dependent")


def origin_outputs(case: Case, amp: Node) -> tuple[RadioOutput, ...]:
    """Return what the plan says of the vehicle's outputs from which the amplifier's music comes."""
    origins = (origin for output in _outputs(amp) for origin in chain(case, amp, output.name).origins)
    found = {entry.path: entry for origin in origins if (entry := output_entry(*origin))}
    return tuple(found[path] for path in sorted(found, key=str))
