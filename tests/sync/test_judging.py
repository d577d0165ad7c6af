"""Judging a record again on the server."""

from typing import Any

import pytest

from fieldlog import rulebook
from fieldlog.errors import RulebookDamaged
from fieldlog.model.record import Record
from fieldlog.sync.judging import SendingTimes, flags_of, judge
from fieldlog.sync.rules import problems_by_itself
from fieldlog.sync.shape import problems_of_shape
from tests.builders import (
    NOON,
    a_14_50_check,
    a_check,
    a_floating_generator,
    a_full_check,
    a_judgement,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_outlet_test,
)

REVERSED = {"h-n": "121.3 V", "h-g": "0.4 V", "n-g": "121.0 V"}


def record_of(check: dict[str, Any] | None = None, verdict: str = "use", by: str | None = None) -> Record:
    """Give an arrival check whose phone judged by a rulebook, the newest if none is named."""
    sent = an_arrival_check(check)
    sent["body"]["judgement"] = a_judgement(verdict, by or rulebook.load().id)
    return Record.from_json(sent)


def names(record: Record) -> list[str]:
    """Give the names of a record's flags."""
    return [flag.flag for flag in flags_of(record, rulebook.load(), SendingTimes(NOON))]


def test_where_phone_and_server_agree_nothing_is_flagged() -> None:
    assert names(record_of()) == []


@pytest.mark.parametrize("verdict", ["use-limited", "test-more", "do-not-use"])
def test_another_verdict_is_flagged_with_both(verdict: str) -> None:
    flags = list(flags_of(record_of(verdict=verdict), rulebook.load(), SendingTimes(NOON)))

    assert [flag.flag for flag in flags] == ["verdict-differs"]
    word = rulebook.load().raw["words"]["verdicts"][verdict]["word"]
    assert flags[0].detail == f"The phone said “{word}”; judged here it is “Use”."


def test_a_phone_that_calls_a_dangerous_outlet_usable_is_flagged() -> None:
    assert names(record_of(a_check(volts=REVERSED))) == ["verdict-differs"]


def test_another_rulebook_is_flagged() -> None:
    assert names(record_of(by="sha256:" + "1" * 64)) == ["rulebook-differs"]


def test_a_damaged_rulebook_judges_nothing_and_is_flagged() -> None:
    damaged = RulebookDamaged("its content does not match its id.")

    assert [flag.flag for flag in flags_of(record_of(), damaged, SendingTimes(NOON))] == ["cannot-judge"]
    assert judge(record_of(), damaged).answer is None


def test_readings_that_the_assessment_refuses_are_flagged() -> None:
    flags = list(flags_of(record_of(a_check(volts={"x-y": "240 V"})), rulebook.load(), SendingTimes(NOON)))

    assert [flag.flag for flag in flags] == ["cannot-judge"]
    assert flags[0].detail.startswith("It could not be judged here: ")


def test_an_assessment_that_breaks_down_never_loses_the_record() -> None:
    class Broken:
        id = "sha256:" + "0" * 64

    flags = list(flags_of(record_of(), Broken(), SendingTimes(NOON)))  # type: ignore[arg-type]  # what is broken has no right type

    assert [flag.flag for flag in flags] == ["cannot-judge"]


def test_outlet_tests_are_judged_and_trip_tests_are_not() -> None:
    outlet_test = Record.from_json(an_outlet_test(an_id(), an_id(), a_check(where="rig", volts=REVERSED)))

    assert "verdict-differs" in names(outlet_test)
    assert names(Record.from_json(a_trip_test(an_id(), an_id()))) == []


def flags_of_check(check: dict[str, Any]) -> list[str]:
    """Give the names of the flags of a check whose phone judged as is judged here."""
    record = record_of(check)
    answer = judge(record, rulebook.load()).answer
    assert answer is not None
    record.body["judgement"].update(verdict=answer["verdict"], first=answer["faults"][0]["id"])
    return names(record)


@pytest.mark.parametrize("check", [a_full_check(), a_14_50_check(), a_floating_generator()])
def test_every_kind_of_reading_is_judged_again(check: dict[str, Any]) -> None:
    assert flags_of_check(check) == []


def test_a_load_on_a_14_50_gives_its_ohms() -> None:
    """Ohm's law by hand: (122.0 - 117.2) V / 12.2 A in the loop, (2.6 - 0.5) V / 12.2 A in the neutral."""
    answer = judge(record_of(a_14_50_check()), rulebook.load()).answer

    assert answer is not None
    assert answer["supply"]["across"] == "x-n"
    assert answer["supply"]["ohms"] == pytest.approx(4.8 / 12.2)
    assert answer["supply"]["neutral_ohms"] == pytest.approx(2.1 / 12.2)


def test_a_dangerous_further_set_is_flagged() -> None:
    """Common practice: a breaker that is off leaves nothing live behind it."""
    live = {"state": "breaker-off", "lamps": {"h-n": "lit"}}

    assert names(record_of(a_check(more=[live]))) == ["verdict-differs"]


def test_another_first_explanation_under_the_same_rulebook_is_flagged_by_name() -> None:
    record = record_of()
    record.body["judgement"]["first"] = "high-resistance-hot"

    flags = list(flags_of(record, rulebook.load(), SendingTimes(NOON)))

    explanations = rulebook.load().raw["words"]["explanations"]
    assert [flag.flag for flag in flags] == ["explanation-differs"]
    assert flags[0].detail == (
        f"The phone put “{explanations['high-resistance-hot']['name']}” first; "
        f"judged here it is “{explanations['correct']['name']}”."
    )


def test_a_record_from_before_further_readings_is_judged_as_ever() -> None:
    """A record as phones made it when three volts, lamps, a look and trip tests were all that was noted."""
    old = Record.from_json(
        {
            "id": "01a21293-b600-7abc-8000-0000000000aa",
            "kind": "arrival-check",
            "rig": None,
            "subject": None,
            "observed_at": "2026-11-20T10:31:07.123+01:00",
            "made_by": "Kim",
            "instrument": None,
            "body": {
                "place": {"park": "Alder Bend", "site": "12"},
                "check": {
                    "outlet": "5-20",
                    "supply": "utility",
                    "where": "pedestal",
                    "volts": {"h-n": "121.3 V", "h-g": "0.4 V", "n-g": "121.0 V"},
                    "meter": {
                        "input": "high-impedance",
                        "accuracy_percent": "1.0 %",
                        "accuracy_volts": "0.3 V",
                    },
                    "trip": [{"by": "button", "device": "this", "tripped": True}],
                },
                "ready": {"dry": True, "meter_proved": True, "category": None},
                "not_tested": ["look"],
                "judgement": {
                    "verdict": "do-not-use",
                    "rulebook": rulebook.load().id,
                    "first": "hot-neutral-reversed",
                },
            },
            "corrects": None,
            "reason": None,
        }
    )

    assert problems_of_shape(old.as_json()) == []
    assert problems_by_itself(old) == []
    assert names(old) == []
