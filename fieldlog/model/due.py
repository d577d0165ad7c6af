"""When the next test of a thing is due."""

from calendar import monthrange
from datetime import MAXYEAR, date


def months_after(last: date, months: int) -> date:
    """Give the same day some months later, or that month's last day where it is shorter.

    Parameters
    ----------
    last : date
        Day of the last test.
    months : int
        How many months later, 1 or more.

    Returns
    -------
    date
        Day on which the next one is due; the last day of the year 9999 where that lies beyond it.

    Notes
    -----
    A rule that skips months without the day (RFC 5545 ``FREQ=MONTHLY`` anchored on the 29th to 31st) loses
    whole months of tests. Here a short month ends the wait early instead.

    Examples
    --------
    >>> months_after(date(2025, 1, 31), 1)
    datetime.date(2025, 2, 28)
    >>> months_after(date(2026, 11, 30), 3)
    datetime.date(2027, 2, 28)

    References
    ----------
    RFC 5545, section 3.3.10: invalid dates of a recurrence are ignored.
    """
    years, month = divmod(last.month - 1 + months, 12)
    year, month = last.year + years, month + 1
    if year > MAXYEAR:
        return date.max
    return date(year, month, min(last.day, monthrange(year, month)[1]))


def days_after(day: date, days: int) -> date:
    """Give the day some days later.

    Parameters
    ----------
    day : date
        Any day.
    days : int
        How many days later, 0 or more.

    Returns
    -------
    date
        The last day of the year 9999 where that lies beyond it.

    Examples
    --------
    >>> days_after(date(2026, 12, 31), 1), days_after(date(9999, 12, 31), 1)
    (datetime.date(2027, 1, 1), datetime.date(9999, 12, 31))
    """
    return date.fromordinal(min(day.toordinal() + days, date.max.toordinal()))
