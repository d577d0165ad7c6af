"""Who may sign in: guesses are slowed down, yet nobody can lock the owner out.

Three counts hold guesses up: those from one address, those for one name from one address, and those for
one name from all browsers that are new to it. A browser that has signed in to an account before carries a
signed mark and is counted by itself alone, so that somebody else's guesses never keep its owner waiting.
"""

import hashlib
import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from fieldlog.errors import TooManyTries
from fieldlog.model.account import Account
from fieldlog.store import accounts, tries
from fieldlog.store.session import Store
from fieldlog.web.people.accounts import name_key
from fieldlog.web.people.passwords import hash_of, is_password, needs_new_hash

# Own choices: a person mistypes a few times; a guesser gets fewer than 100 guesses an hour at one account.
WINDOW: Final = timedelta(minutes=15)
MOST_BY_BROWSER: Final = 10
MOST_BY_NAME_AND_ADDRESS: Final = 10
MOST_BY_NAME: Final = 24
MOST_BY_ADDRESS: Final = 30


@dataclass(frozen=True)
class Visitor:
    """Where a try comes from: an address, and the mark of a browser that has signed in before."""

    address: str
    mark: str | None


def admit(store: Store, name: str, password: str, visitor: Visitor, now: datetime) -> Account | None:
    """Give the account if name and password are right, else None; raise TooManyTries when it has to wait."""
    key = name_key(name)
    limits = _limits(key, visitor)
    _count(store, limits, now)
    with store.reading() as tx:
        known = accounts.credentials_of(tx, key)
    if not is_password(password, known.password_hash if known else None) or known is None:
        return None
    fresh = hash_of(password) if needs_new_hash(known.password_hash) else None
    with store.writing() as tx:
        for who in limits:
            tries.give_back_try(tx, who)
        if fresh:
            accounts.replace_password_hash(tx, known.account, fresh)
    return known.account


def mark_for(account: Account, token: str) -> str:
    """Give the mark that a browser keeps after signing in; it is kept in the signed cookie."""
    return f"{name_key(account.name)}\n{hashlib.sha256(token.encode()).hexdigest()[:32]}"


def _limits(key: str, visitor: Visitor) -> dict[str, int]:
    if visitor.mark is not None and visitor.mark.rpartition("\n")[0] == key:
        return {f"browser {visitor.mark.rpartition(chr(10))[2]}": MOST_BY_BROWSER}
    return {
        f"name {key}": MOST_BY_NAME,
        f"address {visitor.address}": MOST_BY_ADDRESS,
        f"name {key} from {visitor.address}"[:300]: MOST_BY_NAME_AND_ADDRESS,
    }


def _count(store: Store, limits: dict[str, int], now: datetime) -> None:
    """Count the try before the password is looked at, so that many at once do not slip through."""
    with store.writing() as tx:
        waits = [tries.wait_of(tx, who, most=most, window=WINDOW, now=now) for who, most in limits.items()]
        longest = max((wait for wait in waits if wait is not None), default=None)
        if longest is None:
            for who in limits:
                tries.count_try(tx, who, window=WINDOW, now=now)
            tries.forget_old_tries(tx, now - WINDOW)
    if longest is not None:
        raise TooManyTries(math.ceil(longest.total_seconds()))
