"""All single ways in which the rig may differ from its map, and which of them can bear on what was seen."""

from collections.abc import Iterator
from dataclasses import dataclass

from fieldlog.engine.protection.map import Arrangement, NumberedMap
from fieldlog.model.part_kinds import TWO_SIDED
from fieldlog.model.rig_map import MapEdit


@dataclass(frozen=True)
class Changes:
    """Every change that may be made to a map, numbered in the order in which they are told.

    Parameters
    ----------
    all : tuple of MapEdit
        In order of run, then of change; those of parts come last. A set of them is a whole number, bit c
        standing for change number c.
    of_run : tuple of int
        By run, its changes of feed [bits].
    side_of : tuple of int
        By run, its change of side [bit].
    swap_of, stuck_of : tuple of int
        By part, its change to line and load swapped, and to one that does not trip [bit].
    kin : tuple of int
        By change, all changes of the same run or part, of which at most one can be so [bits].
    """

    all: tuple[MapEdit, ...]
    of_run: tuple[int, ...]
    side_of: tuple[int, ...]
    swap_of: tuple[int, ...]
    stuck_of: tuple[int, ...]
    kin: tuple[int, ...]


def changes_of(wiring: NumberedMap, *, with_load_sides: bool = False) -> Changes:
    """Give every change that may be made to a map.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    with_load_sides : bool
        Whether a run may be fed from the load side of a device of another circuit as well.

    Returns
    -------
    Changes
        A run that leaves a GFCI may leave it from the other side; any run may be fed from a breaker of
        another circuit, that is one that is neither before nor beyond it as drawn; a device may not trip; a
        GFCI receptacle may have line and load swapped.
    """
    parts, runs = wiring.rig_map.parts, range(len(wiring.ends))
    in_line = _in_line(wiring)
    sided = _sided(wiring) if with_load_sides else frozenset[int]()
    found = [change for run in runs for change in _of_run(wiring, run, in_line[wiring.ends[run]], sided)]
    found += [change for place in range(len(parts)) for change in _of_part(wiring, place)]
    bits: dict[tuple[str, int | None, str | None], int] = {}
    kin: dict[tuple[int | None, str | None], int] = {}
    for place, change in enumerate(found):
        key, target = (change.change, change.run, change.part), (change.run, change.part)
        bits[key] = bits.get(key, 0) | 1 << place
        kin[target] = kin.get(target, 0) | 1 << place
    return Changes(
        all=tuple(found),
        of_run=tuple(
            bits.get(("fed-from", run, None), 0) | bits.get(("fed-from-load-side", run, None), 0)
            for run in runs
        ),
        side_of=tuple(
            bits.get(("to-line-side", run, None), 0) | bits.get(("to-load-side", run, None), 0)
            for run in runs
        ),
        swap_of=tuple(bits.get(("line-and-load-swapped", None, part.id), 0) for part in parts),
        stuck_of=tuple(bits.get(("does-not-trip", None, part.id), 0) for part in parts),
        kin=tuple(kin[change.run, change.part] for change in found),
    )


def _of_run(
    wiring: NumberedMap, run: int, in_line: frozenset[int], sided: frozenset[int]
) -> Iterator[MapEdit]:
    parts, drawn = wiring.rig_map.parts, wiring.drawn
    if parts[drawn.starts[run]].kind in TWO_SIDED:
        yield MapEdit("to-line-side" if drawn.on_load[run] else "to-load-side", run=run)
    for breaker in sorted(wiring.breakers - in_line - {drawn.starts[run]}):
        yield MapEdit("fed-from", run=run, start=parts[breaker].id)
    for device in sorted(sided - in_line - {drawn.starts[run]}):
        yield MapEdit("fed-from-load-side", run=run, start=parts[device].id)


def _sided(wiring: NumberedMap) -> frozenset[int]:
    """Give the devices with a line and a load side."""
    return frozenset(place for place, part in enumerate(wiring.rig_map.parts) if part.kind in TWO_SIDED)


def _in_line(wiring: NumberedMap) -> list[frozenset[int]]:
    """Give, by part, the parts before it or beyond it in any mode, itself included."""
    in_line: list[set[int]] = [{part} for part in range(len(wiring.bits))]
    for feed in wiring.feeds.values():
        for first in range(len(feed)):
            part = first
            for _ in feed:  # an inverter may feed its own charger
                if feed[part] < 0:
                    break
                part = wiring.drawn.starts[feed[part]]
                in_line[first].add(part)
                in_line[part].add(first)
    return [frozenset(parts) for parts in in_line]


def _of_part(wiring: NumberedMap, place: int) -> Iterator[MapEdit]:
    part = wiring.rig_map.parts[place]
    if place in wiring.faces:
        yield MapEdit("line-and-load-swapped", part=part.id)
    if wiring.bits[place]:
        yield MapEdit("does-not-trip", part=part.id)


@dataclass(frozen=True)
class Sighting:
    """One part seen otherwise than an arrangement says.

    Parameters
    ----------
    mode : str
        The mode it was seen in.
    device, part : int
        The device that tripped, and the part.
    is_dead : bool
        Whether it was seen dead.
    has_power : bool
        Whether any power comes to the part in the arrangement.
    """

    mode: str
    device: int
    part: int
    is_dead: bool
    has_power: bool


def bearing_on(wiring: NumberedMap, changes: Changes, arrangement: Arrangement, sighting: Sighting) -> int:
    """Give the changes of which any further set that mends one sighting must hold at least one [bits].

    Parameters
    ----------
    wiring, changes, arrangement : NumberedMap, Changes, Arrangement
        The map, all its changes, and what has been changed already.
    sighting : Sighting
        What disagrees with the arrangement.

    Returns
    -------
    int
        Bits of changes.

    Notes
    -----
    What a trip leaves of a part depends on the runs from the part up to its source, on the side by which the
    way leaves the device, and on the device itself. Where the device cuts the part off, nothing above the
    device matters. So a set without a change among these leaves the sighting as it is.
    """
    part, device = sighting.part, sighting.device
    stays_live = not sighting.is_dead and sighting.has_power
    if part in wiring.inverters:
        return 0
    if part == device and stays_live:
        return changes.swap_of[part] | changes.stuck_of[part]
    found = 0
    for run in wiring.way_up(sighting.mode, arrangement, part):
        found |= changes.of_run[run]
        if arrangement.starts[run] == device:
            found |= changes.side_of[run]
            if stays_live:
                return found | changes.stuck_of[device]
    return found
