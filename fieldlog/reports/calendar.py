"""What of a rig is due, as an iCalendar file: all-day entries that come round until the test is made."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Final

from icalendar import Alarm, Calendar, Event, Timezone, TimezoneStandard

from fieldlog.model.due import days_after
from fieldlog.model.due_items import DueItem, season_after
from fieldlog.words.wording import begun

LOOKED_AT: Final = ("cord", "outlet-look", "surge")
TIMES = 12
"""How often an entry comes round in the file; the feed is made anew each time it is fetched. Own choice."""
SEASON: Final = "The season begins: test what was not tested since"


@dataclass(frozen=True)
class RigDues:
    """What of a rig is due, and the month and day on which its owner's season begins."""

    rig: str
    name: str
    items: Sequence[DueItem]
    season: str | None = None


def calendar(
    rigs: Iterable[RigDues],
    rules: Iterable[Mapping[str, Any]],
    *,
    made_at: datetime,
    today: date,
) -> bytes:
    """Give an iCalendar file of what is due.

    What is overdue or was never tested stands on today; the day on which a season begins stands by itself.
    """
    known = {str(rule["id"]): rule for rule in rules}
    found = Calendar()
    found.add("version", "2.0")
    found.add("prodid", "-//Fieldlog//Tests that come round//EN")
    found.add("x-wr-calname", "Tests that come round")
    for owed in rigs:
        for item in owed.items:
            event = _event(owed.name, item, known, made_at, today)
            event.add("uid", f"{item.thing.what}-{item.thing.subject or owed.rig}@fieldlog.invalid")
            found.add_component(event)
        for event in _season(owed, made_at, today):
            found.add_component(event)
    if not found.subcomponents:
        found.add_component(_utc())  # RFC 5545, section 3.6: one or more components
    text: bytes = found.to_ical()
    return text


def _utc() -> Timezone:
    """Give a component that says nothing of anybody."""
    standard = TimezoneStandard()
    standard.add("dtstart", datetime(1970, 1, 1))  # noqa: DTZ001  # a zone's onset has no zone itself
    standard.add("tzoffsetfrom", timedelta())
    standard.add("tzoffsetto", timedelta())
    zone = Timezone()
    zone.add("tzid", "Etc/UTC")
    zone.add_component(standard)
    return zone


def _event(
    rig: str, item: DueItem, rules: Mapping[str, Mapping[str, Any]], made_at: datetime, today: date
) -> Event:
    struck = item.struck
    rule = rules[item.rule] if struck is None else {"words": begun(struck.words)}
    begins = today if item.next is None or item.next < today else item.next
    event = _all_day(begins, f"{item.thing.name}: {rule['words']}", made_at)
    event.add("description", f"{rig}. {_since(item)} Entered by the owner, not an inspection.")
    if item.every_months:
        event.add("rrule", _repeats(item, rule, begins))
    return event


def _season(owed: RigDues, made_at: datetime, today: date) -> Iterator[Event]:
    """Give the next day on which the season of a rig begins, where anything of it comes round."""
    begins = None if owed.season is None or not owed.items else season_after(owed.season, today)
    if begins is not None:
        event = _all_day(begins, f"{owed.name}: {SEASON}", made_at)
        event.add("uid", f"season-{owed.rig}@fieldlog.invalid")
        yield event


def _all_day(day: date, words: str, made_at: datetime) -> Event:
    event = Event()
    event.add("dtstamp", made_at)
    event.add("dtstart", day)
    event.add("dtend", days_after(day, 1))
    event.add("summary", words)
    event.add("transp", "TRANSPARENT")
    event.add_component(_reminder(words))
    return event


def _since(item: DueItem) -> str:
    done = "looked at" if item.thing.what in LOOKED_AT else "tested"
    if item.thing.last is None:
        return f"Never {done}."
    return f"Last {done} {item.thing.last.isoformat()}."


def _repeats(item: DueItem, rule: Mapping[str, Any], begins: date) -> dict[str, Any]:
    """Give a rule that no short month is skipped by; a bare monthly one from the 31st loses whole months."""
    is_of_the_month = "every_months" in rule and item.thing.last is not None and begins == item.next
    day = item.thing.last.day if is_of_the_month and item.thing.last else begins.day
    often: dict[str, Any] = {"freq": "monthly", "interval": item.every_months, "count": TIMES}
    if day > 28:
        often |= {"bymonthday": list(range(28, day + 1)), "bysetpos": -1}
    return often


def _reminder(words: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", words)
    alarm.add("trigger", timedelta(days=-1))
    return alarm
