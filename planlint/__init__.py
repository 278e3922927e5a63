"""planlint: judges plans for adding an amplifier and a subwoofer to a vehicle."""

__version__ = "0.1.0"
