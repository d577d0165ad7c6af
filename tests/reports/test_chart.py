"""Where things stand in a chart: by the law of its two scales, not by how it looks."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.reports.chart import BOTTOM, LEFT, RIGHT, TOP, chart_of
from fieldlog.reports.series import Mark, Point, Series, SeriesLine

LIMIT = SeriesLine(0.5, "note", "own choice", "2026-11-25")
FIRST = date(2025, 1, 5)


def a_series(*values: float, error: float = 0.05, days: int = 30) -> Series:
    points = tuple(
        Point(FIRST + timedelta(days=days * place), value, error, f"r{place}")
        for place, value in enumerate(values)
    )
    return Series("loop-ohms", "Loop", "ohm", 2, points, lines=(LIMIT,))


def test_a_reading_at_a_limit_is_drawn_on_the_limits_line() -> None:
    chart = chart_of(a_series(0.2, 0.5, 0.7))

    assert [rule.line for rule in chart.rules] == [LIMIT]
    assert chart.dots[1].y == chart.rules[0].y
    assert chart.dots[0].y > chart.rules[0].y > chart.dots[2].y


def test_a_change_is_drawn_where_a_reading_of_its_day_is() -> None:
    series = a_series(0.2, 0.3, 0.4)
    mark = Mark(series.points[1].day, "wiring changed: new cable")
    chart = chart_of(replace(series, marks=(mark,)))

    assert [post.x for post in chart.posts] == [chart.dots[1].x]


def test_a_change_before_the_first_reading_is_not_drawn_beside_it() -> None:
    mark = Mark(FIRST - timedelta(days=1), "wiring changed: new cable")

    assert chart_of(replace(a_series(0.2, 0.3), marks=(mark,))).posts == ()


def test_the_bar_through_a_reading_goes_as_far_as_it_may_be_off() -> None:
    chart = chart_of(a_series(0.2, 0.45, error=0.05))

    assert chart.dots[1].top == pytest.approx(chart.rules[0].y)


@given(
    st.lists(st.floats(-50, 500, allow_nan=False), min_size=1, max_size=40),
    st.floats(0.001, 30),
    st.integers(0, 400),
)
def test_all_that_is_drawn_lies_on_the_field_and_equal_spans_are_equally_long(
    values: list[float], error: float, days: int
) -> None:
    chart = chart_of(a_series(*values, error=error, days=days))
    gaps = [later.at - earlier.at for earlier, later in zip(chart.numbers, chart.numbers[1:], strict=False)]

    for dot in chart.dots:
        assert LEFT <= dot.x <= RIGHT
        assert TOP - 1e-6 <= dot.top <= dot.y <= dot.bottom <= BOTTOM + 1e-6
    assert 2 <= len(chart.numbers) <= 9
    assert gaps == pytest.approx([gaps[0]] * len(gaps))
    assert 1 <= len(chart.days) <= 6


@pytest.mark.parametrize("day", [date.min, date.max])
def test_the_first_and_the_last_day_of_all_are_drawn(day: date) -> None:
    series = replace(a_series(0.2), points=(Point(day, 0.2, 0.05, "r"),))
    [dot] = chart_of(series).dots

    assert LEFT <= dot.x <= RIGHT


def test_ten_years_have_their_years_under_them() -> None:
    days = [tick.word for tick in chart_of(a_series(*([0.2] * 121))).days]

    assert days == ["2027", "2029", "2031", "2033"]
