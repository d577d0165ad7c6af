"""What a signed record holds: the whole log by its hashes, what is shown of it, and who signed before."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from fieldlog.bundle.integrity import name_of, signed, written
from fieldlog.model.record import StoredRecord
from fieldlog.model.restore import Restore

CONTEXT: Final = ["https://www.w3.org/ns/credentials/v2", {"@vocab": "urn:fieldlog:"}]
TYPE: Final = ["VerifiableCredential", "RigRecord"]
VERSION: Final = 1


@dataclass(frozen=True)
class Scope:
    """What a reader gets to see whole; of the rest only the kind and the month.

    Parameters
    ----------
    arrivals : bool
        Checks on arrival, with their parks and days, and what was read after plugging in.
    photos : bool
        What is noted of photos, their hashes included.
    alone : str
        A kind beside which nothing is shown at all, "" for none.
    """

    arrivals: bool = False
    photos: bool = False
    alone: str = ""

    def shows(self, kind: str) -> bool:
        """Say whether records of a kind are shown whole."""
        if self.alone:
            return kind == self.alone
        if kind in ARRIVALS:
            return self.arrivals
        return self.photos or kind not in PHOTOS


ARRIVALS: Final = ("arrival-check", "plug-in")
PHOTOS: Final = ("photo",)


@dataclass(frozen=True, kw_only=True)
class Issue:
    """What a record is signed with.

    Parameters
    ----------
    key : Ed25519PrivateKey
        The server's key of today.
    changes : sequence of mapping
        Signed changes of keys, oldest first, the last one to this key.
    made_at : datetime
        When it is signed, aware of its zone.
    rulebook : str
        Id of the rulebook that judges today.
    """

    key: Ed25519PrivateKey
    changes: Sequence[Mapping[str, Any]]
    made_at: datetime
    rulebook: str


def rig_record(
    rig: Mapping[str, str],
    log: Iterable[StoredRecord],
    restores: Iterable[Restore],
    scope: Scope,
    issue: Issue,
) -> dict[str, Any]:
    """Give the signed record of a rig.

    Parameters
    ----------
    rig : mapping
        Its "id" and "name".
    log : iterable of StoredRecord
        Every entry of the rig's log, by position from 1.
    restores : iterable of Restore
        Backups that were put back, as far as they touch this log.
    scope : Scope
        What is shown whole.
    issue : Issue
        Key, time and rulebook.

    Returns
    -------
    dict
        As schemas/bundle.schema.json says.

    Raises
    ------
    ValueError
        Where the log is empty or its positions are not 1, 2, 3, ….
    """
    entries = list(log)
    if not entries or [entry.position for entry in entries] != list(range(1, len(entries) + 1)):
        raise ValueError("the log is empty, or an entry is missing")
    subject = {
        "version": VERSION,
        "rig": dict(rig),
        "rulebook": issue.rulebook,
        "log": {
            "count": len(entries),
            "head": entries[-1].head,
            "hashes": [entry.hash for entry in entries],
        },
        "entries": [_shown(entry) for entry in entries if scope.shows(entry.record.kind)],
        "outlined": [_outlined(entry) for entry in entries if not scope.shows(entry.record.kind)],
        "restores": list(_restores(restores)),
        "keyChanges": [dict(change) for change in issue.changes],
    }
    document = {
        "@context": CONTEXT,
        "type": TYPE,
        "issuer": name_of(issue.key.public_key()),
        "validFrom": written(issue.made_at),
        "credentialSubject": subject,
    }
    return signed(document, issue.key, issue.made_at)


def key_change(old: Ed25519PrivateKey, new: Ed25519PrivateKey, at: datetime) -> dict[str, Any]:
    """Give the sentence by which a key hands over to the next, signed by the old one."""
    document = {
        "@context": CONTEXT,
        "type": "KeyChange",
        "from": name_of(old.public_key()),
        "to": name_of(new.public_key()),
        "at": written(at),
    }
    return signed(document, old, at)


def _shown(entry: StoredRecord) -> dict[str, Any]:
    ahead = entry.clock_offset_s
    return {
        "position": entry.position,
        "receivedAt": written(entry.received_at),
        "serverAheadMs": None if ahead is None else round(ahead * 1000),
        "record": entry.record.as_json(),
    }


def _outlined(entry: StoredRecord) -> dict[str, Any]:
    month = entry.received_at.astimezone(UTC).strftime("%Y-%m")
    return {"position": entry.position, "kind": entry.record.kind, "month": month}


def _restores(restores: Iterable[Restore]) -> Iterator[dict[str, Any]]:
    for restore in restores:
        yield {
            "restoredAt": written(restore.restored_at),
            "madeAt": written(restore.made_at),
            "count": restore.position,
            "head": restore.head,
        }
