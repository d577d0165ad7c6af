"""How long the next try at a password has to wait after those that failed. Pure."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv6Address, ip_address, ip_network
from typing import Final

from fieldlog.store.tries import Tries

# Own choices: nobody waits longer than this for a try, and at that pace fewer than 100 an hour are possible.
LONGEST: Final = timedelta(seconds=45)
MEMORY: Final = timedelta(hours=1)
# Who has failed at a name lets those go first who have not: by so much for each failure, up to that.
GIVES_WAY: Final = timedelta(seconds=5)
GIVES_WAY_AT_MOST: Final = timedelta(seconds=15)
_IPV6_PREFIX: Final = 64


@dataclass(frozen=True)
class TryPace:
    """Some tries are free; after each one more the wait doubles, from a second up to the longest."""

    free: int

    def delay(self, failed: int) -> timedelta:
        """Give the time that has to lie between the last failure and the next try."""
        if failed < self.free:
            return timedelta(0)
        return min(timedelta(seconds=2 ** min(failed - self.free, 10)), LONGEST)

    def left(self, tries: Tries | None, now: datetime, *, besides: timedelta = timedelta(0)) -> timedelta:
        """Give how long is to be waited from now on; besides is added to a delay, where there is one."""
        delay = self.delay(tries.failed) if tries else timedelta(0)
        if tries is None or not delay:
            return timedelta(0)
        return max(timedelta(0), min(tries.last_at + delay + besides - now, delay + besides))


def way_given(own: Tries | None) -> timedelta:
    """Give how long a network that failed at a name stands back behind one that did not."""
    return min(GIVES_WAY * own.failed, GIVES_WAY_AT_MOST) if own else timedelta(0)


def network_of(address: str) -> str:
    """Give the network that one household or phone has to itself: a v4 address, a /64 of v6."""
    try:
        found = ip_address(address)
    except ValueError:
        return address[:45] or "nowhere"
    if isinstance(found, IPv6Address) and found.ipv4_mapped:
        found = found.ipv4_mapped
    if isinstance(found, IPv6Address):
        return str(ip_network((int(found), _IPV6_PREFIX), strict=False))
    return str(found)
