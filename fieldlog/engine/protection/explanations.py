"""The fewest changes to a map after which every trip agrees with it.

The search goes by cost: all sets of one change, of two, of three. It is exhaustive without trying every set.
Where an arrangement leaves a sighting wrong, only some changes bear on it (`bearing_on`), and a set that
mends it holds one of them; so the search goes on with each of these alone, from the sighting on which the
fewest bear. The last change must bear on all that is wrong, and as many sightings as share no change at all
take as many changes.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fieldlog.engine.protection.changes import Changes, Sighting, bearing_on, changes_of
from fieldlog.engine.protection.contradictions import PartSightings
from fieldlog.engine.protection.map import NO_POWER, Arrangement, NumberedMap
from fieldlog.model.rig_map import Amendment

MOST_TOLD = 10
MOST_CHANGES = 6
"""A map further from the rig than that is drawn anew; own choice."""
MOST_LOOKS = 300_000
"""Parts looked at, arrangement after arrangement, before the search gives up; half a second, own choice."""


@dataclass(frozen=True)
class Amendments:
    """What the search found.

    Parameters
    ----------
    told : tuple of Amendment
        The first ten by order of run and change, one for each electrical meaning.
    is_whole : bool
        Whether the search went to its end; where not, there may be others of the same cost, or there may be
        some where none is told.
    """

    told: tuple[Amendment, ...]
    is_whole: bool


def explain(wiring: NumberedMap, sights: Mapping[str, list[PartSightings]]) -> Amendments:
    """Give the smallest sets of changes that leave no contradiction.

    Parameters
    ----------
    wiring : NumberedMap
        The map; some of its trips disagree with it.
    sights : mapping of str to list of PartSightings
        What the trips showed, by mode.

    Returns
    -------
    Amendments
        All of minimum cost, up to ten.

    Notes
    -----
    Two sets have one electrical meaning where every part is left dead by the same devices in every mode. A
    feed from the load side of another device is rarer than a feed from another breaker, and there are many
    of them: it is tried where nothing else explains the trips.
    """
    found, is_tired = _explained(wiring, changes_of(wiring), sights)
    if found.told or is_tired:
        return found
    return _explained(wiring, changes_of(wiring, with_load_sides=True), sights)[0]


def _explained(
    wiring: NumberedMap, changes: Changes, sights: Mapping[str, list[PartSightings]]
) -> tuple[Amendments, bool]:
    """Give what one kind of search found, and whether it gave up."""
    search = _Search(wiring, changes, sights)
    for cost in range(1, MOST_CHANGES + 1):
        search.begin()
        search.extend(0, wiring.drawn, cost)
        if search.found or search.is_tired:
            break
    is_hopeless = 0 in search.bearing(wiring.drawn, search.free_after(0), len(wiring.bits) + len(wiring.ends))
    is_whole = not search.is_tired and (bool(search.found) or is_hopeless)
    return Amendments(tuple(search.told()), is_whole), search.is_tired


@dataclass
class _Search:
    """One search, and what it has seen so far."""

    wiring: NumberedMap
    changes: Changes
    sights: Mapping[str, list[PartSightings]]
    looked: int = 0
    found: dict[int, Arrangement] = field(default_factory=dict[int, Arrangement])
    seen: set[int] = field(default_factory=set[int])

    def begin(self) -> None:
        """Start the search for sets of one cost."""
        self.seen.clear()

    @property
    def is_tired(self) -> bool:
        """Whether enough was looked at."""
        return self.looked >= MOST_LOOKS

    def extend(self, chosen: int, arrangement: Arrangement, left: int) -> None:
        """Go on from a set of changes [bits] with at most `left` more."""
        if self.is_tired:
            return
        self.looked += len(self.wiring.bits) * len(self.sights)
        free = self.free_after(chosen)
        bearing = self.bearing(arrangement, free, left)
        if not bearing:
            self.found[chosen] = arrangement
            return
        for change in _bits(_next_changes(bearing, left)):
            more = chosen | 1 << change
            if more not in self.seen:
                self.seen.add(more)
                changed = self.wiring.changed(arrangement, self.changes.all[change])
                self.extend(more, changed, left - 1)

    def bearing(self, arrangement: Arrangement, free: int, left: int) -> list[int]:
        """Give, for each thing that is wrong with an arrangement, the free changes that bear on it [bits].

        Where it shows early that `left` changes cannot mend all, there is a 0 among them.
        """
        loop = self.wiring.loop_of(arrangement) if self.may_loop(arrangement) else []
        if loop:
            return [sum(self.changes.of_run[run] for run in loop) & free]
        found: dict[int, None] = {}
        apart = taken = 0
        for one in (one for mode in self.sights for one in self.wrong(mode, arrangement)):
            bits = bearing_on(self.wiring, self.changes, arrangement, one) & free
            found[bits] = None
            if not bits & taken:
                apart, taken = apart + 1, taken | bits
            if not bits or apart > left:
                return [0]
        return list(found)

    def may_loop(self, arrangement: Arrangement) -> bool:
        """Say whether a loop is possible: one run alone is fed only from where it makes none."""
        pairs = zip(arrangement.starts, self.wiring.drawn.starts, strict=True)
        return sum(now != drawn for now, drawn in pairs) > 1

    def wrong(self, mode: str, arrangement: Arrangement) -> Iterator[Sighting]:
        """Give what a mode's trips showed otherwise than an arrangement says."""
        at_line, shown = self.wiring.cuts(mode, arrangement)
        for seen in self.sights[mode]:
            for device in _bits((shown[seen.part] ^ seen.dead) & seen.told):
                is_dead = bool(seen.dead >> device & 1)
                yield Sighting(mode, device, seen.part, is_dead, at_line[seen.part] != NO_POWER)

    def free_after(self, chosen: int) -> int:
        """Give the changes of runs and parts that are still as drawn [bits]."""
        free = (1 << len(self.changes.all)) - 1
        for change in _bits(chosen):
            free &= ~self.changes.kin[change]
        return free

    def told(self) -> Iterator[Amendment]:
        """Give what was found in its order, one for each electrical meaning."""
        meanings: set[tuple[int, ...]] = set()
        for places in sorted([*_bits(chosen)] for chosen in self.found):
            chosen = sum(1 << place for place in places)
            meaning = self.meaning(self.found[chosen])
            if meaning not in meanings and len(meanings) < MOST_TOLD:
                meanings.add(meaning)
                yield Amendment(tuple(self.changes.all[place] for place in places))

    def meaning(self, arrangement: Arrangement) -> tuple[int, ...]:
        """Give which devices leave which part dead, in every mode."""
        return tuple(cut for mode in self.wiring.feeds for cut in self.wiring.cuts(mode, arrangement)[1])


def _next_changes(bearing: list[int], left: int) -> int:
    """Give the changes with which to go on, none where no set of at most `left` can mend all [bits]."""
    if left == 0 or 0 in bearing:
        return 0
    if left == 1:
        shared = bearing[0]
        for one in bearing:
            shared &= one
        return shared
    return min(bearing, key=int.bit_count)


def _bits(number: int) -> Iterator[int]:
    """Give the places of the bits that are set, lowest first."""
    while number:
        lowest = number & -number
        yield lowest.bit_length() - 1
        number ^= lowest
