"""Taking in a table of readings: /import, its columns, a trial, and the lines that are kept."""

import html
import re
from datetime import datetime, timedelta
from typing import Any

import pytest

from fieldlog.store.session import Store
from tests.builders import NOON
from tests.conftest import Person
from tests.web.rigs import log_of

TABLE = """Date;Time;Campground;Site;h-n;h-g;n-g;Breaker
2026-05-31;18:30;Gull Point;7;121,3;121,0;0,4;30
2026-06-01;;Alder Bend;12;1213;121.0;0.4;30
2026-06-02;09:00;'=Fern;1;118.0 V;117.8;0.2;
31 May;09:00;Fern;1;118.0;117.8;0.2;
"""


def fields_of(page: str) -> dict[str, Any]:
    """Give what the one form of a page would send as it stands."""
    form = page.split("<form", 1)[1].split("</form>")[0]
    sent: dict[str, Any] = {
        html.unescape(name): html.unescape(value)
        for name, value in re.findall(
            r'<input[^>]*type="hidden"[^>]*name="([^"]+)"[^>]*value="([^"]*)"', form
        )
    }
    sent["csrf_token"] = re.findall(r'name="csrf_token"[^>]*value="([^"]+)"', form)[0]
    for name, select in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        sent[name] = (re.findall(r'value="([^"]*)" selected', select) or [""])[0]
    text = re.findall(r'<textarea[^>]*name="text"[^>]*>\r?\n?(.*?)</textarea>', form, re.DOTALL)
    sent["text"] = html.unescape(text[0])
    return sent


def columns(person: Person, text: str = TABLE) -> str:
    token = fields_of(person.client.get("/import").text)["csrf_token"]
    answer = person.client.post("/import/columns", data={"csrf_token": token, "text": text})
    assert answer.status_code == 200, answer.text
    return str(answer.text)


def trial(person: Person, text: str = TABLE, **said: str) -> str:
    sent = fields_of(columns(person, text))
    sent |= {"outlet": "TT-30", "days": "iso", "offset": "-06:00", "input": "high-impedance", **said}
    answer = person.client.post("/import/trial", data=sent)
    assert answer.status_code == 200, answer.text
    return str(answer.text)


def keep(person: Person, page: str, lines: list[str]) -> str:
    answer = person.client.post("/import", data={**fields_of(page), "lines": lines})
    assert answer.status_code == 200, answer.text
    return html.unescape(answer.text)


def test_columns_are_guessed_by_their_names_and_shown_with_their_first_cell(owner: Person) -> None:
    page = html.unescape(columns(owner))

    assert 'value="4" selected>h-n (“121,3”)' in page
    assert page.count(" selected>") >= 8


def test_a_trial_says_what_is_wrong_line_by_line_and_keeps_nothing(owner: Person, store: Store) -> None:
    page = html.unescape(trial(owner))

    assert "2 of 4 rows can be kept." in page
    assert re.findall(r'name="lines" value="(\d+)" checked', page) == ["2", "4"]
    assert "Volts, hot–neutral: Type a number from 0 to" in page
    assert "Day “31 May” and time “09:00” are not as they were said to be written." in page
    assert log_of(store, owner) == []


def test_the_chosen_lines_alone_are_kept_as_they_were_read(owner: Person, store: Store) -> None:
    told = keep(owner, trial(owner), ["2"])

    assert "<b>1 kept</b>, 3 left out." in told
    (entry,) = log_of(store, owner)
    record = entry.record
    assert (record.kind, record.observed_at) == ("arrival-check", "2026-05-31T18:30:00.000-06:00")
    assert record.body["place"] == {"park": "Gull Point", "site": "7"}
    assert record.body["check"]["volts"] == {"h-n": "121.3 V", "h-g": "121.0 V", "n-g": "0.4 V"}
    assert record.body["check"]["breaker_amps"] == "30 A"
    assert {"look", "loaded", "meter_proved"} <= set(record.body["not_tested"])
    assert not entry.flags


def test_a_table_taken_in_twice_adds_nothing(owner: Person, store: Store) -> None:
    page = trial(owner)
    keep(owner, page, ["2", "4"])

    assert "<b>0 kept</b>, 2 were in the log already, 2 left out." in keep(owner, page, ["2", "4"])
    assert len(log_of(store, owner)) == 2


def test_what_an_export_made_harmless_is_read_as_it_was(owner: Person, store: Store) -> None:
    keep(owner, trial(owner), ["4"])

    assert log_of(store, owner)[0].record.body["place"]["park"] == "=Fern"


@pytest.mark.parametrize(
    ("days", "cell"), [("iso", "2026-05-31"), ("day-first", "31.05.2026"), ("month-first", "05/31/2026")]
)
def test_days_are_read_as_they_were_said_to_be_written(owner: Person, days: str, cell: str) -> None:
    page = trial(owner, f"Day,h-n,h-g,n-g\n{cell},121,121,0\n", days=days)

    assert "Line 2: 2026-05-31 12:00" in page


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Give a first line with the names of the columns"),
        ("Day,h-n\n", "Give a first line with the names of the columns"),
        ("Day\n" + "2026-05-31\n" * 1001, "more than 1,000 rows"),
        ("x" * 400_001, "more than 400,000 letters"),
    ],
)
def test_what_is_no_table_gets_a_sentence_and_keeps_what_was_typed(
    owner: Person, text: str, sentence: str
) -> None:
    token = fields_of(owner.client.get("/import").text)["csrf_token"]

    answer = owner.client.post("/import/columns", data={"csrf_token": token, "text": text})

    assert answer.status_code == 400
    assert sentence in answer.text
    assert text[:10] in answer.text


def test_a_wrong_offset_is_named_and_the_columns_stay_chosen(owner: Person) -> None:
    sent = fields_of(columns(owner)) | {"days": "iso", "offset": "six", "input": "high-impedance"}

    answer = owner.client.post("/import/trial", data=sent | {"col.volts.h-n": "5"})

    assert answer.status_code == 400
    assert "Nothing was kept." in answer.text and "Write it as -06:00." in answer.text
    assert fields_of(answer.text)["col.volts.h-n"] == "5"


def test_the_wrong_person_signs_in_first_and_no_other_method_is_taken(
    owner: Person, stranger: Person
) -> None:
    assert stranger.client.get("/import").status_code == 303
    assert owner.client.get("/import/trial").status_code == 405
    assert owner.client.put("/import").status_code == 405


@pytest.mark.parametrize("cell", ["18:30", "18:30:59", "18:30:59.5"])
def test_seconds_of_a_time_are_left_out(owner: Person, cell: str) -> None:
    assert "Line 2: 2026-05-31 18:30" in trial(owner, f"Day,Time,h-n,h-g,n-g\n2026-05-31,{cell},121,121,0\n")


@pytest.mark.parametrize("cell", ["10:15 PM", "12:30 AM", "10:1599", "18:30Z", "18:30+02:00"])
def test_a_time_that_says_more_than_hours_and_minutes_is_never_read_as_another(
    owner: Person, cell: str
) -> None:
    page = html.unescape(trial(owner, f"Day,Time,h-n,h-g,n-g\n2026-05-31,{cell},121,121,0\n"))

    assert "0 of 1 row" in page and f"time “{cell}”" in page


@pytest.mark.parametrize(("day", "has_come"), [(NOON, True), (NOON + timedelta(days=2), False)])
def test_a_reading_of_a_day_to_come_is_refused_on_its_line(
    owner: Person, day: datetime, has_come: bool
) -> None:
    page = trial(owner, f"Day,h-n,h-g,n-g\n{day:%Y-%m-%d},121,121,0\n")

    assert ("has not come yet" not in page) is has_come
