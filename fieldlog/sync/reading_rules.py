"""What makes readings right: what an instrument can show, between contacts that the outlet has."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fieldlog.model.contacts import Contacts, contacts_of
from fieldlog.model.measured import measured, out_of_range
from fieldlog.model.problem import Problem
from fieldlog.model.record import CHECK_KINDS, Record
from fieldlog.words.wording import begun, near_words, pair_words

EARTH_NEEDS_HIGH_IMPEDANCE = (
    "was read with a low-impedance meter, which drives current into the stake. "
    "Read it again with a high-impedance one, or take it out."
)


def values_in_range(record: Record) -> Iterator[Problem]:
    """Name every measured value that no instrument can have shown."""
    for at, values in _measured_parts(record):
        for below, sentence in out_of_range(values):
            yield Problem(f"{at}{below}", sentence)
    for at, text in _loose_volts(record):
        if measured(text, "V") > 600:
            yield Problem(at, f"{text} is not between 0 and 600 V; look for a lost decimal point.")


def readings_fit_the_outlet(record: Record) -> Iterator[Problem]:
    """Name every reading between contacts that the outlet does not have."""
    if record.kind not in CHECK_KINDS:
        return
    check = record.body["check"]
    contacts = contacts_of(check["outlet"])
    for at, one in _sets(check):
        yield from _strays(f"{at}/volts", one.get("volts", ()), contacts.pairs, check["outlet"])
        yield from _strays(f"{at}/lamps", one.get("lamps", ()), contacts.lamp_pairs, check["outlet"])
        if "loaded" in one:
            yield from _load(f"{at}/loaded", one["loaded"], contacts, check["outlet"])
    for contact in check.get("near", ()):
        if contact not in contacts.near:
            missing = f"A {check['outlet']} has no {near_words(contact)} contact"
            yield Problem(f"/body/check/near/{contact}", f"{missing}; correct the outlet, or take it out.")


def earth_is_read_with_high_impedance(record: Record) -> Iterator[Problem]:
    """Name every reading to an earth outside the outlet that a low-impedance meter made."""
    if record.kind not in CHECK_KINDS:
        return
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


def _measured_parts(record: Record) -> Iterator[tuple[str, Mapping[str, Any]]]:
    if record.kind in CHECK_KINDS:
        yield "/body/check", record.body["check"]
    elif record.kind in ("trip-test", "instrument"):
        yield "/body", record.body


def _loose_volts(record: Record) -> Iterator[tuple[str, str]]:
    if record.kind == "plug-in":
        skin, inside = record.body["skin"], record.body["inside"]
        for name in ("volts", "low_impedance"):
            if skin is not None and name in skin:
                yield f"/body/skin/{name}", skin[name]
        if inside is not None:
            yield "/body/inside", inside


def _sets(check: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    yield "/body/check", check
    for i, further in enumerate(check.get("more", ())):
        yield f"/body/check/more/{i}", further


def _load(at: str, loaded: Mapping[str, Any], contacts: Contacts, outlet: str) -> Iterator[Problem]:
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
