"""How much is known of each thing of a rig today: its last test and its age, what is open and clears it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from typing import Final

from fieldlog.model.due_items import DueItem, Standing
from fieldlog.model.rig import Chain, Device, Outlet, Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.open_points import OpenPoint, PointPlace, place_of
from fieldlog.reports.trips import trip_result
from fieldlog.words.naming import ending

FORBIDDEN: Final = "do-not-use"
_DAYS_TOLD, _MONTHS_TOLD = 60, 24
"""Own choices: from here on an age is told in months, and in years."""
_WORDS: Final = {
    "never": "Never tested",
    "struck": "Not known: something happened since",
    "changed": "Not known: its wiring was changed since",
    "aged": "Not known any more: tested too long ago",
    "worse": "Judged worse by today’s rules",
}
_OF_LOOKS: Final = {"never": "Never looked at", "aged": "Not known any more: looked at too long ago"}


class HealthState(StrEnum):
    """How a thing is known; only what is KNOWN may show what its last test said."""

    KNOWN = "known"
    FAILED = "failed"
    WORSE = "worse"
    STRUCK = "struck"
    NEVER = "never"
    CHANGED = "changed"
    AGED = "aged"


@dataclass(frozen=True)
class Health:
    """One thing of a rig as it is known today.

    words tell its state, verdict is that of a check where it still stands; said is the day and result of its
    last test, of an outlet only where that stands no more; last is the day of its last test and age how long
    ago that was, next when it is due; points is what is open of it.
    """

    place: PointPlace
    name: str
    state: HealthState
    words: str
    verdict: str = ""
    said: str = ""
    last: str = ""
    age: str = ""
    next: str = ""
    is_due: bool = True
    points: tuple[OpenPoint, ...] = ()

    @property
    def shorts(self) -> tuple[str, ...]:
        """Give in short what is open beside its state."""
        return tuple(dict.fromkeys(point.short for point in self.points if point.short))

    @property
    def is_grave(self) -> bool:
        """Say whether it is to be read at once: it failed, is judged worse, or something happened."""
        return self.state in (HealthState.FAILED, HealthState.WORSE, HealthState.STRUCK)

    @property
    def is_good(self) -> bool:
        """Say whether it is known, nothing forbids it, and nothing is open."""
        return self.state is HealthState.KNOWN and not self.is_due and not self.points


def health_of(
    rig: Rig, rulebook: Rulebook, today: date, owed: Sequence[DueItem], points: Sequence[OpenPoint]
) -> tuple[Health, ...]:
    """Say of each outlet, each device, and what is looked at in a round, how it is known."""
    asked = _Basis(rulebook, today, owed, points)
    return (
        *(asked.outlet(each) for each in rig.outlets),
        *(asked.device(each) for each in rig.devices if each.is_guard),
        *(asked.look(item) for item in owed if item.thing.subject is None and place_of(item).what == "look"),
    )


def age_words(day: date, today: date) -> str:
    """Say how long ago a day was.

    Examples
    --------
    >>> [age_words(day, date(2026, 11, 30)) for day in (date(2026, 11, 30), date(2026, 11, 29))]
    ['today', 'yesterday']
    >>> days = date(2026, 10, 2), date(2026, 9, 1), date(2024, 1, 5)
    >>> [age_words(day, date(2026, 11, 30)) for day in days]
    ['59 days ago', '2 months ago', '2 years ago']
    """
    days = (today - day).days
    if days < 0:
        return "dated ahead"
    if days < 2:
        return ("today", "yesterday")[days]
    months = (today.year - day.year) * 12 + today.month - day.month - (today.day < day.day)
    if days < _DAYS_TOLD:
        return f"{days} days ago"
    return f"{months} months ago" if months < _MONTHS_TOLD else f"{months // 12} years ago"


@dataclass(frozen=True)
class _Basis:
    """What is asked of all things alike."""

    rulebook: Rulebook
    today: date
    owed: Sequence[DueItem]
    points: Sequence[OpenPoint]

    def outlet(self, outlet: Outlet) -> Health:
        """Give an outlet; what its last test said stands only while it is known."""
        item, own = self._item("outlet", outlet.id), self._own(outlet.id)
        body = None if outlet.last_test is None else outlet.last_test.body
        verdict = "" if body is None else str(body["judgement"]["verdict"])
        result = "" if body is None else ending(body, self.rulebook)
        state = HealthState.FAILED if verdict == FORBIDDEN else _state(item, own)
        stands = state is HealthState.KNOWN or verdict == FORBIDDEN
        words = result if stands else _WORDS.get(state, "Do not use")
        shown = FORBIDDEN if state is HealthState.FAILED else verdict if stands else ""
        about = Health(PointPlace("outlet", outlet.id), outlet.name, state, words)
        return self._dated(
            replace(about, verdict=shown, said="" if stands else _said(outlet.last_test, result), points=own),
            item,
        )

    def device(self, device: Device) -> Health:
        """Give a ground-fault device by its own TEST."""
        item, own = self._item("device", device.id), self._own(device.id)
        state, last = _state(item, own), device.last_trip
        words = "Trips and resets" if state is HealthState.KNOWN else _WORDS.get(state, "Does not work")
        result = "" if last is None else trip_result(last.body, self.rulebook).answers
        about = Health(
            PointPlace("device", device.id), device.name, state, words, said=_said(last, result), points=own
        )
        return self._dated(about, item)

    def look(self, item: DueItem) -> Health:
        """Give what a round looks at that is neither outlet nor device."""
        place = place_of(item)
        looked_at = {place, PointPlace("look", "inlet")} if place.id == "cord" else {place}
        own = tuple(each for each in self.points if each.at in looked_at)
        state = _state(item, own)
        words = "Looked at" if state is HealthState.KNOWN else {**_WORDS, **_OF_LOOKS}.get(state, "Found bad")
        return self._dated(Health(place, item.thing.name, state, words, points=own), item)

    def _item(self, what: str, subject: str) -> DueItem | None:
        found = (each for each in self.owed if (each.thing.what, each.thing.subject) == (what, subject))
        return next(found, None)

    def _own(self, subject: str) -> tuple[OpenPoint, ...]:
        return tuple(each for each in self.points if each.at.id == subject)

    def _dated(self, about: Health, item: DueItem | None) -> Health:
        if item is None:
            return about
        last = "" if item.thing.last is None else item.thing.last.isoformat()
        age = "" if item.thing.last is None else age_words(item.thing.last, self.today)
        return replace(about, last=last, age=age, next=item.words, is_due=item.is_due)


def _said(last: Chain | None, result: str) -> str:
    return "" if last is None else f"{last.at.date().isoformat()}: {result}"


def _state(item: DueItem | None, own: Iterable[OpenPoint]) -> HealthState:
    """Give the gravest that speaks against a thing; without anything that comes round it was never tested."""
    kinds = {point.kind for point in own if point.is_grave}
    if item is None:
        return HealthState.NEVER
    if kinds & {"does not work", "bad when looked at"} or item.standing is Standing.FAILED:
        return HealthState.FAILED
    if "judged worse by today’s rules" in kinds:
        return HealthState.WORSE
    if item.struck is not None:
        return HealthState.STRUCK
    if item.thing.last is None:
        return HealthState.NEVER if item.standing is Standing.NEVER else HealthState.CHANGED
    if item.standing is Standing.OVERDUE:
        return HealthState.CHANGED if item.rule == "after-change" else HealthState.AGED
    return HealthState.KNOWN
