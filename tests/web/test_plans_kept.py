"""A plan is kept with what was read of it later, and every page tells both."""

from tests.builders import a_plan, a_plan_on_both_legs, an_id
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


def test_a_plan_on_both_hots_is_told_leg_by_leg_in_history_on_the_rigs_page_and_in_the_record(
    owner: Person,
) -> None:
    noted = note_a_rig(owner)
    plan = a_plan_on_both_legs(noted.rig)
    (receipt,) = owner.send(plan)

    assert receipt["status"] == "stored", receipt
    page = owner.client.get(f"/history/{plan['id']}").text
    assert "Kettle (leg X), Lights (leg Y), Dryer (between the hots)" in page
    assert "120 V on leg X and 119 V on leg Y, 239 V between them, with nothing on" in page
    assert "leg X 115.5 V (114.7 V to 116.3 V); leg Y 118.9 V (118.8 V to 118.9 V)" in page
    assert "leg X 21.6 A, leg Y 11.3 A, the neutral 10.3 A, within the limits" in page
    assert "Leg X 111.5 V at 21.6 A. Leg Y 122.8 V at 11.3 A" in page
    rig = owner.client.get(f"/rigs/{noted.rig}").text
    assert "leg X 111.5 V at 21.6 A: 4.0 V below what was planned" in rig
    assert "leg Y 122.8 V at 11.3 A: 3.9 V above what was planned" in rig
    short = "leg X planned 115.5 V, read 111.5 V; leg Y planned 118.9 V, read 122.8 V"
    assert short in owner.client.get(f"/rigs/{noted.rig}/record").text
    assert short in owner.client.get("/history").text


def test_a_reading_of_one_leg_says_of_the_other_that_it_was_not_read(owner: Person) -> None:
    noted = note_a_rig(owner)
    plan = a_plan_on_both_legs(noted.rig, body={"read": None})
    owner.send(plan)

    assert "Leg X not read. Leg Y 122.8 V" in owner.client.get(f"/history/{plan['id']}").text
    assert "leg X not read yet; leg Y 122.8 V" in owner.client.get(f"/rigs/{noted.rig}").text


def test_a_reading_of_leg_y_is_corrected_by_the_form(owner: Person) -> None:
    noted = note_a_rig(owner)
    plan = a_plan_on_both_legs(noted.rig)
    owner.send(plan)

    page = owner.client.get(f"/history/{plan['id']}/corrections/new").text

    assert 'name="second.read.volts"' in page and 'name="read.volts"' in page
