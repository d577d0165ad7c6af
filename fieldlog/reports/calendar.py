"""What of a rig is due, as an iCalendar file: all-day entries that come round until the test is made."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any, Final

from icalendar import Alarm, Calendar, Event, Timezone, TimezoneStandard

from fieldlog.model.due_items import DueItem

LOOKED_AT: Final = ("cord", "outlet-look")
TIMES = 12
"""How often an entry comes round in the file; the feed is made anew each time it is fetched. Own choice."""


def calendar(
    rigs: Iterable[tuple[str, str, Sequence[DueItem]]],
    rules: Iterable[Mapping[str, Any]],
    *,
    made_at: datetime,
    today: date,
) -> bytes:
    """Give an iCalendar file of what is due.

    `rigs` are ids and names of rigs with what of each is due. What is overdue or was never tested stands
    on today.
    """
    known = {str(rule["id"]): rule for rule in rules}
    found = Calendar()
    found.add("version", "2.0")
    found.add("prodid", "-//Fieldlog//Tests that come round//EN")
    found.add("x-wr-calname", "Tests that come round")
    for rig, name, items in rigs:
        for item in items:
            event = _event(name, item, known, made_at, today)
            event.add("uid", f"{item.thing.what}-{item.thing.subject or rig}@fieldlog.invalid")
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
    rule = rules[item.rule]
    begins = today if item.next is None or item.next < today else item.next
    event = Event()
    event.add("dtstamp", made_at)
    event.add("dtstart", begins)
    event.add("dtend", begins + timedelta(days=1))
    event.add("summary", f"{item.thing.name}: {rule['words']}")
    event.add("description", f"{rig}. {_since(item)} Entered by the owner, not an inspection.")
    event.add("transp", "TRANSPARENT")
    repeats = _repeats(item, rules, begins)
    if repeats:
        event.add("rrule", repeats)
    event.add_component(_reminder(f"{item.thing.name}: {rule['words']}"))
    return event


def _since(item: DueItem) -> str:
    done = "looked at" if item.thing.what in LOOKED_AT else "tested"
    if item.thing.last is None:
        return f"Never {done}."
    return f"Last {done} {item.thing.last.isoformat()}."


def _repeats(item: DueItem, rules: Mapping[str, Mapping[str, Any]], begins: date) -> dict[str, Any] | None:
    """Give a rule that no short month is skipped by; a bare monthly one from the 31st loses whole months."""
    months = _months(item, rules)
    if months is None:
        return None
    # What is overdue counts from today; what is to come counts from the day of the last test.
    day = item.thing.last.day if item.thing.last and begins == item.next else begins.day
    often: dict[str, Any] = {"freq": "monthly", "interval": months, "count": TIMES}
    if day > 28:
        often |= {"bymonthday": list(range(28, day + 1)), "bysetpos": -1}
    return often


def _months(item: DueItem, rules: Mapping[str, Mapping[str, Any]]) -> int | None:
    """Give after how many months the thing comes round, whatever makes it due now."""
    if "every_months" in rules[item.rule]:
        return int(rules[item.rule]["every_months"])
    of_thing = (rule for rule in rules.values() if rule.get("what") == item.thing.what)
    return next((int(rule["every_months"]) for rule in of_thing if "only_with" not in rule), None)


def _reminder(words: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", words)
    alarm.add("trigger", timedelta(days=-1))
    return alarm
