"""/history and /history/<record id>."""

import pytest
from flask import Flask

from fieldlog import rulebook
from fieldlog.errors import RulebookDamaged
from fieldlog.web.layout.judgement import figures, how_sure
from tests.builders import (
    a_check,
    a_device,
    a_judgement,
    a_lamp_tester,
    a_plug_in,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_id,
)
from tests.conftest import Person

REVERSED = {"h-n": "121.3 V", "h-g": "0.4 V", "n-g": "121.0 V"}


def test_what_was_noted_is_shown_newest_first_with_verdict_place_and_date(owner: Person) -> None:
    first = an_arrival_check(park="Alder Bend")
    second = an_arrival_check(
        park="Birch Flats", verdict="do-not-use", observed_at="2026-11-24T09:00:00-05:00"
    )
    owner.send(first, second)

    page = owner.client.get("/history").text

    words = rulebook.load().raw["words"]["verdicts"]
    assert page.index("Birch Flats") < page.index("Alder Bend")
    assert words["use"]["word"] in page and words["do-not-use"]["word"] in page
    assert "2026-11-24 09:00" in page and "2026-11-25 10:31" in page


def test_a_corrected_record_is_listed_once_as_it_stands_now(owner: Person) -> None:
    sent = an_arrival_check(park="Wrong Park")
    corrected = an_arrival_check(park="Right Park", corrects=sent["id"], reason="typing")
    owner.send(sent, corrected)

    page = owner.client.get("/history").text

    assert "Right Park" in page and "Wrong Park" not in page


def test_a_long_history_comes_in_pages(owner: Person) -> None:
    owner.send(*(an_arrival_check(park=f"Park {i:03}") for i in range(51)))

    first = owner.client.get("/history").text
    older = first.split('href="/history?before=', 1)[1].split('"', 1)[0]
    second = owner.client.get(f"/history?before={older}").text

    assert "Park 050" in first and "Park 001" in first and "Park 000" not in first
    assert "Park 000" in second and "Park 001" not in second and "Older records" not in second


@pytest.mark.parametrize("before", ["x", "-1", "9" * 20, "٣"])
def test_a_page_number_that_is_none_shows_the_newest(owner: Person, before: str) -> None:
    owner.send(an_arrival_check(park="Alder Bend"))

    assert "Alder Bend" in owner.client.get("/history", query_string={"before": before}).text


def test_an_empty_history_says_so(owner: Person) -> None:
    assert "Nothing is kept on the server yet." in owner.client.get("/history").text


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_history_is_only_read(owner: Person, method: str) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    for path in ("/history", f"/history/{sent['id']}"):
        assert owner.client.open(path, method=method).status_code in (400, 405)


def test_strangers_and_colleagues_see_none_of_it(owner: Person, colleague: Person, stranger: Person) -> None:
    sent = an_arrival_check(park="Alder Bend")
    owner.send(sent)

    assert "Alder Bend" not in colleague.client.get("/history").text
    assert colleague.client.get(f"/history/{sent['id']}").status_code == 404
    assert stranger.client.get(f"/history/{sent['id']}").status_code == 303


@pytest.mark.parametrize(
    "record_id", ["x", "01a21293-b600-7abc-8000-000000000001", "..%2f", "%00", "x" * 3000]
)
def test_a_record_that_is_not_there_is_not_found(owner: Person, record_id: str) -> None:
    assert owner.client.get(f"/history/{record_id}").status_code == 404


def test_a_record_shows_readings_verdict_rulebook_and_what_cannot_be_seen(owner: Person) -> None:
    sent = an_arrival_check()
    sent["body"]["judgement"] = a_judgement("use", rulebook.load().id)
    receipt = owner.send(sent)[0]

    page = owner.client.get(f"/history/{sent['id']}").text

    words = rulebook.load().raw["words"]
    assert 'data-verdict="use"' in page
    for text in (
        "121.3 V",
        "Alder Bend",
        rulebook.load().id,
        receipt["hash"],
        "Entered by the owner, not an inspection",
    ):
        assert text in page
    assert words["verdicts"]["use"]["sentence"].split("’")[0].split("'")[0] in page
    assert words["twins"].split("’")[0].split("'")[0] in page
    assert "Not tested is not passed." in page


def test_where_the_phone_and_the_server_differ_both_are_shown(owner: Person) -> None:
    sent = an_arrival_check(a_check(volts=REVERSED))
    owner.send(sent)

    page = owner.client.get(f"/history/{sent['id']}").text

    assert 'data-verdict="do-not-use"' in page
    assert 'data-flag="verdict-differs"' in page and 'data-flag="rulebook-differs"' in page
    assert "Where it was made it said Use" in page or "Where it was made it said use" in page


def test_without_a_rulebook_there_is_no_verdict(app: Flask, owner: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)
    parts = app.extensions["fieldlog"]
    object.__setattr__(parts, "found", RulebookDamaged("its content does not match its id."))

    for path in ("/history", f"/history/{sent['id']}"):
        page = owner.client.get(path)
        assert page.status_code == 200
        assert "data-verdict=" not in page.text
        assert "No verdict" in page.text


def test_every_kind_of_record_has_a_page(owner: Person) -> None:
    check, rig, lamps = an_arrival_check(), a_rig(), a_lamp_tester()
    device = a_device(rig["id"])
    sent = [check, rig, lamps, device, a_plug_in(check["id"]), a_trip_test(rig["id"], device["id"])]
    owner.send(*sent)

    for record in sent:
        assert owner.client.get(f"/history/{record['id']}").status_code == 200


def test_a_corrected_record_leads_to_the_one_that_stands(owner: Person) -> None:
    sent = an_arrival_check()
    corrected = an_arrival_check(corrects=sent["id"], reason="a slip of the pen")
    owner.send(sent, corrected)

    old, new = (owner.client.get(f"/history/{r['id']}").text for r in (sent, corrected))

    assert "This record was corrected" in old and f'href="/history/{corrected["id"]}"' in old
    assert "This record was corrected" not in new
    assert "a slip of the pen" in old and "a slip of the pen" in new


PAYLOADS = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "'><svg/onload=alert(1)>",
    "</textarea><script>alert(1)</script>",
    "{{ 7 * 7 }}{% raw %}",
    "javascript:alert(1)",
    "&lt;b&gt;",
]


@pytest.mark.parametrize("payload", PAYLOADS)
def test_whatever_somebody_writes_is_shown_as_text(owner: Person, payload: str) -> None:
    rig = a_rig(payload, made_by=payload)
    device = a_device(rig["id"], payload)
    check = an_arrival_check(park=payload, made_by=payload)
    check["body"]["ready"]["category"] = payload[:40]
    trip = a_trip_test(rig["id"], device["id"], made_by=payload)
    corrected = check | {"id": an_id(), "corrects": check["id"], "reason": payload}
    tester = a_lamp_tester()
    tester["body"]["lamps"][0]["called"] = payload
    sent = [rig, device, check, trip, corrected, tester]
    assert {receipt["status"] for receipt in owner.send(*sent)} == {"stored"}

    records = [r["id"] for r in sent]
    pages = [
        "/history",
        *(f"/history/{r}" for r in records),
        *(f"/history/{r}/corrections/new" for r in records),
    ]
    for path in (*pages, "/rigs", f"/rigs/{rig['id']}"):
        page = owner.client.get(path, follow_redirects=True)
        assert page.status_code == 200
        for live in ("<script>alert", "<img src=x", "<svg/onload", "49{"):
            assert live not in page.text, path


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (1.0, "almost certain (over 99 %)"),
        (0.991, "almost certain (over 99 %)"),
        (0.972, "very likely (97 %)"),
        (0.5, "about as likely as not (50 %)"),
        (0.0124, "unlikely, not impossible (1 %)"),
        (0.001, "unlikely, not impossible (under 1 %)"),
    ],
)
def test_how_sure_it_is_stands_in_words_and_as_a_number(probability: float, words: str) -> None:
    assert how_sure(probability) == words


def test_a_finding_shows_reading_limit_and_source() -> None:
    finding = {
        "quantity": "h-n",
        "value": 108.2,
        "uncertainty": 1.382,
        "limit": 110,
        "straddles": True,
        "source": "ANSI C84.1",
    }

    assert figures(finding) == (
        "Hot–neutral 108.2 ± 1.4 V. The limit is 110 V. The reading itself is better; the meter's error "
        "reaches over the limit. Source: ANSI C84.1"
    )
    assert (
        figures({"quantity": None, "value": None, "limit": None, "source": "common practice"})
        == "Source: common practice"
    )
