"""The calendar file: days that no short month swallows, and a form that other programs read.

Source: RFC 5545, sections 3.1 (lines of at most 75 octets), 3.6.1 (UID and DTSTAMP) and 3.8.5.3 (recurrence),
expanded by dateutil, a general date library.
"""

import json
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from fieldlog.model.due import months_after
from fieldlog.model.due_items import Thing, due_items
from fieldlog.reports.calendar import TIMES, calendar
from tests.repository import ROOT

RULES = json.loads((ROOT / "schemas/facts/due.json").read_text(encoding="utf-8"))["entries"]
NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
SOURCE = "RFC 5545, section 3.8.5.3"


def drawn(thing: Thing, today: date) -> bytes:
    return calendar([("p", "Puddle", due_items([thing], RULES, today))], RULES, made_at=NOW, today=today)


def events(text: bytes) -> list[Any]:
    """Give the events of a calendar file; their values have types of many kinds."""
    return list(Calendar.from_ical(text).walk("VEVENT"))


def days(text: bytes) -> list[date]:
    (event,) = events(text)
    begins = datetime.combine(event["DTSTART"].dt, datetime.min.time())
    return [each.date() for each in rrulestr(event["RRULE"].to_ical().decode(), dtstart=begins)]


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)))
def test_what_is_to_come_stands_on_the_days_on_which_it_is_due(last: date) -> None:
    found = days(drawn(Thing("device", "d", "Galley", last), last + timedelta(days=1)))

    assert found == [months_after(last, 1 + month) for month in range(TIMES)]


@pytest.mark.parametrize(
    ("last", "expected"),
    [
        (
            date(2025, 1, 31),
            ["02-28", "03-31", "04-30", "05-31", "06-30"],
        ),  # RFC 5545: the form of the last day
        (date(2024, 12, 15), ["01-15", "02-15", "03-15", "04-15", "05-15"]),
    ],
)
def test_no_month_is_lost_from_the_end_of_one(last: date, expected: list[str]) -> None:
    found = days(drawn(Thing("device", "d", "Galley", last), last + timedelta(days=1)))

    assert [day.strftime("%m-%d") for day in found[:5]] == expected


def test_a_quarter_is_three_months() -> None:
    found = days(drawn(Thing("outlet-loaded", "o", "Awning", date(2025, 1, 15)), date(2025, 2, 1)))

    assert [day.isoformat() for day in found[:4]] == ["2025-04-15", "2025-07-15", "2025-10-15", "2026-01-15"]


@pytest.mark.parametrize("last", [None, date(2026, 9, 1)])
def test_what_is_overdue_or_was_never_tested_stands_on_today(last: date | None) -> None:
    found = days(drawn(Thing("device", "d", "Galley", last), date(2026, 11, 25)))

    assert found[0] == date(2026, 11, 25)


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), min_size=1, max_size=80))
def test_lines_are_folded_and_a_name_comes_back_as_it_was(name: str) -> None:
    text = drawn(Thing("device", "d", name, None), date(2026, 11, 25))

    assert all(len(line) <= 75 for line in text.split(b"\r\n")) and b"\n" not in text.replace(b"\r\n", b"")
    (event,) = events(text)
    assert str(event["SUMMARY"]).startswith(name)
    assert event["UID"] and event["DTSTAMP"].dt == NOW


def test_two_things_never_share_a_uid() -> None:
    things = [Thing(what, "o", "Awning", None) for what in ("outlet", "outlet-loaded")]
    things += [Thing("cord", None, "Cord", None), Thing("alarms", None, "Alarms", None)]
    items = due_items(things, RULES, date(2026, 11, 25))
    text = calendar(
        [("p", "Puddle", items), ("d", "Puddle", items[2:])], RULES, made_at=NOW, today=date(2026, 11, 25)
    )

    uids = [str(event["UID"]) for event in events(text)]
    assert len(set(uids)) == len(uids)


def test_a_calendar_of_nothing_is_still_one() -> None:
    """Source: RFC 5545, section 3.6: calendar properties and one or more calendar components."""
    text = calendar([], RULES, made_at=NOW, today=NOW.date())
    found = Calendar.from_ical(text)

    assert [each.name for each in found.subcomponents] == ["VTIMEZONE"]
    assert events(text) == []


def test_what_is_looked_at_is_not_said_to_be_tested() -> None:
    (never,) = events(drawn(Thing("cord", None, "Cord and inlet", None), NOW.date()))
    (again,) = events(drawn(Thing("outlet-look", "o", "Awning", date(2026, 11, 1)), NOW.date()))

    assert "Never looked at." in never["DESCRIPTION"]
    assert "Last looked at 2026-11-01." in again["DESCRIPTION"]
