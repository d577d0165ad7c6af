"""Laws that hold for every outlet."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.engine import assess
from fieldlog.rulebook import load

volts = st.integers(0, 2600).map(lambda tenths: tenths / 10)
readings = st.fixed_dictionaries({}, optional=dict.fromkeys(("h-n", "h-g", "n-g", "n-e", "g-e"), volts))
lamps = st.fixed_dictionaries(
    {}, optional={pair: st.sampled_from(["lit", "dim", "dark"]) for pair in ("h-n", "h-g", "n-g")}
)
checks = st.fixed_dictionaries(
    {
        "outlet": st.sampled_from(["5-15", "5-20", "TT-30"]),
        "volts": readings,
        "lamps": lamps,
        "look": st.just([]),
    },
    optional={"supply": st.sampled_from(["utility", "generator", "inverter"])},
)


@settings(max_examples=150, deadline=None)
@given(checks)
def test_probabilities_sum_to_one_and_come_best_first(check: dict[str, Any]) -> None:
    faults = assess(check, load())["faults"]

    if check["volts"] or check["lamps"]:
        shares = [fault["probability"] for fault in faults]
        assert abs(sum(shares) - 1.0) <= 1e-12
        assert shares == sorted(shares, reverse=True)
        assert all(0.0 <= share <= 1.0 for share in shares)
    else:
        assert faults == []


@settings(max_examples=100, deadline=None)
@given(checks, st.sampled_from(["burned", "wet", "warm", "buzzing", "tingle", "breaker-will-not-hold"]))
def test_a_stop_sign_is_never_outweighed(check: dict[str, Any], sign: str) -> None:
    assert assess({**check, "look": [sign]}, load())["verdict"] == "do-not-use"


@settings(max_examples=100, deadline=None)
@given(checks)
def test_without_three_pairs_nothing_is_used(check: dict[str, Any]) -> None:
    pairs = ("h-n", "h-g", "n-g")
    is_whole = any(all(pair in check[part] for pair in pairs) for part in ("volts", "lamps"))

    verdict = assess(check, load())["verdict"]

    assert is_whole or verdict in ("test-more", "do-not-use")


@settings(max_examples=100, deadline=None)
@given(checks, st.floats(0.0, 3.0))
def test_a_frequency_changes_no_explanation(check: dict[str, Any], off: float) -> None:
    with_hertz = assess({**check, "hertz": 60.0 + off}, load())

    assert with_hertz["faults"] == assess(check, load())["faults"]


@settings(max_examples=60, deadline=None)
@given(checks)
def test_the_next_test_is_never_one_that_was_made(check: dict[str, Any]) -> None:
    answer = assess(check, load())
    pairs = ("h-n", "h-g", "n-g")

    if answer["next_test"] is not None:
        assert not (answer["next_test"]["id"] == "meter" and all(pair in check["volts"] for pair in pairs))
        assert not (answer["next_test"]["id"] == "lamps" and all(pair in check["lamps"] for pair in pairs))
