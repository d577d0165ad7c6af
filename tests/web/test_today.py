"""Today is the day where the account is, by the newest record of its phone."""

from datetime import UTC, date, datetime
from typing import Any

import pytest

from fieldlog.store.session import Store
from fieldlog.store.zones import zone_of_account
from tests.builders import a_rig, a_trip_test, an_id
from tests.conftest import Clock, Person
from tests.web.rigs import Noted, note_a_rig
from tests.web.test_calendar import events, make_feed


def press(owner: Person, noted: Noted, observed_at: str) -> None:
    """Press TEST, so that it is due again a month later; nothing that is sent later has another zone."""
    trip = a_trip_test(noted.rig, noted.device, observed_at=observed_at)
    owner.post({"records": [trip], "sent_at": "2026-11-25T12:00:00.000Z"})


def said(owner: Person, noted: Noted) -> dict[str, str]:
    """Give each page that says how the press of TEST stands."""
    trip = events(owner.client.get(f"{noted.page}/calendar.ics").data)
    days = [str(each["DTSTART"].dt) for each in trip if "GFCI in the galley" in str(each["SUMMARY"])]
    pages = {name: owner.client.get(name).text for name in ("/rigs", noted.page, f"{noted.page}/record")}
    return {**pages, "calendar": days[0]}


@pytest.mark.parametrize(
    ("now", "last", "day"),
    [
        # 24 December, 18:00 in California
        (datetime(2026, 12, 25, 2, 0, tzinfo=UTC), "2026-11-24T10:00:00.000-08:00", "2026-12-24"),
        # 25 December, 01:00 in Berlin
        (datetime(2026, 12, 25, 0, 0, tzinfo=UTC), "2026-11-25T10:00:00.000+01:00", "2026-12-25"),
        # 25 December, 00:15 on the Chatham Islands in summer
        (datetime(2026, 12, 24, 10, 30, tzinfo=UTC), "2026-11-25T10:00:00.000+13:45", "2026-12-25"),
        (datetime(2026, 12, 24, 23, 59, tzinfo=UTC), "2026-11-24T10:00:00.000Z", "2026-12-24"),
    ],
)
def test_a_test_is_due_all_day_where_its_owner_is(
    owner: Person, clock: Clock, now: datetime, last: str, day: str
) -> None:
    noted = note_a_rig(owner)
    press(owner, noted, last)
    clock.time = now

    found = said(owner, noted)

    assert found.pop("calendar") == day
    assert [page.count("due today") for page in found.values()] == [1, 1, 1], found
    assert "overdue" not in "".join(found.values())


def test_the_feed_counts_by_the_accounts_zone_as_well(owner: Person, stranger: Person, clock: Clock) -> None:
    noted = note_a_rig(owner)
    press(owner, noted, "2026-11-24T10:00:00.000-08:00")
    clock.time = datetime(2026, 12, 25, 2, 0, tzinfo=UTC)

    found = events(stranger.client.get(make_feed(owner)).data)

    assert {event["DTSTART"].dt for event in found} == {date(2026, 12, 24)}


def test_the_service_record_is_dated_where_its_owner_is(owner: Person, clock: Clock) -> None:
    noted = note_a_rig(owner)
    press(owner, noted, "2026-11-24T10:00:00.000-08:00")
    clock.time = datetime(2026, 12, 25, 2, 0, tzinfo=UTC)

    assert "Made 2026-12-24 18:00 UTC-08:00." in owner.client.get(f"{noted.page}/record").text


def zone(store: Store, person: Person) -> Any:
    """Give the zone of somebody's account, as its offset."""
    assert person.account is not None
    with store.reading() as tx:
        return str(zone_of_account(tx, person.account.id))


def test_an_account_without_a_record_is_in_utc(owner: Person, store: Store) -> None:
    assert zone(store, owner) == "UTC"


def test_the_newest_record_to_arrive_tells_the_zone_whatever_its_clock_says(
    owner: Person, colleague: Person, store: Store
) -> None:
    owner.send(a_rig(observed_at="9999-12-31T23:00:00.000-05:00"))
    owner.send(a_rig(observed_at="2026-11-25T10:00:00.000-06:00"))
    colleague.send(a_rig(observed_at="2026-11-25T10:00:00.000+09:00"))

    assert zone(store, owner) == "UTC-06:00"


def test_a_form_without_script_tells_no_zone_but_a_phone_in_utc_does(owner: Person, store: Store) -> None:
    owner.send(a_rig(observed_at="2026-11-25T10:00:00.000-06:00"))
    for _ in range(25):
        owner.submit("/rigs/new", id=an_id(), name="Wren", outlet="TT-30", note="")

    assert zone(store, owner) == "UTC-06:00"

    told = a_rig(observed_at="2026-11-25T12:00:00.000+00:00")
    owner.post({"records": [told], "sent_at": "2026-11-25T12:00:00.000+00:00"})

    assert zone(store, owner) == "UTC"
