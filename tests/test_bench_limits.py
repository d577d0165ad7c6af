"""What a promise in ms allows on a slower machine, and what a wish does not do."""

import pytest

from tests import bench
from tests.bench_rows import Limit, Promise, Row, timed
from tests.calibration import THERE, Taken, page_loop

PROMISE = Promise(most_ms=100)


def a_row(ms: float, loop: str = "Python", slower: float = 1, promise: Promise = PROMISE) -> Row:
    """Give a row of one run on a machine so many times slower than the one that promises are made for."""
    return timed("a thing", Taken((ms,), (slower * THERE[loop],)), loop, promise, has_goal=False)


@pytest.mark.parametrize("loop", ["Python", "Node", page_loop(1), page_loop(4)])
def test_twice_the_promised_ms_hold_on_a_machine_twice_as_slow_and_fail_on_the_promised_one(
    loop: str,
) -> None:
    slow, promised = a_row(199, loop, slower=2), a_row(199, loop)

    assert slow.goals({}) == ["held: at most 200 ms here, 100 ms there"]
    assert promised.goals({}) == ["FAILS: at most 100 ms here, 100 ms there"]
    assert list(bench.failing([slow, promised], {})) == ["a thing"]


def test_a_machine_twice_as_fast_is_allowed_half() -> None:
    assert a_row(51, slower=0.5).goals({}) == ["FAILS: at most 50 ms here, 100 ms there"]
    assert a_row(49, slower=0.5).goals({}) == ["held: at most 50 ms here, 100 ms there"]


def test_what_the_network_takes_is_the_same_on_a_slow_machine() -> None:
    promise = Promise(most_ms=100, network_ms=60)

    assert a_row(141, slower=2, promise=promise).goals({}) == ["FAILS: at most 140 ms here, 100 ms there"]
    assert a_row(139, slower=2, promise=promise).goals({}) == ["held: at most 140 ms here, 100 ms there"]


def test_the_middle_of_several_looks_at_the_machine_counts() -> None:
    looks = [slower * THERE["Node"] for slower in (9, 2, 0.1)]

    assert PROMISE.allowed_ms("Node", looks) == pytest.approx(200)


def test_a_wish_that_is_missed_fails_nothing_and_a_limit_does() -> None:
    def rate(limit: Limit) -> Row:
        return Row("a rate", [0.3], "times", limits=[limit])

    assert list(bench.failing([rate(Limit(least=0.5, is_wish=True))], {})) == []
    assert list(bench.failing([rate(Limit(least=0.5))], {})) == ["a rate"]
