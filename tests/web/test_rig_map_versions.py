"""Every version of a rig's map."""

import pytest

from fieldlog.store.session import Store
from tests.builders import a_change, a_look, a_proof, a_round, a_trip_test, an_id
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map
from tests.web.opened import form_of
from tests.web.rigs import note_a_rig


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def test_each_version_has_its_day_its_reason_and_what_it_changed(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    body = last_map(store, owner)
    body["runs"][2]["from_side"] = "line"
    keep_version(owner, drawn, drawn.first, body, "it stayed live")

    page = owner.client.get(f"{drawn.map}/versions").text

    assert page.index("Version 2, as it is now") < page.index("Version 1")
    assert "2026-11-25" in page
    assert "Reason: it stayed live" in page
    assert "“Bunk” is fed from the line side" in page
    assert "The first version." in page


def test_an_earlier_version_shows_what_it_held(owner: Person, store: Store, drawn: Drawn) -> None:
    body = last_map(store, owner)
    body["parts"][3]["name"] = "Desk"
    body["modes"] = {"dry": {"without": [2]}}
    newer = keep_version(owner, drawn, drawn.first, body)

    first = owner.client.get(f"{drawn.map}/versions/{drawn.first}").text
    second = owner.client.get(f"{drawn.map}/versions/{newer}").text

    assert "Bunk" in first and "Desk" not in first
    assert "Outlet, 5-15; fed from “Galley”, load side, 14 AWG, 6 ft" in first
    assert "In mode dry the run from “Galley” to “Desk” is not there." in second


def test_versions_side_by_side_are_told(owner: Person, store: Store, drawn: Drawn) -> None:
    body = last_map(store, owner)
    keep_version(owner, drawn, drawn.first, body, "one desk")
    keep_version(owner, drawn, drawn.first, body, "another desk")

    page = owner.client.get(f"{drawn.map}/versions").text

    assert page.count("It stands beside the one that counts.") == 1


def test_a_list_has_no_versions_yet(owner: Person) -> None:
    noted = note_a_rig(owner)

    assert (
        "The first change you keep becomes version 1." in owner.client.get(f"{noted.page}/map/versions").text
    )
    assert owner.client.get(f"{noted.page}/map/versions/{an_id()}").status_code == 404


def test_a_version_that_is_not_there_or_somebody_elses_is_not_found(
    owner: Person, colleague: Person, drawn: Drawn
) -> None:
    assert owner.client.get(f"{drawn.map}/versions/{drawn.galley}").status_code == 404
    assert colleague.client.get(f"{drawn.map}/versions").status_code == 404
    assert colleague.client.get(f"{drawn.map}/versions/{drawn.first}").status_code == 404


@pytest.mark.parametrize("page", ["versions", "versions/{first}", "advice"])
@pytest.mark.parametrize("method", ["post", "put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, drawn: Drawn, page: str, method: str) -> None:
    path = f"{drawn.map}/{page.format(first=drawn.first)}"
    assert getattr(owner.client, method)(path).status_code == 405


def test_correcting_a_map_in_the_history_leads_to_its_table(owner: Person, drawn: Drawn) -> None:
    told = owner.client.get(f"/history/{drawn.first}").text
    assert "Outlet, 5-15; fed from “Galley”, load side, 14 AWG, 6 ft" in told
    assert "4 parts" in told

    answer = owner.client.get(f"/history/{drawn.first}/corrections/new")

    assert (answer.status_code, answer.location) == (303, f"{drawn.map}/table")


def test_what_was_noted_of_a_change_and_a_round_is_corrected_in_the_history(
    owner: Person, drawn: Drawn
) -> None:
    trip = a_trip_test(drawn.rig, drawn.device)
    change = a_change(drawn.rig, "r1", shown=drawn.first)
    rest = [a_proof(drawn.rig, change["id"]), a_look(drawn.rig), a_round(drawn.rig, drawn.device, trip["id"])]
    sent = [trip, change, *rest]
    assert {receipt["status"] for receipt in owner.send(*sent)} == {"stored"}

    for record in sent:
        assert owner.client.get(f"/history/{record['id']}").status_code == 200
        path = f"/history/{record['id']}/corrections/new"
        form = form_of(owner.client.get(path).text, "")
        answer = owner.client.post(path, data={**form, "reason": "typing"})
        assert answer.status_code == 303, answer.text
