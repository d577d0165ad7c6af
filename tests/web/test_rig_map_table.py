"""The map as a table."""

import pytest

from fieldlog.model.rig import rig_of
from fieldlog.store.session import Store
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map, maps_of
from tests.web.opened import form_of, opened, submit
from tests.web.rigs import log_of, note_a_rig

STOP = "Two sources feed the same wiring at once"


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def path(drawn: Drawn) -> str:
    return f"{drawn.map}/table"


def test_the_table_sent_as_it_was_opened_changes_nothing(owner: Person, store: Store, drawn: Drawn) -> None:
    before = last_map(store, owner)

    submit(owner, path(drawn), reason="looked again")

    after = last_map(store, owner)
    assert [{**part, "note": "", "bonded": False} for part in before["parts"]] == [
        {name: value for name, value in part.items() if name != "where" or value} for part in after["parts"]
    ]
    assert after["runs"] == [{"from_side": "line", **run} for run in before["runs"]]


def test_parts_and_runs_are_changed_together(owner: Person, store: Store, drawn: Drawn) -> None:
    typed = {"parts-1-amps": "20", "parts-3-outside": "y", "runs-2-side": "line", "runs-1-awg": "12"}

    answer = submit(owner, path(drawn), reason="traced it all", **typed)

    assert (answer.status_code, answer.location) == (303, path(drawn) + "?kept=yes")
    after = last_map(store, owner)
    assert after["parts"][1]["amps"] == 20
    assert after["parts"][3]["where"] == ["outside"]
    assert (after["runs"][2]["from_side"], after["runs"][1]["awg"]) == ("line", 12)
    assert maps_of(store, owner)[-1].record.reason == "traced it all"


def test_a_run_is_taken_out_and_another_put_in(owner: Person, store: Store, drawn: Drawn) -> None:
    typed = {
        "runs-2-gone": "y",
        "spare-0-start": "Outlets breaker",
        "spare-0-end": "Bunk",
        "spare-0-awg": "12",
    }

    submit(owner, path(drawn), reason="rewired", **typed)

    assert last_map(store, owner)["runs"][2:] == [
        {"from": "b1", "to": "r1", "from_side": "line", "awg": 12, "feet": None}
    ]


def test_a_run_moved_to_a_device_asks_from_which_side(owner: Person, store: Store, drawn: Drawn) -> None:
    assert submit(owner, path(drawn), reason="traced it", **{"runs-2-start": "Inlet"}).status_code == 303
    typed = {"runs-2-start": "Galley", "runs-2-feet": "8", "spare-0-start": "Galley", "spare-0-end": "Inlet"}

    asked = submit(owner, path(drawn), reason="moved it", **typed)

    assert asked.status_code == 400 and asked.text.count("Say from which of its two sides.") == 2
    again = form_of(asked.text, path(drawn))
    assert (again["runs-2-side"], again["spare-0-side"], again["runs-2-feet"]) == ("", "", "8")
    said = {"runs-2-side": "load", "spare-0-start": "", "spare-0-end": ""}
    kept = owner.client.post(path(drawn), data={**again, **said})
    assert kept.status_code == 303
    assert "Kept as a version of the map." in owner.client.get(kept.location or "").text
    assert last_map(store, owner)["runs"][2]["from_side"] == "load"


def test_the_side_of_one_device_is_not_that_of_another_in_the_table(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    body = last_map(store, owner)
    body["parts"].append({"id": "g2", "kind": "gfci-receptacle", "name": "Awning", "amps": 15})
    body["runs"].append({"from": "b1", "to": "g2"})
    keep_version(owner, drawn, drawn.first, body)

    asked = submit(owner, path(drawn), reason="moved it", **{"runs-2-start": "Awning"})

    assert asked.status_code == 400 and "Say from which of its two sides." in asked.text


@pytest.mark.parametrize(("left_out", "is_stop"), [([], True), (["shore"], False)])
def test_a_second_feed_is_kept_and_is_a_stop_unless_a_mode_leaves_it_out(
    owner: Person, store: Store, drawn: Drawn, left_out: list[str], is_stop: bool
) -> None:
    body = last_map(store, owner)
    body["parts"].append({"id": "s", "kind": "inverter", "name": "Power station", "amps": 15})
    body["modes"] = {"shore": {"without": []}, "station": {"without": [1]}}
    keep_version(owner, drawn, drawn.first, body)
    typed = {"spare-0-start": "Power station", "spare-0-end": "Galley", "reason": "a second plug"}

    assert submit(owner, path(drawn), **typed, **{"spare-0-out": left_out}).status_code == 303

    modes = {"shore": {"without": [3] if left_out else []}, "station": {"without": [1]}}
    assert last_map(store, owner)["modes"] == modes
    assert (STOP in owner.client.get(f"/rigs/{drawn.rig}/map/advice").text) is is_stop


def test_a_new_name_is_the_name_of_the_outlet_too(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, path(drawn), reason="renamed", **{"parts-3-name": "Desk"})

    rig = rig_of(log_of(store, owner), drawn.rig)
    assert rig is not None
    outlet = rig.outlet(drawn.bunk)
    assert outlet is not None
    assert outlet.name == "Desk"


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"reason": ""}, "Say why the map is changed"),
        ({"parts-1-name": " "}, "Write a name."),
        ({"parts-1-amps": "many"}, "Write a number above 0"),
        ({"runs-0-start": "Nowhere"}, "No part of the map is called so"),
        ({"runs-0-end": ""}, "Say which part it leads to."),
        ({"spare-0-start": "Inlet"}, "No part of the map is called so"),
        ({"runs-0-awg": "13"}, "That is none of the choices"),
        ({"runs-0-start": "Bunk"}, "The runs go round in a loop: “"),
    ],
)
def test_bad_input_gets_a_sentence_and_loses_nothing_typed(
    owner: Person, store: Store, drawn: Drawn, wrong: dict[str, str], sentence: str
) -> None:
    typed = {"reason": "I looked", "parts-3-note": "behind the bed", **wrong}

    answer = submit(owner, path(drawn), **typed)

    assert answer.status_code == 400
    assert sentence in answer.text
    again = form_of(answer.text, path(drawn))
    assert {name: again[name].strip() for name in typed if name != "runs-0-awg"} == {
        name: value.strip() for name, value in typed.items() if name != "runs-0-awg"
    }
    assert len(maps_of(store, owner)) == 1


def test_the_table_sent_twice_is_kept_once(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {**opened(owner, path(drawn)), "parts-3-name": "Desk", "reason": "renamed"}
    owner.client.post(path(drawn), data=fields)
    count = len(log_of(store, owner))

    assert owner.client.post(path(drawn), data=fields).status_code == 303
    assert len(log_of(store, owner)) == count


def test_of_two_desks_the_second_keeps_its_words_and_takes_over_the_others(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    fields = {**opened(owner, path(drawn)), "parts-3-name": "Desk", "reason": "renamed"}
    other = last_map(store, owner)
    other["parts"][1]["amps"] = 20
    other["runs"][2] = other["runs"][2] | {"from_side": "line"}
    keep_version(owner, drawn, drawn.first, other)

    refused = owner.client.post(path(drawn), data=fields)

    assert refused.status_code == 409
    assert "“Outlets breaker”: rating 20 A, before 15 A." in refused.text
    again = form_of(refused.text, path(drawn))
    assert (again["parts-3-name"], again["reason"].strip()) == ("Desk", "renamed")
    assert (again["parts-1-amps"], again["runs-2-side"]) == ("20", "line")
    assert len(maps_of(store, owner)) == 2

    assert owner.client.post(path(drawn), data=again).status_code == 303
    after = last_map(store, owner)
    assert (after["parts"][1]["amps"], after["parts"][3]["name"]) == (20, "Desk")
    assert after["runs"][2]["from_side"] == "line"


def test_versions_side_by_side_are_settled_by_the_next_one(owner: Person, store: Store, drawn: Drawn) -> None:
    body = last_map(store, owner)
    one = keep_version(owner, drawn, drawn.first, body, "one desk")
    other = keep_version(owner, drawn, drawn.first, body, "another desk")

    submit(owner, path(drawn), reason="settled", **{"parts-1-amps": "20"})

    newest = maps_of(store, owner)[-1].record
    assert (newest.corrects, newest.also_corrects) == (other, [one])


def test_a_list_becomes_a_map_by_its_table(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    address = f"{noted.page}/map/table"
    assert "Drawn from your list of outlets and devices." in owner.client.get(address).text

    assert submit(owner, address, **{"parts-0-amps": "20"}).status_code == 303
    (version,) = maps_of(store, owner)
    assert version.record.body["parts"][0]["amps"] == 20
    assert version.record.corrects is None


def test_two_parts_of_one_name_are_told_apart(owner: Person, store: Store, drawn: Drawn) -> None:
    body = last_map(store, owner)
    body["parts"].append({"id": "r2", "kind": "receptacle", "name": "Bunk"})
    keep_version(owner, drawn, drawn.first, body)

    typed = {"spare-0-start": "Outlets breaker", "spare-0-end": "Bunk #2", "reason": "fed"}
    assert submit(owner, path(drawn), **typed).status_code == 303

    assert last_map(store, owner)["runs"][-1]["to"] == "r2"


def test_the_wrong_person_finds_no_such_rig(
    owner: Person, colleague: Person, store: Store, drawn: Drawn
) -> None:
    token = opened(colleague, "/rigs/new")["csrf_token"]

    assert colleague.client.get(path(drawn)).status_code == 404
    assert colleague.client.post(path(drawn), data={"csrf_token": token}).status_code == 404
    assert len(maps_of(store, owner)) == 1


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, drawn: Drawn, method: str) -> None:
    assert getattr(owner.client, method)(path(drawn)).status_code == 405
