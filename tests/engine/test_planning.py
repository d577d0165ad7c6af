"""What can run here: the laws that hold whatever is planned, the twin, and what is typed in wrong."""

import json
from collections.abc import Collection
from dataclasses import asdict
from itertools import combinations
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from fieldlog import tables
from fieldlog.engine.planning import plan
from fieldlog.errors import BadInput
from fieldlog.model.canonical import canonical
from tests.drawn_plans import LOADS, plans, plans_with_legs, plans_with_wires
from tests.node import answers_of_node

CODE = tables.load()


def planned(loads: list[dict[str, Any]], **members: Any) -> dict[str, Any]:
    return plan({"volts": 120.0, "source_ohms": 0.2, "breaker_amps": 30, **members, "loads": loads}, CODE)


def heater(watts: float, name: str = "heater", **members: Any) -> dict[str, Any]:
    return {"name": name, "watts": watts, **members}


def found(answer: dict[str, Any]) -> dict[str, str]:
    return {finding["id"]: finding["level"] for finding in answer["findings"]}


def alone(asked: dict[str, Any], places: Collection[int]) -> dict[str, Any]:
    """Give the plan of a set of loads and of nothing else."""
    kept = sorted(places)
    branches = [
        branch | {"loads": [kept.index(place) for place in branch["loads"] if place in kept]}
        for branch in asked.get("branches", ())
    ]
    return asked | {"loads": [asked["loads"][place] for place in kept], "branches": branches}


def all_runs(answer: dict[str, Any]) -> bool:
    """Whether all that was planned runs together."""
    return answer["fits"] and all(load["runs"] for load in answer["loads"])


def runs_alone(asked: dict[str, Any], places: Collection[int]) -> bool:
    """Whether a set of loads runs, by the answer to a plan of these alone."""
    return all_runs(plan(alone(asked, places), CODE))


@given(plans() | plans_with_wires(), LOADS)
def test_one_more_load_never_raises_the_volts(asked: dict[str, Any], more: dict[str, Any]) -> None:
    before = plan(asked, CODE)["volts_at_rig"]
    after = plan(asked | {"loads": [*asked["loads"], more]}, CODE)["volts_at_rig"]

    assert after is None or (before is not None and after <= before)


@given(
    plans() | plans_with_wires(), st.sampled_from(((18, 16), (16, 14), (14, 12), (12, 10), (10, 8), (8, 6)))
)
def test_a_thicker_cord_never_lowers_the_volts(asked: dict[str, Any], gauges: tuple[int, int]) -> None:
    thin, thick = (
        plan(asked | {"cords": [{"awg": awg, "feet": 100}]}, CODE)["volts_at_rig"] for awg in gauges
    )

    assert thin is None or (thick is not None and thick >= thin)


@given(plans())
def test_the_volts_are_those_of_the_circuit(asked: dict[str, Any]) -> None:
    """Kirchhoff: what the loads draw at the rig's volts, through the ohms on the way, is what is lost."""
    asked = asked | {"cords": []}
    answer = plan(asked, CODE)

    if answer["volts_at_rig"] is not None:
        lost = asked["source_ohms"] * sum(load["amps"] for load in answer["loads"])
        assert asked["volts"] - lost == pytest.approx(answer["volts_at_rig"], rel=1e-9)


@settings(max_examples=60)
@given(plans(most_loads=7) | plans_with_wires(6) | plans_with_legs(6))
def test_every_set_that_is_offered_runs_and_can_take_no_more(asked: dict[str, Any]) -> None:
    loads = [load | {"name": f"{place}"} for place, load in enumerate(asked["loads"])]
    offered = [[int(name) for name in each] for each in plan(asked | {"loads": loads}, CODE)["runs_together"]]

    for each in offered:
        assert runs_alone(asked, each) or not each
        for more in set(range(len(loads))) - set(each):
            assert not runs_alone(asked, {*each, more})


def kept_first(loads: list[dict[str, Any]], places: tuple[int, ...]) -> tuple[Any, ...]:
    """What decides between sets: loads kept by priority, then watts, then the order of the input."""
    levels = sorted({load["priority"] for load in loads})
    kept = [-sum(loads[place]["priority"] == level for place in places) for level in levels]
    return (*kept, -sum(loads[place]["watts"] for place in places), places)


def test_the_sets_are_those_that_trying_every_set_finds() -> None:
    """Brute force over twelve loads, no two alike; two branches hold some of them back."""
    watts = (1500, 1301, 1000, 902, 702, 611, 403, 307, 203, 150, 77, 40)
    loads = [
        heater(each, f"{place}", priority=1 + place % 3, kind=("resistive", "electronic")[place % 2])
        for place, each in enumerate(watts)
    ]
    branches = [
        {"name": "strip", "amps": 13, "loads": [0, 2, 5, 7]},
        {"name": "galley", "amps": 15, "loads": [1, 3, 9]},
    ]
    for limit in (12, 33):
        asked = {"volts": 118.0, "source_ohms": 0.3, "limit_amps": limit, "loads": loads}
        asked |= {"branches": branches}
        every = [places for size in range(len(loads) + 1) for places in combinations(range(len(loads)), size)]
        entries = {id: asdict(entry) for id, entry in CODE.entries.items()}
        told = answers_of_node("plan.mjs", [entries, *(alone(asked, places) for places in every)])
        sets = [places for places, answer in zip(every, told, strict=True) if all_runs(json.loads(answer))]
        full = [each for each in sets if not any({*each} < {*other} for other in sets)]
        best = sorted(full, key=lambda each: kept_first(loads, each))[:5]

        offered = plan(asked, CODE)["runs_together"]
        assert offered == [[f"{place}" for place in each] for each in best]


def test_a_branch_holds_back_what_the_supply_would_carry() -> None:
    """1500 W and 1000 W at 120 V take 20.8 A: within 30 A, above the 13 A of a cord of 16 AWG (NEC 400.5)."""
    strip = {"name": "strip", "amps": 13, "loads": [0, 1]}
    answer = planned([heater(1500, "kettle"), heater(1000, "toaster"), heater(60, "fan")], branches=[strip])

    assert not answer["fits"] and found(answer)["branch-over-limit"] == "stop"
    assert answer["runs_together"] == [["kettle", "fan"], ["toaster", "fan"]]


def test_loads_alike_are_counted_once() -> None:
    answer = planned([heater(1500, "left"), heater(1500, "right"), heater(60, "fan")], breaker_amps=15)

    assert answer["runs_together"] == [["left", "fan"]]


def test_with_many_loads_it_says_that_not_every_set_was_tried() -> None:
    many = [heater(40 + 7 * place, f"{place}") for place in range(40)]

    answer = planned(many, breaker_amps=20)

    assert len(answer["runs_together"]) == 5 and found(answer)["sets-not-all-tried"] == "note"
    assert "sets-not-all-tried" not in found(planned(many[:20], breaker_amps=20))


@settings(max_examples=10, phases=[Phase.generate])
@given(st.lists(plans() | plans_with_wires() | plans_with_legs(), min_size=30, max_size=30))
def test_python_and_the_script_plan_alike_to_the_last_bit(asked: list[dict[str, Any]]) -> None:
    entries = {id: asdict(entry) for id, entry in CODE.entries.items()}

    told = answers_of_node("plan.mjs", [entries, *asked])

    assert told == [canonical(plan(each, CODE)) for each in asked]


@pytest.mark.parametrize(
    ("members", "level"),
    [
        ({"cords": [{"awg": 12, "feet": 25}]}, {"not-protected-by-breaker": "stop"}),
        ({"cords": [{"awg": 12, "feet": 25}], "limit_amps": 25}, {"held-by-limit-alone": "limit"}),
        ({"breaker_amps": 50, "receptacle_amps": 30}, {"not-protected-by-breaker": "stop"}),
        ({"breaker_amps": None}, {"no-rating": "limit"}),
        ({"volts": 109.0}, {"rig-volts-low": "limit"}),
        ({"volts": 105.0}, {"rig-volts-too-low": "stop"}),
        ({"volts": 133.0}, {"rig-volts-too-high": "stop"}),
        ({"source_ohms": 6.0}, {"rig-volts-too-low": "stop", "drop": "note"}),
        ({"breaker_amps": 8}, {"over-limit": "stop"}),
        ({"breaker_amps": 8.2, "volts": 112.0}, {"over-at-rated-volts": "note"}),
    ],
)
def test_what_speaks_against_a_plan_is_found(members: dict[str, Any], level: dict[str, str]) -> None:
    answer = planned([heater(1000)], **members)

    assert level.items() <= found(answer).items()


def test_a_supply_that_cannot_carry_a_load_gives_words_and_no_number() -> None:
    answer = planned([heater(1500, kind="electronic")], source_ohms=10.0)

    assert answer["volts_at_rig"] is None and answer["amps"] is None and not answer["fits"]
    assert found(answer)["cannot-deliver"] == "stop"
    assert answer["runs_together"] == [[]] and answer["runtime_hours"] is None


def test_a_motor_that_cannot_start_does_not_run() -> None:
    answer = planned([heater(1200, "compressor", kind="motor")], source_ohms=0.5)

    assert not answer["loads"][0]["runs"] and found(answer)["start-volts-low"] == "limit"
    assert planned([heater(1200, "pump", kind="motor", start_multiple=3)], source_ohms=0.5)["loads"][0][
        "runs"
    ]


def test_the_energy_of_a_load_is_its_watts_and_its_current_its_amps() -> None:
    """1000 W and 10 A at 120 V load wire and inverter with 1200 VA, and the battery with 1000 W."""
    battery = {"watt_hours": 2000, "usable": 1, "efficiency": 1, "idle_watts": 0, "inverter_watts": 1500}
    answer = plan({"battery": battery, "loads": [heater(1000, "pump", amps=10, kind="motor")]}, CODE)

    assert (answer["amps"], answer["runtime_hours"]) == (10.0, 2.0)
    assert found(answer)["start-above-inverter"] == "limit"


def test_hours_tell_whether_the_battery_lasts() -> None:
    battery = {"watt_hours": 500, "usable": 0.8, "efficiency": 0.8, "idle_watts": 5, "inverter_watts": 300}

    def over(hours: float) -> dict[str, str]:
        fan = heater(30, "fan", hours=hours, kind="electronic")
        return found(plan({"battery": battery, "loads": [fan]}, CODE))

    # 30 W / 0.8 + 5 W = 42.5 W, of 400 Wh: 9.4 hours.
    assert over(9) == {"hours-covered": "note"} and over(10) == {"hours-not-covered": "limit"}


def test_what_runs_for_three_hours_counts_as_continuous_unless_said_otherwise() -> None:
    def asked(**members: Any) -> dict[str, Any]:
        return planned([heater(2000, **members)], breaker_amps=20, source_ohms=0)

    assert asked()["fits"] and not asked(hours=3)["fits"]
    said = asked(hours=3, continuous=False)
    assert said["fits"] and found(said) == {"hours-make-it-continuous": "note"}


@pytest.mark.parametrize(
    ("members", "at"),
    [
        ({"volts": None}, "/volts"),
        ({"source_ohms": -1}, "/source_ohms"),
        ({"loads": [{"name": "kettle"}]}, "/loads/0/watts"),
        ({"loads": [heater(1500, amps=2)]}, "/loads/0/amps"),
        ({"loads": [heater(1500, kind="hot")]}, "/loads/0/kind"),
        ({"loads": [heater(1, str(n)) for n in range(101)]}, "/loads"),
        ({"cords": [{"awg": 11, "feet": 10}]}, "/cords/0/awg"),
        ({"cords": [{"awg": 10, "feet": None}]}, "/cords/0/feet"),
        ({"battery": {"watt_hours": 100}}, "/battery/usable"),
        ({"branches": [{"name": "strip", "amps": 13, "loads": [0]}]}, "/branches/0/loads"),
        ({"branches": [{"name": "strip", "loads": []}]}, "/branches/0/amps"),
        ({"amperes": 3}, "/amperes"),
    ],
)
def test_what_is_typed_in_wrong_is_named(members: dict[str, Any], at: str) -> None:
    with pytest.raises(BadInput) as raised:
        plan({"volts": 120.0, "source_ohms": 0.2, "loads": []} | members, CODE)

    assert at in [problem.at for problem in raised.value.problems]
