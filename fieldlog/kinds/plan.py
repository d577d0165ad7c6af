"""A plan: what was to run together, the volts worked out for it, and what was read of it later."""

from collections.abc import Iterator, Sequence
from typing import Final

from fieldlog.kinds.forms import NOTE, FormReading
from fieldlog.kinds.kind import NOT_NOTED, NOTHING_KNOWN, Extent, Glossary, Kind, noted, said_by
from fieldlog.kinds.paper import Listing, SectionLine, head_of
from fieldlog.model.bodies import BodyPlan
from fieldlog.model.rig import Chain, Rig
from fieldlog.words.lines import Line

_SUPPLIES: Final = {"utility": "shore power", "generator": "generator", "inverter": "battery and inverter"}


def _lines(body: BodyPlan, _known: Glossary) -> Iterator[Line]:
    """Give what was planned, and beside it what was read."""
    planned, read = body["planned"], body["read"]
    yield Line("To run together", _names([load["name"] for load in body["loads"]]))
    yield Line("To stay off", _names(body["off"]))
    yield Line("Fed by", f"{_SUPPLIES[body['supply']]}, {body['open']} with nothing on{_where_from(body)}")
    cords = [f"{cord['awg']} AWG, {cord['feet']:g} ft" for cord in body["cords"]]
    yield Line("Cords", "; ".join(cords) or NOT_NOTED)
    yield Line("Planned at the rig", f"{planned['volts']} ({planned['least']} to {planned['most']})")
    yield Line("Planned amps", f"{planned['amps']}, {'within' if planned['fits'] else 'above'} the limits")
    if read is None:
        yield Line("Read at the rig later", "not read")
    else:
        at_outlet = f"; at the outlet {read['outlet']}" if read["outlet"] else ""
        yield Line("Read at the rig later", f"{read['volts']} at {read['amps']}{at_outlet}")
    yield Line("Note", body["note"] or NOT_NOTED)


def _where_from(body: BodyPlan) -> str:
    return "" if body["is_read"] else ", not read here: as typed or assumed"


def _names(names: Sequence[str]) -> str:
    return ", ".join(names) or "nothing"


def _in_short(body: BodyPlan, _known: Glossary) -> str:
    planned, read = body["planned"]["volts"], body["read"]
    later = f", read {read['volts']}" if read else ""
    return f"{_names([load['name'] for load in body['loads']])}: planned {planned}{later}"


def _readings(body: BodyPlan) -> Iterator[FormReading]:
    if body["read"] is not None:
        yield FormReading(("read", "volts"), "Read at the rig", unit="V")
        yield FormReading(("read", "amps"), "At", unit="A")
    yield NOTE


def _on_paper(_rig: Rig, plan: Chain[BodyPlan]) -> SectionLine:
    return SectionLine(head_of(plan), f"{_in_short(plan.body, NOTHING_KNOWN)}.")


KIND: Final[Kind[BodyPlan]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=_readings,
    extent=Extent.ALONE,
    says=said_by("loads", "planned", "read"),
    is_in_history=True,
    listing=Listing(title="Planned loads", place=20, line=_on_paper),
)
