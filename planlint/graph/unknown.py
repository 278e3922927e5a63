"""How a computation says that it lacks something: a field of the plan, or a subject that the question does not fit."""

from __future__ import annotations

from planlint.text.places import Path

# Fields of parts that are true or not and named by what the part then is.
_SAID_OF_A_PART = frozenset(
    {
        "accessible",
        "labelled",
        "sealed",
        "covered",
        "bidirectional",
        "bridged",
        "moved",
        "shielded_from_fuel",
    }
)
# Fields whose names are no words for what is missing.
_CALLED = {
    "fastener": "the bolt, its thread and what locks it (`fastener`)",
    "rated": "the basis of the power",
    "at": "the load for which the power is stated (`at`)",
    "channels": "the number of channels (`channels`)",
    "lowest": "the lowest load (`lowest`)",
    "lowest_bridged": "the lowest load across both (`lowest_bridged`)",
    "high_pass": "the high-pass filter",
    "low_pass": "the low-pass filter",
    "high_pass_locked": "the lock on the high-pass filter",
    "from": "the lowest frequency (`from`)",
    "to": "the highest frequency (`to`)",
    "highest": "the highest clean voltage (`highest`)",
    "dc": "the steady voltage (`dc`)",
    "holds_up": "the play through a dip (`holds_up`)",
    "under_sensor_clamp": "the place of the lugs (`under_sensor_clamp`)",
    "in_crank": "the state in a start (`in_crank`)",
    "volume_dependent": "the dependence on volume (`volume_dependent`)",
    "input_balanced": "the kind of inputs (`input_balanced`)",
    "input_highest": "the highest input signal (`input_highest`)",
    "input_lowest": "the lowest input signal (`input_lowest`)",
}


class UnknownError(Exception):
    """A field that the computation needs is not stated. `path` is the field, `needs` names it for people."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.path = path

    @property
    def needs(self) -> str:
        """The field in words: `the power of sub of bass-amp`, `the body of the vehicle`, `the mounts of the plan`."""
        *steps, field = self.path
        if steps and field in _SAID_OF_A_PART:
            return f"whether {steps[-1]} is {str(field).replace('_', ' ')}"
        told = _CALLED.get(str(field)) or f"the {str(field).replace('_', ' ')}"
        if not steps:
            return f"{told} of the plan"
        if steps[0] == "vehicle":
            return f"{told} of the vehicle" + "".join(f"'s {word}" for word in steps[1:])
        # Names alternate with the words `outputs` and the like that only lead to them; items of a list have numbers.
        names = [_named(str(word), name) for word, name in zip(steps[::2], steps[1::2], strict=False)]
        return " of ".join([told, *reversed(names)])


def _named(word: str, name: str | int) -> str:
    """Return the name of an element, or for one of a list its kind and number: `stretch 2`, `step 4`."""
    kind = "stretch" if word == "route" else word.removesuffix("s")
    return name if isinstance(name, str) else f"{kind} {name + 1}"


class UnfitError(Exception):
    """The question has no answer for this subject (not a missing field): rules that ask it do not apply."""
