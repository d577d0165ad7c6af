"""A plan: what was to run together, the volts worked out for it, and what was read of it later."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.kinds.forms import NOTE, FormReading
from fieldlog.kinds.kind import NOT_NOTED, NOTHING_KNOWN, Body, Extent, Glossary, Kind, noted
from fieldlog.kinds.paper import Listing, SectionLine, head_of
from fieldlog.model.bodies import (
    BodyPlan,
    BodyPlanLoads,
    BodyPlanPlanned,
    BodyPlanRead,
    BodyPlanSecondPlanned,
    BodyPlanSecondRead,
)
from fieldlog.model.rig import Chain, Rig
from fieldlog.words.lines import Line

_SUPPLIES: Final = {"utility": "shore power", "generator": "generator", "inverter": "battery and inverter"}
_LEGS: Final = {"x": "leg X", "y": "leg Y", "both": "between the hots"}


def _lines(body: BodyPlan, _known: Glossary) -> Iterator[Line]:
    """Give what was planned, and beside it what was read."""
    yield Line("To run together", _names([_on_its_leg(load) for load in body["loads"]]))
    yield Line("To stay off", _names(body["off"]))
    yield Line("Fed by", f"{_SUPPLIES[body['supply']]}, {_opened(body)}{_where_from(body)}")
    cords = [f"{cord['awg']} AWG, {cord['feet']:g} ft" for cord in body["cords"]]
    yield Line("Cords", "; ".join(cords) or NOT_NOTED)
    yield Line("Planned at the rig", planned_volts(body))
    within = "within" if body["planned"]["fits"] else "above"
    yield Line("Planned amps", f"{_planned_amps(body)}, {within} the limits")
    yield Line("Read at the rig later", ". ".join(_reads(body)) or "not read")
    yield Line("Note", body["note"] or NOT_NOTED)


def _on_its_leg(load: BodyPlanLoads) -> str:
    return f"{load['name']} ({_LEGS[load['leg']]})" if "leg" in load else load["name"]


def _opened(body: BodyPlan) -> str:
    if "second" not in body:
        return f"{body['open']} with nothing on"
    second = body["second"]
    between = f", {second['between']} between them" if second["between"] else ""
    return f"{body['open']} on leg X and {second['open']} on leg Y{between}, with nothing on"


def planned_volts(body: BodyPlan) -> str:
    """Give the volts planned at the rig with what they may be off by, leg by leg where both were planned."""
    of_one = _with_spread(body["planned"])
    if "second" not in body:
        return of_one
    return f"leg X {of_one}; leg Y {_with_spread(body['second']['planned'])}"


def _with_spread(planned: BodyPlanPlanned | BodyPlanSecondPlanned) -> str:
    return f"{planned['volts']} ({planned['least']} to {planned['most']})"


def _planned_amps(body: BodyPlan) -> str:
    of_one = body["planned"]["amps"]
    if "second" not in body:
        return of_one
    other = body["second"]["planned"]
    return f"leg X {of_one}, leg Y {other['amps']}, the neutral {other['neutral']}"


def _reads(body: BodyPlan) -> Iterator[str]:
    """Give what was read later, leg by leg where both were planned."""
    if "second" not in body:
        if body["read"] is not None:
            yield _said_of(body["read"])
        return
    for leg, read in (("X", body["read"]), ("Y", body["second"]["read"])):
        yield f"Leg {leg} {_said_of(read) if read else 'not read'}"


def _said_of(read: BodyPlanRead | BodyPlanSecondRead) -> str:
    at_outlet = f"; at the outlet {read['outlet']}" if read["outlet"] else ""
    return f"{read['volts']} at {read['amps']}{at_outlet}"


def _where_from(body: BodyPlan) -> str:
    return "" if body["is_read"] else ", not read here: as typed or assumed"


def _names(names: Sequence[str]) -> str:
    return ", ".join(names) or "nothing"


def _in_short(body: BodyPlan, _known: Glossary) -> str:
    names = _names([load["name"] for load in body["loads"]])
    of_one = _short_of(body["planned"]["volts"], body["read"])
    if "second" not in body:
        return f"{names}: {of_one}"
    second = body["second"]
    return f"{names}: leg X {of_one}; leg Y {_short_of(second['planned']['volts'], second['read'])}"


def _short_of(planned: str, read: BodyPlanRead | BodyPlanSecondRead | None) -> str:
    later = f", read {read['volts']}" if read else ""
    return f"planned {planned}{later}"


def _readings(body: BodyPlan) -> Iterator[FormReading]:
    is_both = "second" in body
    if body["read"] is not None:
        yield FormReading(("read", "volts"), "Read on leg X" if is_both else "Read at the rig", unit="V")
        yield FormReading(("read", "amps"), "At", unit="A")
    if is_both and body["second"]["read"] is not None:
        yield FormReading(("second", "read", "volts"), "Read on leg Y", unit="V")
        yield FormReading(("second", "read", "amps"), "At, on leg Y", unit="A")
    yield NOTE


def _says(body: Body) -> Mapping[str, Any]:
    """Tell plans apart; what was kept of one leg says what it always said."""
    return {name: body.get(name) for name in ("loads", "planned", "read")} | {
        name: body[name] for name in ("second",) if name in body
    }


def _on_paper(_rig: Rig, plan: Chain[BodyPlan]) -> SectionLine:
    return SectionLine(head_of(plan), f"{_in_short(plan.body, NOTHING_KNOWN)}.")


KIND: Final[Kind[BodyPlan]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=_readings,
    extent=Extent.ALONE,
    says=_says,
    is_in_history=True,
    listing=Listing(title="Planned loads", place=20, line=_on_paper),
)
