"""A trip test: a ground-fault device is made to trip, and what goes dead with it is noted."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.kinds import cord_sets
from fieldlog.kinds.forms import FormReading, these, yes_no
from fieldlog.kinds.kind import NOT_NOTED, Extent, Glossary, Kind, Log, counted, named, noted
from fieldlog.kinds.rules import not_tested_once, subject_is, values_in_range
from fieldlog.model.bodies import BodyTripTest
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain
from fieldlog.words.lines import Line
from fieldlog.words.readings import trip_words

_SAYS: Final = ("by", "tripped", "face_dead", "reset", "mode")
# A device that was too slow once speaks against it, whatever it took since.
_MEASURED: Final = ("milliseconds", "milliamps")


def _lines(body: BodyTripTest, known: Glossary) -> Iterator[Line]:
    yield Line("Trip test", trip_words(body))
    yield Line("Went dead", named(body["dead"], known.names))
    yield Line("Stayed live", named(body["live"], known.names))
    if "mode" in body:
        yield Line("Mode of the rig", body["mode"] or NOT_NOTED)


def _in_short(body: BodyTripTest, _known: Glossary) -> str:
    """Say how it came out, with all that speaks against the device."""
    word = {True: "Tripped", False: "Did not trip", None: "Trip not tested"}[body["tripped"]]
    stayed = "its own face stayed live" if body["face_dead"] is False else ""
    held = "did not reset" if body["reset"] is False else ""
    return ", ".join(each for each in (word, stayed, held) if each)


def _values(record: Record[BodyTripTest]) -> Iterator[Problem]:
    yield from values_in_range("/body", record.body)


def _time_to_trip(record: Record[BodyTripTest]) -> Iterator[Problem]:
    if "milliseconds" in record.body and record.body["tripped"] is not True:
        yield Problem("/body/milliseconds", "What did not trip has no time to trip; correct one of the two.")


def _steps_done(body: BodyTripTest) -> Iterator[str]:
    yield from (name for name in ("tripped", "face_dead", "reset") if body.get(name) is not None)
    if body.get("dead") or body.get("live"):
        yield "outlets"


def _outlets_of_the_rig(record: Record[BodyTripTest], log: Log) -> Iterator[Problem]:
    for side in ("dead", "live"):
        for i, outlet in enumerate(record.body[side]):
            if not log.has_thing(outlet, "outlet", record.rig):
                yield Problem(
                    f"/body/{side}/{i}", "This outlet is not one of this rig; send its record first."
                )
            elif side == "live" and outlet in record.body["dead"]:
                yield Problem(
                    f"/body/live/{i}", "This outlet is listed as dead and as live; keep one of them."
                )


def _says(body: BodyTripTest) -> Mapping[str, Any]:
    return {name: body.get(name) for name in (*_SAYS, *_MEASURED)} | {
        side: sorted(body[side]) for side in ("dead", "live")
    }


def _in_years(trips: Sequence[Chain[BodyTripTest]]) -> str:
    bodies = [trip.body for trip in trips]
    failed = sum(False in (body["tripped"], body["face_dead"], body["reset"]) for body in bodies)
    return (
        f"{counted(len(trips), 'trip test', 'trip tests')} of devices; at {failed or 'none'} of them "
        "the device stayed on, its face stayed live or it did not reset."
    )


KIND: Final[Kind[BodyTripTest]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(
        yes_no("tripped", "Did it trip?"),
        yes_no("face_dead", "Did its own face go dead?"),
        yes_no("reset", "Did it reset?"),
        FormReading(("milliseconds",), "Time to trip, ms", "ms", is_optional=True),
        FormReading(("milliamps",), "Fault current, mA", "mA", is_optional=True),
    ),
    rules=(_values, _time_to_trip, not_tested_once(_steps_done)),
    log_rules=(
        subject_is("device"),
        _outlets_of_the_rig,
        cord_sets.guards_nothing(lambda record: [("/subject", record.subject)]),
    ),
    extent=Extent.NEWEST,
    says=_says,
    is_in_history=True,
    in_years=_in_years,
)
