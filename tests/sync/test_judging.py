"""Judging a record again on the server."""

from typing import Any

import pytest

from fieldlog import rulebook
from fieldlog.errors import RulebookDamaged
from fieldlog.model.record import Record
from fieldlog.sync.judging import flags_of, judge
from tests.builders import NOON, a_check, a_judgement, a_trip_test, an_arrival_check, an_id, an_outlet_test

REVERSED = {"h-n": "121.3 V", "h-g": "0.4 V", "n-g": "121.0 V"}


def record_of(check: dict[str, Any] | None = None, verdict: str = "use", by: str | None = None) -> Record:
    """Give an arrival check whose phone judged by a rulebook, the newest if none is named."""
    sent = an_arrival_check(check)
    sent["body"]["judgement"] = a_judgement(verdict, by or rulebook.load().id)
    return Record.from_json(sent)


def names(record: Record) -> list[str]:
    """Give the names of a record's flags."""
    return [flag.flag for flag in flags_of(record, rulebook.load(), NOON)]


def test_where_phone_and_server_agree_nothing_is_flagged() -> None:
    assert names(record_of()) == []


@pytest.mark.parametrize("verdict", ["use-limited", "test-more", "do-not-use"])
def test_another_verdict_is_flagged_with_both(verdict: str) -> None:
    flags = list(flags_of(record_of(verdict=verdict), rulebook.load(), NOON))

    assert [flag.flag for flag in flags] == ["verdict-differs"]
    assert flags[0].detail == f"The phone said {verdict}; judged here it is use."


def test_a_phone_that_calls_a_dangerous_outlet_usable_is_flagged() -> None:
    assert names(record_of(a_check(volts=REVERSED))) == ["verdict-differs"]


def test_another_rulebook_is_flagged() -> None:
    assert names(record_of(by="sha256:" + "1" * 64)) == ["rulebook-differs"]


def test_a_damaged_rulebook_judges_nothing_and_is_flagged() -> None:
    damaged = RulebookDamaged("its content does not match its id.")

    assert [flag.flag for flag in flags_of(record_of(), damaged, NOON)] == ["cannot-judge"]
    assert judge(record_of(), damaged).answer is None


def test_readings_that_the_assessment_refuses_are_flagged() -> None:
    flags = list(flags_of(record_of(a_check(volts={"x-y": "240 V"})), rulebook.load(), NOON))

    assert [flag.flag for flag in flags] == ["cannot-judge"]
    assert flags[0].detail.startswith("It could not be judged here: ")


def test_an_assessment_that_breaks_down_never_loses_the_record() -> None:
    class Broken:
        id = "sha256:" + "0" * 64

    flags = list(flags_of(record_of(), Broken(), NOON))  # type: ignore[arg-type]  # what is broken has no right type

    assert [flag.flag for flag in flags] == ["cannot-judge"]


def test_outlet_tests_are_judged_and_trip_tests_are_not() -> None:
    outlet_test = Record.from_json(an_outlet_test(an_id(), an_id(), a_check(where="rig", volts=REVERSED)))

    assert "verdict-differs" in names(outlet_test)
    assert names(Record.from_json(a_trip_test(an_id(), an_id()))) == []
