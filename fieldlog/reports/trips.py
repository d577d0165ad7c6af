"""What a trip test shows: its answers in words, and the findings of the assessment."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fieldlog.engine import assess
from fieldlog.model.bodies import BodyTripTest
from fieldlog.model.measured import measured
from fieldlog.model.rig import Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.words.readings import trip_words
from fieldlog.words.wording import step_words

_ANSWERS = ("tripped", "face_dead", "reset")
_MEASURED = {"milliseconds": "ms", "milliamps": "mA"}

# What an assessment of nothing but a trip test also says, of looks and loads, is not about the device.
_OF_TRIPS = (
    "trip-failed",
    "face-live-after-trip",
    "reset-failed",
    "trip-inconclusive",
    "trip-slow",
    "face-not-read",
)


@dataclass(frozen=True)
class TripResult:
    """The result of a trip test.

    Parameters
    ----------
    answers : str
        What was seen, in a row; unanswered questions are said to be not tested.
    stops, notes : tuple of str
        Sentences of the findings: those that forbid use, and the others.
    is_tested : bool
        Whether the device was seen to trip or not to trip.
    """

    answers: str
    stops: tuple[str, ...]
    notes: tuple[str, ...]
    is_tested: bool


def trip_result(trip: BodyTripTest, rulebook: Rulebook) -> TripResult:
    """Judge the body of a trip test."""
    findings = _findings(trip, rulebook)
    return TripResult(
        answers=trip_words(trip),
        stops=tuple(sentence for level, sentence in findings if level == "stop"),
        notes=tuple(sentence for level, sentence in findings if level != "stop"),
        is_tested=trip["tripped"] is not None,
    )


def left_out(rig: Rig, trip: BodyTripTest) -> tuple[str, ...]:
    """Give in words what a trip test left out: its steps, and the outlets that nobody looked at."""
    steps = [step for step in trip["not_tested"] if step != "outlets"]
    seen = (*trip["dead"], *trip["live"])
    unseen = [f"“{outlet.name}”" for outlet in rig.outlets if outlet.id not in seen]
    if "outlets" in trip["not_tested"]:
        return tuple(step_words(step) for step in (*steps, "outlets"))
    return (*(step_words(step) for step in steps), *unseen)


def _findings(trip: Mapping[str, Any], rulebook: Rulebook) -> list[tuple[str, str]]:
    answered = {key: trip[key] for key in _ANSWERS if trip[key] is not None}
    # A breaker that was opened by hand shows nothing of a ground-fault device.
    if not answered or trip["by"] == "hand":
        return []
    answered |= {key: measured(trip[key], unit) for key, unit in _MEASURED.items() if key in trip}
    # The kind of outlet plays no part in judging a trip test, but an assessment is always of an outlet.
    check = {"outlet": "5-20", "where": "rig", "trip": [{"by": trip["by"], "device": "this", **answered}]}
    words = rulebook.raw["words"]["findings"]
    found = assess(check, rulebook)["findings"]
    return [(each["level"], words[each["id"]]["sentence"]) for each in found if each["id"] in _OF_TRIPS]
