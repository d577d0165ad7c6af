"""What the owner of a rig chose to be reminded of: the ground by months, the start of the season."""

from typing import Any

import pytest

from fieldlog.store.session import Store
from tests.builders import a_rig, an_id
from tests.conftest import Person
from tests.web.rigs import last_body, log_of

NEW = "/rigs/new"
PLAIN = {"name": "Wren", "outlet": "TT-30", "note": ""}


def test_a_rig_is_noted_with_what_its_owner_chose(owner: Person, store: Store) -> None:
    answer = owner.submit(NEW, id=an_id(), **PLAIN, assured_months="3", season_starts=" 04-01 ")

    assert answer.status_code == 303
    assert last_body(store, owner) == {**PLAIN, "assured_months": 3, "season_starts": "04-01"}


@pytest.mark.parametrize("given", [{}, {"assured_months": "", "season_starts": " "}])
def test_what_was_not_chosen_is_left_out_of_the_record(
    owner: Person, store: Store, given: dict[str, str]
) -> None:
    owner.submit(NEW, id=an_id(), **PLAIN, **given)

    assert last_body(store, owner) == PLAIN


def test_nothing_is_chosen_beforehand(owner: Person) -> None:
    page = owner.client.get(NEW).text

    assert page.count('name="assured_months"') == 3
    assert "checked" not in page


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"assured_months": "9"}, "none of the choices"),
        ({"season_starts": "4-1"}, "Write month and day as 04-01"),
        ({"season_starts": "04-31"}, "Write month and day as 04-01"),
        ({"season_starts": "13-01"}, "Write month and day as 04-01"),
        ({"season_starts": "spring"}, "Write month and day as 04-01"),
        ({"season_starts": "0٤-01"}, "Write month and day as 04-01"),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(
    owner: Person, store: Store, wrong: dict[str, str], sentence: str
) -> None:
    fields = {**PLAIN, "note": "Typed with care", "assured_months": "6", "season_starts": "02-29", **wrong}

    answer = owner.submit(NEW, id=an_id(), **fields)

    assert answer.status_code == 400
    assert sentence in answer.text
    assert "Typed with care" in answer.text
    assert f'value="{fields["season_starts"]}"' in answer.text
    assert _is_chosen(answer.text, "6") == ("assured_months" not in wrong)
    assert log_of(store, owner) == []


def test_a_correction_chooses_and_takes_back(owner: Person, store: Store) -> None:
    rig = _sent(owner)

    _correct(owner, rig, assured_months="6", season_starts="04-01")
    chosen = last_body(store, owner)
    page = owner.client.get(_path(rig), follow_redirects=True).text
    _correct(owner, rig, assured_months="", season_starts="")

    assert chosen == {**rig["body"], "assured_months": 6, "season_starts": "04-01"}
    assert _is_chosen(page, "6") and 'value="04-01"' in page
    assert last_body(store, owner) == rig["body"]


def test_a_correction_of_the_name_leaves_a_rig_without_them_as_it_is(owner: Person, store: Store) -> None:
    rig = _sent(owner)
    _correct(owner, rig, name="Robin", assured_months="", season_starts="")

    assert last_body(store, owner) == {**rig["body"], "name": "Robin"}


@pytest.mark.parametrize("wrong", [{"assured_months": "9"}, {"season_starts": "31-12"}])
def test_a_correction_with_a_bad_choice_keeps_nothing_and_what_was_typed(
    owner: Person, store: Store, wrong: dict[str, str]
) -> None:
    rig = _sent(owner)

    answer = _correct(owner, rig, name="Typed with care", **{"season_starts": "04-01", **wrong})

    assert answer.status_code == 400
    assert 'role="alert"' in answer.text
    assert "Typed with care" in answer.text and wrong.get("season_starts", "04-01") in answer.text
    assert len(log_of(store, owner)) == 1


def test_what_a_correction_changed_is_told_in_words(owner: Person) -> None:
    rig = _sent(owner)
    _correct(owner, rig, assured_months="3", season_starts="04-01")

    entry = owner.client.get(f"/history/{rig['id']}").text
    record = owner.client.get(f"/rigs/{rig['id']}/record").text

    assert "Show what stands now" in entry
    assert "Ground shown by the assured grounding manner: not given → every 3 months" in record
    assert "Season starts: not given → 04-01" in record


def _sent(person: Person) -> dict[str, Any]:
    rig = a_rig()
    person.send(rig)
    return rig


def _path(rig: dict[str, Any]) -> str:
    return f"/history/{rig['id']}/corrections/new"


def _correct(person: Person, rig: dict[str, Any], **fields: str) -> Any:
    current = person.client.get(_path(rig))
    path = current.location if current.status_code == 303 else _path(rig)
    told = {"name": rig["body"]["name"], "note": rig["body"]["note"], "reason": "chosen later"}
    return person.submit(path, id=an_id(), **{**told, **fields})


def _is_chosen(page: str, value: str) -> bool:
    tag = page.split(f'name="assured_months" type="radio" value="{value}"', 1)[0].rsplit("<", 1)[1]
    return "checked" in tag.split()
