"""The time law of ground-fault devices.

Source: UL 943, Class A, T = (20 / I)^1.43 s for 6 to 264 mA, as CPSC papers and the NEC Article 100 note
quote it; 5.59 s at 6 mA and 25 ms at 264 mA are published pairs. That only the device's own TEST decides:
OSHA interpretation of 2003-07-09. A live face after a trip: CPSC staff position paper of 2001-04-20.
"""

import pytest

from fieldlog.engine import assess
from fieldlog.engine.trip import is_quick_enough
from fieldlog.rulebook import load

ROWS = [
    (6.0, 5.5939),
    (6.5, 4.9889),
    (8.0, 3.7073),
    (10.0, 2.6945),
    (15.0, 1.5089),
    (20.0, 1.0000),
    (30.0, 0.5600),
    (50.0, 0.2697),
    (100.0, 0.1001),
    (150.0, 0.0561),
    (200.0, 0.0372),
    (264.0, 0.0250),
]


@pytest.mark.parametrize(("milliamps", "seconds"), ROWS)
def test_the_time_law_at_the_printed_currents(milliamps: float, seconds: float) -> None:
    last_digit = 0.0001

    assert is_quick_enough(seconds - last_digit, milliamps)
    assert not is_quick_enough(seconds + last_digit, milliamps)


def findings(**trip: object) -> list[tuple[str, str]]:
    answer = assess({"outlet": "5-20", "look": [], "trip": [{"by": "button", **trip}]}, load())
    return [(one["id"], one["level"]) for one in answer["findings"]]


def test_below_the_domain_the_time_is_not_judged() -> None:
    assert findings(by="external", tripped=True, milliseconds=20000, milliamps=5.0) == []


def test_a_slow_trip_stops() -> None:
    assert findings(by="external", tripped=True, milliseconds=5600, milliamps=6.0) == [("trip-slow", "stop")]


def test_an_external_tester_that_trips_nothing_is_inconclusive() -> None:
    assert findings(by="external", tripped=False) == [("trip-inconclusive", "note")]


def test_a_button_that_trips_nothing_stops() -> None:
    assert findings(tripped=False) == [("trip-failed", "stop")]


def test_a_face_that_stays_live_after_a_trip_stops() -> None:
    assert findings(tripped=True, face_dead=False, reset=True) == [("face-live-after-trip", "stop")]


def test_a_device_that_does_not_reset_stops() -> None:
    assert findings(tripped=True, face_dead=True, reset=False) == [("reset-failed", "stop")]


def test_a_trip_test_alone_is_never_use() -> None:
    answer = assess({"outlet": "5-20", "trip": [{"by": "button", "tripped": True}]}, load())

    assert answer["verdict"] == "test-more"
