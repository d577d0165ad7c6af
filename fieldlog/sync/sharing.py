"""What of a rig is shown to somebody who has no account: by a link, or by the code on what was printed.

A link's secret is drawn, shown once and kept nowhere. The secret of a code on paper follows from the server's
own key and from the code's id, so that the same record printed twice bears the same code; a new code has a
new id, so what was ended never opens again. Of either only the hash stands in the database.
"""

import base64
import hashlib
import hmac
import json
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from fieldlog.bundle.document import Scope
from fieldlog.errors import BadInput, NotFound
from fieldlog.model.problem import Problem
from fieldlog.model.rulebook import Rulebook
from fieldlog.model.share import LINK, PAPER, Share, ShareState, ShareVisit, Terms
from fieldlog.store.blobs import Blobs
from fieldlog.store.ends import readable_log
from fieldlog.store.photos import photo_with_hash, photos_named
from fieldlog.store.rigs import name_of_rig
from fieldlog.store.session import Store, Transaction
from fieldlog.store.shares import (
    add_share,
    change_terms,
    end_share,
    note_opening,
    paper_of,
    share_opened_by,
    shares_of,
)
from fieldlog.sync.signed_record import signed_record
from fieldlog.sync.signing_keys import SigningKeys

SECRET_BYTES: Final = 32
MOST_OPEN: Final = 50
"""Own choice: links of a rig that are not ended; nobody looks after more."""
PAGE: Final = "/shared"
_PAPER: Final = b"fieldlog code on paper 1\0"


@dataclass(frozen=True)
class Opening:
    """What a secret opened: the share, where it stands, and the signed record where that is shown."""

    share: Share
    standing: ShareState
    record: str | None = None


@dataclass(frozen=True, kw_only=True)
class Sharing:
    """The store, what signs and names, and the clock's now.

    Parameters
    ----------
    store : Store
        The database.
    secret : str
        The server's own key.
    new_id : callable
        Gives a new id.
    now : datetime
        When this happens.
    """

    store: Store
    secret: str
    new_id: Callable[[], str]
    now: datetime

    def link(self, account: str, rig: str, terms: Terms, days: int) -> str:
        """Make a link that shows a rig for so many days, and give its secret, this one time.

        Raises NotFound where the account reads no such rig, BadInput where it has too many links.
        """
        drawn = secrets.token_urlsafe(SECRET_BYTES)
        with self.store.writing() as tx:
            self._assert_rig(tx, account, rig)
            standing = [each for each in shares_of(tx, account, rig) if each.ended_at is None]
            if len(standing) >= MOST_OPEN:
                raise BadInput(
                    [Problem("/days", f"{MOST_OPEN} links of this rig stand open. End one first.")]
                )
            add_share(tx, self._new(account, rig, LINK, terms, days), drawn)
        return drawn

    def on_paper(self, account: str, rig: str) -> str:
        """Give the secret of the code that is printed on a rig's record, a new one where none stands."""
        with self.store.reading() as tx:
            self._assert_rig(tx, account, rig)
            found = paper_of(tx, account, rig)
        if found is None or found.ended_at is not None:
            with self.store.writing() as tx:
                found = self._paper(tx, account, rig)
        return self._code(found)

    def set_paper(self, account: str, rig: str, terms: Terms, days: int) -> None:
        """Say what the code on paper shows from now on."""
        with self.store.writing() as tx:
            self._assert_rig(tx, account, rig)
            found = self._paper(tx, account, rig)
            change_terms(tx, found.id, terms, self.now + timedelta(days=days) if terms.is_open else None)

    def end(self, account: str, rig: str, share: str) -> None:
        """End a share of a rig for good; raises NotFound where the account has none of this id there."""
        with self.store.writing() as tx:
            known = [each.id for each in shares_of(tx, account, rig)]
            if share not in known:
                raise NotFound("link")
            end_share(tx, account, share, self.now)

    def opened(
        self, secret: str, rulebook: Callable[[], Rulebook], keys: Callable[[], SigningKeys]
    ) -> Opening:
        """Give what a secret opens now, and note it; raises NotFound where it opens nothing."""
        with self.store.reading() as tx:
            share = share_opened_by(tx, secret)
        if share is None:
            raise NotFound("link")
        standing = share.standing(self.now)
        record = self._shown(share, rulebook(), keys()) if standing is ShareState.OPEN else None
        with self.store.writing() as tx:
            note_opening(tx, share, ShareVisit(self.now, record is not None))
        return Opening(share, standing, record)

    def picture(self, secret: str, sent_hash: str, blobs: Blobs) -> bytes:
        """Give a photo of which the log of a share speaks that shows them; raises NotFound for any other."""
        with self.store.reading() as tx:
            share = share_opened_by(tx, secret)
            is_shown = (
                share is not None and share.terms.pictures and share.standing(self.now) is ShareState.OPEN
            )
            if share is None or not is_shown or not _speaks_of(tx, share, sent_hash):
                raise NotFound("photo")
            photo = photo_with_hash(tx, share.account, sent_hash)
        if photo is None:
            raise NotFound("photo")
        return blobs.read(photo.kept_hash)

    def _shown(self, share: Share, rulebook: Rulebook, keys: SigningKeys) -> str:
        return shown(self.store, rulebook, share.account, share.log, share.terms, keys=keys, now=self.now)

    def _paper(self, tx: Transaction, account: str, rig: str) -> Share:
        """Give the code on paper that stands; a new one tells whose it is as the one before did."""
        found = paper_of(tx, account, rig)
        if found is not None and found.ended_at is None:
            return found
        told = Terms() if found is None else found.terms
        closed = Terms(owner_name=told.owner_name, how_to_ask=told.how_to_ask)
        fresh = self._new(account, rig, PAPER, closed, None)
        add_share(tx, fresh, self._code(fresh))
        return fresh

    def _code(self, paper: Share) -> str:
        digest = hmac.new(self.secret.encode(), _PAPER + paper.id.encode(), hashlib.sha256).digest()
        return base64.urlsafe_b64encode(digest).rstrip(b"=").decode()

    def _new(self, account: str, rig: str, use: str, terms: Terms, days: int | None) -> Share:
        return Share(
            id=self.new_id(),
            account=account,
            log=rig,
            use=use,
            made_at=self.now,
            expires_at=None if days is None else self.now + timedelta(days=days),
            ended_at=None,
            opened=0,
            terms=terms,
        )

    def _assert_rig(self, tx: Transaction, account: str, rig: str) -> None:
        if name_of_rig(tx, account, rig) is None:
            raise NotFound("rig")


def _speaks_of(tx: Transaction, share: Share, sent_hash: str) -> bool:
    key = readable_log(tx, share.account, share.log)
    return key is not None and sent_hash in photos_named(tx, key)


def shown(
    store: Store,
    rulebook: Rulebook,
    account: str,
    rig: str,
    terms: Terms,
    *,
    keys: SigningKeys,
    now: datetime,
) -> str:
    """Give the text of the signed record as somebody without an account gets it under these terms."""
    scope = Scope(arrivals=terms.arrivals, photos=terms.photos)
    document = signed_record(store, rulebook, account, rig, keys=keys, scope=scope, made_at=now)
    return json.dumps(document, ensure_ascii=False)


def address_of(site: str, secret: str) -> str:
    """Give the address that opens a share; what stands behind its # is sent to no server by a browser."""
    return f"{site.rstrip('/')}{PAGE}#{secret}"
