"""Made from schemas/facts/kinds.json and the book by deploy/javascript/part-kinds.mjs; not edited by hand."""

from typing import Final

KINDS: Final = (
    "supply",
    "cord-gfci",
    "inlet",
    "breaker",
    "junction",
    "receptacle",
    "gfci-receptacle",
    "strip",
    "appliance",
    "inverter",
    "relay",
)
"""Of parts of a map."""
PLUGS: Final = ("receptacle", "gfci-receptacle", "strip")
"""What something is plugged into."""
OUTLETS: Final = ("receptacle", "gfci-receptacle", "strip", "appliance")
"""What a person can touch or plug into; a guard is asked for these."""
TRIPPING: Final = ("cord-gfci", "breaker", "gfci-receptacle")
"""What opens by its own device when it trips."""
TWO_SIDED: Final = ("cord-gfci", "gfci-receptacle")
"""Devices on which a run may leave from either side; beyond a breaker everything is on its load side."""
PLACES: Final = ("outside", "near-water")
"""Where common practice wants a guard."""
LEGS: Final = ("x", "y", "both")
"""The hots of a supply with two; a two-pole breaker stands on both."""
SIDES: Final = ("line", "load")
"""Of a device that has two."""
CORDS: Final = ("listed", "field-made")
"""A cord set bought whole and listed, and one made up of listed pieces."""
WAYS: Final = ("button", "external", "hand")
"""In which a device is made to trip."""
RUN_GAUGES: Final = (18, 16, 14, 12, 10, 8, 6, 4, 2)
"""Of the wires of a map, thinnest first [AWG]."""
CORD_GAUGES: Final = (18, 16, 14, 12, 10, 8, 6)
"""Of cords, thinnest first [AWG]."""
