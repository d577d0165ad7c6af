"""How far a phone's clock was off: told with a batch, kept with its records, shown where it matters."""

from typing import Any

import pytest

from tests.builders import a_device, a_rig, a_trip_test, an_arrival_check
from tests.conftest import Person

# The server's clock stands at 2026-11-25T12:00:00Z.
OFFSETS: list[tuple[str, float, str | None]] = [
    ("2026-11-25T13:00:00.000+01:00", 0, None),
    ("2026-11-25T11:55:00Z", 300, None),
    ("2026-11-25T11:54:59.5Z", 300.5, "5 min behind"),
    ("2026-11-25T12:05:00Z", -300, None),
    ("2026-11-25T12:05:01+00:00", -301, "5 min ahead"),
    ("2026-11-25T13:02:00Z", -3720, "1 h 2 min ahead"),
    ("2026-11-25T11:00:00Z", 3600, "1 h 0 min behind"),
    ("2026-11-24T11:00:00Z", 90_000, "1 day 1 h behind"),
    ("2036-11-25T12:00:00Z", -315_619_200, "3,653 days 0 h ahead"),
    ("1970-01-01T00:00:00Z", 1_795_608_000, "20,782 days 12 h behind"),
]


def entry(person: Person) -> dict[str, Any]:
    """Give the newest of somebody's records."""
    page = person.client.get("/api/records").json
    assert page is not None
    found: dict[str, Any] = page["records"][-1]
    return found


@pytest.mark.parametrize(("sent_at", "offset", "words"), OFFSETS)
def test_the_offset_is_kept_and_noticed_above_five_minutes_either_way(
    owner: Person, sent_at: str, offset: float, words: str | None
) -> None:
    record = an_arrival_check(observed_at="2026-11-25T11:59:00Z")

    answer = owner.post({"records": [record], "sent_at": sent_at})

    found = entry(owner)
    assert answer.status_code == 200 and found["record"] == record
    assert found["clock_offset_s"] == offset
    details = [flag["detail"] for flag in found["flags"] if flag["flag"] == "clock-differs"]
    assert details == ([f"The phone’s clock was {words} when it sent this record."] if words else [])


def test_without_the_time_of_sending_nothing_is_known_of_the_clock(owner: Person) -> None:
    owner.send(an_arrival_check(observed_at="2026-11-25T11:59:00Z"))

    assert entry(owner)["clock_offset_s"] is None


def test_a_clock_that_goes_wrong_overwrites_and_reorders_nothing(owner: Person) -> None:
    checks = [an_arrival_check() for _ in OFFSETS]
    for check, (sent_at, _, _) in zip(checks, OFFSETS, strict=True):
        check["observed_at"] = sent_at
        owner.post({"records": [check], "sent_at": sent_at})

    page = owner.client.get("/api/records").json

    assert page is not None
    assert [each["record"] for each in page["records"]] == checks


@pytest.mark.parametrize(
    "sent_at",
    [
        None,
        1,
        "",
        "now",
        "2026-11-25",
        "2026-11-25T12:00:00",
        "2026-02-30T12:00:00Z",
        "2026-11-25T12:00:00Z\n",
        "٢026-11-25T12:00:00Z",
    ],
)
def test_a_time_of_sending_that_is_none_is_named_and_nothing_is_kept(owner: Person, sent_at: Any) -> None:
    answer = owner.post({"records": [an_arrival_check()], "sent_at": sent_at})

    assert answer.status_code == 400
    assert answer.json is not None and answer.json["problems"][0]["at"] == "/sent_at"
    assert owner.client.get("/api/records").json == {"records": [], "next": 0, "more": False}


def test_history_shows_that_the_clock_was_off(owner: Person) -> None:
    check = an_arrival_check()
    owner.post({"records": [check], "sent_at": "2026-11-25T11:00:00Z"})

    for path in ("/history", f"/history/{check['id']}"):
        assert (
            "The phone’s clock was 1 h 0 min behind when it sent this record." in owner.client.get(path).text
        )


def test_the_service_record_shows_both_clocks(owner: Person) -> None:
    rig = a_rig()
    device = a_device(rig["id"])
    trip = a_trip_test(rig["id"], device["id"], observed_at="2026-11-25T10:40:00+00:00")
    owner.send(rig, device)
    owner.post({"records": [trip], "sent_at": "2026-11-25T11:00:00Z"})

    page = owner.client.get(f"/rigs/{rig['id']}/record").text

    assert "1 h 0 min behind when it sent this; by it the test was made 2026-11-25T10:40:00+00:00," in page
    assert "it arrived 2026-11-25 12:00 UTC" in page


def test_the_service_record_counts_the_entries_of_a_wrong_clock_in_one_point(owner: Person) -> None:
    rig = a_rig()
    device = a_device(rig["id"])
    owner.post({"records": [rig, device], "sent_at": "2026-11-25T11:00:00Z"})

    page = owner.client.get(f"/rigs/{rig['id']}/record").text

    assert "when these were sent; their times may be off as much. Entries: 1, 2." in page
    assert page.count("<dt>flagged</dt>") == 1
