"""The map as wiring: who feeds whom in each mode, and which devices cut which part off.

A set of devices is one whole number: bit d stands for part number d. A part's *cuts* are the devices that
leave it dead when they trip; a part without power is cut by every device, the number with all bits set.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from fieldlog.engine.protection.joined import NO_POWER, Joint, cuts_by_place
from fieldlog.model.part_kinds import TRIPPING, TWO_SIDED
from fieldlog.model.rig_map import MapEdit, RigMap, Run

__all__ = ["NO_POWER", "Arrangement", "NumberedMap", "wire"]

_NOT_YET = -2
_T = TypeVar("_T")


@dataclass(frozen=True)
class Arrangement:
    """What may differ from the map as drawn.

    Parameters
    ----------
    starts : tuple of int
        By run, the number of the part it comes from.
    on_load : tuple of bool
        By run, whether it leaves from the load side.
    swapped, stuck : int
        Devices with line and load swapped, and devices that do not trip [bits].
    """

    starts: tuple[int, ...]
    on_load: tuple[bool, ...]
    swapped: int = 0
    stuck: int = 0


@dataclass(frozen=True)
class NumberedMap:
    """A map with its parts numbered, ready to be asked.

    Parameters
    ----------
    rig_map : RigMap
        As noted.
    number : dict of str to int
        By id, the number of a part.
    ends : tuple of int
        By run, the number of the part it feeds.
    drawn : Arrangement
        As the owner noted it.
    feeds : dict of str to tuple of int
        By mode and part, the run that feeds it, the last of several; -1 for none.
    joins : dict of str to dict of int to tuple of int
        By mode, the parts that more than one run feeds at once, with these runs.
    sources : dict of str to tuple of bool
        By mode and part, whether power comes from there.
    bits : tuple of int
        By part, its bit where it can trip, and 0.
    inverters, breakers, faces : frozenset of int
        Numbers of the inverters, of the breakers, and of the GFCI receptacles, which have a face.
    """

    rig_map: RigMap
    number: dict[str, int]
    ends: tuple[int, ...]
    drawn: Arrangement
    feeds: dict[str, tuple[int, ...]]
    joins: dict[str, dict[int, tuple[int, ...]]]
    sources: dict[str, tuple[bool, ...]]
    bits: tuple[int, ...]
    inverters: frozenset[int]
    breakers: frozenset[int]
    faces: frozenset[int]

    def cuts(self, mode: str, arrangement: Arrangement) -> tuple[list[int], list[int]]:
        """Give, by part, the devices that cut its feed and the devices that leave the part itself dead.

        Parameters
        ----------
        mode : str
            Name of the mode.
        arrangement : Arrangement
            As drawn, or with changes; without a loop.

        Returns
        -------
        list of int, list of int
            Bits of devices; NO_POWER where no power comes.

        Notes
        -----
        A run that leaves a breaker, or the load side of a GFCI, is cut by it; one from the line side is not.
        What an inverter feeds is not cut by anything before it: it goes on by itself. Where two runs feed a
        part at once, each source also feeds backwards, and only what every way leads through cuts it off.
        """
        if self.joins[mode]:
            return self._joined_cuts(mode, arrangement)
        feed, is_source = self.feeds[mode], self.sources[mode]
        at_line = [_NOT_YET] * len(feed)
        for part in self.inverters:
            at_line[part] = 0
        for first in range(len(feed)):
            part, way = first, list[int]()
            while at_line[part] == _NOT_YET:
                run = feed[part]
                if run < 0:
                    at_line[part] = 0 if is_source[part] else NO_POWER
                else:
                    way.append(part)
                    part = arrangement.starts[run]
            for below in reversed(way):
                at_line[below] = self._past(feed[below], at_line, arrangement)
        own = self._own(arrangement)
        shown = [cut | mine for cut, mine in zip(at_line, own, strict=True)]
        for part in self.inverters:
            shown[part] = 0
        return at_line, shown

    def _past(self, run: int, at_line: Sequence[int], arrangement: Arrangement) -> int:
        start = arrangement.starts[run]
        before = 0 if start in self.inverters else at_line[start]
        if start in self.breakers or arrangement.on_load[run]:
            return before | self.bits[start] & ~arrangement.stuck
        return before

    def _own(self, arrangement: Arrangement) -> list[int]:
        """Give, by part, its own bit where it leaves itself dead when it trips."""
        own = [bit & ~arrangement.stuck for bit in self.bits]
        for part in self.faces:
            own[part] &= ~arrangement.swapped
        return own

    def _joined_cuts(self, mode: str, arrangement: Arrangement) -> tuple[list[int], list[int]]:
        """Give the same where some part has several feeds; the place beyond part p is numbered p + count."""
        count = len(self.bits)
        sources = [
            *(
                part
                for part, is_one in enumerate(self.sources[mode])
                if is_one and self.feeds[mode][part] < 0
            ),
            *(count + part for part in self.inverters),
        ]
        cut = cuts_by_place(2 * count, self._joints(mode, arrangement), sources)
        at_line = [cut[part] & cut[count + part] for part in range(count)]
        swapped = {part for part in self.faces if arrangement.swapped >> part & 1}
        shown = [cut[part] if part in swapped else cut[count + part] for part in range(count)]
        for part in self.inverters:
            at_line[part] = shown[part] = 0
        return at_line, shown

    def _joints(self, mode: str, arrangement: Arrangement) -> Iterator[Joint]:
        count, without = len(self.bits), self.rig_map.standings[mode]
        for part, bit in enumerate(self.bits):
            if part not in self.inverters:
                yield part, count + part, bit & ~arrangement.stuck
        for run, (start, end) in enumerate(zip(arrangement.starts, self.ends, strict=True)):
            if run not in without:
                is_before = self.bits[start] and start not in self.breakers and not arrangement.on_load[run]
                yield (start if is_before else count + start), end, 0

    def nearest(self, mode: str, part: int) -> Iterator[int]:
        """Give the parts by how many runs lie between them and one, itself first, whatever the direction."""
        without, known, ring = self.rig_map.standings[mode], {part}, [part]
        ends = [*zip(self.drawn.starts, self.ends, strict=True)]
        runs = [each for run, each in enumerate(ends) if run not in without]
        while ring:
            yield from ring
            around = {two for one in ring for run in runs if one in run for two in run} - known
            ring = sorted(around)
            known |= around

    def way_up(self, mode: str, arrangement: Arrangement, part: int) -> Iterator[int]:
        """Give the runs from a part towards its source, nearest first; at most as many as there are parts.

        Parameters
        ----------
        mode : str
            Name of the mode.
        arrangement : Arrangement
            As drawn, or with changes.
        part : int
            Number of the part.

        Yields
        ------
        int
            Numbers of runs; the run that leaves an inverter is the last.
        """
        feed = self.feeds[mode]
        for _ in feed:
            run = feed[part]
            if run < 0:
                return
            yield run
            part = arrangement.starts[run]
            if part in self.inverters:
                return

    def loop_of(self, arrangement: Arrangement) -> list[int]:
        """Give the runs of a loop in some mode, empty where there is none."""
        trips = (self._round_trip(mode, arrangement) for mode in self.feeds)
        return next((trip for trip in trips if trip), list[int]())

    def _round_trip(self, mode: str, arrangement: Arrangement) -> list[int]:
        feed, seen = self.feeds[mode], [-1] * len(self.bits)
        for first in range(len(feed)):
            part, way = first, list[int]()
            while seen[part] < 0 and feed[part] >= 0 and part not in self.inverters:
                seen[part] = first
                way.append(feed[part])
                part = arrangement.starts[feed[part]]
            if way and seen[part] == first and feed[part] in way:
                return way[way.index(feed[part]) :]
        return []

    def changed(self, arrangement: Arrangement, change: MapEdit) -> Arrangement:
        """Give an arrangement with one more change."""
        if change.run is not None:
            if change.start is not None:
                is_on_load = change.change == "fed-from-load-side"
                starts = _with(arrangement.starts, change.run, self.number[change.start])
                sides = _with(arrangement.on_load, change.run, is_on_load)
                return replace(arrangement, starts=starts, on_load=sides)
            on_load = change.change == "to-load-side"
            return replace(arrangement, on_load=_with(arrangement.on_load, change.run, on_load))
        bit = 1 << self.number[change.part or ""]
        if change.change == "does-not-trip":
            return replace(arrangement, stuck=arrangement.stuck | bit)
        return replace(arrangement, swapped=arrangement.swapped | bit)


def _with(values: tuple[_T, ...], place: int, value: _T) -> tuple[_T, ...]:
    return (*values[:place], value, *values[place + 1 :])


def wire(rig_map: RigMap) -> NumberedMap:
    """Give a map with its parts numbered, and who feeds whom.

    Parameters
    ----------
    rig_map : RigMap
        Without problems (`find_problems`).

    Returns
    -------
    NumberedMap
        As drawn.
    """
    number = {part.id: place for place, part in enumerate(rig_map.parts)}
    kinds = [part.kind for part in rig_map.parts]
    feeds = {mode: _feeds(rig_map, number, without) for mode, without in rig_map.standings.items()}
    return NumberedMap(
        rig_map=rig_map,
        number=number,
        ends=tuple(number[run.end] for run in rig_map.runs),
        drawn=Arrangement(
            starts=tuple(number[run.start] for run in rig_map.runs),
            on_load=tuple(_is_on_load(rig_map, number, run) for run in rig_map.runs),
        ),
        feeds=feeds,
        joins={mode: _joins(rig_map, number, without) for mode, without in rig_map.standings.items()},
        sources={mode: tuple(_sources(rig_map, feed)) for mode, feed in feeds.items()},
        bits=tuple(1 << place if kind in TRIPPING else 0 for place, kind in enumerate(kinds)),
        inverters=frozenset(place for place, kind in enumerate(kinds) if kind == "inverter"),
        breakers=frozenset(place for place, kind in enumerate(kinds) if kind == "breaker"),
        faces=frozenset(place for place, kind in enumerate(kinds) if kind == "gfci-receptacle"),
    )


def _is_on_load(rig_map: RigMap, number: dict[str, int], run: Run) -> bool:
    return run.side == "load" and rig_map.parts[number[run.start]].kind in TWO_SIDED


def _feeds(rig_map: RigMap, number: dict[str, int], without: frozenset[int]) -> tuple[int, ...]:
    feed = [-1] * len(rig_map.parts)
    for place, run in enumerate(rig_map.runs):
        if place not in without:
            feed[number[run.end]] = place
    return tuple(feed)


def _joins(rig_map: RigMap, number: dict[str, int], without: frozenset[int]) -> dict[int, tuple[int, ...]]:
    found: dict[int, list[int]] = {}
    for place, run in enumerate(rig_map.runs):
        if place not in without:
            found.setdefault(number[run.end], []).append(place)
    return {part: tuple(runs) for part, runs in sorted(found.items()) if len(runs) > 1}


def _sources(rig_map: RigMap, feed: tuple[int, ...]) -> Iterator[bool]:
    """Say of each part whether power comes from there: one that nothing ever feeds stands for its feed."""
    kinds = {part.id: part.kind for part in rig_map.parts}
    fed_by: dict[str, set[str]] = {part.id: set() for part in rig_map.parts}
    for run in rig_map.runs:
        fed_by[run.end].add(kinds[run.start])
    for part, fed in zip(rig_map.parts, feed, strict=True):
        if part.kind in ("supply", "inverter"):
            yield True
        elif part.kind == "inlet":  # a station plugged into it is another source than the pedestal
            yield fed < 0 and not fed_by[part.id] - {"inverter"}
        else:
            yield fed < 0 and not fed_by[part.id]
