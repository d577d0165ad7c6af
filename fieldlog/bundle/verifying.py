"""Reads a signed record again: what of it holds, and what no such record can show.

All that is said of it comes from what was signed. The first thing that does not hold refuses the whole.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import jsonschema_rs
from jsonschema import Draft202012Validator

from fieldlog.bundle.checkpoint import Checkpoint
from fieldlog.bundle.integrity import NotSigned, fingerprint, signer_of
from fieldlog.bundle.strict import read_strictly
from fieldlog.errors import FieldlogError
from fieldlog.model.canonical import sha256_hex
from fieldlog.tables import SCHEMAS

FIRST_HEAD: Final = bytes(32)
CANNOT_KNOW: Final = (
    "Whether a reading is true, and whether it was taken at that rig on that day: the owner entered it.",
    "Whether every test that was made was noted, and whether a second log was kept beside this one.",
    "Whether it existed on the day it bears: the clock is the issuing server’s. "
    "A checkpoint that somebody else kept shows it.",
    "Whose key it is, unless you had its fingerprint from the owner before.",
)
"""What no signature shows; told with every result."""
NOT_AN_INSPECTION: Final = "Entered by the owner. Not an inspection."


class NotHeld(FieldlogError):
    """Something in a signed record contradicts itself or what it is held against."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"This record is refused: {reason}.")


@dataclass(frozen=True)
class Held:
    """What holds of a signed record.

    Parameters
    ----------
    document : mapping
        All that was signed.
    issuer : str
        The name of the key, "did:key:z6Mk…".
    sentences : tuple of str
        What holds, in plain words.
    """

    document: Mapping[str, Any]
    issuer: str
    sentences: tuple[str, ...]

    @property
    def subject(self) -> Mapping[str, Any]:
        """Give what it says of the rig."""
        subject: Mapping[str, Any] = self.document["credentialSubject"]
        return subject

    @property
    def fingerprint(self) -> str:
        """Give what people compare of the key."""
        return fingerprint(self.issuer)


def verified(text: bytes, *, checkpoints: Sequence[Checkpoint] = (), issuers: Sequence[str] = ()) -> Held:
    """Verify a signed record.

    Parameters
    ----------
    text : bytes
        The JSON.
    checkpoints : sequence of Checkpoint
        Of this log, kept elsewhere; each has to be among its entries.
    issuers : sequence of str
        Fingerprints of keys that the reader knows; where there are any, one of them has to have signed it, or
        have handed over to the key that did.

    Returns
    -------
    Held
        With the sentences of all that holds.

    Raises
    ------
    NotStrict, NotSigned, NotHeld
        With the first thing that does not.
    """
    document = read_strictly(text)
    _assert_shape(document)
    issuer = signer_of(document)
    if issuer != document["issuer"]:
        raise NotSigned("another key signed it than the one it names as its issuer")
    subject = document["credentialSubject"]
    keys = _keys(subject["keyChanges"], issuer, document["validFrom"])
    _assert_known(keys, issuers)
    heads = _heads(subject["log"])
    _assert_entries(subject)
    for each in checkpoints:
        _assert_passes(each, subject["rig"]["id"], heads, subject["restores"])
    return Held(document, issuer, tuple(_sentences(document, keys, issuers, checkpoints)))


def _assert_shape(document: Any) -> None:
    if _quick().is_valid(document):
        return
    first = min(_slow().iter_errors(document), key=lambda error: (len(error.path), str(error.path)))
    place = "/".join(str(step) for step in first.path) or "the document"
    raise NotHeld(f"{place[:200]} is not as a record is written ({first.message[:200]})")


def _keys(changes: Sequence[Mapping[str, Any]], issuer: str, made: str) -> list[str]:
    """Give the names of all keys up to the issuer's, oldest first."""
    keys: list[str] = []
    before = ""
    for change in changes:
        if signer_of(change) != change["from"]:
            raise NotSigned("a change of keys was not signed by the key that hands over")
        if keys and keys[-1] != change["from"]:
            raise NotHeld("its changes of keys do not follow from one another")
        if not before <= change["at"] <= made:
            raise NotHeld("its changes of keys are not in the order of their times")
        before = change["at"]
        keys = [*(keys or [change["from"]]), change["to"]]
    if keys and keys[-1] != issuer:
        raise NotHeld("its issuer's key is not the one that was handed over to last")
    if len(set(keys)) != len(keys):
        raise NotHeld("a key that was retired comes back in its changes of keys")
    return keys or [issuer]


def _assert_known(keys: Sequence[str], issuers: Sequence[str]) -> None:
    wanted = {_bare(each) for each in issuers}
    if wanted and not wanted & {_bare(fingerprint(key)) for key in keys}:
        raise NotHeld(
            f"its key is {fingerprint(keys[-1])}, which is none of those that you know, "
            "and none of those handed over to it"
        )


def _bare(text: str) -> str:
    return "".join(text.lower().split())


def _heads(log: Mapping[str, Any]) -> list[str]:
    """Give the head of the log after each entry, computed from the hashes."""
    head, heads = FIRST_HEAD, list[str]()
    for digest in log["hashes"]:
        head = hashlib.sha256(head + bytes.fromhex(digest)).digest()
        heads.append(head.hex())
    if len(heads) != log["count"]:
        raise NotHeld(f"it names {len(heads)} entries of its log and says {log['count']}")
    if heads[-1] != log["head"]:
        raise NotHeld("the head of its log does not follow from the entries it names")
    return heads


def _assert_entries(subject: Mapping[str, Any]) -> None:
    hashes, rig = subject["log"]["hashes"], subject["rig"]["id"]
    places = [int(each["position"]) for each in (*subject["entries"], *subject["outlined"])]
    if sorted(places) != list(range(1, len(hashes) + 1)):
        raise NotHeld("an entry of its log is told twice, or neither shown nor outlined")
    for entry in subject["entries"]:
        place, record = int(entry["position"]), entry["record"]
        if sha256_hex(record) != hashes[place - 1]:
            raise NotHeld(f"entry {place} is not the one whose hash stands in the log")
        if record.get("rig") != rig:
            raise NotHeld(f"entry {place} is of another rig")


def _assert_passes(
    checkpoint: Checkpoint, rig: str, heads: Sequence[str], restores: Sequence[Mapping[str, Any]]
) -> None:
    if checkpoint.log != rig:
        raise NotHeld(f"the checkpoint of {checkpoint.day} is of another log")
    if checkpoint.count <= len(heads) and heads[checkpoint.count - 1] == checkpoint.head:
        return
    later = [each for each in restores if each["restoredAt"][:10] >= checkpoint.day]
    explained = (
        "; the record tells of a backup that was put back on or after that day "
        f"({later[-1]['restoredAt']}, made {later[-1]['madeAt']}), which may explain it and does not prove it"
        if later
        else ""
    )
    reason = (
        f"the log had {checkpoint.count} entries on {checkpoint.day} and has {len(heads)} now"
        if checkpoint.count > len(heads)
        else f"what stands before entry {checkpoint.count} is not what stood there on {checkpoint.day}"
    )
    raise NotHeld(reason + explained)


def _sentences(
    document: Mapping[str, Any],
    keys: Sequence[str],
    issuers: Sequence[str],
    checkpoints: Sequence[Checkpoint],
) -> Iterator[str]:
    subject, key = document["credentialSubject"], fingerprint(keys[-1])
    yield f"It is what the key {key} signed, unchanged since. It bears the time {document['validFrom']}."
    if issuers:
        yield "The key is one that you know, or one that it handed over to."
    if len(keys) > 1:
        yield f"The key followed {len(keys) - 1} earlier: each handed over to the next by its own signature."
    count, shown = subject["log"]["count"], len(subject["entries"])
    yield f"The log had {count} entries then; {shown} are shown, each with the hash that stands in the log."
    if shown < count:
        yield f"{count - shown} are named by hash, kind and month only: the owner chose not to show them."
    for each in sorted(checkpoints, key=lambda one: one.count):
        yield (
            f"Up to entry {each.count} nothing was changed, dropped or put in between since the checkpoint "
            f"of {each.day}."
        )


@cache
def _quick() -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(_schema())


@cache
def _slow() -> Draft202012Validator:
    return Draft202012Validator(_schema())


@cache
def _schema() -> Any:
    return json.loads((SCHEMAS / "bundle.schema.json").read_text(encoding="utf-8"))
