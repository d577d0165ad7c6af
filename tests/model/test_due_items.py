"""What of a rig is due, and by which rule.

Sources: 29 CFR 1926.404(b)(1)(iii)(E), at most 3 months, 6 where fixed and not exposed to damage, and before
use after a repair; UL 943 and the OSHA letter of 1992-02-04, the instructions say monthly; RFC 5545, section
3.3.10, for the months that have no such day.
"""

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.model.due import months_after
from fieldlog.model.due_items import Standing, Thing, due_items, season_after

ROOT = Path(__file__).parents[2]
CASES = json.loads((ROOT / "tests/cases/due-items.json").read_text(encoding="utf-8"))
RULES = json.loads((ROOT / "schemas/facts/due.json").read_text(encoding="utf-8"))["entries"]
DAYS = st.dates(date(1990, 1, 1), date(2190, 1, 1))


def thing(given: dict[str, Any]) -> Thing:
    names = ("last", "failed", "changed")
    days = {name: date.fromisoformat(day) if (day := given.get(name)) else None for name in names}
    return Thing(**{**given, **days})


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["about"])
def test_each_thing_is_due_by_the_rule_that_comes_first(case: dict[str, Any]) -> None:
    found = due_items(
        [thing(each) for each in case["things"]],
        RULES,
        date.fromisoformat(case["today"]),
        chosen=case.get("chosen", ()),
        season=case.get("season"),
    )

    assert [
        [item.thing.subject, item.rule, item.next and item.next.isoformat(), item.standing.value]
        for item in found
    ] == case["due"]


@given(DAYS, st.integers(1, 24), st.integers(1, 24))
def test_more_months_are_never_due_earlier_and_none_is_skipped(last: date, one: int, other: int) -> None:
    assert months_after(last, min(one, other)) <= months_after(last, max(one, other))
    following = months_after(last, one)
    assert (following.year * 12 + following.month) - (last.year * 12 + last.month) == one


@given(DAYS, st.integers(0, 400))
def test_a_thing_once_due_stays_due_until_it_is_tested(last: date, days: int) -> None:
    device = Thing("device", "d", "Galley", last)
    (item,) = due_items([device], RULES, months_after(last, 1) + timedelta(days))

    assert item.is_due and item.standing in (Standing.TODAY, Standing.OVERDUE)


@pytest.mark.parametrize(
    ("failed", "last", "today", "words"),
    [
        (None, None, date(2026, 12, 19), "never tested"),
        (None, date(2026, 11, 20), date(2026, 12, 19), "next due 2026-12-20"),
        (None, date(2026, 11, 20), date(2026, 12, 20), "due today"),
        (None, date(2026, 11, 20), date(2026, 12, 21), "overdue since 2026-12-20"),
        (date(2026, 11, 20), date(2026, 11, 20), date(2026, 12, 19), "failed at its last test"),
    ],
)
def test_how_a_thing_stands_is_said_in_a_few_words(
    failed: date | None, last: date | None, today: date, words: str
) -> None:
    (item,) = due_items([Thing("device", "d", "Galley", last, failed=failed)], RULES, today)

    assert (item.words, item.is_due) == (words, "next" not in words)


@given(DAYS, st.dates(date(2020, 1, 1), date(2020, 12, 31)), st.integers(0, 800))
def test_a_thing_is_never_later_than_the_season_that_begins_next(last: date, season: date, days: int) -> None:
    today = last + timedelta(days)
    (item,) = due_items([Thing("device", "d", "Galley", last)], RULES, today, season=f"{season:%m-%d}")
    begins = season_after(f"{season:%m-%d}", today)

    assert begins is not None and today < begins <= today + timedelta(366)
    assert item.next is not None and item.next <= min(begins, months_after(last, 1))


@pytest.mark.parametrize("season", ["13-01", "02-30", "April"])
def test_a_season_that_is_no_day_is_refused(season: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        due_items([], RULES, date(2026, 11, 25), season=season)
