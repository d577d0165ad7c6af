"""Where the trips disagree with the map."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fieldlog.engine.protection.map import NO_POWER, Wiring
from fieldlog.model.rig_map import Contradiction, MapTrip


@dataclass(frozen=True)
class Seen:
    """What the trips of one mode showed of one part.

    Parameters
    ----------
    part : int
        Number of the part.
    told : int
        Devices whose trips speak of it [bits].
    dead : int
        Those of them that left it dead [bits].
    """

    part: int
    told: int
    dead: int


def modes_of_trips(wiring: Wiring) -> dict[int, str]:
    """Give the mode each trip was made in: the one it names, else the first in which its device has power.

    Parameters
    ----------
    wiring : Wiring
        The map with its trips.

    Returns
    -------
    dict of int to str
        By number of the trip; the first mode for a device that never has power.
    """
    at_line = {mode: wiring.cuts(mode, wiring.drawn)[0] for mode in wiring.feeds}

    def mode_of(trip: MapTrip) -> str:
        device = wiring.number[trip.device]
        powered = (mode for mode, cut in at_line.items() if cut[device] != NO_POWER)
        return trip.mode if trip.mode is not None else next(powered, next(iter(at_line)))

    return {place: mode_of(trip) for place, trip in enumerate(wiring.rig_map.trips)}


def contradictions(wiring: Wiring, modes: Mapping[int, str], mode: str) -> list[Contradiction]:
    """Give what a mode's trips left otherwise than the map says.

    Parameters
    ----------
    wiring : Wiring
        The map with its trips.
    modes : mapping of int to str
        By trip, the mode it was made in.
    mode : str
        The mode asked about.

    Returns
    -------
    list of Contradiction
        In order of trips, then of parts.
    """
    _, shown = wiring.cuts(mode, wiring.drawn)
    found: list[Contradiction] = []
    for place, trip in enumerate(wiring.rig_map.trips):
        if modes[place] == mode:
            device = wiring.number[trip.device]
            for part, seen in _in_order(wiring, trip):
                expected = "dead" if shown[part] >> device & 1 else "live"
                if expected != seen:
                    found.append(Contradiction(place, wiring.rig_map.parts[part].id, expected, seen))
    return found


def _in_order(wiring: Wiring, trip: MapTrip) -> list[tuple[int, str]]:
    dead = [(wiring.number[part], "dead") for part in trip.dead]
    return sorted(dead + [(wiring.number[part], "live") for part in trip.live])


def sightings(wiring: Wiring, modes: Mapping[int, str]) -> dict[str, list[Seen]]:
    """Give, by mode, what all its trips together showed, in order of parts.

    Parameters
    ----------
    wiring : Wiring
        The map with its trips.
    modes : mapping of int to str
        By trip, the mode it was made in.

    Returns
    -------
    dict of str to list of Seen
        Only modes with trips.
    """
    told: dict[str, dict[int, list[int]]] = {}
    for place, trip in enumerate(wiring.rig_map.trips):
        bit = 1 << wiring.number[trip.device]
        for part, seen in _in_order(wiring, trip):
            both = told.setdefault(modes[place], {}).setdefault(part, [0, 0])
            both[0] |= bit
            both[1] |= bit if seen == "dead" else 0
    return {mode: [Seen(part, *both) for part, both in sorted(parts.items())] for mode, parts in told.items()}


def disagreeing(wiring: Wiring, modes: Mapping[int, str]) -> Iterator[tuple[int, int, str]]:
    """Give two trips of one device in one mode, and the part that one left dead and the other live.

    Parameters
    ----------
    wiring : Wiring
        The map with its trips.
    modes : mapping of int to str
        By trip, the mode it was made in.

    Yields
    ------
    int, int, str
        The earlier and the later trip, and the part's id.
    """
    before: dict[tuple[str, str, int], tuple[int, str]] = {}
    for place, trip in enumerate(wiring.rig_map.trips):
        for part, seen in _in_order(wiring, trip):
            key = (modes[place], trip.device, part)
            earlier, said = before.setdefault(key, (place, seen))
            if said != seen:
                yield earlier, place, wiring.rig_map.parts[part].id
