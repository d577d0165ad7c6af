"""Finding records, and taking them along: /find, /find.csv, /find.jsonl."""

import csv
import html
import io
import json
from typing import Any

import pytest

from fieldlog.book import flag_names
from tests.builders import a_change, a_proof, an_arrival_check, an_incident, an_outlet_test
from tests.conftest import Person
from tests.repository import ROOT
from tests.web.rigs import note_a_rig

FORMULAS = ("=HYPERLINK(1)", "+1", "-1", "@SUM(1)", "\tx", " =1")


def titles(person: Person, query: str) -> str:
    answer = person.client.get(f"/find?{query}")
    assert answer.status_code == 200, answer.text
    return html.unescape(answer.text)


def note_some(person: Person) -> dict[str, dict[str, Any]]:
    noted = note_a_rig(person)
    sent = {
        "alder": an_arrival_check(observed_at="2025-05-31T23:30:00.000-06:00"),
        "gull": an_arrival_check(
            park="Gull Point", verdict="do-not-use", observed_at="2026-06-01T10:00:00.000+02:00"
        ),
        "galley": an_outlet_test(noted.rig, noted.galley, observed_at="2026-07-01T10:00:00.000+02:00"),
        "shock": an_incident(noted.rig, observed_at="2026-08-01T10:00:00.000+02:00"),
    }
    receipts = person.send(*sent.values())
    assert {one["status"] for one in receipts} == {"stored"}, receipts
    return sent


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("words=alder", {"alder"}),
        ("words=GULL+point", {"gull"}),
        ("words=gull+alder", set()),
        ("words=galley&kind=outlet-test", {"galley"}),
        ("kind=incident", {"shock"}),
        ("verdict=do-not-use", {"gull"}),
        ("kind=arrival-check&first=2026-01-01", {"gull"}),
        ("kind=arrival-check&last=2025-05-31", {"alder"}),
        ("kind=arrival-check&first=2025-06-01&last=2025-06-30", set()),
    ],
)
def test_what_is_looked_for_is_found_and_nothing_else(owner: Person, query: str, found: set[str]) -> None:
    """The day is that of the clock beside the person, whatever day it was elsewhere."""
    sent = note_some(owner)
    page = titles(owner, query)

    assert {name for name, record in sent.items() if f"/history/{record['id']}" in page} == found


def test_each_says_what_it_came_to(owner: Person) -> None:
    noted = note_a_rig(owner)
    change = a_change(noted.rig)
    owner.send(change, a_proof(noted.rig, change["id"]))

    assert "0.2 V" in titles(owner, "kind=proof")


@pytest.mark.parametrize("name", ["kind", "flag", "rig"])
def test_a_choice_that_is_none_any_more_is_named_at_its_field(owner: Person, name: str) -> None:
    answer = owner.client.get(f"/find?{name}=gone")

    assert answer.status_code == 400
    assert f'id="{name}-problem"' in answer.text


def test_a_flagged_record_is_found_by_that_and_by_what_was_noticed(owner: Person) -> None:
    late = an_arrival_check(observed_at="2031-01-01T10:00:00.000+00:00")
    owner.send(late)

    for asked in ("flag=any", "flag=clock-differs", "flagged=y"):
        assert f"/history/{late['id']}" in titles(owner, f"{asked}&kind=arrival-check"), asked
    assert f"/history/{late['id']}" not in titles(owner, "flag=verdict-differs")
    assert f"/history/{late['id']}" in titles(owner, "words=had+not+come+yet")


def test_of_several_rigs_one_is_asked_for_by_its_name(owner: Person, colleague: Person) -> None:
    one, other = note_a_rig(owner), note_a_rig(owner)
    tests = [an_outlet_test(rig.rig, rig.galley) for rig in (one, other)]
    owner.send(*tests)

    page = titles(owner, f"kind=outlet-test&rig={other.rig}")

    assert f'<option selected value="{other.rig}">' in page
    assert [f"/history/{each['id']}" in page for each in tests] == [False, True]
    assert colleague.client.get(f"/find?rig={other.rig}").status_code == 400
    assert 'name="rig"' not in titles(colleague, "words=x")


def test_every_flag_that_the_server_raises_has_a_name_to_be_found_by() -> None:
    described = json.loads((ROOT / "schemas/openapi.json").read_text(encoding="utf-8"))
    (flag,) = _flags_in(described)

    assert list(flag_names()) == flag["enum"]


def _flags_in(value: Any) -> list[dict[str, Any]]:
    """Find what the description of the API says that a flag may be."""
    if isinstance(value, dict):
        own = [value["flag"]] if isinstance(value.get("flag"), dict) and "enum" in value["flag"] else []
        return own + [each for inner in value.values() for each in _flags_in(inner)]
    return [each for inner in value for each in _flags_in(inner)] if isinstance(value, list) else []


def test_of_a_corrected_record_what_counts_is_found(owner: Person) -> None:
    wrong = an_arrival_check(park="Alder Bent")
    right = an_arrival_check(corrects=wrong["id"], reason="misspelt")
    owner.send(wrong, right)

    assert f"/history/{right['id']}" in titles(owner, "words=alder+bend")
    assert "No record of yours is like that." in titles(owner, "words=bent")


def test_more_than_a_page_is_found_in_order_by_looking_further_back(owner: Person) -> None:
    sent = [an_arrival_check() for _ in range(60)]
    owner.send(*sent)
    first = titles(owner, "words=alder")
    before = first.split("before=", 1)[1].split('"', 1)[0].split("&", 1)[0]
    second = titles(owner, f"words=alder&before={before}")

    on = [{each["id"] for each in sent if f"/history/{each['id']}" in page} for page in (first, second)]
    assert (len(on[0]), len(on[1])) == (50, 10)
    assert on[0].isdisjoint(on[1])


def test_a_day_that_is_none_is_named_at_its_field_and_keeps_what_was_typed(owner: Person) -> None:
    answer = owner.client.get("/find?first=May&words=alder")

    assert answer.status_code == 400
    assert "Write the day as 2026-05-31, or leave it empty." in answer.text
    assert 'value="alder"' in answer.text
    assert owner.client.get("/find.csv?first=May").status_code == 400


@pytest.mark.parametrize("formula", FORMULAS)
def test_no_cell_of_the_table_is_a_formula(owner: Person, formula: str) -> None:
    """Common practice (OWASP, CSV injection; from memory): an apostrophe before = + - @, tab and return."""
    owner.send(an_arrival_check(park=formula))
    answer = owner.client.get("/find.csv?kind=arrival-check")
    [row] = csv.DictReader(io.StringIO(answer.text, newline=""))

    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert row["park"] == f"'{formula}"
    assert not [cell for cell in row.values() if cell.lstrip(" ").startswith(("=", "+", "-", "@", "\t"))]


def test_the_table_and_the_lines_hold_what_is_found_and_no_more(owner: Person) -> None:
    sent = note_some(owner)
    rows = list(csv.DictReader(io.StringIO(owner.client.get("/find.csv?words=gull").text, newline="")))
    lines = owner.client.get("/find.jsonl?words=gull").text.splitlines()

    assert [row["id"] for row in rows] == [sent["gull"]["id"]]
    assert json.loads(rows[0]["body"]) == sent["gull"]["body"]
    assert [json.loads(line)["record"] for line in lines] == [sent["gull"]]


def test_nothing_of_another_account_is_found(owner: Person, colleague: Person) -> None:
    note_some(owner)
    colleague.send(an_arrival_check(park="Heron Flat"))

    assert "No record of yours is like that." in titles(colleague, "words=gull")
    assert "Gull" not in colleague.client.get("/find.csv").text
    assert "Gull" not in colleague.client.get("/find.jsonl").text
    assert colleague.client.post("/find").status_code == 405


@pytest.mark.parametrize("query", ["first=2026-13-45", "last=2026-02-30", "first=2026-06-02&last=2026-06-01"])
def test_days_that_no_record_can_be_of_are_told_and_not_answered_with_nothing(
    owner: Person, query: str
) -> None:
    note_some(owner)

    assert owner.client.get(f"/find?{query}").status_code == 400
    assert owner.client.get(f"/find.csv?{query}").status_code == 400
    assert owner.client.get("/find?first=2026-06-01&last=2026-06-01").status_code == 200
