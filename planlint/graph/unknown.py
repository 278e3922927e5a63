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
        "attended",
        "ignition_protected",
        "fused",
    }
)
# Fields whose names are no words for what is missing.
_CALLED = {
    "fastener": "the bolt, its thread and what locks it (`fastener`)",
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
    "interrupts": "the breaking capacity (`interrupts`)",
    "sense": "the way of waking (`sense`)",
    "circuit": "the kind of circuit (`circuit`)",
    "fuses": "the fuses on board (`fuses`)",
    "link": "the planned current of the link (`link`)",
    "surge": "the surge at switch-on (`surge`)",
    "supply": "the current drawn (`supply`)",
    "standby": "the standby current (`standby`)",
    "idle": "the current without music (`idle`)",
    "draw": "the draw before the job (`draw`)",
    "sums": "the summing of bands (`sums`)",
    "removes_delay": "the removal of delays (`removes_delay`)",
    "restores_bass": "the restoring of bass (`restores_bass`)",
    "loads_radio": "the load that the radio sees (`loads_radio`)",
    "detects_load": "the load detection (`detects_load`)",
    "carries_chimes": "the use for chimes (`carries_chimes`)",
    "approved_interface": "the approval of the interface (`approved_interface`)",
    "reset": "the way of resetting (`reset`)",
    "protection": "the loom or other cover (`protection`)",
    "hold_down_strength": "the strength of the hold-down (`hold_down_strength`)",
    "highest_ambient": "the highest air temperature permitted (`highest_ambient`)",
    "fuel": "the distance to the fuel system (`fuel`)",
    "exhaust": "the distance to the exhaust (`exhaust`)",
    "gap": "the distance to the wires beside it (`gap`)",
    "fuse_place": "the place of the fuse box (`fuse_place`)",
    "factory_amp": "the factory amplifier (`factory_amp`)",
    "factory_speaker": "the fate of the factory speaker (`factory_speaker`)",
    "coil": "the coil current (`coil`)",
    "suppression": "the suppression of the coil (`suppression`)",
    "coils": "the number of voice coils (`coils`)",
    "control": "the kind of control (`control`)",
    "joins": "the sections joined (`joins`)",
    "cut": "the length to cut (`cut`)",
    "lugs": "the lugs in their order (`lugs`)",
    "engine_off": "the listening time with the engine off (`engine_off`)",
    "key_off_draw": "the key-off draw (`key_off_draw`)",
    "factory_draw": "the draw before the job (`factory_draw`)",
    "at_idle": "the output at idle (`at_idle`)",
    "lowest_in_crank": "the lowest voltage in a start (`lowest_in_crank`)",
    "start_stop": "the start-stop system (`start_stop`)",
    "added_limit": "the most current that may be added (`added_limit`)",
    "isolates": "the parting of the batteries (`isolates`)",
    "battery_box": "the place inside or outside a battery box (`battery_box`)",
    "fuel_side": "the side towards the fuel system (`fuel_side`)",
    "family": "the fuse family (`family`)",
    "rated_at": "the temperature of the rating (`rated_at`)",
    "drop": "the voltage drop (`drop`)",
    "turn_on_draw": "the turn-on current (`turn_on_draw`)",
    "turn_on_limit": "the limit of the turn-on output (`turn_on_limit`)",
    "turn_on_voltage": "the voltage of the turn-on output (`turn_on_voltage`)",
    "factory": "the origin (`factory`)",
    "x": "the place along the vehicle (`x`)",
    "y": "the place across the vehicle (`y`)",
    "z": "the height (`z`)",
    "amount": "the number (`amount`)",
    "parts": "the list of parts (`parts`)",
    "rated": "the basis of the power (`rated`)",
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
        # A part that has no name of its own: the grommet of a hole, the fasteners of a mount.
        names += [f"the {steps[-1]}"] if len(steps) % 2 else []
        return " of ".join([told, *reversed(names)])


def _named(word: str, name: str | int) -> str:
    """Return the name of an element; of an end its field, of one of a list its kind and number: `stretch 2`, `step 4`."""
    if word == "ends":
        return f"the end `{name}`"
    kind = "stretch" if word == "route" else word.removesuffix("s")
    return name if isinstance(name, str) else f"{kind} {name + 1}"


class UnfitError(Exception):
    """The question has no answer for this subject (not a missing field): rules that ask it do not apply."""
