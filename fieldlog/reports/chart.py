"""Where things stand in the chart of a series, in units of its view box. Pure: it draws nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from fieldlog.reports.series import Mark, Point, Series, SeriesLine

WIDTH, HEIGHT = 340.0, 220.0
LEFT, RIGHT, TOP, BOTTOM = 46.0, 332.0, 12.0, 190.0
"""Edges of the field that the readings stand in."""
STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
MOST_TICKS = 6
MONTHS: Final = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 2400, 6000, 12000, 24000)
TIGHTEST_DAYS = 30
"""Own choice: a series of fewer days is drawn as one of so many."""
LAST_DAY = date.max.toordinal()


@dataclass(frozen=True)
class Dot:
    """A reading: its place, and from where to where it may be."""

    x: float
    y: float
    top: float
    bottom: float
    point: Point


@dataclass(frozen=True)
class Rule:
    """A limit's line, and where its word stands."""

    y: float
    line: SeriesLine


@dataclass(frozen=True)
class Post:
    """Where something changed; letters name those that a page tells below."""

    x: float
    letter: str
    mark: Mark


@dataclass(frozen=True)
class Tick:
    """A number or a day beside the field."""

    at: float
    word: str


@dataclass(frozen=True)
class Chart:
    """A series as it is drawn."""

    dots: tuple[Dot, ...]
    rules: tuple[Rule, ...]
    posts: tuple[Post, ...]
    numbers: tuple[Tick, ...]
    days: tuple[Tick, ...]
    path: str


@dataclass(frozen=True)
class Scale:
    """From values to places along one edge."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Give the place of a value."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def chart_of(series: Series) -> Chart:
    """Give where everything of a series with at least one reading stands."""
    step, values = _values(series)
    time = _time(series.points)
    dots = tuple(_dot(point, time, values) for point in series.points)
    rules = tuple(
        Rule(values.at(line.value), line) for line in series.lines if values.low <= line.value <= values.high
    )
    inside = [mark for mark in series.marks if time.low <= mark.day.toordinal() <= time.high]
    posts = tuple(
        Post(time.at(mark.day.toordinal()), chr(ord("A") + place % 26), mark)
        for place, mark in enumerate(inside)
    )
    return Chart(dots, rules, posts, _numbers(values, step), _days(time), _path(dots))


def _dot(point: Point, time: Scale, values: Scale) -> Dot:
    return Dot(
        x=time.at(point.day.toordinal()),
        y=values.at(point.value),
        top=values.at(point.value + point.uncertainty),
        bottom=values.at(point.value - point.uncertainty),
        point=point,
    )


def _values(series: Series) -> tuple[float, Scale]:
    """Give the step between numbers, and the scale: all readings with their errors, and the next limit."""
    low = min(point.value - point.uncertainty for point in series.points)
    high = max(point.value + point.uncertainty for point in series.points)
    above = [line.value for line in series.lines if line.value >= high]
    below = [line.value for line in series.lines if line.value <= low]
    if above and min(above) - low <= 4.0 * (high - low):
        high = min(above)
    if below and high - max(below) <= 4.0 * (high - low):
        low = max(below)
    step = _step((high - low) or 1.0)
    low, high = step * (low // step), -step * (-high // step)
    return step, Scale(low, high if high > low else low + step, BOTTOM, TOP)


def _step(span: float) -> float:
    """Give a round step of which a span has a handful."""
    size = 1.0
    while size * MOST_TICKS * 10.0 < span:
        size *= 10.0
    while size * MOST_TICKS > span:
        size /= 10.0
    return next(size * step for step in (*STEPS, 20.0) if size * step * (MOST_TICKS - 1) >= span)


def _time(points: Sequence[Point]) -> Scale:
    days = [point.day.toordinal() for point in points]
    first, last = min(days), max(days)
    if last - first < TIGHTEST_DAYS:
        first = max(min(first, LAST_DAY - TIGHTEST_DAYS), 1)
        last = first + TIGHTEST_DAYS
    return Scale(first, last, LEFT + 8.0, RIGHT - 8.0)


def _numbers(values: Scale, step: float) -> tuple[Tick, ...]:
    count = round((values.high - values.low) / step)
    decimals = next((places for places in range(4) if abs(step - round(step, places)) < step / 1000), 3)
    found = (values.low + step * place for place in range(count + 1))
    return tuple(Tick(values.at(value), f"{value + 0.0:.{decimals}f}") for value in found)


def _days(time: Scale) -> tuple[Tick, ...]:
    """Give the first days of some years or months that lie on the field."""
    first, last = date.fromordinal(int(time.low)), date.fromordinal(int(time.high))
    months = (last.year - first.year) * 12 + last.month - first.month
    step = next(each for each in MONTHS if months / each <= 5)
    found = []
    for place in range(first.year * 12, last.year * 12 + 12, step):
        year, month = divmod(place, 12)
        if 1 <= year <= 9999:
            day = date(year, month + 1, 1)
            if first <= day <= last:
                found.append(Tick(time.at(day.toordinal()), day.isoformat()[: 7 if step < 12 else 4]))
    return tuple(found) or (Tick(time.at(time.low), first.isoformat()),)


def _path(dots: Sequence[Dot]) -> str:
    return "M" + " L".join(f"{dot.x:.1f} {dot.y:.1f}" for dot in dots)
