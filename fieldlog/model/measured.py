"""Measured values as records carry them: a decimal text with its unit, so that the precision is kept."""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, TypeGuard

from fieldlog.model.span import Span
from fieldlog.model.spans import READINGS, SPANS

_NUMBER: Final = re.compile(r"^[0-9]{1,5}(\.[0-9]{1,4})?$")

# Where a check holds measured values, and between which numbers, as the assessment takes them.
RANGES: Final[Mapping[str, Span]] = {member: SPANS[name] for member, name in READINGS.items()}
# Below these the names are pairs of contacts.
_BY_PAIR: Final = ("volts", "after")


def measured(text: str, unit: str) -> float:
    """Read a measured value.

    Parameters
    ----------
    text : str
        A number, one space and the unit, such as "121.3 V".
    unit : str
        The unit that is expected.

    Returns
    -------
    float
        The number, in that unit.

    Raises
    ------
    ValueError
        When the text is not such a value.

    Examples
    --------
    >>> measured("121.3 V", "V")
    121.3
    """
    number, _, found = text.partition(" ")
    if found != unit or not _NUMBER.fullmatch(number):
        raise ValueError(f"{text!r} is not a number with the unit {unit}")
    return float(number)


def check_input(check: Mapping[str, Any]) -> dict[str, Any]:
    """Turn the check of a record into the input of the assessment.

    Parameters
    ----------
    check : Mapping
        The member "check" of an arrival check or an outlet test, which has passed the schema.

    Returns
    -------
    dict
        The same members with numbers in place of measured texts.

    Examples
    --------
    >>> check_input({"outlet": "TT-30", "volts": {"h-n": "121.3 V"}, "look": []})
    {'outlet': 'TT-30', 'volts': {'h-n': 121.3}, 'look': []}
    """
    return {member: _as_input(member, value) for member, value in check.items()}


def out_of_range(check: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Go through the measured values of a check that no instrument can have shown.

    Yields
    ------
    tuple of str
        JSON pointer below the check, and a sentence.

    Examples
    --------
    >>> list(out_of_range({"volts": {"h-n": "1213 V"}}))
    [('/volts/h-n', '1213 V is not between 0 and 600 V; look for a lost decimal point.')]
    """
    for at, member, text in _texts("", "", check):
        if not RANGES[member].holds(measured(text, RANGES[member].unit)):
            yield at, outside(text, RANGES[member])


def outside(text: str, span: Span) -> str:
    """Say that no instrument can have shown a value.

    Examples
    --------
    >>> outside("0 A", Span("A", 0, 100, is_above=True))
    '0 A is not above 0 and up to 100 A; look for a lost decimal point.'
    """
    least = f"above {span.least:g} and up to" if span.is_above else f"between {span.least:g} and"
    return f"{text} is not {least} {span.most:g} {span.unit}; look for a lost decimal point."


def _as_input(member: str, value: Any) -> Any:
    if _is_object(value):
        return {inner: _as_input(member if member in _BY_PAIR else inner, v) for inner, v in value.items()}
    if _is_list(value):
        return [_as_input(member, item) for item in value]
    if isinstance(value, str) and member in RANGES:
        return measured(value, RANGES[member].unit)
    return value


def _texts(at: str, member: str, value: Any) -> Iterator[tuple[str, str, str]]:
    if _is_object(value):
        for inner, v in value.items():
            yield from _texts(f"{at}/{inner}", member if member in _BY_PAIR else inner, v)
    elif _is_list(value):
        for i, item in enumerate(value):
            yield from _texts(f"{at}/{i}", member, item)
    elif isinstance(value, str) and member in RANGES:
        yield at, member, value


def _is_object(value: Any) -> TypeGuard[Mapping[str, Any]]:
    return isinstance(value, Mapping)


def _is_list(value: Any) -> TypeGuard[Sequence[Any]]:
    return isinstance(value, list)
