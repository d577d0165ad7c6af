"""Advice on a map: what is told, of which part, and that nothing unknown passes for right."""

import json
from typing import Any

import pytest

from fieldlog.engine.protection import answer
from fieldlog.tables import FILES, SCHEMAS, load

MEMORY = "from memory, check the current code"


def findings(value: Any) -> list[dict[str, Any]]:
    found: Any = answer(value, load())
    return list(found["findings"])


def told(value: Any, *keys: str) -> list[tuple[str, str | None]]:
    return [(one["id"], one["part"]) for one in findings(value) if one["id"] in keys]


def a_circuit(*outlets: dict[str, Any], amps: float | None = 15, awg: int | None = 14, **members: Any) -> Any:
    """Give an inlet and a breaker, from which each outlet has a run of its own."""
    rating = {} if amps is None else {"amps": amps}
    gauge = {} if awg is None else {"awg": awg}
    parts = [
        {"id": "inlet", "kind": "inlet", "amps": 30},
        {"id": "b1", "kind": "breaker", **rating, **members},
    ]
    runs: list[dict[str, Any]] = [{"from": "inlet", "to": "b1", "awg": 10}]
    runs += [{"from": "b1", "to": outlet["id"], **gauge} for outlet in outlets]
    return {"parts": [*parts, *outlets], "runs": runs}


def receptacle(called: str = "r1", **members: Any) -> dict[str, Any]:
    return {"id": called, "kind": "receptacle", "amps": 15, **members}


def test_a_circuit_of_which_all_is_noted_and_right_leaves_no_advice() -> None:
    value = a_circuit(receptacle(), receptacle("r2"), gfci=True)

    assert findings(value) == []


@pytest.mark.parametrize("place", ["outside", "near-water"])
def test_an_outlet_outside_or_near_water_wants_a_guard(place: str) -> None:
    bare = a_circuit(receptacle(where=[place]))
    guarded = a_circuit(receptacle(where=[place]), gfci=True)

    assert told(bare, f"unguarded-{place}") == [(f"unguarded-{place}", "r1")]
    assert told(guarded, f"unguarded-{place}") == []


def test_advice_says_clause_edition_and_how_it_is_known() -> None:
    (found,) = [
        one
        for one in findings(a_circuit(receptacle(where=["outside"])))
        if one["level"] == "limit" and "outside" in one["id"]
    ]

    assert (found["clause"], found["edition"], found["known"]) == ("NEC 551.41(C)", "2014 to 2023", MEMORY)


def test_a_rig_with_one_circuit_wants_all_of_it_guarded() -> None:
    ((key, part),) = told(a_circuit(receptacle()), "one-circuit-unguarded", "one-circuit-guard-further-in")

    assert (key, part) == ("one-circuit-unguarded", "inlet")


def test_a_guard_behind_a_junction_is_not_at_the_entry() -> None:
    value = a_circuit({"id": "j", "kind": "junction"})
    value["parts"] += [{"id": "g", "kind": "gfci-receptacle", "amps": 15}]
    value["runs"] += [{"from": "j", "to": "g", "awg": 14}]

    assert told(value, "one-circuit-unguarded", "one-circuit-guard-further-in") == [
        ("one-circuit-guard-further-in", "inlet")
    ]


@pytest.mark.parametrize("guard", ["breaker", "cord", "receptacle"])
def test_a_guard_at_the_entry_is_enough_for_one_circuit(guard: str) -> None:
    value = a_circuit({"id": "g", "kind": "gfci-receptacle", "amps": 15}, gfci=guard == "breaker")
    value["parts"] += [receptacle()]
    value["runs"] += [
        {"from": "g", "from_side": "line" if guard == "cord" else "load", "to": "r1", "awg": 14}
    ]
    if guard == "cord":
        value["parts"] += [{"id": "c", "kind": "cord-gfci"}]
        value["runs"] += [{"from": "c", "from_side": "load", "to": "inlet", "awg": 10}]

    assert told(value, "one-circuit-unguarded", "one-circuit-guard-further-in") == []


def test_a_rig_with_two_circuits_is_not_held_to_the_rule_for_one() -> None:
    value = a_circuit(receptacle())
    value["parts"] += [{"id": "b2", "kind": "breaker", "amps": 15}]
    value["runs"] += [{"from": "inlet", "to": "b2", "awg": 10}]

    assert told(value, "one-circuit-unguarded") == []


@pytest.mark.parametrize(
    ("kind", "is_told"), [("junction", True), ("breaker", True), ("inlet", True), ("inverter", False)]
)
def test_a_bond_in_the_trailer_is_told_and_one_at_a_source_of_its_own_is_not(
    kind: str, is_told: bool
) -> None:
    value = {"parts": [{"id": "x", "kind": kind, "bonded": True}]}

    assert told(value, "neutral-bonded") == ([("neutral-bonded", "x")] if is_told else [])


def test_a_gauge_that_is_not_noted_is_a_note_and_never_a_pass() -> None:
    (found,) = [one for one in findings(a_circuit(receptacle(), awg=None)) if one["id"] == "gauge-not-known"]

    assert (found["level"], found["part"], found["runs"]) == ("note", "b1", [1])
    assert told(a_circuit(receptacle(), awg=None), "gauge-not-in-table") == []


def test_a_rating_that_is_not_noted_is_a_note_and_never_a_pass() -> None:
    assert told(a_circuit(receptacle(), amps=None), "breaker-rating-not-known") == [
        ("breaker-rating-not-known", "b1")
    ]
    assert told(a_circuit({"id": "r1", "kind": "receptacle"}), "receptacle-rating-not-known") != []


def test_a_gauge_that_no_table_holds_is_a_note() -> None:
    assert told(a_circuit(receptacle(), awg=13), "gauge-not-in-table") == [("gauge-not-in-table", "b1")]


def test_a_finding_on_gauge_names_run_rating_and_limit() -> None:
    (found,) = [
        one for one in findings(a_circuit(receptacle(), amps=20)) if one["id"] == "breaker-too-big-for-wire"
    ]

    assert (found["runs"], found["value"], found["limit"], found["unit"]) == ([1], 20, 15, "A")


@pytest.mark.parametrize("amps", [25, 35])
def test_a_circuit_that_the_table_of_receptacles_does_not_hold_is_a_note(amps: float) -> None:
    """NEC Table 210.21(B)(3) has rows for circuits of 15, 20, 30, 40 and 50 A."""
    value = a_circuit(receptacle(), receptacle("r2"), {"id": "r3", "kind": "receptacle"}, amps=amps, awg=8)

    (found,) = [one for one in findings(value) if one["id"] == "circuit-not-in-table"]

    assert (found["level"], found["part"], found["among"]) == ("note", "b1", ["r1", "r2"])
    assert (found["value"], found["unit"], found["clause"]) == (amps, "A", "NEC Table 210.21(B)(3)")


@pytest.mark.parametrize("amps", [15, 20, 30, 40, 50])
def test_a_circuit_of_the_table_of_receptacles_is_judged_by_it(amps: float) -> None:
    value = a_circuit(receptacle(), receptacle("r2"), amps=amps, awg=6)

    assert told(value, "circuit-not-in-table") == []
    assert bool(told(value, "receptacle-not-for-circuit")) == (amps > 20)


def test_a_receptacle_alone_on_its_circuit_needs_no_table() -> None:
    value = a_circuit(receptacle(), amps=25, awg=8)

    assert told(value, "circuit-not-in-table", "receptacle-below-circuit") == [
        ("receptacle-below-circuit", "r1")
    ]


@pytest.mark.parametrize(
    "kind", ["breaker", "junction", "receptacle", "gfci-receptacle", "strip", "appliance"]
)
def test_a_part_inside_that_nothing_feeds_is_named(kind: str) -> None:
    value = a_circuit(receptacle())
    value["parts"] += [{"id": "x", "kind": kind}]

    assert told(value, "feed-not-known") == [("feed-not-known", "x")]


@pytest.mark.parametrize("kind", ["supply", "cord-gfci", "inlet", "inverter"])
def test_where_power_comes_in_nothing_has_to_feed_it(kind: str) -> None:
    parts = [{"id": "x", "kind": kind}, receptacle()]
    run = {"from": "x", "to": "r1"}

    assert told({"parts": parts, "runs": [run]}, "feed-not-known") == []


def test_a_part_that_is_fed_in_one_mode_has_a_feed() -> None:
    value = a_circuit(receptacle()) | {"modes": {"shore": {}, "dry": {"without": [1]}}}

    found: Any = answer(value, load())

    told = [each["id"] for one in found["modes"].values() for each in one["findings"]]
    assert told and "feed-not-known" not in told


def test_a_part_without_a_feed_that_a_trip_left_dead_is_named_where_no_change_explains_it() -> None:
    value = a_circuit(receptacle())
    value["parts"] += [receptacle("x")]

    found: Any = answer(value | {"trips": [{"device": "b1", "by": "hand", "dead": ["x"]}]}, load())

    assert found["contradictions"] == [{"trip": 0, "part": "x", "expected": "live", "seen": "dead"}]
    assert ("feed-not-known", "x") in [(one["id"], one["part"]) for one in found["findings"]]


def test_the_cord_is_held_against_what_stands_before_it() -> None:
    parts = [{"id": "post", "kind": "supply", "amps": 50}, {"id": "inlet", "kind": "inlet", "amps": 30}]
    thin, thick = ({"parts": parts, "runs": [{"from": "post", "to": "inlet", "awg": awg}]} for awg in (10, 6))

    assert told(thin, "cord-too-thin") == [("cord-too-thin", "post")]
    assert told(thick, "cord-too-thin") == []


def test_a_run_from_the_line_side_of_a_device_in_a_cord_is_asked_about() -> None:
    parts = [{"id": "c", "kind": "cord-gfci"}, {"id": "inlet", "kind": "inlet"}]
    value = {"parts": parts, "runs": [{"from": "c", "to": "inlet"}]}

    assert told(value, "line-side-of-a-cord-device") == [("line-side-of-a-cord-device", "c")]


def test_the_place_where_one_more_device_guards_most_is_named_with_its_outlets() -> None:
    value = a_circuit(receptacle(), receptacle("r2"))

    assert [(one["part"], one["among"]) for one in findings(value) if one["id"] == "one-more-guard"] == [
        ("b1", ["r1", "r2"])
    ]


@pytest.mark.parametrize("file", [file for file in FILES if file != "limits/supply.json"])
def test_every_entry_of_the_code_says_edition_and_how_it_is_known(file: str) -> None:
    entries = json.loads((SCHEMAS / file).read_text(encoding="utf-8"))["entries"]

    assert entries
    assert [one["id"] for one in entries if not one.get("edition") or not one.get("known")] == []


def test_every_finding_has_words_and_what_to_do() -> None:
    entries = json.loads((SCHEMAS / "facts/protection.json").read_text(encoding="utf-8"))["entries"]

    assert {one["level"] for one in entries} == {"stop", "limit", "note"}
    assert [
        one["id"] for one in entries if not one["says"].endswith(".") and not one["says"].endswith(":")
    ] == []
    assert [one["id"] for one in entries if not one["do"]] == []
