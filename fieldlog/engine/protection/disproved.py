"""Guards that a trip disproved: by the map a device guards a part, which stayed live when it tripped."""

from collections.abc import Mapping, Sequence

from fieldlog.engine.protection.map import NumberedMap
from fieldlog.model.rig_map import Contradiction

Disproved = dict[str, dict[str, int]]
"""By part and device, the number of the trip."""


def disproved(
    wiring: NumberedMap, mode: str, modes: Mapping[int, str], against: Sequence[Contradiction]
) -> Disproved:
    """Give what a mode's trips disprove, part by part.

    Parameters
    ----------
    wiring : NumberedMap
        The map with its trips.
    mode : str
        The mode asked about.
    modes : mapping of int to str
        By trip, the mode it is held against.
    against : sequence of Contradiction
        Of that mode.

    Returns
    -------
    dict of str to dict of str to int
        By part and device, the trip: first the parts that were seen to stay live, then what hangs on them.

    Notes
    -----
    What is fed from a part that stayed live stayed live as well, unless a trip of the same device left it
    dead. A face says nothing of what hangs on its device: with line and load swapped it alone stays live.
    """
    parts = wiring.rig_map.parts
    live = [(one, wiring.rig_map.trips[one.trip].device) for one in against if one.seen == "live"]
    found: Disproved = {}
    for one, device in live:
        found.setdefault(one.part, {}).setdefault(device, one.trip)
    for one, device in live:
        if one.part != device:
            for part in _hanging_on(wiring, mode, modes, one, device):
                found.setdefault(parts[part].id, {}).setdefault(device, one.trip)
    return found


def _hanging_on(
    wiring: NumberedMap, mode: str, modes: Mapping[int, str], one: Contradiction, device: str
) -> set[int]:
    trips, number = wiring.rig_map.trips, wiring.number
    dead = {
        number[part]
        for place, trip in enumerate(trips)
        if trip.device == device and modes[place] == mode
        for part in trip.dead
    }
    ends = [*zip(wiring.drawn.starts, wiring.ends, strict=True)]
    ways = [each for run, each in enumerate(ends) if run not in wiring.rig_map.standings[mode]]
    found, waiting = set[int](), [number[one.part]]
    while waiting:
        start = waiting.pop()
        new = {end for begin, end in ways if begin == start} - found - dead - wiring.inverters
        found |= new
        waiting += new
    return found
