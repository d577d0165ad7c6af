"""What looks at a rig found: what stands bad until a later look finds it good."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldlog.kinds.look import name_of_look
from fieldlog.model.bodies import LOOK, BodyLook
from fieldlog.model.rig import Chain, Rig

_Key = tuple[str | None, str]


@dataclass(frozen=True)
class BadPoint:
    """A point that the newest look at it found bad; subject is the outlet or device, where one is named.

    `of` is what was looked at: outlet, cord, inlet, skin, alarms, surge, set or set-look.
    """

    subject: str | None
    name: str
    day: str
    is_grave: bool
    sentence: str
    of: str = ""


def bad_points(rig: Rig, rules: Sequence[Mapping[str, Any]]) -> tuple[BadPoint, ...]:
    """Give what stands bad by the entries of schemas/facts/looks.json.

    A later look that leaves a point out settles nothing about it.
    """
    newest: dict[_Key, Chain[BodyLook]] = {}
    for look in rig.newest(LOOK):
        subject = _thing(rig, look)
        for point in look.body["points"]:
            newest.setdefault((subject, str(point)), look)
    return tuple(_bad_points(rig, newest, {str(rule["id"]): rule for rule in rules}))


def ends_of(rig: Rig) -> dict[str, str]:
    """Give the newest noted end of each alarm and of the fire extinguisher."""
    found: dict[str, str] = {}
    for look in reversed(rig.newest(LOOK)):
        found |= look.body.get("ends", {})
    return found


def _bad_points(
    rig: Rig, newest: Mapping[_Key, Chain[BodyLook]], rules: Mapping[str, Mapping[str, Any]]
) -> Iterator[BadPoint]:
    for (subject, point), look in newest.items():
        if look.body["points"][point] == "bad":
            rule = rules.get(point, {"level": "stop", "bad": f"{point} was found bad."})
            is_grave, sentence = rule["level"] == "stop", str(rule["bad"])
            yield BadPoint(subject, name_of_look(rig, look), look.day, is_grave, sentence, look.body["of"])


def _thing(rig: Rig, look: Chain) -> str | None:
    """Give the first id of what was looked at: a look may name a later version of it."""
    thing = rig.thing(look.entry.record.subject)
    return look.entry.record.subject if thing is None else thing.id
