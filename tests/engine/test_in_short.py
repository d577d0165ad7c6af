"""The verdict and the first explanation alone are those of the whole answer."""

import random
from collections.abc import Callable
from typing import Any

from fieldlog.engine import assess, verdict_and_first
from fieldlog.errors import BadInput
from fieldlog.rulebook import load
from tests.drawn_checks import drawn_checks, limit_checks

SEED = 7


def in_full(check: dict[str, Any]) -> tuple[str, str | None]:
    """Take the two out of the whole answer."""
    answer = assess(check, load())
    return answer["verdict"], answer["faults"][0]["id"] if answer["faults"] else None


def in_short(check: dict[str, Any]) -> tuple[str, str | None]:
    """Ask for the two alone."""
    return verdict_and_first(check, load())


def said(act: Callable[[dict[str, Any]], object], check: dict[str, Any]) -> object:
    """Give the answer, or every problem."""
    try:
        return act(check)
    except BadInput as error:
        return list(error.problems)


def test_drawn_checks_get_the_same_verdict_and_first_explanation() -> None:
    checks = list(drawn_checks(random.Random(SEED), 240))

    told = [said(in_short, check) for check in checks]

    assert told == [said(in_full, check) for check in checks]
    assert len({one[0] for one in told if isinstance(one, tuple)}) == 4


def test_checks_at_each_limit_get_the_same_verdict_and_first_explanation() -> None:
    checks = list(limit_checks())[::5]

    assert [said(in_short, check) for check in checks] == [said(in_full, check) for check in checks]
