"""Adding a part to a rig's map."""

from typing import Any

import pytest

from fieldlog.model.rig import rig_of
from fieldlog.store.session import Store
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map, maps_of
from tests.web.opened import form_of, opened, submit
from tests.web.rigs import log_of, note_a_rig

AWNING = {
    "name": "Awning",
    "outlet_type": "5-20",
    "where": ["outside"],
    "side": "load",
    "awg": "14",
    "feet": "12,5 ft",
}


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def questions(drawn: Drawn, kind: str = "receptacle", start: str = "g1") -> str:
    return f"{drawn.map}/parts/new?kind={kind}&start={start}"


def by_name(store: Store, person: Person, name: str) -> dict[str, Any]:
    return next(part for part in last_map(store, person)["parts"] if part["name"] == name)


def test_an_outlet_is_added_with_its_wire_and_is_an_outlet_of_the_rig(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    answer = submit(owner, questions(drawn), **AWNING)

    part = by_name(store, owner, "Awning")
    assert (answer.status_code, answer.location) == (303, drawn.part(part["id"]) + "?kept=yes")
    assert (part["outlet_type"], part["amps"], part["where"]) == ("5-20", 20, ["outside"])
    run = {"from": "g1", "to": part["id"], "from_side": "load", "awg": 14, "feet": 12.5}
    assert last_map(store, owner)["runs"][-1] == run
    rig = rig_of(log_of(store, owner), drawn.rig)
    assert rig is not None
    outlet = rig.outlet(part["outlet"])
    assert outlet is not None
    assert (outlet.name, outlet.guard) == ("Awning", drawn.device)


def test_the_new_version_corrects_the_one_before_and_says_what_was_added(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    submit(owner, questions(drawn), **AWNING)

    record = maps_of(store, owner)[-1].record
    assert (record.corrects, record.reason) == (drawn.first, "“Awning” was added.")


def test_an_outlet_on_the_line_side_is_not_noted_as_guarded(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    submit(owner, questions(drawn), **{**AWNING, "side": "line"})

    outlets = [entry.record.body for entry in log_of(store, owner) if entry.record.kind == "outlet"]
    assert outlets[-1]["name"] == "Awning"
    assert outlets[-1]["guard"] is None


@pytest.mark.parametrize(
    ("kind", "fields", "device", "makes_outlet"),
    [
        ("gfci-receptacle", {"outlet_type": "5-15"}, "gfci-receptacle", True),
        ("breaker", {"amps": "15", "gfci": "yes"}, "gfci-breaker", False),
        ("breaker", {"amps": "15 A", "gfci": "no"}, "breaker", False),
        ("cord-gfci", {"amps": ""}, "cord-gfci", False),
        ("strip", {"outlet_type": "5-15"}, None, True),
        ("junction", {}, None, False),
        ("appliance", {"amps": "13"}, None, False),
        ("inverter", {"amps": "15"}, None, False),
    ],
)
def test_each_kind_makes_the_records_that_it_is(
    owner: Person,
    store: Store,
    drawn: Drawn,
    kind: str,
    fields: dict[str, Any],
    device: str | None,
    makes_outlet: bool,
) -> None:
    before = len(log_of(store, owner))

    answer = submit(owner, questions(drawn, kind, "b1"), name="New one", awg="", feet="", **fields)

    assert answer.status_code == 303, answer.text
    made = {entry.record.kind: entry.record.body for entry in log_of(store, owner)[before:]}
    assert made.get("device", {}).get("type") == device
    assert ("outlet" in made) == makes_outlet
    part = by_name(store, owner, "New one")
    assert (bool(part.get("device")), bool(part.get("outlet"))) == (device is not None, makes_outlet)


def test_a_gfci_outlet_guards_its_own_face(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, questions(drawn, "gfci-receptacle", "b1"), name="Door", outlet_type="5-15")

    made = {entry.record.kind: entry.record for entry in log_of(store, owner)}
    assert made["outlet"].body["guard"] == made["device"].id


def test_a_gauge_that_is_not_known_is_noted_as_not_known(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, questions(drawn), **{**AWNING, "awg": "", "feet": ""})

    run = last_map(store, owner)["runs"][-1]
    assert (run["awg"], run["feet"]) == (None, None)
    assert "The gauge of these runs is not noted" in owner.client.get(f"{drawn.map}/advice").text


def test_the_side_is_asked_only_where_there_are_two(owner: Person, drawn: Drawn) -> None:
    of_gfci = owner.client.get(questions(drawn, start="g1")).text
    of_breaker = owner.client.get(questions(drawn, start="b1")).text

    assert "Load side: it goes dead when the device trips." in of_gfci
    assert "Load side" not in of_breaker
    assert "checked" not in of_gfci


def test_a_side_that_was_not_told_is_asked_for(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {name: value for name, value in AWNING.items() if name != "side"}
    entries = opened(owner, questions(drawn, start="b1"), f"{drawn.map}/parts/new")

    answer = owner.client.post(f"{drawn.map}/parts/new", data={**entries, **fields, "start": "g1"})

    assert answer.status_code == 400
    assert "Say from which of its two sides." in answer.text
    assert "Load side: it goes dead when the device trips." in answer.text
    assert len(maps_of(store, owner)) == 1


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": " "}, "Write a name."),
        ({"name": "x" * 61}, "Shorten it to 60 characters."),
        ({"outlet_type": "L5-30"}, "That is none of the choices"),
        ({"awg": "13"}, "That is none of the choices"),
        ({"feet": "far"}, "Write a number up to 1000"),
        ({"start": "nobody"}, "That is none of the choices"),
        ({"side": "both"}, "That is none of the choices"),
        ({"kind": "toaster"}, "That is none of the choices"),
        ({"where": ["inside"]}, "valid choice"),
    ],
)
def test_bad_input_gets_a_sentence_and_loses_nothing_typed(
    owner: Person, store: Store, drawn: Drawn, wrong: dict[str, Any], sentence: str
) -> None:
    before = len(log_of(store, owner))

    answer = submit(owner, questions(drawn), **{**AWNING, "note": "By the door", **wrong})

    assert answer.status_code == 400
    assert sentence in answer.text
    assert 'value="By the door"' in answer.text
    assert len(log_of(store, owner)) == before


def test_a_part_without_a_kind_or_feed_of_the_map_goes_no_further(owner: Person, drawn: Drawn) -> None:
    unsaid = owner.client.get(f"{drawn.map}/parts/new?kind=").text
    assert "Choose one." in unsaid
    assert "Say what feeds it, or that nothing on the map does." in unsaid
    nowhere = owner.client.get(questions(drawn, start="nobody")).text
    assert "That part is not on the map; choose another." in nowhere


def test_where_the_map_cannot_take_the_part_its_outlet_is_not_kept_alone(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    body = last_map(store, owner)
    body["parts"] += [{"id": f"j{at}", "kind": "junction", "name": f"Box {at}"} for at in range(496)]
    keep_version(owner, drawn, drawn.first, body)
    before = len(log_of(store, owner))

    answer = submit(owner, questions(drawn), **AWNING)

    assert answer.status_code == 400
    assert "the most is 500" in answer.text
    assert len(log_of(store, owner)) == before


def test_a_source_is_fed_by_nothing(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, questions(drawn, "inverter", "nothing."), name="Power station", amps="15")

    assert len(last_map(store, owner)["runs"]) == 3
    assert by_name(store, owner, "Power station")["amps"] == 15


def test_a_form_sent_twice_is_kept_once(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {**opened(owner, questions(drawn), f"{drawn.map}/parts/new"), **AWNING}
    first = owner.client.post(f"{drawn.map}/parts/new", data=fields)
    count = len(log_of(store, owner))

    second = owner.client.post(f"{drawn.map}/parts/new", data=fields)

    assert (second.status_code, second.location) == (303, first.location)
    assert len(log_of(store, owner)) == count


def test_a_form_kept_once_and_sent_again_with_other_words_is_refused(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    fields = {**opened(owner, questions(drawn), f"{drawn.map}/parts/new"), **AWNING}
    owner.client.post(f"{drawn.map}/parts/new", data=fields)
    count = len(log_of(store, owner))

    answer = owner.client.post(f"{drawn.map}/parts/new", data={**fields, "name": "Porch"})

    assert answer.status_code == 400
    assert "This form was kept already" in answer.text
    assert 'value="Porch"' in answer.text
    assert len(log_of(store, owner)) == count


def test_the_second_of_two_desks_is_told_what_changed_and_loses_nothing(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    fields = {**opened(owner, questions(drawn), f"{drawn.map}/parts/new"), **AWNING}
    other = last_map(store, owner)
    other["parts"][1]["name"] = "Front breaker"
    newer = keep_version(owner, drawn, drawn.first, other)
    count = len(log_of(store, owner))

    answer = owner.client.post(f"{drawn.map}/parts/new", data=fields)

    assert answer.status_code == 409
    assert "“Outlets breaker” is now called “Front breaker”." in answer.text
    again = form_of(answer.text, f"{drawn.map}/parts/new")
    assert (again["name"], again["feet"], again["base"]) == ("Awning", "12.5", newer)
    assert len(log_of(store, owner)) == count

    assert owner.client.post(f"{drawn.map}/parts/new", data=again).status_code == 303
    assert by_name(store, owner, "Front breaker")["id"] == "b1"
    assert by_name(store, owner, "Awning")["outlet_type"] == "5-20"


def test_the_first_edit_of_a_list_keeps_it_as_version_one_with_the_edit(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    path = f"{noted.page}/map/parts/new?kind=receptacle&start={noted.device}"

    answer = submit(owner, path, **AWNING)

    assert answer.status_code == 303
    (version,) = maps_of(store, owner)
    assert (version.record.corrects, version.record.reason) == (None, None)
    names = [part["name"] for part in version.record.body["parts"]]
    assert names == ["Inlet", "GFCI in the galley", "Galley", "Behind the fridge", "Awning"]


def test_the_first_edit_sent_twice_is_kept_once(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    path = f"{noted.page}/map/parts/new"
    fields = {**opened(owner, f"{path}?kind=receptacle&start={noted.device}", path), **AWNING}
    owner.client.post(path, data=fields)
    count = len(log_of(store, owner))

    assert owner.client.post(path, data=fields).status_code == 303
    assert len(log_of(store, owner)) == count


def test_what_is_on_the_list_and_not_on_the_map_can_be_put_there(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    listed = submit(owner, f"/rigs/{drawn.rig}/outlets/new", name="Porch", outlet="5-20", guard="")
    assert listed.status_code == 303
    porch = log_of(store, owner)[-1].record.id
    before = len(log_of(store, owner))

    answer = submit(owner, f"{questions(drawn)}&known={porch}", side="load")

    assert answer.status_code == 303, answer.text
    part = by_name(store, owner, "Porch")
    assert (part["outlet"], part["outlet_type"]) == (porch, "5-20")
    assert len(log_of(store, owner)) == before + 1


def test_what_is_on_the_list_is_of_the_kind_that_the_list_says(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    submit(owner, f"/rigs/{drawn.rig}/outlets/new", name="Porch", outlet="5-20", guard="")
    porch = log_of(store, owner)[-1].record.id

    assert (
        "On the list it is something else"
        in owner.client.get(f"{questions(drawn, 'breaker')}&known={porch}").text
    )


def test_the_wrong_person_finds_no_such_rig(
    owner: Person, colleague: Person, stranger: Person, store: Store, drawn: Drawn
) -> None:
    path = f"{drawn.map}/parts/new"
    token = opened(colleague, "/rigs/new")["csrf_token"]

    assert colleague.client.get(questions(drawn)).status_code == 404
    assert colleague.client.post(path, data={"csrf_token": token, **AWNING}).status_code == 404
    assert stranger.client.get(path).status_code == 303
    assert log_of(store, colleague) == []
    assert len(maps_of(store, owner)) == 1


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, drawn: Drawn, method: str) -> None:
    assert getattr(owner.client, method)(f"{drawn.map}/parts/new").status_code == 405


def test_a_name_is_shown_as_text(owner: Person, store: Store, drawn: Drawn) -> None:
    answer = submit(owner, questions(drawn), **{**AWNING, "name": "<b>Awning</b>"})

    assert "<b>Awning" not in owner.client.get(answer.location or "").text
    assert "<b>Awning" not in owner.client.get(f"{drawn.map}/table").text
