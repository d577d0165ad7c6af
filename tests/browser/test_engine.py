"""The engine in a real browser answers as Python does, to the last bit."""

import random
from typing import Any

import pytest

from tests.browser.phone import Phone
from tests.drawn_checks import drawn_checks, limit_checks
from tests.engine.test_twins import answer, simulated_checks

pytestmark = pytest.mark.browser

JUDGE = """async (checks) => {
  const { assess } = await import("/static/js/engine/assess.js");
  const { canonical } = await import("/static/js/engine/canonical.js");
  const rulebook = await (await fetch("/rulebook.json")).json();
  const judged = (check) => {
    try {
      return assess(check, rulebook);
    } catch (error) {
      if (!error.problems) throw error;
      return { problems: error.problems };
    }
  };
  return checks.map((check) => canonical(judged(check)));
}"""


def assert_chromium_agrees(phone: Phone, checks: list[dict[str, Any]]) -> None:
    answers = phone.page.evaluate(JUDGE, checks)

    assert len(answers) == len(checks)
    for check, theirs in zip(checks, answers, strict=True):
        assert answer(check).decode() == theirs, check


def test_chromium_answers_as_python_does(phone: Phone) -> None:
    seed = 23
    print(f"seed {seed}")
    rng = random.Random(seed)
    phone.open("/arrive")

    assert_chromium_agrees(phone, list(limit_checks()))
    assert_chromium_agrees(phone, [*drawn_checks(rng, 150), *simulated_checks(rng, 100)])


@pytest.mark.deep
def test_chromium_answers_a_hundred_thousand_as_python_does(phone: Phone) -> None:
    seed = 24
    print(f"seed {seed}, 100,000 outlets")
    rng = random.Random(seed)
    phone.open("/arrive")

    for _ in range(50):
        assert_chromium_agrees(phone, [*drawn_checks(rng, 1600), *simulated_checks(rng, 400)])
