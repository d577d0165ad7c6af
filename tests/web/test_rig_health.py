"""A rig's first page: how each thing is known, how old that is, what is open and what clears it."""

import html
import re
from datetime import timedelta

from fieldlog.store.session import Store
from tests.builders import (
    a_check,
    a_device,
    a_look,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_outlet,
    an_outlet_test,
)
from tests.conftest import Clock, Person, begin_session
from tests.web.rigs import Noted, note_a_rig
from tests.web.years import outlet_years

OTHER_BOOK = "sha256:" + "0" * 64
REVERSED = {"h-n": "120.0 V", "h-g": "0.3 V", "n-g": "120.0 V"}


def page_of(person: Person, noted: Noted) -> str:
    answer = person.client.get(noted.page)
    assert answer.status_code == 200
    return html.unescape(answer.text)


def by_other_rules(record: dict[str, object], verdict: str = "use") -> dict[str, object]:
    """Give a check as a phone with another rulebook judged it."""
    body = record["body"]
    assert isinstance(body, dict)
    body["judgement"] = {"verdict": verdict, "first": "correct", "rulebook": OTHER_BOOK}
    return record


def test_what_was_tested_long_ago_does_not_show_as_good(owner: Person, store: Store, clock: Clock) -> None:
    noted = note_a_rig(owner)
    owner.send(an_outlet_test(noted.rig, noted.galley), a_trip_test(noted.rig, noted.device))
    assert "2 of 6" not in page_of(owner, noted)
    assert 'data-verdict="use"' in page_of(owner, noted)

    clock.pass_by(timedelta(days=40))
    begin_session(owner, store, clock)

    page = page_of(owner, noted)
    assert 'data-verdict="use"' not in page and "Trips and resets" not in page
    assert page.count("Not known any more: tested too long ago") == 2
    assert "Tested 40 days ago, overdue since 2026-12-25" in page
    assert "Its last result, 2026-11-25: Use." in page


def test_every_open_point_leads_to_what_clears_it(owner: Person) -> None:
    noted = note_a_rig(owner)
    bad = a_look(noted.rig)
    bad["body"] |= {"of": "cord", "points": {"cord-jacket": "bad"}}
    failed = a_trip_test(noted.rig, noted.device)
    failed["body"] |= {"reset": False, "live": [noted.galley], "not_tested": []}
    test = an_outlet_test(noted.rig, noted.fridge, check=a_check(where="rig", volts=REVERSED))
    receipts = owner.send(bad, failed, test)
    assert {receipt["status"] for receipt in receipts} == {"stored"}, receipts

    page = page_of(owner, noted)

    for kind, address in (
        ("Bad when looked at", f"/round#rig={noted.rig}&at=look-cord"),
        ("Does not work", f"/round#rig={noted.rig}&device={noted.device}"),
        ("Does not agree", f"/rigs/{noted.rig}/map"),
        ("Never tested", f"/outlets/{noted.galley}"),
    ):
        assert kind in page, kind
        assert f'href="{address}"' in page, kind
    assert page.count("Cleared by: ") >= 4
    assert f'href="/round#rig={noted.rig}"' in page


def test_what_is_due_is_counted_as_the_round_counts_it(owner: Person) -> None:
    noted = note_a_rig(owner)

    page = page_of(owner, noted)

    # A device, two outlets, cord, inlet, skin, alarms: a load that was never read is of its outlet's step.
    assert "Round: 7 due" in page
    assert "Round: 7 due" in owner.client.get("/rigs").text


def test_an_outlet_that_todays_rules_judge_worse_is_told_unasked_with_the_reason(owner: Person) -> None:
    noted = note_a_rig(owner)
    test = an_outlet_test(noted.rig, noted.galley, check=a_check(where="rig", volts=REVERSED))
    owner.send(by_other_rules(test))

    page = page_of(owner, noted)

    assert 'data-state="worse"' in page and 'data-verdict="use"' not in page
    assert re.search(r"“Galley”, 2026-11-25: It said use; by today’s rules: do not use\. \S+", page)
    assert "Judged worse by today’s rules" in owner.client.get("/rigs").text


def test_the_pedestal_one_is_plugged_into_is_told_as_well(owner: Person) -> None:
    noted = note_a_rig(owner)
    check = a_check(outlet="TT-30", volts=REVERSED)
    owner.send(by_other_rules(an_arrival_check(check=check)))

    page = page_of(owner, noted)

    assert "“the last pedestal”, 2026-11-25: It said use; by today’s rules: do not use." in page


def test_what_other_rules_judged_alike_is_told_of_in_no_way(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(by_other_rules(an_outlet_test(noted.rig, noted.galley)))

    assert "today’s rules" not in page_of(owner, noted).replace("here sha256", "")


def test_a_joint_that_drifts_stands_among_the_flags_of_its_outlet(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(*outlet_years(noted.rig, noted.galley, [*[0.2] * 6, 0.26, 0.32, 0.38, 0.44, 0.5, 0.56]))

    page = page_of(owner, noted)

    assert "<b>Drifts.</b> The whole loop" in page
    assert f'href="/outlets/{noted.galley}"' in page


def test_a_rig_of_which_all_is_known_says_so(owner: Person) -> None:
    rig = a_rig()
    device, outlet = a_device(rig["id"], "Entry"), an_outlet(rig["id"], "Galley")
    owner.send(rig, device, outlet)

    assert "0 of 5 things are known today" in owner.client.get(f"/rigs/{rig['id']}").text
