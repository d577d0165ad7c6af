"""When the next test of a thing is due."""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class DueState(StrEnum):
    """How a monthly test stands on a given day."""

    NEVER = "never"
    OVERDUE = "overdue"
    TODAY = "today"
    LATER = "later"


@dataclass(frozen=True)
class Due:
    """When a monthly test was last made, when it is next due, and how that stands today.

    Parameters
    ----------
    last : date or None
        Day of the last test, None where there never was one.
    next : date or None
        Day on which the next one is due, None where there never was one: it is due at once.
    state : DueState
        How it stands on the day asked about.
    """

    last: date | None
    next: date | None
    state: DueState

    @property
    def is_due(self) -> bool:
        """Say whether the test should be made now."""
        return self.state is not DueState.LATER

    @property
    def words(self) -> str:
        """Give the state as the few words shown on a page."""
        if self.next is None:
            return "never tested"
        if self.state is DueState.TODAY:
            return "due today"
        verb = "overdue since" if self.state is DueState.OVERDUE else "next due"
        return f"{verb} {self.next.isoformat()}"


def month_after(last: date) -> date:
    """Give the same day of the next month, or that month's last day where it is shorter.

    Parameters
    ----------
    last : date
        Day of the last test, before the year 9999.

    Returns
    -------
    date
        Day on which the next one is due.

    Notes
    -----
    A rule that skips months without the day (RFC 5545 ``FREQ=MONTHLY`` anchored on the 29th to 31st) loses
    whole months of tests. Here a short month ends the wait early instead.

    Examples
    --------
    >>> month_after(date(2025, 1, 31))
    datetime.date(2025, 2, 28)
    >>> month_after(date(2025, 12, 31))
    datetime.date(2026, 1, 31)

    References
    ----------
    RFC 5545, section 3.8.5.3: invalid dates of a recurrence are ignored.
    """
    return months_after(last, 1)


def months_after(last: date, months: int) -> date:
    """Give the same day some months later, or that month's last day where it is shorter.

    Parameters
    ----------
    last : date
        Day of the last test, long enough before the year 9999.
    months : int
        How many months later, 1 or more.

    Returns
    -------
    date
        Day on which the next one is due.

    Examples
    --------
    >>> months_after(date(2026, 11, 30), 3)
    datetime.date(2027, 2, 28)
    """
    years, month = divmod(last.month - 1 + months, 12)
    year, month = last.year + years, month + 1
    return date(year, month, min(last.day, monthrange(year, month)[1]))


def due(last: date | None, today: date) -> Due:
    """Say when a monthly test is next due.

    Parameters
    ----------
    last : date or None
        Day of the last test.
    today : date
        The day asked about.

    Returns
    -------
    Due
        Never tested counts as due.

    Examples
    --------
    >>> due(date(2026, 10, 20), date(2026, 11, 25)).words
    'overdue since 2026-11-20'
    """
    if last is None:
        return Due(None, None, DueState.NEVER)
    following = month_after(last)
    if following == today:
        return Due(last, following, DueState.TODAY)
    return Due(last, following, DueState.OVERDUE if following < today else DueState.LATER)
