"""The months that alarms and the fire extinguisher carry as their end."""

from collections.abc import Mapping
from datetime import date
from typing import Final

ENDS: Final[Mapping[str, str]] = {
    "smoke": "Smoke alarm",
    "co": "Carbon monoxide alarm",
    "gas": "Gas alarm",
    "extinguisher": "Fire extinguisher",
}
NEAR_MONTHS: Final = 3
"""Own choice: time enough to buy one."""


def end_standing(month: str, today: date) -> str:
    """Say how the end of a thing stands; the month itself still belongs to it.

    Parameters
    ----------
    month : str
        Year and month, "2031-05".
    today : date
        The day asked about.

    Returns
    -------
    str
        "past", "near" or "later".

    Examples
    --------
    >>> [end_standing(month, date(2031, 3, 31)) for month in ("2031-02", "2031-03", "2031-05", "2031-06")]
    ['past', 'near', 'near', 'later']
    """
    year, number = (int(part) for part in month.split("-"))
    left = year * 12 + number - (today.year * 12 + today.month)
    if left < 0:
        return "past"
    return "near" if left < NEAR_MONTHS else "later"


def end_lines(ends: Mapping[str, str], today: date) -> list[str]:
    """Give a line for each end that is past or near.

    Parameters
    ----------
    ends : mapping of str to str
        Months by what they stand on: smoke, co, gas, extinguisher.
    today : date
        The day asked about.

    Returns
    -------
    list of str
        In the order of `ENDS`.

    Examples
    --------
    >>> end_lines({"gas": "2026-05"}, date(2026, 11, 30))
    ['Gas alarm: its end, 2026-05, is past. Replace it.']
    """
    said = {
        "past": "{name}: its end, {month}, is past. Replace it.",
        "near": "{name}: its end, {month}, is near. Have a new one ready.",
    }
    return [
        said[standing].format(name=name, month=ends[what])
        for what, name in ENDS.items()
        if what in ends and (standing := end_standing(ends[what], today)) in said
    ]
