"""A long log is listed whole for its last years, and before that by the year; nothing is left uncounted."""

import re
from datetime import UTC, datetime, timedelta
from typing import Any

from fieldlog.model.rig import Rig, rig_of
from fieldlog.reports.contents import Contents, contents
from fieldlog.reports.render import render_body
from fieldlog.reports.years import MOST_RECENT, MOST_WHOLE, WHOLE_DAYS, whole_from
from fieldlog.rulebook import load
from tests.builders import a_change, a_device, a_look, a_photo, a_rig, a_trip_test, an_outlet, an_outlet_test
from tests.model.log import a_log, correcting
from tests.reports.contents_made_up import lines_of

RIG = a_rig()
DEVICE = a_device(RIG["id"], "GFCI")
OUTLET = an_outlet(RIG["id"], "Galley", guard=DEVICE["id"])
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
NUMBER = re.compile(r"\b([\d,]+) (test|trip test|look|photo|correction)s?\b")


def days_ago(days: float) -> str:
    """Give a time as records carry it."""
    return (NOW - timedelta(days=days)).isoformat(timespec="milliseconds")


def a_rig_with(*records: dict[str, Any]) -> Rig:
    """Give the rig with its whole log."""
    found = rig_of(a_log(RIG, DEVICE, OUTLET, *records), RIG["id"])
    assert found is not None
    return found


def told(*records: dict[str, Any]) -> Contents:
    """Give the contents of its record."""
    return contents(a_rig_with(*records), load(), made_at=NOW, address="http://127.0.0.1/x")


def looks(count: int, days: float, step: float = 0.0) -> list[dict[str, Any]]:
    """Give looks at the cord, the first so many days ago, each next one some days earlier."""
    return [a_look(RIG["id"], observed_at=days_ago(days + number * step)) for number in range(count)]


def test_a_log_of_usual_length_is_listed_whole_however_old() -> None:
    found = told(*looks(MOST_WHOLE, 4000))

    assert (found.whole_from, found.earlier, len(lines_of(found, "Looked at"))) == ("", (), MOST_WHOLE)
    assert "by the year" not in render_body(found)


def test_a_longer_one_is_listed_for_two_years_and_counted_before() -> None:
    old, new = looks(300, 900), looks(101, 10)
    old[0]["body"]["points"] = {"cord-jacket": "bad"}
    found = told(*old, *new)

    assert found.whole_from == (NOW - timedelta(days=WHOLE_DAYS)).date().isoformat()
    assert len(lines_of(found, "Looked at")) == 101
    assert [(line.year, line.sentences) for line in found.earlier] == [
        (2024, ("300 looks; at 1 of them something was bad.",))
    ]
    assert f"from {found.whole_from} on; what is older is counted here." in render_body(found)


def test_where_two_years_are_too_many_lines_fewer_are_listed() -> None:
    found = a_rig_with(*looks(2 * MOST_RECENT, 1, 0.25))
    since = whole_from(found, NOW)

    assert since is not None and since > NOW - timedelta(days=WHOLE_DAYS)
    assert sum(look.at >= since for look in found.newest("look")) == MOST_RECENT


def test_every_line_is_listed_or_counted() -> None:
    tests, trips = [], []
    for number in range(200):
        made = an_outlet_test(RIG["id"], OUTLET["id"], observed_at=days_ago(number * 9))
        made["body"]["judgement"] |= {"verdict": ("use", "do-not-use")[number % 5 == 0]}
        tests.append(made)
        trip = a_trip_test(RIG["id"], DEVICE["id"], observed_at=days_ago(number * 9 + 3))
        trip["body"] |= {"reset": number % 7 != 0}
        trips.append(trip)
    photos = [
        a_photo(OUTLET["id"], rig=RIG["id"], observed_at=days_ago(number * 17)) for number in range(100)
    ]
    corrected = [
        correcting(test, f"{number:08x}-0000-7000-8000-000000000000") for number, test in enumerate(tests)
    ]
    found = told(*tests, *trips, *photos, *corrected)

    listed = len(found.tests) + len(lines_of(found, "Photos")) + len(found.corrections)
    counted = sum(
        int(number.replace(",", ""))
        for line in found.earlier
        for sentence in line.sentences
        for number, _ in NUMBER.findall(sentence)
    )
    assert found.whole_from and found.tests and lines_of(found, "Photos")
    assert listed + counted == len(tests) + len(trips) + len(photos) + len(corrected)
    endings = re.findall(r"(\d+) “do not use”", str(found.earlier))
    listed_bad = sum(line.result.startswith("Do not use") for line in found.tests)
    assert sum(map(int, endings)) + listed_bad == 40


def test_a_failure_of_long_ago_stays_open() -> None:
    failed = a_trip_test(RIG["id"], DEVICE["id"], observed_at=days_ago(3000))
    failed["body"] |= {"tripped": False, "face_dead": None, "reset": None}
    found = told(failed, *looks(MOST_WHOLE + 1, 1))

    assert any(point.kind == "does not work" for point in found.open_points)
    assert "at 1 of them the device stayed on" in str(found.earlier)


def test_a_change_of_long_ago_says_how_it_stands_without_its_steps() -> None:
    old = a_change(RIG["id"], OUTLET["id"], observed_at=days_ago(2000))
    new = a_change(RIG["id"], OUTLET["id"], observed_at=days_ago(20))
    found = told(old, new, *looks(MOST_WHOLE + 1, 1))

    assert [bool(change.proofs) for change in found.changes] == [True, False]
    assert all("0 of" in change.standing for change in found.changes)
