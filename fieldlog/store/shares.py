"""What is shared with people who have no account; of each secret only the hash is kept."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import asdict
from datetime import datetime
from typing import Any, Final

from sqlalchemy import delete, func, insert, select, update

from fieldlog.model.share import PAPER, Share, ShareVisit, Terms
from fieldlog.store.accounts import token_hash
from fieldlog.store.session import Transaction
from fieldlog.store.tables import share_visits as visits
from fieldlog.store.tables import shares

MOST_VISITS: Final = 200
"""Own choice: so many openings of each share are kept, the newest."""
_MEMBERS: Final = tuple(Terms.__dataclass_fields__)


def add_share(tx: Transaction, share: Share, secret: str) -> None:
    """Keep a share that opens by a secret."""
    whole = asdict(share)
    terms = whole.pop("terms")
    tx.execute(insert(shares).values(token_hash=token_hash(secret), **whole, **_row(terms)))


def change_terms(tx: Transaction, share: str, terms: Terms, expires_at: datetime | None) -> None:
    """Show something else by a share from now on, until another time."""
    changed = update(shares).where(shares.c.id == share)
    tx.execute(changed.values(expires_at=expires_at, **_row(asdict(terms))))


def end_share(tx: Transaction, account: str, share: str, at: datetime) -> bool:
    """End a share of an account for good; say whether there was one to end."""
    ended = update(shares).where(
        shares.c.account == account, shares.c.id == share, shares.c.ended_at.is_(None)
    )
    return bool(tx.execute(ended.values(ended_at=at)).rowcount)


def end_shares_of(tx: Transaction, account: str, log: str, at: datetime) -> None:
    """End whatever an account shares of a log."""
    of_it = (shares.c.account == account, shares.c.log == log, shares.c.ended_at.is_(None))
    tx.execute(update(shares).where(*of_it).values(ended_at=at))


def end_all_shares(tx: Transaction, at: datetime) -> None:
    """End whatever is shared: which of it was ended since is not known any more."""
    tx.execute(update(shares).where(shares.c.ended_at.is_(None)).values(ended_at=at))


def shares_of(tx: Transaction, account: str, log: str) -> list[Share]:
    """Give what an account shares of a log and has shared, newest first."""
    asked = select(shares).where(shares.c.account == account, shares.c.log == log)
    return [_share(row) for row in tx.execute(asked.order_by(shares.c.made_at.desc(), shares.c.id.desc()))]


def share_opened_by(tx: Transaction, secret: str) -> Share | None:
    """Give the share that a secret opens, ended or not; None where it is none."""
    row = tx.execute(select(shares).where(shares.c.token_hash == token_hash(secret))).one_or_none()
    return None if row is None else _share(row)


def paper_of(tx: Transaction, account: str, log: str) -> Share | None:
    """Give the newest code that stands on paper of a log, ended or not."""
    asked = select(shares).where(shares.c.account == account, shares.c.log == log, shares.c.use == PAPER)
    row = tx.execute(asked.order_by(shares.c.made_at.desc(), shares.c.id.desc()).limit(1)).one_or_none()
    return None if row is None else _share(row)


def note_opening(tx: Transaction, share: Share, visit: ShareVisit, *, most: int = MOST_VISITS) -> None:
    """Note that a share was opened; beyond the most that are kept the oldest make room."""
    tx.execute(update(shares).where(shares.c.id == share.id).values(opened=shares.c.opened + 1))
    tx.execute(
        insert(visits).values(
            share=share.id, account=share.account, at=visit.at, was_shown=int(visit.was_shown)
        )
    )
    of_it = visits.c.share == share.id
    newest = select(visits.c.id).where(of_it).order_by(visits.c.id.desc()).limit(most).subquery()
    oldest = select(func.min(newest.c.id)).scalar_subquery()
    tx.execute(delete(visits).where(of_it, visits.c.id < oldest))


def openings_of(tx: Transaction, account: str, log: str) -> Mapping[str, list[ShareVisit]]:
    """Give when what an account shares of a log was opened, by the ids of the shares, newest first."""
    asked = (
        select(visits.c.share, visits.c.at, visits.c.was_shown)
        .join(shares, shares.c.id == visits.c.share)
        .where(shares.c.account == account, shares.c.log == log)
    )
    found: dict[str, list[ShareVisit]] = defaultdict(list)
    for row in tx.execute(asked.order_by(visits.c.id.desc())):
        found[row.share].append(ShareVisit(row.at, bool(row.was_shown)))
    return found


def _row(terms: Mapping[str, Any]) -> dict[str, Any]:
    return {name: int(value) if isinstance(value, bool) else value for name, value in terms.items()}


def _share(row: Any) -> Share:
    whole = row._asdict()
    whole.pop("token_hash")
    terms: dict[str, Any] = {name: whole.pop(name) for name in _MEMBERS}
    for flag in ("is_open", "arrivals", "photos", "pictures"):
        terms[flag] = bool(terms[flag])
    return Share(**whole, terms=Terms(**terms))
