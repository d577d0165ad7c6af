"""How soon ten years of an outlet are judged, told and drawn."""

from collections.abc import Iterator
from functools import partial

from fieldlog.engine.trend.intake import Series as Readings
from fieldlog.engine.trend.trend import told
from fieldlog.reports.chart import chart_of
from fieldlog.reports.series import Series
from fieldlog.reports.series_words import flag_of, summary
from tests.bench_rows import Promise, Row, timed
from tests.calibration import beside, middle_ms
from tests.reports.test_chart import a_series

DRAWN_SOON = Promise(most_ms=20)
MONTHS = 121


def rows() -> Iterator[Row]:
    """Give the row of a chart: a reading a month for ten years, drifting in the last."""
    values = [0.2 + 0.01 * (month % 3) + 0.03 * max(0, month - 108) for month in range(MONTHS)]
    draw = partial(_draw, a_series(*values))
    yield timed(
        "a chart of ten years", beside(partial(middle_ms, draw)), "Python", DRAWN_SOON, is_listed=True
    )


def _draw(series: Series) -> None:
    readings = Readings(series.quantity, tuple(point.reading for point in series.points))
    judged = Series(**{**vars(series), "told": told(readings)})
    assert summary(judged)
    assert flag_of(judged, [judged])
    assert chart_of(judged).dots
