"""Taking a part off the map."""

import pytest

from fieldlog.store.session import Store
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map, maps_of
from tests.web.opened import form_of, opened, submit
from tests.web.rigs import log_of


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def path(drawn: Drawn, part: str) -> str:
    return f"{drawn.part(part)}/removal"


def test_a_part_at_the_end_goes_with_its_run(owner: Person, store: Store, drawn: Drawn) -> None:
    answer = submit(owner, path(drawn, "r1"), reason="taken out of the wall")

    assert (answer.status_code, answer.location) == (303, f"{drawn.map}/table")
    after = last_map(store, owner)
    assert [part["id"] for part in after["parts"]] == ["inlet", "b1", "g1"]
    assert [run["to"] for run in after["runs"]] == ["b1", "g1"]
    assert maps_of(store, owner)[-1].record.reason == "taken out of the wall"


def test_its_outlet_keeps_its_record(owner: Person, store: Store, drawn: Drawn) -> None:
    before = len(log_of(store, owner))

    submit(owner, path(drawn, "r1"), reason="gone")

    assert [entry.record.kind for entry in log_of(store, owner)[before:]] == ["rig-map"]
    assert "Bunk" in owner.client.get(f"/rigs/{drawn.rig}").text


def test_what_hangs_on_it_is_named_and_asked_about(owner: Person, store: Store, drawn: Drawn) -> None:
    page = owner.client.get(path(drawn, "g1")).text
    assert "“Bunk”, from its load side, 14 AWG, 6 ft" in page
    assert "Now it is fed from “Outlets breaker”." in page
    assert "checked" not in page

    answer = submit(owner, path(drawn, "g1"), reason="gone")

    assert answer.status_code == 400
    assert "Say what becomes of what hangs on it." in answer.text
    assert form_of(answer.text, path(drawn, "g1"))["reason"].strip() == "gone"
    assert len(maps_of(store, owner)) == 1


def test_what_hangs_on_it_goes_to_what_fed_it(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, path(drawn, "g1"), children="to-feed", reason="gone")

    assert last_map(store, owner)["runs"] == [
        {"from": "inlet", "to": "b1", "awg": 10, "feet": 3},
        {"from": "b1", "to": "r1", "from_side": "line", "awg": 14, "feet": 16},
    ]


def test_a_run_of_two_gauges_counts_as_the_thinner_one(owner: Person, store: Store, drawn: Drawn) -> None:
    submit(owner, path(drawn, "b1"), children="to-feed", reason="gone")

    assert last_map(store, owner)["runs"][0] == {
        "from": "inlet",
        "to": "g1",
        "from_side": "line",
        "awg": 14,
        "feet": 13,
    }


def test_where_nothing_feeds_it_what_hangs_on_it_needs_another_feed_first(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    answer = submit(owner, path(drawn, "inlet"), reason="gone")

    assert answer.status_code == 400
    assert "First feed what hangs on it from elsewhere" in answer.text
    assert len(maps_of(store, owner)) == 1


def test_modes_go_on_leaving_out_the_same_runs(owner: Person, store: Store, drawn: Drawn) -> None:
    body = last_map(store, owner)
    body["modes"] = {"shore": {"without": []}, "dry": {"without": [2]}}
    keep_version(owner, drawn, drawn.first, body)

    submit(owner, path(drawn, "b1"), children="to-feed", reason="gone")

    after = last_map(store, owner)
    (out,) = after["modes"]["dry"]["without"]
    assert (after["runs"][out]["from"], after["runs"][out]["to"]) == ("g1", "r1")


def test_a_removal_sent_twice_is_kept_once(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {**opened(owner, path(drawn, "r1")), "reason": "gone"}
    for _ in range(2):
        assert owner.client.post(path(drawn, "r1"), data=fields).status_code == 303

    assert len(maps_of(store, owner)) == 2


def test_the_second_of_two_desks_is_told_what_changed(owner: Person, store: Store, drawn: Drawn) -> None:
    fields = {**opened(owner, path(drawn, "r1")), "reason": "gone"}
    other = last_map(store, owner)
    other["parts"][1]["amps"] = 20
    keep_version(owner, drawn, drawn.first, other)

    answer = owner.client.post(path(drawn, "r1"), data=fields)

    assert answer.status_code == 409
    assert "rating 20 A, before 15 A" in answer.text
    assert len(maps_of(store, owner)) == 2


def test_it_needs_a_reason(owner: Person, store: Store, drawn: Drawn) -> None:
    answer = submit(owner, path(drawn, "r1"), reason=" ")

    assert answer.status_code == 400
    assert "Say why the map is changed" in answer.text
    assert len(maps_of(store, owner)) == 1


def test_the_wrong_person_finds_no_such_part(
    owner: Person, colleague: Person, store: Store, drawn: Drawn
) -> None:
    token = opened(colleague, "/rigs/new")["csrf_token"]

    assert colleague.client.get(path(drawn, "r1")).status_code == 404
    assert colleague.client.post(path(drawn, "r1"), data={"csrf_token": token}).status_code == 404
    assert owner.client.get(path(drawn, "nobody")).status_code == 404
    assert len(maps_of(store, owner)) == 1


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, drawn: Drawn, method: str) -> None:
    assert getattr(owner.client, method)(path(drawn, "r1")).status_code == 405
