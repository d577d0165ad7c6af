"""The phone says of guards and contradictions what the engine says, on maps drawn at random."""

from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fieldlog.engine.protection import judge, read_map
from fieldlog.model.canonical import canonical
from fieldlog.tables import load
from tests.node import answers_of_node
from tests.rig_maps import Draw, Map, any_trips, rig_maps

MEMBERS = ("protected_by", "unprotected", "contradictions")


@st.composite
def maps_with_trips(draw: Draw) -> Map:
    value: Map = draw(rig_maps(most=12, with_joins=True))
    return {**value, "trips": draw(any_trips(value, says_modes=False))}


def by_the_engine(value: Map) -> dict[str, Any]:
    found: dict[str, Any] = {mode: one.as_json() for mode, one in judge(read_map(value), load()).items()}
    return {
        mode: {
            **{name: told[name] for name in MEMBERS},
            "stops": stops(told["findings"]),
            "disproved": {
                one["part"]: one["among"] for one in told["findings"] if one["id"] == "guard-disproved"
            },
        }
        for mode, told in found.items()
    }


def stops(findings: list[dict[str, Any]]) -> list[dict[str, Any]]:
    members = ("id", "part", "runs", "among")
    return [{name: one[name] for name in members} for one in findings if one["level"] == "stop"]


@settings(
    max_examples=3,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example],
)
@given(st.lists(maps_with_trips(), min_size=40, max_size=60))
def test_the_phone_and_the_engine_say_the_same_of_a_map(values: list[Map]) -> None:
    assert answers_of_node("protect.mjs", values) == [canonical(by_the_engine(value)) for value in values]
