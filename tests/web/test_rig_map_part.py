"""The page of a part of the map, and another word about it."""

from typing import Any

import pytest

from fieldlog.model.rig import rig_of
from fieldlog.store.session import Store
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map, maps_of
from tests.web.opened import form_of, opened, submit
from tests.web.rigs import log_of, note_a_rig


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def part_of(store: Store, person: Person, part: str) -> dict[str, Any]:
    return next(one for one in last_map(store, person)["parts"] if one["id"] == part)


def test_a_part_is_shown_with_what_feeds_it_and_what_hangs_on_it(owner: Person, drawn: Drawn) -> None:
    page = owner.client.get(drawn.part("g1")).text

    assert "Fed by the run from “Outlets breaker” to “Galley”, 14 AWG, 10 ft" in page
    assert "“Bunk”, from its load side, 14 AWG, 6 ft" in page
    assert "Guarded by “Galley”, as the map says." in page


def test_a_form_sent_as_it_was_opened_changes_nothing(owner: Person, store: Store, drawn: Drawn) -> None:
    before = last_map(store, owner)

    submit(owner, drawn.part("r1"), reason="looked again")

    after = last_map(store, owner)
    assert after["parts"][3] == before["parts"][3] | {"where": [], "bonded": False, "note": ""}
    assert after["runs"] == before["runs"]


def test_each_change_is_kept_with_its_reason(owner: Person, store: Store, drawn: Drawn) -> None:
    changed = {"outlet_type": "5-20", "where": ["outside"], "bonded": "y", "note": "cracked"}

    answer = submit(owner, drawn.part("r1"), reason="read off its face", **changed)

    assert (answer.status_code, answer.location) == (303, drawn.part("r1") + "?kept=yes")
    part = part_of(store, owner, "r1")
    assert {name: part[name] for name in ("outlet_type", "amps", "where", "bonded", "note")} == {
        "outlet_type": "5-20",
        "amps": 20,
        "where": ["outside"],
        "bonded": True,
        "note": "cracked",
    }
    newest = maps_of(store, owner)[-1].record
    assert (newest.corrects, newest.reason) == (drawn.first, "read off its face")


def test_another_feed_takes_the_run_along(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, drawn.part("r1"), start="b1", awg="12", feet="7", reason="traced it")

    assert last_map(store, owner)["runs"][2] == {
        "from": "b1",
        "to": "r1",
        "from_side": "line",
        "awg": 12,
        "feet": 7,
    }


def from_the_breaker(owner: Person, drawn: Drawn) -> None:
    """Note that the bunk is fed from a part that has no sides."""
    assert submit(owner, drawn.part("r1"), start="b1", reason="traced it").status_code == 303


def test_a_feed_moved_to_a_device_asks_from_which_side(owner: Person, store: Store, drawn: Drawn) -> None:
    from_the_breaker(owner, drawn)
    versions = len(maps_of(store, owner))

    asked = submit(owner, drawn.part("r1"), start="g1", feet="8", reason="moved it")

    assert asked.status_code == 400 and "Say from which of its two sides." in asked.text
    assert len(maps_of(store, owner)) == versions
    again = form_of(asked.text, drawn.part("r1"))
    assert "side" not in again and (again["feet"], again["reason"]) == ("8", "moved it")
    kept = owner.client.post(drawn.part("r1"), data={**again, "side": "load"})
    assert kept.status_code == 303
    assert last_map(store, owner)["runs"][2]["from_side"] == "load"


def test_the_side_of_one_device_is_not_taken_for_that_of_another(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    body = last_map(store, owner)
    body["parts"].append({"id": "g2", "kind": "gfci-receptacle", "name": "Awning", "amps": 15})
    body["runs"].append({"from": "b1", "to": "g2"})
    keep_version(owner, drawn, drawn.first, body)

    asked = submit(owner, drawn.part("r1"), start="g2", reason="moved it")

    assert asked.status_code == 400 and "Say from which of its two sides." in asked.text
    again = form_of(asked.text, drawn.part("r1"))
    assert "side" not in again
    assert owner.client.post(drawn.part("r1"), data={**again, "side": "line"}).status_code == 303
    assert (last_map(store, owner)["runs"][2]["from"], last_map(store, owner)["runs"][2]["from_side"]) == (
        "g2",
        "line",
    )


def test_another_side_that_was_chosen_stays_chosen_and_the_top_of_the_page_says_what_is_asked(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    body = last_map(store, owner)
    body["parts"].append({"id": "g2", "kind": "gfci-receptacle", "name": "Awning", "amps": 15})
    body["runs"].append({"from": "b1", "to": "g2"})
    keep_version(owner, drawn, drawn.first, body)

    asked = submit(owner, drawn.part("r1"), start="g2", side="line", reason="moved it")

    assert asked.status_code == 400
    top, form = asked.text.split("<form", 1)
    assert "Nothing was kept." in top and "Say from which of its two sides." in top
    again = form_of(asked.text, drawn.part("r1"))
    assert (again["start"], again["side"]) == ("g2", ["line"]) and "Awning” has two sides" in form
    assert owner.client.post(drawn.part("r1"), data=again).status_code == 303
    assert last_map(store, owner)["runs"][2]["from"] == "g2"


def test_a_kept_change_says_so(owner: Person, drawn: Drawn) -> None:
    said = "Kept as a version of the map."

    answer = submit(owner, drawn.part("r1"), start="b1", reason="traced it")

    assert said in owner.client.get(answer.location or "").text
    assert said not in owner.client.get(drawn.part("r1")).text


def test_another_side_is_only_that(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, drawn.part("r1"), side="line", reason="it stayed live")

    assert last_map(store, owner)["runs"][2] == {
        "from": "g1",
        "to": "r1",
        "from_side": "line",
        "awg": 14,
        "feet": 6,
    }


def test_a_part_may_be_fed_by_nothing(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, drawn.part("r1"), start="nothing.", reason="cut off")

    assert [run["to"] for run in last_map(store, owner)["runs"]] == ["b1", "g1"]


def test_another_name_is_the_name_of_its_outlet_and_its_device_too(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    submit(owner, drawn.part("g1"), name="Sink", reason="there are two galleys")

    rig = rig_of(log_of(store, owner), drawn.rig)
    assert rig is not None
    outlet, device = rig.outlet(drawn.galley), rig.device(drawn.device)
    assert outlet is not None and device is not None
    assert (outlet.name, device.name) == ("Sink", "Sink")
    assert outlet.chain.entry.record.reason == "there are two galleys"
    assert outlet.guard == drawn.device


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"reason": " "}, "Say why the map is changed"),
        ({"name": ""}, "Write a name."),
        ({"outlet_type": ""}, "Choose one."),
        ({"start": "r1"}, "That is none of the choices"),
        ({"start": "nobody"}, "That is none of the choices"),
        ({"start": ""}, "Say what feeds it, or that nothing on the map does."),
        ({"feet": "1001"}, "Write a number up to 1000"),
        ({"note": "x" * 201}, "Shorten it to 200 characters."),
    ],
)
def test_bad_input_gets_a_sentence_and_loses_nothing_typed(
    owner: Person, store: Store, drawn: Drawn, wrong: dict[str, str], sentence: str
) -> None:
    before = len(log_of(store, owner))

    typed = {"reason": "I looked", "feet": "8", **wrong}
    answer = submit(owner, drawn.part("r1"), **typed)

    assert answer.status_code == 400
    assert sentence in answer.text
    again = form_of(answer.text, drawn.part("r1"))
    assert again["feet"] == typed["feet"]
    assert again["reason"].strip() == typed["reason"].strip()
    assert len(log_of(store, owner)) == before


def test_what_hangs_on_a_part_cannot_feed_it(owner: Person, store: Store, drawn: Drawn) -> None:
    answer = submit(owner, drawn.part("b1"), start="r1", reason="a loop")

    assert answer.status_code == 400
    assert "That is none of the choices" in answer.text
    assert len(maps_of(store, owner)) == 1


def test_a_change_sent_twice_is_kept_once(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {**opened(owner, drawn.part("g1")), "name": "Sink", "reason": "seen"}
    owner.client.post(drawn.part("g1"), data=fields)
    count = len(log_of(store, owner))

    assert owner.client.post(drawn.part("g1"), data=fields).status_code == 303
    assert len(log_of(store, owner)) == count


def test_the_second_of_two_desks_is_told_what_changed_and_loses_nothing(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    fields = {**opened(owner, drawn.part("r1")), "name": "Desk", "reason": "renamed it"}
    other = last_map(store, owner)
    other["runs"][2] = other["runs"][2] | {"from_side": "line"}
    keep_version(owner, drawn, drawn.first, other)

    answer = owner.client.post(drawn.part("r1"), data=fields)

    assert answer.status_code == 409
    assert "“Bunk” is fed from the line side" in answer.text
    again = form_of(answer.text, drawn.part("r1"))
    assert (again["name"], again["reason"].strip()) == ("Desk", "renamed it")
    assert len(maps_of(store, owner)) == 2


def test_a_listed_rig_asks_for_no_reason_at_its_first_change(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    path = f"{noted.page}/map/parts/{noted.fridge}"
    assert "reason" not in opened(owner, path)

    answer = submit(owner, path, start=noted.device, side="load", awg="14")

    assert answer.status_code == 303, answer.text
    assert len(maps_of(store, owner)) == 1
    run = last_map(store, owner)["runs"][-1]
    assert (run["from"], run["from_side"], run["awg"]) == (noted.device, "load", 14)


def test_a_part_that_is_not_there_or_somebody_elses_is_not_found(
    owner: Person, colleague: Person, store: Store, drawn: Drawn
) -> None:
    token = opened(colleague, "/rigs/new")["csrf_token"]

    assert owner.client.get(drawn.part("nobody")).status_code == 404
    assert colleague.client.get(drawn.part("r1")).status_code == 404
    assert colleague.client.post(drawn.part("r1"), data={"csrf_token": token}).status_code == 404
    assert len(maps_of(store, owner)) == 1


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, drawn: Drawn, method: str) -> None:
    assert getattr(owner.client, method)(drawn.part("r1")).status_code == 405
