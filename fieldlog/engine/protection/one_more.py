"""What one more ground-fault device would guard, and where it would guard most."""

from collections.abc import Iterator
from dataclasses import dataclass

from fieldlog.engine.protection.guards import guards_of
from fieldlog.engine.protection.map import NumberedMap

_BECOMES = {"inlet": "cord-gfci", "breaker": "breaker", "receptacle": "gfci-receptacle"}


@dataclass(frozen=True)
class DevicePlace:
    """A place where a further ground-fault device could stand.

    Parameters
    ----------
    part : str
        Id of the part: an inlet, in whose cord it would stand, a breaker or a receptacle, which would be one.
    kind : str
        What it would be: "cord-gfci", "breaker", "gfci-receptacle".
    guards : tuple of str
        Outlets that have no guard now and would have this one, in the order of the map.
    """

    part: str
    kind: str
    guards: tuple[str, ...]


def one_more(wiring: NumberedMap, mode: str) -> list[DevicePlace]:
    """Give the places where one more device would guard something that has no guard.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    mode : str
        Name of the mode.

    Returns
    -------
    list of DevicePlace
        The one that guards most first; of equal ones the one nearest to the outlets, whose trips leave the
        least dark, then in the order of the map.

    Notes
    -----
    A receptacle in the middle of a chain guards what follows it as well: its outgoing runs go to its load
    side. Where a part has several feeds at once, no one device is proposed: that is mended first.
    """
    if wiring.joins[mode]:
        return []
    unguarded = [outlet for outlet, guards in guards_of(wiring, mode).items() if not guards]
    above = {outlet: _above(wiring, mode, wiring.number[outlet]) for outlet in unguarded}
    found = list(_places(wiring, above))
    depth = {place.part: len(_above(wiring, mode, wiring.number[place.part])) for place in found}
    return sorted(found, key=lambda place: (-len(place.guards), -depth[place.part]))


def _places(wiring: NumberedMap, above: dict[str, set[int]]) -> Iterator[DevicePlace]:
    for number, part in enumerate(wiring.rig_map.parts):
        guards = tuple(outlet for outlet, parts in above.items() if number in parts)
        if part.kind in _BECOMES and guards:
            yield DevicePlace(part.id, _BECOMES[part.kind], guards)


def _above(wiring: NumberedMap, mode: str, part: int) -> set[int]:
    return {part, *(wiring.drawn.starts[run] for run in wiring.way_up(mode, wiring.drawn, part))}
