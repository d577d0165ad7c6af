"""Old verdicts beside what today's rules say of the same readings."""

import json
from typing import Any

import pytest

from fieldlog.reports.again import SecondJudgement, judged_again, told_again
from fieldlog.rulebook import load
from tests.builders import a_check, an_arrival_check
from tests.repository import ROOT

CASES = json.loads((ROOT / "tests/cases/judged-again.json").read_text(encoding="utf-8"))
REVERSED = {"h-n": "120.0 V", "h-g": "0.3 V", "n-g": "120.0 V"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['said']}-{case['now']}")
def test_only_what_stood_as_usable_can_be_worse_now(case: dict[str, Any]) -> None:
    assert SecondJudgement(case["said"], None, case["now"]).is_worse is case["is_worse"]


def test_what_today_s_rules_cannot_judge_is_worse_and_says_why() -> None:
    body = an_arrival_check(check=a_check(outlet="9-99"))["body"]

    again = judged_again(body, load())

    assert again is not None and again.is_worse and again.verdict is None
    assert told_again(again, "TT-30", load()).startswith(
        "It said use; by today’s rules it cannot be judged: "
    )


def test_what_today_s_rulebook_judged_is_not_judged_again() -> None:
    body = an_arrival_check(check=a_check(volts=REVERSED))["body"]
    body["judgement"]["rulebook"] = load().id

    assert judged_again(body, load()) is None


def test_the_same_verdict_for_another_reason_says_both_reasons() -> None:
    book = load()
    again = SecondJudgement("do-not-use", "open-ground", "do-not-use", "hot-neutral-reversed")

    told = told_again(again, "5-15", book)

    names = book.raw["words"]["explanations"]
    for identity in ("open-ground", "hot-neutral-reversed"):
        assert names[identity]["name"] in told
