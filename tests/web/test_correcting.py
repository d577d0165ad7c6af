"""/history/<record id>/corrections/new."""

import copy
from typing import Any

import pytest

from tests.builders import (
    a_14_50_check,
    a_check,
    a_device,
    a_full_check,
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
from tests.conftest import Person, token_of

REVERSED = {"volts.h-n": "121.3", "volts.h-g": "0.4", "volts.n-g": "121,0"}


def value(page: str, name: str) -> str:
    """Give the value of a field of a page."""
    field = page.split(f' name="{name}"', 1)
    tag = field[0].rsplit("<", 1)[1] + field[1].split(">", 1)[0]
    return tag.split('value="', 1)[1].split('"', 1)[0] if 'value="' in tag else ""


def path_of(record: dict[str, Any]) -> str:
    """Give the address of a record's correction form."""
    return f"/history/{record['id']}/corrections/new"


def correct(person: Person, record: dict[str, Any], **fields: str) -> Any:
    """Open the form, change some of it, and send all of it."""
    page = person.client.get(path_of(record)).text
    names = [
        part.split('"', 1)[0]
        for part in page.split(' name="')[1:]
        if 'type="radio"' not in part.split(">", 1)[0]
    ]
    filled = {
        name: value(page, name)
        for name in names
        if name not in ("reason", "viewport", "color-scheme", "theme-color")
    }
    for part in page.split("<input checked ")[1:]:
        filled[part.split('name="', 1)[1].split('"', 1)[0]] = part.split('value="', 1)[1].split('"', 1)[0]
    return person.client.post(path_of(record), data=filled | {"reason": "a slip of the pen"} | fields)


def entries(person: Person) -> list[dict[str, Any]]:
    """Give somebody's records."""
    answer = person.client.get("/api/records").json
    return [entry["record"] for entry in answer["records"]] if answer else []


def test_a_correction_is_a_new_record_with_a_reason(owner: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    answer = correct(owner, sent, **REVERSED)

    old, new = entries(owner)
    assert (answer.status_code, answer.location) == (303, f"/history/{new['id']}")
    assert old == sent
    assert new["body"]["check"]["volts"] == {"h-n": "121.3 V", "h-g": "0.4 V", "n-g": "121.0 V"}
    assert new["body"]["judgement"]["verdict"] == "do-not-use"
    assert (new["corrects"], new["reason"], new["made_by"]) == (sent["id"], "a slip of the pen", "Owner")
    assert (new["observed_at"], new["rig"], new["instrument"]) == (sent["observed_at"], None, None)


def test_the_form_is_filled_with_what_the_record_says(owner: Person) -> None:
    sent = an_arrival_check(a_check(lamps={"h-n": "lit"}))
    owner.send(sent)

    page = owner.client.get(path_of(sent)).text

    assert [value(page, f"volts.{pair}") for pair in ("h-n", "h-g", "n-g")] == ["121.3", "121.0", "0.4"]
    assert (value(page, "place.park"), value(page, "breaker_amps")) == ("Alder Bend", "30")
    assert 'checked id="lamps.h-n-0" name="lamps.h-n" type="radio" value="lit"' in page


def test_a_form_sent_unchanged_keeps_every_reading(owner: Person) -> None:
    sent = an_arrival_check(a_check(lamps={"h-n": "lit", "h-g": "dim", "n-g": "dark"}))
    owner.send(sent)

    correct(owner, sent)

    old, new = entries(owner)
    assert {k: v for k, v in new["body"].items() if k != "judgement"} == {
        k: v for k, v in old["body"].items() if k != "judgement"
    }


def test_a_reading_taken_away_is_listed_as_not_tested(owner: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    correct(owner, sent, **{"volts.n-g": "", "lamps.h-n": "lit"})

    new = entries(owner)[1]["body"]
    assert new["check"]["volts"] == {"h-n": "121.3 V", "h-g": "121.0 V"}
    assert new["check"]["lamps"] == {"h-n": "lit"}
    assert new["not_tested"] == ["trip", "volts.n-g"]


def test_a_step_that_gets_a_result_is_no_longer_not_tested(owner: Person) -> None:
    sent = an_arrival_check(a_check(volts={"h-n": "121.3 V"}))
    sent["body"]["not_tested"] = ["volts.h-g", "volts.n-g", "trip"]
    owner.send(sent)

    correct(owner, sent, **{"volts.h-g": "121.1"})

    assert entries(owner)[1]["body"]["not_tested"] == ["volts.n-g", "trip"]


@pytest.mark.parametrize("typed", ["118", "118.0", "118,0", " 118.0 ", "118.0 V", "118,0V"])
def test_a_number_is_read_as_people_type_it(owner: Person, typed: str) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    correct(owner, sent, **{"volts.h-n": typed})

    assert entries(owner)[1]["body"]["check"]["volts"]["h-n"] in ("118 V", "118.0 V")


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("volts.h-n", "much", "is not a number, one space and the unit"),
        ("volts.h-n", "-121", "is not a number, one space and the unit"),
        ("volts.h-n", "1213", "look for a lost decimal point"),
        ("volts.n-g", "1e2", "is not a number, one space and the unit"),
        ("breaker_amps", "0", "look for a lost decimal point"),
        ("breaker_amps", "thirty", "is not a number, one space and the unit"),
        ("lamps.h-n", "purple", "is not one of lit, dim, dark"),
        ("place.park", "x" * 121, "shorten it to 120"),
        ("place.site", "x" * 61, "shorten it to 60"),
        ("reason", "", "Say why the record is corrected."),
        ("reason", "   ", "It is empty; write something."),
        ("reason", "x" * 501, "Shorten it to 500 characters."),
    ],
)
def test_a_bad_value_is_named_at_its_field_and_everything_typed_stays(
    owner: Person, field: str, typed: str, sentence: str
) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    answer = correct(owner, sent, **({"volts.h-g": "120.7"} | {field: typed}))

    assert answer.status_code == 400
    at_field = answer.text.split(f'id="{field}-problem"', 1)
    assert len(at_field) == 2 and sentence in at_field[1].split("</p>", 1)[0]
    assert value(answer.text, "volts.h-g") == ("120.7" if field != "volts.h-g" else typed)
    if field not in ("reason", "lamps.h-n"):
        assert value(answer.text, field) == typed
    assert len(entries(owner)) == 1


def test_readings_that_give_no_verdict_are_not_kept_as_one(owner: Person) -> None:
    check = a_check()
    del check["look"]
    sent = an_arrival_check(check)
    owner.send(sent)

    answer = correct(owner, sent, **{f"volts.{pair}": "" for pair in ("h-n", "h-g", "n-g")})

    assert answer.status_code == 400
    assert "Nothing was read" in answer.text
    assert len(entries(owner)) == 1


def test_readings_under_load_and_of_further_sets_are_corrected(owner: Person) -> None:
    sent = an_arrival_check(a_full_check())
    owner.send(sent)

    correct(
        owner,
        sent,
        **{
            "loaded.amps": "11,5",
            "loaded.volts.n-g": "2.5",
            "more.0.volts.h-n": "121.9",
            "more.0.lamps.h-n": "dim",
            "more.1.loaded.amps": "3.2",
            "continuity.n-g": "closed",
            "near.g": "yes",
        },
    )

    old, new = (record["body"]["check"] for record in entries(owner))
    expected = copy.deepcopy(old)
    expected["loaded"]["amps"], expected["loaded"]["volts"]["n-g"] = "11.5 A", "2.5 V"
    expected["more"][0] |= {"volts": {"h-n": "121.9 V"}, "lamps": {"h-n": "dim"}}
    expected["more"][1]["loaded"]["amps"] = "3.2 A"
    expected["continuity"]["n-g"], expected["near"]["g"] = "closed", True
    assert new == expected


def test_all_readings_of_a_further_set_can_be_taken_away(owner: Person) -> None:
    sent = an_arrival_check(a_full_check())
    owner.send(sent)

    correct(owner, sent, **{"more.0.volts.h-n": "", "more.0.lamps.h-n": "", "near.skin": ""})

    new = entries(owner)[1]["body"]["check"]
    assert new["more"][0] == {"state": "unplugged"}
    assert "skin" not in new["near"]


@pytest.mark.parametrize("check", [a_full_check(), a_14_50_check()])
def test_any_check_sent_unchanged_keeps_every_reading(owner: Person, check: dict[str, Any]) -> None:
    sent = an_arrival_check(check)
    owner.send(sent)

    correct(owner, sent)

    old, new = entries(owner)
    assert (new["body"]["check"], new["body"]["not_tested"]) == (
        old["body"]["check"],
        old["body"]["not_tested"],
    )


def test_a_14_50_is_corrected_leg_by_leg(owner: Person) -> None:
    sent = an_arrival_check(a_14_50_check())
    owner.send(sent)

    correct(owner, sent, **{"volts.x-y": "243.9", "lamps.y-g": "dim", "loaded.volts.x-n": "119.1"})

    new = entries(owner)[1]["body"]["check"]
    assert (new["volts"]["x-y"], new["lamps"]["y-g"], new["loaded"]["volts"]["x-n"]) == (
        "243.9 V",
        "dim",
        "119.1 V",
    )


def test_a_bad_value_of_a_further_set_is_named_at_its_field(owner: Person) -> None:
    sent = an_arrival_check(a_full_check())
    owner.send(sent)

    answer = correct(owner, sent, **{"more.0.volts.h-n": "1216"})

    assert answer.status_code == 400
    at_field = answer.text.split('id="more.0.volts.h-n-problem"', 1)
    assert len(at_field) == 2 and "look for a lost decimal point" in at_field[1].split("</p>", 1)[0]


def test_a_device_gets_the_month_in_which_it_was_made(owner: Person) -> None:
    rig = a_rig()
    device = a_device(rig["id"])
    owner.send(rig, device)

    correct(owner, device, made="2014-11")
    correct(owner, entries(owner)[2], made="")

    assert [record["body"].get("made") for record in entries(owner)[1:]] == [None, "2014-11", None]
    assert entries(owner)[3]["body"] == device["body"]


def test_the_same_form_sent_twice_makes_one_correction(owner: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)
    page = owner.client.get(path_of(sent)).text
    fields = {"csrf_token": token_of(page), "id": value(page, "id"), "volts.h-n": "120", "reason": "typing"}

    answers = [owner.client.post(path_of(sent), data=fields) for _ in range(2)]

    assert [(a.status_code, a.location) for a in answers] == [(303, f"/history/{fields['id']}")] * 2
    assert len(entries(owner)) == 2


def test_a_record_that_was_corrected_meanwhile_is_not_corrected_again_unseen(owner: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)
    page = owner.client.get(path_of(sent)).text
    correct(owner, sent, **{"volts.h-n": "119"})

    fields = {"csrf_token": token_of(page), "id": value(page, "id"), "volts.h-n": "120", "reason": "typing"}
    answer = owner.client.post(path_of(sent), data=fields)

    assert answer.status_code == 400
    assert "was corrected meanwhile" in answer.text
    assert len(entries(owner)) == 2


def test_the_form_of_a_corrected_record_leads_to_the_newest(owner: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)
    correct(owner, sent, **{"volts.h-n": "119"})

    answer = owner.client.get(path_of(sent))

    assert answer.location == path_of(entries(owner)[1])


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_another_method_is_refused(owner: Person, method: str) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    assert owner.client.open(path_of(sent), method=method).status_code in (400, 405)
    assert len(entries(owner)) == 1


def test_only_the_owner_corrects(owner: Person, colleague: Person, stranger: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)
    for person, statuses in ((colleague, (404, 404)), (stranger, (303, 401))):
        token = token_of(person.client.get("/sign-out/plain").text)
        fields = {"csrf_token": token, "id": an_id(), "reason": "x"}
        answers = (person.client.get(path_of(sent)), person.client.post(path_of(sent), data=fields))
        assert tuple(a.status_code for a in answers) == statuses
    assert len(entries(owner)) == 1


def test_a_form_without_its_token_changes_nothing(owner: Person) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    assert owner.client.post(path_of(sent), data={"id": an_id(), "reason": "x"}).status_code == 400
    assert len(entries(owner)) == 1


@pytest.mark.parametrize("identity", ["", "x", "01A21293-B600-7ABC-8000-000000000001"])
def test_an_id_that_is_none_is_refused(owner: Person, identity: str) -> None:
    sent = an_arrival_check()
    owner.send(sent)

    assert correct(owner, sent, id=identity).status_code == 400
    assert len(entries(owner)) == 1


def test_an_id_of_another_record_is_refused(owner: Person) -> None:
    sent, other = an_arrival_check(), an_arrival_check()
    owner.send(sent, other)

    answer = correct(owner, sent, id=other["id"])

    assert answer.status_code == 400
    assert entries(owner) == [sent, other]


def test_an_id_that_somebody_else_has_is_as_good_as_any(owner: Person, colleague: Person) -> None:
    sent, theirs = an_arrival_check(), an_arrival_check()
    owner.send(sent)
    colleague.send(theirs)

    answer = correct(owner, sent, id=theirs["id"])

    assert answer.status_code == 303
    assert [entry["id"] for entry in entries(owner)] == [sent["id"], theirs["id"]]
    assert entries(colleague) == [theirs]


def test_records_of_every_kind_can_be_corrected(owner: Person) -> None:
    check, rig = an_arrival_check(), a_rig()
    outlet, device = an_outlet(rig["id"]), a_device(rig["id"])
    others = [
        a_meter(),
        a_lamp_tester(),
        a_plug_in(check["id"]),
        a_trip_test(rig["id"], device["id"]),
        an_outlet_test(rig["id"], outlet["id"]),
    ]
    sent = [check, rig, outlet, device, *others]
    owner.send(*sent)

    for record in sent:
        assert correct(owner, record).status_code == 303, record["kind"]
    bodies = [{k: v for k, v in r["body"].items() if k != "judgement"} for r in entries(owner)]
    assert bodies[: len(sent)] == bodies[len(sent) :]


def test_answers_of_a_trip_test_can_be_changed(owner: Person) -> None:
    rig = a_rig()
    device = a_device(rig["id"])
    trip = a_trip_test(rig["id"], device["id"])
    owner.send(rig, device, trip)

    correct(owner, trip, tripped="no", face_dead="", reset="")

    body = entries(owner)[-1]["body"]
    assert (body["tripped"], body["face_dead"], body["reset"]) == (False, None, None)
    assert body["not_tested"] == ["outlets", "face_dead", "reset"]
