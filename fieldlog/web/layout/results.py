"""What a record came to, in a few words, by the names of its rig; lists of several pages say it alike."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from fieldlog.errors import FieldlogError
from fieldlog.kinds import kind_of
from fieldlog.kinds.kind import Glossary
from fieldlog.model.record import Record, StoredRecord
from fieldlog.model.rulebook import Rulebook
from fieldlog.store.rigs import rig_as_built
from fieldlog.store.session import Transaction

NO_RIG: Final = Glossary()


def result_of(record: Record, rulebook: Rulebook | FieldlogError, known: Glossary = NO_RIG) -> str:
    """Say in a few words what a record came to."""
    words = None if isinstance(rulebook, FieldlogError) else rulebook
    return kind_of(record.kind).in_short(record.body, replace(known, rulebook=words))


def known_for(tx: Transaction, account: str, record: Record) -> Glossary:
    """Give what the parts of the record's rig are called, and the parts of its newest map."""
    rig = None if record.rig is None else rig_as_built(tx, account, record.rig)
    if rig is None:
        return NO_RIG
    parts = () if rig.map is None else rig.map.body["parts"]
    names = {
        **{part["id"]: part["name"] for part in parts},
        **{thing.id: thing.name for thing in rig.things},
        **{change.id: str(change.chain.body["what"]) for change in rig.changes},
    }
    return Glossary(names, parts)


def one_a_rig(entries: Sequence[StoredRecord]) -> Iterable[StoredRecord]:
    """Give one entry of each rig that they are of, and of none."""
    return {entry.record.rig: entry for entry in entries}.values()
