"""The only caller of the clock and of randomness; times and new ids reach everyone else as arguments."""

import secrets
from datetime import UTC, datetime

from fieldlog.model.identity import uuid7


def now() -> datetime:
    """Give the present as an aware UTC time."""
    return datetime.now(UTC)


def new_id() -> str:
    """Give a fresh UUIDv7 in lower case."""
    unix_ms = int(now().timestamp() * 1000)
    return uuid7(unix_ms, secrets.randbits(12), secrets.randbits(62))
