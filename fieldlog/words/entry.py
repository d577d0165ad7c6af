"""What a person types as a number.

The twin is static/js/lib/measured.js; both are tested from tests/cases/entries.json.
"""

import re
from dataclasses import dataclass
from typing import Final

from fieldlog.model.contacts import OF_OUTLET
from fieldlog.model.spans import SPANS, TYPED

_NUMBER: Final = re.compile(r"(\d{0,5})(?:[.,](\d{0,4}))?", re.ASCII)
_BLANKS: Final = re.compile(r"\s")
_BLANK_INSIDE: Final = re.compile(r"[0-9.,]\s+[0-9.,]")
_SIGN_OF_VOLTS: Final = "Leave the sign out: an AC reading has none. Is the meter set to AC?"
_EXAMPLES: Final = {"V": "121.3", "A": "30", "%": "1.0", "Hz": "60.0"}


@dataclass(frozen=True)
class Range:
    """What a field takes, and what it is called in a sentence."""

    unit: str
    least: float
    most: float
    what: str

    @property
    def outside(self) -> str:
        """The sentence for a number that no instrument can have shown."""
        return f"Type a number from {self.least:g} to {self.most:g} {self.unit}."


def _typed(name: str) -> Range:
    of, least, what = TYPED[name]
    return Range(SPANS[of].unit, SPANS[of].least if least is None else least, SPANS[of].most, what)


PAIRS: Final = tuple(dict.fromkeys(pair for each in OF_OUTLET.values() for pair in each.usual))
"""The pairs of contacts of all outlets, each once."""
RANGES: Final = {
    "breaker_amps": _typed("breaker_amps"),
    "meter.accuracy_percent": _typed("accuracy_percent"),
    "meter.accuracy_volts": _typed("accuracy_volts"),
    **{f"volts.{pair}": _typed("volts") for pair in PAIRS},
    "loaded.amps": _typed("amps"),
    **{f"loaded.volts.{pair}": _typed("volts") for pair in PAIRS},
}


def read_entry(typed: str, asked: Range) -> str:
    """Give a typed number as it is kept, with a dot; comma or dot and the unit are understood.

    Raises
    ------
    ValueError
        With a sentence that says what to do.
    """
    text = _stripped(typed, asked.unit)
    if text.startswith(("-", "\u2212")):
        raise ValueError(_SIGN_OF_VOLTS if asked.unit == "V" else asked.outside)
    match = _NUMBER.fullmatch(text)
    if match is None or not any(sign.isdigit() for sign in text):
        raise ValueError(_unreadable(text, asked))
    number = _plain(match[1], match[2])
    if not asked.least <= float(number) <= asked.most:
        raise ValueError(asked.outside)
    if _BLANK_INSIDE.search(typed):
        raise ValueError(f"There is a blank inside the number. Did you mean {number}?")
    return number


def measured_entry(name: str, typed: str) -> str:
    """Give the entry of a field as a measured value with its unit."""
    return f"{read_entry(typed, RANGES[name])} {RANGES[name].unit}"


def _stripped(typed: str, unit: str) -> str:
    text = _BLANKS.sub("", typed)
    return text[: -len(unit)] if text.lower().endswith(unit.lower()) else text


def _unreadable(text: str, asked: Range) -> str:
    if re.match(r"\d{6,}", text, re.ASCII):
        return asked.outside
    if re.fullmatch(r"\d*[.,]\d{5,}", text, re.ASCII):
        return "Give at most four digits after the point."
    return f"Type {asked.what} as a number, such as {_EXAMPLES[asked.unit]}."


def _plain(whole: str, part: str | None) -> str:
    digits = whole.lstrip("0") or "0"
    return f"{digits}.{part}" if part else digits
