"""A clock that is wrong by thousands of years: what it dates is kept and shown, and every page goes on."""

import pytest

from tests.builders import (
    a_change,
    a_look,
    a_proof,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_outlet,
    an_outlet_test,
)
from tests.conftest import Person
from tests.web.rigs import Noted, note_a_rig
from tests.web.test_calendar import events, make_feed

FIRST, LAST = "0001-01-01T00:00:00.000+14:00", "9999-12-31T23:59:59.999-12:00"


def note_it_all(owner: Person, noted: Noted, observed_at: str) -> None:
    """Note a record of each kind that makes or moves a due day."""
    change = a_change(noted.rig, observed_at=observed_at)
    records = [
        change,
        a_proof(noted.rig, change["id"], observed_at=observed_at),
        a_trip_test(noted.rig, noted.device, observed_at=observed_at),
        an_outlet_test(noted.rig, noted.galley, observed_at=observed_at),
        an_arrival_check(observed_at=observed_at),
        an_outlet_test(noted.rig, noted.galley),
        a_look(noted.rig, observed_at=observed_at),
    ]
    assert {receipt["status"] for receipt in owner.send(*records)} == {"stored"}


@pytest.mark.parametrize("observed_at", [FIRST, LAST, "9999-12-15T10:00:00.000+01:00"])
def test_every_page_of_a_rig_answers_whatever_year_its_records_bear(
    owner: Person, stranger: Person, observed_at: str
) -> None:
    noted = note_a_rig(owner)
    note_it_all(owner, noted, observed_at)

    pages = ["/rigs", "/history", "/calendar", "/find?words=galley", "/find.csv", noted.page]
    pages += [f"{noted.page}/outlets/{noted.galley}/trends", f"{noted.page}/trends"]
    pages += [
        f"{noted.page}/{of}" for of in ("calendar.ics", "record", "record.pdf", "labels", "map/versions")
    ]
    assert {page: owner.client.get(page).status_code for page in pages} == dict.fromkeys(pages, 200)
    assert stranger.client.get(make_feed(owner)).status_code == 200


def test_a_press_dated_thousands_of_years_ahead_keeps_nothing_from_being_due(owner: Person) -> None:
    noted = note_a_rig(owner)
    trip = a_trip_test(noted.rig, noted.device, observed_at=LAST)
    owner.send(trip)

    page = owner.client.get(noted.page).text
    assert 'data-state="never"' in page and "Trips and" not in page
    assert "Its last result, 9999-12-31" in page
    shown = f"{noted.page}/devices/{noted.device}/trip-tests/{trip['id']}"
    assert 'data-due="never"' in owner.client.get(shown).text
    found = events(owner.client.get(f"{noted.page}/calendar.ics").data)
    assert {event["DTSTART"].dt.isoformat() for event in found} == {"2026-11-25"}


def test_a_rig_of_more_parts_than_a_map_may_have_takes_no_other_page_away(owner: Person) -> None:
    rig = a_rig()
    outlets = [an_outlet(rig["id"], f"Outlet {number}") for number in range(501)]
    records = [rig, *outlets, a_change(rig["id"])]
    for first in range(0, len(records), 100):
        owner.send(*records[first : first + 100])

    assert owner.client.get("/rigs").status_code == 200
    assert owner.client.get(f"/rigs/{rig['id']}/calendar.ics").status_code == 200
