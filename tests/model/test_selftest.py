"""Whether a ground-fault device tests itself (UL 943; the dates stand on public pages that quote it)."""

import json
from datetime import date
from typing import Any

import pytest

from fieldlog.model.selftest import SelfTestDate, missing_self_test
from tests.repository import ROOT

TABLE: list[dict[str, Any]] = json.loads(
    (ROOT / "schemas/limits/ground-fault-dates.json").read_text(encoding="utf-8")
)["entries"]
DATES = [
    SelfTestDate(frozenset(entry["applies_to"]), date.fromisoformat(entry["date"]), entry["source"])
    for entry in TABLE
]


@pytest.mark.parametrize(
    ("kind", "since"),
    [
        ("gfci-receptacle", date(2015, 6, 29)),
        ("gfci-breaker", date(2015, 6, 29)),
        ("cord-gfci", date(2021, 5, 5)),
    ],
)
def test_the_day_is_that_of_the_standard(kind: str, since: date) -> None:
    """UL 943: permanently connected devices from 2015-06-29, portable ones from 2021-05-05."""
    required = missing_self_test(kind, None, DATES)

    assert required is not None
    assert required.since == since
    assert "UL 943" in required.source


@pytest.mark.parametrize(
    ("kind", "made", "may_lack_it"),
    [
        ("gfci-receptacle", "2014-12", True),
        ("gfci-receptacle", "2015-06", True),
        ("gfci-receptacle", "2015-07", False),
        ("gfci-receptacle", "2021-05", False),
        ("gfci-receptacle", None, True),
        ("gfci-breaker", "2015-06", True),
        ("gfci-breaker", "2015-07", False),
        ("cord-gfci", "2015-07", True),
        ("cord-gfci", "2021-05", True),
        ("cord-gfci", "2021-06", False),
        ("cord-gfci", None, True),
    ],
)
def test_a_device_that_may_be_older_may_lack_the_self_test(
    kind: str, made: str | None, may_lack_it: bool
) -> None:
    """UL 943: a month that begins before the day may be one of the days before it."""
    assert (missing_self_test(kind, made, DATES) is not None) is may_lack_it


def test_nothing_is_said_of_a_device_that_no_date_is_for() -> None:
    assert missing_self_test("breaker", None, DATES) is None


def test_every_date_says_how_it_is_known() -> None:
    assert {entry["known"] for entry in TABLE} <= {"confirmed", "from memory"}
    assert all(entry["unit"] == "date" for entry in TABLE)
