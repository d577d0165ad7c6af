"""Made from schemas/book/ranges.json by deploy/javascript/ranges.mjs; not edited by hand."""

from typing import Final

from fieldlog.model.span import Span

SPANS: Final = {
    "volts": Span("V", 0, 600),
    "amps": Span("A", 0, 100, is_above=True),
    "breaker_amps": Span("A", 0, 100, is_above=True),
    "accuracy_percent": Span("%", 0, 20),
    "accuracy_volts": Span("V", 0, 20),
    "milliseconds": Span("ms", 0, 20000),
    "milliamps": Span("mA", 0, 500),
    "hertz": Span("Hz", 30, 90),
    "part-amps": Span("A", 0, 100, is_above=True),
    "part-watts": Span("W", 0, 12000, is_above=True),
    "feet": Span("ft", 0, 1000),
    "ohms": Span("ohm", 0, 100),
    "branch-ohms": Span("ohm", 0, 20),
    "contacts-ohms": Span("ohm", 0, 10),
    "supply-volts": Span("V", 0, 300, is_above=True),
    "between-volts": Span("V", 0, 600, is_above=True),
    "supply-amps": Span("A", 0, 200, is_above=True),
    "load-watts": Span("W", 0, 30000, is_above=True),
    "load-amps": Span("A", 0, 250, is_above=True),
    "load-hours": Span("h", 0, 1000, is_above=True),
    "start-multiple": Span("times its running current", 0, 20, is_above=True),
    "battery-watt-hours": Span("Wh", 0, 1000000, is_above=True),
    "battery-usable": Span("of its energy", 0, 1, is_above=True),
    "inverter-efficiency": Span("of what is taken", 0, 1, is_above=True),
    "idle-watts": Span("W", 0, 1000),
    "inverter-watts": Span("W", 0, 100000, is_above=True),
    "proof-ohms": Span("ohm", 0, 99999),
    "proof-megohms": Span("Mohm", 0, 9999),
    "test-volts": Span("V", 0, 99999),
    "test-seconds": Span("s", 0, 99999),
}
"""By id, what a number may be."""
READINGS: Final = {
    "volts": "volts",
    "amps": "amps",
    "breaker_amps": "breaker_amps",
    "accuracy_percent": "accuracy_percent",
    "accuracy_volts": "accuracy_volts",
    "milliseconds": "milliseconds",
    "milliamps": "milliamps",
    "hertz": "hertz",
    "amps_percent": "accuracy_percent",
    "after": "volts",
}
"""By member of a check that holds measured values, the range of each."""
TYPED: Final = {
    "volts": ("volts", None, "what the meter shows"),
    "breaker_amps": ("breaker_amps", 1, "the number on the breaker"),
    "amps": ("amps", 0.1, "the amps of the load"),
    "amps_percent": ("accuracy_percent", None, "how well the amps are known"),
    "accuracy_percent": ("accuracy_percent", None, "the percentage from the meter’s leaflet"),
    "accuracy_volts": ("accuracy_volts", None, "the volts from the meter’s leaflet"),
    "hertz": ("hertz", None, "the frequency"),
    "milliseconds": ("milliseconds", None, "the time to trip"),
    "milliamps": ("milliamps", None, "the current of the test"),
}
"""By field of a check, its range, the least where that is another, and what is typed there."""
