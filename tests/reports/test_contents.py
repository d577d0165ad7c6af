"""What a service record says about a rig."""

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import pytest

from fieldlog.model.rig import rig_of
from fieldlog.reports.contents import Contents, contents
from fieldlog.rulebook import load
from tests.builders import (
    a_14_50_check,
    a_check,
    a_device,
    a_full_check,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_outlet,
    an_outlet_test,
)
from tests.model.log import a_log, at, correcting

RIG = a_rig()
DEVICE = a_device(RIG["id"], "GFCI")
OUTLET = an_outlet(RIG["id"], "Galley", guard=DEVICE["id"])
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def told(*records: Mapping[str, Any], flags: Mapping[str, str] | None = None) -> Contents:
    """Give the contents of a record of a rig with a device, an outlet and these records."""
    rig = rig_of(a_log(RIG, DEVICE, OUTLET, *records, flags=flags), RIG["id"])
    assert rig is not None
    return contents(rig, load(), made_at=NOW, address="http://127.0.0.1/x")


def points(*records: Mapping[str, Any]) -> dict[str, list[str]]:
    """Give the open points by kind."""
    found: dict[str, list[str]] = {}
    for point in told(*records).open_points:
        found.setdefault(point.kind, []).append(point.sentence)
    return found


def a_trip(day: str, **body: Any) -> dict[str, Any]:
    """Give a trip test on a day."""
    trip = a_trip_test(RIG["id"], DEVICE["id"], observed_at=at(day))
    trip["body"] |= body
    return trip


def test_what_nobody_tested_is_an_open_point() -> None:
    assert points()["never tested"] == [
        "“GFCI” was never seen to trip by its own TEST button.",
        "“Galley” was never tested.",
        "Cord and inlet were never looked at.",
        "The buttons of the smoke and gas alarms were never noted.",
        "The rig’s skin was never read in a round.",
    ]


def test_a_trip_test_more_than_a_month_ago_is_overdue() -> None:
    assert points(a_trip("2026-10-20"))["overdue"] == ["“GFCI”: trip test overdue since 2026-11-20."]
    assert "overdue" not in points(a_trip("2026-11-20"))


def test_a_skipped_field_is_an_open_point() -> None:
    skipped = a_trip("2026-11-20", face_dead=None, not_tested=["face_dead", "outlets"])

    assert points(skipped)["not tested"] == [
        "“GFCI”, 2026-11-20: not tested: whether its own face goes dead, what else goes dead."
    ]


def test_an_outlet_that_a_trip_test_left_out_is_named() -> None:
    other = an_outlet(RIG["id"], "Fridge")
    trip = a_trip("2026-11-20", dead=[OUTLET["id"]], not_tested=[])

    assert points(other, trip)["not tested"] == ["“GFCI”, 2026-11-20: not tested: “Fridge”."]


def test_a_device_that_failed_stands_first() -> None:
    failed = a_trip("2026-11-20", tripped=False, face_dead=None, reset=None)

    assert told(failed).open_points[0].sentence == (
        "“GFCI”, 2026-11-20: TEST did not trip the device: it guards nobody."
    )


def test_a_plug_in_tester_afterwards_does_not_hide_a_failure() -> None:
    failed = a_trip("2026-11-20", tripped=False, face_dead=None, reset=None)
    external = a_trip("2026-11-21", by="external", tripped=False, face_dead=None, reset=None)
    skipped = a_trip("2026-11-22", tripped=None, face_dead=None, reset=None)

    assert len(points(failed, external, skipped)["does not work"]) == 1


def test_a_press_that_went_well_settles_an_earlier_failure() -> None:
    failed = a_trip("2026-11-20", tripped=False, face_dead=None, reset=None)

    assert "does not work" not in points(failed, a_trip("2026-11-21"))


@pytest.mark.parametrize("verdict", ["use-limited", "test-more", "do-not-use"])
def test_a_last_verdict_other_than_use_is_an_open_point(verdict: str) -> None:
    test = an_outlet_test(RIG["id"], OUTLET["id"])
    test["body"]["judgement"]["verdict"] = verdict

    assert len(points(test)["last result"]) == 1


def test_the_order_of_open_points_is_gravest_first() -> None:
    failed = a_trip("2026-10-20", reset=False, live=[OUTLET["id"]], not_tested=[])
    other = a_device(RIG["id"], "Entry")
    good = a_trip_test(RIG["id"], other["id"], observed_at="2026-10-20T10:00:00.000+01:00")

    assert [point.kind for point in told(failed, other, good).open_points] == [
        "does not work",
        "does not agree",
        *4 * ["never tested"],
        "overdue",
        "not tested",
    ]


def test_a_correction_names_what_changed_and_why() -> None:
    test = an_outlet_test(RIG["id"], OUTLET["id"])
    check = {**test["body"]["check"], "volts": {**test["body"]["check"]["volts"], "n-g": "1.4 V"}}
    line = told(test, correcting(test, an_id(), "Misread.", check=check)).corrections[0]

    assert (line.what, line.reason, line.number, line.corrects) == ("outlet test “Galley”", "Misread.", 5, 4)
    assert line.changes == ("Read, as found, Neutral–ground: 0.4 V → 1.4 V",)


def test_a_correction_shows_names_in_place_of_ids() -> None:
    line = told(correcting(OUTLET, an_id(), guard=None)).corrections[0]

    assert line.changes == ("Guarded by, as noted: “GFCI” → not noted",)


def test_a_corrected_test_is_listed_once_and_says_so() -> None:
    test = an_outlet_test(RIG["id"], OUTLET["id"])
    tests = told(test, correcting(test, an_id(), not_tested=[])).tests

    assert [line.result.endswith("(corrected)") for line in tests] == [True]


def test_a_correction_is_told_in_plain_words() -> None:
    test = an_outlet_test(RIG["id"], OUTLET["id"], a_full_check(where="rig"))
    check = a_full_check(where="rig")
    check["loaded"]["volts"]["h-n"] = "117.9 V"
    check["more"][0]["volts"]["h-n"] = "121.9 V"
    check["continuity"]["n-g"] = "closed"

    line = told(test, correcting(test, an_id(), "Misread.", check=check)).corrections[0]

    assert line.changes == (
        "Read, as found, under load, Hot–neutral: 116.9 V → 117.9 V",
        "Further set 1, everything else unplugged, Hot–neutral: 121.6 V → 121.9 V",
        "Continuity, nothing live, Neutral contact to ground contact: open → joined",
    )


def test_a_step_that_was_made_up_for_is_told() -> None:
    test = an_outlet_test(RIG["id"], OUTLET["id"])

    line = told(test, correcting(test, an_id(), not_tested=["trip", "volts.n-g"])).corrections[0]

    assert line.changes == ("Not tested: pressing TEST → pressing TEST, volts neutral–ground",)


def test_a_test_shows_every_reading_and_what_they_tell() -> None:
    check = a_full_check(where="rig")

    (line,) = told(an_outlet_test(RIG["id"], OUTLET["id"], check)).tests

    titles = [told.label for told in line.details]
    assert titles[:4] == [
        "The outlet",
        "Read, as found",
        "Read, as found, under load",
        "Further set 1, everything else unplugged",
    ]
    assert "Limit" in titles  # it is loose
    assert titles[-1] == "The wiring up to here"
    assert line.details[-1].value.startswith("There and back, hot–neutral: 0.37 Ω;")


def test_a_trip_test_shows_what_its_answers_mean() -> None:
    (line,) = told(a_trip("2026-11-20", reset=False)).tests

    assert [told.text for told in line.details] == ["Stop: The device did not reset and hold."]


def test_a_slow_trip_is_told_with_its_time() -> None:
    """UL 943: T = (20/I)^1.43 s, which is 1.27 s at 17 mA and 4.49 s at 7 mA."""
    measured = {"by": "external", "milliseconds": "2000 ms"}

    slow = told(a_trip("2026-11-20", **measured, milliamps="17 mA")).tests[0]
    quick = told(a_trip("2026-11-20", **measured, milliamps="7 mA")).tests[0]

    words = load().raw["words"]["findings"]["trip-slow"]["sentence"]
    assert [told.value for told in slow.details] == [words]
    assert quick.details == ()
    assert "time to trip 2000 ms, fault current 17 mA" in slow.result


def test_readings_that_cannot_be_judged_any_more_are_shown_all_the_same() -> None:
    odd = a_check(where="rig", volts={"h-n": "120.1 V", "x-n": "121.3 V"})

    (line,) = told(an_outlet_test(RIG["id"], OUTLET["id"], odd)).tests

    assert "Leg X–neutral: 121.3 V" in line.details[1].value
    assert line.details[-1].label == "It cannot be judged now"


def test_a_device_says_when_it_was_made_and_what_that_leaves_open() -> None:
    """UL 943: the self-test from 2015-06-29."""
    (old,) = told().devices
    newer = told(correcting(DEVICE, an_id(), made="2021-02")).devices[0]

    assert (old.made, newer.made) == ("not noted", "2021-02")
    assert "may lack the self-test" in old.age
    assert newer.age == ""


def test_the_last_arrival_check_shows_its_readings() -> None:
    check = an_arrival_check(a_14_50_check(), rig=RIG["id"])

    arrivals = told(check).arrivals

    assert arrivals.last == "2026-11-25, 14-50: Use"
    assert arrivals.details[2].text.startswith(
        "Read, as found, under load: Load across leg X–neutral: 12.2 A"
    )


def test_no_place_is_told_not_even_in_a_correction() -> None:
    check = an_arrival_check(rig=RIG["id"], park="Alder Bend")
    moved = correcting(check, an_id(), "Wrong site.", place={"park": "Fern Hollow", "site": "3"})

    assert not any(place in repr(told(check, moved)) for place in ("Alder Bend", "Fern Hollow"))


def test_arrival_checks_are_counted_once_each() -> None:
    first = an_arrival_check(rig=RIG["id"], observed_at=at("2026-11-01"))
    last = an_arrival_check(rig=RIG["id"], observed_at=at("2026-11-20"))

    arrivals = told(last, first, correcting(first, an_id(), not_tested=[])).arrivals

    assert arrivals.count == 2
    assert arrivals.last == "2026-11-20, TT-30: Use"


def test_a_flag_is_shown_with_the_entry_it_is_about() -> None:
    test = an_outlet_test(RIG["id"], OUTLET["id"])

    flagged = [
        point.sentence
        for point in told(test, flags={test["id"]: "The phone said use."}).open_points
        if point.kind == "flagged"
    ]

    assert flagged == ["Entry 4, outlet test “Galley”: The phone said use."]


def test_the_end_of_the_log_is_told() -> None:
    log = told(a_trip("2026-11-20")).log

    assert log.count == 4
    assert len(log.head) == 64
