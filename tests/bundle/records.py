"""A rig's log as a server keeps it, and its signed record, without a server."""

import copy
import hashlib
import json
import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from fieldlog.bundle.document import Issue, Scope, rig_record
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.record import Record, StoredRecord
from tests.builders import (
    a_full_check,
    a_look,
    a_photo,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_incident,
    an_outlet,
)

MADE_AT = datetime(2026, 11, 30, 12, tzinfo=UTC)
KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
RULEBOOK = "sha256:" + 64 * "0"


def noted() -> list[dict[str, Any]]:
    """Give records of a rig, the rig first."""
    rig = a_rig()
    check, device = an_arrival_check(a_full_check(), rig=rig["id"]), an_id()
    return [
        rig,
        an_outlet(rig["id"], "By the door", guard=device),
        a_trip_test(rig["id"], device),
        check,
        a_photo(check["id"], rig=rig["id"]),
        a_look(rig["id"]),
        an_incident(rig["id"]),
    ]


def logged(records: list[dict[str, Any]]) -> list[StoredRecord]:
    """Keep records one after another, as the log of a server does."""
    head, entries = bytes(32), list[StoredRecord]()
    for position, record in enumerate(records, start=1):
        digest = sha256_hex(record)
        head = hashlib.sha256(head + bytes.fromhex(digest)).digest()
        entries.append(
            StoredRecord(
                seq=position,
                received_at=MADE_AT - timedelta(days=30 - position % 30),
                hash=digest,
                head=head.hex(),
                log=records[0]["id"],
                position=position,
                root=record["id"],
                flags=(),
                record=Record.from_json(record),
                clock_offset_s=None if position % 2 else 1.5,
            )
        )
    return entries


def document(
    entries: list[StoredRecord] | None = None, scope: Scope | None = None, **members: Any
) -> dict[str, Any]:
    """Sign the record of a rig; members replace those of the issue."""
    found = logged(noted()) if entries is None else entries
    issue: dict[str, Any] = {"key": KEY, "changes": (), "made_at": MADE_AT, "rulebook": RULEBOOK} | members
    restores = issue.pop("restores", ())
    rig = {"id": found[0].record.id, "name": "Wren"}
    return rig_record(rig, found, restores, scope or Scope(), Issue(**issue))


def text_of(value: Any) -> bytes:
    """Write it as a file holds it."""
    return json.dumps(value, ensure_ascii=False, indent=1).encode()


def places(value: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Give the way to every value in a JSON value."""
    yield at
    held = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, each in held:
        yield from places(each, (*at, step))


def mutated(value: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """Change one thing somewhere: another value, one taken out, one put in, two that change places."""
    changed = copy.deepcopy(value)
    at = rng.choice([place for place in places(changed) if place])
    held: Any = changed
    for step in at[:-1]:
        held = held[step]
    act = rng.choice(("replace", "remove", "add", "double"))
    if act == "replace":
        held[at[-1]] = rng.choice([None, True, 0, 1, 7.5, "", "x", [], {}, "0" * 64, "2026-01-01T00:00:00Z"])
    elif act == "remove":
        del held[at[-1]]
    elif isinstance(held, dict):
        held[f"{at[-1]}x"] = held[at[-1]]
    else:
        held.insert(rng.randrange(len(held)), copy.deepcopy(held[at[-1]]))
    return changed
