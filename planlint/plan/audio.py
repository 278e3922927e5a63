"""The parts that make and carry the music, from the radio to the voice coil: one frozen dataclass a kind."""

from __future__ import annotations

from planlint.frozen import frozen
from planlint.plan.fields import by_name, choice, count, flag, measure, several, text
from planlint.plan.nodes import Node, hold_time
from planlint.plan.quantity import Dimension
from planlint.plan.values import CountField, FlagField, NotApplicable, QuantityField, WordField
from planlint.text.places import Path

_SENSES = ("none", "dc", "signal")
_SENSE = "What wakes it without a turn-on lead: nothing, the DC on a speaker output, or the signal."
_STANDBY = "Current it draws while it is off."
_LOWEST_VOLTAGE = "Lowest supply voltage at which it plays on."
_HOLDS_UP = "Whether it plays through the dip while the engine is started."
_HIGH_PASS = "Frequency below which it is filtered."
_LOW_PASS = "Frequency above which it is filtered."
_LOCKED = "Whether the filter is set so that nobody can change it by chance."
_LARGEST_FUSE = "Largest fuse its maker permits before it."
_INPUT_HIGHEST = "Highest signal its inputs take, RMS."
_INPUT_RESISTANCE = "Resistance of one input."
_LOADS_RADIO = "Whether it loads the radio's outputs as a speaker would."
_APPROVED = "Whether the vehicle maker approves it as the interface to a data bus or a diagnostic connector."
_APPROVAL = "Its mark or declaration of electromagnetic compatibility, as UN Regulation 10 asks for it."
_FATE = "What becomes of the factory speaker."


@frozen
class Output:
    """One output of an amplifier: `channels` equal channels of `power` each into `at`."""

    path: Path
    name: str
    power: QuantityField = measure(
        Dimension.POWER, "Continuous power of one channel of this output into the load in `at`.", "600 W", "75 W maker"
    )
    at: QuantityField = measure(Dimension.RESISTANCE, "Load at which that power is given.", "2 ohm", "4 ohm")
    rated: WordField = choice(
        "a basis of power",
        "How that power was found: continuously at 1 % distortion, or some other way.",
        *("continuous-1-percent", "other"),
    )
    lowest: QuantityField = measure(
        Dimension.RESISTANCE, "Lowest load its maker permits on one channel.", "2 ohm", "1 ohm"
    )
    lowest_bridged: QuantityField = measure(
        Dimension.RESISTANCE,
        "Lowest load its maker permits across two bridged channels, or across two amplifiers linked for it.",
        "4 ohm",
    )
    power_at_lowest: QuantityField = measure(
        Dimension.POWER,
        "Continuous power of one channel, or of the bridged two, into the lowest load they bear.",
        "110 W",
    )
    bridged: FlagField = flag("Whether this output is two channels joined to one.")
    load: QuantityField = measure(Dimension.RESISTANCE, "Load the planner expects on it.", "2 ohm")
    channels: CountField = count(
        "How many equal channels the output has; 1 too where several pairs of terminals are joined inside.", 1, 4
    )
    gain_target: QuantityField = measure(
        Dimension.VOLTAGE, "Output voltage to which its gain will be set, RMS.", "31.6 V"
    )
    band: WordField = choice("a band", "Whether the output plays bass only or the full range.", "bass", "full")
    high_pass: QuantityField = measure(Dimension.FREQUENCY, _HIGH_PASS, "80 Hz")
    low_pass: QuantityField = measure(Dimension.FREQUENCY, _LOW_PASS, "80 Hz")
    high_pass_locked: FlagField = flag(_LOCKED)


@frozen
class Amp(Node):
    """An amplifier; `fuses` are those on board."""

    class_: WordField = choice(
        "an amplifier class",
        "Circuit class; it decides how much current a watt of output costs.",
        "AB",
        "D",
        "H",
        "other",
        example="D",
    )
    outputs: tuple[Output, ...] = by_name(
        Output,
        "amp-output",
        "The amplifier's outputs by name; the name begins the terminals' names.",
        "a mapping of outputs",
        {"sub": {"power": "600 W", "at": "2 ohm", "lowest": "2 ohm"}},
    )
    fuses: tuple[QuantityField, ...] | NotApplicable | None = several(
        Dimension.CURRENT,
        "Ratings of all fuses on the amplifier itself, one entry a fuse.",
        "a list of currents",
        "30 A",
        "30 A",
    )
    largest_fuse: QuantityField = measure(Dimension.CURRENT, _LARGEST_FUSE, "80 A maker", "80 A")
    largest_cable: QuantityField = measure(Dimension.AREA, "Thickest conductor its supply terminals take.", "4 AWG")
    supply: QuantityField = measure(
        Dimension.CURRENT,
        "Current at full output, as its maker states it or as measured (`58 A maker`). A bare figure counts only above what "
        "power and class come to.",
        "58 A maker",
    )
    idle: QuantityField = measure(Dimension.CURRENT, "Current it draws switched on without music.", "1.5 A")
    standby: QuantityField = measure(Dimension.CURRENT, _STANDBY, "2 mA")
    turn_on_draw: QuantityField = measure(Dimension.CURRENT, "Current its turn-on terminal draws.", "20 mA")
    hold_time: QuantityField = hold_time()
    sense: WordField = choice("a way of waking", _SENSE, *_SENSES, example="signal")
    lowest_voltage: QuantityField = measure(Dimension.VOLTAGE, _LOWEST_VOLTAGE, "9 V maker")
    highest_voltage: QuantityField = measure(Dimension.VOLTAGE, "Highest supply voltage it bears.", "16 V maker")
    holds_up: FlagField = flag(_HOLDS_UP)
    input_highest: QuantityField = measure(Dimension.VOLTAGE, _INPUT_HIGHEST, "4 V")
    input_lowest: QuantityField = measure(
        Dimension.VOLTAGE, "Lowest signal that still gives full power, RMS.", "200 mV"
    )
    input_resistance: QuantityField = measure(Dimension.RESISTANCE, _INPUT_RESISTANCE, "20 kohm")
    input_balanced: FlagField = flag("Whether its inputs measure the difference of both wires.")
    loads_radio: FlagField = flag(_LOADS_RADIO)
    approval: WordField = text(_APPROVAL, "E1 10R-05 1234", "declaration of its maker")
    mass: QuantityField = measure(Dimension.MASS, "Its mass.", "3.6 kg")
    clearance: QuantityField = measure(
        Dimension.LENGTH, "Free space its maker asks for around its fins.", "50 mm maker"
    )
    protection_class: WordField = text("How well it keeps out water and dust, as printed on it.", "IP67", "IP20")


@frozen
class Converter(Node):
    """A converter from speaker level to line level."""

    type: WordField = choice(
        "a type of converter",
        "Whether the unit works by transformers or resistors alone (passive) or needs a supply (active).",
        *("passive", "active"),
        example="active",
    )
    supply: QuantityField = measure(
        Dimension.CURRENT, "Current the unit draws from its supply at full work.", "0.3 A", "600 mA"
    )
    standby: QuantityField = measure(Dimension.CURRENT, _STANDBY, "1 mA")
    largest_fuse: QuantityField = measure(Dimension.CURRENT, _LARGEST_FUSE, "3 A")
    input_highest: QuantityField = measure(Dimension.VOLTAGE, _INPUT_HIGHEST, "20 V")
    input_lowest: QuantityField = measure(Dimension.VOLTAGE, "Lowest signal that still gives full output, RMS.", "1 V")
    input_resistance: QuantityField = measure(Dimension.RESISTANCE, _INPUT_RESISTANCE, "20 kohm")
    input_balanced: FlagField = flag(
        "Whether its inputs measure the difference of both wires, neither of them grounded."
    )
    output_highest: QuantityField = measure(Dimension.VOLTAGE, "Highest signal its outputs give, RMS.", "5 V")
    sense: WordField = choice("a way of waking", _SENSE, *_SENSES, example="signal")
    turn_on_draw: QuantityField = measure(Dimension.CURRENT, "Current its turn-on input draws.", "20 mA")
    turn_on_limit: QuantityField = measure(Dimension.CURRENT, "Most current its turn-on output may give.", "500 mA")
    turn_on_voltage: QuantityField = measure(
        Dimension.VOLTAGE, "Voltage its turn-on output gives under its load.", "12 V"
    )
    hold_time: QuantityField = hold_time()
    loads_radio: FlagField = flag(_LOADS_RADIO)
    approved_interface: FlagField = flag(_APPROVED)
    approval: WordField = text(_APPROVAL, "E1 10R-05 1234", "declaration of its maker")
    restores_bass: FlagField = flag("Whether it restores bass that the radio takes out.")
    lowest_voltage: QuantityField = measure(Dimension.VOLTAGE, _LOWEST_VOLTAGE, "6 V maker")
    highest_voltage: QuantityField = measure(Dimension.VOLTAGE, "Highest supply voltage it bears.", "16 V maker")
    holds_up: FlagField = flag(_HOLDS_UP)


@frozen
class Band:
    """One output of a processor."""

    path: Path
    name: str
    high_pass: QuantityField = measure(Dimension.FREQUENCY, _HIGH_PASS, "80 Hz")
    low_pass: QuantityField = measure(Dimension.FREQUENCY, _LOW_PASS, "80 Hz")
    high_pass_locked: FlagField = flag(_LOCKED)


@frozen
class Processor(Converter):
    """A signal processor."""

    sums: FlagField = flag("Whether it adds several bands of the radio to one full range.")
    removes_delay: FlagField = flag("Whether it takes out the delays that the radio puts between its outputs.")
    outputs: tuple[Band, ...] = by_name(
        Band,
        "processor-output",
        "The processor's outputs by name.",
        "a mapping of outputs",
        {"sub": {"low_pass": "80 Hz"}},
    )


@frozen
class RadioOutput:
    """One output of the radio or of the vehicle maker's amplifier."""

    path: Path
    name: str
    type: WordField = choice(
        "a type of output",
        "Line level, speaker level between two live wires (bridged) or against ground, or data on a bus.",
        *("line", "speaker-bridged", "speaker-grounded", "bus"),
        example="speaker-bridged",
    )
    highest: QuantityField = measure(Dimension.VOLTAGE, "Highest clean signal it gives, RMS.", "6.5 V measured")
    from_: QuantityField = measure(Dimension.FREQUENCY, "Lowest frequency it gives.", "60 Hz measured")
    to: QuantityField = measure(Dimension.FREQUENCY, "Highest frequency it gives.", "20 kHz")
    delay: QuantityField = measure(Dimension.TIME, "How much later than the first output it plays.", "1.2 ms measured")
    dc: QuantityField = measure(Dimension.VOLTAGE, "Steady voltage on its wires against ground.", "6.5 V")
    detects_load: FlagField = flag("Whether the radio switches it off when no speaker loads it.")
    volume_dependent: FlagField = flag("Whether its tone changes with the volume.")
    carries_chimes: FlagField = flag("Whether chimes, telephone or parking aid sound through it.")
    factory_speaker: WordField = choice("a fate", _FATE, "kept", "removed")


@frozen
class Radio(Node):
    """The factory radio or factory amplifier."""

    supply: QuantityField = measure(
        Dimension.CURRENT, "Current the unit draws from the vehicle's supply.", "10 A", "15 A maker"
    )
    turn_on_limit: QuantityField = measure(Dimension.CURRENT, "Most current its turn-on lead may give.", "300 mA")
    turn_on_voltage: QuantityField = measure(
        Dimension.VOLTAGE, "Voltage its turn-on lead gives under its load.", "12 V"
    )
    hold_time: QuantityField = hold_time()
    outputs: tuple[RadioOutput, ...] = by_name(
        RadioOutput,
        "radio-output",
        "Its outputs by the beginning of their terminals' names.",
        "a mapping of outputs",
        {"speaker-rear": {"type": "speaker-bridged", "highest": "6.5 V"}},
        {
            "title": "the beginning of the name of one of its outputs' terminals, line or speaker",
            "pattern": r"^(line|speaker)(-[a-z0-9][a-z0-9-]*)?(?!\n)$",
            "examples": ["speaker-rear", "line-sub"],
        },
    )


@frozen
class Tap(Node):
    """A place where a signal is taken off the maker's wiring."""

    place: WordField = choice(
        "a place to tap",
        "Where the signal is taken off.",
        *("radio-plug", "factory-amp-plug", "speaker", "bus", "diagnostic", "srs"),
    )
    method: WordField = choice(
        "a way of tapping", "How the signal is taken off.", *("plug-adapter", "crimp", "solder", "pierce")
    )
    factory_speaker: WordField = choice("a fate", _FATE, "kept", "removed")
    approved_interface: FlagField = flag(_APPROVED)
    polarity_test: FlagField = flag("Whether the polarity will be measured before it is joined.")


@frozen
class Speaker(Node):
    """A driver with one or more voice coils."""

    type: WordField = choice(
        "a type of driver", "What the driver plays.", *("woofer", "mid", "tweeter", "full-range", "sub"), example="sub"
    )
    coils: CountField = count("How many voice coils it has.", 1, 2)
    open_coils: CountField = count("How many of them stay unconnected on purpose.", 1)
    impedance: QuantityField = measure(Dimension.RESISTANCE, "Nominal impedance of one voice coil.", "4 ohm", "2 ohm")
    dc_resistance: QuantityField = measure(
        Dimension.RESISTANCE, "Resistance of one voice coil for direct current.", "3.2 ohm"
    )
    power: QuantityField = measure(Dimension.POWER, "Continuous power the whole driver takes.", "500 W")
    diameter: QuantityField = measure(Dimension.LENGTH, "Its nominal diameter.", "300 mm", "12 in")
    sensitivity: WordField = text("Sound level at 1 W and 1 m, as its maker states it.", "87 dB")
    polarity: WordField = choice(
        "a polarity", "Whether it is wired as marked or the other way round on purpose.", "normal", "inverted"
    )
    enclosure: WordField = text("Name of the enclosure it works in.", "bass-box")
    series_capacitor: FlagField = flag("Whether a capacitor in series with it keeps the bass away.")


@frozen
class Crossover(Node):
    """A passive crossover between an output and its drivers."""

    impedance: QuantityField = measure(Dimension.RESISTANCE, "Nominal impedance it is made for.", "4 ohm")
    bands: WordField = text(
        "Where it parts the bands; of one part alone what that passes.", "3 kHz, 12 dB an octave", "below 100 Hz"
    )


@frozen
class Enclosure(Node):
    """The box a driver works in; it has no terminals."""

    volume: QuantityField = measure(Dimension.VOLUME, "Air inside it.", "28 L")
    tuning: QuantityField = measure(Dimension.FREQUENCY, "Frequency to which its port is tuned.", "34 Hz")
    mass: QuantityField = measure(Dimension.MASS, "Its mass with the driver.", "17 kg")
    restraint: WordField = text("What holds it in a crash.", "2 steel brackets on 4 x M8 through bolts")
    material: WordField = text("What it is made of.", "18 mm birch plywood")
