"""The calendar file: days that no short month swallows, and a form that other programs read.

Source: RFC 5545 (September 2009), sections 3.1 (lines of at most 75 octets), 3.6.1 (UID and DTSTAMP), 3.3.10
(a day that a month does not have is ignored) and 3.8.5.3 (DTSTART is the first instance), expanded by
dateutil, a general date library.
"""

import json
from calendar import monthrange
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from fieldlog.model.due import months_after
from fieldlog.model.due_items import Thing, due_items
from fieldlog.reports.calendar import TIMES, RigDues, calendar
from tests.repository import ROOT

RULES = json.loads((ROOT / "schemas/facts/due.json").read_text(encoding="utf-8"))["entries"]
NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
SOURCE = "RFC 5545 (September 2009), sections 3.3.10 and 3.8.5.3"


def drawn(thing: Thing, today: date, **how: Any) -> bytes:
    items = due_items([thing], RULES, today, **how)
    return calendar([RigDues("p", "Puddle", items, how.get("season"))], RULES, made_at=NOW, today=today)


def events(text: bytes) -> list[Any]:
    """Give the events of a calendar file; their values have types of many kinds."""
    return list(Calendar.from_ical(text).walk("VEVENT"))


def days(text: bytes) -> list[date]:
    event = events(text)[0]
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


def months_of(found: list[date]) -> list[int]:
    """Count months from the first of the year 0."""
    return [day.year * 12 + day.month for day in found]


@pytest.mark.parametrize(
    ("thing", "season", "first", "by_day"),
    [
        (
            # changed on the last of a month after a test in its middle
            Thing("device", "d", "Galley", date(2026, 10, 15), changed=date(2026, 10, 31)),
            None,
            date(2026, 10, 31),
            31,
        ),
        (Thing("device", "d", "Galley", date(2026, 10, 15)), "10-31", date(2026, 10, 31), 31),
        (
            # changed in the middle of a month after a test on the last of one
            Thing("device", "d", "Galley", date(2026, 10, 31), changed=date(2026, 11, 25)),
            None,
            date(2026, 11, 25),
            25,
        ),
        (Thing("device", "d", "Galley", date(2026, 10, 31)), "11-25", date(2026, 11, 25), 25),
        (
            Thing("device", "d", "Galley", date(2026, 9, 1), failed=date(2026, 10, 31)),
            None,
            date(2026, 10, 31),
            31,
        ),
        (Thing("device", "d", "Galley", None), None, date(2026, 10, 31), 31),
    ],
)
def test_an_entry_begins_on_its_own_day_and_loses_no_month(
    thing: Thing, season: str | None, first: date, by_day: int
) -> None:
    """Source: RFC 5545 (September 2009), sections 3.3.10 and 3.8.5.3."""
    found = days(drawn(thing, first, season=season))

    assert found[0] == first
    assert months_of(found) == list(range(months_of([first])[0], months_of([first])[0] + TIMES))
    assert [day.day for day in found] == [min(by_day, monthrange(day.year, day.month)[1]) for day in found]


PAST = st.dates(date(2024, 1, 1), date(2026, 6, 30))


@given(
    st.sampled_from(["device", "outlet", "outlet-loaded", "ground", "cord"]),
    st.none() | PAST,
    st.none() | PAST,
    st.none() | PAST,
    st.none() | st.dates(date(2028, 1, 1), date(2028, 12, 31)).map("{:%m-%d}".format),
    st.dates(date(2026, 7, 1), date(2026, 12, 31)),
)
def test_every_entry_has_one_day_in_each_of_its_months_whatever_makes_it_due(
    what: str, last: date | None, failed: date | None, changed: date | None, season: str | None, today: date
) -> None:
    """Source: RFC 5545 (September 2009), sections 3.3.10 and 3.8.5.3."""
    thing = Thing(what, "s", "Galley", last, failed=failed, changed=changed)
    text = drawn(thing, today, season=season, chosen=("assured-3",))
    step = {"outlet-loaded": 3, "ground": 3}.get(what, 1)

    found = days(text)
    first = months_of(found)[0]
    assert found[0] == events(text)[0]["DTSTART"].dt >= today
    assert months_of(found) == list(range(first, first + TIMES * step, step))


def test_the_season_stands_in_the_calendar_before_it_begins() -> None:
    thing = Thing("device", "d", "Galley", date(2027, 3, 20))

    (device, season) = events(drawn(thing, date(2027, 3, 25), season="04-01"))
    assert (device["DTSTART"].dt, season["DTSTART"].dt) == (date(2027, 4, 1), date(2027, 4, 1))
    assert str(season["SUMMARY"]) == "Puddle: The season begins: test what was not tested since"
    (device, season) = events(drawn(thing, date(2027, 3, 25), season="06-15"))
    assert (device["DTSTART"].dt, season["DTSTART"].dt) == (date(2027, 4, 20), date(2027, 6, 15))
    assert "RRULE" not in season


def test_where_nothing_comes_round_no_season_stands_in_the_calendar() -> None:
    text = calendar([RigDues("p", "Puddle", (), "04-01")], RULES, made_at=NOW, today=NOW.date())

    assert events(text) == []


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
        [RigDues("p", "Puddle", items, "04-01"), RigDues("d", "Puddle", items[2:], "04-01")],
        RULES,
        made_at=NOW,
        today=date(2026, 11, 25),
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
