"""What the list of the history shows: checks and tests, with what followed a check under it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fieldlog.errors import FieldlogError
from fieldlog.kinds import kinds
from fieldlog.model.bodies import PLUG_IN, BodyPlugIn
from fieldlog.model.record import StoredRecord
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.overview import guard_now
from fieldlog.store.chains import current_of
from fieldlog.store.records import chain_of_corrections, places
from fieldlog.store.rigs import rig_with_id
from fieldlog.store.session import Transaction
from fieldlog.web.layout.results import known_for, one_a_rig, result_of

SHOWN: Final = tuple(name for name, kind in kinds().items() if kind.is_in_history)


@dataclass(frozen=True)
class LogRow:
    """An entry of the log, what it came to, and what was seen after plugging in."""

    entry: StoredRecord
    result: str
    after: Sequence[StoredRecord] = ()
    is_apart: bool = False
    about: str = ""


def listed(
    tx: Transaction, account: str, entries: Sequence[StoredRecord], rulebook: Rulebook | FieldlogError
) -> list[LogRow]:
    """Give the entries with their results, each check with what followed it."""
    checks = [entry.root for entry in entries if entry.record.kind == "arrival-check"]
    after = plug_ins_after(tx, account, checks)
    rigs = {entry.record.rig: known_for(tx, account, entry.record) for entry in one_a_rig(entries)}
    found = []
    for entry in entries:
        result = result_of(entry.record, rulebook, rigs[entry.record.rig])
        about = rigs[entry.record.rig].names.get(entry.record.subject or "", "")
        found.append(LogRow(entry, result, after.get(entry.root, ()), _is_apart(tx, account, entry), about))
    return found


def plug_ins_after(
    tx: Transaction, account: str, checks: Sequence[str]
) -> Mapping[str, Sequence[StoredRecord[BodyPlugIn]]]:
    """Give what was seen after plugging in as it stands now, oldest first, by the first record of the check.

    Whichever version of the check it names.
    """
    seen = current_of(tx, account, PLUG_IN, checks) if checks else []
    named = places(tx, account, {str(each.record.subject) for each in seen})
    found: dict[str, list[StoredRecord[BodyPlugIn]]] = {}
    for plug_in in seen[::-1]:
        found.setdefault(named[str(plug_in.record.subject)].root, []).append(plug_in)
    return found


def guard_of(tx: Transaction, account: str, entry: StoredRecord) -> str:
    """Say what guards an outlet now, whatever was noted of it; "" for any other record."""
    rig = rig_with_id(tx, account, entry.record.rig or "") if entry.record.kind == "outlet" else None
    return "" if rig is None else guard_now(rig, entry.root)


def _is_apart(tx: Transaction, account: str, entry: StoredRecord) -> bool:
    chain = None if entry.record.corrects is None else chain_of_corrections(tx, account, entry.root)
    return chain is not None and bool(chain.beside)
