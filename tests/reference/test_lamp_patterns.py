"""The three-lamp table: every pattern with its full set of candidates.

Source: nodal analysis of each fault with three equal lamps, hot-neutral, hot-ground, neutral-ground,
redone by hand (lit about 120 V, dark about 0 V, two lamps in series 60 V each). That four wirings share
the pattern of right wiring, one of them deadly, and that a hot and ground swap is most often an open
neutral with something plugged in: common practice. UL 1436 scope: such testers do not judge the quality
of a ground.
"""

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load

LOOSE_JOINTS = {"high-resistance-hot", "high-resistance-neutral"}


def candidates(h_n: str, h_g: str, n_g: str) -> set[str]:
    answer = assess({"outlet": "TT-30", "lamps": {"h-n": h_n, "h-g": h_g, "n-g": n_g}}, load())
    likely = {fault["id"] for fault in answer["faults"] if fault["probability"] >= 0.05}
    return (likely | set(answer["not_ruled_out"])) - LOOSE_JOINTS


@pytest.mark.parametrize(
    ("lit", "expected"),
    [
        (
            {"h-n", "h-g"},
            {"correct", "neutral-ground-reversed", "neutral-ground-bonded", "reversed-with-bonded-ground"},
        ),
        # Of two hots 208 V apart at a low supply, two neon lamps in series get 80 V each and may not strike.
        ({"h-n"}, {"open-ground", "floating-supply", "open-ground-and-reversed", "two-hots-open-ground"}),
        ({"h-g"}, {"open-neutral"}),
        ({"h-g", "n-g"}, {"hot-ground-reversed", "same-hot-twice", "open-neutral-with-load"}),
        ({"h-n", "n-g"}, {"hot-neutral-reversed", "leaking-appliance", "ground-joined-to-hot"}),
        ({"n-g"}, {"open-hot-and-reversed"}),
        ({"h-n", "h-g", "n-g"}, {"two-hots", "two-hots-open-ground"}),
        (set(), {"dead", "open-hot", "open-neutral-and-ground"}),
    ],
)
def test_a_pattern_names_every_wiring_that_shows_it(lit: set[str], expected: set[str]) -> None:
    states = {pair: "lit" if pair in lit else "dark" for pair in ("h-n", "h-g", "n-g")}

    assert candidates(states["h-n"], states["h-g"], states["n-g"]) == expected


def test_half_lit_lamps_beside_a_lit_one_are_an_open_ground_first() -> None:
    answer = assess({"outlet": "TT-30", "lamps": {"h-n": "lit", "h-g": "dim", "n-g": "dim"}}, load())

    assert answer["faults"][0]["id"] == "open-ground"


def test_lamps_never_tell_the_polarity_behind_an_open_ground() -> None:
    assert {"open-ground", "open-ground-and-reversed"} <= candidates("lit", "dark", "dark")


def test_dark_lamps_do_not_mean_dead() -> None:
    answer = assess({"outlet": "TT-30", "lamps": {"h-n": "dark", "h-g": "dark", "n-g": "dark"}}, load())

    assert "open-neutral-and-ground" in answer["not_ruled_out"]
    assert answer["verdict"] == "do-not-use"


def test_three_lit_lamps_are_twice_the_volts_and_never_use() -> None:
    answer = assess({"outlet": "TT-30", "lamps": {"h-n": "lit", "h-g": "lit", "n-g": "lit"}}, load())

    assert answer["faults"][0]["id"] == "two-hots"
    assert answer["verdict"] == "do-not-use"
