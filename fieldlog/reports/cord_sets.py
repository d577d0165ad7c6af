"""How a rig's cords, extensions and adapters stand: number, last test, last look, and when each is due."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fieldlog.model.bodies import LOOK
from fieldlog.model.due_items import DueItem, Standing
from fieldlog.model.rig import Chain, CordSet, Rig
from fieldlog.reports.looks import BadPoint
from fieldlog.words.kinds import kind_name
from fieldlog.words.wording import UNITS, begun

NEVER: Final = "never tested"
OUT_OF_USE: Final = "out of use: found bad, until it is mended, looked at and every conductor shown"
RETIRED: Final = "gone for good"
BEFORE_FIRST_USE: Final = "never tested: test it before first use"


@dataclass(frozen=True)
class SetLine:
    """A cord set with its last results; `current` is the id of the record that a correction would correct."""

    id: str
    current: str
    name: str
    type: str
    number: str
    result: str
    day: str
    looked: str
    due: str
    is_due: bool
    is_retired: bool
    note: str
    bad: tuple[str, ...] = ()


def set_lines(rig: Rig, owed: Sequence[DueItem], bad: Sequence[BadPoint]) -> tuple[SetLine, ...]:
    """Give every cord set of a rig, those that are gone for good last."""
    due = {item.thing.subject: item for item in owed if item.thing.what in ("set", "set-fixed")}
    ordered = sorted(rig.sets, key=lambda each: each.is_retired)
    return tuple(_line(rig, each, due, bad) for each in ordered)


def due_words(item: DueItem) -> str:
    """Say when a cord set is due, in a few words."""
    if item.standing is Standing.FAILED:
        return OUT_OF_USE
    return BEFORE_FIRST_USE if item.standing is Standing.NEVER else item.words


def _line(rig: Rig, cord_set: CordSet, due: Mapping[str | None, DueItem], bad: Sequence[BadPoint]) -> SetLine:
    body, item = cord_set.chain.body, due.get(cord_set.id)
    looks = [look for look in rig.newest(LOOK) if rig.thing(look.entry.record.subject) is cord_set]
    last = next((look for look in looks if look.body["of"] == "set"), None)
    looked = next((look for look in looks if look.body["of"] == "set-look"), None)
    return SetLine(
        id=cord_set.id,
        current=cord_set.chain.entry.record.id,
        name=cord_set.name,
        type=begun(kind_name(body["type"])),
        number=str(body["number"]),
        result=NEVER if last is None else result_words(last),
        day="" if last is None else last.day,
        looked="never noted" if looked is None else looked.day,
        due=begun(RETIRED if item is None else due_words(item)),
        is_due=item is not None and item.is_due,
        is_retired=cord_set.is_retired,
        note=str(body["note"]),
        bad=tuple(f"{each.day}: {each.sentence}" for each in bad if each.subject == cord_set.id),
    )


def result_words(look: Chain) -> str:
    """Say what a test of a cord set came to."""
    points, missing = look.body["points"], len(look.body["not_tested"])
    wrong = sum(outcome == "bad" for outcome in points.values())
    told = f"{wrong} of {len(points) + missing} bad" if wrong else "every conductor good"
    if missing and not wrong:
        told = f"{missing} of {len(points) + missing} not looked at"
    ohms = look.body.get("ohms")
    return told if ohms is None else f"{told}, ground {ohms.replace('ohm', UNITS['ohm'])}"
