"""Takes the log of a rig over from another installation, hash by hash, by a signed record of all of it."""

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any

from fieldlog.bundle.integrity import fingerprint
from fieldlog.bundle.verifying import Verification
from fieldlog.errors import BadInput
from fieldlog.model.account import Account
from fieldlog.model.origin import Origin
from fieldlog.model.problem import Problem
from fieldlog.reports.origins import origin_lines
from fieldlog.store import migrations
from fieldlog.store.accounts import add_account
from fieldlog.store.ends import LogEnd, readable_log, readable_logs
from fieldlog.store.origins import add_origin, origins_of
from fieldlog.store.records import places
from fieldlog.store.rigs import rig_with_all
from fieldlog.store.session import Store, Transaction, open_store
from fieldlog.sync.inbox import Inbox, Receipt


@dataclass(frozen=True)
class Takeover:
    """What became of it: how many entries are new here, how many were here, and where they come from."""

    stored: int
    known: int
    origin: Origin


def take_over(held: Verification, inbox: Inbox, now: datetime) -> Takeover:
    """Take the log of a signed record that holds into an account, all of it or nothing.

    Raises BadInput where it does not show every entry, where the account has another log of the rig, or where
    this version refuses an entry.
    """
    subject = held.subject
    if subject["outlined"]:
        told = f"{len(subject['outlined'])} of its {subject['log']['count']} entries are named only."
        raise BadInput([Problem("/outlined", f"{told} Ask for one that shows all: arrivals and photos too.")])
    rig, end = subject["rig"]["id"], LogEnd(subject["log"]["count"], subject["log"]["head"])
    records = [entry["record"] for entry in sorted(subject["entries"], key=lambda each: each["position"])]
    with inbox.store.reading() as tx:
        _assert_continues(tx, inbox.account, rig, subject["log"]["hashes"])
        others = places(tx, inbox.account.id, [str(record["id"]) for record in records])
    if any(place.log != rig for place in others.values()):
        raise BadInput([Problem("/entries", "Another log of the account holds an entry of it already.")])
    _rehearse(records, rig, end, inbox, now)
    receipts = replace(inbox, instruments_stayed=True).receive(records, now)
    _assert_taken(receipts)
    issued_at = datetime.fromisoformat(held.document["validFrom"])
    origin = Origin(now, issued_at, held.issuer, end.position, end.head)
    with inbox.store.writing() as tx:
        known = origins_of(tx, inbox.account.id, rig)
        if not any((each.issuer, each.head) == (origin.issuer, origin.head) for each in known):
            add_origin(tx, inbox.account.id, rig, origin)
    stored = sum(receipt.status == "stored" for receipt in receipts)
    return Takeover(stored, len(receipts) - stored, origin)


def told_origins(tx: Transaction, account: str, rig: str, zone: tzinfo | None) -> list[str]:
    """Say from where a log of an account was taken over, where it was."""
    found = origins_of(tx, account, rig)
    return origin_lines(found, [fingerprint(each.issuer) for each in found], zone)


def _assert_continues(tx: Transaction, account: Account, rig: str, hashes: Sequence[str]) -> None:
    """Refuse where the account's log of the rig is no part of this one: places could not stay as they are."""
    found = rig_with_all(tx, account.id, rig) if readable_log(tx, account.id, rig) else None
    here = [entry.hash for entry in found.log] if found else []
    if list(hashes[: len(here)]) != here[: len(hashes)]:
        told = f"The account {account.name} has a log of this rig with other entries; nothing was taken over."
        raise BadInput([Problem("/log", told)])


def _rehearse(records: Sequence[Any], rig: str, end: LogEnd, inbox: Inbox, now: datetime) -> None:
    """Take it into a database that is thrown away, so that nothing is kept where not all of it can be."""
    with tempfile.TemporaryDirectory(prefix="fieldlog-") as folder:
        store = open_store(f"sqlite:///{Path(folder) / 'rehearsal.sqlite3'}")
        try:
            migrations.upgrade(store)
            _in_rehearsal(store, records, rig, end, inbox, now)
        finally:
            store.close()


def _in_rehearsal(
    store: Store, records: Sequence[Any], rig: str, end: LogEnd, inbox: Inbox, now: datetime
) -> None:
    account = inbox.account
    with store.writing() as tx:
        add_account(tx, account, name_key=account.id, password_hash="", created_at=now)
    _assert_taken(replace(inbox, store=store, instruments_stayed=True).receive(records, now))
    with store.reading() as tx:
        reached = next((at for key, at in readable_logs(tx, account.id).items() if key.log == rig), None)
    if reached != end:
        raise BadInput([Problem("/log", "Taken over, its log would not end as it does there.")])


def _assert_taken(receipts: Sequence[Receipt]) -> None:
    for place, receipt in enumerate(receipts, start=1):
        if receipt.status == "refused":
            told = " ".join(f"{each.at} {each.problem}".strip() for each in receipt.problems)
            raise BadInput([Problem(f"/entries/{place}", f"Entry {place} is refused here: {told}")])
