"""What a rule may ask about the figures that an amplifier states of itself: its power, and the current that it needs."""

from __future__ import annotations

from planlint.facts.case import Case
from planlint.facts.demand import board_fuses, design_voltage, efficiency, efficiency_name, is_sure, output_power
from planlint.graph.unknown import UnfitError, UnknownError
from planlint.plan.audio import Amp, Output
from planlint.plan.nodes import Node
from planlint.plan.values import NotApplicable
from planlint.trade.amplifiers import credible_power, design_current, efficiency_assumption
from planlint.trade.assumptions import assumption, convention


def stated_outputs(_case: Case, amp: Node) -> tuple[Output, ...]:
    """Return the outputs that the amplifier states, by their names."""
    return tuple(output for _, output in _outputs(amp))


def claimed_power(_case: Case, amp: Node) -> float:
    """Return the power in W that all outputs of an amplifier state together."""
    return sum(output_power(one, output) for one, output in _outputs(amp))


def fused_power(case: Case, amp: Node) -> float:
    """Return the largest power in W that the amplifier's own fuses make credible, by the efficiency of its class.

    Raises UnknownError where class or fuses are not stated, UnfitError where it has no fuses of its own.
    """
    outputs = _outputs(amp)
    shares = [(output_power(one, output), efficiency(case, one, output)) for one, output in outputs]
    whole = sum(watts for watts, _ in shares)
    owner = outputs[0][0]
    on_board = board_fuses(owner)
    if isinstance(owner.fuses, NotApplicable):
        raise UnfitError
    if on_board is None:
        raise UnknownError((*owner.path, "fuses"))
    if not whole:
        raise UnfitError
    mean = whole / sum(watts / share for watts, share in shares)
    volts = convention("rating_voltage") * design_voltage(case) / convention("design_voltage")
    return credible_power(mean, on_board, convention("credibility_margin"), volts)


def loosely_rated(_case: Case, amp: Node) -> str | None:
    """Return the outputs whose power was not found continuously at 1 % distortion, None where all were.

    Raises UnknownError where the basis of one is not stated.
    """
    outputs = [output for _, output in _outputs(amp)]
    loose = sorted(output.name for output in outputs if output.rated == "other")
    if loose:
        return " and ".join(loose)
    for output in outputs:
        if output.rated is None:
            raise UnknownError((*output.path, "rated"))
    return None


def expected_current(case: Case, amp: Node) -> float:
    """Return the supply current in A that the stated power costs by the amplifier's class, at most that of its own fuses;
    for a figure of the maker, or a measured one, by the best efficiency of that class."""
    outputs, volts = _outputs(amp), design_voltage(case)
    owner = outputs[0][0]
    amps = sum(design_current(output_power(one, output), _share(case, one, output), volts) for one, output in outputs)
    on_board = board_fuses(owner)
    return amps if on_board is None else min(amps, on_board)


def _share(case: Case, amp: Amp, output: Output) -> float:
    # A figure of the maker may rest on a better amplifier than the trade reckons with.
    return assumption(efficiency_name(amp, output)).high if is_sure(amp) else efficiency(case, amp, output)


def _outputs(amp: Node) -> list[tuple[Amp, Output]]:
    """Return the outputs of an amplifier beside it, in the order of their names.

    Raises UnfitError where it has none, or is of a class of which the trade knows no efficiency.
    """
    if not isinstance(amp, Amp) or not amp.outputs:
        raise UnfitError
    if isinstance(amp.class_, str) and efficiency_assumption(amp.class_, True) is None:
        raise UnfitError
    return [(amp, output) for output in sorted(amp.outputs, key=lambda one: one.name)]
