"""Readings from a table that was kept elsewhere, a check a row: columns are named, and each row is tried."""

import csv
import hashlib
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from typing import Any, Final

from fieldlog.engine import verdict_and_first
from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.contacts import OF_OUTLET, contacts_of
from fieldlog.model.identity import uuid7
from fieldlog.model.measured import check_input
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record, observed_text
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.query import FORMULA
from fieldlog.sync.rules import problems_by_itself
from fieldlog.sync.shape import problems_of_shape
from fieldlog.words.entry import PAIRS, measured_entry
from fieldlog.words.wording import begun, pair_words

MOST_ROWS: Final = 1000
MOST_LETTERS: Final = 400_000
"""Own choices: a season of readings many times over, and what a form still sends in one piece."""
DAYS: Final = {"iso": "%Y-%m-%d", "day-first": "%d/%m/%Y", "month-first": "%m/%d/%Y"}
COLUMNS: Final[Mapping[str, str]] = {
    "day": "Day",
    "time": "Time of the day",
    "place.park": "Campground",
    "place.site": "Site",
    "outlet": "Outlet",
    "breaker_amps": "Number on the breaker",
    **{f"volts.{pair}": f"Volts, {pair_words(pair)}" for pair in PAIRS},
    "loaded.amps": "Amps of the load",
    **{f"loaded.volts.{pair}": f"Under load, {pair_words(pair)}" for pair in PAIRS},
}
"""What a column may hold, by its path in a check."""
_SECONDS: Final = re.compile(r"(?<=:[0-9]{2}):[0-9]{2}(\.[0-9]+)?$")
"""What a time may have behind its minutes; anything else, such as PM, would make it another time."""
_GUESSES: Final = {
    "date": "day",
    "day": "day",
    "time": "time",
    "park": "place.park",
    "campground": "place.park",
    "site": "place.site",
    "outlet": "outlet",
    "breaker": "breaker_amps",
}


@dataclass(frozen=True)
class Table:
    """The first row of a text, and the others with their lines."""

    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Meaning:
    """What the columns hold, by their places, and what holds of every row.

    offset_minutes is that of the clock beside the person; outlet stands where no column tells it.
    """

    columns: Mapping[str, int]
    days: str = "iso"
    offset_minutes: int = 0
    outlet: str = ""
    meter: Mapping[str, str] | None = None


@dataclass(frozen=True)
class TableLine:
    """One line: the record that it would make, or what is wrong with it."""

    line: int
    record: Record | None
    problems: tuple[str, ...] = ()


def read_table(text: str) -> Table:
    """Read a text of rows; whichever of comma, semicolon and tab stands most in the first line parts cells.

    Raises BadInput where there is no table, or too much of one.
    """
    if len(text) > MOST_LETTERS:
        raise BadInput(
            [Problem("/text", f"That is more than {MOST_LETTERS:,} letters; take it in in parts.")]
        )
    first = text.lstrip("\ufeff").partition("\n")[0]
    sign = max((",", ";", "\t"), key=first.count)
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff"), newline=""), delimiter=sign)
    try:
        rows = [(reader.line_num, tuple(map(_plain, row))) for row in reader if any(map(str.strip, row))]
    except csv.Error as error:
        told = f"The table breaks off at line {reader.line_num}: {error}."
        raise BadInput([Problem("/text", told)]) from error
    if len(rows) < 2:
        raise BadInput([Problem("/text", "Give a first line with the names of the columns, and a row.")])
    if len(rows) > MOST_ROWS + 1:
        raise BadInput([Problem("/text", f"That is more than {MOST_ROWS:,} rows; take it in in parts.")])
    return Table(rows[0][1], tuple(rows[1:]))


def guessed(header: Sequence[str]) -> dict[str, int]:
    """Guess by their names which columns hold what; the person sees it and may say otherwise."""
    names = {name.casefold(): path for path, name in COLUMNS.items()} | _GUESSES
    names |= {path.casefold(): path for path in COLUMNS} | {pair: f"volts.{pair}" for pair in PAIRS}
    found: dict[str, int] = {}
    for place, name in enumerate(header):
        path = names.get(name.strip().casefold())
        if path is not None:
            found.setdefault(path, place)
    return found


def tried(
    table: Table, meaning: Meaning, made_by: str, rulebook: Rulebook, now: datetime
) -> Iterator[TableLine]:
    """Try each row: make the record that it stands for, and hold it against all that a record has to be."""
    for line, row in table.rows:
        try:
            record = _record(row, meaning, made_by, rulebook)
            _assert_has_come(record, now)
        except ValueError as wrong:
            yield TableLine(line, None, (str(wrong),))
            continue
        problems = problems_of_shape(record.as_json()) or problems_by_itself(record)
        told = tuple(f"{problem.at.removeprefix('/body/')}: {problem.problem}" for problem in problems)
        yield TableLine(line, None if told else record, told)


def _assert_has_come(record: Record, now: datetime) -> None:
    """Refuse a reading of a day to come; a row without a time is one of its noon."""
    if record.observed > now + timedelta(days=1):
        raise ValueError(f"{record.observed_at[:10]} has not come yet.")


def _plain(cell: str) -> str:
    """Give a cell as it was before an export made it harmless."""
    text = cell.strip()
    return text[1:] if text.startswith("'") and text[1:].lstrip(" ").startswith(FORMULA) else text


def _record(row: Sequence[str], meaning: Meaning, made_by: str, rulebook: Rulebook) -> Record:
    told = {path: row[at].strip() for path, at in meaning.columns.items() if at < len(row)}
    observed = _observed(told, meaning)
    check = _check(told, meaning)
    try:
        verdict, first = verdict_and_first(check_input(check), rulebook)
    except BadInput as bad:
        raise ValueError(" ".join(problem.problem for problem in bad.problems)) from bad
    except FieldlogError as error:
        raise ValueError(str(error)) from error
    body = {
        "place": {name: told.get(f"place.{name}", "") for name in ("park", "site")},
        "check": check,
        "ready": {"dry": False, "meter_proved": False, "category": None},
        "not_tested": list(_left_out(check)),
        "judgement": {"verdict": verdict, "first": first, "rulebook": rulebook.id},
    }
    identity = _identity(observed, body)
    return Record(
        id=identity,
        kind="arrival-check",
        observed_at=observed_text(observed),
        made_by=made_by,
        body=body,
    )


def _observed(told: Mapping[str, str], meaning: Meaning) -> datetime:
    day, time = told.get("day", ""), told.get("time", "") or "12:00"
    minute = _SECONDS.sub("", time)
    zone = timezone(timedelta(minutes=meaning.offset_minutes))
    sign = "/" if meaning.days != "iso" else "-"
    try:
        found = datetime.strptime(
            f"{day.replace('.', sign)} {minute}", f"{DAYS[meaning.days]} %H:%M"
        ).replace(tzinfo=zone)
    except ValueError as wrong:
        raise ValueError(f"Day “{day}” and time “{time}” are not as they were said to be written.") from wrong
    return found


def _check(told: Mapping[str, str], meaning: Meaning) -> dict[str, Any]:
    outlet = told.get("outlet") or meaning.outlet
    if outlet not in OF_OUTLET:
        raise ValueError(f"The outlet “{outlet}” is none of {', '.join(OF_OUTLET)}.")
    check: dict[str, Any] = {"outlet": outlet, "supply": "utility", "where": "pedestal"}
    if told.get("breaker_amps"):
        check["breaker_amps"] = _measured("breaker_amps", told)
    volts, under_load = (_volts(told, group) for group in ("volts", "loaded.volts"))
    if not volts:
        raise ValueError("No volts stand in it.")
    check |= {"meter": dict(meaning.meter or {"input": "high-impedance"}), "volts": volts}
    if under_load:
        if not told.get("loaded.amps"):
            raise ValueError("Volts under a load without the amps of that load.")
        across = contacts_of(outlet).acrosses[0]
        check["loaded"] = {"across": across, "amps": _measured("loaded.amps", told), "volts": under_load}
    return check


def _volts(told: Mapping[str, str], group: str) -> dict[str, str]:
    return {pair: _measured(f"{group}.{pair}", told) for pair in PAIRS if told.get(f"{group}.{pair}")}


def _measured(path: str, told: Mapping[str, str]) -> str:
    try:
        return measured_entry(path, told[path])
    except ValueError as wrong:
        raise ValueError(f"{begun(COLUMNS[path])}: {wrong}") from wrong


def _left_out(check: Mapping[str, Any]) -> Iterator[str]:
    yield "look"
    yield from (f"volts.{pair}" for pair in contacts_of(check["outlet"]).usual if pair not in check["volts"])
    if "loaded" not in check:
        yield "loaded"
    yield "meter_proved"


def _identity(observed: datetime, body: Mapping[str, Any]) -> str:
    """Give an id that follows from what was read and when, so that a table taken in twice adds nothing."""
    readings = {name: body[name] for name in ("place", "check")}
    digest = hashlib.sha256(repr((observed.isoformat(), readings)).encode()).digest()
    return uuid7(
        max(0, int(observed.timestamp() * 1000)),
        int.from_bytes(digest[:2], "big") >> 4,
        int.from_bytes(digest[2:10], "big") >> 2,
    )
