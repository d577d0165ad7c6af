"""/history and /history/<record id>."""

import html
import re
from typing import Any

import pytest
from flask import Flask

from fieldlog import rulebook
from fieldlog.errors import RulebookDamaged
from fieldlog.web.layout.judgement import how_sure
from tests.builders import (
    a_14_50_check,
    a_check,
    a_device,
    a_full_check,
    a_judgement,
    a_lamp_tester,
    a_meter,
    a_plug_in,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_outlet,
    an_outlet_test,
)
from tests.conftest import Person


def text_of(page: str) -> str:
    """Give what a person reads of a page."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", page)).split())


def shown(person: Person, record: dict[str, Any]) -> str:
    """Give what a person reads on the page of a record."""
    return text_of(person.client.get(f"/history/{record['id']}").text)


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


def test_days_are_headings_and_each_record_stands_under_its_own(owner: Person) -> None:
    owner.send(
        an_arrival_check(observed_at="2026-11-20T10:00:00.000+01:00"),
        an_arrival_check(observed_at="2026-11-20T23:50:00.000+01:00"),
        an_arrival_check(observed_at="2026-11-21T00:10:00.000+01:00"),
    )

    page = owner.client.get("/history").text

    days = re.split(r'<h2 class="log-day">', page)[1:]
    assert [re.sub(r"<[^>]*>", "", day).split("\n")[0] for day in days] == [
        "Saturday, 2026-11-21",
        "Friday, 2026-11-20",
    ]
    assert [day.count("<li>") for day in days] == [1, 2]


def test_a_corrected_record_is_listed_once_as_it_stands_now(owner: Person) -> None:
    sent = an_arrival_check(park="Wrong Park")
    corrected = an_arrival_check(park="Right Park", corrects=sent["id"], reason="typing")
    owner.send(sent, corrected)

    page = owner.client.get("/history").text

    assert "Right Park" in page and "Wrong Park" not in page


def test_what_was_seen_after_plugging_in_stands_under_its_check(owner: Person) -> None:
    check, other = an_arrival_check(park="Alder Bend"), an_arrival_check(park="Birch Flats")
    plug_in = a_plug_in(check["id"])
    owner.send(check, other, plug_in)

    page = owner.client.get("/history").text

    assert page.count("<li>") == 2
    first, second = page.split("<li>")[1:]
    assert "Birch Flats" in first and "After plugging in" not in first
    assert "Alder Bend" in second and f'href="/history/{plug_in["id"]}"' in second
    assert "Rig&#39;s skin: 0.4 V to earth, by meter; Volts inside the rig: 119.8 V" in second


def test_it_stays_there_when_check_and_sequel_are_corrected(owner: Person) -> None:
    check = an_arrival_check(park="Alder Bend")
    plug_in = a_plug_in(check["id"])
    corrected = check | {"id": an_id(), "corrects": check["id"], "reason": "typing"}
    after = plug_in | {
        "id": an_id(),
        "subject": corrected["id"],
        "corrects": plug_in["id"],
        "reason": "typing",
    }
    owner.send(check, plug_in, corrected, after)

    page = owner.client.get("/history").text

    assert page.count("<li>") == 1
    assert page.count("After plugging in") == 1 and f'href="/history/{after["id"]}"' in page


def test_a_check_and_its_sequel_lead_to_each_other(owner: Person) -> None:
    check = an_arrival_check()
    plug_in = a_plug_in(check["id"])
    owner.send(check, plug_in)

    pages = [owner.client.get(f"/history/{record['id']}").text for record in (check, plug_in)]

    assert f'href="/history/{plug_in["id"]}"' in pages[0] and "119.8 V" in pages[0]
    assert f'href="/history/{check["id"]}"' in pages[1]


def test_a_fault_is_named_in_the_list(owner: Person) -> None:
    sent = an_arrival_check(verdict="do-not-use")
    sent["body"]["judgement"]["first"] = "open-ground"
    owner.send(sent)

    name = rulebook.load().raw["words"]["explanations"]["open-ground"]["name"]
    assert f"Do not use: {name}" in owner.client.get("/history").text


def test_every_reading_of_a_check_is_shown_with_its_unit(owner: Person) -> None:
    sent = an_arrival_check(a_full_check())
    owner.send(sent)

    page = shown(owner, sent)

    for text in (
        "Read, as found, under load",
        "Load across hot–neutral 12.0 A, known to 5 %",
        "Further set 1, everything else unplugged",
        "Further set 2, as found Meter low-impedance meter, exact to 1.5 % + 0.5 V",
        "Further set 3, breaker off Hot–neutral lamp dark",
        "Ground contact to the source's frame joined",
        "At the hot contact found volts",
        "time to trip 24 ms, fault current 7 mA",
        "There and back, hot–neutral 0.37 Ω",
    ):
        assert text in page


def test_a_14_50_is_shown_with_its_legs_and_ohms(owner: Person) -> None:
    sent = an_arrival_check(a_14_50_check())
    owner.send(sent)

    page = shown(owner, sent)

    words = rulebook.load().raw["words"]
    assert "Leg X–leg Y 243.4 V" in page and "Leg Y–neutral 123.5 V" in page
    assert "There and back, leg X–neutral 0.39 Ω" in page
    assert words["explanations"]["correct"]["split-phase"]["sentence"] in page
    assert words["twins"] in page and words["twins_shown"]["neutral-ground-reversed"] in page


def test_no_key_is_shown_anywhere(owner: Person) -> None:
    rig, check = a_rig(), an_arrival_check(a_full_check())
    device, outlet = a_device(rig["id"], made="2021-02"), an_outlet(rig["id"])
    trip = a_trip_test(rig["id"], device["id"])
    trip["body"] |= {"dead": [outlet["id"]], "not_tested": []}
    sent = [rig, device, outlet, check, an_arrival_check(a_14_50_check()), trip, a_meter(), a_lamp_tester()]
    sent += [a_plug_in(check["id"]), an_outlet_test(rig["id"], outlet["id"], a_full_check(where="rig"))]
    assert {receipt["status"] for receipt in owner.send(*sent)} == {"stored"}

    for page in (text_of(owner.client.get("/history").text), *(shown(owner, record) for record in sent)):
        noted = page.split("In the log")[0]
        assert re.findall(r"\b[hxyng]-[nxyge]\b|[a-z]_[a-z]|\bas-found\b|\bg-frame\b", noted) == []
        assert not re.search(r"[0-9a-f]{8}-[0-9a-f]{4}-7", noted)


def test_a_trip_test_names_device_and_outlets(owner: Person) -> None:
    rig = a_rig()
    device, outlet = a_device(rig["id"], "GFCI in the galley"), an_outlet(rig["id"], "Table")
    trip = a_trip_test(rig["id"], device["id"])
    trip["body"] |= {"dead": [outlet["id"]], "not_tested": []}
    owner.send(rig, device, outlet, trip)

    page = shown(owner, trip)

    assert "Trip test “GFCI in the galley”" in page
    assert "Went dead “Table”" in page and "Stayed live not noted" in page


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
    assert words["verdicts"]["use"]["kept"] in page
    assert words["twins"] in page and words["twins_shown"]["reversed-with-bonded-ground"] in page
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
    object.__setattr__(parts, "rulebook_or_damage", RulebookDamaged("its content does not match its id."))

    for path in ("/history", f"/history/{sent['id']}"):
        page = owner.client.get(path)
        assert page.status_code == 200
        assert "data-verdict=" not in page.text
        assert "No verdict" in page.text


def test_what_to_do_at_an_outlet_of_the_rig_is_not_what_to_do_at_a_site(owner: Person) -> None:
    rig = a_rig()
    outlet = an_outlet(rig["id"])
    bad = a_check(volts={"h-n": "120.1 V", "h-g": "0.2 V", "n-g": "120.0 V"})
    check, test = an_arrival_check(bad), an_outlet_test(rig["id"], outlet["id"], bad | {"where": "rig"})
    owner.send(rig, outlet, check, test)

    # The site was left; what is wrong in the rig stays to be done.
    assert "What to do now" not in shown(owner, check)
    assert "office" not in shown(owner, test)
    assert "Prove it before use." in shown(owner, test)


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
