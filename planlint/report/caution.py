"""The caution with which every report for a person ends."""

CAUTION = (
    "planlint checks a plan, not the work. Follow the vehicle maker's instructions and local codes, and "
    "leave safety "
    "systems (airbags, belts, brakes, high voltage) and anything unclear to a licensed or certified "
    "professional."
)
