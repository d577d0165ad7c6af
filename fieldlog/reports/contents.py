"""What a service record says about a rig."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final

from fieldlog.engine import assess
from fieldlog.errors import BadInput
from fieldlog.kinds import kinds
from fieldlog.kinds.paper import Section
from fieldlog.model.bodies import BodyOutletTest, BodyTripTest
from fieldlog.model.measured import check_input
from fieldlog.model.restore import Restore
from fieldlog.model.rig import Chain, Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.model.shapes import Check
from fieldlog.reports.buyer import BuyerLine, asked_lines
from fieldlog.reports.change_lines import ChangeLine, change_section
from fieldlog.reports.changes import changes_between
from fieldlog.reports.clock import clock_words
from fieldlog.reports.cord_sets import SetLine
from fieldlog.reports.findings import LEVELS, finding_lines, supply_lines
from fieldlog.reports.kept_up import kept_up_lines
from fieldlog.reports.map_tree import TreePart, map_tree
from fieldlog.reports.open_points import OpenPoint
from fieldlog.reports.overview import DeviceLine, OutletLine, overview
from fieldlog.reports.pictures import Pictures, Source, pictures_of
from fieldlog.reports.restores import restore_lines
from fieldlog.reports.rig_map import drawn
from fieldlog.reports.trends import Trend, trends_of
from fieldlog.reports.trips import trip_result
from fieldlog.reports.years import YearLine, whole_from, year_lines
from fieldlog.tables import entries, load
from fieldlog.words.kinds import entry_name
from fieldlog.words.lines import Line, in_a_row
from fieldlog.words.naming import ending
from fieldlog.words.readings import parts_of_check
from fieldlog.words.wording import CORRECTED_APART, COUNTS, STANDS_BESIDE

PLACE_OF_CHANGES: Final = 40
"""Among the places of the kinds' listings: how a change stands is judged by the reports, not by its kind."""


@dataclass(frozen=True)
class TestLine:
    """One test of the log; the details are its readings, findings and ohms, a line each."""

    day: str
    what: str
    result: str
    made_by: str
    number: int
    hash: str
    details: tuple[Line, ...] = ()


@dataclass(frozen=True)
class CorrectionLine:
    """One correction: what it stands in for, what changed, and why; beside says whether it stands alone."""

    day: str
    what: str
    changes: tuple[str, ...]
    reason: str
    number: int
    corrects: int
    also_corrects: tuple[int, ...] = ()
    beside: str = ""


@dataclass(frozen=True)
class Arrivals:
    """How many arrival checks were made with the rig, how the last one ended and what it read."""

    count: int
    last: str
    details: tuple[Line, ...] = ()


@dataclass(frozen=True)
class LogEnd:
    """How many entries the rig's log holds, and its head."""

    count: int
    head: str


@dataclass(frozen=True)
class Contents:
    """A service record, in words and ready to be laid out."""

    name: str
    plug: str
    note: str
    made_at: str
    address: str
    outlets: tuple[OutletLine, ...]
    devices: tuple[DeviceLine, ...]
    open_points: tuple[OpenPoint, ...]
    tests: tuple[TestLine, ...]
    corrections: tuple[CorrectionLine, ...]
    arrivals: Arrivals
    log: LogEnd
    rulebook: str
    sections: tuple[Section, ...] = ()
    changes: tuple[ChangeLine, ...] = ()
    restores: tuple[str, ...] = ()
    whole_from: str = ""
    earlier: tuple[YearLine, ...] = ()
    sets: tuple[SetLine, ...] = ()
    keeper: str = ""
    asked: tuple[BuyerLine, ...] = ()
    tree: tuple[TreePart, ...] = ()
    is_drawn: bool = False
    trends: tuple[Trend, ...] = ()
    pictures: Pictures | None = None


def contents(
    rig: Rig,
    rulebook: Rulebook,
    *,
    made_at: datetime,
    address: str,
    restores: Sequence[Restore] = (),
    origins: Sequence[str] = (),
    sources: Mapping[str, Source] | None = None,
) -> Contents:
    """Gather what a service record of the rig says on the day on which it is made.

    A long log is listed whole for the last two years, and before that by the year. Where entries come from
    that were taken over is told as it is given. Pictures are shown where sources of them are given.
    """
    stands = overview(rig, rulebook, made_at.date())
    since = whole_from(rig, made_at)
    changes = tuple(_without_old_proofs(change, since) for change in stands.changes)
    return Contents(
        name=stands.name,
        plug=stands.plug,
        note=stands.note,
        made_at=made_at.strftime("%Y-%m-%d %H:%M %Z"),
        address=address,
        outlets=stands.outlets,
        devices=stands.devices,
        sets=stands.sets,
        keeper=stands.keeper,
        open_points=stands.open_points,
        tests=tuple(_tests(rig, rulebook, since)),
        corrections=tuple(_corrections(rig, since)),
        arrivals=_arrivals(rig, rulebook),
        log=LogEnd(rig.log[-1].position, rig.log[-1].head),
        rulebook=rulebook.id,
        sections=tuple(_sections(rig, changes, since)),
        changes=changes,
        restores=(*origins, *restore_lines(restores, made_at.tzinfo)),
        whole_from="" if since is None else since.date().isoformat(),
        earlier=() if since is None else year_lines(rig, since),
        asked=(*_asked(rig), *kept_up_lines(rig, rulebook, made_at)),
        tree=_tree(rig),
        is_drawn=rig.map is not None,
        trends=tuple(trends_of(rig, rulebook)),
        pictures=None if sources is None else pictures_of(rig, sources),
    )


def check_details(check: Check, rulebook: Rulebook) -> tuple[Line, ...]:
    """Give all readings of a check, a line a part, then what they tell now: findings and ohms."""
    return (
        *(Line(part.title, in_a_row(part.lines)) for part in parts_of_check(check)),
        *_told_by(check, rulebook),
    )


def _tree(rig: Rig) -> tuple[TreePart, ...]:
    """Draw the map; of one that cannot be judged nothing is drawn, and the guards say that it cannot."""
    try:
        return map_tree(drawn(rig, load()))
    except BadInput:
        return ()


def _asked(rig: Rig) -> tuple[BuyerLine, ...]:
    """Give what a buyer or an insurer asks for, told by the whole log."""
    return asked_lines([entry.record.as_json() for entry in rig.log], entries("facts/buyer.json"))


def _sections(rig: Rig, changes: Sequence[ChangeLine], since: datetime | None) -> Iterator[Section]:
    """Give the sections that list records of one kind, in the order of the kinds' own places."""
    by_place = {PLACE_OF_CHANGES: change_section(changes)}
    for name, kind in kinds().items():
        if kind.listing is not None:
            by_place[kind.listing.place] = kind.listing.section(rig, rig.newest(name), since)
    yield from (by_place[place] for place in sorted(by_place) if by_place[place].lines)


def _without_old_proofs(change: ChangeLine, since: datetime | None) -> ChangeLine:
    """Leave the steps of a change out that was made before a moment; how it stands is said all the same."""
    is_old = since is not None and change.day < since.date().isoformat()
    return replace(change, proofs=()) if is_old else change


def _tests(rig: Rig, rulebook: Rulebook, since: datetime | None) -> Iterator[TestLine]:
    """Every test of an outlet or a device from a moment on, newest first."""
    tests = ((outlet.name, test) for outlet in rig.outlets for test in outlet.tests)
    trips = ((device.name, trip) for device in rig.devices for trip in device.trips)
    lines: list[tuple[Chain, TestLine]] = [
        *((one, _line(name, one, *_of_test(one, rulebook))) for name, one in tests if _is_listed(one, since)),
        *((one, _line(name, one, *_of_trip(one, rulebook))) for name, one in trips if _is_listed(one, since)),
    ]
    newest_first = sorted(lines, key=lambda each: (each[0].at, each[0].entry.seq), reverse=True)
    yield from (line for _, line in newest_first)


def _is_listed(chain: Chain, since: datetime | None) -> bool:
    return since is None or chain.at >= since


def _line(name: str, chain: Chain, result: str, details: tuple[Line, ...]) -> TestLine:
    entry, told = chain.entry, result + _corrected(chain)
    return TestLine(chain.day, name, told, entry.record.made_by, entry.position, entry.hash[:16], details)


def _corrected(chain: Chain) -> str:
    if chain.beside:
        return f" ({CORRECTED_APART})"
    return " (corrected)" if chain.corrections else ""


def _of_test(test: Chain[BodyOutletTest], rulebook: Rulebook) -> tuple[str, tuple[Line, ...]]:
    return ending(test.body, rulebook), (*check_details(test.body["check"], rulebook), *_clock(test))


def _of_trip(trip: Chain[BodyTripTest], rulebook: Rulebook) -> tuple[str, tuple[Line, ...]]:
    told = trip_result(trip.body, rulebook)
    stops = (Line(LEVELS["stop"], sentence) for sentence in told.stops)
    notes = (Line(LEVELS["note"], sentence) for sentence in told.notes)
    return told.answers, (*_clock(trip), *stops, *notes)


def _clock(chain: Chain) -> Iterator[Line]:
    """Say how far the phone's clock was off, beside what it wrote down and when that arrived."""
    differs = clock_words(chain.entry.clock_offset_s)
    if differs is not None:
        said, arrived = chain.entry.record.observed_at, f"{chain.entry.received_at:%Y-%m-%d %H:%M} UTC"
        yield Line(
            "Clock of the phone",
            f"{differs} when it sent this; by it the test was made {said}, it arrived {arrived}",
        )


def _told_by(check: Check, rulebook: Rulebook) -> Iterator[Line]:
    try:
        answer = assess(check_input(check), rulebook)
    except BadInput as error:
        yield Line("It cannot be judged now", " ".join(problem.problem for problem in error.problems))
        return
    for found in finding_lines(answer, rulebook):
        yield Line(found.word, f"{found.sentence} {found.figures}".strip())
    supply = supply_lines(answer)
    if supply:
        yield Line("The wiring up to here", in_a_row(supply))


def _corrections(rig: Rig, since: datetime | None) -> Iterator[CorrectionLine]:
    by_id = {entry.record.id: entry for entry in rig.log}
    names = {thing.id: thing.name for thing in rig.things}
    standing = _standing(rig)
    for entry in rig.log:
        before = by_id.get(entry.record.corrects or "")
        if before is not None and (since is None or entry.received_at >= since):
            yield CorrectionLine(
                day=entry.received_at.date().isoformat(),
                what=entry_name(rig, entry),
                changes=changes_between(before.record, entry.record, names),
                reason=entry.record.reason or "",
                number=entry.position,
                corrects=before.position,
                also_corrects=tuple(
                    by_id[identity].position
                    for identity in entry.record.stands_in_for[1:]
                    if identity in by_id
                ),
                beside=standing.get(entry.record.id, ""),
            )


def _standing(rig: Rig) -> dict[str, str]:
    """Say of each correction that stands beside another whether it is the one that counts."""
    found: dict[str, str] = {}
    for chain in rig.chains:
        for leaf in chain.leaves if chain.beside else ():
            found[leaf.record.id] = COUNTS if leaf is chain.entry else STANDS_BESIDE
    return found


def _arrivals(rig: Rig, rulebook: Rulebook) -> Arrivals:
    if not rig.arrivals:
        return Arrivals(0, "none noted")
    last = rig.arrivals[0]
    outlet: Any = last.body["check"]["outlet"]
    ended = f"{last.day}, {outlet}: {ending(last.body, rulebook)}"
    return Arrivals(len(rig.arrivals), ended, check_details(last.body["check"], rulebook))
