"""A log in memory, as the store would give it."""

from collections.abc import Mapping
from typing import Any

from fieldlog.model.canonical import sha256_hex
from fieldlog.model.record import Flag, Record, StoredRecord
from tests.builders import NOON


def a_log(*records: Mapping[str, Any], flags: Mapping[str, str] | None = None) -> list[StoredRecord]:
    """Give the records as entries of one log, in this order; flags are by id of the record."""
    roots: dict[str, str] = {}
    for record in records:
        roots[record["id"]] = roots.get(record["corrects"] or "", record["id"])
    return [
        StoredRecord(
            seq=at,
            received_at=NOON,
            hash=sha256_hex(record),
            head=sha256_hex([at, record["id"]]),
            log="log",
            position=at,
            root=roots[record["id"]],
            flags=tuple(Flag("verdict-differs", detail) for detail in _details(flags, record["id"])),
            record=Record.from_json(record),
        )
        for at, record in enumerate(records, 1)
    ]


def _details(flags: Mapping[str, str] | None, record: str) -> list[str]:
    return [detail for of, detail in (flags or {}).items() if of == record]


def at(day: str) -> str:
    """Give a time on a day, as records carry it."""
    return f"{day}T18:00:00.000-06:00"


def correcting(
    record: Mapping[str, Any], identity: str, reason: str = "Misread.", **body: Any
) -> dict[str, Any]:
    """Give a correction that changes members of the body."""
    changed = {**record["body"], **body}
    return {**record, "id": identity, "corrects": record["id"], "reason": reason, "body": changed}
