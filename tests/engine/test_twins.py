"""Python and JavaScript agree to the last bit: on drawn and simulated outlets, at and beside every limit."""

import json
import random
from collections.abc import Iterator
from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.errors import BadInput
from fieldlog.model.canonical import canonical
from fieldlog.rulebook import load
from tests import simulated
from tests.drawn_checks import drawn_checks, limit_checks
from tests.node import answer_of_node

KINDS = ("meter", "low-meter", "lamps", "meter+lamps", "meter+load", "meter+low", "meter+unplugged")


def simulated_checks(rng: random.Random, count: int) -> Iterator[dict[str, Any]]:
    """Read outlets of both families as a person would."""
    truths = [*simulated.THREE_WIRE, *simulated.SPLIT_PHASE]
    families = ["three-wire"] * len(simulated.THREE_WIRE) + ["split-phase"] * len(simulated.SPLIT_PHASE)
    for _ in range(count):
        place = rng.randrange(len(truths))
        site = simulated.drawn_site(rng, truths[place], family=families[place])
        yield simulated.drawn_check(rng, site, rng.choice(KINDS))


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


def test_drawn_and_simulated_outlets_are_answered_alike() -> None:
    seed = 21
    print(f"seed {seed}")
    rng = random.Random(seed)
    assert_twins_agree([*drawn_checks(rng, 1000), *simulated_checks(rng, 400)])


@pytest.mark.deep
def test_a_hundred_thousand_outlets_are_answered_alike() -> None:
    seed = 22
    print(f"seed {seed}, 100,000 outlets")
    rng = random.Random(seed)
    for _ in range(10):
        assert_twins_agree([*drawn_checks(rng, 8000), *simulated_checks(rng, 2000)])
