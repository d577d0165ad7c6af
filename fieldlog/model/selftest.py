"""Whether a ground-fault device tests itself, as far as the month of its making tells."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class SelfTestDate:
    """From when devices of some types have to test themselves.

    Parameters
    ----------
    applies_to : frozenset of str
        Types of device: "gfci-receptacle", "gfci-breaker", "cord-gfci".
    since : date
        Day of manufacture from which it holds.
    source : str
        Where that is said.
    """

    applies_to: frozenset[str]
    since: date
    source: str


def missing_self_test(kind: str, made: str | None, dates: Iterable[SelfTestDate]) -> SelfTestDate | None:
    """Give the requirement that a device may have been made before.

    Parameters
    ----------
    kind : str
        Type of the device.
    made : str or None
        Year and month of its making, "2015-07"; None where nobody knows it.
    dates : iterable of SelfTestDate
        From when devices have to test themselves.

    Returns
    -------
    SelfTestDate or None
        None where the device was made late enough, or nothing is required of its type.

    Notes
    -----
    A month that begins before the day counts as before it, and so does an unknown one: what cannot be
    told is not taken for granted. The month of installation plays no part, since a device may lie on a shelf.

    Examples
    --------
    >>> permanent = SelfTestDate(frozenset({"gfci-receptacle"}), date(2015, 6, 29), "UL 943")
    >>> missing_self_test("gfci-receptacle", "2015-06", [permanent]) == permanent
    True
    >>> missing_self_test("gfci-receptacle", "2015-07", [permanent]) is None
    True

    References
    ----------
    UL 943: permanently connected Class A devices from 2015-06-29, portable ones from 2021-05-05.
    """
    for required in dates:
        if kind in required.applies_to and not _is_surely_since(made, required.since):
            return required
    return None


def _is_surely_since(made: str | None, since: date) -> bool:
    return made is not None and date.fromisoformat(f"{made}-01") >= since
