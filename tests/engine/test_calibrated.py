"""Of outlets drawn by the stated priors, the first explanation is the truth as often as its probability says.

Expected calibration error: over ten bins of equally many cases, ordered by probability, the mean distance
between the mean probability and the share of truths (Naeini, Cooper and Hauskrecht, "Obtaining well
calibrated probabilities using Bayesian binning", AAAI 2015; from memory).
"""

import random
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load
from tests import simulated
from tests.engine.test_simulated import KINDS, Kind

BINS, LEAST_IN_BIN = 10, 200
BARE = {"open-neutral-with-load": "open-neutral", "leaking-appliance": "open-ground"}
"""What is left of a wiring once everything is unplugged."""


class Claim(NamedTuple):
    """A first explanation, how probable it was said to be, and whether it was the truth."""

    first: str
    probability: float
    is_true: bool


def expected_calibration_error(claims: Sequence[Claim]) -> float:
    """Give the mean distance between what was said and what was so, over bins of equally many claims."""
    ordered = sorted(claims, key=lambda claim: claim.probability)
    edges = [len(ordered) * place // BINS for place in range(BINS + 1)]
    off = 0.0
    for low, high in pairwise(edges):
        own = ordered[low:high]
        off += abs(sum(claim.is_true - claim.probability for claim in own))
    return off / len(ordered)


def priors_of(kind: Kind) -> dict[str, float]:
    """Give how often each wiring is at hand, by the stated priors of those that are simulated."""
    family = load().families[kind.family]
    priors = {wiring.id: wiring.prior[kind.supply] for wiring in family.wirings}
    every = simulated.THREE_WIRE if kind.family == "three-wire" else simulated.SPLIT_PHASE
    return {truth: priors[truth] for truth in every}


def drawn_claims(rng: random.Random, kind: Kind, count: int) -> list[Claim]:
    priors, claims = priors_of(kind), []
    for truth in rng.choices(list(priors), list(priors.values()), k=count):
        check = simulated.drawn_check(rng, kind.site(rng, truth), kind.reading)
        first = assess(check, load())["faults"][0]
        shown = BARE.get(truth, truth) if "unplugged" in kind.reading else truth
        told = "other" if shown == "neutral-lost-upstream" else shown
        claims.append(Claim(first["id"], first["probability"], first["id"] == told))
    return claims


def test_the_error_of_claims_that_are_so_as_often_as_said_is_small_and_of_others_large() -> None:
    """By hand: said 0.75, so in three of four; and said 0.75, so in none."""
    fair = [Claim("correct", 0.75, place % 4 > 0) for place in range(400)]
    boasting = [Claim("correct", 0.75, False)] * 400

    assert expected_calibration_error(fair) == 0.0
    assert expected_calibration_error(boasting) == 0.75


@pytest.mark.deep
def test_a_first_explanation_is_the_truth_as_often_as_it_says() -> None:
    seed, each = 31, 3000
    rng = random.Random(seed)
    claims = [claim for kind in KINDS.values() for claim in drawn_claims(rng, kind, each)]
    faulty = [claim for claim in claims if claim.first != "correct"]
    of_all, of_faulty = expected_calibration_error(claims), expected_calibration_error(faulty)
    print(
        f"seed {seed}, {len(claims)} outlets: error {of_all:.4f}; of {len(faulty)} not right: {of_faulty:.4f}"
    )

    assert len(faulty) >= BINS * LEAST_IN_BIN
    assert of_all <= 0.02
    assert of_faulty <= 0.02
