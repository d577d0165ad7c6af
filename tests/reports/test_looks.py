"""What looks at a rig found, on its page and in its service record."""

from typing import Any

from fieldlog.model.rig import rig_of
from fieldlog.reports.contents import Contents, contents
from fieldlog.reports.render import render_body
from fieldlog.rulebook import load
from fieldlog.tables import entries
from tests.builders import NOON, a_look, a_rig, an_outlet
from tests.model.log import a_log, at, correcting
from tests.reports.contents_made_up import lines_of

RIG = a_rig()
GALLEY, BUNK = an_outlet(RIG["id"], "Galley"), an_outlet(RIG["id"], "Bunk")
WATER = next(rule["bad"] for rule in entries("facts/looks.json") if rule["id"] == "outlet-dry")
CORD = next(rule["bad"] for rule in entries("facts/looks.json") if rule["id"] == "cord-jacket")


def told(*records: dict[str, Any]) -> Contents:
    rig = rig_of(a_log(RIG, GALLEY, BUNK, *records), RIG["id"])
    assert rig is not None
    return contents(rig, load(), made_at=NOON, address="http://127.0.0.1/x")


def open_points(*records: dict[str, Any]) -> list[str]:
    return [point.sentence for point in told(*records).open_points if point.kind == "bad when looked at"]


def look_at(outlet: str, day: str, *left_out: str, **points: str) -> dict[str, Any]:
    """Give a look at an outlet; points are named with _ for -."""
    look = a_look(RIG["id"], subject=outlet, observed_at=at(day))
    found = {point.replace("_", "-"): outcome for point, outcome in points.items()}
    look["body"] |= {"of": "outlet", "points": found, "not_tested": list(left_out)}
    return look


def look_at_cord(day: str, outcome: str) -> dict[str, Any]:
    look = a_look(RIG["id"], observed_at=at(day))
    look["body"]["points"] = {"cord-jacket": outcome}
    return look


BAD = look_at(GALLEY["id"], "2026-11-20", outlet_dry="bad")


def test_a_bad_point_is_an_open_point_of_the_rig() -> None:
    assert open_points(BAD) == [f"“Galley”, 2026-11-20: {WATER}"]
    assert open_points(look_at_cord("2026-11-20", "bad")) == [f"The cord, 2026-11-20: {CORD}"]


def test_a_later_good_look_at_the_same_thing_settles_it() -> None:
    assert open_points(BAD, look_at(GALLEY["id"], "2026-11-21", outlet_dry="good")) == []


def test_a_later_look_that_leaves_the_point_out_settles_nothing() -> None:
    later = look_at(GALLEY["id"], "2026-11-21", "outlet-dry", outlet_grip="good")

    assert open_points(BAD, later) == [f"“Galley”, 2026-11-20: {WATER}"]


def test_a_good_look_at_another_outlet_settles_nothing() -> None:
    other = look_at(BUNK["id"], "2026-11-21", outlet_dry="good")

    assert open_points(BAD, other) == [f"“Galley”, 2026-11-20: {WATER}"]


def test_a_look_that_names_a_later_version_of_the_outlet_is_of_the_same_outlet() -> None:
    renamed = correcting(GALLEY, "renamed", name="Sink")

    assert open_points(BAD, renamed, look_at(renamed["id"], "2026-11-21", outlet_dry="good")) == []


def test_what_must_stop_use_stands_before_what_limits_it() -> None:
    loose = look_at(BUNK["id"], "2026-11-22", outlet_grip="bad")

    assert [point.split(",")[0] for point in open_points(loose, BAD)] == ["“Galley”", "“Bunk”"]


def test_the_outlet_says_it_beside_its_last_result() -> None:
    galley, bunk = told(BAD).outlets

    assert galley.looked == (f"2026-11-20: {WATER}",)
    assert bunk.looked == ()
    assert f"Bad when looked at, 2026-11-20: {WATER}" in render_body(told(BAD))


def test_every_look_stands_in_the_record_a_bad_one_also_after_a_good_one() -> None:
    good = look_at(GALLEY["id"], "2026-11-21", "outlet-grip", outlet_dry="good")
    first, second = lines_of(told(BAD, good), "Looked at")

    assert (first.head, second.head) == ("2026-11-21, entry 5", "2026-11-20, entry 4")
    assert first.text.startswith("“Galley”: Good: Dry, and out of")
    assert "; not looked at: Does a plug" in first.text
    assert second.text.startswith("“Galley”: BAD: Dry, and out of")
    page = render_body(told(BAD, good))
    assert "2026-11-20, entry 4" in page and "“Galley”: BAD: Dry, and out of" in page
