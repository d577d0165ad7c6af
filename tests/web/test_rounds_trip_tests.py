"""Logging a trip test."""

from typing import Any

import pytest

from fieldlog.rulebook import load
from fieldlog.store.session import Store
from tests.builders import an_id
from tests.conftest import Person, token_of
from tests.web.rigs import Noted, last_body, log_of, note_a_rig


def whole(noted: Noted, **answers: str) -> dict[str, str]:
    """Give the answers of a test in which everything was tried and all went well."""
    return {
        "id": an_id(),
        "by": "button",
        "tripped": "yes",
        "face_dead": "yes",
        f"outlets.{noted.galley}": "dead",
        f"outlets.{noted.fridge}": "live",
        "reset": "yes",
        **answers,
    }


def test_a_whole_trip_test_is_kept_and_its_result_shown(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(noted.trip_test, **whole(noted))

    assert answer.status_code == 303
    stored = log_of(store, owner)[-1].record
    assert (stored.kind, stored.rig, stored.subject) == ("trip-test", noted.rig, noted.device)
    assert stored.body == {
        "by": "button",
        "tripped": True,
        "face_dead": True,
        "reset": True,
        "dead": [noted.galley],
        "live": [noted.fridge],
        "not_tested": [],
    }
    page = owner.client.get(answer.location).text
    assert "TEST pressed: tripped, its own face went dead, reset." in page
    assert "next due 2026-12-25" in page
    assert 'data-saved="server"' in page


def test_nothing_is_chosen_beforehand(owner: Person) -> None:
    page = owner.client.get(note_a_rig(owner).trip_test).text

    assert " checked" not in page
    assert "selected" not in page


def test_what_is_left_out_is_not_tested_and_never_a_pass(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(noted.trip_test, id=an_id(), by="button", tripped="yes")

    assert last_body(store, owner) == {
        "by": "button",
        "tripped": True,
        "face_dead": None,
        "reset": None,
        "dead": [],
        "live": [],
        "not_tested": ["face_dead", "reset", "outlets"],
    }
    page = owner.client.get(answer.location).text
    assert "whether its own face goes dead" in page


def test_saying_not_tested_is_the_same_as_leaving_it_out(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    said = whole(noted, tripped="", face_dead="", reset="", **{f"outlets.{noted.galley}": ""})

    owner.submit(noted.trip_test, **said)

    body = last_body(store, owner)
    assert (body["tripped"], body["face_dead"], body["reset"]) == (None, None, None)
    assert body["not_tested"] == ["tripped", "face_dead", "reset"]
    assert body["live"] == [noted.fridge]


def test_an_outlet_left_out_is_named_as_not_tested(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(noted.trip_test, **whole(noted, **{f"outlets.{noted.fridge}": ""}))

    assert last_body(store, owner)["not_tested"] == []
    assert "“Behind the fridge”" in owner.client.get(answer.location).text
    assert "not tested: “Behind the fridge”." in owner.client.get(noted.page).text


def test_a_test_without_an_outcome_does_not_start_a_new_month(owner: Person) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(noted.trip_test, id=an_id(), by="button")

    page = owner.client.get(answer.location).text
    assert "does not count as the month’s test" in page
    assert "never tested" in page


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        ({"tripped": "no", "face_dead": "", "reset": ""}, "TEST did not trip the device: it guards nobody."),
        ({"face_dead": "no"}, "its own face stayed live: it is wired backwards or has failed."),
        ({"reset": "no"}, "The device did not reset and hold."),
        (
            {"by": "external", "tripped": "no", "face_dead": "", "reset": ""},
            "A plug-in tester that trips nothing settles nothing",
        ),
    ],
)
def test_what_the_answers_mean_is_said(owner: Person, answers: dict[str, str], sentence: str) -> None:
    noted = note_a_rig(owner)
    nothing_dead = {f"outlets.{noted.galley}": "live"} if answers.get("tripped") == "no" else {}

    answer = owner.submit(noted.trip_test, **whole(noted, **answers, **nothing_dead))

    assert answer.status_code == 303
    assert sentence in owner.client.get(answer.location).text


def test_a_plug_in_tester_that_trips_nothing_is_no_failure(owner: Person) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(noted.trip_test, id=an_id(), by="external", tripped="no")

    assert 'class="problem"' not in owner.client.get(answer.location).text


def test_an_outlet_that_stayed_live_against_the_note_is_said_at_once(owner: Person) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(noted.trip_test, **whole(noted, **{f"outlets.{noted.galley}": "live"}))

    assert "Treat it as not guarded by" in owner.client.get(answer.location).text


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        ({"by": ""}, "Say how you tested it."),
        ({"by": "guessing"}, "none of the choices"),
        ({"tripped": "maybe"}, "none of the choices"),
        ({"tripped": "no"}, "You say that it did not trip, yet something went dead."),
        ({"tripped": "no", "face_dead": ""}, "You say that it did not trip, yet something went dead."),
        ({"id": "no id"}, "Open the page again"),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_chosen(
    owner: Person, store: Store, answers: dict[str, str], sentence: str
) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))

    answer = owner.submit(noted.trip_test, **whole(noted, **answers))

    assert answer.status_code == 400
    assert sentence in answer.text
    assert is_chosen(answer.text, "reset", "yes")
    assert is_chosen(answer.text, f"outlets.{noted.galley}", "dead")
    assert len(log_of(store, owner)) == before


def is_chosen(page: str, name: str, value: str) -> bool:
    """Say whether a page shows a choice as chosen."""
    inputs = (part.split(">", 1)[0] for part in page.split("<input ")[1:])
    return any(f'name="{name}"' in i and f'value="{value}"' in i and "checked" in i for i in inputs)


def test_a_test_sent_twice_is_kept_once(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    before, fields = len(log_of(store, owner)), whole(noted)

    answers = [owner.submit(noted.trip_test, **fields) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [303, 303]
    assert len(log_of(store, owner)) == before + 1


def test_an_outlet_of_another_rig_is_not_asked_about(owner: Person, store: Store) -> None:
    noted, other = note_a_rig(owner), note_a_rig(owner)

    page = owner.client.get(noted.trip_test).text
    owner.submit(noted.trip_test, **whole(noted, **{f"outlets.{other.galley}": "dead"}))

    assert other.galley not in page
    assert last_body(store, owner)["dead"] == [noted.galley]


def test_a_rig_without_outlets_says_what_could_not_be_tested(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    rig = owner.submit("/rigs/new", id=an_id(), name="Bare", outlet="5-15", note="").location
    owner.submit(f"{rig}/devices/new", id=an_id(), name="Only one", type="cord-gfci", installed="", note="")
    device = log_of(store, owner)[-1].record.id

    page = owner.client.get(f"{rig}/devices/{device}/trip-tests/new").text
    owner.submit(f"{rig}/devices/{device}/trip-tests/new", id=an_id(), by="button", tripped="yes")

    assert "No outlet of this rig is noted yet" in page
    assert noted.galley not in page
    assert last_body(store, owner)["not_tested"] == ["face_dead", "reset", "outlets"]


def test_the_wrong_person_finds_nothing_and_changes_nothing(
    owner: Person, colleague: Person, stranger: Person, store: Store
) -> None:
    noted = note_a_rig(owner)
    kept = owner.submit(noted.trip_test, **whole(noted)).location
    before = len(log_of(store, owner))
    token = token_of(colleague.client.get("/rigs/new").text)

    assert colleague.client.get(noted.trip_test).status_code == 404
    assert colleague.client.get(kept).status_code == 404
    sent = colleague.client.post(noted.trip_test, data={**whole(noted), "csrf_token": token})
    assert sent.status_code == 404
    assert stranger.client.get(kept).status_code == 303
    assert len(log_of(store, owner)) == before


def test_what_is_not_there_is_not_found(owner: Person) -> None:
    noted = note_a_rig(owner)

    for path in (
        f"{noted.page}/devices/{an_id()}/trip-tests/new",
        f"{noted.page}/devices/{noted.galley}/trip-tests/new",
        f"{noted.page}/devices/{noted.device}/trip-tests/{an_id()}",
        f"/rigs/{an_id()}/devices/{noted.device}/trip-tests/new",
    ):
        assert owner.client.get(path).status_code == 404


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, method: str) -> None:
    noted = note_a_rig(owner)

    assert getattr(owner.client, method)(noted.trip_test).status_code == 405


def test_the_form_says_why_it_asks(owner: Person) -> None:
    page: Any = owner.client.get(note_a_rig(owner).trip_test).text

    for said in (
        "wired backwards or has failed (CPSC staff paper of 2001-04-20)",
        "proves nothing either way (OSHA interpretation of 2003-07-09): press TEST",
        "Once a month",
        "What you leave open is noted as not tested.",
    ):
        assert said in page


@pytest.mark.parametrize(("typed", "kept"), [("24", "24 ms"), ("24,5", "24.5 ms"), (" 24 ms ", "24 ms")])
def test_a_time_and_a_current_are_kept_with_their_units(
    owner: Person, store: Store, typed: str, kept: str
) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(
        noted.trip_test, **whole(noted, by="external", milliseconds=typed, milliamps="7 mA")
    )

    assert answer.status_code == 303
    body = last_body(store, owner)
    assert (body["milliseconds"], body["milliamps"]) == (kept, "7 mA")
    assert f"time to trip {kept}, fault current 7 mA." in owner.client.get(answer.location).text


@pytest.mark.parametrize(("milliseconds", "is_slow"), [("5589", False), ("5599", True)])
def test_a_trip_is_slow_past_the_time_that_the_standard_allows(
    owner: Person, milliseconds: str, is_slow: bool
) -> None:
    """UL 943: T = (20/I)^1.43 s, which is 5.594 s at 6 mA."""
    noted = note_a_rig(owner)

    answer = owner.submit(
        noted.trip_test, **whole(noted, by="external", milliseconds=milliseconds, milliamps="6")
    )

    sentence = load().raw["words"]["findings"]["trip-slow"]["sentence"]
    assert (sentence in owner.client.get(answer.location).text) is is_slow


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"milliseconds": "soon"}, "Write a number of ms, such as 24, or leave it empty."),
        ({"milliamps": "-7"}, "Write a number of mA, such as 24, or leave it empty."),
        ({"milliseconds": "20001"}, "look for a lost decimal point"),
        ({"milliamps": "501"}, "look for a lost decimal point"),
        ({"tripped": "", "face_dead": "", "reset": "", "milliseconds": "24"}, "A time to trip was noted"),
    ],
)
def test_a_figure_that_cannot_be_is_named_and_stays_typed(
    owner: Person, store: Store, wrong: dict[str, str], sentence: str
) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))

    answer = owner.submit(noted.trip_test, **whole(noted, **wrong))

    assert answer.status_code == 400
    assert sentence in answer.text
    for name in ("milliseconds", "milliamps"):
        assert f'value="{wrong.get(name, "")}"' in answer.text
    assert len(log_of(store, owner)) == before


def test_a_device_of_unknown_age_asks_for_its_face_where_the_test_is_made(owner: Person) -> None:
    """UL 943: self-test of permanently connected devices from 2015-06-29."""
    noted = note_a_rig(owner)

    assert "may lack the self-test" in owner.client.get(noted.trip_test).text


@pytest.mark.parametrize(("face_dead", "is_told"), [("", True), ("no", True), ("yes", False)])
def test_whoever_has_not_read_a_dead_face_is_asked_for_it_again(
    owner: Person, face_dead: str, is_told: bool
) -> None:
    """UL 943 for the self-test; CPSC staff paper of 2001-04-20 for the face that stays live."""
    noted = note_a_rig(owner)

    answer = owner.submit(noted.trip_test, **whole(noted, face_dead=face_dead))

    assert ("may lack the self-test" in owner.client.get(answer.location).text) is is_told
