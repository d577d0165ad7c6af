"""Noting a ground-fault device of a rig."""

import pytest

from fieldlog.store.session import Store
from tests.builders import an_id
from tests.conftest import Person
from tests.web.rigs import last_body, log_of, note_a_rig

FIELDS = {"name": "By the bunk", "type": "gfci-receptacle", "installed": "2021-05", "note": "the older one"}


def test_a_device_is_noted_and_shown_as_never_tested(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    answer = owner.submit(f"{noted.page}/devices/new", id=an_id(), **FIELDS)

    assert (answer.status_code, answer.location) == (303, noted.page)
    assert last_body(store, owner) == FIELDS
    page = owner.client.get(noted.page).text
    assert "“By the bunk” was never seen to trip by its own TEST button." in page
    assert 'data-due="never"' in page


def test_a_month_that_nobody_knows_stays_open(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    owner.submit(f"{noted.page}/devices/new", id=an_id(), **{**FIELDS, "installed": ""})

    assert last_body(store, owner)["installed"] is None


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "Write a name."),
        ({"type": ""}, "Choose one."),
        ({"type": "fuse"}, "none of the choices"),
        ({"installed": "May 2021"}, "Write year and month as 2021-05"),
        ({"installed": "2021-13"}, "Write year and month as 2021-05"),
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
    for name in ("installed", "note"):
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
