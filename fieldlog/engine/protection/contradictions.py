"""Where the trips disagree with the map."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from fieldlog.engine.protection.map import NO_POWER, NumberedMap
from fieldlog.model.rig_map import Contradiction, MapTrip


@dataclass(frozen=True)
class PartSightings:
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


def modes_with_power(wiring: NumberedMap, part: str) -> tuple[str, ...]:
    """Give the modes in which a part has power by the map, in their order.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    part : str
        Id of the part.

    Returns
    -------
    tuple of str
        Empty for a part that never has power.
    """
    number = wiring.number[part]
    return tuple(mode for mode in wiring.feeds if wiring.cuts(mode, wiring.drawn)[0][number] != NO_POWER)


def modes_of_trips(wiring: NumberedMap) -> dict[int, str]:
    """Give the mode each trip is held against: the one it names, else the one that it fits best.

    Parameters
    ----------
    wiring : NumberedMap
        The map with its trips.

    Returns
    -------
    dict of int to str
        By number of the trip. One that names none is looked at in each mode in which its device has power,
        and belongs to the first of those that it contradicts least, so that it contradicts the map only
        where it does in all of them; the first mode for a device that never has power.
    """
    cuts = {mode: wiring.cuts(mode, wiring.drawn) for mode in wiring.feeds}

    def mode_of(trip: MapTrip) -> str:
        if trip.mode is not None:
            return trip.mode
        device = wiring.number[trip.device]
        powered = [mode for mode, (at_line, _) in cuts.items() if at_line[device] != NO_POWER]
        fits = {mode: len(_against(wiring, cuts[mode][1], trip)) for mode in powered or [next(iter(cuts))]}
        return min(fits, key=lambda mode: fits[mode])

    return {place: mode_of(trip) for place, trip in enumerate(wiring.rig_map.trips)}


def contradictions(wiring: NumberedMap, modes: Mapping[int, str], mode: str) -> list[Contradiction]:
    """Give what a mode's trips left otherwise than the map says.

    Parameters
    ----------
    wiring : NumberedMap
        The map with its trips.
    modes : mapping of int to str
        By trip, the mode it is held against.
    mode : str
        The mode asked about.

    Returns
    -------
    list of Contradiction
        In order of trips, then of parts.
    """
    _, shown = wiring.cuts(mode, wiring.drawn)
    return [
        Contradiction(place, wiring.rig_map.parts[part].id, expected, seen)
        for place, trip in enumerate(wiring.rig_map.trips)
        if modes[place] == mode
        for part, expected, seen in _against(wiring, shown, trip)
    ]


def _against(wiring: NumberedMap, shown: Sequence[int], trip: MapTrip) -> list[tuple[int, str, str]]:
    """Give the parts that a trip left otherwise than a mode's cuts say: what they say, and what was seen."""
    device = wiring.number[trip.device]
    expected = {part: "dead" if shown[part] >> device & 1 else "live" for part, _ in _in_order(wiring, trip)}
    return [(part, expected[part], seen) for part, seen in _in_order(wiring, trip) if expected[part] != seen]


def _in_order(wiring: NumberedMap, trip: MapTrip) -> list[tuple[int, str]]:
    dead = [(wiring.number[part], "dead") for part in trip.dead]
    return sorted(dead + [(wiring.number[part], "live") for part in trip.live])


def sightings(wiring: NumberedMap, modes: Mapping[int, str]) -> dict[str, list[PartSightings]]:
    """Give, by mode, what all its trips together showed, in order of parts.

    Parameters
    ----------
    wiring : NumberedMap
        The map with its trips.
    modes : mapping of int to str
        By trip, the mode it is held against.

    Returns
    -------
    dict of str to list of PartSightings
        Only modes with trips.
    """
    told: dict[str, dict[int, list[int]]] = {}
    for place, trip in enumerate(wiring.rig_map.trips):
        bit = 1 << wiring.number[trip.device]
        for part, seen in _in_order(wiring, trip):
            both = told.setdefault(modes[place], {}).setdefault(part, [0, 0])
            both[0] |= bit
            both[1] |= bit if seen == "dead" else 0
    return {
        mode: [PartSightings(part, *both) for part, both in sorted(parts.items())]
        for mode, parts in told.items()
    }


def trips_that_contradict(wiring: NumberedMap, modes: Mapping[int, str]) -> Iterator[tuple[int, int, str]]:
    """Give two trips of one device in one mode, and the part that one left dead and the other live.

    Parameters
    ----------
    wiring : NumberedMap
        The map with its trips.
    modes : mapping of int to str
        By trip, the mode it is held against.

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
