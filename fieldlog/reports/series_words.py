"""What a series says in words: for a screen reader, for print, and for whoever has to do something."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from fieldlog.engine.trend.apart import is_apart
from fieldlog.engine.trend.model import Reading, median
from fieldlog.reports.series import Mark, Point, Series

MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)
BESIDE = 3
"""Own choice: a level beside a change is the median of at most so many readings."""
ALARMS: Final = ("drifting", "stepped")
TOO_FEW: Final = "Too few to tell whether it drifts"
SURE: Final = (
    "By simulation a sound rig of eight outlets, read once a month, raises fewer than one such alarm in "
    "five years."
)
CANNOT_TELL: Final = (
    "Whether the site or the rig: cannot tell. Read the pedestal and this outlet under a load in one visit."
)
NEXT: Final[Mapping[str, str]] = {
    "loop-ohms": (
        "Next: read it again under the same load with the same meter. If it stays, unplug the rig and look "
        "at the plug, the inlet and this outlet for heat marks before it carries a load for long; opening a "
        "box is for whoever may do so under the local code, with the power off."
    ),
    "neutral-ohms": (
        "Next: read neutral to ground again, without and with the same load. If it stays, a neutral joint is "
        "getting worse: carry no load for long here until a licensed electrician has found it."
    ),
    "volts": "Next: read it again at another hour, and at the pedestal with the rig unplugged.",
    "trip-ms": (
        "Next: trip it again with the same tester and the same fault current. Replace it if that stays."
    ),
}


@dataclass(frozen=True)
class SeriesAlarm:
    """An alarm: what, since when, whose it is, how sure, and what to test next."""

    what: str
    whose: str
    sure: str
    next: str

    @property
    def sentences(self) -> tuple[str, ...]:
        """Give all of it."""
        return tuple(each for each in (self.what, self.whose, self.sure, self.next) if each)


def summary(series: Series) -> str:
    """Say in a sentence or two how a series went."""
    return " ".join(_summary(series))


def flag_of(series: Series, all_of_it: Sequence[Series]) -> SeriesAlarm | None:
    """Give the alarm of a series, None where none stands; the others tell whose it is."""
    state = series.told.get("state")
    if state not in ALARMS:
        return None
    now = median([point.value for point in series.points[-BESIDE:]])
    way = "drifts" if state == "drifting" else "has stepped"
    return SeriesAlarm(
        what=(
            f"{series.name} {way} since {day_words(date.fromisoformat(series.told['since']))}: "
            f"{amount(series, series.told['baseline'])} before, {amount(series, now)} now."
        ),
        whose=_whose(series, all_of_it),
        sure=f"{_slope(series)} {SURE}",
        next=NEXT[series.quantity],
    )


def amount(series: Series, value: float) -> str:
    """Give a value with the unit of its series."""
    return f"{value:.{series.decimals}f} {series.unit}"


def day_words(day: date) -> str:
    """Give a day as it is spoken: 2 March 2026."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _summary(series: Series) -> Iterator[str]:
    first, last = series.points[0], series.points[-1]
    if len(series.points) == 1:
        yield f"Read once, {day_words(first.day)}: {_with_error(series, first)}."
    elif is_apart(last.reading, first.reading):
        way = "rose" if last.value > first.value else "fell"
        yield (
            f"It {way} from {_number(series, first)} to {amount(series, last.value)} "
            f"in {_span(first.day, last.day)}{_steps(series)}."
        )
    else:
        yield (
            f"{amount(series, first.value)} on {day_words(first.day)}, {amount(series, last.value)} on "
            f"{day_words(last.day)}: no further apart than both may be off by{_steps(series)}."
        )
    yield _state(series)


def _state(series: Series) -> str:
    state, count = series.told["state"], series.told["count"]
    since = " since the last change" if count < len(series.points) else ""
    readings = "1 reading" if count == 1 else f"{count} readings"
    if state == "too-few":
        return f"{TOO_FEW}: {readings}{since}."
    if state == "steady":
        return f"No alarm over {readings}{since}. {_slope(series)}"
    way = "It drifts" if state == "drifting" else "It has stepped"
    return f"{way} since {day_words(date.fromisoformat(series.told['since']))}. {_slope(series)}"


def _slope(series: Series) -> str:
    told: Mapping[str, Any] = series.told
    if told.get("slope_per_year") is None:
        return ""
    low, high = (f"{told[name]:+.{series.decimals}f}" for name in ("slope_low", "slope_high"))
    return (
        f"Slope {told['slope_per_year']:+.{series.decimals}f} {series.unit} a year "
        f"(95 % interval {low} to {high})."
    )


def _steps(series: Series) -> str:
    """Name each change at which the level before and the level after lie apart."""
    found = [words for mark in _days_of(series.marks) if (words := _step_at(series, mark))]
    return "".join(f", {each}" for each in found)


def _days_of(marks: Sequence[Mark]) -> list[date]:
    return sorted({mark.day for mark in marks})


def _step_at(series: Series, day: date) -> str:
    before = [point for point in series.points if point.day < day][-BESIDE:]
    after = [point for point in series.points if point.day >= day][:BESIDE]
    if not before or not after or not is_apart(_level(after), _level(before)):
        return ""
    return f"a step at the change in {MONTHS[day.month - 1]} {day.year}"


def _level(points: Sequence[Point]) -> Reading:
    return Reading(
        0,
        median([point.value for point in points]),
        median([point.uncertainty for point in points]),
    )


def _whose(series: Series, all_of_it: Sequence[Series]) -> str:
    """Say whether the site or the rig moved, where both were read in one visit."""
    if series.quantity == "trip-ms":
        return ""
    if series.is_of_rig:
        return "It is the rig’s own part: the pedestal was read under a load in the same visits."
    rigs = next((one for one in all_of_it if one.is_of_rig), None)
    if series.quantity == "loop-ohms" and rigs is not None:
        if rigs.told["state"] in ALARMS:
            return "The rig’s own part moves as well."
        if rigs.told["state"] == "steady":
            return "The rig’s own part raises no alarm: it is the site’s."
    return CANNOT_TELL


def _span(first: date, last: date) -> str:
    months = round((last - first).days / 30.44)
    if months < 2:
        days = (last - first).days
        return "one day" if days <= 1 else f"{days} days"
    return f"{months} months" if months < 24 else f"{months // 12} years" + _and_months(months % 12)


def _and_months(months: int) -> str:
    return "" if months == 0 else " and 1 month" if months == 1 else f" and {months} months"


def _number(series: Series, point: Point) -> str:
    return f"{point.value:.{series.decimals}f}"


def _with_error(series: Series, point: Point) -> str:
    return f"{_number(series, point)} ± {amount(series, point.uncertainty)}"
