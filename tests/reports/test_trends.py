"""Small charts of how outlets and devices went, for paper."""

from datetime import timedelta
from typing import Any

from fieldlog.model.rig import Rig, rig_of
from fieldlog.reports.trends import LEAST, MOST, Trend, trends_of
from fieldlog.rulebook import load
from tests.builders import NOON, a_device, a_full_check, a_rig, a_trip_test, an_outlet, an_outlet_test
from tests.model.log import a_log

RIG = a_rig()
OUTLET, DEVICE = an_outlet(RIG["id"], "By the door"), a_device(RIG["id"], "GFCI in the galley")


def on(day: int) -> str:
    return (NOON + timedelta(days=30 * day)).isoformat(timespec="milliseconds")


def a_test(day: int, volts: str = "121.0 V") -> dict[str, Any]:
    check = a_full_check(where="rig")
    check["volts"]["h-n"] = volts
    for member in ("loaded", "more"):
        check.pop(member, None)
    return an_outlet_test(RIG["id"], OUTLET["id"], check, observed_at=on(day))


def a_trip(day: int, milliseconds: str | None) -> dict[str, Any]:
    trip = a_trip_test(RIG["id"], DEVICE["id"], observed_at=on(day))
    return trip | {"body": trip["body"] | {"milliseconds": milliseconds, "tripped": True}}


def rig_with(*records: dict[str, Any]) -> Rig:
    rig = rig_of(a_log(RIG, OUTLET, DEVICE, *records), RIG["id"])
    assert rig is not None
    return rig


RIG_WITH_TRENDS = rig_with(*(a_test(day) for day in range(LEAST)))


def trends(*records: dict[str, Any]) -> list[Trend]:
    return list(trends_of(rig_with(*records), load()))


def test_what_was_read_often_enough_is_drawn_and_what_was_not_is_left_out() -> None:
    some = [a_test(day) for day in range(LEAST - 1)]

    assert trends(*some) == []
    (drawn,) = trends(*some, a_test(LEAST))
    assert (drawn.thing, drawn.what) == ("By the door", "Volts, hot to neutral, V")
    assert drawn.dots.count("M") == drawn.errors.count("M") == LEAST


def test_no_more_than_the_newest_readings_are_drawn() -> None:
    (drawn,) = trends(*(a_test(day, f"{110 + day / 10:.1f} V") for day in range(MOST + 5)))

    assert drawn.dots.count("M") == MOST
    assert {dot.point.value for dot in drawn.chart.dots} == {
        round(110 + day / 10, 1) for day in range(5, MOST + 5)
    }


def test_a_device_is_drawn_by_the_time_that_it_took_to_trip_where_a_tester_told() -> None:
    untimed = [a_trip(day, None) for day in range(LEAST)]

    assert trends(*untimed) == []
    (drawn,) = trends(*untimed, *(a_trip(day, "24 ms") for day in range(LEAST)))
    assert (drawn.thing, drawn.what) == ("GFCI in the galley", "Time to trip, ms")
