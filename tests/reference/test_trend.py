"""Slopes and cumulative sums against outside results.

Source: SciPy's theilslopes, as tests/authorities/theil_sen.json keeps what it gave; NIST/SEMATECH e-Handbook
of Statistical Methods, 6.3.2.3, CUSUM control charts, the tabular example (its table from memory; its columns
can be redone by hand from the readings).
"""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.engine.trend.alarm import cumulative_sums
from fieldlog.engine.trend.model import Reading
from fieldlog.engine.trend.slope import slope_of

THEIL_SEN: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "authorities/theil_sen.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", THEIL_SEN["cases"], ids=lambda case: case["about"])
def test_slope_and_interval_are_those_of_a_library(case: dict[str, Any]) -> None:
    """SciPy, scipy.stats.theilslopes at 0.95."""
    readings = [Reading(day, value, 1.0) for day, value in zip(case["days"], case["values"], strict=True)]
    found = slope_of(readings)

    assert found is not None
    assert (found.per_year, found.low, found.high) == pytest.approx(
        (case["slope"], case["low"], case["high"]), rel=1e-9, abs=1e-12
    )


# NIST/SEMATECH 6.3.2.3: means of twenty samples, target 325, k 0.3175, h 4.1959; the sums as printed.
MEANS = (
    *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600),
    *(324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
)
HIGH = (0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04)
LOW = (0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, 0, 0, 0, 0, 0, 0, 0, 0)


def test_cumulative_sums_are_those_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook, 6.3.2.3: the alarm is raised at the fourteenth sample."""
    sums = cumulative_sums([mean - 325.0 for mean in MEANS], 0.3175)

    assert [one.high for one in sums] == pytest.approx(HIGH, abs=0.0051)
    assert [one.low for one in sums] == pytest.approx(LOW, abs=0.0051)
    assert next(i for i, one in enumerate(sums, 1) if one.high > 4.1959) == 14
