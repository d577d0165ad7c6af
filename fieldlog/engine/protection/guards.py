"""Which ground-fault devices guard which outlet."""

from fieldlog.engine.protection.map import NO_POWER, NumberedMap
from fieldlog.model.rig_map import MapPart


def guards_of(wiring: NumberedMap, mode: str) -> dict[str, tuple[str, ...]]:
    """Give, by outlet that has power in a mode, its guards, nearest first.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    mode : str
        Name of the mode.

    Returns
    -------
    dict of str to tuple of str
        In the order of the map; an empty tuple for an outlet without a guard.

    Notes
    -----
    A guard is a GFCI receptacle or a GFCI in a cord for all that lies beyond its load side, a GFCI breaker
    for all beyond it, and a GFCI receptacle for its own face. Where two sources feed at once, only what every
    way from a source leads through guards.
    """
    at_line, shown = wiring.cuts(mode, wiring.drawn)
    outlets = [(place, part) for place, part in enumerate(wiring.rig_map.parts) if part.is_outlet]
    return {
        part.id: _nearest_first(wiring, mode, place, shown[place])
        for place, part in outlets
        if at_line[place] != NO_POWER
    }


def _nearest_first(wiring: NumberedMap, mode: str, place: int, cut: int) -> tuple[str, ...]:
    above = (wiring.drawn.starts[run] for run in wiring.way_up(mode, wiring.drawn, place))
    parts, ways = wiring.rig_map.parts, (place, *above)
    if wiring.joins[mode]:
        ways = tuple(wiring.nearest(mode, place))
    return tuple(parts[one].id for one in ways if parts[one].is_guard and cut >> one & 1)


def unpowered(wiring: NumberedMap, mode: str) -> list[MapPart]:
    """Give the outlets to which no power comes in a mode, in the order of the map."""
    at_line, _ = wiring.cuts(mode, wiring.drawn)
    parts = wiring.rig_map.parts
    return [part for part, cut in zip(parts, at_line, strict=True) if part.is_outlet and cut == NO_POWER]
