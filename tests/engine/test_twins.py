"""Python and JavaScript agree to the last bit: on simulated outlets, at every limit, one step beside it."""

import json
import random
from collections.abc import Iterator
from math import inf, nextafter
from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.errors import BadInput
from fieldlog.model.canonical import canonical
from fieldlog.rulebook import load
from tests import simulated
from tests.node import answer_of_node

NOISE: dict[str, Any] = {
    "supply": ["utility", "generator", "inverter"],
    "where": ["pedestal", "rig"],
    "breaker_amps": [15, 20, 30.0, 50, 0],
    "hertz": [57, 60.0, 63.00001, 91],
    "near": [{"g": True}, {"skin": True}, {"g": False, "h": True}, {"g": 1}],
    "look": [[], ["burned"], ["cracked", "loose"], ["scorched"]],
    "continuity": [{"g-frame": "open"}, {"g-frame": "closed"}],
    "trip": [
        [{"by": "button", "tripped": False}],
        [{"by": "external", "tripped": True, "milliseconds": 24.9}],
        {},
    ],
    "more": [[]],
}


def drawn_checks(rng: random.Random, count: int) -> Iterator[dict[str, Any]]:
    truths = list(simulated.JOINS)
    kinds = ("meter", "low-meter", "lamps", "meter+lamps")
    for _ in range(count):
        site = simulated.drawn_site(rng, rng.choice(truths))
        check = simulated.drawn_check(rng, site, rng.choice(kinds))
        for name, choices in NOISE.items():
            if rng.random() < 0.08:
                check[name] = rng.choice(choices)
        if "volts" in check and rng.random() < 0.3:
            del check["volts"][rng.choice(["h-n", "h-g", "n-g"])]
        if "volts" in check and rng.random() < 0.2:
            check["volts"][rng.choice(["h-e", "n-e", "g-e"])] = rng.uniform(0, 250)
        yield check


def limit_checks() -> Iterator[dict[str, Any]]:
    """Give a check at each limit and one unit in the last place to either side."""
    exact = {"accuracy_percent": 0, "accuracy_volts": 0}
    for limit in load().limits.values():
        for value in (limit.value, nextafter(limit.value, inf), nextafter(limit.value, 0)):
            for where in ("pedestal", "rig"):
                if limit.unit == "V":
                    volts = {"h-n": value, "h-g": value, "n-g": 0.1}
                    yield {"outlet": "TT-30", "where": where, "meter": exact, "volts": volts}
                    coarse = {"accuracy_percent": 0, "accuracy_volts": min(value, 20)}
                    yield {"outlet": "TT-30", "where": where, "meter": coarse, "volts": volts}
                if limit.unit == "Hz":
                    yield {"outlet": "TT-30", "where": where, "hertz": value, "look": []}
                if limit.unit == "mA":
                    trip = {"by": "external", "tripped": True, "milliseconds": 26, "milliamps": value}
                    yield {"outlet": "5-20", "where": where, "trip": [trip]}


def answer(check: dict[str, Any]) -> bytes:
    try:
        return canonical(assess(check, load()))
    except BadInput as bad:
        return canonical({"problems": [problem.as_json() for problem in bad.problems]})


def assert_twins_agree(checks: list[dict[str, Any]]) -> None:
    theirs = answer_of_node("assess", "\n".join(map(json.dumps, checks))).encode().splitlines()
    assert len(theirs) == len(checks)
    for check, from_node in zip(checks, theirs, strict=True):
        assert answer(check) == from_node, check


def test_every_limit_and_one_step_beside_it_is_answered_alike() -> None:
    assert_twins_agree(list(limit_checks()))


def test_simulated_outlets_are_answered_alike() -> None:
    seed = 21
    print(f"seed {seed}")
    assert_twins_agree(list(drawn_checks(random.Random(seed), 4000)))


@pytest.mark.deep
def test_a_hundred_thousand_outlets_are_answered_alike() -> None:
    seed = 22
    print(f"seed {seed}")
    assert_twins_agree(list(drawn_checks(random.Random(seed), 100_000)))
