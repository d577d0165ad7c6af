"""A plan is kept with what was read of it later, and every page tells both."""

from tests.builders import a_plan, an_id
from tests.conftest import Person
from tests.web.rigs import note_a_rig


def test_a_plan_stands_in_history_and_record_with_what_was_read_later(owner: Person) -> None:
    noted = note_a_rig(owner)
    plan = a_plan(noted.rig, body={"read": None})
    read = plan["body"] | {"read": {"volts": "113.4 V", "amps": "11.8 A", "outlet": "117.2 V"}}
    later = plan | {"id": an_id(), "corrects": plan["id"], "reason": "Read at the rig.", "body": read}
    receipts = owner.send(plan, later)

    assert [receipt["status"] for receipt in receipts] == ["stored", "stored"]
    assert "Kettle: planned 116.7 V, read 113.4 V" in owner.client.get("/history").text
    page = owner.client.get(f"/history/{later['id']}").text
    assert "113.4 V at 11.8 A; at the outlet 117.2 V" in page and "116.7 V (116.1 V to 117.3 V)" in page
    assert "Kettle: planned 116.7 V, read 113.4 V" in owner.client.get(f"/rigs/{noted.rig}/record").text


def test_a_plan_without_loads_is_refused_by_name(owner: Person) -> None:
    noted = note_a_rig(owner)
    (receipt,) = owner.send(a_plan(noted.rig, body={"loads": []}))

    assert receipt["status"] == "refused"
    assert receipt["problems"][0]["at"] == "/body/loads"


def test_a_rigs_page_lists_its_plans_newest_first_measured_against_planned(owner: Person) -> None:
    noted = note_a_rig(owner)
    assert "No plan is kept." in owner.client.get(f"/rigs/{noted.rig}").text
    first = a_plan(noted.rig, observed_at="2026-11-20T18:00:00.000+00:00", body={"read": None})
    later = a_plan(noted.rig, observed_at="2026-11-21T18:00:00.000+00:00")
    owner.send(later, first)

    page = owner.client.get(f"/rigs/{noted.rig}").text

    assert page.index("2026-11-21: Kettle") < page.index("2026-11-20: Kettle")
    assert "Read there: 113.4 V at 11.8 A: 3.3 V below what was planned." in page
    assert page.count("data-plan-kept") == 2 and "Read there: not read yet." in page
    assert f"/history/{later['id']}" in page
