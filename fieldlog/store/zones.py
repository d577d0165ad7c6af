"""The zone in which an account's phone was used last."""

from datetime import UTC, tzinfo

from fieldlog.store.ends import newest_numbers
from fieldlog.store.entries import entries_with
from fieldlog.store.session import Transaction

AT_A_TIME = 20
MOST = 200


def zone_of_account(tx: Transaction, account: str) -> tzinfo:
    """Give the offset of the newest record that tells one, in the order of arrival.

    UTC where none of the newest 200 does: whoever types all of them into forms has no phone to go by.
    """
    before = None
    for _ in range(0, MOST, AT_A_TIME):
        numbers = newest_numbers(tx, account, before, AT_A_TIME)
        if not numbers:
            break
        for entry in entries_with(tx, numbers)[::-1]:
            if entry.zone is not None:
                return entry.zone
        before = numbers[-1]
    return UTC
