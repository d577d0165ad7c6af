"""/judged: what today's rules say otherwise of checks that were judged before."""

import csv
import html
import io
import json

import pytest

from fieldlog import rulebook
from fieldlog.store.session import Store
from fieldlog.sync.judging_again import judge_all
from fieldlog.web.judged import views
from tests.builders import a_check, an_arrival_check
from tests.conftest import Person

REVERSED = {"h-n": "120.0 V", "h-g": "0.3 V", "n-g": "120.0 V"}


def judge(store: Store) -> None:
    for _ in judge_all(store, rulebook.load(), lambda first, newest: None):
        pass


def test_until_it_was_asked_the_page_says_that_it_was_not(owner: Person) -> None:
    page = owner.client.get("/judged").text

    assert "Not every check was judged again yet" in page and "fieldlog judge --all" in page


def test_what_differs_is_shown_to_its_owner_alone(owner: Person, colleague: Person, store: Store) -> None:
    bad = an_arrival_check(check=a_check(volts=REVERSED), park="Alder Bend")
    owner.send(bad, an_arrival_check(park="Birch Cove"))
    judge(store)

    page = html.unescape(owner.client.get("/judged").text)

    assert page.count("data-worse") == 1
    assert "It stood as usable." in page and "It said use; by today’s rules: do not use." in page
    assert f'href="/history/{bad["id"]}"' in page and "Birch Cove" not in page
    assert "none of yours comes out otherwise" in colleague.client.get("/judged").text


def test_a_check_that_was_corrected_since_is_not_shown(owner: Person, store: Store) -> None:
    bad = an_arrival_check(check=a_check(volts=REVERSED))
    owner.send(bad)
    judge(store)
    owner.send(an_arrival_check(corrects=bad["id"], reason="Hot and ground were swapped"))

    assert "data-worse" not in owner.client.get("/judged").text


def test_all_of_it_goes_out_as_a_table_and_as_lines_and_no_cell_is_a_formula(
    owner: Person, colleague: Person, store: Store
) -> None:
    bad = an_arrival_check(check=a_check(volts=REVERSED), park="=HYPERLINK(1)")
    named = {**bad, "body": {**bad["body"], "place": {"park": "=HYPERLINK(1)", "site": ""}}}
    owner.send(named, an_arrival_check(park="Birch Cove"))
    judge(store)

    table = owner.client.get("/judged.csv")
    (row,) = csv.DictReader(io.StringIO(table.text))
    (line,) = (json.loads(each) for each in owner.client.get("/judged.jsonl").text.splitlines())

    assert table.headers["Content-Disposition"] == "attachment; filename=judged-again.csv"
    assert (row["id"], row["said"], row["now"], row["worse"]) == (bad["id"], "use", "do-not-use", "yes")
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row.values())
    assert (line["said_by"], line["now_by"]) == (bad["body"]["judgement"]["rulebook"], rulebook.load().id)
    assert line["worse"] is True and line["reason"] == row["reason"] and line["reason"]
    assert colleague.client.get("/judged.jsonl").text == ""


def test_more_than_are_read_at_once_go_out_each_once(
    owner: Person, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(views, "AT_ONCE", 2)
    sent = [an_arrival_check(check=a_check(volts=REVERSED)) for _ in range(5)]
    owner.send(*sent)
    judge(store)

    lines = owner.client.get("/judged.jsonl").text.splitlines()

    assert [json.loads(line)["id"] for line in lines] == [each["id"] for each in reversed(sent)]


def test_the_wrong_person_signs_in_first_and_no_other_method_is_taken(
    owner: Person, stranger: Person
) -> None:
    for address in ("/judged", "/judged.csv", "/judged.jsonl"):
        assert stranger.client.get(address).status_code == 303
    assert owner.client.post("/judged").status_code == 405
    assert owner.client.get("/judged?before=x").status_code == 200
