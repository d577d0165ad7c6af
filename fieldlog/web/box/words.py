"""How the answer about a box is worded. Cubic inches are shown exactly, as decimals."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from fieldlog.model.code_tables import CodeTables

_IN3: Final = "\u00a0in³"
_METAL: Final = "metal-box-"
_SHAPES: Final = {"device": "Device box", "square": "Square", "round": "Round or octagon"}
_FRACTIONS: Final = {".125": "⅛", ".25": "¼", ".5": "½", ".6875": "¹¹\u2044₁₆", ".75": "¾", ".875": "⅞"}


@dataclass(frozen=True)
class BoxVerdict:
    """What the page says of a box: a word with its shape, a sentence, the parts and sums, and the source."""

    word: str
    shape: str
    sentence: str
    parts: Sequence[tuple[str, str]]
    source: str


def told(found: Mapping[str, Any]) -> BoxVerdict:
    """Word an answer of the engine."""
    needed, volume = exact(found["needed_in3"]), exact(found["volume_in3"])
    if found["fits"]:
        word, shape, sentence = "It holds it", "use", f"{needed} of {volume}{_IN3}."
    else:
        over = _plain(Decimal(needed) - Decimal(volume))
        word, shape = f"Too full by {over}{_IN3}", "waits-amber"
        sentence = f"{needed}{_IN3} in a box of {volume}{_IN3}: a larger box is needed."
    parts = [(one["what"].capitalize(), exact(one["in3"])) for one in found["parts"]]
    sums = [("Together", needed), ("The box", volume)]
    return BoxVerdict(word, shape, sentence, [*parts, *sums], found["source"])


def exact(in3: float) -> str:
    """Write a volume as it was typed or printed."""
    return _plain(Decimal(str(in3)))


def metal_boxes(tables: CodeTables) -> Sequence[tuple[str, str]]:
    """Give the metal boxes of Table 314.16(A) by shape and measures, each with its volume."""
    found = ((key.removeprefix(_METAL), one.value) for key, one in tables.entries.items() if _METAL in key)
    return [(_box_name(*key.split("-")), exact(in3)) for key, in3 in found]


def _box_name(shape: str, measures: str) -> str:
    for decimals, fraction in _FRACTIONS.items():
        measures = measures.replace(decimals, fraction)
    return f"{_SHAPES[shape]} {measures.replace('x', ' × ')}"


def _plain(number: Decimal) -> str:
    return format(number.normalize(), "f")
