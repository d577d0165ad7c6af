"""A rig is handed over to its next owner on the same server: offered by one, taken by the other.

The offer's secret is drawn, shown once and kept nowhere. Taking it moves the whole log in one transaction,
adds the record of the hand-over at its end, signs the receipt of whoever had the rig, and ends what they
shared of it.
"""

import hashlib
import json
import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, Final

from fieldlog.bundle.document import Scope
from fieldlog.errors import BadInput, NotFound
from fieldlog.model.account import Account
from fieldlog.model.bodies import HAND_OVER
from fieldlog.model.bounds import Bounds
from fieldlog.model.canonical import canonical
from fieldlog.model.hand_over import HandOver
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record, observed_text
from fieldlog.model.rulebook import Rulebook
from fieldlog.store.accounts import account_with_id
from fieldlog.store.ends import LogEnd, LogKey, readable_log, readable_logs
from fieldlog.store.hand_overs import (
    add_hand_over,
    end_offers,
    note_taken,
    offer_taken_by,
)
from fieldlog.store.log import assert_log_holds
from fieldlog.store.moving import ids_of_log, move_log, size_of_log
from fieldlog.store.records import Addition, append, hold_account, places
from fieldlog.store.restore import restores_noted
from fieldlog.store.rigs import name_of_rig, rig_with_all
from fieldlog.store.session import Store, Transaction
from fieldlog.store.shares import end_shares_of
from fieldlog.store.sizes import Size, take_over_size, take_records
from fieldlog.sync.signed_record import signed_of
from fieldlog.sync.signing_keys import SigningKeys

SECRET_BYTES: Final = 32
PAGE: Final = "/take-over"
OWN: Final = "This rig is yours. Whoever is to have it opens the link signed in to an account of their own."
TWICE: Final = "You have a log of this rig already, so this one cannot be taken beside it; nothing was moved."
MIXED: Final = "A log of yours holds an entry of this one already, so it cannot be taken; nothing was moved."


@dataclass(frozen=True)
class HandOverOffer:
    """What a secret offers: the offer, from whom, and how much there is of it."""

    offer: HandOver
    giver: Account
    size: Size


@dataclass(frozen=True, kw_only=True)
class HandingOver:
    """The store, what names, and the clock's now.

    Parameters
    ----------
    store : Store
        The database.
    new_id : callable
        Gives a new id.
    now : datetime
        When this happens.
    """

    store: Store
    new_id: Callable[[], str]
    now: datetime

    def offer(self, account: str, rig: str, days: int) -> str:
        """Offer a rig for so many days, and give the secret that takes it; an offer before it ends.

        Raises NotFound where the account reads no such rig, LogDamaged where its log does not hold.
        """
        drawn = secrets.token_urlsafe(SECRET_BYTES)
        with self.store.writing() as tx:
            name = name_of_rig(tx, account, rig)
            if name is None:
                raise NotFound("rig")
            assert_log_holds(tx, account, rig)
            end_offers(tx, account, rig, self.now)
            fresh = HandOver(
                id=self.new_id(),
                account=account,
                log=rig,
                name=name,
                made_at=self.now,
                expires_at=self.now + timedelta(days=days),
            )
            add_hand_over(tx, fresh, drawn)
        return drawn

    def withdraw(self, account: str, rig: str) -> None:
        """Take an offer back; one that was taken meanwhile stays taken."""
        with self.store.writing() as tx:
            end_offers(tx, account, rig, self.now)

    def offered(self, secret: str) -> HandOverOffer:
        """Give what a secret offers now; raises NotFound where that is nothing."""
        with self.store.reading() as tx:
            return self._offered(tx, secret)

    def take(
        self, secret: str, taker: Account, rulebook: Rulebook, keys: SigningKeys, bounds: Bounds
    ) -> HandOver:
        """Move the rig that a secret offers to an account, and give what became of the offer.

        Raises NotFound where it offers nothing any more, BadInput where the account cannot take it, NoRoom
        where there is none for it, LogDamaged where the log does not hold; nothing is moved then.
        """
        with self.store.writing() as tx:
            offered = self._offered(tx, secret)
            offer, giver = offered.offer, offered.giver
            for account in sorted((giver.id, taker.id)):
                hold_account(tx, account)
            key = LogKey(giver.id, offer.log)
            _assert_can_take(tx, key, taker)
            assert_log_holds(tx, giver.id, offer.log)
            end = readable_logs(tx, giver.id)[key]
            take_over_size(tx, giver.id, taker.id, offered.size, bounds)
            move_log(tx, key, taker)
            self._note(tx, taker, offer.log, end, bounds)
            taken = replace(offer, taken_at=self.now, taken_by=taker.name, position=end.position + 1)
            note_taken(tx, taken, self._receipt(tx, taker, offer.log, rulebook, keys))
            end_shares_of(tx, giver.id, offer.log, self.now)
        return taken

    def _offered(self, tx: Transaction, secret: str) -> HandOverOffer:
        offer = offer_taken_by(tx, secret)
        giver = account_with_id(tx, offer.account) if offer is not None and offer.stands(self.now) else None
        if offer is None or giver is None or readable_log(tx, giver.id, offer.log) is None:
            raise NotFound("offer")
        return HandOverOffer(offer, giver, size_of_log(tx, LogKey(giver.id, offer.log)))

    def _note(self, tx: Transaction, taker: Account, rig: str, end: LogEnd, bounds: Bounds) -> None:
        """Add the record of the hand-over at the end of the log."""
        record: Record[Any] = Record(
            id=self.new_id(),
            kind=str(HAND_OVER),
            observed_at=observed_text(self.now),
            made_by=taker.name,
            rig=rig,
            body={"count": end.position, "head": end.head},
        )
        text = canonical(record.as_json())
        take_records(tx, self.store, taker.id, [text], bounds)
        addition = Addition(record, text, hashlib.sha256(text).hexdigest(), record.id)
        append(tx, taker.id, [addition], received_at=self.now)

    def _receipt(
        self, tx: Transaction, taker: Account, rig: str, rulebook: Rulebook, keys: SigningKeys
    ) -> str:
        """Sign what was handed over: every entry by its hash, none shown but that of the hand-over."""
        found = rig_with_all(tx, taker.id, rig)
        assert found is not None, "it was moved in this transaction"
        restores = restores_noted(tx, taker.id, rig)
        scope = Scope(alone=str(HAND_OVER))
        return json.dumps(
            signed_of(found, restores, rulebook, keys=keys, scope=scope, made_at=self.now), ensure_ascii=False
        )


def _assert_can_take(tx: Transaction, key: LogKey, taker: Account) -> None:
    if taker.id == key.owner:
        raise BadInput([Problem("", OWN)])
    if readable_log(tx, taker.id, key.log) is not None:
        raise BadInput([Problem("", TWICE)])
    if places(tx, taker.id, ids_of_log(tx, key)):
        raise BadInput([Problem("", MIXED)])


def address_of(site: str, secret: str) -> str:
    """Give the address that takes an offer; what stands behind its # is sent to no server by a browser."""
    return f"{site.rstrip('/')}{PAGE}#{secret}"
