"""What the readings leave open, and which test settles it.

The twin is static/js/check/settling.js; both are tested from tests/cases/settling.json.
"""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.reports.shown import SETTLES_FROM, STANDS_FROM

_NO_EARTH: Final = ("earth-not-proved", "earth-dead")


@dataclass(frozen=True)
class Remainder:
    """What cannot be ruled out, the tests that settle it, and whether such a one was made and did not."""

    left: tuple[str, ...]
    by: tuple[str, ...]
    was_made: bool


def left_open(
    answer: Mapping[str, Any],
    family: Mapping[str, Any],
    *,
    supply: str = "utility",
    where: str = "pedestal",
    made: Collection[str] = (),
) -> Remainder:
    """Give what is open; where some of it makes a test dangerous, only that.

    A reading to an earth that was not proved is no test that was made.
    """
    if any(finding["id"] in _NO_EARTH for finding in answer["findings"]):
        made = set(made) - {"earth"}
    first = answer["faults"][0]["id"] if answer["faults"] else "correct"
    likely = (each["id"] for each in answer["faults"] if each["probability"] >= STANDS_FROM)
    standing = [
        id for id in dict.fromkeys((*answer["not_ruled_out"], *likely)) if id not in (first, "correct")
    ]
    fit = [test for test in family["tests"] if supply in test["supplies"] and where in test["places"]]
    dangers = [id for id in standing if any(id in test["dangerous_under"] for test in fit)]
    left = dangers or list(answer["not_ruled_out"])
    open_ = [test for test in fit if not set(test["dangerous_under"]) & set(standing)]
    ids = [wiring["id"] for wiring in family["wirings"]]
    tellers = [_best({first, explanation}, open_, ids) for explanation in left]
    unmade = [best for best in tellers if best and not set(best) & set(made)]
    return Remainder(tuple(left), tuple(_fewest(unmade)), any(set(best) & set(made) for best in tellers))


def made_in(check: Mapping[str, Any]) -> set[str]:
    """Name the tests that a check's readings stand for."""
    sets = [check, *check.get("more", [])]
    pairs = [pair for each in sets for pair in each.get("volts") or {}]
    joined = "n-g" in check.get("continuity", {})
    made = {
        "detector": "g" in check.get("near", {}),
        "lamps": any(each.get("lamps") for each in sets),
        "meter": any(not pair.endswith("-e") for pair in pairs),
        "low-impedance": any(
            each.get("volts") and each.get("meter", {}).get("input") == "low-impedance" for each in sets
        ),
        "earth": any(pair.endswith("-e") for pair in pairs),
        "load": any(each.get("loaded") for each in sets),
        "frame-continuity": "g-frame" in check.get("continuity", {}),
        "neutral-continuity": joined,
        "rig-bond": joined,
        "upstream-hold": any(each.get("device") == "upstream" for each in check.get("trip", [])),
    }
    return {test for test, is_made in made.items() if is_made}


def _best(two: set[str], tests: Sequence[Mapping[str, Any]], ids: Sequence[str]) -> list[str]:
    """Name the tests that tell two wirings apart best, and surely enough."""
    if not two <= set(ids):
        return []
    one, other = sorted(ids.index(id) for id in two)
    surely = [next((how for a, b, how in test["separates"] if (a, b) == (one, other)), 0) for test in tests]
    most = max(surely, default=0)
    if most < SETTLES_FROM:
        return []
    return [test["id"] for test, how in zip(tests, surely, strict=True) if how == most]


def _fewest(tellers: Sequence[Sequence[str]]) -> list[str]:
    """Name few tests that do for all explanations."""
    if not tellers:
        return []
    best = Counter(test for tests in tellers for test in tests).most_common(1)[0][0]
    return [best, *_fewest([tests for tests in tellers if best not in tests])]
