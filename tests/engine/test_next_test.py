"""The next test: tells most apart, for the least effort, without danger under what is left."""

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load

RIGHT = {"h-n": 120.3, "h-g": 120.1, "n-g": 0.2}


def proposed(**check: object) -> str | None:
    test = assess({"outlet": "TT-30", "look": [], **check}, load())["next_test"]
    return None if test is None else str(test["id"])


def test_right_readings_ask_for_the_detector_first() -> None:
    assert proposed(volts=RIGHT) == "detector"


def test_a_silent_detector_is_followed_by_an_earth() -> None:
    assert proposed(volts=RIGHT, near={"g": False}) == "earth"


def test_a_load_is_not_proposed_while_the_deadly_twin_stands() -> None:
    assert proposed(volts=RIGHT) != "load"
    assert proposed(volts=RIGHT, near={"g": False}) != "load"


def test_a_load_is_proposed_once_an_earth_has_ruled_the_deadly_twin_out() -> None:
    earth = {"h-e": 120.2, "n-e": 0.3, "g-e": 0.1}

    assert proposed(volts={**RIGHT, **earth}, near={"g": False}) == "load"


def test_lamps_ask_for_a_meter() -> None:
    assert proposed(lamps={"h-n": "lit", "h-g": "lit", "n-g": "dark"}) == "meter"


def test_one_reading_asks_for_the_others() -> None:
    assert proposed(volts={"h-n": 120.3}) in ("lamps", "meter")


def test_a_stop_sign_ends_the_testing() -> None:
    assert proposed(volts=RIGHT, look=["burned"]) is None


def test_it_names_the_pairs_it_separates_best_first() -> None:
    answer = assess({"outlet": "TT-30", "look": [], "volts": RIGHT}, load())

    assert answer["next_test"]["separates"][0] == ["correct", "reversed-with-bonded-ground"]
    assert len(answer["next_test"]["separates"]) <= 5


@pytest.mark.parametrize("hot_to_ground", [120.0, 119.0, 118.0])
def test_three_readings_that_look_right_never_rule_the_deadly_twin_out(hot_to_ground: float) -> None:
    volts = {"h-n": 120.0, "h-g": hot_to_ground, "n-g": 0.5}
    answer = assess({"outlet": "TT-30", "look": [], "volts": volts}, load())

    assert answer["faults"][0]["id"] == "correct"
    assert "reversed-with-bonded-ground" in answer["not_ruled_out"]
