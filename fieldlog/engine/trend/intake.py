"""A JSON object to a series, or every problem in it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from fieldlog.engine.fields import Fields
from fieldlog.engine.trend.model import Reading
from fieldlog.errors import BadInput
from fieldlog.model.spans import SPANS

QUANTITIES: Final[Mapping[str, tuple[float, float, str]]] = {
    "loop-ohms": (-1000.0, 1000.0, "ohm"),
    "neutral-ohms": (-1000.0, 1000.0, "ohm"),
    "volts": (SPANS["volts"].least, SPANS["volts"].most, SPANS["volts"].unit),
    "trip-ms": (SPANS["milliseconds"].least, SPANS["milliseconds"].most, SPANS["milliseconds"].unit),
}
"""Least, most and unit; ohms may read below nothing, as a meter's digits fall. Of ohms: own choices."""
MEMBERS: Final = ("quantity", "readings", "changes")
MOST_READINGS: Final = 1000
"""Own choice: eighty years of a reading a month."""
_DAY: Final = re.compile(r"(19|20|21)[0-9]{2}-[0-9]{2}-[0-9]{2}")
_DAY_WORDS: Final = "must be a day such as 2026-01-05."


@dataclass(frozen=True)
class Series:
    """Readings of one quantity, and what restarts its baseline.

    Parameters
    ----------
    quantity : str
        One of QUANTITIES.
    readings : tuple of Reading
        In the order of their days; of one day, as they were given.
    changes : tuple of int
        Days on which the wiring, the meter or the load changed [d].
    """

    quantity: str
    readings: tuple[Reading, ...]
    changes: tuple[int, ...] = ()

    @property
    def since_change(self) -> tuple[Reading, ...]:
        """Give the readings from the last change on; one of that day counts as made after it."""
        last = max(self.changes, default=None)
        return tuple(one for one in self.readings if last is None or one.day >= last)


def read_series(value: Any) -> Series:
    """Give the series that a JSON object stands for.

    Parameters
    ----------
    value : JSON value
        As for `trend`.

    Returns
    -------
    Series
        In the order of days.

    Raises
    ------
    BadInput
        With every problem found, each naming its member.
    """
    fields = Fields()
    found = fields.members(value, "", MEMBERS, ("quantity", "readings"))
    quantity = fields.choice(found, "quantity", "", tuple(QUANTITIES))
    items = fields.items(found, "readings")
    if len(items) > MOST_READINGS:
        fields.problem("/readings", f"must be at most {MOST_READINGS} readings.")
    readings = [
        _reading(fields, one, f"/readings/{i}", quantity) for i, one in enumerate(items[:MOST_READINGS])
    ]
    changes = [
        day_number(fields, one, f"/changes/{i}") for i, one in enumerate(fields.items(found, "changes"))
    ]
    if fields.problems:
        raise BadInput(fields.problems)
    return Series(quantity, tuple(sorted(readings, key=lambda one: one.day)), tuple(changes))


def _reading(fields: Fields, value: Any, at: str, quantity: str | None) -> Reading:
    found = fields.members(value, at, ("at", "value", "uncertainty"), ("at", "value", "uncertainty"))
    least, most, unit = QUANTITIES[quantity or "loop-ohms"]
    day = day_number(fields, found["at"], f"{at}/at") if "at" in found else 0
    return Reading(
        day=day,
        value=_value(fields, found, at, (least, most, unit)) if quantity else 0.0,
        uncertainty=_uncertainty(fields, found, at, most, unit),
    )


def _value(fields: Fields, found: Mapping[str, Any], at: str, allowed: tuple[float, float, str]) -> float:
    least, most, unit = allowed
    value = found.get("value", 0.0)
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if not is_number or not least <= value <= most:
        fields.problem(f"{at}/value", f"must be a number from {least:g} to {most:g} {unit}.")
        return 0.0
    return float(value)


def _uncertainty(fields: Fields, found: Mapping[str, Any], at: str, most: float, unit: str) -> float:
    if "uncertainty" in found and found["uncertainty"] is None:
        fields.problem(f"{at}/uncertainty", f"must be a number above 0 to {most:g} {unit}.")
    return fields.number(found, "uncertainty", at, most, unit) or 1.0


def day_number(fields: Fields, value: Any, at: str) -> int:
    """Give a day as a count of days, 0 where it is none.

    Parameters
    ----------
    fields : Fields
        Keeps the problem.
    value : JSON value
        A day of the Gregorian calendar as YYYY-MM-DD, 1900 to 2199.
    at : str
        JSON pointer of the member.

    Returns
    -------
    int
        Days from 1 January of the year 1 on [d].

    Raises
    ------
    Nothing
        A problem is kept in `fields`.
    """
    if isinstance(value, str) and _DAY.fullmatch(value):
        try:
            return date.fromisoformat(value).toordinal()
        except ValueError:
            pass
    fields.problem(at, _DAY_WORDS)
    return 0


def day_text(day: int) -> str:
    """Give a count of days as a day, such as 2026-01-05."""
    return date.fromordinal(day).isoformat()


def days(readings: Sequence[Reading]) -> int:
    """Count the different days of readings."""
    return len({one.day for one in readings})
