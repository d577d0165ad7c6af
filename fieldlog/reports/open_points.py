"""What speaks against a rig, or is not known of it, gravest first; of what each is, and what clears it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from fieldlog.model.due_items import DueItem, Standing
from fieldlog.model.ends import end_lines
from fieldlog.model.rig import Chain, Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.again import Downgrade
from fieldlog.reports.change_lines import NOT_YET_PROVED, ChangeLine
from fieldlog.reports.clock import clock_words
from fieldlog.reports.cord_sets import due_words
from fieldlog.reports.looks import BadPoint, ends_of
from fieldlog.reports.trips import left_out, trip_result
from fieldlog.words.kinds import entry_name
from fieldlog.words.naming import ending
from fieldlog.words.wording import CLOCK_WAS_OFF, CORRECTED_APART, begun, step_words

NEVER: Final = "never tested"
SORTS: Final = {"ground": ", its ground", "outlet-loaded": ", under load", "outlet-look": ", its look"}
_NEVER_OF: Final = {
    "device": "“{}” was never seen to trip by its own TEST button.",
    "outlet": "“{}” was never tested.",
    "outlet-loaded": "“{}” was never tested under a load, which alone shows a loose joint.",
    "outlet-look": "Cover, cable and dryness of “{}” were never looked at.",
    "ground": "The ground of “{}” was never shown by ohms.",
    "cord": "Cord and inlet were never looked at.",
    "alarms": "The buttons of the smoke and gas alarms were never noted.",
    "skin": "The rig’s skin was never read in a round.",
}
_NEVER_SHORT: Final = {
    "outlet-loaded": "never tested under load",
    "outlet-look": "cover and cable never looked at",
    "ground": "ground never shown",
}
_OVERDUE_SHORT: Final = {
    "outlet-loaded": "load overdue",
    "outlet-look": "look at cover and cable overdue",
    "ground": "ground overdue",
}
_TESTS: Final = {
    "device": "trip test",
    "outlet": "test",
    "outlet-loaded": "test under load",
    "ground": "ground",
}

BY_A_TEST: Final = "A new test that says use."
BY_A_PRESS: Final = "A press of TEST at which it trips, its face goes dead and it resets."
BY_A_LOOK: Final = "A look that finds it good."
BY_THE_MAP: Final = "The map or the wiring is mended, and the device is tripped once more."
BY_THE_WIRING: Final = "The wiring is mended and the map drawn as it then is."
BY_PROOFS: Final = "Every step of its proof stands good."
BY_ALL_OF_IT: Final = "A test with what was left out."
BY_A_CORRECTION: Final = "One more correction, which says which of them is right."
BY_NOTHING: Final = "Nothing: it tells how the entry came, and stays in the log."
BY_A_NEW_ONE: Final = "A new one, with its month noted at the next look."
BY_THE_SET: Final = "A test of it, or a mark that it is gone for good."


@dataclass(frozen=True)
class PointPlace:
    """Of what a point is, so that a page can lead there.

    what is outlet, device, set, change, map, entry, ground, look or rig; id is its own where it has one, of a
    look what is looked at.
    """

    what: str
    id: str = ""


OF_RIG: Final = PointPlace("rig")


@dataclass(frozen=True)
class OpenPoint:
    """Something that speaks against the rig, or that nobody has tested, and what clears it.

    short says it beside the name and state of what it is of; nothing where these say it already.
    """

    kind: str
    sentence: str
    at: PointPlace = OF_RIG
    clears: str = ""
    is_grave: bool = True
    short: str = ""


@dataclass(frozen=True)
class PointSources:
    """All that the open points of a rig follow from."""

    rig: Rig
    rulebook: Rulebook
    today: date
    owed: Sequence[DueItem]
    changes: Sequence[ChangeLine]
    bad: Sequence[BadPoint]
    stops: Sequence[str]
    contradictions: Sequence[str]
    worse: Sequence[Downgrade]


def open_points(of: PointSources) -> Iterator[OpenPoint]:
    """Give all that is open of a rig."""
    yield from _not_yet_proved(of.changes)
    yield from _struck(of.owed)
    yield from _ended(of.rig, of.today)
    for sentence in of.stops:
        yield OpenPoint("do not switch it on so", sentence, PointPlace("map"), BY_THE_WIRING)
    yield from _failed_devices(of.rig, of.rulebook)
    yield from (_looked(of.rig, each) for each in of.bad if each.is_grave)
    yield from worse_points(of.worse)
    yield from _last_results(of.rig, of.rulebook)
    yield from (_looked(of.rig, each) for each in of.bad if not each.is_grave)
    for sentence in of.contradictions:
        yield OpenPoint("does not agree", sentence, PointPlace("map"), BY_THE_MAP)
    yield from _apart(of.rig)
    yield from _flags(of.rig)
    yield from _never_tested(of.owed)
    yield from _overdue(of.owed)
    yield from _skipped(of.rig)
    yield from _open_sets(of.owed)


def place_of(item: DueItem) -> PointPlace:
    """Say where a thing that comes round is tested or looked at."""
    what, subject = item.thing.what, item.thing.subject or ""
    if what in ("outlet", "outlet-loaded"):
        return PointPlace("outlet", subject)
    if what in ("set", "set-fixed"):
        return PointPlace("set", subject)
    if what in ("device", "outlet-look"):
        return PointPlace(what, subject)
    return PointPlace("ground", subject) if what == "ground" else PointPlace("look", what)


def worse_points(found: Iterable[Downgrade]) -> Iterator[OpenPoint]:
    """Give what stands as usable and is judged worse by today's rules."""
    for each in found:
        yield OpenPoint(
            "judged worse by today’s rules", each.sentence, PointPlace(each.what, each.id), BY_A_TEST
        )


def _not_yet_proved(changes: Iterable[ChangeLine]) -> Iterator[OpenPoint]:
    for change in changes:
        if not change.is_proved:
            said = f"“{change.what}”, {change.day}: {change.standing}."
            yield OpenPoint(NOT_YET_PROVED.lower(), said, PointPlace("change", change.id), BY_PROOFS)


def _struck(owed: Iterable[DueItem]) -> Iterator[OpenPoint]:
    for item in owed:
        if item.struck is not None:
            said = f"“{item.thing.name}”{SORTS.get(item.thing.what, '')}: {item.words}."
            yield OpenPoint("after an incident", said, place_of(item), begun(f"{item.struck.clears}."))


def _ended(rig: Rig, today: date) -> Iterator[OpenPoint]:
    for line in end_lines(ends_of(rig), today):
        yield OpenPoint("its end", line, PointPlace("look", "alarms"), BY_A_NEW_ONE)


def _failed_devices(rig: Rig, rulebook: Rulebook) -> Iterator[OpenPoint]:
    for device in rig.devices:
        for trip in device.trips_that_count:
            for sentence in trip_result(trip.body, rulebook).stops:
                said = f"“{device.name}”, {trip.day}: {sentence}"
                yield OpenPoint("does not work", said, PointPlace("device", device.id), BY_A_PRESS)


def _looked(rig: Rig, bad: BadPoint) -> OpenPoint:
    said = f"{bad.name}, {bad.day}: {bad.sentence}"
    if bad.subject is None:
        return OpenPoint("bad when looked at", said, PointPlace("look", bad.of), BY_A_LOOK, bad.is_grave)
    what = "outlet-look" if rig.outlet(bad.subject) else "set"
    at = PointPlace(what, bad.subject)
    return OpenPoint("bad when looked at", said, at, BY_A_LOOK, bad.is_grave, "bad when looked at")


def _last_results(rig: Rig, rulebook: Rulebook) -> Iterator[OpenPoint]:
    for outlet in rig.outlets:
        last = outlet.last_test
        if last is not None and last.body["judgement"]["verdict"] != "use":
            said = f"“{outlet.name}”, {last.day}: {ending(last.body, rulebook)}."
            yield OpenPoint("last result", said, PointPlace("outlet", outlet.id), BY_A_TEST)


def _never_tested(owed: Sequence[DueItem]) -> Iterator[OpenPoint]:
    for item in _told(owed):
        if item.thing.last is None and item.struck is None and item.standing is not Standing.FAILED:
            said = _NEVER_OF.get(item.thing.what, "“{}” was never tested.").format(item.thing.name)
            short = _NEVER_SHORT.get(item.thing.what, "")
            yield OpenPoint(NEVER, said, place_of(item), _clears(item), short=short)


def _overdue(owed: Sequence[DueItem]) -> Iterator[OpenPoint]:
    for item in _told(owed):
        if item.standing is Standing.OVERDUE and item.struck is None and item.thing.last is not None:
            test = _TESTS.get(item.thing.what, "look")
            said = f"“{item.thing.name}”: {test} {item.words}."
            short = _OVERDUE_SHORT.get(item.thing.what, "")
            yield OpenPoint("overdue", said, place_of(item), _clears(item), short=short)


def _told(owed: Sequence[DueItem]) -> Iterator[DueItem]:
    """Leave out cord sets, which are told by themselves, and the load of an outlet that is due anyway."""
    due = {item.thing.subject for item in owed if item.thing.what == "outlet" and item.is_due}
    for item in owed:
        is_told_already = item.thing.what == "outlet-loaded" and item.thing.subject in due
        if item.thing.what not in ("set", "set-fixed") and not is_told_already and item.is_due:
            yield item


def _clears(item: DueItem) -> str:
    match item.thing.what:
        case "device":
            return BY_A_PRESS
        case "outlet":
            return "A test with volts or lamps."
        case "outlet-loaded":
            return "A test with a known load."
        case "ground":
            return "Ohms, with the power off."
        case "skin":
            return "A reading from the rig’s skin to earth."
        case _:
            return "A look at it."


def _open_sets(owed: Iterable[DueItem]) -> Iterator[OpenPoint]:
    """Give the cord sets that are not to be used: never tested, overdue, or found bad."""
    for item in owed:
        if item.thing.what in ("set", "set-fixed") and item.is_due and item.struck is None:
            said = f"“{item.thing.name}”: {due_words(item)}."
            yield OpenPoint("cord set", said, place_of(item), BY_THE_SET)


def _skipped(rig: Rig) -> Iterator[OpenPoint]:
    for at, name, last, steps in _left_out(rig):
        if steps:
            said = f"“{name}”, {last.day}: not tested: {', '.join(steps)}."
            yield OpenPoint("not tested", said, at, BY_ALL_OF_IT, short="something left out")


def _left_out(rig: Rig) -> Iterator[tuple[PointPlace, str, Chain, tuple[str, ...]]]:
    for device in rig.devices:
        if device.last_trip is not None:
            steps = left_out(rig, device.last_trip.body)
            yield PointPlace("device", device.id), device.name, device.last_trip, steps
    for outlet in rig.outlets:
        if outlet.last_test is not None:
            steps = tuple(step_words(step) for step in outlet.last_test.body["not_tested"])
            yield PointPlace("outlet", outlet.id), outlet.name, outlet.last_test, steps


def _apart(rig: Rig) -> Iterator[OpenPoint]:
    for chain in rig.chains:
        if chain.beside:
            numbers = sorted(leaf.position for leaf in chain.leaves)
            told = f"entries {', '.join(map(str, numbers[:-1]))} and {numbers[-1]} stand side by side"
            counts = f"{chain.entry.position} was made last, by the phones’ clocks, and counts"
            said = f"{begun(entry_name(rig, chain.entry))}: {told}. {counts} until one settles it."
            yield OpenPoint(
                CORRECTED_APART, said, PointPlace("entry", chain.entry.record.id), BY_A_CORRECTION
            )


def _flags(rig: Rig) -> Iterator[OpenPoint]:
    off = [str(entry.position) for entry in rig.log if clock_words(entry.clock_offset_s)]
    if off:
        said = f"{CLOCK_WAS_OFF} Entries: {', '.join(off)}."
        yield OpenPoint("flagged", said, clears=BY_NOTHING)
    for entry in rig.log:
        for flag in entry.flags:
            if flag.flag != "clock-differs" or not clock_words(entry.clock_offset_s):
                said = f"Entry {entry.position}, {entry_name(rig, entry)}: {flag.detail}"
                yield OpenPoint("flagged", said, PointPlace("entry", entry.record.id), BY_NOTHING)
