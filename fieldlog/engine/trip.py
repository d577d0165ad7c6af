"""What a trip test says about a ground-fault device.

The same arithmetic, in the same order, stands in static/js/engine/trip.js.
"""

from fieldlog.engine.limits import Finding
from fieldlog.model.check import Trip
from fieldlog.model.rulebook import Rulebook

UL_943 = "UL 943, Class A: T = (20 / I)^1.43 s"
CPSC = "common practice; CPSC staff position paper of 2001-04-20"
OSHA = "OSHA interpretation of 2003-07-09: only the device's own TEST decides"


def trip_findings(trips: tuple[Trip, ...], rulebook: Rulebook) -> list[Finding]:
    """Judge trip tests; what was not tested gives no finding, and no pass.

    Parameters
    ----------
    trips : tuple of Trip
        In the order made.
    rulebook : Rulebook
        For the domain of the time law.

    Returns
    -------
    list of Finding
        Stops for a device that did not trip by its button, kept its face live, did not reset, or was slow.
    """
    found: list[Finding] = []
    for trip in trips:
        found.extend(_one_trip(trip, rulebook))
    return found


def _one_trip(trip: Trip, rulebook: Rulebook) -> list[Finding]:
    found: list[Finding] = []
    if trip.by == "external" and trip.tripped is False:
        return [Finding("trip-inconclusive", "note", OSHA)]
    if trip.tripped is False:
        found.append(Finding("trip-failed", "stop", CPSC))
    if trip.by == "button" and trip.device == "this" and trip.tripped and trip.face_dead is None:
        found.append(Finding("face-not-read", "note", CPSC))
    if trip.face_dead is False:
        found.append(Finding("face-live-after-trip", "stop", CPSC))
    if trip.reset is False:
        found.append(Finding("reset-failed", "stop", CPSC))
    if _is_slow(trip, rulebook):
        found.append(Finding("trip-slow", "stop", UL_943, "milliseconds", trip.milliseconds))
    return found


def _is_slow(trip: Trip, rulebook: Rulebook) -> bool:
    if trip.milliseconds is None or trip.milliamps is None or trip.tripped is False:
        return False
    low, high = rulebook.limits["trip-low-milliamps"].value, rulebook.limits["trip-high-milliamps"].value
    if trip.milliamps < low or trip.milliamps > high:
        return False
    return not is_quick_enough(trip.milliseconds / 1000.0, trip.milliamps)


def is_quick_enough(seconds: float, milliamps: float) -> bool:
    """Tell whether a trip time keeps the time law of UL 943.

    Parameters
    ----------
    seconds : float
        Time to trip [s, 0 to 20].
    milliamps : float
        Fault current [mA, 6 to 264].

    Returns
    -------
    bool
        Whether t <= (20 / I)^1.43.

    Notes
    -----
    Both sides to the hundredth power: t^100 (I / 20)^143 <= 1, whole powers by repeated multiplication, so
    that no power function is needed.

    Examples
    --------
    6 mA may take 5.59 s and no more:

    >>> is_quick_enough(5.59, 6.0), is_quick_enough(5.60, 6.0)
    (True, False)

    References
    ----------
    UL 943, Class A time law (quoted in NEC Article 100 and CPSC papers).
    """
    product = 1.0
    for step in range(143):
        product = product * (milliamps / 20.0)
        if step < 100:
            product = product * seconds
    return product <= 1.0
