"""The vehicle as found, its zones, and how the system will be used."""

from __future__ import annotations

from planlint.frozen import frozen
from planlint.plan.fields import choice, choices, flag, measure, names, text, within
from planlint.plan.nodes import alternator_at_idle, alternator_control, alternator_rating
from planlint.plan.quantity import Dimension
from planlint.plan.values import FlagField, QuantityField, WordField
from planlint.text.places import Path


@frozen
class FactoryAlternator:
    """The vehicle maker's alternator as far as the plan states it."""

    path: Path
    rating: QuantityField = alternator_rating()
    at_idle: QuantityField = alternator_at_idle()
    control: WordField = alternator_control()


@frozen
class Restraints:
    """What the vehicle's airbags and belt tensioners ask for."""

    path: Path
    wait: QuantityField = measure(
        Dimension.TIME, "How long to wait after the battery is off before work near them.", "10 min maker", "15 min"
    )
    zones: tuple[str, ...] | None = choices(
        "a place of the restraint system",
        "Where they are.",
        *("column", "dash", "knee", "seat-side", "curtain", "belt-tensioner", "floor-module"),
    )


_PRESENT = ("none", "present")


@frozen
class Vehicle:
    """The vehicle as found, before the work."""

    path: Path
    name: str = "vehicle"
    class_: WordField = choice(
        "a class of vehicle",
        "Shape of the vehicle.",
        *("hatch", "sedan", "wagon", "suv", "pickup", "van", "truck", "bus"),
    )
    system: QuantityField = measure(Dimension.VOLTAGE, "Nominal voltage of the electrical system.", "12 V", "24 V")
    drive: WordField = choice(
        "a kind of drive",
        "What drives the vehicle; hybrid and electric vehicles have high-voltage parts.",
        *("combustion", "mild-hybrid", "hybrid", "electric"),
    )
    body: WordField = choice(
        "a kind of body",
        "What the body is made of; it decides whether it may carry the return current.",
        *("steel-unibody", "steel-frame", "aluminium", "mixed-bonded", "composite"),
    )
    body_resistance: QuantityField = measure(
        Dimension.RESISTANCE,
        "Resistance of the body between the battery's ground and where the equipment stands.",
        *("2 mohm measured", "1.1 mohm"),
    )
    alternator: FactoryAlternator | None = within(
        FactoryAlternator,
        "factory-alternator",
        "The vehicle maker's alternator, as far as it is known.",
        "a mapping of what is known of the alternator",
        {"rating": "110 A", "at_idle": "60 A"},
    )
    factory_draw: QuantityField = measure(
        Dimension.CURRENT, "Current the vehicle itself draws while it runs, before the job.", "40 A measured", "45 A"
    )
    added_limit: QuantityField = measure(
        Dimension.CURRENT,
        "Most current that its maker allows to be added (hybrid and electric vehicles).",
        "30 A maker",
    )
    key_off_draw: QuantityField = measure(
        Dimension.CURRENT, "Current it draws asleep, before the job.", "25 mA measured"
    )
    lowest_in_crank: QuantityField = measure(
        Dimension.VOLTAGE, "Lowest battery voltage while the engine is started.", "7 V measured"
    )
    start_stop: FlagField = flag("Whether the engine stops and starts by itself at halts.")
    battery_sensor: WordField = choice(
        "a place of the battery sensor",
        "Where the vehicle measures the battery's current; a return must not go round it.",
        *("none", "negative-post", "positive", "unknown"),
        example="negative-post",
    )
    restraints: Restraints | None = within(
        Restraints,
        "restraints",
        "Airbags and belt tensioners.",
        "a mapping of what is known of the restraint system",
        {"wait": "10 min maker", "zones": ["column", "seat-side"]},
    )
    factory_amp: WordField = choice(
        "a presence", "Whether the vehicle has an amplifier of its own.", *_PRESENT, "unknown", example="none"
    )
    noise_cancelling: WordField = choice("a presence", "Whether the vehicle cancels noise by its speakers.", *_PRESENT)
    noise_cancelling_plan: WordField = choice(
        "a plan for noise cancelling",
        "What becomes of it: kept whole, switched off through the maker's setting, or served by an interface.",
        *("kept", "off-by-maker", "interface"),
    )
    chime_speaker: WordField = text("The speaker that sounds the vehicle's chimes.", "front left woofer")
    audio_bus: WordField = choice(
        "an audio bus",
        "What carries the sound to an amplifier of the vehicle's own.",
        "none",
        "optical",
        "twisted-pair",
    )
    region: WordField = text("Where the vehicle is registered, as far as it decides approval.", "EU")


@frozen
class Customer:
    """How the system will be used."""

    path: Path
    engine_off: QuantityField = measure(Dimension.TIME, "How long it is to play with the engine off.", "1 h")
    duty: QuantityField = measure(Dimension.RATIO, "Mean share of full power over a piece of music.", "35 %")


@frozen
class Zone:
    """A part of the vehicle between two panels; `ambient` is the air temperature cables there must live with."""

    path: Path
    name: str
    kind: str
    ambient: QuantityField = measure(
        Dimension.TEMPERATURE, "Air temperature that cables there must live with.", "50 C", "40 C"
    )
    open_to: tuple[str, ...] = names("Zones next to it from which no panel parts it.", "cargo")
