"""What cuts what off where wiring has more than one feed: power then comes by any way, backwards as well."""

from collections import deque
from collections.abc import Iterable, Sequence

NO_POWER = -1
"""Every bit is set."""

Joint = tuple[int, int, int]
"""Two places that are joined, and the device between them [bit]; 0 where it is wire."""


def cuts_by_place(count: int, joints: Iterable[Joint], sources: Sequence[int]) -> list[int]:
    """Give, by place, the devices each of which alone cuts it off from every source.

    Parameters
    ----------
    count : int
        How many places there are; they are numbered from 0.
    joints : iterable of (int, int, int)
        Two places and the bit of the device between them, 0 for wire; power goes through in both directions.
    sources : sequence of int
        Places at which power comes in.

    Returns
    -------
    list of int
        Bits of devices; NO_POWER where no power comes.

    Notes
    -----
    A device cuts a place off where every way from a source to it leads through the device: the devices on one
    way are joined, those of several ways are met. Each pass only takes bits away, so it comes to an end.

    Examples
    --------
    Place 1 lies behind one device from source 0, behind another from source 2; neither cuts it off:

    >>> cuts_by_place(3, [(0, 1, 0b01), (2, 1, 0b10)], [0])
    [0, 1, 3]
    >>> cuts_by_place(3, [(0, 1, 0b01), (2, 1, 0b10)], [0, 2])
    [0, 0, 0]
    """
    neighbours: list[list[tuple[int, int]]] = [[] for _ in range(count)]
    for one, other, bit in joints:
        neighbours[one].append((other, bit))
        neighbours[other].append((one, bit))
    cut = [NO_POWER] * count
    for source in sources:
        cut[source] = 0
    waiting = deque(sources)
    while waiting:
        place = waiting.popleft()
        for other, bit in neighbours[place]:
            left = cut[other] & (cut[place] | bit)
            if left != cut[other]:
                cut[other] = left
                waiting.append(other)
    return cut
