"""What two readings tell of each other: apart by more than their errors, and the rig's part."""

from fieldlog.engine.trend.model import Reading


def is_apart(now: Reading, before: Reading) -> bool:
    """Say whether two readings differ by more than both may be off by together.

    Parameters
    ----------
    now, before : Reading
        Of one quantity, in one unit.

    Returns
    -------
    bool
        False where both may be readings of one value.

    Notes
    -----
    Each reading lies within its half width, so both can be true of one value up to the sum of the two.

    Examples
    --------
    >>> before = Reading(0, 0.4, 0.1)
    >>> is_apart(Reading(365, 0.9, 0.1), before), is_apart(Reading(365, 0.5, 0.1), before)
    (True, False)

    References
    ----------
    Interval arithmetic; no published source.
    """
    apart = now.value - before.value
    return (apart if apart >= 0.0 else -apart) > now.uncertainty + before.uncertainty


def rig_part(at_outlet: Reading, at_pedestal: Reading) -> Reading:
    """Give the ohms between a pedestal and an outlet of the rig that is plugged into it.

    Parameters
    ----------
    at_outlet, at_pedestal : Reading
        Ohms of the loop, both read under load in one visit [ohm].

    Returns
    -------
    Reading
        Of the day at the outlet: the difference, with both uncertainties added [ohm].

    Notes
    -----
    The loop up to the pedestal is a part of the loop up to the outlet, in series. Holds while both were fed
    from the same pedestal; a reading that the site's neighbours moved meanwhile is not told apart.

    Examples
    --------
    >>> part = rig_part(Reading(0, 0.5, 0.0625), Reading(0, 0.25, 0.0625))
    >>> part.value, part.uncertainty
    (0.25, 0.125)

    References
    ----------
    Ohm's law: impedances in series add.
    """
    return Reading(
        day=at_outlet.day,
        value=at_outlet.value - at_pedestal.value,
        uncertainty=at_outlet.uncertainty + at_pedestal.uncertainty,
    )
