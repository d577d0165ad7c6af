"""The arrival check as one form, for a browser without script."""

import json
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.builders import an_id
from tests.conftest import Person, token_of

GOOD = {
    "place.park": "Alder Bend",
    "place.site": "12",
    "supply": "utility",
    "outlet": "TT-30",
    "breaker_amps": "30",
    "looked": "yes",
    "ready.dry": "yes",
    "ready.meter_proved": "yes",
    "ready.category": "CAT III 300 V",
    "meter.input": "high-impedance",
    "meter.accuracy_percent": "1.0",
    "meter.accuracy_volts": "0.3",
    "volts.h-n": "121,3",
    "volts.h-g": "121.0",
    "volts.n-g": "0.4",
}

LEFT_OUT = json.loads((Path(__file__).parents[1] / "cases/trip-left-out.json").read_text(encoding="utf-8"))
UNTICKED = "unticked"  # a browser leaves such a box out

WRONG = [
    ("outlet", "", "Choose the outlet you want to use."),
    ("outlet", "14-30", "Choose the outlet you want to use."),
    ("supply", "wind", "is not one of utility, generator, inverter."),
    ("breaker_amps", "thirty", "Type the number on the breaker as a number"),
    ("breaker_amps", "3000", "Type a number from 1 to 100 A."),
    ("place.park", "x" * 121, "shorten it to 120."),
    ("place.site", "x" * 61, "shorten it to 60."),
    ("look", "haunted", "is not a sign that can be seen or felt"),
    ("ready.category", "CAT IX", "That is none of the choices"),
    ("meter.input", "none", "is not high-impedance or low-impedance."),
    ("meter.accuracy_percent", "99", "Type a number from 0 to 20 %."),
    ("meter.accuracy_volts", "x", "Type the volts from the meter’s leaflet as a number"),
    ("volts.h-n", "abc", "Type what the meter shows as a number"),
    ("volts.h-g", "601", "Type a number from 0 to 600 V."),
    ("volts.n-g", "-1", "Leave the sign out"),
    ("lamps.h-n", "red", "is not one of lit, dim, dark."),
    ("lamps.h-g", "red", "is not one of lit, dim, dark."),
    ("lamps.n-g", "red", "is not one of lit, dim, dark."),
    ("trip.tripped", "maybe", "is not true or false."),
    ("trip.face_dead", "maybe", "is not true or false."),
    ("trip.reset", "maybe", "is not true or false."),
]


def _send(client: FlaskClient, **fields: str) -> TestResponse:
    token = token_of(client.get("/arrive/plain").text)
    data = {"csrf_token": token, "id": an_id(), **GOOD, **fields}
    return client.post(
        "/arrive/plain", data={name: typed for name, typed in data.items() if typed != UNTICKED}
    )


def _kept(person: Person) -> list[dict[str, object]]:
    answer = person.client.get("/api/records").get_json()
    return [entry["record"] for entry in answer["records"]]


def test_a_stranger_sees_the_verdict_and_is_told_that_nothing_was_saved(client: FlaskClient) -> None:
    page = _send(client)

    assert page.status_code == 200
    assert 'data-verdict="use"' in page.text
    assert "Nothing was saved" in page.text
    assert 'value="121,3"' in page.text


def test_the_owners_check_ends_in_a_record_and_its_verdict(owner: Person) -> None:
    answer = _send(owner.client)

    assert answer.status_code == 303
    page = owner.client.get(answer.location)
    assert 'data-verdict="use"' in page.text
    assert 'data-saved="server"' in page.text
    (record,) = _kept(owner)
    assert record["kind"] == "arrival-check"
    assert record["body"]["check"]["volts"] == {"h-n": "121.3 V", "h-g": "121.0 V", "n-g": "0.4 V"}  # type: ignore[index]  # JSON
    assert record["body"]["judgement"]["verdict"] == "use"  # type: ignore[index]  # JSON


def test_the_same_form_sent_twice_is_kept_once(owner: Person) -> None:
    token, identity = token_of(owner.client.get("/arrive/plain").text), an_id()
    for _ in range(2):
        owner.client.post("/arrive/plain", data={"csrf_token": token, "id": identity, **GOOD})

    assert len(_kept(owner)) == 1


@pytest.mark.parametrize(("field", "typed", "sentence"), WRONG, ids=lambda value: str(value)[:30])
def test_a_wrong_field_gets_a_sentence_and_keeps_what_was_typed(
    owner: Person, field: str, typed: str, sentence: str
) -> None:
    page = _send(owner.client, **{field: typed})

    assert page.status_code == 400
    place = page.text.split(f'data-problem="{field}"', 1)[1].split("</p>", 1)[0]
    assert sentence in place
    assert 'value="121,3"' in page.text or field == "volts.h-n"
    assert f'value="{typed}"' in page.text or field not in page.text or not _is_typed(field)
    assert _kept(owner) == []


def _is_typed(field: str) -> bool:
    return field.startswith(("volts", "place", "breaker", "meter.acc"))


def test_a_form_without_any_reading_says_so(client: FlaskClient) -> None:
    page = _send(client, **{"looked": UNTICKED, "volts.h-n": "", "volts.h-g": "", "volts.n-g": ""})

    assert page.status_code == 400
    assert "Type at least one reading" in page.text


LEGS = {
    **dict.fromkeys(("volts.h-n", "volts.h-g"), "121"),
    **{
        "outlet": "14-50",
        "breaker_amps": "50",
        "volts.x-y": "241",
        "volts.x-n": "120.4",
        "volts.y-n": "120.6",
    },
    **{"volts.x-g": "120.4", "volts.y-g": "120.5", "volts.n-g": "0.3"},
}


def test_an_outlet_with_two_legs_is_read_by_its_own_pairs(owner: Person) -> None:
    _send(owner.client, **LEGS)

    (record,) = _kept(owner)
    assert record["body"]["check"]["volts"] == {  # type: ignore[index]  # JSON
        **{"x-y": "241 V", "x-n": "120.4 V", "y-n": "120.6 V"},
        **{"x-g": "120.4 V", "y-g": "120.5 V", "n-g": "0.3 V"},
    }
    assert record["body"]["not_tested"] == []  # type: ignore[index]  # JSON


def test_readings_under_load_stand_with_their_amps(owner: Person) -> None:
    _send(owner.client, **{"loaded.amps": "9,8", "loaded.volts.h-n": "117", "loaded.volts.n-g": "2"})

    (record,) = _kept(owner)
    assert record["body"]["check"]["loaded"] == {  # type: ignore[index]  # JSON
        "across": "h-n",
        "amps": "9.8 A",
        "volts": {"h-n": "117 V", "n-g": "2 V"},
    }


def test_with_two_legs_the_load_says_what_it_hangs_across(owner: Person) -> None:
    _send(owner.client, **LEGS, **{"loaded.across": "y-n", "loaded.amps": "10", "loaded.volts.y-n": "117"})

    (record,) = _kept(owner)
    assert record["body"]["check"]["loaded"]["across"] == "y-n"  # type: ignore[index]  # JSON


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({"loaded.volts.h-n": "117"}, "loaded.amps", "Type the amps of the load"),
        ({"loaded.amps": "10"}, "loaded.volts.h-n", "Type what the meter shows with the load on"),
    ],
)
def test_half_a_load_gets_a_sentence(
    client: FlaskClient, typed: dict[str, str], field: str, sentence: str
) -> None:
    page = _send(client, **typed)

    assert page.status_code == 400
    assert sentence in page.text.split(f'data-problem="{field}"', 1)[1].split("</p>", 1)[0]


def test_a_stop_sign_seen_forbids_the_outlet(client: FlaskClient) -> None:
    page = _send(client, look="burned")

    assert 'data-verdict="do-not-use"' in page.text


def test_what_was_not_done_is_listed_as_not_tested(owner: Person) -> None:
    _send(owner.client, **{"looked": UNTICKED, "volts.h-g": "", "ready.meter_proved": UNTICKED})

    (record,) = _kept(owner)
    assert record["body"]["not_tested"] == ["look", "volts.h-g", "meter_proved"]  # type: ignore[index]  # JSON


@pytest.mark.parametrize("case", LEFT_OUT, ids=lambda case: str(case["what"]))
def test_each_answer_missing_of_test_and_reset_is_not_tested(owner: Person, case: dict[str, Any]) -> None:
    answers = {f"trip.{name}": answer for name, answer in case["answers"].items()}
    page = _send(owner.client, outlet="5-20", breaker_amps="20", **answers)

    assert page.status_code < 400
    (record,) = _kept(owner)
    assert record["body"]["not_tested"] == case["left_out"]  # type: ignore[index]  # JSON


def test_a_form_without_its_token_is_refused(owner: Person) -> None:
    answer = owner.client.post("/arrive/plain", data={"id": an_id(), **GOOD})

    assert answer.status_code == 400
    assert _kept(owner) == []


def test_a_verdict_is_its_owners_alone(owner: Person, colleague: Person, stranger: Person) -> None:
    place = _send(owner.client).location

    assert colleague.client.get(place).status_code == 404
    assert stranger.client.get(place).status_code == 303


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(client: FlaskClient, method: str) -> None:
    assert getattr(client, method)("/arrive/plain").status_code == 405


def test_the_verdict_says_why_and_what_it_cannot_show_and_leads_back_to_what_was_entered(
    client: FlaskClient, owner: Person
) -> None:
    low = _send(client, **{"volts.h-n": "102", "volts.h-g": "102"}).text.split('class="folds"')[0]
    fine = owner.client.get(_send(owner.client).location).text.split('class="folds"')[0]

    assert "Hot–neutral: 102 V is too low; the limit is 104 V." in low
    assert 'href="#volts-h-n"' in low and 'href="#place-site"' in low
    assert "rule out “hot and neutral swapped, ground joined”; to settle it: read the contacts" in fine
    assert "/corrections/new#volts-h-n" in fine and "listed below" not in fine
