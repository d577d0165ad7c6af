"""What is due as a calendar: a file for one rig, and a feed for all of them at a secret address."""

import hashlib
import logging
import re
from datetime import date, timedelta
from typing import Any

import pytest
from flask import Flask
from icalendar import Calendar

from fieldlog.store.session import Store
from tests.builders import a_rig, a_trip_test, an_id, an_outlet
from tests.conftest import Clock, Person
from tests.web.rigs import log_of, note_a_rig

MAKE, REVOKE = "/calendar/feed", "/calendar/feed/removal"


def events(text: bytes) -> list[Any]:
    """Give the entries of a calendar."""
    return list(Calendar.from_ical(text).walk("VEVENT"))


def summaries(text: bytes) -> str:
    """Give what the entries are called."""
    return "\n".join(str(event["SUMMARY"]) for event in events(text))


def make_feed(person: Person) -> str:
    """Make a feed and give the path of its address, off the page that shows it."""
    answer = submit(person, MAKE)
    assert answer.status_code == 200
    (address,) = re.findall(r"data-address>http://localhost(/calendar/[A-Za-z0-9_-]{43}\.ics)<", answer.text)
    return str(address)


def submit(person: Person, path: str) -> Any:
    """Send the form on the calendar's page that leads to a path."""
    page = person.client.get("/calendar").text
    token = page.split('name="csrf_token"', 1)[1].split('value="', 1)[1].split('"', 1)[0]
    return person.client.post(path, data={"csrf_token": token})


def feeds(store: Store) -> list[Any]:
    """Give all that is kept of feeds."""
    with store.reading() as tx:
        return list(tx.exec_driver_sql("SELECT * FROM calendar_feeds").all())


# The file of one rig


def test_the_file_holds_what_comes_round_on_the_rig(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(a_trip_test(noted.rig, noted.device))

    answer = owner.client.get(f"{noted.page}/calendar.ics")

    assert (answer.status_code, answer.mimetype) == (200, "text/calendar")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="due-Wren.ics"'
    (press,) = [each for each in events(answer.data) if "GFCI in the galley" in str(each["SUMMARY"])]
    assert press["DTSTART"].dt == date(2026, 12, 25)
    assert "Behind the fridge: Test each month" in summaries(answer.data)


def test_a_day_is_that_of_the_clock_beside_the_person(owner: Person) -> None:
    """A press at 23:30 in a zone nine hours behind UTC, where UTC has the next day already."""
    noted = note_a_rig(owner)
    owner.send(a_trip_test(noted.rig, noted.device, observed_at="2026-11-24T23:30:00.000-09:00"))

    text = owner.client.get(f"{noted.page}/calendar.ics").data

    (press,) = [each for each in events(text) if "GFCI in the galley" in str(each["SUMMARY"])]
    assert press["DTSTART"].dt == date(2026, 12, 24)


def test_what_was_never_tested_stands_on_today_where_the_account_is(owner: Person, clock: Clock) -> None:
    note_a_rig(owner)
    noted = note_a_rig(owner)
    clock.pass_by(timedelta(hours=11))

    text = owner.client.get(f"{noted.page}/calendar.ics").data

    # Noted at +01:00, where midnight is past.
    assert {event["DTSTART"].dt for event in events(text)} == {date(2026, 11, 26)}
    assert {event["DTSTAMP"].dt for event in events(text)} == {clock()}
    assert b"DTSTAMP:20261125T230000Z" in text  # RFC 5545, section 3.8.7.2: in UTC


def test_the_ground_comes_round_where_its_owner_chose_it(owner: Person) -> None:
    rigs = [a_rig("Wren"), a_rig("Robin")]
    rigs[1]["body"]["assured_months"] = 3
    owner.send(*rigs, *(an_outlet(rig["id"]) for rig in rigs))

    found = [summaries(owner.client.get(f"/rigs/{rig['id']}/calendar.ics").data) for rig in rigs]

    assert [text.count("Show that the ground is continuous") for text in found] == [0, 1]


def test_only_the_owner_gets_the_file(owner: Person, colleague: Person, stranger: Person) -> None:
    path = f"{note_a_rig(owner).page}/calendar.ics"

    assert colleague.client.get(path).status_code == 404
    assert stranger.client.get(path).status_code == 303
    assert owner.client.get(path.replace(path.split("/")[2], an_id())).status_code == 404
    assert [owner.client.open(path, method=m).status_code for m in ("POST", "PUT", "DELETE")] == [405] * 3
    assert owner.client.get(path).headers["Cache-Control"] == "no-store"


# The feed


def test_a_feed_is_made_and_read_without_signing_in(owner: Person, stranger: Person) -> None:
    note_a_rig(owner)
    other = a_rig("Robin")
    owner.send(other, an_outlet(other["id"], "Under the awning"))

    answer = stranger.client.get(make_feed(owner))

    assert (answer.status_code, answer.mimetype) == (200, "text/calendar")
    assert "Under the awning" in summaries(answer.data) and "Behind the fridge" in summaries(answer.data)


def test_a_feed_is_for_no_search_and_no_cache_and_sets_no_cookie(owner: Person, stranger: Person) -> None:
    note_a_rig(owner)
    path = make_feed(owner)

    for person in (stranger, owner):
        for answer in (person.client.get(path), person.client.get("/calendar/wrong.ics")):
            assert answer.headers["Cache-Control"] == "no-store"
            assert answer.headers["X-Robots-Tag"] == "noindex"
            assert "Set-Cookie" not in answer.headers


def test_a_feed_tells_nothing_but_names_and_days(owner: Person, stranger: Person) -> None:
    noted = note_a_rig(owner)
    trip = a_trip_test(noted.rig, noted.device)
    trip["body"] |= {"tripped": False, "face_dead": None, "reset": None}
    trip["body"]["not_tested"] = ["face_dead", "reset", "outlets"]
    owner.send(trip, an_outlet(noted.rig, "Bath") | {"body": _with_note("Bath", "the key is under the mat")})

    text = stranger.client.get(make_feed(owner)).text

    assert "Bath" in text
    for private in ("under the mat", "Owner", "Kim", "park"):
        assert private not in text


def test_only_the_hash_of_the_address_is_kept_and_it_is_shown_once(owner: Person, store: Store) -> None:
    path = make_feed(owner)
    secret = path.removeprefix("/calendar/").removesuffix(".ics")

    assert [row.token_hash for row in feeds(store)] == [hashlib.sha256(secret.encode()).hexdigest()]
    assert secret not in str(feeds(store))
    assert secret not in owner.client.get("/calendar").text


def test_a_new_address_ends_the_one_before(owner: Person, stranger: Person, store: Store) -> None:
    first = make_feed(owner)
    second = make_feed(owner)

    assert first != second
    assert stranger.client.get(first).status_code == 404
    assert stranger.client.get(second).status_code == 200
    assert len(feeds(store)) == 1


def test_a_revoked_feed_answers_as_one_that_never_was(owner: Person, stranger: Person) -> None:
    path = make_feed(owner)
    answer = submit(owner, REVOKE)

    assert (answer.status_code, answer.location) == (303, "/calendar")
    revoked = stranger.client.get(path)
    wrongs = ["x" * 43, "x", "ü", "%00", "a.b", path.removeprefix("/calendar/").swapcase()[:-4]]
    for wrong in wrongs:
        answer = stranger.client.get(f"/calendar/{wrong}.ics")
        assert (answer.status_code, answer.text) == (revoked.status_code, revoked.text) == (404, revoked.text)
        assert {**answer.headers} == {**revoked.headers}
    assert "There is no such calendar here." in revoked.text


def test_the_page_says_whether_there_is_a_feed(owner: Person) -> None:
    before = owner.client.get("/calendar").text
    make_feed(owner)
    between = owner.client.get("/calendar").text
    submit(owner, REVOKE)

    assert "There is no feed." in before and "can read the names of your rigs" in before
    assert "There is a feed, made 2026-11-25 12:00 UTC." in between
    assert owner.client.get("/calendar").text.count("There is no feed.") == 1


def test_the_page_with_the_address_says_who_can_read_it_and_how_to_revoke_it(owner: Person) -> None:
    answer = submit(owner, MAKE)

    assert "Whoever has the address can read the names of your rigs and outlets" in answer.text
    assert f'action="{REVOKE}"' in answer.text
    assert "opens nothing any more" not in answer.text
    assert "opens nothing any more" in submit(owner, MAKE).text
    assert answer.headers["Cache-Control"] == "no-store"


def test_feeds_of_two_accounts_leave_each_other_alone(
    owner: Person, colleague: Person, stranger: Person, store: Store
) -> None:
    note_a_rig(owner)
    theirs, ours = make_feed(owner), make_feed(colleague)
    submit(colleague, REVOKE)

    assert stranger.client.get(ours).status_code == 404
    assert "Galley" in stranger.client.get(theirs).text
    assert len(feeds(store)) == 1


def test_a_colleague_sees_neither_the_feed_nor_the_rigs(owner: Person, colleague: Person) -> None:
    note_a_rig(owner)
    make_feed(owner)

    page = colleague.client.get("/calendar").text
    assert "There is no feed." in page
    assert "Wren" not in page


@pytest.mark.parametrize("path", [MAKE, REVOKE])
def test_a_form_from_elsewhere_or_of_a_stranger_changes_nothing(
    owner: Person, stranger: Person, store: Store, path: str
) -> None:
    make_feed(owner)
    before = feeds(store)

    assert owner.client.post(path).status_code == 400
    assert stranger.client.post(path).status_code == 401
    token = stranger.client.get("/sign-in").text.split('name="csrf_token"', 1)[1].split('value="', 1)[1]
    assert stranger.client.post(path, data={"csrf_token": token.split('"', 1)[0]}).status_code == 401
    assert feeds(store) == before


def test_a_stranger_is_sent_to_sign_in(stranger: Person) -> None:
    answer = stranger.client.get("/calendar")

    assert (answer.status_code, answer.location) == (303, "/sign-in?next=/calendar")


@pytest.mark.parametrize(
    ("path", "methods"),
    [
        ("/calendar", ["POST", "PUT", "DELETE"]),
        (MAKE, ["GET", "PUT", "DELETE"]),
        (REVOKE, ["GET", "PUT", "DELETE"]),
    ],
)
def test_other_methods_are_refused(owner: Person, store: Store, path: str, methods: list[str]) -> None:
    make_feed(owner)
    before = feeds(store)

    assert [owner.client.open(path, method=method).status_code for method in methods] == [405] * 3
    assert feeds(store) == before


def test_a_feed_answers_no_other_method(owner: Person, stranger: Person) -> None:
    path = make_feed(owner)

    assert [stranger.client.open(path, method=m).status_code for m in ("PUT", "DELETE")] == [405] * 2
    assert stranger.client.post(path).status_code in (400, 405)
    assert stranger.client.head(path).status_code == 200


def test_making_a_feed_leaves_the_log_alone(owner: Person, store: Store) -> None:
    note_a_rig(owner)
    before = log_of(store, owner)
    make_feed(owner)

    assert log_of(store, owner) == before


def test_rigs_of_one_name_keep_their_entries_apart(owner: Person, stranger: Person) -> None:
    note_a_rig(owner)
    note_a_rig(owner)

    found = [str(event["UID"]) for event in events(stranger.client.get(make_feed(owner)).data)]
    assert len(set(found)) == len(found) > 0


def test_the_address_of_a_feed_stands_in_no_log(
    app: Flask, owner: Person, stranger: Person, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    path = make_feed(owner)
    stranger.client.get(path)
    stranger.client.put(path)

    def fail(secret: str) -> str:
        raise ZeroDivisionError(f"of {len(secret)} characters")

    app.view_functions["calendar.feed_file"] = fail
    assert stranger.client.get(path).status_code == 500

    assert "unforeseen at GET /calendar/<secret>.ics" in caplog.text
    assert path.removeprefix("/calendar/").removesuffix(".ics") not in caplog.text


def test_the_rigs_page_leads_to_labels_and_calendar(owner: Person) -> None:
    noted = note_a_rig(owner)

    page = owner.client.get(noted.page).text

    assert f'href="{noted.page}/labels"' in page
    assert 'href="/calendar"' in page
    assert f'href="{noted.page}/calendar.ics"' in owner.client.get("/calendar").text


def _with_note(name: str, note: str) -> dict[str, Any]:
    return {"name": name, "outlet": "5-15", "guard": None, "note": note}
