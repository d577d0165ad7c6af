"""What is long past in a log, by the year: what a service record tells of it in place of every line."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from fieldlog.kinds import kind_of, kinds
from fieldlog.kinds.kind import counted
from fieldlog.model.rig import Chain, Rig

MOST_WHOLE: Final = 300
"""Up to so many tests, looks, photos and corrections a record lists every one; own choice: about 35 pages."""
MOST_RECENT: Final = 400
WHOLE_DAYS: Final = 731


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
        if kind_of(chain.entry.record.kind).in_years:
            yield chain, chain.at
        yield from ((None, entry.received_at) for entry in chain.corrections)


def _sentences(of_year: Iterable[Chain], corrected: int) -> Iterator[str]:
    by_kind: dict[str, list[Chain]] = {}
    for chain in of_year:
        by_kind.setdefault(chain.entry.record.kind, []).append(chain)
    # What the history lists by itself comes first.
    for name, kind in sorted(kinds().items(), key=lambda each: not each[1].is_in_history):
        if kind.in_years and (of_kind := by_kind.get(name)):
            yield kind.in_years(of_kind)
    if corrected:
        yield f"{counted(corrected, 'correction', 'corrections')}."
