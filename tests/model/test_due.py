"""When the next trip test is due.

Source of the trap: RFC 5545, section 3.8.5.3, ignores days that a month does not have, so that a monthly rule
from the 31st skips months (2025-01-31, then 03-31). Testing by month is common practice.
"""

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.model.due import DueState, due, month_after

CASES = json.loads((Path(__file__).parents[1] / "cases" / "due.json").read_text(encoding="utf-8"))
DAYS = st.dates(date(1990, 1, 1), date(2190, 1, 1))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["last"])
def test_the_next_test_is_due_a_month_after_the_last(case: dict[str, str]) -> None:
    assert month_after(date.fromisoformat(case["last"])).isoformat() == case["next"]


@given(DAYS)
def test_no_month_is_ever_skipped(last: date) -> None:
    following = month_after(last)

    assert (following.year * 12 + following.month) - (last.year * 12 + last.month) == 1
    assert timedelta(28) <= following - last <= timedelta(31)


@given(DAYS, DAYS)
def test_a_later_test_is_never_due_earlier(one: date, other: date) -> None:
    assert month_after(min(one, other)) <= month_after(max(one, other))


@pytest.mark.parametrize(
    ("today", "state", "words"),
    [
        (date(2026, 12, 19), DueState.LATER, "next due 2026-12-20"),
        (date(2026, 12, 20), DueState.TODAY, "due today"),
        (date(2026, 12, 21), DueState.OVERDUE, "overdue since 2026-12-20"),
    ],
)
def test_a_test_is_overdue_the_day_after_it_was_due(today: date, state: DueState, words: str) -> None:
    found = due(date(2026, 11, 20), today)

    assert (found.state, found.words, found.is_due) == (state, words, state is not DueState.LATER)


def test_what_was_never_tested_is_due_at_once() -> None:
    found = due(None, date(2026, 11, 25))

    assert (found.words, found.is_due) == ("never tested", True)
