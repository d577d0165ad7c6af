"""A rig: its first record names it and begins its log."""

from collections.abc import Iterator, Mapping
from typing import Final

from fieldlog.kinds.forms import NAME, NOTE, FormReading, these
from fieldlog.kinds.kind import NOT_NOTED, Extent, Glossary, Kind, name_in_short, noted
from fieldlog.model.bodies import BodyRig
from fieldlog.words.lines import Line

ASSURED: Final = (("", "no"), ("3", "every 3 months"), ("6", "every 6 months"))
MONTHS: Final[Mapping[str, int | None]] = {"": None, "3": 3, "6": 6}


def _lines(body: BodyRig, _known: Glossary) -> Iterator[Line]:
    yield Line("Name", body["name"])
    yield Line("Its own plug fits", body["outlet"])
    if body.get("assured_months"):
        often = f"every {body['assured_months']} months"
        yield Line("Ground shown by the assured grounding manner", often)
    if starts := body.get("season_starts"):
        yield Line("Season starts", starts)
    if body.get("assured_by"):
        yield Line("Tests of the ground kept by", body["assured_by"])
    yield Line("Identification number ends in", body.get("plate_ends") or NOT_NOTED)
    yield Line("Model year", body.get("year") or NOT_NOTED)
    yield Line("Permits and invoices", body.get("papers") or NOT_NOTED)
    yield Line("Meter, serial number, calibration", body.get("tested_with") or NOT_NOTED)
    yield Line("Note", body["note"] or NOT_NOTED)


KIND: Final[Kind[BodyRig]] = Kind(
    parts=noted(_lines),
    in_short=name_in_short,
    readings=these(
        NAME,
        FormReading(
            ("assured_months",),
            "Show the ground by the assured grounding manner?",
            choices=ASSURED,
            is_optional=True,
            values=MONTHS,
        ),
        FormReading(("assured_by",), "Who keeps the tests of the ground?", is_optional=True),
        FormReading(("season_starts",), "On which day does your season start, as 04-01", is_optional=True),
        FormReading(
            ("plate_ends",), "Last six signs of the identification number, as A12345", is_optional=True
        ),
        FormReading(("year",), "Model year on the plate, as 1998", is_optional=True),
        FormReading(("papers",), "Permits and invoices: what, when, where you keep them", is_optional=True),
        FormReading(
            ("tested_with",), "Your meter, its serial number, when it was calibrated", is_optional=True
        ),
        NOTE,
    ),
    extent=Extent.ALL,
    begins_a_rig=True,
)
