"""What has drifted: the cases by hand, the twin, and the laws that hold for any series."""

import json
import random
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.engine.trend import trend
from fieldlog.engine.trend.apart import is_apart
from fieldlog.engine.trend.model import Reading
from fieldlog.errors import BadInput
from fieldlog.model.canonical import canonical
from tests.node import answers_of_node

FED: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "cases" / "trend.json").read_text(encoding="utf-8")
)
FIRST = date(2024, 1, 1)


def day(number: int) -> str:
    return (FIRST + timedelta(days=number)).isoformat()


READINGS = st.builds(
    lambda at, value, width: {"at": day(at), "value": value / 64, "uncertainty": width / 64},
    st.integers(0, 1500),
    st.integers(0, 64),
    st.integers(1, 16),
)
SERIES = st.builds(
    lambda readings, changes: {
        "quantity": "loop-ohms",
        "readings": readings,
        "changes": [day(at) for at in changes],
    },
    st.lists(READINGS, max_size=24),
    st.lists(st.integers(0, 1500), max_size=2),
)


@pytest.mark.parametrize("case", FED["cases"], ids=lambda case: case["about"])
def test_a_series_is_told_as_by_hand(case: dict[str, Any]) -> None:
    found = trend(case["series"])

    assert {name: found[name] for name in case["says"]} == case["says"]


@pytest.mark.parametrize("case", FED["apart"], ids=lambda case: case["about"])
def test_two_readings_differ_by_more_than_both_errors_or_not(case: dict[str, Any]) -> None:
    (now, now_error), (before, before_error) = case["now"], case["before"]

    assert is_apart(Reading(0, now, now_error), Reading(0, before, before_error)) == case["is_apart"]


def drawn_series(rng: random.Random) -> dict[str, Any]:
    """Draw a series that stands, steps or drifts, unevenly read."""
    step, slope, from_day = rng.choice((0.0, 0.3)), rng.choice((0.0, 0.001)), rng.randrange(900)
    days = sorted(rng.randrange(1500) for _ in range(rng.randrange(30)))
    values = [0.3 + rng.gauss(0, 0.03) + (at > from_day) * (step + slope * (at - from_day)) for at in days]
    return {
        "quantity": "loop-ohms",
        "readings": [
            {"at": day(at), "value": value, "uncertainty": rng.uniform(0.02, 0.1)}
            for at, value in zip(days, values, strict=True)
        ],
        "changes": [day(rng.randrange(600))] if rng.random() < 0.3 else [],
    }


def test_the_phone_answers_any_series_to_the_last_bit() -> None:
    rng = random.Random(7)
    drawn = [drawn_series(rng) for _ in range(400)] + [case["series"] for case in FED["cases"]]
    told = [trend(one) for one in drawn]

    assert answers_of_node("trend.mjs", drawn) == [canonical(one) for one in told]
    assert {one["state"] for one in told} == {"too-few", "steady", "stepped", "drifting"}


@given(SERIES)
def test_the_order_in_which_days_are_given_changes_nothing(series: dict[str, Any]) -> None:
    """But for readings of one day, which stand in the order in which they were given."""
    by_day: Mapping[str, Any] = {one["at"]: one for one in series["readings"]}
    ordered = series | {"readings": [by_day[at] for at in sorted(by_day)]}
    turned = series | {"readings": [by_day[at] for at in sorted(by_day, reverse=True)]}

    assert trend(turned) == trend(ordered)


@given(SERIES, st.integers(0, 3000))
def test_all_moved_by_as_many_days_moves_only_since(series: dict[str, Any], by: int) -> None:
    def moved(at: str) -> str:
        return (date.fromisoformat(at) + timedelta(days=by)).isoformat()

    later = series | {
        "readings": [one | {"at": moved(one["at"])} for one in series["readings"]],
        "changes": [moved(at) for at in series["changes"]],
    }
    before = trend(series)

    assert trend(later) == before | {"since": before["since"] and moved(before["since"])}


@given(SERIES)
def test_twice_the_readings_with_twice_the_errors_keep_their_state(series: dict[str, Any]) -> None:
    twice = series | {
        "readings": [
            one | {"value": 2 * one["value"], "uncertainty": 2 * one["uncertainty"]}
            for one in series["readings"]
        ]
    }
    before, after = trend(series), trend(twice)

    assert (after["state"], after["since"]) == (before["state"], before["since"])


@given(SERIES)
def test_readings_before_the_last_change_change_nothing(series: dict[str, Any]) -> None:
    if series["changes"]:
        last = max(series["changes"])
        kept = series | {"readings": [one for one in series["readings"] if one["at"] >= last]}

        assert trend(kept) == trend(series)


@pytest.mark.parametrize(
    ("wrong", "at"),
    [
        ({"quantity": "amps"}, "/quantity"),
        ({"quantity": None}, "/quantity"),
        ({"readings": {}}, "/readings"),
        ({"readings": [{"at": "2025-02-29", "value": 1, "uncertainty": 1}]}, "/readings/0/at"),
        ({"readings": [{"at": "20250228", "value": 1, "uncertainty": 1}]}, "/readings/0/at"),
        ({"readings": [{"at": "2025-02-28", "value": None, "uncertainty": 1}]}, "/readings/0/value"),
        ({"readings": [{"at": "2025-02-28", "value": True, "uncertainty": 1}]}, "/readings/0/value"),
        ({"readings": [{"at": "2025-02-28", "value": 1, "uncertainty": 0}]}, "/readings/0/uncertainty"),
        ({"readings": [{"at": "2025-02-28", "value": 1, "uncertainty": None}]}, "/readings/0/uncertainty"),
        ({"readings": [{"at": "2025-02-28", "value": 1}]}, "/readings/0/uncertainty"),
        ({"readings": [{"at": "2025-02-28", "value": 1e9, "uncertainty": 1}]}, "/readings/0/value"),
        ({"changes": ["May"]}, "/changes/0"),
        ({"changes": "2025-02-28"}, "/changes"),
        ({"sigma": 1}, "/sigma"),
    ],
)
def test_what_is_wrong_is_named_by_its_member(wrong: dict[str, Any], at: str) -> None:
    with pytest.raises(BadInput) as refused:
        trend({"quantity": "loop-ohms", "readings": [], "changes": []} | wrong)

    assert [one.at for one in refused.value.problems] == [at]


def test_trip_times_have_their_own_bounds() -> None:
    late = {"at": "2025-02-28", "value": 20001, "uncertainty": 1}

    with pytest.raises(BadInput) as refused:
        trend({"quantity": "trip-ms", "readings": [late]})

    assert [one.problem for one in refused.value.problems] == ["must be a number from 0 to 20000 ms."]
