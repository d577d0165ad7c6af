"""How often something shared may be asked for: guesses are slowed down, and so is who asks without end."""

import math
from datetime import datetime
from typing import Final

from fieldlog.errors import AskedTooOften
from fieldlog.store import tries
from fieldlog.store.accounts import token_hash
from fieldlog.store.session import Store
from fieldlog.web.layout.pace import MEMORY, TryPace, network_of

# Own choices. A secret has 256 bits, so no pace is needed against finding one; it spares the server.
GUESSES: Final = TryPace(free=10)
OPENINGS: Final = TryPace(free=60)
PICTURES: Final = TryPace(free=1000)


def admit(store: Store, secret: str, address: str, now: datetime) -> str:
    """Count that a secret is tried from an address; raise AskedTooOften where that has to wait.

    Gives under what it is counted as a guess, to be taken back where it opened something.
    """
    return _admit(store, address, f"shared {token_hash(secret)}", OPENINGS, now)


def admit_to_picture(store: Store, secret: str, address: str, now: datetime) -> str:
    """Count that a photo is asked for by a secret, as admit does; a record may have hundreds of them."""
    return _admit(store, address, f"pictures {token_hash(secret)}", PICTURES, now)


def _admit(store: Store, address: str, opening: str, pace: TryPace, now: datetime) -> str:
    network = f"shared from {network_of(address)}"
    with store.writing() as tx:
        found = tries.tries_of(tx, [network, opening], memory=MEMORY, now=now)
        left = max(GUESSES.left(found.get(network), now), pace.left(found.get(opening), now))
        if not left:
            for who in (network, opening):
                tries.count_try(tx, who, memory=MEMORY, now=now)
            tries.forget_old_tries(tx, now - MEMORY)
    if left:
        raise AskedTooOften(math.ceil(left.total_seconds()))
    return network


def was_right(store: Store, counted: str) -> None:
    """Take a guess back: it opened something."""
    with store.writing() as tx:
        tries.give_back_try(tx, counted)
