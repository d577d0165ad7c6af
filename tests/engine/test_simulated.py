"""Outlets simulated apart from the engine (tests/simulated.py), scored by what the readings can tell.

The figures asked for: first explanation the truth or its twin in 99 %; truth kept in 99.9 %; no dangerous
truth used that the readings tell from right wiring; at most 0.5 % of good outlets refused.
"""

import random
from dataclasses import dataclass, field
from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load
from tests import simulated

KINDS = ("meter", "low-meter", "lamps", "meter+lamps")
RIGHT_LAMPS = {"h-n": "lit", "h-g": "lit", "n-g": "dark"}


@dataclass
class Score:
    """What came of many outlets."""

    outlets: int = 0
    missed: int = 0
    lost: int = 0
    not_ruled_out: int = 0
    used: list[tuple[str, dict[str, Any]]] = field(default_factory=list)

    def add(self, truth: str, check: dict[str, Any], answer: dict[str, Any]) -> None:
        by_lamps = "volts" not in check
        probability = {fault["id"]: fault["probability"] for fault in answer["faults"]}
        self.outlets += 1
        self.not_ruled_out += len(answer["not_ruled_out"])
        self.missed += not simulated.are_twins(answer["faults"][0]["id"], truth, by_lamps)
        self.lost += probability.get(truth, 0.0) < 0.01 and truth not in answer["not_ruled_out"]
        looks_right = by_lamps and check["lamps"] == RIGHT_LAMPS
        is_twin = simulated.are_twins(truth, "correct", by_lamps) or looks_right
        if answer["verdict"] in ("use", "use-limited") and not is_twin:
            self.used.append((truth, check))


def scored(seed: int, rounds: int) -> Score:
    rng, score = random.Random(seed), Score()
    for _ in range(rounds):
        for truth in simulated.JOINS:
            for kind in KINDS:
                check = simulated.drawn_check(rng, simulated.drawn_site(rng, truth), kind)
                score.add(truth, check, assess(check, load()))
    print(f"seed {seed}: {score.outlets} outlets, {score.missed} missed, {score.lost} lost")
    return score


def assert_figures(score: Score) -> None:
    assert score.missed <= 0.01 * score.outlets
    assert score.lost <= 0.001 * score.outlets
    assert score.not_ruled_out <= 4 * score.outlets
    assert score.used == []


def refused(seed: int, outlets: int) -> float:
    rng, count = random.Random(seed), 0
    for _ in range(outlets):
        site = simulated.drawn_site(rng, "correct", low=110.0, high=127.0)
        check = simulated.drawn_check(rng, site, rng.choice(["meter", "low-meter"]))
        against = assess(check, load())
        is_low_at_the_outlet = any(one["level"] == "stop" for one in against["findings"])
        count += against["verdict"] in ("test-more", "do-not-use") and not is_low_at_the_outlet
    return count / outlets


def test_simulated_outlets_are_explained_kept_and_never_used_when_dangerous() -> None:
    assert_figures(scored(seed=4, rounds=60))


def test_good_outlets_are_hardly_ever_refused() -> None:
    assert refused(seed=5, outlets=2000) <= 0.005


@pytest.mark.deep
@pytest.mark.parametrize("seed", [11, 12, 13])
def test_many_simulated_outlets_keep_the_figures(seed: int) -> None:
    assert_figures(scored(seed, rounds=400))


@pytest.mark.deep
def test_many_good_outlets_are_hardly_ever_refused() -> None:
    assert refused(seed=14, outlets=20000) <= 0.005
