"""Offers of rigs to their next owners, and what became of them; of each secret only the hash is kept."""

import json
from collections.abc import Mapping
from dataclasses import asdict
from datetime import datetime
from typing import Any, Final

from sqlalchemy import insert, select, update

from fieldlog.model.hand_over import HandOver
from fieldlog.store.accounts import token_hash
from fieldlog.store.ends import readable_logs
from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.tables import hand_overs, logs, photos, records

_MEMBERS: Final = tuple(HandOver.__dataclass_fields__)
_COLUMNS: Final = [hand_overs.c[name] for name in _MEMBERS]
_IS_OPEN: Final = (hand_overs.c.ended_at.is_(None), hand_overs.c.taken_at.is_(None))


def add_hand_over(tx: Transaction, offer: HandOver, secret: str) -> None:
    """Keep an offer that is taken by a secret."""
    tx.execute(insert(hand_overs).values(token_hash=token_hash(secret), **asdict(offer)))


def end_offers(tx: Transaction, account: str, log: str, at: datetime) -> bool:
    """Take back what an account offers of a log; say whether there was something."""
    ended = update(hand_overs).where(hand_overs.c.account == account, hand_overs.c.log == log, *_IS_OPEN)
    return bool(tx.execute(ended.values(ended_at=at)).rowcount)


def end_all_offers(tx: Transaction, at: datetime) -> None:
    """Take back whatever is offered: which of it was taken back since is not known any more."""
    tx.execute(update(hand_overs).where(*_IS_OPEN).values(ended_at=at))


def offer_taken_by(tx: Transaction, secret: str) -> HandOver | None:
    """Give the offer that a secret takes, whatever became of it; None where it is none."""
    row = tx.execute(select(*_COLUMNS).where(hand_overs.c.token_hash == token_hash(secret))).one_or_none()
    return None if row is None else HandOver(**row._mapping)


def offers_of(tx: Transaction, account: str, log: str) -> list[HandOver]:
    """Give what an account has offered of a log, newest first."""
    asked = select(*_COLUMNS).where(hand_overs.c.account == account, hand_overs.c.log == log)
    rows = tx.execute(asked.order_by(hand_overs.c.made_at.desc(), hand_overs.c.id.desc()))
    return [HandOver(**row._mapping) for row in rows]


def handed_over_by(tx: Transaction, account: str) -> list[HandOver]:
    """Give what an account has handed over, newest first, whether it has come back since or not."""
    asked = select(*_COLUMNS).where(hand_overs.c.account == account, hand_overs.c.taken_at.is_not(None))
    rows = tx.execute(asked.order_by(hand_overs.c.taken_at.desc(), hand_overs.c.id.desc()))
    return [HandOver(**row._mapping) for row in rows]


def note_taken(tx: Transaction, offer: HandOver, receipt: str) -> None:
    """Note that an offer was taken, with the receipt of whoever had it."""
    taken = update(hand_overs).where(hand_overs.c.id == offer.id)
    tx.execute(
        taken.values(
            taken_at=offer.taken_at, taken_by=offer.taken_by, position=offer.position, receipt=receipt
        )
    )


def receipt_of(tx: Transaction, account: str, identity: str) -> str | None:
    """Give the receipt of what an account has handed over."""
    asked = select(hand_overs.c.receipt).where(
        hand_overs.c.account == account, hand_overs.c.id == identity, hand_overs.c.taken_at.is_not(None)
    )
    return tx.execute(asked).scalar_one_or_none()


def left_logs(tx: Transaction, account: str) -> dict[str, HandOver]:
    """Give the newest hand-over of each log that an account had and has no more, by the logs' names."""
    here = {key.log for key in readable_logs(tx, account)}
    handed_over = reversed(handed_over_by(tx, account))
    return {each.log: each for each in handed_over if each.log not in here}


def moved_places(tx: Transaction, left: Mapping[str, HandOver], ids: list[str]) -> list[Any]:
    """Give where records lie now that an account handed over: id, hash, seq, log, position and head.

    What whoever has them now has added is not among them.
    """
    names = ("id", "hash", "seq", "log", "position", "head")
    asked = select(*(records.c[name] for name in names))
    return [
        row
        for some in in_parts(ids if left else [])
        for row in tx.execute(asked.where(records.c.id.in_(some), records.c.log.in_(list(left))))
        if row.position <= (left[row.log].position or 0)
    ]


def photos_left(tx: Transaction, account: str) -> dict[str, bool]:
    """Give the photos of which logs speak that an account handed over, and whether each is here."""
    found: dict[str, bool] = {}
    for log, offer in left_logs(tx, account).items():
        for owner in tx.execute(select(logs.c.account).where(logs.c.log == log)).scalars().all():
            noted = (records.c.account == owner, records.c.rig == log, records.c.kind == "photo")
            texts = tx.execute(select(records.c.text).where(*noted, records.c.position <= offer.position))
            named = {str(json.loads(text)["body"]["hash"]) for text in texts.scalars()}
            here = set(tx.execute(select(photos.c.sent_hash).where(photos.c.account == owner)).scalars())
            found |= {name: name in here or found.get(name, False) for name in named}
    return found
