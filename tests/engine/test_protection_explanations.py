"""Explanations of trips, held against trying every set of changes on small maps."""

from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from fieldlog.engine.protection import accept, answer, is_drawable, judge, read_map
from fieldlog.tables import load
from tests import rig_by_graph
from tests.bench_rig import JUDGED_SOON, rig_figures
from tests.calibration import python_turn_ms
from tests.large_sizes import tell_examples
from tests.rig_maps import any_trips, asked_trips, modes, rig_maps


def judged(value: Any) -> dict[str, Any]:
    found = answer(value, load())
    return dict(found["modes"]) if value.get("modes") else {"": found}  # type: ignore[call-overload]  # JSON


def told(found: dict[str, Any]) -> list[dict[str, Any]]:
    """Give the explanations, which stand alike with every mode that has contradictions."""
    lists = [one["explanations"] for one in found.values() if one["contradictions"]]
    assert all(each == lists[0] for each in lists)
    return lists[0] if lists else []


def is_contradicted(found: dict[str, Any]) -> bool:
    return any(one["contradictions"] for one in found.values())


ON_TWO_SOURCES: dict[str, Any] = {
    "parts": [
        {"id": "inlet", "kind": "inlet"},
        {"id": "station", "kind": "inverter"},
        {"id": "g", "kind": "gfci-receptacle"},
        {"id": "r", "kind": "receptacle"},
    ],
    "runs": [{"from": "inlet", "to": "g"}, {"from": "station", "to": "g"}, {"from": "inlet", "to": "r"}],
    "modes": {"shore": {"without": [1]}, "station": {"without": [0, 2]}},
}


@st.composite
def maps_with_trips_of_any_mode(draw: Any) -> Any:
    value = draw(rig_maps(most=8))
    return {**value, "trips": draw(any_trips(value, says_modes=False))}


@st.composite
def maps_with_any_trips(draw: Any) -> Any:
    value = draw(rig_maps(most=6))
    return value | {"trips": draw(any_trips(value))}


@st.composite
def rewired_maps(draw: Any, most: int = 8) -> tuple[Any, tuple[dict[str, Any], ...]]:
    """Draw a map, some changes that nobody noted, and what trips then show."""
    value = draw(rig_maps(most))
    universe = rig_by_graph.every_change(value)
    assume(universe)
    changes = tuple(draw(st.lists(st.sampled_from(universe), min_size=1, max_size=3, unique_by=str)))
    assume(rig_by_graph.is_possible(value, changes))
    trips = []
    for device, looked_at, mode in draw(asked_trips(value)):
        dead = rig_by_graph.dead_after(value, changes, mode.get("mode", ""), device)
        seen = {
            "dead": [one for one in looked_at if one in dead],
            "live": [one for one in looked_at if one not in dead],
        }
        trips.append({"device": device, **seen, **mode})
    return value | {"trips": trips}, changes


small_maps_with_trips = st.one_of(
    maps_with_any_trips(),
    rewired_maps(most=6).map(lambda drawn: drawn[0]),
    rewired_maps().map(lambda drawn: drawn[0]),
)


@settings(max_examples=60, deadline=None)
@given(maps_with_any_trips())
def test_contradictions_are_what_the_graph_says_otherwise(value: Any) -> None:
    found = judged(value)

    for place, trip in enumerate(value["trips"]):
        dead = rig_by_graph.dead_after(value, (), trip.get("mode", ""), trip["device"])
        wanted = {(part, "live", "dead") for part in trip["dead"] if part not in dead}
        wanted |= {(part, "dead", "live") for part in trip["live"] if part in dead}
        told_of = found[trip.get("mode", "")]["contradictions"]
        assert {
            (one["part"], one["expected"], one["seen"]) for one in told_of if one["trip"] == place
        } == wanted


@settings(max_examples=60, deadline=None)
@given(small_maps_with_trips)
def test_explanations_are_those_that_trying_every_set_finds(value: Any) -> None:
    assert_that_trying_every_set_finds_the_same(value, most=2)


@pytest.mark.deep
def test_sets_of_three_changes_are_those_that_trying_every_set_finds() -> None:
    @in_many(600)
    @given(small_maps_with_trips)
    def each_finds_the_same(value: Any) -> None:
        assert_that_trying_every_set_finds_the_same(value, most=3)

    each_finds_the_same()


def in_many(examples: int) -> settings:
    """Draw as many examples, and say so."""
    tell_examples(examples)
    return settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck))


def assert_that_trying_every_set_finds_the_same(value: Any, most: int) -> None:
    found = judged(value)
    assume(is_contradicted(found))

    wanted = rig_by_graph.explanations(value, value["trips"], most)

    if wanted is None:
        assert all(one["cost"] > most or has_a_load_side(one) for one in told(found))
    else:
        assert told(found) == wanted


@settings(max_examples=60, deadline=None)
@given(rewired_maps())
def test_the_map_that_made_the_trips_is_among_the_explanations(drawn: Any) -> None:
    assert_that_the_map_is_among_the_explanations(*drawn)


@pytest.mark.deep
def test_of_many_maps_the_one_that_made_the_trips_is_among_the_explanations() -> None:
    @in_many(2000)
    @given(rewired_maps())
    def each_is_among_them(drawn: Any) -> None:
        assert_that_the_map_is_among_the_explanations(*drawn)

    each_is_among_them()


def assert_that_the_map_is_among_the_explanations(value: Any, changes: tuple[dict[str, Any], ...]) -> None:
    found = judged(value)
    assume(is_contradicted(found))
    explanations = told(found)

    assert explanations
    assert explanations[0]["cost"] <= len(changes)
    if explanations[0]["cost"] == len(changes) and len(explanations) < 10:
        meanings = [rig_by_graph.meaning(value, tuple(one["changes"])) for one in explanations]
        assert rig_by_graph.meaning(value, changes) in meanings


def has_a_load_side(explanation: dict[str, Any]) -> bool:
    """Say whether it takes a change that is tried where no others explain the trips."""
    return any(change["change"] == "fed-from-load-side" for change in explanation["changes"])


def test_a_feed_from_another_device_s_load_side_is_tried_where_nothing_else_explains_the_trips() -> None:
    """Two GFCI outlets on one breaker: what hangs on the one went dead with the other (common practice)."""
    value = a_rig({"device": "g2", "dead": ["g2", "r"], "live": ["g"]}, {"device": "g", "live": ["r"]})
    value["parts"].append({"id": "g2", "kind": "gfci-receptacle"})
    value["runs"].append({"from": "b0", "to": "g2"})

    assert changes_told(value) == [[{"run": 3, "change": "fed-from-load-side", "from": "g2"}]]
    (mended,) = (accept(value, one.changes) for one in judge(read_map(value), load())[""].explanations)
    assert not is_contradicted(judged(mended))


@settings(max_examples=60, deadline=None)
@given(small_maps_with_trips)
def test_no_explanation_leaves_a_contradiction_and_no_two_mean_the_same(value: Any) -> None:
    found = judged(value)
    explanations = [tuple(one["changes"]) for one in told(found)]

    assert all(rig_by_graph.agrees(value, value["trips"], changes) for changes in explanations)
    assert len({rig_by_graph.meaning(value, changes) for changes in explanations}) == len(explanations)
    assert len({len(changes) for changes in explanations}) <= 1
    assert len(explanations) <= 10
    assert all(mode in found for mode in modes(value))


@settings(max_examples=60, deadline=None)
@given(rewired_maps())
def test_a_map_that_took_an_explanation_over_agrees_with_its_trips(drawn: Any) -> None:
    value, _ = drawn
    rig_map = read_map(value)
    explained = [one for each in judge(rig_map, load()).values() for one in each.explanations]
    on_the_map = [one for one in explained if all(is_drawable(change) for change in one.changes)]

    for one in on_the_map:
        assert not is_contradicted(judged(accept(value, one.changes)))


def a_rig(*trips: dict[str, Any], breakers: int = 2) -> dict[str, Any]:
    """Give an inlet with breakers; on the first a GFCI receptacle with one receptacle beyond it."""
    parts = [
        {"id": "inlet", "kind": "inlet"},
        *({"id": f"b{one}", "kind": "breaker"} for one in range(breakers)),
    ]
    parts += [{"id": "g", "kind": "gfci-receptacle"}, {"id": "r", "kind": "receptacle"}]
    runs: list[dict[str, Any]] = [{"from": "inlet", "to": f"b{one}"} for one in range(breakers)]
    runs += [{"from": "b0", "to": "g"}, {"from": "g", "from_side": "load", "to": "r"}]
    return {"parts": parts, "runs": runs, "trips": list(trips)}


def changes_told(value: dict[str, Any]) -> list[list[dict[str, Any]]]:
    return [one["changes"] for one in told(judged(value))]


def test_a_face_that_stays_live_while_the_rest_goes_dead_means_line_and_load_swapped() -> None:
    seen = {"device": "g", "by": "button", "dead": ["r"], "live": ["g"]}

    assert changes_told(a_rig(seen)) == [[{"part": "g", "change": "line-and-load-swapped"}]]


def test_a_device_that_left_all_live_does_not_trip() -> None:
    seen = {"device": "g", "by": "button", "dead": [], "live": ["g", "r"]}

    assert changes_told(a_rig(seen)) == [[{"part": "g", "change": "does-not-trip"}]]


def test_a_receptacle_that_outlives_its_breaker_hangs_on_another_circuit() -> None:
    seen = {"device": "b0", "by": "hand", "dead": ["g"], "live": ["r"]}

    assert changes_told(a_rig(seen)) == [[{"run": 3, "change": "fed-from", "from": "b1"}]]


def test_trips_that_disagree_with_each_other_are_not_explained() -> None:
    seen = [{"device": "g", "dead": ["r"]}, {"device": "g", "live": ["r"]}]
    found = judged(a_rig(*seen))[""]

    assert found["contradictions"] == [{"trip": 1, "part": "r", "expected": "dead", "seen": "live"}]
    assert found["explanations"] == []
    assert [one["part"] for one in found["findings"] if one["id"] == "trips-disagree"] == ["r"]


def test_two_breakers_are_not_explained_as_feeding_each_other() -> None:
    seen = [{"device": "b0", "by": "hand", "dead": ["b1"]}, {"device": "b1", "by": "hand", "dead": ["b0"]}]

    assert changes_told(a_rig(*seen)) == []


def test_no_more_than_ten_explanations_are_told_and_they_come_in_order() -> None:
    seen = {"device": "b0", "by": "hand", "dead": ["g"], "live": ["r"]}

    found = changes_told(a_rig(seen, breakers=14))

    assert found == [[{"run": 15, "change": "fed-from", "from": f"b{one}"}] for one in range(1, 11)]


def test_a_search_that_was_cut_short_says_so() -> None:
    trips = [{"device": f"b{one}", "by": "hand", "live": [f"r{one}"]} for one in range(8)]
    parts = [{"id": "inlet", "kind": "inlet"}]
    parts += [
        {"id": f"{kind[0]}{one}", "kind": kind} for one in range(8) for kind in ("breaker", "receptacle")
    ]
    runs = [{"from": "inlet", "to": f"b{one}"} for one in range(8)]
    runs += [{"from": f"b{one}", "to": f"r{one}"} for one in range(8)]

    found = judged({"parts": parts, "runs": runs, "trips": trips})[""]

    assert len(found["contradictions"]) == 8
    assert found["explanations"] == []
    assert "explanations-not-all-tried" in [one["id"] for one in found["findings"]]


@pytest.mark.parametrize(("mode", "wanted"), [(None, ["station"]), ("shore", ["shore"])])
def test_a_trip_belongs_to_its_mode_or_to_one_in_which_the_device_has_power(
    mode: str | None, wanted: list[str]
) -> None:
    parts = [{"id": "inlet", "kind": "inlet"}, {"id": "inv", "kind": "inverter"}]
    parts += [{"id": "g", "kind": "gfci-receptacle"}, {"id": "r", "kind": "receptacle"}]
    runs = [{"from": "inv", "to": "g"}, {"from": "g", "from_side": "load", "to": "r"}]
    trip = {"device": "g", "live": ["r"]} | ({"mode": mode} if mode else {})
    modes = {"shore": {"without": [0]}, "station": {"without": []}}

    found = judged({"parts": parts, "runs": runs, "trips": [trip], "modes": modes})

    assert [name for name, one in found.items() if one["contradictions"]] == wanted


@settings(max_examples=150, deadline=None)
@given(maps_with_trips_of_any_mode())
def test_a_trip_without_a_mode_contradicts_where_it_does_in_every_mode_in_which_its_device_has_power(
    value: Any,
) -> None:
    found = judged(value)

    told = {
        (one["trip"], mode): one["part"] for mode, answer in found.items() for one in answer["contradictions"]
    }
    for number, trip in enumerate(value["trips"]):
        if "mode" not in trip:
            wrong = wrong_by_mode(value, trip)
            least = [mode for mode, many in wrong.items() if many == min(wrong.values())]
            against = [mode for at, mode in told if at == number]
            assert against == (least[:1] if wrong[least[0]] else [])


def wrong_by_mode(value: Any, trip: Any) -> dict[str, int]:
    """Count by the graph what a trip left otherwise, in each mode in which its device has power."""
    found: dict[str, int] = {}
    for mode in rig_by_graph.standings(value):
        if trip["device"] not in rig_by_graph.dead_after(value, (), mode, None):
            dead = rig_by_graph.dead_after(value, (), mode, trip["device"])
            found[mode] = len(set(trip["dead"]) - dead) + len(set(trip["live"]) & dead)
    return found


def test_what_only_shore_feeds_went_dead_in_the_mode_in_which_it_has_no_power() -> None:
    value = ON_TWO_SOURCES | {"trips": [{"device": "g", "dead": ["g", "r"]}]}

    assert [one["contradictions"] for one in judged(value).values()] == [[], []]


def test_what_no_mode_explains_is_a_contradiction_once() -> None:
    value = ON_TWO_SOURCES | {"trips": [{"device": "g", "live": ["g"], "dead": ["r"]}]}

    found = {mode: one["contradictions"] for mode, one in judged(value).items()}

    assert found == {
        "shore": [],
        "station": [{"trip": 0, "part": "g", "expected": "dead", "seen": "live"}],
    }


def test_a_hundred_parts_and_twenty_trips_are_judged_within_a_tenth_of_a_second() -> None:
    turn_ms = [python_turn_ms()]
    figures = rig_figures(wrongs=(0, 2))
    turn_ms.append(python_turn_ms())

    assert max(figures.by_wrong.values()) < JUDGED_SOON.allowed_ms("Python", turn_ms)
    assert figures.graph_ratio > 10
