"""An arrival check: the outlet of a site is read before anything is plugged in."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds import checks
from fieldlog.kinds.forms import Reading
from fieldlog.kinds.kind import Kept, Kind
from fieldlog.model.bodies import BodyArrivalCheck


def _readings(body: BodyArrivalCheck) -> Iterator[Reading]:
    yield Reading(("place", "park"), "Campground")
    yield Reading(("place", "site"), "Site")
    yield from checks.readings(body)


KIND: Final[Kind[BodyArrivalCheck]] = Kind(
    parts=checks.parts,
    in_short=checks.in_short,
    readings=_readings,
    rules=(*checks.RULES, checks.LAST_RULE),
    kept=Kept.NEWEST,
    tidy=checks.tidy,
    is_in_history=True,
)
