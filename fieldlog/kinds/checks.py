"""What the two kinds of check have in common: readings of an outlet, judged where they were made."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.kinds.forms import ANSWERS, CONTINUITY, DETECTOR, LAMPS, FormReading, Step
from fieldlog.kinds.kind import NOT_NOTED, Body, Glossary
from fieldlog.kinds.rules import not_tested_once, values_in_range
from fieldlog.model.bodies import BodyArrivalCheck, BodyOutletTest
from fieldlog.model.contacts import Contacts, contacts_of
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.shapes import Check, Loaded, More
from fieldlog.words.lines import Line, LineGroup
from fieldlog.words.naming import ending
from fieldlog.words.readings import CONTINUITY_PAIRS, parts_of_check
from fieldlog.words.wording import INSTEAD_OF_A_VERDICT, begun, contact_words, pair_words

CheckBody = BodyArrivalCheck | BodyOutletTest
PLACE: Final = "Place"
EARTH_NEEDS_HIGH_IMPEDANCE = (
    "was read with a low-impedance meter, which drives current into the stake. "
    "Read it again with a high-impedance one, or take it out."
)


def parts(body: Body, _known: Glossary) -> Iterator[LineGroup]:
    """Give where it was and what was made sure of, then all readings."""
    place, ready = body.get("place"), body["ready"]
    if place is not None:
        lines = (Line("Campground", place["park"] or NOT_NOTED), Line("Site", place["site"] or NOT_NOTED))
        yield LineGroup(PLACE, lines)
    proved = Line("Meter proved before", _yes_no(ready["meter_proved"]))
    category = Line("Category of the meter", ready["category"] or NOT_NOTED)
    is_metered = "volts" in body["check"]
    dry = Line("Dry, and no thunder about", _yes_no(ready["dry"]))
    yield LineGroup("Made sure of", (dry, proved, category) if is_metered else (dry,))
    yield from parts_of_check(body["check"])


def in_short(body: CheckBody, known: Glossary) -> str:
    """Give the verdict and what explains it, where the rulebook has words for them."""
    return INSTEAD_OF_A_VERDICT if known.rulebook is None else ending(body, known.rulebook)


def readings(body: CheckBody) -> Iterator[FormReading]:
    """Offer what was read; a load or a further set is neither added nor taken away."""
    check = body["check"]
    contacts = contacts_of(check["outlet"])
    yield FormReading(("check", "breaker_amps"), "Number on the breaker, A", "A", is_optional=True)
    if "hertz" in check:
        yield FormReading(("check", "hertz"), "Frequency, Hz", "Hz", is_optional=True)
    read = check.get("volts", {})
    yield from _volts(
        ("check",), [*contacts.usual, *(pair for pair in contacts.pairs if pair[-1] == "e" and pair in read)]
    )
    yield from _lamps(("check",), contacts.usual)
    yield from _of_load(("check",), check)
    for i, further in enumerate(check.get("more", ())):
        yield from _of_further_set(i, further)
    yield from _of_tests(check)


def tidy(body: dict[str, Any]) -> None:
    """Take away groups whose every reading was taken away; a further set keeps its place."""
    check = body["check"]
    for one in (check, *check.get("more", ())):
        loaded = one.get("loaded", {})
        for place, group in ((one, "volts"), (one, "lamps"), (loaded, "volts")):
            if not place.get(group, True):
                del place[group]
    for group in ("near", "continuity"):
        if not check.get(group, True):
            del check[group]


def check_in_range(record: Record[CheckBody]) -> Iterator[Problem]:
    """Name every measured value that no instrument can have shown."""
    yield from values_in_range("/body/check", record.body["check"])


def readings_fit_the_outlet(record: Record[CheckBody]) -> Iterator[Problem]:
    """Name every reading between contacts that the outlet does not have."""
    check = record.body["check"]
    contacts = contacts_of(check["outlet"])
    for at, one in _sets(check):
        yield from _strays(f"{at}/volts", one.get("volts", ()), contacts.pairs, check["outlet"])
        yield from _strays(f"{at}/lamps", one.get("lamps", ()), contacts.usual, check["outlet"])
        if "loaded" in one:
            yield from _load(f"{at}/loaded", one["loaded"], contacts, check["outlet"])
    for contact in check.get("near", ()):
        if contact not in contacts.detector_places:
            missing = f"A {check['outlet']} has no {contact_words(contact)} contact"
            yield Problem(f"/body/check/near/{contact}", f"{missing}; correct the outlet, or take it out.")


def earth_is_read_with_high_impedance(record: Record[CheckBody]) -> Iterator[Problem]:
    """Name every reading to an earth outside the outlet that a low-impedance meter made."""
    for at, one in _sets(record.body["check"]):
        if one.get("meter", {}).get("input") != "low-impedance":
            continue
        for below, volts in (
            ("volts", one.get("volts", {})),
            ("loaded/volts", one.get("loaded", {}).get("volts", {})),
        ):
            for pair in volts:
                if pair.endswith("-e"):
                    sentence = f"{begun(pair_words(pair))} {EARTH_NEEDS_HIGH_IMPEDANCE}"
                    yield Problem(f"{at}/{below}/{pair}", sentence)


def _steps_done(body: CheckBody) -> Iterator[str]:
    check = body["check"]
    yield from (f"volts.{pair}" for pair in check.get("volts", ()))
    yield from (f"lamps.{pair}" for pair in check.get("lamps", ()))
    yield from (member for member in ("look", "loaded", "near", "continuity", "trip") if member in check)
    for trip in check.get("trip", ()):
        if trip.get("device", "this") == "this":
            yield from (answer for answer in ("tripped", "face_dead", "reset") if answer in trip)
    if body["ready"]["meter_proved"]:
        yield "meter_proved"


RULES: Final = (check_in_range, readings_fit_the_outlet, earth_is_read_with_high_impedance)
LAST_RULE: Final = not_tested_once(_steps_done)


def _of_further_set(i: int, further: More) -> Iterator[FormReading]:
    at, before = ("check", "more", i), f"Further set {i + 1}: "
    yield from _volts(at, further.get("volts", ()), before)
    yield from _lamps(at, further.get("lamps", ()), before)
    yield from _of_load(at, further, before)


def _of_load(at: tuple[Step, ...], one: Check | More, before: str = "") -> Iterator[FormReading]:
    if "loaded" in one:
        at = (*at, "loaded")
        yield FormReading((*at, "amps"), begun(f"{before}amps of the load, A"), "A")
        yield from _volts(at, one["loaded"].get("volts", ()), f"{before}under load: ")


def _volts(at: tuple[Step, ...], pairs: Iterable[str], before: str = "") -> Iterator[FormReading]:
    for pair in pairs:
        label = begun(f"{before}volts {pair_words(pair)}")
        yield FormReading((*at, "volts", pair), label, "V", is_optional=True, is_step=len(at) == 1)


def _lamps(at: tuple[Step, ...], pairs: Iterable[str], before: str = "") -> Iterator[FormReading]:
    for pair in pairs:
        label = begun(f"{before}the {pair_words(pair)} lamp")
        yield FormReading((*at, "lamps", pair), label, choices=LAMPS, is_optional=True, is_step=len(at) == 1)


def _of_tests(check: Check) -> Iterator[FormReading]:
    for pair in check.get("continuity", ()):
        label = begun(CONTINUITY_PAIRS[pair])
        yield FormReading(("check", "continuity", pair), label, choices=CONTINUITY, is_optional=True)
    for place in check.get("near", ()):
        label = f"Detector at the {'rig’s skin' if place == 'skin' else f'{contact_words(place)} contact'}"
        yield FormReading(("check", "near", place), label, choices=DETECTOR, is_optional=True, values=ANSWERS)


def _sets(check: Check) -> Iterator[tuple[str, Check | More]]:
    yield "/body/check", check
    for i, further in enumerate(check.get("more", ())):
        yield f"/body/check/more/{i}", further


def _load(at: str, loaded: Loaded, contacts: Contacts, outlet: str) -> Iterator[Problem]:
    yield from _strays(f"{at}/volts", loaded.get("volts", ()), contacts.pairs, outlet)
    if "across" not in loaded:
        if len(contacts.acrosses) > 1:
            yield Problem(
                f"{at}/across", f"Say which two contacts the load hangs across: {_listed(contacts.acrosses)}."
            )
    elif loaded["across"] not in contacts.acrosses:
        across = f"On a {outlet} a load does not hang across {pair_words(loaded['across'])}"
        yield Problem(f"{at}/across", f"{across}; it hangs across {_listed(contacts.acrosses)}.")


def _strays(
    at: str, pairs: Mapping[str, Any] | Sequence[str], known: Sequence[str], outlet: str
) -> Iterator[Problem]:
    for pair in pairs:
        if pair not in known:
            yield Problem(f"{at}/{pair}", _stray(pair, known, outlet))


def _stray(pair: str, known: Sequence[str], outlet: str) -> str:
    read = f"{begun(pair_words(pair))} is not read at a {outlet}"
    return f"{read}: correct the outlet, or the contacts, which are {_listed(known)}."


def _listed(pairs: Sequence[str]) -> str:
    *first, last = [pair_words(pair) for pair in pairs]
    return f"{', '.join(first)} or {last}" if first else last


def _yes_no(answer: bool) -> str:
    return "yes" if answer else "no"
