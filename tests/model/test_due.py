"""Days some months or days later, as far as years reach.

Source of the trap: RFC 5545 (September 2009), section 3.3.10, ignores days that a month does not have, so
that a monthly rule from the 31st skips months (2025-01-31, then 03-31). Testing by month is common practice.
"""

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.model.due import days_after, months_after

CASES = json.loads((Path(__file__).parents[1] / "cases" / "due.json").read_text(encoding="utf-8"))
DAYS = st.dates(date(1990, 1, 1), date(2190, 1, 1))


@pytest.mark.parametrize("case", CASES["months"], ids=lambda case: f"{case['last']}+{case['months']}")
def test_the_next_test_is_due_on_the_day_of_the_last_some_months_later(case: dict[str, Any]) -> None:
    assert months_after(date.fromisoformat(case["last"]), case["months"]).isoformat() == case["day"]


@pytest.mark.parametrize("case", CASES["days"], ids=lambda case: f"{case['day']}+{case['days']}")
def test_days_go_on_over_the_ends_of_months_and_end_with_the_last_year(case: dict[str, Any]) -> None:
    assert days_after(date.fromisoformat(case["day"]), case["days"]).isoformat() == case["later"]


@given(DAYS)
def test_no_month_is_ever_skipped(last: date) -> None:
    following = months_after(last, 1)

    assert (following.year * 12 + following.month) - (last.year * 12 + last.month) == 1
    assert timedelta(28) <= following - last <= timedelta(31)


@given(st.dates(), st.dates(), st.integers(1, 24))
def test_a_later_test_is_never_due_earlier(one: date, other: date, months: int) -> None:
    assert months_after(min(one, other), months) <= months_after(max(one, other), months)
