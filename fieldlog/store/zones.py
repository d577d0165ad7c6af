"""The zone in which an account's phone was used last."""

from datetime import UTC, tzinfo

from fieldlog.store.records import _of, _stored
from fieldlog.store.session import Transaction
from fieldlog.store.tables import records

AT_A_TIME = 20


def zone_of_account(tx: Transaction, account: str) -> tzinfo:
    """Give the offset of the newest record that tells one, in the order of arrival; UTC where none does."""
    question = _of(account).order_by(records.c.seq.desc()).limit(AT_A_TIME)
    some = _stored(tx, question)
    while some:
        for entry in some:
            if entry.zone is not None:
                return entry.zone
        some = _stored(tx, question.where(records.c.seq < some[-1].seq))
    return UTC
