"""The forms of one part of the map: a new one, another word about it, and its removal."""

from collections.abc import Iterator
from typing import Any, Final

from flask_wtf import FlaskForm
from wtforms import BooleanField, HiddenField, RadioField, SelectField, StringField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, InputRequired, Length, Optional, ValidationError

from fieldlog.model.outlets import AMPS_OF
from fieldlog.model.part_kinds import OUTLETS, PLUGS
from fieldlog.model.rig import Rig
from fieldlog.web.rig_map.desk import Desk, MapForm
from fieldlog.web.rig_map.edits import Body, Member, beyond, feeds_of, has_sides
from fieldlog.web.rig_map.fields import (
    CORD_SETS,
    LEGS,
    NONE_OF_THEM,
    OUTLET_TYPES,
    SIDES,
    amount,
    choice,
    gauge,
    length,
    name,
    one_of,
    places,
    power,
    rating,
    reason,
    stripped,
    text_of,
)
from fieldlog.words.kinds import GUARDS, PARTS
from fieldlog.words.wording import begun

"""What a plug fits in: its rating is that of its face, and it is an outlet of the rig."""
WITHOUT_RATING: Final = (*PLUGS, "junction", "relay")
NOTHING: Final = "nothing."
"""Fed by nothing on the map; no part can have such an id."""
FEED_NEEDED: Final = "Say what feeds it, or that nothing on the map does."
SIDE_NEEDED: Final = "Say from which of its two sides."
OF_BREAKERS: Final = ("leg", "shares_neutral", "tied")
OF_APPLIANCES: Final = ("watts", "continuous")
_WAYS: Final = {"to-feed": "Feed them from what feeds it now"}
_OF_DEVICES: Final = {"gfci-breaker": "breaker", "breaker": "breaker"}


class FirstForm(FlaskForm):
    """What a new part is, and what feeds it: all other questions follow from these two."""

    kind = choice("What is it?", {kind: begun(name) for kind, name in PARTS.items()})
    start = SelectField("Fed from which part?", [InputRequired(FEED_NEEDED)], validate_choice=False)
    known = SelectField("Is it on your list already?", [Optional()], validate_choice=False)

    class Meta:
        """It keeps nothing, so it needs no token."""

        csrf = False

    def offer(self, desk: Desk) -> None:
        """Offer the map's parts as feeds, and what of the list is not on the map."""
        self.start.choices = starts(desk.body)
        self.known.choices = [
            SelectChoice("", "no, it is new"),
            *(SelectChoice(*each) for each in listed(desk).items()),
        ]


class PartForm(MapForm):
    """A part with the wire that feeds it."""

    name = name()
    amps = rating()
    outlet_type = choice("Which outlet is it?", OUTLET_TYPES)
    gfci = choice(f"Is it a {GUARDS['gfci-breaker']}, with a TEST button?", {"yes": "yes", "no": "no"})
    where = places()
    bonded = BooleanField("Neutral and ground are joined here")
    watts = power()
    continuous = BooleanField("It runs for three hours and more at a time")
    leg = one_of("On which leg of a supply with two hots?", LEGS)
    shares_neutral = SelectField("Which other breaker shares its neutral?", validate_choice=False)
    tied = one_of("Are these two handles tied?", {"yes": "yes, they open together", "no": "no"})
    start = SelectField("Fed from which part?", [InputRequired(FEED_NEEDED)], validate_choice=False)
    side = RadioField(
        "From which of its sides?",
        [Optional(), AnyOf(["", *SIDES], message=NONE_OF_THEM)],
        choices=[SelectChoice(*each) for each in SIDES.items()],
        validate_choice=False,
    )
    side_of = HiddenField()
    awg = gauge()
    feet = length()
    cord = one_of("Is it a cord set?", CORD_SETS, "no, or not known")
    note = StringField("Note", [Length(max=200, message="Shorten it to 200 characters.")], filters=[stripped])

    def ask(self, kind: str, body: Body, part_id: str | None = None) -> None:
        """Leave only the questions that make sense of such a part; what hangs on it cannot feed it."""
        left_out = {
            "amps": kind in WITHOUT_RATING,
            "outlet_type": kind not in PLUGS,
            "gfci": kind != "breaker",
            "where": kind not in OUTLETS,
            **dict.fromkeys(OF_APPLIANCES, kind != "appliance"),
            **dict.fromkeys(OF_BREAKERS, kind != "breaker"),
        }
        for each in (each for each, is_out in left_out.items() if is_out):
            delattr(self, each)
        self.start.choices = starts(body, part_id)
        if "shares_neutral" in self:
            others = [each for each in body["parts"] if each["kind"] == "breaker" and each["id"] != part_id]
            named = (SelectChoice(each["id"], each["name"]) for each in others)
            self.shares_neutral.choices = [SelectChoice("", "none, or not known"), *named]

    def validate_shares_neutral(self, field: Any) -> None:
        """Refuse what is no other breaker of the map."""
        if field.data not in [each.value for each in field.choices]:
            raise ValidationError(NONE_OF_THEM)

    def agrees_with(self, body: Body, part_id: str | None = None) -> bool:
        """Hold the feed against the map: a part of it, and a side where it has two."""
        if self.start.data not in possible_feeds(body, part_id):
            self.start.errors = [NONE_OF_THEM]
        elif has_sides(body, self.start.data) and not self._is_side_said():
            self.side.errors = [SIDE_NEEDED]
            if self.side.data in _sides_noted(body, part_id):
                self.side.data = None  # it was shown as chosen, of the feed before; another was chosen here
        return not self.start.errors and not self.side.errors

    def _is_side_said(self) -> bool:
        """Say whether a side is chosen, and not that of the feed that was named before."""
        asked_of = self.side_of.data or self.start.data
        return bool(self.side.data) and asked_of == self.start.data

    def part(self, was: Body) -> Member:
        """Give the part as the form says."""
        said: Member = {**was, "name": self.name.data, "note": self.note.data or ""}
        if "outlet_type" in self:
            said |= {"outlet_type": self.outlet_type.data, "amps": AMPS_OF[str(self.outlet_type.data)]}
        if "amps" in self:
            said["amps"] = amount(self.amps)
        if "gfci" in self:
            said["gfci"] = self.gfci.data == "yes"
        if "where" in self:
            said["where"] = list(self.where.data or [])
        if "bonded" in self:
            said["bonded"] = bool(self.bonded.data)
        told = {member: value for member, value in self._details() if value is not None or member in was}
        if "continuous" in self and (self.continuous.data or "continuous" in was):
            told["continuous"] = bool(self.continuous.data)
        return said | told

    def _details(self) -> Iterator[tuple[str, Any]]:
        """Give what only some parts are asked; a map that says nothing of it stays without it."""
        if "watts" in self:
            yield "watts", amount(self.watts)
        if "leg" in self:
            yield "leg", self.leg.data or None
            yield "shares_neutral", self.shares_neutral.data or None
            yield "tied", {"yes": True, "no": False}.get(str(self.tied.data))

    def feed(self, body: Body, part_id: str) -> Member | None:
        """Give the run that feeds the part, None where nothing does."""
        if self.start.data == NOTHING:
            return None
        side = self.side.data if has_sides(body, self.start.data) else "line"
        awg = self.awg.data
        return {
            "from": self.start.data,
            "to": part_id,
            "from_side": side,
            "awg": int(awg) if awg else None,
            "feet": amount(self.feet),
            **({"cord": self.cord.data} if self.cord.data else {}),
        }


class NewPartForm(PartForm):
    """A new part."""

    kind = HiddenField(validators=[AnyOf(list(PARTS), message=NONE_OF_THEM)])
    known = HiddenField()

    def ask(self, kind: str, body: Body, part_id: str | None = None) -> None:
        """Leave only the questions about a new part; a join of neutral and ground is noted later."""
        super().ask(kind, body, part_id)
        del self.bonded


def _sides_noted(body: Body, part_id: str | None) -> list[str]:
    runs = [body["runs"][at] for at in feeds_of(body, part_id or "")]
    return [run.get("from_side") or "line" for run in runs if has_sides(body, run["from"])]


class ChangedPartForm(PartForm):
    """Another word about a part, and why."""

    reason = reason()

    def ask(self, kind: str, body: Body, part_id: str | None = None) -> None:
        """Leave only the questions about this part; several feeds are changed in the table."""
        super().ask(kind, body, part_id)
        del self.gfci
        if len(feeds_of(body, part_id or "")) > 1:
            for each in ("start", "side", "side_of", "awg", "feet", "cord"):
                delattr(self, each)

    def show(self, part: Body, run: Body | None, is_sided: bool) -> None:
        """Fill in what is noted; a feed without sides says nothing of the side of another one."""
        told = {"name": part["name"], "note": part.get("note") or "", "bonded": part.get("bonded", False)}
        told |= {"amps": text_of(part.get("amps")), "outlet_type": part.get("outlet_type")}
        told |= {"where": part.get("where") or [], "start": NOTHING}
        tied = {None: "", True: "yes", False: "no"}[part.get("tied")]
        told |= {"watts": text_of(part.get("watts")), "continuous": bool(part.get("continuous"))}
        told |= {
            "leg": part.get("leg") or "",
            "shares_neutral": part.get("shares_neutral") or "",
            "tied": tied,
        }
        if run is not None:
            told |= {"cord": run.get("cord") or ""}
            told |= {"start": run["from"], "side": (run.get("from_side") or "line") if is_sided else None}
            told |= {"awg": text_of(run.get("awg")), "feet": text_of(run.get("feet"))}
        for each in self:
            if each.name in told:
                each.data = told[each.name]


class RemovalForm(MapForm):
    """The removal of a part, and why."""

    children = RadioField(
        "What becomes of what hangs on it?",
        [InputRequired("Say what becomes of what hangs on it."), AnyOf(list(_WAYS), message=NONE_OF_THEM)],
        choices=[SelectChoice(*each) for each in _WAYS.items()],
        validate_choice=False,
    )
    reason = reason()


def starts(body: Body, part_id: str | None = None) -> list[Any]:
    """Give the parts that may feed one: all but itself and what hangs on it."""
    return [
        SelectChoice("", "choose one"),
        *(SelectChoice(*each) for each in possible_feeds(body, part_id).items()),
    ]


def possible_feeds(body: Body, part_id: str | None = None) -> dict[str, str]:
    """Give the names of the parts that may feed one, by id."""
    out = beyond(body, part_id) if part_id else set()
    found = {part["id"]: str(part["name"]) for part in body["parts"] if part["id"] not in out}
    return {**found, NOTHING: "nothing: power comes in here, or it is not known"}


def listed(desk: Desk) -> dict[str, str]:
    """Give the names of the outlets and devices of the list that are not on the map, by id."""
    there = {part.get(kind) for part in desk.body["parts"] for kind in ("outlet", "device")}
    things = {outlet.id: outlet.name for outlet in desk.rig.outlets}
    things |= {device.id: device.name for device in desk.rig.devices}
    return {thing: name for thing, name in things.items() if thing not in there}


def kinds_of_listed(rig: Rig, thing_id: str) -> tuple[str, ...]:
    """Give the kinds of parts that an outlet or a device of the list can be."""
    device = rig.device(thing_id)
    if device is None:
        return PLUGS
    kind = str(device.chain.body["type"])
    return (_OF_DEVICES.get(kind, kind),)
