"""The modes of a rig's map."""

import pytest

from fieldlog.store.session import Store
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map, maps_of
from tests.web.opened import form_of, opened, submit
from tests.web.rigs import note_a_rig


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def path(drawn: Drawn) -> str:
    return f"{drawn.map}/modes"


def with_modes(owner: Person, store: Store, drawn: Drawn) -> str:
    body = last_map(store, owner)
    return keep_version(
        owner, drawn, drawn.first, body | {"modes": {"shore": {"without": []}, "station": {"without": [1]}}}
    )


def test_what_a_mode_leaves_out_is_said_in_words(owner: Person, store: Store, drawn: Drawn) -> None:
    with_modes(owner, store, drawn)

    page = owner.client.get(path(drawn)).text

    assert "In mode station the run from “Outlets breaker” to “Galley” is not there." in page
    assert "In mode shore every run is there." in page


def test_two_modes_are_named_with_the_runs_they_leave_out(owner: Person, store: Store, drawn: Drawn) -> None:
    names = {"rows-0-name": "shore", "rows-1-name": "station", "rows-1-without": ["b1 g1", "inlet b1"]}

    answer = submit(owner, path(drawn), reason="a plug moved by hand", **names)

    assert (answer.status_code, answer.location) == (303, path(drawn))
    assert last_map(store, owner)["modes"] == {"shore": {"without": []}, "station": {"without": [0, 1]}}
    assert maps_of(store, owner)[-1].record.reason == "a plug moved by hand"


def test_a_form_sent_as_it_was_opened_has_nothing_to_keep(owner: Person, store: Store, drawn: Drawn) -> None:
    with_modes(owner, store, drawn)

    answer = submit(owner, path(drawn), reason="looked again")

    assert answer.status_code == 400
    assert "Nothing is changed yet" in answer.text
    assert len(maps_of(store, owner)) == 2


def test_a_mode_without_a_name_is_none_any_more(owner: Person, store: Store, drawn: Drawn) -> None:
    with_modes(owner, store, drawn)

    submit(owner, path(drawn), reason="one way only", **{"rows-0-name": "", "rows-1-name": ""})

    assert last_map(store, owner)["modes"] == {}


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"reason": ""}, "Say why the map is changed"),
        ({"rows-1-name": "shore"}, "Two modes are called so"),
        ({"rows-0-name": "x" * 41}, "Shorten it to 40 characters."),
    ],
)
def test_bad_input_gets_a_sentence_and_loses_nothing_typed(
    owner: Person, store: Store, drawn: Drawn, wrong: dict[str, str], sentence: str
) -> None:
    typed = {"rows-0-name": "shore", "rows-1-name": "station", "rows-1-without": ["b1 g1"], "reason": "seen"}

    answer = submit(owner, path(drawn), **{**typed, **wrong})

    assert answer.status_code == 400
    assert sentence in answer.text
    again = form_of(answer.text, path(drawn))
    assert again["rows-1-without"] == ["b1 g1"]
    assert again["rows-0-name"] == {**typed, **wrong}["rows-0-name"]
    assert len(maps_of(store, owner)) == 1


def test_modes_sent_twice_are_kept_once(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {**opened(owner, path(drawn)), "rows-0-name": "shore", "reason": "seen"}
    for _ in range(2):
        assert owner.client.post(path(drawn), data=fields).status_code == 303

    assert len(maps_of(store, owner)) == 2


def test_the_second_of_two_desks_is_told_what_changed(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {**opened(owner, path(drawn)), "rows-0-name": "dry", "reason": "seen"}
    with_modes(owner, store, drawn)

    answer = owner.client.post(path(drawn), data=fields)

    assert answer.status_code == 409
    assert "The mode “station” was added." in answer.text
    assert form_of(answer.text, path(drawn))["rows-0-name"] == "dry"
    assert len(maps_of(store, owner)) == 2


def test_the_wrong_person_finds_no_such_rig(
    owner: Person, colleague: Person, store: Store, drawn: Drawn
) -> None:
    token = opened(colleague, "/rigs/new")["csrf_token"]

    assert colleague.client.get(path(drawn)).status_code == 404
    assert colleague.client.post(path(drawn), data={"csrf_token": token}).status_code == 404
    assert len(maps_of(store, owner)) == 1


def test_a_listed_rig_gets_its_first_version_by_its_modes(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)

    answer = submit(owner, f"{noted.page}/map/modes", **{"rows-0-name": "shore"})

    assert answer.status_code == 303
    assert last_map(store, owner)["modes"] == {"shore": {"without": []}}


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, drawn: Drawn, method: str) -> None:
    assert getattr(owner.client, method)(path(drawn)).status_code == 405
