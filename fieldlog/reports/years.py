"""What is long past in a log, by the year: what a service record tells of it in place of every line."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from fieldlog.model.rig import Chain, Rig
from fieldlog.words.wording import VERDICTS

MOST_WHOLE: Final = 300
"""Up to so many tests, looks, photos and corrections a record lists every one; own choice: about 35 pages."""
MOST_RECENT: Final = 400
WHOLE_DAYS: Final = 731
_LISTED: Final = ("outlet-test", "trip-test", "look", "photo")


@dataclass(frozen=True)
class YearLine:
    """What one year of the log holds: sentences, and the entries that they count."""

    year: int
    sentences: tuple[str, ...]


def whole_from(rig: Rig, made_at: datetime) -> datetime | None:
    """Give the moment from which on a record lists every line; None where it lists all of them.

    Parameters
    ----------
    rig : Rig
        With its whole log.
    made_at : datetime
        Aware; the last two years before it are listed, fewer where these are more than `MOST_RECENT` lines.
    """
    times = sorted((moment for _, moment in _lines(rig)), reverse=True)
    if len(times) <= MOST_WHOLE:
        return None
    two_years_ago = made_at - timedelta(days=WHOLE_DAYS)
    return two_years_ago if len(times) < MOST_RECENT else max(two_years_ago, times[MOST_RECENT - 1])


def year_lines(rig: Rig, until: datetime) -> tuple[YearLine, ...]:
    """Count what a rig's log holds from before a moment, the newest year first."""
    years: dict[int, list[Chain]] = {}
    corrected: Counter[int] = Counter()
    for chain, moment in _lines(rig):
        if moment < until and chain is not None:
            years.setdefault(moment.year, []).append(chain)
        elif moment < until:
            corrected[moment.year] += 1
    return tuple(
        YearLine(year, tuple(_sentences(years.get(year, ()), corrected[year])))
        for year in sorted({*years, *corrected}, reverse=True)
    )


def _lines(rig: Rig) -> Iterator[tuple[Chain | None, datetime]]:
    """Give the time of each line that a record would list; a correction is one without a chain."""
    for chain in rig.chains:
        if chain.entry.record.kind in _LISTED:
            yield chain, chain.at
        yield from ((None, entry.received_at) for entry in chain.corrections)


def _sentences(of_year: Iterable[Chain], corrected: int) -> Iterator[str]:
    by_kind: dict[str, list[Chain]] = {}
    for chain in of_year:
        by_kind.setdefault(chain.entry.record.kind, []).append(chain)
    if tests := by_kind.get("outlet-test"):
        endings = Counter(str(test.body["judgement"]["verdict"]) for test in tests)
        told = ", ".join(f"{count} “{VERDICTS[ending]}”" for ending, count in sorted(endings.items()))
        yield f"{_counted(len(tests), 'test', 'tests')} of outlets: {told}."
    if trips := by_kind.get("trip-test"):
        failed = sum(
            False in (trip.body["tripped"], trip.body["face_dead"], trip.body["reset"]) for trip in trips
        )
        yield (
            f"{_counted(len(trips), 'trip test', 'trip tests')} of devices; at {failed or 'none'} of them "
            "the device stayed on, its face stayed live or it did not reset."
        )
    if looks := by_kind.get("look"):
        bad = sum("bad" in look.body["points"].values() for look in looks)
        yield f"{_counted(len(looks), 'look', 'looks')}; at {bad or 'none'} of them something was bad."
    if photos := by_kind.get("photo"):
        yield f"{_counted(len(photos), 'photo', 'photos')}."
    if corrected:
        yield f"{_counted(corrected, 'correction', 'corrections')}."


def _counted(count: int, one: str, more: str) -> str:
    return f"{count:,} {one if count == 1 else more}"
