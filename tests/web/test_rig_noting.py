"""Noting a rig."""

import pytest

from fieldlog.store.session import Store
from tests.builders import an_id
from tests.conftest import Person
from tests.web.rigs import last_body, log_of, note_a_rig

NEW = "/rigs/new"


def test_a_rig_is_noted_and_shown(owner: Person, store: Store) -> None:
    answer = owner.submit(NEW, id=an_id(), name=" Rolling Bread Bin ", outlet="TT-30", note="Sixteen feet.")

    assert answer.status_code == 303
    assert last_body(store, owner) == {
        "name": "Rolling Bread Bin",
        "outlet": "TT-30",
        "note": "Sixteen feet.",
    }
    assert "Rolling Bread Bin" in owner.client.get(answer.location).text
    assert "Rolling Bread Bin" in owner.client.get("/rigs").text


def test_a_rig_sent_twice_is_kept_once(owner: Person, store: Store) -> None:
    fields = {"id": an_id(), "name": "Wren", "outlet": "TT-30", "note": ""}

    first, second = owner.submit(NEW, **fields), owner.submit(NEW, **fields)

    assert (first.status_code, second.status_code) == (303, 303)
    assert first.location == second.location
    assert len(log_of(store, owner)) == 1


def test_a_form_sent_again_with_other_words_says_that_the_first_is_kept(owner: Person, store: Store) -> None:
    fields = {"id": an_id(), "name": "Wren", "outlet": "TT-30", "note": ""}
    owner.submit(NEW, **fields)

    answer = owner.submit(NEW, **{**fields, "name": "Robin"})

    assert answer.status_code == 400
    assert "make a correction" in answer.text
    assert 'value="Robin"' in answer.text
    assert len(log_of(store, owner)) == 1


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
@pytest.mark.parametrize("path", [NEW, "/rigs"])
def test_other_methods_are_refused(owner: Person, store: Store, method: str, path: str) -> None:
    assert getattr(owner.client, method)(path).status_code == 405
    assert log_of(store, owner) == []


def test_a_stranger_is_sent_to_sign_in(stranger: Person) -> None:
    for path in ("/rigs", NEW):
        answer = stranger.client.get(path)
        assert answer.status_code == 303
        assert answer.location.startswith("/sign-in")


def test_a_form_from_elsewhere_changes_nothing(owner: Person, store: Store) -> None:
    answer = owner.client.post(NEW, data={"id": an_id(), "name": "Wren", "outlet": "TT-30"})

    assert answer.status_code == 400
    assert log_of(store, owner) == []


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "Write a name."),
        ({"name": "   "}, "Write a name."),
        ({"name": "x" * 81}, "Shorten it to 80 characters."),
        ({"name": "nought \0"}, "character"),
        ({"outlet": ""}, "Choose one."),
        ({"outlet": "9-99"}, "none of the choices"),
        ({"note": "x" * 501}, "Shorten it to 500 characters."),
        ({"id": "no id"}, "Open the page again"),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(
    owner: Person, store: Store, wrong: dict[str, str], sentence: str
) -> None:
    fields = {
        "id": an_id(),
        "name": "Rolling Bread Bin",
        "outlet": "14-50",
        "note": "Typed with care",
        **wrong,
    }

    answer = owner.submit(NEW, **fields)

    assert answer.status_code == 400
    assert sentence in answer.text
    assert fields["note"] in answer.text
    assert log_of(store, owner) == []


def test_nobody_sees_another_ones_rigs(owner: Person, colleague: Person) -> None:
    noted = note_a_rig(owner)

    assert "Wren" not in colleague.client.get("/rigs").text
    assert colleague.client.get(noted.page).status_code == 404
    assert "Wren" not in colleague.client.get(noted.page).text
