"""What of a rig is due: by the month, after a change, after a failed test, as the season begins."""

from calendar import isleap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import MAXYEAR, MINYEAR, date
from enum import StrEnum
from typing import Any

from fieldlog.model.due import months_after


class Standing(StrEnum):
    """How a thing stands on a given day, gravest first."""

    FAILED = "failed"
    NEVER = "never"
    OVERDUE = "overdue"
    TODAY = "today"
    LATER = "later"


@dataclass(frozen=True)
class Impact:
    """An incident that touches a thing and came after its last good test.

    Parameters
    ----------
    id : str
        The kind of incident, as schemas/facts/incidents.json names it.
    name : str
        What it is called in a sentence: "shock or tingle".
    day : date
        Its day, at the latest today.
    clears : str
        What shows the thing again, as it stands after "until".
    """

    id: str
    name: str
    day: date
    clears: str

    @property
    def rule(self) -> str:
        """Give the id of what makes the thing due."""
        return f"after-{self.id}"

    @property
    def words(self) -> str:
        """Say what happened, and what clears it."""
        return f"{self.name} noted {self.day.isoformat()}: due until {self.clears}"


@dataclass(frozen=True)
class Thing:
    """Something that is tested again and again.

    Parameters
    ----------
    what : str
        The sort that rules speak of: device, outlet, outlet-loaded, outlet-look, cord, alarms, ground, skin,
        set and set-fixed, a cord set that is fixed and not exposed to damage;
        of cord-loaded, insulation and surge only incidents speak.
    subject : str or None
        Its id in the log; None for what has none, such as the cord.
    name : str
        What its owner calls it.
    last : date or None
        Day of the last test that counts, by the clock beside the person; None where there never was one.
    failed : date or None
        Day of a test that failed and that no later one settled: a device did not trip, did not reset or left
        its own face live, an outlet is not to be used, a cord set was found bad.
    changed : date or None
        Day of a change to its wiring that came after that test.
    struck : Impact or None
        The newest incident that touches it and came after its last good test.
    """

    what: str
    subject: str | None
    name: str
    last: date | None
    failed: date | None = None
    changed: date | None = None
    struck: Impact | None = None


@dataclass(frozen=True)
class DueItem:
    """A thing, the rule that makes it due first, and how that stands.

    Parameters
    ----------
    thing : Thing
        What is to be tested.
    rule : str
        Id of the rule in schemas/facts/due.json, or "after-" and the kind of the incident.
    next : date or None
        Day on which it is due; None where it was never tested, which is due at once.
    standing : Standing
        How it stands on the day asked about.
    every_months : int
        After how many months it comes round, whatever makes it due now; 0 where only an incident does.
    """

    thing: Thing
    rule: str
    next: date | None
    standing: Standing
    every_months: int

    @property
    def struck(self) -> Impact | None:
        """Give the incident that makes it due, if it is one."""
        struck = self.thing.struck
        return struck if struck is not None and struck.rule == self.rule else None

    @property
    def is_due(self) -> bool:
        """Say whether it should be tested now."""
        return self.standing is not Standing.LATER

    @property
    def words(self) -> str:
        """Give the standing of a test as the few words shown on a page."""
        if self.standing is Standing.FAILED:
            return "failed at its last test"
        if self.struck is not None:
            return self.struck.words
        if self.next is None:
            return "never tested"
        if self.standing is Standing.TODAY:
            return "due today"
        verb = "overdue since" if self.standing is Standing.OVERDUE else "next due"
        return f"{verb} {self.next.isoformat()}"


def due_items(
    things: Sequence[Thing],
    rules: Sequence[Mapping[str, Any]],
    today: date,
    *,
    chosen: Sequence[str] = (),
    season: str | None = None,
) -> tuple[DueItem, ...]:
    """Say of each thing when it is due, by the rule that makes it due first.

    Parameters
    ----------
    things : sequence of Thing
        What is tested.
    rules : sequence of mapping
        Entries of schemas/facts/due.json.
    today : date
        The day asked about.
    chosen : sequence of str
        Measures that the rig's owner took on: "assured-3" or "assured-6".
    season : str or None
        Month and day on which the owner's season begins, "04-01".

    Returns
    -------
    tuple of DueItem
        Gravest first, then by day, then in the order given. A thing of which neither a rule nor an incident
        speaks is left out. An incident goes before every rule but a failed test.

    Raises
    ------
    ValueError
        If season is no month and day, or a rule has no form that is known.

    Examples
    --------
    >>> rules = [{"id": "trip-monthly", "what": "device", "every_months": 1}]
    >>> cord = Thing("device", "d", "Galley", date(2026, 10, 31))
    >>> [(item.rule, item.next, item.standing.value) for item in due_items([cord], rules, date(2026, 11, 30))]
    [('trip-monthly', datetime.date(2026, 11, 30), 'today')]
    """
    seasons = () if season is None else _seasons(season, today)
    found = [item for thing in things if (item := _first(thing, rules, today, chosen, seasons)) is not None]
    order = list(Standing)
    return tuple(sorted(found, key=lambda item: (order.index(item.standing), item.next or date.min)))


def season_after(season: str, today: date) -> date | None:
    """Give the first day after today on which the season begins; none in the last of all years.

    Parameters
    ----------
    season : str
        Month and day, "04-01".
    today : date
        The day asked about.

    Returns
    -------
    date or None
        29 February is 1 March in a common year.

    Raises
    ------
    ValueError
        If season is no month and day.

    Examples
    --------
    >>> season_after("02-29", date(2026, 11, 25))
    datetime.date(2027, 3, 1)
    """
    return next((day for day in _seasons(season, today) if day > today), None)


def _first(
    thing: Thing,
    rules: Sequence[Mapping[str, Any]],
    today: date,
    chosen: Sequence[str],
    seasons: Sequence[date],
) -> DueItem | None:
    regular = [rule for rule in rules if rule.get("what") == thing.what and _holds(rule, chosen)]
    if not regular and thing.struck is None:
        return None
    months = min((int(rule["every_months"]) for rule in regular), default=0)
    failing = next((str(rule["id"]) for rule in rules if _speaks_of_failure(rule, thing)), None)
    if thing.failed is not None and failing is not None:
        return DueItem(thing, failing, thing.failed, Standing.FAILED, months)
    if thing.struck is not None:
        standing = _standing(thing.struck.day, today)
        return DueItem(thing, thing.struck.rule, thing.struck.day, standing, months)
    if thing.last is None and thing.changed is None:
        return DueItem(thing, str(regular[0]["id"]), None, Standing.NEVER, months)
    days = [
        (day, str(rule["id"])) for rule in rules if (day := _day(thing, rule, regular, seasons)) is not None
    ]
    following, rule = min(days, key=lambda each: each[0])
    return DueItem(thing, rule, following, _standing(following, today), months)


def _holds(rule: Mapping[str, Any], chosen: Sequence[str]) -> bool:
    return "only_with" not in rule or rule["only_with"] in chosen


def _speaks_of_failure(rule: Mapping[str, Any], thing: Thing) -> bool:
    return rule.get("after") == "no-reset" and ("of" not in rule or thing.what in rule["of"])


def _day(
    thing: Thing, rule: Mapping[str, Any], regular: Sequence[Mapping[str, Any]], seasons: Sequence[date]
) -> date | None:
    """Give the day on which a rule makes a thing due, None where it does not speak of it."""
    match rule.get("after"):
        case None:
            return months_after(thing.last, rule["every_months"]) if thing.last and rule in regular else None
        case "no-reset":
            return None
        case "change":
            return thing.changed
        case "season":
            return next((day for day in seasons if thing.last is None or thing.last < day), None)
        case other:
            raise ValueError(f"The rule {rule.get('id')} comes after {other!r}, which is not known here.")


def _standing(following: date, today: date) -> Standing:
    if following == today:
        return Standing.TODAY
    return Standing.OVERDUE if following < today else Standing.LATER


def _seasons(season: str, today: date) -> tuple[date, ...]:
    """Give the last day on which the season began and the next on which it does, as far as years reach."""
    years = range(max(today.year - 1, MINYEAR), min(today.year + 1, MAXYEAR) + 1)
    days = [_begin(season, year) for year in years]
    began = [day for day in days if day <= today]
    return (*began[-1:], *days[len(began) : len(began) + 1])


def _begin(season: str, year: int) -> date:
    """Give the day on which the season begins in a year; 29 February is 1 March in a common year."""
    month, day = (int(part) for part in season.split("-"))
    if (month, day) == (2, 29) and not isleap(year):
        return date(year, 3, 1)
    return date(year, month, day)
