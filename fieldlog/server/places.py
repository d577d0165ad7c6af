"""How many connections there may be, of one address and of all; who waits longest gives way to who comes.

A newcomer is let in rather than refused: an ordinary request arrives in a moment and is gone again, so a
crowd that sends slowly only pushes itself out.
"""

from collections import defaultdict
from collections.abc import Iterable
from ipaddress import IPv6Address, ip_address
from typing import Generic, Protocol, TypeVar


class Holder(Protocol):
    """What holds a place."""

    @property
    def waits_since_s(self) -> float | None:
        """When it began to wait for the other side; None while the app works for it."""

    @property
    def is_spare(self) -> bool:
        """Whether nothing is lost with it: it is kept open only for what may come."""

    def give_way(self) -> None:
        """Give its place up now."""


H = TypeVar("H", bound=Holder)


class Places(Generic[H]):
    """The places of one process; an address may be unknown, as behind a proxy until the head was read."""

    def __init__(self, most: int, most_by_address: int) -> None:
        self.most, self.most_by_address = most, most_by_address
        self._address: dict[H, str | None] = {}
        self._of: defaultdict[str, set[H]] = defaultdict(set)

    def __len__(self) -> int:
        """Count the places that are held."""
        return len(self._address)

    def holders(self) -> list[H]:
        """Give all who hold one."""
        return list(self._address)

    def enter(self, holder: H, address: str | None) -> bool:
        """Give a place, or say that there is none: all are held by those for whom the app works."""
        if len(self._address) >= self.most and not _free_one(self._address):
            return False
        self._address[holder] = None
        if self.name(holder, address):
            return True
        self.leave(holder)
        return False

    def name(self, holder: H, address: str | None) -> bool:
        """Count a holder under an address from now on, or say that it has no place there."""
        self._forget(holder)
        if address is None:
            return True
        if len(self._of[address]) >= self.most_by_address and not _free_one(self._of[address]):
            return False
        self._address[holder] = address
        self._of[address].add(holder)
        return True

    def leave(self, holder: H) -> None:
        """Take the place back, if it was held."""
        if holder in self._address:
            self._forget(holder)
            del self._address[holder]

    def _forget(self, holder: H) -> None:
        address = self._address[holder]
        self._address[holder] = None
        if address is not None:
            self._of[address].discard(holder)
            if not self._of[address]:
                del self._of[address]


def counted_as(address: str) -> str:
    """Give what an address counts as: in IPv6 its /64, which one customer has whole."""
    try:
        found = ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if not isinstance(found, IPv6Address):
        return str(found)
    if found.ipv4_mapped:
        return str(found.ipv4_mapped)
    return f"{found.exploded[:19]}::/64"


def forwarded_for(values: Iterable[str], hops: int) -> str | None:
    """Give the address that the outermost of so many proxies saw; what stands before it anyone can claim."""
    told = [address.strip() for value in values for address in value.split(",")]
    return told[-hops] if len(told) >= hops else None


def _free_one(holders: Iterable[Holder]) -> bool:
    """Have the one give way that has waited longest, before others one with which nothing is lost."""
    waiting = [
        (not holder.is_spare, since, holder)
        for holder in holders
        if (since := holder.waits_since_s) is not None
    ]
    if not waiting:
        return False
    min(waiting, key=lambda each: each[:2])[2].give_way()
    return True
