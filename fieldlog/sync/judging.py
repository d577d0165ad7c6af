"""Judges a record's readings again here, and notices where that differs from what was judged on the phone."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from fieldlog.engine import assess, verdict_and_first
from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.measured import check_input
from fieldlog.model.record import Flag, Record
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.clock import CLOCK_TOLERANCE, clock_words
from fieldlog.words.naming import explanation_name, verdict_name


@dataclass(frozen=True)
class SendingTimes:
    """When something arrived by the clock here, and when it was sent by that of the phone, if it told."""

    received_at: datetime
    sent_at: datetime | None = None

    @property
    def clock_offset_ms(self) -> int | None:
        """Give how far the clock here was ahead of the phone's, in whole milliseconds."""
        return (
            None if self.sent_at is None else (self.received_at - self.sent_at) // timedelta(milliseconds=1)
        )

    @property
    def clock_offset_s(self) -> float | None:
        """Give how far the clock here was ahead of the phone's."""
        return None if self.clock_offset_ms is None else self.clock_offset_ms / 1000


@dataclass(frozen=True)
class Assessment:
    """The answer to a record's readings, or the reason why there is none."""

    answer: dict[str, Any] | None
    reason: str | None = None


def judge(record: Record, rulebook: Rulebook | FieldlogError) -> Assessment:
    """Judge the readings of a check; whatever goes wrong gives a reason and no verdict."""
    return _judged_by(assess, record, rulebook)


def _judged_by(
    way: Callable[[Any, Rulebook], dict[str, Any]], record: Record, rulebook: Rulebook | FieldlogError
) -> Assessment:
    if isinstance(rulebook, FieldlogError):
        return Assessment(None, str(rulebook))
    try:
        return Assessment(way(check_input(record.body["check"]), rulebook))
    except BadInput as error:
        return Assessment(None, " ".join(p.problem for p in error.problems))
    except FieldlogError as error:
        return Assessment(None, str(error))


def flags_of(record: Record, rulebook: Rulebook | FieldlogError, arrival: SendingTimes) -> Iterator[Flag]:
    """Give what is to be noticed about a record on its arrival."""
    yield from _clock_flags(record, arrival)
    if record.is_check:
        yield from _judgement_flags(record, rulebook)


def _clock_flags(record: Record, arrival: SendingTimes) -> Iterator[Flag]:
    differs = clock_words(arrival.clock_offset_s)
    if differs is not None:
        yield Flag("clock-differs", f"The phone’s clock was {differs} when it sent this record.")
    elif record.observed - arrival.received_at > CLOCK_TOLERANCE:
        yield Flag(
            "clock-differs", f"The record says {record.observed_at}, which had not come yet when it arrived."
        )


def _judgement(check: Any, rulebook: Rulebook) -> dict[str, Any]:
    """Give what a phone would record of its judgement."""
    verdict, first = verdict_and_first(check, rulebook)
    return {"verdict": verdict, "first": first, "rulebook": rulebook.id}


def _judgement_flags(record: Record, rulebook: Rulebook | FieldlogError) -> Iterator[Flag]:
    said = record.body["judgement"]
    try:
        judged = _judged_by(_judgement, record, rulebook)
    except Exception:  # the record must be kept whatever the assessment does; the flag tells
        judged = Assessment(None, "The assessment failed here.")
    if judged.answer is None:
        yield Flag("cannot-judge", f"It could not be judged here: {judged.reason}")
        return
    if judged.answer["rulebook"] != said["rulebook"]:
        yield Flag(
            "rulebook-differs",
            f"The phone judged by {said['rulebook']}, here {judged.answer['rulebook']} holds.",
        )
    yield from _differences(said, judged.answer, record.body["check"]["outlet"], rulebook)


def _differences(
    said: Mapping[str, Any], answer: Mapping[str, Any], outlet: str, rulebook: Rulebook | FieldlogError
) -> Iterator[Flag]:
    if isinstance(rulebook, FieldlogError):
        return
    if answer["verdict"] != said["verdict"]:
        there, here = (verdict_name(one["verdict"], rulebook) for one in (said, answer))
        yield Flag("verdict-differs", f"The phone said “{there}”; judged here it is “{here}”.")
        return
    first = answer["first"]
    # Under one rulebook both sides compute the same to the last bit; under two, this would tell nothing new.
    if first != said["first"] and answer["rulebook"] == said["rulebook"]:
        there, here = (explanation_name(one, outlet, rulebook) for one in (said["first"], first))
        yield Flag("explanation-differs", f"The phone put “{there}” first; judged here it is “{here}”.")
