"""Passwords: which are taken, how they are hashed and compared."""

import threading
import unicodedata
from functools import cache
from pathlib import Path
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from fieldlog.model.problem import Problem

FEWEST: Final = 8  # ASVS 5.0.0, 6.2.1
ADVISED: Final = 15
MOST: Final = 256
# argon2id with 19 MiB, two passes, one lane: the least that the OWASP password storage sheet names.
HASHER: Final = PasswordHasher(time_cost=2, memory_cost=19456, parallelism=1)
COMMON: Final = Path(__file__).with_name("common-passwords.txt")
_AT_ONCE: Final = threading.BoundedSemaphore(4)  # a flood of sign-ins must not fill the memory


def problem_of_password(password: str, name: str) -> Problem | None:
    """Say what is wrong with a new password, if anything; there are no rules about kinds of characters."""
    if len(password) < FEWEST:
        return _problem(
            f"The password is too short: take at least {FEWEST} characters, better {ADVISED} or more."
        )
    if len(password) > MOST:
        return _problem(f"The password is too long: take at most {MOST} characters.")
    if password.casefold() in _common() or password.casefold() == name.casefold():
        return _problem(
            "This password is among the first that anyone would guess; take a few words of your own."
        )
    return None


def hash_of(password: str) -> str:
    """Give what is kept of a password."""
    with _AT_ONCE:
        return HASHER.hash(_normal(password))


def is_password(password: str, kept: str | None) -> bool:
    """Compare a password with what is kept; with nothing kept it takes as long and is false."""
    with _AT_ONCE:
        try:
            right = HASHER.verify(kept or _nobodys(), _normal(password))
        except (VerificationError, InvalidHashError):
            return False
    return right and kept is not None


def needs_new_hash(kept: str) -> bool:
    """Say whether a hash was made with weaker settings than today's."""
    return HASHER.check_needs_rehash(kept)


def _normal(password: str) -> str:
    return unicodedata.normalize("NFC", password)


def _problem(sentence: str) -> Problem:
    return Problem("/password", sentence)


@cache
def _common() -> frozenset[str]:
    return frozenset(COMMON.read_text(encoding="utf-8").splitlines())


@cache
def _nobodys() -> str:
    return HASHER.hash("the password of nobody")
