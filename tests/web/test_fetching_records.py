"""GET /api/records and GET /api/session."""

from typing import Any

import pytest
from flask import Flask

from tests.builders import NOON, an_arrival_check
from tests.conftest import Person


def test_the_account_gets_its_records_as_they_were_sent(owner: Person) -> None:
    sent = an_arrival_check()
    receipt = owner.send(sent)[0]

    page = owner.client.get("/api/records?after=0").json

    assert page is not None and (page["next"], page["more"]) == (1, False)
    entry = page["records"][0]
    assert (entry["record"], entry["hash"], entry["seq"]) == (sent, receipt["hash"], 1)
    assert entry["received_at"] == NOON.isoformat(timespec="milliseconds")


def test_only_what_came_after_the_number_is_given(owner: Person) -> None:
    owner.send(*(an_arrival_check() for _ in range(3)))

    page = owner.client.get("/api/records?after=2").json

    assert page is not None and [entry["seq"] for entry in page["records"]] == [3]


def test_a_caller_who_has_everything_keeps_the_number(owner: Person) -> None:
    owner.send(an_arrival_check())

    assert owner.client.get("/api/records?after=1").json == {"records": [], "next": 1, "more": False}


def test_pages_follow_one_another_without_gap_or_repetition(owner: Person) -> None:
    sent = [an_arrival_check() for _ in range(401)]
    for i in range(0, 401, 100):
        owner.send(*sent[i : i + 100])

    found, after, sizes = [], 0, []
    while True:
        page = owner.client.get(f"/api/records?after={after}").json
        assert page is not None
        found += [entry["record"]["id"] for entry in page["records"]]
        sizes.append(len(page["records"]))
        after = page["next"]
        if not page["more"]:
            break
    assert found == [record["id"] for record in sent]
    assert sizes == [200, 200, 1]


def test_a_colleague_sees_nothing_of_it(owner: Person, colleague: Person) -> None:
    owner.send(an_arrival_check())

    assert colleague.client.get("/api/records").json == {"records": [], "next": 0, "more": False}


def test_a_caller_who_names_the_account_is_told_whose_records_they_are(owner: Person) -> None:
    owner.send(an_arrival_check())

    page = owner.client.get("/api/records", query_string={"account": "Owner"}).json

    assert page is not None and (page["account"], page["next"], len(page["records"])) == ("Owner", 1, 1)


@pytest.mark.parametrize("whose", ["Owner", "nobody", "", "Ω&after=0"])
def test_an_account_that_is_not_the_one_signed_in_is_given_nothing(
    owner: Person, colleague: Person, whose: str
) -> None:
    owner.send(an_arrival_check())
    colleague.send(an_arrival_check())

    answer = colleague.client.get("/api/records", query_string={"after": 0, "account": whose})

    assert answer.status_code == 409
    assert answer.json is not None and list(answer.json) == ["problems"]
    assert "Another account is signed in" in answer.json["problems"][0]["problem"]


def test_a_caller_on_a_slow_line_gets_fewer_at_once_and_all_in_the_end(owner: Person) -> None:
    sent = [an_arrival_check() for _ in range(5)]
    owner.send(*sent)

    found, after, more = [], 0, True
    while more:
        page: Any = owner.client.get("/api/records", query_string={"after": after, "limit": 2}).json
        assert len(page["records"]) <= 2
        found += [entry["record"]["id"] for entry in page["records"]]
        after, more = page["next"], page["more"]
    assert found == [record["id"] for record in sent]


@pytest.mark.parametrize("limit", ["", "0", "-1", "201", "x", "1.5", " 1", "٣", "9" * 5000])
def test_a_limit_that_is_none_is_named(owner: Person, limit: str) -> None:
    answer = owner.client.get("/api/records", query_string={"limit": limit})

    assert answer.status_code == 400
    assert answer.json == {
        "problems": [{"at": "/limit", "problem": "limit is not a whole number from 1 to 200; leave it out."}]
    }


@pytest.mark.parametrize("limit", ["1", "200"])
def test_the_least_and_the_most_that_can_be_asked_for_are_given(owner: Person, limit: str) -> None:
    owner.send(an_arrival_check(), an_arrival_check())

    page: Any = owner.client.get("/api/records", query_string={"limit": limit}).json

    assert (len(page["records"]), page["more"]) == ((1, True) if limit == "1" else (2, False))


def test_a_stranger_is_refused(stranger: Person) -> None:
    answer = stranger.client.get("/api/records")

    assert answer.status_code == 401
    assert answer.json == {"problems": [{"at": "", "problem": "Sign in first; nothing was changed."}]}


@pytest.mark.parametrize("after", ["", "-1", "x", "1.5", "1e3", " 1", "٣", "9" * 16, "0x1", "null"])
def test_a_number_that_is_none_is_named(owner: Person, after: str) -> None:
    answer = owner.client.get("/api/records", query_string={"after": after})

    assert answer.status_code == 400
    assert answer.json is not None and answer.json["problems"][0]["at"] == "/after"


def test_records_are_kept_by_no_cache(owner: Person) -> None:
    assert owner.client.get("/api/records").headers["Cache-Control"] == "no-store"


def test_the_session_says_who_is_signed_in(owner: Person, stranger: Person) -> None:
    now = "2026-11-25T12:00:00.000+00:00"

    told: Any = owner.client.get("/api/session").json
    assert owner.account is not None
    assert told == {
        "signed_in": True,
        "name": "Owner",
        "account": owner.account.id,
        "session": told["session"],
        "handed_over": [],
        "now": now,
    }
    nobody: Any = {
        "signed_in": False,
        "name": None,
        "account": None,
        "session": None,
        "handed_over": [],
        "now": now,
    }
    assert stranger.client.get("/api/session").json == nobody


def test_each_session_has_a_mark_of_its_own_that_opens_nothing(app: Flask, owner: Person) -> None:
    told: Any = owner.client.get("/api/session").json
    mark, again = told["session"], owner.client.get("/api/session").json
    cookie = owner.client.get_cookie("fieldlog")
    other = app.test_client()
    other.set_cookie("fieldlog", mark)

    assert len(mark) == 16 and cookie is not None and mark not in cookie.value
    assert again == told
    assert other.get("/api/records").status_code == 401
