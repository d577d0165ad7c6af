"""Who may sign in: guesses are slowed down, yet nobody is shut out and nobody can lock an owner out.

Each failure makes the next try wait, never longer than a minute. Counted are the failures at one name from
one network (a v4 address, a /64 of v6), and those at one name from everywhere, which bounds what strangers
together can try at it in an hour. A network that failed at a name gives way to one that did not, so that
somebody who comes at once whenever a try is free cannot take all of them. What is tried at other names holds
up nobody, not even in the same network. A browser that has signed in to an account before carries a signed
mark and is counted by itself alone: no stranger's guesses ever keep it waiting.

What this cannot do: somebody with dozens of networks in an hour can be in the way of a browser that is new to
an account, because nothing but the password tells the two apart. A browser with a mark is not touched.
"""

import hashlib
import math
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from fieldlog.errors import TooManyTries
from fieldlog.model.account import Account
from fieldlog.store import accounts, tries
from fieldlog.store.session import Store
from fieldlog.web.layout.pace import MEMORY, TryPace, network_of, way_given
from fieldlog.web.people.accounts import name_key
from fieldlog.web.people.passwords import hash_of, is_password, needs_new_hash

# Own choices: a person mistypes a few times.
BY_ONE: Final = TryPace(free=5)
BY_NAME: Final = TryPace(free=10)
MOST_MARKS: Final = 5


@dataclass(frozen=True)
class Visitor:
    """Where a try comes from: an address, and the marks of a browser that has signed in before."""

    address: str
    marks: str | None


def admit(store: Store, name: str, password: str, visitor: Visitor, now: datetime) -> Account | None:
    """Give the account if name and password are right, else None; raise TooManyTries when it has to wait."""
    key = name_key(name)
    counted = _count(store, key, visitor, now)
    with store.reading() as tx:
        known = accounts.credentials_of(tx, key)
    if not is_password(password, known.password_hash if known else None) or known is None:
        return None
    _settle(store, known, password, counted)
    return known.account


def is_own_password(store: Store, account: Account, password: str, now: datetime) -> bool:
    """Say whether who is signed in knows the password; guesses by a stolen session are slowed down too."""
    who = f"account {account.id}"
    with store.writing() as tx:
        found = tries.tries_of(tx, [who], memory=MEMORY, now=now).get(who)
        left = BY_ONE.left(found, now)
        if not left:
            tries.count_try(tx, who, memory=MEMORY, now=now)
    _wait(left)
    with store.reading() as tx:
        known = accounts.credentials_of(tx, name_key(account.name))
    if known is None or not is_password(password, known.password_hash):
        return False
    _settle(store, known, password, [who])
    return True


def marks_with(marks: str | None, account: Account, token: str) -> str:
    """Give the marks that a browser keeps after signing in; they are kept in the signed cookie.

    One for each of the accounts that were last signed in there.
    """
    key = name_key(account.name)
    others = [each for each in _marks(marks) if each[0] != key]
    mark = (key, hashlib.sha256(token.encode()).hexdigest()[:32])
    return "\n".join(part for each in [*others, mark][-MOST_MARKS:] for part in each)


def names_counted(name: str) -> str:
    """Give the name under which strangers' tries at an account are counted."""
    return f"name {name_key(name)}"


def _marks(marks: str | None) -> list[tuple[str, str]]:
    parts = (marks or "").split("\n")
    return list(zip(parts[::2], parts[1::2], strict=False))


def _count(store: Store, key: str, visitor: Visitor, now: datetime) -> list[str]:
    """Count the try before the password is looked at, so that many at once do not slip through."""
    mark = dict(_marks(visitor.marks)).get(key)
    one = f"name {key} from {network_of(visitor.address)}" if mark is None else f"browser {mark}"
    counted = [one] if mark is not None else [one, f"name {key}"]
    with store.writing() as tx:
        found = tries.tries_of(tx, counted, memory=MEMORY, now=now)
        own, everybodys = found.get(one), found.get(f"name {key}")
        left = max(BY_ONE.left(own, now), BY_NAME.left(everybodys, now, besides=way_given(own)))
        if not left:
            for who in counted:
                tries.count_try(tx, who, memory=MEMORY, now=now)
            tries.forget_old_tries(tx, now - MEMORY)
    _wait(left)
    return counted


def _wait(left: timedelta) -> None:
    if left:
        raise TooManyTries(math.ceil(left.total_seconds()))


def _settle(store: Store, known: accounts.Credentials, password: str, counted: Collection[str]) -> None:
    """Give the try back, and keep a stronger hash where the one that was kept is weak."""
    fresh = hash_of(password) if needs_new_hash(known.password_hash) else None
    with store.writing() as tx:
        for who in counted:
            tries.give_back_try(tx, who)
        if fresh:
            accounts.replace_password_hash(tx, known.account, fresh)
