"""Laws of guards, held against reachability in a graph, and the example of the contract."""

from typing import Any

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.engine.protection import answer, judge, map_of_body, places_for_one_more, read_map
from fieldlog.errors import BadInput
from fieldlog.model.canonical import canonical
from fieldlog.tables import load
from tests import rig_by_graph
from tests.rig_maps import rig_maps

OUTLETS = ("receptacle", "gfci-receptacle", "strip", "appliance")
EXAMPLE: dict[str, Any] = {
    "parts": [
        {"id": "inlet", "kind": "inlet", "amps": 30},
        {"id": "b1", "kind": "breaker", "amps": 15, "gfci": False},
        {"id": "j1", "kind": "junction"},
        {"id": "g1", "kind": "gfci-receptacle"},
        {"id": "r1", "kind": "receptacle"},
    ],
    "runs": [
        {"from": "inlet", "to": "b1", "awg": 10, "feet": 3},
        {"from": "b1", "to": "j1"},
        {"from": "j1", "to": "g1"},
        {"from": "g1", "from_side": "load", "to": "r1"},
    ],
    "trips": [{"device": "g1", "by": "button", "dead": ["g1", "r1"], "live": []}],
}


def judged(value: Any) -> dict[str, Any]:
    return answer(value, load())


def by_mode(value: Any) -> dict[str, Any]:
    found = judged(value)
    return dict(found["modes"]) if "modes" in value else {"": found}


def outlets(value: Any) -> list[str]:
    return [part["id"] for part in value["parts"] if part["kind"] in OUTLETS]


def test_the_contract_s_map_is_answered_as_it_says() -> None:
    found = judged(EXAMPLE)

    assert found["protected_by"] == {"g1": ["g1"], "r1": ["g1"]}
    assert (found["unprotected"], found["contradictions"], found["explanations"]) == ([], [], [])
    assert list(found) == ["protected_by", "unprotected", "contradictions", "explanations", "findings"]


def test_the_contract_s_contradiction_is_told_and_explained_by_one_change() -> None:
    found = judged(EXAMPLE | {"trips": [{"device": "g1", "by": "button", "dead": ["g1"], "live": ["r1"]}]})

    assert found["contradictions"] == [{"trip": 0, "part": "r1", "expected": "dead", "seen": "live"}]
    assert found["explanations"] == [{"changes": [{"run": 3, "change": "to-line-side"}], "cost": 1}]


def test_an_answer_with_modes_has_one_answer_for_each() -> None:
    found = judged(EXAMPLE | {"modes": {"shore": {"without": []}, "station": {"without": [0]}}})

    assert list(found) == ["modes"]
    assert found["modes"]["shore"]["protected_by"] == {"g1": ["g1"], "r1": ["g1"]}
    assert (found["modes"]["station"]["protected_by"], found["modes"]["station"]["unprotected"]) == ({}, [])


def test_members_that_came_later_change_no_answer_where_they_are_left_out() -> None:
    fuller = EXAMPLE | {
        "parts": [{**part, "where": [], "bonded": False, "name": "Some part"} for part in EXAMPLE["parts"]],
        "modes": {},
    }

    assert canonical(judged(fuller)) == canonical(judged(EXAMPLE))


@settings(max_examples=60, deadline=None)
@given(rig_maps(most=12))
def test_an_outlet_is_guarded_by_just_what_cuts_it_off(value: Any) -> None:
    for mode, found in by_mode(value).items():
        powerless = rig_by_graph.dead_after(value, (), mode, None)
        wanted = {
            one: rig_by_graph.guards(value, mode, one) for one in outlets(value) if one not in powerless
        }

        assert {one: set(guards) for one, guards in found["protected_by"].items()} == {
            one: guards for one, guards in wanted.items() if guards
        }
        assert set(found["unprotected"]) == {one for one, guards in wanted.items() if not guards}


@settings(max_examples=60, deadline=None)
@given(rig_maps(most=12))
def test_guards_are_told_nearest_first(value: Any) -> None:
    for mode, found in by_mode(value).items():
        feeds = rig_by_graph.part_graph(value, value["runs"], mode)
        for outlet, guards in found["protected_by"].items():
            steps = [nx.shortest_path_length(feeds, guard, outlet) for guard in guards]
            assert steps == sorted(steps)


def test_a_guard_at_the_face_comes_before_the_ones_upstream() -> None:
    parts = [{"id": "c", "kind": "cord-gfci"}, {"id": "b", "kind": "breaker", "gfci": True}]
    parts += [{"id": "g", "kind": "gfci-receptacle"}, {"id": "r", "kind": "strip"}]
    ways = [("c", "b"), ("b", "g"), ("g", "r")]
    runs = [{"from": start, "from_side": "load", "to": end} for start, end in ways]

    found = judged({"parts": parts, "runs": runs})

    assert found["protected_by"] == {"g": ["g", "b", "c"], "r": ["g", "b", "c"]}


@settings(max_examples=60, deadline=None)
@given(rig_maps(most=10), st.data())
def test_one_more_outlet_leaves_every_other_guarded_as_it_was(value: Any, data: st.DataObject) -> None:
    start = data.draw(st.sampled_from([part["id"] for part in value["parts"]]))
    side = data.draw(st.sampled_from(["line", "load"]))
    more = value | {
        "parts": [*value["parts"], {"id": "new", "kind": "receptacle"}],
        "runs": [*value["runs"], {"from": start, "from_side": side, "to": "new"}],
    }

    for mode, before in by_mode(value).items():
        after = by_mode(more)[mode]
        assert {one: by for one, by in after["protected_by"].items() if one != "new"} == before[
            "protected_by"
        ]
        assert [one for one in after["unprotected"] if one != "new"] == before["unprotected"]


@settings(max_examples=60, deadline=None)
@given(rig_maps(most=10))
def test_one_more_device_guards_what_is_promised_once_it_is_there(value: Any) -> None:
    for mode, places in places_for_one_more(read_map(value)).items():
        before = by_mode(value)[mode]["unprotected"]
        for place in places:
            after = by_mode(with_device(value, place.part, place.kind))[mode]["unprotected"]
            assert [one for one in before if one not in place.guards] == after


def with_device(value: Any, at: str, kind: str) -> Any:
    """Put a ground-fault device where it is proposed: in a cord, or in place of a breaker or receptacle."""
    if kind == "cord-gfci":
        runs = [
            {**run, "from": "guard", "from_side": "load"} if run["from"] == at else run
            for run in value["runs"]
        ]
        added = [{"id": "guard", "kind": "cord-gfci"}]
        return value | {"parts": [*value["parts"], *added], "runs": [*runs, {"from": at, "to": "guard"}]}
    replaced = {"kind": kind, "gfci": True} if kind == "breaker" else {"kind": kind}
    return value | {
        "parts": [part | replaced if part["id"] == at else part for part in value["parts"]],
        "runs": [run | {"from_side": "load"} if run["from"] == at else run for run in value["runs"]],
    }


def test_the_place_that_guards_most_comes_first_and_of_equals_the_one_nearest_to_the_outlets() -> None:
    parts = [{"id": "inlet", "kind": "inlet"}, {"id": "b1", "kind": "breaker"}]
    parts += [{"id": one, "kind": "receptacle"} for one in ("r1", "r2", "r3")]
    ends = [("inlet", "b1"), ("b1", "r1"), ("r1", "r2"), ("inlet", "r3")]
    rig_map = read_map({"parts": parts, "runs": [{"from": start, "to": end} for start, end in ends]})

    found = [(place.part, place.guards) for place in places_for_one_more(rig_map)[""]]

    assert found[:3] == [("inlet", ("r1", "r2", "r3")), ("r1", ("r1", "r2")), ("b1", ("r1", "r2"))]


def test_guards_before_an_inverter_do_not_reach_past_it() -> None:
    parts = [
        {"id": "c", "kind": "cord-gfci"},
        {"id": "inv", "kind": "inverter"},
        {"id": "r", "kind": "receptacle"},
    ]
    runs = [{"from": "c", "from_side": "load", "to": "inv"}, {"from": "inv", "to": "r"}]

    found = judged({"parts": parts, "runs": runs})

    assert found["unprotected"] == ["r"]
    assert "inverter-goes-on" in [finding["id"] for finding in found["findings"]]


def test_what_an_inverter_feeds_goes_on_when_a_breaker_before_it_is_opened() -> None:
    value = {
        "parts": [
            {"id": "inlet", "kind": "inlet"},
            {"id": "b", "kind": "breaker"},
            {"id": "station", "kind": "inverter"},
            {"id": "r", "kind": "receptacle"},
        ],
        "runs": [
            {"from": "inlet", "to": "b"},
            {"from": "b", "to": "station"},
            {"from": "station", "to": "r"},
        ],
        "trips": [{"device": "b", "by": "hand", "dead": [], "live": ["r"]}],
    }

    assert answer(value, load())["contradictions"] == []


def test_a_station_plugged_into_the_inlet_is_another_source_than_the_pedestal() -> None:
    parts = [
        {"id": "inlet", "kind": "inlet"},
        {"id": "inv", "kind": "inverter"},
        {"id": "r", "kind": "receptacle"},
    ]
    runs = [{"from": "inv", "to": "inlet"}, {"from": "inlet", "to": "r"}]

    found = judged({"parts": parts, "runs": runs, "modes": {"shore": {"without": [0]}, "station": {}}})

    assert {mode: one["unprotected"] for mode, one in found["modes"].items()} == {
        "shore": ["r"],
        "station": ["r"],
    }


def test_an_inlet_whose_cord_is_away_has_no_power() -> None:
    parts = [
        {"id": "post", "kind": "supply"},
        {"id": "inlet", "kind": "inlet"},
        {"id": "r", "kind": "receptacle"},
    ]
    runs = [{"from": "post", "to": "inlet"}, {"from": "inlet", "to": "r"}]

    found = judged({"parts": parts, "runs": runs, "modes": {"away": {"without": [0]}}})["modes"]["away"]

    assert (found["protected_by"], found["unprotected"]) == ({}, [])
    assert [one["among"] for one in found["findings"] if one["id"] == "no-power"] == [["r"]]


def test_a_record_s_map_is_read_without_what_bears_on_nothing() -> None:
    parts = [
        {**part, "note": "behind the couch", "outlet": None, "name": "Some part"} for part in EXAMPLE["parts"]
    ]
    body = {"parts": parts, "runs": EXAMPLE["runs"], "modes": {}}

    found = judge(map_of_body(body, EXAMPLE["trips"]), load())

    assert found[""].as_json() == judged(EXAMPLE)


def test_a_map_without_parts_is_no_map() -> None:
    with pytest.raises(BadInput, match="holds no part"):
        judged({"parts": []})
