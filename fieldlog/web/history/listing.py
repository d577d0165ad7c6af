"""What the list of the history shows: checks and tests, with what followed a check under it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fieldlog.errors import FieldlogError
from fieldlog.model.record import Record, StoredRecord, shows_skin
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.noted import NOT_TESTED, Known
from fieldlog.reports.noted_wiring import in_short
from fieldlog.store.chains import current_records
from fieldlog.store.records import chain_of_corrections, places
from fieldlog.store.rigs import rig_as_built
from fieldlog.store.session import Transaction
from fieldlog.words.naming import ending
from fieldlog.words.wording import INSTEAD_OF_A_VERDICT, begun

SHOWN = (
    "arrival-check",
    "outlet-test",
    "trip-test",
    "look",
    "proof",
    "change",
    "rig-map",
    "round",
    "incident",
)
NO_RIG: Final = Known()
SKIN_NOT_TESTED: Final = "skin not tested"
SKINS: Final = {
    "stop": "the skin was live",
    "limit": "more on the skin than a sound ground leaves",
    "not-tested": SKIN_NOT_TESTED,
}


@dataclass(frozen=True)
class Listed:
    """An entry of the log, what it came to, and what was seen after plugging in."""

    entry: StoredRecord
    result: str
    after: Sequence[StoredRecord] = ()
    is_apart: bool = False
    about: str = ""


def listed(
    tx: Transaction, account: str, entries: Sequence[StoredRecord], rulebook: Rulebook | FieldlogError
) -> list[Listed]:
    """Give the entries with their results, each check with what followed it."""
    checks = [entry.root for entry in entries if entry.record.kind == "arrival-check"]
    after = plug_ins_after(tx, account, checks)
    rigs = {entry.record.rig: known_for(tx, account, entry.record) for entry in _one_a_rig(entries)}
    found = []
    for entry in entries:
        result = result_of(entry.record, rulebook, rigs[entry.record.rig])
        about = rigs[entry.record.rig].names.get(entry.record.subject or "", "")
        found.append(Listed(entry, result, after.get(entry.root, ()), _is_apart(tx, account, entry), about))
    return found


def plug_ins_after(
    tx: Transaction, account: str, checks: Sequence[str]
) -> Mapping[str, Sequence[StoredRecord]]:
    """Give what was seen after plugging in as it stands now, oldest first, by the first record of the check.

    Whichever version of the check it names.
    """
    seen = current_records(tx, account, kinds=("plug-in",), subjects=checks) if checks else []
    named = places(tx, account, {str(each.record.subject) for each in seen})
    found: dict[str, list[StoredRecord]] = {}
    for plug_in in reversed(seen):
        found.setdefault(named[str(plug_in.record.subject)].root, []).append(plug_in)
    return found


def result_of(record: Record, rulebook: Rulebook | FieldlogError, known: Known = NO_RIG) -> str:
    """Say in a few words what a record came to."""
    if record.is_check:
        return INSTEAD_OF_A_VERDICT if isinstance(rulebook, FieldlogError) else ending(record.body, rulebook)
    if record.kind == "plug-in":
        return _after(record)
    if record.kind == "trip-test":
        return _pressed(record)
    if record.kind == "photo":
        return str(record.body["what"] or "A photo")
    return in_short(record.kind, record.body, known.names, known.parts) or str(record.body["name"])


def known_for(tx: Transaction, account: str, record: Record) -> Known:
    """Give what the parts of the record's rig are called, and the parts of its newest map."""
    rig = None if record.rig is None else rig_as_built(tx, account, record.rig)
    if rig is None:
        return NO_RIG
    parts = () if rig.map is None else rig.map.body["parts"]
    names = {
        **{part["id"]: part["name"] for part in parts},
        **{outlet.id: outlet.name for outlet in rig.outlets},
        **{device.id: device.name for device in rig.devices},
        **{change.id: str(change.chain.body["what"]) for change in rig.changes},
    }
    return Known(names, parts)


def _one_a_rig(entries: Sequence[StoredRecord]) -> Iterable[StoredRecord]:
    return {entry.record.rig: entry for entry in entries}.values()


def _is_apart(tx: Transaction, account: str, entry: StoredRecord) -> bool:
    chain = None if entry.record.corrects is None else chain_of_corrections(tx, account, entry.root)
    return chain is not None and bool(chain.beside)


def _after(record: Record) -> str:
    if record.body["tingle"]:
        return "A tingle was felt"
    inside = f"volts inside: {record.body['inside'] or NOT_TESTED}"
    skin = (
        SKINS.get(record.body["judgement"]["level"]) if shows_skin(record.body["skin"]) else SKIN_NOT_TESTED
    )
    return begun(f"{skin}, {inside}" if skin else inside)


def _pressed(record: Record) -> str:
    """Say how a trip test came out, with all that speaks against the device."""
    body = record.body
    word = {True: "Tripped", False: "Did not trip"}.get(body["tripped"], "Trip not tested")
    stayed = "its own face stayed live" if body["face_dead"] is False else ""
    held = "did not reset" if body["reset"] is False else ""
    return ", ".join(each for each in (word, stayed, held) if each)
