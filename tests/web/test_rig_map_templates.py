"""How a map begins."""

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from fieldlog.model.rig import rig_of
from fieldlog.store.session import Store
from tests.builders import a_rig
from tests.conftest import Person
from tests.web.maps import draw_a_rig, last_map, maps_of
from tests.web.opened import form_of, opened, submit
from tests.web.rigs import log_of, note_a_rig

TABLE = Path(__file__).parents[2] / "schemas" / "facts" / "rig-templates.json"
TEMPLATES: list[dict[str, Any]] = json.loads(TABLE.read_text(encoding="utf-8"))["entries"]
FACES = ("receptacle", "gfci-receptacle", "strip")
DEVICES = ("cord-gfci", "breaker", "gfci-receptacle")


@pytest.fixture
def bare(owner: Person) -> str:
    rig = a_rig()
    owner.send(rig)
    return str(rig["id"])


@pytest.mark.parametrize("template", TEMPLATES, ids=[str(each["id"]) for each in TEMPLATES])
def test_an_invented_rig_is_kept_with_its_outlets_and_devices(
    owner: Person, store: Store, bare: str, template: dict[str, Any]
) -> None:
    path = f"/rigs/{bare}/map/templates"

    answer = submit(owner, path, beginning=template["id"])

    assert (answer.status_code, answer.location) == (303, f"/rigs/{bare}/map/table")
    kept = last_map(store, owner)
    pointing = ("outlet", "device")
    assert [
        {name: value for name, value in part.items() if name not in pointing} for part in kept["parts"]
    ] == (template["map"]["parts"])
    assert (kept["runs"], kept["modes"]) == (template["map"]["runs"], template["map"]["modes"])
    made = Counter(entry.record.kind for entry in log_of(store, owner))
    kinds = [part["kind"] for part in template["map"]["parts"]]
    assert made == Counter(
        {
            "rig": 1,
            "rig-map": 1,
            "outlet": sum(kind in FACES for kind in kinds),
            "device": sum(kind in DEVICES for kind in kinds),
        }
    )


def test_the_guards_of_an_invented_rig_are_noted_at_its_outlets(
    owner: Person, store: Store, bare: str
) -> None:
    submit(owner, f"/rigs/{bare}/map/templates", beginning="two-circuits")

    rig = rig_of(log_of(store, owner), bare)
    assert rig is not None
    galley = next(device.id for device in rig.devices if device.name == "Galley outlet")
    assert {outlet.name: outlet.guard for outlet in rig.outlets} == {
        "Galley outlet": galley,
        "Dinette outlet": galley,
        "Awning outlet": galley,
    }


def test_a_map_begins_as_the_list_stands(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    before = len(log_of(store, owner))

    answer = submit(owner, f"{noted.page}/map/templates", beginning="list")

    assert answer.status_code == 303
    assert len(log_of(store, owner)) == before + 1
    assert [run.get("from_side", "line") for run in last_map(store, owner)["runs"]] == [
        "line",
        "load",
        "line",
    ]


def test_none_is_chosen_beforehand_and_one_is_needed(owner: Person, store: Store, bare: str) -> None:
    path = f"/rigs/{bare}/map/templates"
    assert "beginning" not in opened(owner, path)

    answer = submit(owner, path)

    assert answer.status_code == 400
    assert "Choose one." in answer.text
    assert maps_of(store, owner) == []


def test_one_that_is_not_offered_is_refused(owner: Person, store: Store, bare: str) -> None:
    answer = submit(owner, f"/rigs/{bare}/map/templates", beginning="palace")

    assert answer.status_code == 400
    assert "That is none of the choices" in answer.text
    assert maps_of(store, owner) == []


def test_a_beginning_sent_twice_is_kept_once(owner: Person, store: Store, bare: str) -> None:
    path = f"/rigs/{bare}/map/templates"
    fields = {**opened(owner, path), "beginning": "two-sources"}
    owner.client.post(path, data=fields)
    count = len(log_of(store, owner))

    assert owner.client.post(path, data=fields).status_code == 303
    assert len(log_of(store, owner)) == count


def test_a_drawn_map_does_not_begin_again(owner: Person, store: Store, bare: str) -> None:
    path = f"/rigs/{bare}/map/templates"
    fields = {**opened(owner, path), "beginning": "fifty"}
    submit(owner, path, beginning="one-circuit")
    count = len(log_of(store, owner))

    answer = owner.client.post(path, data=fields)

    assert answer.status_code == 409
    assert "The map is drawn already" in answer.text
    assert len(log_of(store, owner)) == count


def test_the_wrong_person_finds_no_such_rig(
    owner: Person, colleague: Person, store: Store, bare: str
) -> None:
    path = f"/rigs/{bare}/map/templates"
    token = opened(colleague, "/rigs/new")["csrf_token"]

    assert colleague.client.get(path).status_code == 404
    assert colleague.client.post(path, data={"csrf_token": token}).status_code == 404
    assert maps_of(store, owner) == []


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, bare: str, method: str) -> None:
    assert getattr(owner.client, method)(f"/rigs/{bare}/map/templates").status_code == 405


def test_where_a_map_is_drawn_a_new_outlet_is_a_new_part(owner: Person) -> None:
    listed, drawn = note_a_rig(owner), draw_a_rig(owner)

    assert f'href="{listed.page}/outlets/new"' in owner.client.get(listed.page).text
    page = owner.client.get(f"/rigs/{drawn.rig}").text
    assert f'href="/rigs/{drawn.rig}/outlets/new"' not in page
    assert page.count(f'href="{drawn.map}/parts/new"') == 2


def test_the_form_that_was_refused_can_be_sent_again(owner: Person, store: Store, bare: str) -> None:
    path = f"/rigs/{bare}/map/templates"
    again = form_of(submit(owner, path).text, path)

    assert owner.client.post(path, data={**again, "beginning": "fifty"}).status_code == 303
    assert len(maps_of(store, owner)) == 1


def test_a_plain_breaker_is_on_the_map_and_is_no_device_to_be_pressed(owner: Person, bare: str) -> None:
    submit(owner, f"/rigs/{bare}/map/templates", beginning="two-circuits")

    page = owner.client.get(f"/rigs/{bare}").text

    assert "“Galley outlet” was never seen to trip by its own TEST button." in page
    assert "Main breaker" not in page
