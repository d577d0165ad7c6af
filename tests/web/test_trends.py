"""How outlets and devices went: /rigs/<rig id>/trends and the page of each."""

import csv
import html
import io
import json

from fieldlog.store.chains import asked_of
from fieldlog.store.ends import LogKey
from fieldlog.store.session import Store
from tests.builders import a_change, a_trip_test, an_id, an_outlet, an_outlet_test
from tests.conftest import Person
from tests.web.rigs import Noted, note_a_rig
from tests.web.years import loaded, month, outlet_years, pedestal_years

SOUND = [0.2] * 6
WORSE = [*SOUND, 0.26, 0.32, 0.38, 0.44, 0.5, 0.56]
MILLISECONDS = (24, 25, 24, 25, 24, 40, 60, 80)


def charts(person: Person, noted: Noted) -> str:
    answer = person.client.get(f"/rigs/{noted.rig}/outlets/{noted.galley}/trends")
    assert answer.status_code == 200, answer.text
    return html.unescape(answer.text)


def test_a_joint_that_goes_bad_is_told_with_since_when_how_sure_and_what_next(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(*outlet_years(noted.rig, noted.galley, WORSE))

    page = charts(owner, noted)

    assert 'data-flag="drifting"' in page
    assert "The whole loop, site and rig drifts since 5 July 2025: 0.20 ohm before, 0.50 ohm now." in page
    assert "Whether the site or the rig: cannot tell." in page
    assert "It rose from 0.20 to 0.56 ohm in 11 months." in page
    assert "95 % interval" in page
    assert "Next: read it again under the same load with the same meter." in page


def test_the_page_of_all_names_what_drifts_first(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(*outlet_years(noted.rig, noted.galley, WORSE))

    page = html.unescape(owner.client.get(f"/rigs/{noted.rig}/trends").text)

    assert "The whole loop, site and rig drifts since 5 July 2025" in page
    assert "Nothing that can be drawn was read yet." in page
    assert f"/rigs/{noted.rig}/outlets/{noted.galley}/trends" in page


def test_where_both_loads_were_read_in_one_visit_the_site_is_told_from_the_rig(owner: Person) -> None:
    noted = note_a_rig(owner)
    pedestals = [0.1] * 6 + [0.16, 0.22, 0.28, 0.34, 0.4, 0.46]
    owner.send(*pedestal_years(pedestals), *outlet_years(noted.rig, noted.galley, WORSE))

    page = charts(owner, noted)

    assert "The rig’s own part raises no alarm: it is the site’s." in page
    assert "The rig’s own part of the loop drifts" not in page


def test_where_the_rigs_own_part_drifts_that_is_said(owner: Person) -> None:
    noted = note_a_rig(owner)
    worse = [*SOUND, 0.3, 0.45, 0.6, 0.75, 0.9, 1.05]
    owner.send(*pedestal_years([0.1] * 12), *outlet_years(noted.rig, noted.galley, worse))

    page = charts(owner, noted)

    assert "The rig’s own part of the loop drifts since" in page
    assert "It is the rig’s own part: the pedestal was read under a load in the same visits." in page


def test_another_site_each_month_is_no_drift_of_the_rig(owner: Person) -> None:
    noted = note_a_rig(owner)
    sites = pedestal_years([0.1] * 12)
    for number, check in enumerate(sites):
        check["body"]["place"]["site"] = str(number)
        del check["body"]["check"]["loaded"]
    owner.send(*sites, *outlet_years(noted.rig, noted.galley, WORSE))

    page = charts(owner, noted)

    assert "data-flag" not in page
    assert "Too few to tell whether it drifts: 1 reading since the last change." in page
    assert "another site" in page


def test_a_step_at_a_change_is_told_as_that_and_raises_no_alarm(owner: Person) -> None:
    noted = note_a_rig(owner)
    change = a_change(noted.rig, noted.galley, observed_at=month(6).replace("-05T", "-02T"))
    owner.send(*outlet_years(noted.rig, noted.galley, [*SOUND, *([0.5] * 6)]), change)

    page = charts(owner, noted)

    assert "It rose from 0.20 to 0.50 ohm in 11 months, a step at the change in July 2025." in page
    assert "data-flag" not in page
    assert "wiring changed:" in page
    assert "No alarm over 6 readings since the last change." in page


def test_another_meter_and_another_load_start_anew(owner: Person) -> None:
    noted = note_a_rig(owner)
    tests = outlet_years(noted.rig, noted.galley, SOUND)
    tests[3]["body"]["check"]["meter"]["accuracy_volts"] = "0.5 V"
    tests[5]["body"]["check"]["loaded"]["amps"] = "8 A"
    owner.send(*tests)

    page = charts(owner, noted)

    assert "another meter" in page
    assert "another load: 8 A" in page
    assert "Too few to tell whether it drifts: 1 reading since the last change." in page


def test_a_corrected_reading_is_drawn_as_what_counts_and_marked(owner: Person) -> None:
    noted = note_a_rig(owner)
    tests = outlet_years(noted.rig, noted.galley, SOUND)
    wrong = an_outlet_test(noted.rig, noted.galley, loaded(9.0, where="rig"), observed_at=month(6))
    right = an_outlet_test(
        noted.rig,
        noted.galley,
        loaded(0.2, where="rig"),
        observed_at=month(6),
        corrects=wrong["id"],
        reason="read off by a line",
    )
    owner.send(*tests, wrong, right)

    page = charts(owner, noted)

    assert "chart__corrected" in page
    assert "9.00 ohm" not in page
    assert f"/history/{right['id']}" in page


def test_times_to_trip_are_drawn_where_a_tester_told_them(owner: Person) -> None:
    noted = note_a_rig(owner)
    trips = [
        a_trip_test(noted.rig, noted.device, observed_at=month(number)) for number in range(len(MILLISECONDS))
    ]
    for trip, milliseconds in zip(trips, MILLISECONDS, strict=True):
        trip["body"] |= {"by": "external", "milliseconds": f"{milliseconds} ms", "milliamps": "20 mA"}
    receipts = owner.send(*trips)
    assert {receipt["status"] for receipt in receipts} == {"stored"}, receipts

    page = html.unescape(owner.client.get(f"/rigs/{noted.rig}/devices/{noted.device}/trends").text)

    assert "Time to trip drifts since" in page
    assert "What the tester may be off by is not noted" in page


def test_an_outlet_that_nobody_read_under_a_load_says_what_to_read(owner: Person) -> None:
    noted = note_a_rig(owner)

    page = charts(owner, noted)

    assert "Nothing that can be drawn was read here yet." in page


def test_an_outlet_that_is_not_there_is_not_found_and_nothing_is_sent_there(owner: Person) -> None:
    noted = note_a_rig(owner)

    assert owner.client.get(f"/rigs/{noted.rig}/outlets/{an_id()}/trends").status_code == 404
    assert owner.client.get(f"/rigs/{noted.rig}/devices/{an_id()}/trends").status_code == 404
    assert owner.client.get(f"/rigs/{an_id()}/trends").status_code == 404
    assert owner.client.post(f"/rigs/{noted.rig}/trends").status_code == 405


def test_what_is_asked_of_one_thing_reads_no_other_record(store: Store) -> None:
    """The plan of SQLite, by its own EXPLAIN QUERY PLAN: an index by kind and thing, and no scan."""
    with store.reading() as tx:
        for subject in ("x", None):
            asked = asked_of(LogKey("a", "r"), "outlet-test", subject, 240)
            text = str(asked.compile(tx, compile_kwargs={"literal_binds": True}))
            plan = " ".join(str(row) for row in tx.exec_driver_sql(f"EXPLAIN QUERY PLAN {text}"))

            assert "ix_chains_newest (account=? AND log=? AND kind=? AND subject=?)" in plan, plan


def test_all_readings_of_a_rig_are_taken_along_and_no_name_is_a_formula(owner: Person) -> None:
    noted = note_a_rig(owner)
    bad = an_outlet(noted.rig, "=HYPERLINK(1)")
    owner.send(bad, *outlet_years(noted.rig, bad["id"], SOUND))

    table = owner.client.get(f"/rigs/{noted.rig}/trends.csv").text
    lines = owner.client.get(f"/rigs/{noted.rig}/trends.jsonl").text

    rows = list(csv.DictReader(io.StringIO(table)))
    assert {row["thing"] for row in rows} == {"'=HYPERLINK(1)"}
    assert {row["quantity"] for row in rows} >= {"The whole loop, site and rig", "Volts, hot to neutral"}
    told = [json.loads(line) for line in lines.splitlines()]
    assert [(row["day"], f"{row['value']}") for row in told] == [(row["day"], row["value"]) for row in rows]
    assert told[0]["thing"] == "=HYPERLINK(1)"
    assert owner.client.get(f"/rigs/{noted.rig}/trends.xml").status_code == 404
