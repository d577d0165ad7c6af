"""Noting an outlet of a rig, and what guards it."""

import pytest

from fieldlog.store.session import Store
from tests.builders import a_device, a_rig, an_id
from tests.conftest import Person
from tests.web.rigs import last_body, log_of, note_a_rig


def test_an_outlet_is_noted_and_shown_as_never_tested(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    fields = {"name": "Outside", "outlet": "5-20", "guard": noted.device, "note": ""}

    answer = owner.submit(f"{noted.page}/outlets/new", id=an_id(), **fields)

    assert (answer.status_code, answer.location) == (303, noted.page)
    assert last_body(store, owner) == fields
    assert "“Outside” was never tested." in owner.client.get(noted.page).text


def test_an_outlet_without_a_noted_guard_has_none(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    owner.submit(f"{noted.page}/outlets/new", id=an_id(), name="Outside", outlet="5-20", guard="", note="")

    assert last_body(store, owner)["guard"] is None


def test_no_guard_is_chosen_beforehand(owner: Person) -> None:
    noted = note_a_rig(owner)

    page = owner.client.get(f"{noted.page}/outlets/new").text

    assert "checked" not in page
    assert '<option selected value="">none noted</option>' in page or "<option selected" not in page


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "Write a name."),
        ({"outlet": ""}, "Choose one."),
        ({"guard": "nobody"}, "is not an id"),
        ({"guard": an_id()}, "This device is not one of this rig"),
        ({"note": "x" * 501}, "Shorten it to 500 characters."),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(
    owner: Person, store: Store, wrong: dict[str, str], sentence: str
) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))
    fields = {"name": "Outside", "outlet": "5-20", "guard": noted.device, "note": "By the door", **wrong}

    answer = owner.submit(f"{noted.page}/outlets/new", id=an_id(), **fields)

    assert answer.status_code == 400
    assert sentence in answer.text
    assert fields["note"] in answer.text
    assert len(log_of(store, owner)) == before


def test_a_device_of_another_rig_guards_nothing_here(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    other = a_rig("Other")
    device = a_device(other["id"])
    owner.send(other, device)

    answer = owner.submit(
        f"{noted.page}/outlets/new", id=an_id(), name="Outside", outlet="5-20", guard=device["id"]
    )

    assert answer.status_code == 400
    assert "This device is not one of this rig" in answer.text


def test_the_wrong_person_finds_no_such_rig(owner: Person, colleague: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))

    assert colleague.client.get(f"{noted.page}/outlets/new").status_code == 404
    token = (
        colleague.client.get("/rigs/new").text.split('name="csrf_token"')[1].split('value="')[1].split('"')[0]
    )
    fields = {"csrf_token": token, "id": an_id(), "name": "Mine now", "outlet": "5-20", "guard": ""}
    assert colleague.client.post(f"{noted.page}/outlets/new", data=fields).status_code == 404
    assert len(log_of(store, owner)) == before
    assert log_of(store, colleague) == []


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, method: str) -> None:
    noted = note_a_rig(owner)

    assert getattr(owner.client, method)(f"{noted.page}/outlets/new").status_code == 405


# What guards it


def test_another_guard_is_a_correction_with_its_reason(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    path = f"{noted.page}/outlets/{noted.galley}/guards/new"

    answer = owner.submit(path, id=an_id(), guard="", reason="It stayed live.")

    assert (answer.status_code, answer.location) == (303, noted.page)
    newest = log_of(store, owner)[-1]
    assert (newest.record.corrects, newest.root) == (noted.galley, noted.galley)
    assert newest.record.reason == "It stayed live."
    assert dict(newest.record.body) == {"name": "Galley", "outlet": "5-15", "guard": None, "note": ""}


def test_another_guard_needs_a_reason(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))

    answer = owner.submit(f"{noted.page}/outlets/{noted.galley}/guards/new", id=an_id(), guard="", reason=" ")

    assert answer.status_code == 400
    assert "Say why it is corrected." in answer.text
    assert len(log_of(store, owner)) == before


def test_another_guard_sent_twice_is_kept_once(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))
    fields = {"id": an_id(), "guard": "", "reason": "It stayed live."}

    for _ in range(2):
        owner.submit(f"{noted.page}/outlets/{noted.galley}/guards/new", **fields)

    assert len(log_of(store, owner)) == before + 1


def test_the_guard_of_an_unknown_outlet_or_for_the_wrong_person_is_not_here(
    owner: Person, colleague: Person
) -> None:
    noted = note_a_rig(owner)

    assert owner.client.get(f"{noted.page}/outlets/{an_id()}/guards/new").status_code == 404
    assert colleague.client.get(f"{noted.page}/outlets/{noted.galley}/guards/new").status_code == 404
