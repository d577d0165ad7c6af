"""Cords, extensions and adapters with a number, where the desk shows them: rig, record, history, calendar."""

import re

from tests.builders import a_cord_set, a_rig, a_set_test, an_incident
from tests.conftest import Person


def noted(owner: Person) -> tuple[str, str, str]:
    """Give a rig with a named keeper and two sets, the second tested on the day of the tests’ clock."""
    rig = a_rig()
    rig["body"] |= {"assured_by": "Robin Vale"}
    first, second = a_cord_set(rig["id"], "3"), a_cord_set(rig["id"], "7")
    test = a_set_test(rig["id"], second["id"], observed_at="2026-11-25T09:00:00.000Z")
    assert {each["status"] for each in owner.send(rig, first, second, test)} == {"stored"}
    return rig["id"], first["id"], second["id"]


def flat(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_rig_page_and_service_record_tell_each_set_its_state_and_who_keeps_the_tests(owner: Person) -> None:
    rig, first, _ = noted(owner)

    page = owner.client.get(f"/rigs/{rig}").text
    record = flat(owner.client.get(f"/rigs/{rig}/record").text)

    assert f"/round#rig={rig}&amp;at=set-{first}" in page
    for told in (flat(page), record):
        assert "Extension cord 3” : never tested" in told.replace("”:", "” :")
        assert "every conductor good, ground 0.2 Ω" in told
        assert "Next due 2027-02-25" in told
        assert "Kept by Robin Vale" in told
        assert "construction sites" in told and "own choice" in told


def test_a_set_that_was_pulled_is_told_with_what_clears_it(owner: Person) -> None:
    rig, _, second = noted(owner)
    owner.send(an_incident(rig, second, what="pull", observed_at="2026-11-25T10:00:00.000Z"))

    told = flat(owner.client.get(f"/rigs/{rig}").text)

    assert "hard pull on the cord noted 2026-11-25: due until" in told
    assert "each of its conductors is shown good" in told


def test_the_calendar_holds_the_test_of_each_set(owner: Person) -> None:
    rig, first, second = noted(owner)

    text = owner.client.get(f"/rigs/{rig}/calendar.ics").text.replace("\r\n ", "")

    assert f"UID:set-{first}@" in text
    assert f"UID:set-{second}@" in text
    assert "SUMMARY:Extension cord 7: Show that its ground is continuous" in text


def test_a_set_is_retired_by_a_correction_and_then_no_longer_due(owner: Person) -> None:
    rig, first, _ = noted(owner)
    page = owner.client.get(f"/history/{first}/corrections/new").text
    assert 'name="number"' in page
    assert 'name="retired"' in page
    gone = a_cord_set(rig, "3", corrects=first, reason="Thrown away")
    gone["body"] |= {"retired": True}

    assert owner.send(gone)[0]["status"] == "stored"

    assert "Gone for good" in owner.client.get(f"/rigs/{rig}").text
    assert f"set-{first}@" not in owner.client.get(f"/rigs/{rig}/calendar.ics").text
