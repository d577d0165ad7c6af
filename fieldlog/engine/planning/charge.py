"""How much is left in a battery while loads run for their hours."""

from collections.abc import Sequence
from dataclasses import dataclass

from fieldlog.engine.planning.model import Battery


@dataclass(frozen=True)
class EveningLoad:
    """A load that runs from the beginning of an evening on.

    Parameters
    ----------
    watts : float
        What it takes [W].
    hours : float
        For how long [h].
    is_direct : bool
        Whether it hangs on the battery itself and not on the inverter.
    """

    watts: float
    hours: float
    is_direct: bool


@dataclass(frozen=True)
class Charge:
    """What becomes of a battery.

    Parameters
    ----------
    points : tuple of (float, float)
        Hours [h] and what is left of the usable energy then [Wh]; straight lines between them.
    empty_at : float or None
        When nothing usable is left [h]; None where it lasts.
    """

    points: tuple[tuple[float, float], ...]
    empty_at: float | None


def charge(battery: Battery, runs: Sequence[EveningLoad]) -> Charge:
    """Give what is left in a battery while loads run.

    Parameters
    ----------
    battery : Battery
        Full at the beginning.
    runs : sequence of EveningLoad
        All begin together; the inverter takes its own draw while one of them hangs on it.

    Returns
    -------
    Charge
        It ends with the last load, or with the battery.

    Notes
    -----
    What hangs on the inverter is divided by its efficiency; what hangs on the battery is not.

    Examples
    --------
    100 W on an inverter of 0.9 and 864 Wh: 8.64 h.

    >>> found = charge(Battery(1200.0, 0.8, 0.9, 0.0, 300.0), [EveningLoad(100.0, 24.0, False)])
    >>> round(found.empty_at, 2)
    8.64

    References
    ----------
    Common practice: ampere hours × volts × depth of discharge × efficiency ÷ watts.
    """
    left, before = battery.usable_watt_hours, 0.0
    points = [(0.0, left)]
    for hour in sorted({run.hours for run in runs}):
        taken = _watts(battery, [run for run in runs if run.hours >= hour])
        after = left - taken * (hour - before)
        if after < 0:
            empty_at = before + left / taken
            return Charge((*points, (empty_at, 0.0)), empty_at)
        points.append((hour, after))
        left, before = after, hour
    return Charge(tuple(points), None)


def _watts(battery: Battery, runs: Sequence[EveningLoad]) -> float:
    on_inverter = direct = 0.0
    is_inverter_on = False
    for run in runs:
        if run.is_direct:
            direct += run.watts
        else:
            on_inverter += run.watts
            is_inverter_on = True
    through = on_inverter / battery.efficiency + battery.idle_watts if is_inverter_on else 0.0
    return through + direct
