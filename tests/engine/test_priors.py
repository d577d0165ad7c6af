"""Verdicts hang on readings: priors ten times as large or small, and own choices a fifth off, move none.

Where a prior does decide, between twins that the readings leave together, it stands below with its reason.
"""

import json
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from fieldlog import rulebook
from fieldlog.engine import assess
from fieldlog.model.rulebook import Rulebook
from tests.engine.test_rulebook import RAW, named_anew

CASES = json.loads((Path(__file__).parents[1] / "cases/checks.json").read_text(encoding="utf-8"))["cases"]
TIMES = (10.0, 0.1)
OWN_CHOICES = ("error-share", "other-share", "supply-spread")

Moved = tuple[str, str, float, str]
TRIANGLE = "a triangle that closes is lawful although neutral to ground reads 8 V"
LIFTED_LEGS = "legs of 112 and 130 V with a neutral at 9 V are not used"
STIFF, AT_SOURCE = (
    "a loop too stiff to tell a joined neutral",
    "the same on a generator that bonds its neutral is right",
)
MOVED: dict[Moved, str] = {
    ("three-wire", "correct", 0.1, STIFF): "twins under so small a drop: only priors tell right from joined",
    (
        "three-wire",
        "neutral-ground-bonded",
        10.0,
        STIFF,
    ): "twins under so small a drop, seen from the other side",
    (
        "three-wire",
        "reversed-with-bonded-ground",
        10.0,
        AT_SOURCE,
    ): "twins between the contacts and under load",
    ("three-wire", "neutral-ground-bonded", 0.1, AT_SOURCE): "twins under load, seen from the other side",
    (
        "three-wire",
        "correct",
        10.0,
        "neutral and ground joined at the outlet does not rise under load",
    ): "between do not use and test more: neighbours on the other leg hold a neutral back as well",
    (
        "three-wire",
        "neutral-lost-upstream",
        10.0,
        TRIANGLE,
    ): "a neutral lost upstream stands off its ground just as a lifted one does",
    (
        "three-wire",
        "neutral-lost-upstream",
        10.0,
        "6 V between ground and a proved earth limits the use",
    ): "a neutral lost before the bond takes the ground with it, off the soil",
    (
        "split-phase",
        "lost-neutral",
        10.0,
        LIFTED_LEGS,
    ): "between test more and do not use: a lost neutral reads like a lifted one",
    (
        "split-phase",
        "open-neutral",
        0.1,
        LIFTED_LEGS,
    ): "a twin of the lost neutral here, whose share it takes, seen from the other side",
}
"""(family, wiring, times, case): why the prior decides there."""
AT_REST = {("three-wire", "neutral-ground-bonded", 10.0), ("three-wire", "correct", 0.1)}
"""A neutral that stands at the ground without a load speaks more for a joined one than for a free one that
nobody lifts just now; what keeps it usable is how rare that is. Only to a further test may this move."""
MOVED_BY_CHOICES: dict[tuple[str, float, str], str] = {
    (
        "error-share",
        0.8,
        TRIANGLE,
    ): "between test more and do not use: 8 V lie at the edge of what neighbours make",
}
"""(limit, times, case): why the threshold decides there."""


def verdicts(book: Rulebook, family: str = "") -> Iterator[tuple[str, str]]:
    """Give the verdict of each case, of one family or of all."""
    for case in CASES:
        if not family or book.family_of(case["check"]["outlet"]).id == family:
            yield case["name"], assess(case["check"], book)["verdict"]


@cache
def usual_verdicts() -> dict[str, str]:
    """Give the verdict of each case by the rulebook as it is."""
    return dict(verdicts(rulebook.load()))


def moved(book: Rulebook, family: str = "") -> list[str]:
    """Name the cases whose verdict another rulebook changes."""
    return [name for name, verdict in verdicts(book, family) if verdict != usual_verdicts()[name]]


def with_prior(family: str, wiring_id: str, times: float) -> Rulebook:
    """Give the rulebook with one explanation's priors multiplied."""
    entry = RAW["families"][family]
    wirings = [_multiplied(one, times) if one["id"] == wiring_id else one for one in entry["wirings"]]
    families = RAW["families"] | {family: entry | {"wirings": wirings}}
    return rulebook.checked(named_anew(RAW | {"families": families}))


def _multiplied(wiring: Mapping[str, Any], times: float) -> dict[str, Any]:
    priors = {supply: prior * times for supply, prior in wiring["prior"].items()}
    return {**wiring, "prior": priors}


def with_limit(name: str, times: float) -> Rulebook:
    """Give the rulebook with one limit multiplied."""
    limit = RAW["limits"][name]
    limits = RAW["limits"] | {name: limit | {"value": limit["value"] * times}}
    return rulebook.checked(named_anew(RAW | {"limits": limits}))


def listed(family: str) -> list[str]:
    """Name the explanations whose priors stand in schemas/facts."""
    table = json.loads((rulebook.SCHEMAS / f"facts/wirings-{family}.json").read_text(encoding="utf-8"))
    return [entry["id"] for entry in table["entries"]]


@pytest.mark.parametrize("family", ["three-wire", "split-phase"])
def test_ten_times_a_prior_or_a_tenth_of_it_moves_only_the_verdicts_listed_here(family: str) -> None:
    found = {
        (family, wiring, times, case)
        for wiring in listed(family)
        for times in TIMES
        for case in moved(with_prior(family, wiring, times), family)
    }

    by_rest = {entry for entry in found if entry[:3] in AT_REST and is_at_rest(*entry[1:])}
    assert found - by_rest == {entry for entry in MOVED if entry[0] == family} - by_rest


def is_at_rest(wiring: str, times: float, name: str) -> bool:
    """Tell whether a case's neutral stands at the ground, and the prior moves it to a further test alone."""
    check = next(case["check"] for case in CASES if case["name"] == name)
    rests = check.get("volts", {}).get("n-g", 9.0) <= 1.0 and "loaded" not in check
    return rests and assess(check, with_prior("three-wire", wiring, times))["verdict"] == "test-more"


@pytest.mark.parametrize("name", OWN_CHOICES)
def test_a_threshold_of_our_own_choice_a_fifth_off_moves_no_verdict_but_those_listed_here(name: str) -> None:
    found = {(name, times, case) for times in (1.2, 0.8) for case in moved(with_limit(name, times))}

    assert found == {entry for entry in MOVED_BY_CHOICES if entry[0] == name}


def test_every_exception_has_its_reason() -> None:
    reasons = [*MOVED.values(), *MOVED_BY_CHOICES.values()]

    assert all(len(reason.split()) >= 5 for reason in reasons)
