"""From which figure on something is said, and how, as schemas/facts/shown.json tells it to both languages."""

from typing import Any, Final

from fieldlog.tables import entries

_BY_ID: Final[dict[str, dict[str, Any]]] = {entry["id"]: entry for entry in entries("facts/shown.json")}
SHOWN_FROM: Final[float] = _BY_ID["shown-from"]["value"]
STANDS_FROM: Final[float] = _BY_ID["stands-from"]["value"]
SETTLES_FROM: Final[float] = _BY_ID["settles-from"]["value"]
WEAKEST_SUPPLY: Final[float] = _BY_ID["weakest-supply"]["value"]
WEAKEST_SUPPLY_SAYS: Final[str] = _BY_ID["weakest-supply"]["says"]
HOW_SURE: Final[tuple[tuple[float, str], ...]] = tuple(
    (float(least), str(words)) for least, words in _BY_ID["how-sure"]["how_sure"]
)
