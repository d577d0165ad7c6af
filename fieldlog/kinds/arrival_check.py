"""An arrival check: the outlet of a site is read before anything is plugged in."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds import checks
from fieldlog.kinds.forms import FormReading
from fieldlog.kinds.kind import Extent, Kind
from fieldlog.model.bodies import BodyArrivalCheck


def _readings(body: BodyArrivalCheck) -> Iterator[FormReading]:
    yield FormReading(("place", "park"), "Campground")
    yield FormReading(("place", "site"), "Site")
    yield from checks.readings(body)


KIND: Final[Kind[BodyArrivalCheck]] = Kind(
    parts=checks.parts,
    in_short=checks.in_short,
    readings=_readings,
    rules=(*checks.RULES, checks.LAST_RULE),
    extent=Extent.NEWEST,
    tidy=checks.tidy,
    is_in_history=True,
)
