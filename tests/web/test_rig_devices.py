"""Noting a ground-fault device of a rig."""

import pytest

from fieldlog.store.session import Store
from tests.builders import a_rig, an_id
from tests.conftest import Person
from tests.web.rigs import last_body, log_of, note_a_rig

FIELDS = {
    "name": "By the bunk",
    "type": "gfci-receptacle",
    "made": "2014-11",
    "installed": "2021-05",
    "note": "the older one",
}


def test_a_device_is_noted_and_shown_as_never_tested(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(f"{noted.page}/devices/new", id=an_id(), **FIELDS)

    assert (answer.status_code, answer.location) == (303, noted.page)
    assert last_body(store, owner) == FIELDS
    page = owner.client.get(noted.page).text
    assert "“By the bunk” was never seen to trip by its own TEST button." in page
    assert "“By the bunk”" in page and "Trips and resets" not in page


@pytest.mark.parametrize("month", ["made", "installed"])
def test_a_month_that_nobody_knows_stays_open(owner: Person, store: Store, month: str) -> None:
    noted = note_a_rig(owner)

    owner.submit(f"{noted.page}/devices/new", id=an_id(), **{**FIELDS, month: ""})

    assert last_body(store, owner)[month] is None


@pytest.mark.parametrize(
    ("made", "is_told"), [("2014-11", True), ("", True), ("2015-06", True), ("2015-07", False)]
)
def test_a_receptacle_that_may_lack_the_self_test_says_so(owner: Person, made: str, is_told: bool) -> None:
    """UL 943: self-test of permanently connected devices from 2015-06-29."""
    rig = a_rig()
    owner.send(rig)

    owner.submit(f"/rigs/{rig['id']}/devices/new", id=an_id(), **{**FIELDS, "made": made})

    for path in (f"/rigs/{rig['id']}", f"/rigs/{rig['id']}/record"):
        page = owner.client.get(path).text
        assert ("may lack the self-test" in page) is is_told
        assert ("Read its own face" in page) is is_told


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "Write a name."),
        ({"type": ""}, "Choose one."),
        ({"type": "fuse"}, "none of the choices"),
        ({"installed": "May 2021"}, "Write year and month as 2021-05"),
        ({"installed": "2021-13"}, "Write year and month as 2021-05"),
        ({"made": "11/2014"}, "Write year and month as 2021-05"),
        ({"made": "2021-06"}, "It was installed in 2021-05 and cannot be made later"),
        ({"note": "x" * 501}, "Shorten it to 500 characters."),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(
    owner: Person, store: Store, wrong: dict[str, str], sentence: str
) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))

    answer = owner.submit(f"{noted.page}/devices/new", id=an_id(), **{**FIELDS, **wrong})

    assert answer.status_code == 400
    assert sentence in answer.text
    for name in ("made", "installed", "note"):
        assert wrong.get(name, FIELDS[name]) in answer.text
    assert len(log_of(store, owner)) == before


def test_the_wrong_person_finds_no_such_rig(owner: Person, colleague: Person, stranger: Person) -> None:
    noted = note_a_rig(owner)

    assert colleague.client.get(f"{noted.page}/devices/new").status_code == 404
    assert stranger.client.get(f"{noted.page}/devices/new").status_code == 303


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, method: str) -> None:
    noted = note_a_rig(owner)

    assert getattr(owner.client, method)(f"{noted.page}/devices/new").status_code == 405
