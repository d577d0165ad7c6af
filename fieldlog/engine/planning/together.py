"""Which loads run together: the best sets that cannot take one more."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cmp_to_key

from fieldlog.engine.planning.loading import Carrier, Circuit, LoadSums, added, no_sums, sums_of
from fieldlog.engine.planning.model import Load
from fieldlog.engine.planning.set_bounds import SetBounds


@dataclass(frozen=True)
class Sets:
    """What was found.

    Parameters
    ----------
    best : tuple of tuple of Load
        At most five sets, the best first; in each the loads in the order of the input.
    is_exact : bool
        Whether every set was weighed.
    """

    best: tuple[tuple[Load, ...], ...]
    is_exact: bool


@dataclass(frozen=True)
class _Candidate:
    """A set with what decides between sets: loads kept by priority, watts, place in the input."""

    places: tuple[int, ...]
    kept: tuple[int, ...]
    watts: float


def sets_together(loads: Sequence[Load], circuits: Sequence[Circuit]) -> Sets:
    """Give the best sets of loads that run together and cannot take one more.

    Parameters
    ----------
    loads : sequence of Load
        In the order of the input.
    circuits : sequence of Circuit
        What carries them, hot by hot; what hangs between two hots has to run on both.

    Returns
    -------
    Sets
        Of two sets the one that keeps more of the loads of priority 1 is better, then of priority 2 and so
        on; then the one of more watts; then the one whose loads stand earlier in the input. Loads alike in
        all but name count once.

    Notes
    -----
    Branch and bound over loads alike. With more loads than "sets-exact-loads" it ends after
    "sets-most-steps" steps.

    Examples
    --------
    >>> from fieldlog.tables import load
    >>> def heater(name, watts):
    ...     return Load(name, watts, watts / 120, 120.0, "resistive", False, None, 1, None)
    >>> loads = [heater("kettle", 1500.0), heater("fan", 60.0)]
    >>> found = sets_together(loads, [Circuit(120.0, 0.0, 12.6, load())])
    >>> [[one.name for one in each] for each in found.best]
    [['kettle'], ['fan']]
    """
    if not loads or any(circuit.volts > circuit.value("high-stop") for circuit in circuits):
        return Sets((), True)
    search = _Search(loads, circuits)
    if all(circuit.carries([]) for circuit in circuits):
        search.look(0, search.nothing, [], 0.0)
    best = tuple(tuple(loads[place] for place in each.places) for each in search.best)
    return Sets(best, not search.is_cut)


class _Search:
    """The search, with the best sets so far."""

    def __init__(self, loads: Sequence[Load], circuits: Sequence[Circuit]) -> None:
        groups = _alike(loads)
        self.loads = loads
        self.circuits = circuits
        self.carriers = [Carrier(circuit, _own(loads, circuit)) for circuit in circuits]
        self.nothing = [no_sums(circuit) for circuit in circuits]
        self.order = [place for group in groups for place in group]
        self.next = _next_groups(groups)
        self.levels = sorted({load.priority for load in loads})
        self.sums = [self._sums(loads[place]) for place in self.order]
        self.rest = _sums_from(self.sums, self.nothing)
        self.bounds = SetBounds([loads[place] for place in self.order], self.levels, circuits)
        value = circuits[0].value
        self.most = int(value("sets-shown"))
        self.best: list[_Candidate] = []
        self.steps = 0
        is_many = len(loads) > value("sets-exact-loads")
        self.most_steps = value("sets-most-steps") if is_many else None
        self.is_cut = False

    def _sums(self, load: Load) -> list[LoadSums]:
        """Give the sums of a load, hot by hot."""
        own = [(circuit, circuit.own(load)) for circuit in self.circuits]
        return [no_sums(circuit) if each is None else sums_of(each, circuit) for circuit, each in own]

    def look(self, at: int, sums: Sequence[LoadSums], chosen: list[int], watts: float) -> None:
        """Look with a load and without it; of loads alike the first ones stand for all."""
        self.steps += 1
        if self.most_steps is not None and self.steps > self.most_steps:
            self.is_cut = True
            return
        rest = [*chosen, *range(at, len(self.order))]
        if self.carries(_added(sums, self.rest[at]), rest):
            self.keep(rest)
            return
        if len(self.best) == self.most:
            worst = self.best[-1]
            if not self.bounds.may_be_better(at, chosen, watts, (worst.kept, worst.watts)):
                return
        more, taken = _added(sums, self.sums[at]), [*chosen, at]
        if self.carries(more, taken):
            self.look(at + 1, more, taken, watts + self.loads[self.order[at]].watts)
        self.look(self.next[at], sums, chosen, watts)

    def carries(self, sums: Sequence[LoadSums], chosen: Sequence[int]) -> bool:
        """Say whether what stands at some places of the order runs together."""
        told = [carrier.tells(each) for carrier, each in zip(self.carriers, sums, strict=True)]
        if min(told) < 0:
            return False
        asked = [circuit for circuit, each in zip(self.circuits, told, strict=True) if each == 0]
        loads = self.of(self.places_of(chosen)) if asked else []
        return all(circuit.carries(_own(loads, circuit)) for circuit in asked)

    def places_of(self, chosen: Sequence[int]) -> list[int]:
        """Give the places in the input, ascending, of places in the order."""
        return sorted(self.order[at] for at in chosen)

    def of(self, places: Sequence[int]) -> list[Load]:
        """Give the loads at some places."""
        return [self.loads[place] for place in places]

    def keep(self, chosen: list[int]) -> None:
        """Keep a set among the best, unless it can take one more."""
        found = self.ranked(self.places_of(chosen))
        if len(self.best) == self.most and _order(found, self.best[-1]) > 0:
            return
        sums: Sequence[LoadSums] = self.nothing
        for at in chosen:
            sums = _added(sums, self.sums[at])
        at = 0
        while at < len(self.order):
            group = range(at, self.next[at])
            more = next((place for place in group if place not in chosen), None)
            if more is not None and self.carries(_added(sums, self.sums[more]), [*chosen, more]):
                return
            at = self.next[at]
        self.best.append(found)
        self.best.sort(key=cmp_to_key(_order))
        del self.best[self.most :]

    def ranked(self, places: list[int]) -> _Candidate:
        """Give a set with what it is worth."""
        loads = self.of(places)
        watts = _total([load.watts for load in loads])
        kept = tuple(sum(load.priority == level for load in loads) for level in self.levels)
        return _Candidate(tuple(places), kept, watts)


def _next_groups(groups: Sequence[Sequence[int]]) -> list[int]:
    """Say where the next group begins, for each place of the order."""
    end = 0
    found: list[int] = []
    for group in groups:
        end += len(group)
        found += [end] * len(group)
    return found


def _own(loads: Sequence[Load], circuit: Circuit) -> list[Load]:
    """Give the loads on a hot, as it sees them."""
    return [own for own in map(circuit.own, loads) if own is not None]


def _added(one: Sequence[LoadSums], other: Sequence[LoadSums]) -> list[LoadSums]:
    """Give the sums of two lots of loads, hot by hot."""
    return [added(a, b) for a, b in zip(one, other, strict=True)]


def _sums_from(sums: Sequence[Sequence[LoadSums]], nothing: Sequence[LoadSums]) -> list[Sequence[LoadSums]]:
    """Give the sums of all from a place of the order on, hot by hot."""
    found: list[Sequence[LoadSums]] = [nothing]
    for each in reversed(sums):
        found.insert(0, _added(each, found[0]))
    return found


def _total(values: Sequence[float]) -> float:
    """Add one after the other, as the script does; sum() rounds otherwise in some versions of Python."""
    total = 0.0
    for value in values:
        total += value
    return total


def _order(one: _Candidate, other: _Candidate) -> int:
    """Below 0 where one is better."""
    if one.kept != other.kept:
        return -1 if one.kept > other.kept else 1
    if one.watts != other.watts:
        return -1 if one.watts > other.watts else 1
    return -1 if one.places < other.places else 1


def _alike(loads: Sequence[Load]) -> list[list[int]]:
    """Give the places of loads alike in all but name; of most worth first."""
    groups: dict[tuple[object, ...], list[int]] = {}
    for place, load in enumerate(loads):
        what = (
            load.watts,
            load.amps,
            load.rated_volts,
            load.kind,
            load.is_continuous,
            load.start_multiple,
            load.within,
            load.leg,
        )
        groups.setdefault((*what, load.priority), []).append(place)
    return sorted(
        groups.values(), key=lambda group: (loads[group[0]].priority, -loads[group[0]].watts, group[0])
    )
