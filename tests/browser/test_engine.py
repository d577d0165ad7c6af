"""The engine in a real browser answers as Python does, to the last bit."""

import random

import pytest

from tests.browser.phone import Phone
from tests.engine.test_twins import answer, drawn_checks, limit_checks

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


def test_chromium_answers_as_python_does(phone: Phone) -> None:
    seed = 23
    print(f"seed {seed}")
    checks = [*limit_checks(), *drawn_checks(random.Random(seed), 600)]
    phone.open("/arrive")

    answers = phone.page.evaluate(JUDGE, checks)

    assert len(answers) == len(checks)
    for check, theirs in zip(checks, answers, strict=True):
        assert answer(check).decode() == theirs, check
