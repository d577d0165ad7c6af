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
from fieldlog.bundle.integrity import fingerprint, signer_of
from fieldlog.bundle.refused import Refused, say
from fieldlog.bundle.strict import read_strictly
from fieldlog.model.canonical import sha256_hex
from fieldlog.tables import SCHEMAS

FIRST_HEAD: Final = bytes(32)
NOT_AN_INSPECTION: Final = "not-an-inspection"
HAND_OVER: Final = "hand-over"
CANNOT_KNOW: Final = ("cannot-know-truth", "cannot-know-whole", "cannot-know-time", "cannot-know-whose")
"""What no signature shows; told with every result."""


@dataclass(frozen=True)
class Verification:
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


def verified(
    text: bytes, *, checkpoints: Sequence[Checkpoint] = (), issuers: Sequence[str] = ()
) -> Verification:
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
    Verification
        With the sentences of all that holds.

    Raises
    ------
    Refused
        With the first thing that does not.
    """
    document = read_strictly(text)
    _assert_shape(document)
    issuer = signer_of(document)
    if issuer != document["issuer"]:
        raise Refused("other-issuer")
    subject = document["credentialSubject"]
    keys = _keys(subject["keyChanges"], issuer, document["validFrom"])
    _assert_known(keys, issuers)
    heads = _heads(subject["log"])
    _assert_entries(subject)
    for each in checkpoints:
        _assert_passes(each, subject["rig"]["id"], heads, subject["restores"])
    told = (*_sentences(document, keys, issuers, checkpoints), *_hand_overs(subject["entries"], heads))
    return Verification(document, issuer, told)


def _assert_shape(document: Any) -> None:
    if not _quick().is_valid(document):
        first = min(_slow().iter_errors(document), key=lambda error: (len(error.path), str(error.path)))
        raise Refused("shape", place="/".join(str(step) for step in first.path)[:200] or "the document")


def _keys(changes: Sequence[Mapping[str, Any]], issuer: str, made: str) -> list[str]:
    """Give the names of all keys up to the issuer's, oldest first."""
    keys: list[str] = []
    before = ""
    for change in changes:
        if signer_of(change) != change["from"]:
            raise Refused("key-change-signer")
        if keys and keys[-1] != change["from"]:
            raise Refused("key-changes-apart")
        if not before <= change["at"] <= made:
            raise Refused("key-changes-order")
        before = change["at"]
        keys = [*(keys or [change["from"]]), change["to"]]
    if keys and keys[-1] != issuer:
        raise Refused("key-retired")
    if len(set(keys)) != len(keys):
        raise Refused("key-again")
    return keys or [issuer]


def _assert_known(keys: Sequence[str], issuers: Sequence[str]) -> None:
    wanted = {_bare(each) for each in issuers}
    if wanted and not wanted & {_bare(fingerprint(key)) for key in keys}:
        raise Refused("key-unknown", key=fingerprint(keys[-1]))


def _bare(text: str) -> str:
    return "".join(text.lower().split())


def _heads(log: Mapping[str, Any]) -> list[str]:
    """Give the head of the log after each entry, computed from the hashes."""
    head, heads = FIRST_HEAD, list[str]()
    for digest in log["hashes"]:
        head = hashlib.sha256(head + bytes.fromhex(digest)).digest()
        heads.append(head.hex())
    if len(heads) != log["count"]:
        raise Refused("count", named=len(heads), count=log["count"])
    if heads[-1] != log["head"]:
        raise Refused("head")
    return heads


def _assert_entries(subject: Mapping[str, Any]) -> None:
    hashes, rig = subject["log"]["hashes"], subject["rig"]["id"]
    places = [int(each["position"]) for each in (*subject["entries"], *subject["outlined"])]
    if sorted(places) != list(range(1, len(hashes) + 1)):
        raise Refused("places")
    for entry in subject["entries"]:
        place, record = int(entry["position"]), entry["record"]
        if sha256_hex(record) != hashes[place - 1]:
            raise Refused("entry", position=place)
        if record.get("rig") != rig:
            raise Refused("other-rig", position=place)


def _assert_passes(
    checkpoint: Checkpoint, rig: str, heads: Sequence[str], restores: Sequence[Mapping[str, Any]]
) -> None:
    if checkpoint.log != rig:
        raise Refused("checkpoint-other-log", day=checkpoint.day)
    if checkpoint.count <= len(heads) and heads[checkpoint.count - 1] == checkpoint.head:
        return
    count, day = checkpoint.count, checkpoint.day
    what = "checkpoint-shorter" if count > len(heads) else "checkpoint-changed"
    later = [each for each in restores if each["restoredAt"][:10] >= day]
    if not later:
        raise Refused(what, count=count, day=day, now=len(heads))
    why = say(what, count=count, day=day, now=len(heads))
    raise Refused("restored-since", reason=why, restored=later[-1]["restoredAt"], made=later[-1]["madeAt"])


def _sentences(
    document: Mapping[str, Any],
    keys: Sequence[str],
    issuers: Sequence[str],
    checkpoints: Sequence[Checkpoint],
) -> Iterator[str]:
    subject = document["credentialSubject"]
    yield say("holds-signed", key=fingerprint(keys[-1]), time=document["validFrom"])
    if issuers:
        yield say("holds-known-key")
    if len(keys) > 1:
        yield say("holds-keys", count=len(keys) - 1)
    count, shown = subject["log"]["count"], len(subject["entries"])
    yield say("holds-log", count=count, shown=shown)
    if shown < count:
        yield say("holds-outlined", count=count - shown)
    for each in sorted(checkpoints, key=lambda one: one.count):
        yield say("holds-checkpoint", count=each.count, day=each.day)


def _hand_overs(entries: Sequence[Mapping[str, Any]], heads: Sequence[str]) -> Iterator[str]:
    """Say of each hand-over that is shown whether the log ended before it as it says."""
    for entry in sorted(entries, key=lambda one: int(one["position"])):
        place, record = int(entry["position"]), entry["record"]
        if record["kind"] != HAND_OVER or record.get("corrects") is not None:
            continue
        count, head = record["body"].get("count"), record["body"].get("head")
        is_so = place > 1 and type(count) is not bool and (count, head) == (place - 1, heads[place - 2])
        what = "holds-handed-over" if is_so else "handed-over-elsewhere"
        yield say(what, position=place, day=record["observed_at"][:10], count=place - 1)


@cache
def _quick() -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(_schema())


@cache
def _slow() -> Draft202012Validator:
    return Draft202012Validator(_schema())


@cache
def _schema() -> Any:
    return json.loads((SCHEMAS / "bundle.schema.json").read_text(encoding="utf-8"))
