"""Which loads run together: the best sets that cannot take one more."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cmp_to_key
from typing import Final

from fieldlog.engine.planning.circuit import amps_to_fit, start_volts, volts_with
from fieldlog.engine.planning.model import Branch, Load
from fieldlog.model.code_tables import CodeTables

_ROUNDING: Final = 1e-9
"""A bound is widened by this share, so that no set is lost by the last bit of a sum."""


@dataclass(frozen=True)
class Circuit:
    """What sets are held against.

    Parameters
    ----------
    volts, ohms : float
        Of the source with nothing on [V], and of the loop up to the rig [ohm].
    limit_amps : float or None
        The binding rating [A].
    tables : CodeTables
        Volts that loads and starts need, and how what runs for hours counts.
    branches : tuple of Branch
        What carries only some of the loads.
    """

    volts: float
    ohms: float
    limit_amps: float | None
    tables: CodeTables
    branches: tuple[Branch, ...] = ()

    def carries(self, loads: Sequence[Load]) -> bool:
        """Say whether all of some loads run together: amps within the rating, volts, and every motor starts.

        Notes
        -----
        What it carries it carries without one of them too: fewer loads leave higher volts and fewer amps.
        """
        volts = volts_with(loads, self.volts, self.ohms)
        if volts is None or volts < self.tables.entries["low-stop"].value:
            return False
        if self.limit_amps is not None and amps_to_fit(loads, volts, self.tables) > self.limit_amps:
            return False
        for number, branch in enumerate(self.branches):
            on_it = [load for load in loads if number in load.within]
            if amps_to_fit(on_it, volts, self.tables) > branch.amps:
                return False
        return all(
            self.starts(load, [one for one in loads if one is not load]) for load in loads if load.is_motor
        )

    def starts(self, motor: Load, others: Sequence[Load]) -> bool:
        """Say whether a motor starts while others run."""
        volts = start_volts(motor, others, self.volts, self.ohms)
        return volts is not None and volts >= self.tables.entries["start-least-volts"].value


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
class _Ranked:
    """A set with what decides between sets: loads kept by priority, watts, place in the input."""

    places: tuple[int, ...]
    kept: tuple[int, ...]
    watts: float


def sets_together(loads: Sequence[Load], circuit: Circuit) -> Sets:
    """Give the best sets of loads that run together and cannot take one more.

    Parameters
    ----------
    loads : sequence of Load
        In the order of the input.
    circuit : Circuit
        What carries them.

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
    >>> found = sets_together(loads, Circuit(120.0, 0.0, 12.6, load()))
    >>> [[one.name for one in each] for each in found.best]
    [['kettle'], ['fan']]
    """
    if circuit.volts > circuit.tables.entries["high-stop"].value or not loads:
        return Sets((), True)
    search = _Search(loads, circuit)
    search.look(0, [])
    best = tuple(tuple(loads[place] for place in each.places) for each in search.best)
    return Sets(best, not search.is_cut)


class _Search:
    """The search, with the best sets so far."""

    def __init__(self, loads: Sequence[Load], circuit: Circuit) -> None:
        self.loads = loads
        self.circuit = circuit
        self.groups = _alike(loads)
        self.levels = sorted({load.priority for load in loads})
        self.most = int(circuit.tables.entries["sets-shown"].value)
        self.best: list[_Ranked] = []
        self.steps = 0
        is_many = len(loads) > circuit.tables.entries["sets-exact-loads"].value
        self.most_steps = circuit.tables.entries["sets-most-steps"].value if is_many else None
        self.is_cut = False
        self.costs = _costs(loads, circuit)

    def look(self, at: int, chosen: list[int]) -> None:
        """Try every number of each group of loads alike, most first."""
        self.steps += 1
        if self.most_steps is not None and self.steps > self.most_steps:
            self.is_cut = True
            return
        if not self.circuit.carries(self.of(chosen)) or self.ends_short(at, chosen):
            return
        if not self.may_be_better(at, chosen):
            return
        if at == len(self.groups):
            self.keep(chosen)
            return
        group = self.groups[at]
        for count in range(len(group), -1, -1):
            self.look(at + 1, sorted([*chosen, *group[:count]]))

    def ends_short(self, at: int, chosen: list[int]) -> bool:
        """Say whether something was left out that fits even with all that is still to come."""
        most = sorted([*chosen, *self.rest(at)])
        if len(most) == len(self.loads) or not self.circuit.carries(self.of(most)):
            return False
        left_out = (group for group in self.groups[:at] if group[-1] not in chosen)
        return any(self.circuit.carries(self.of(sorted([*most, group[-1]]))) for group in left_out)

    def rest(self, at: int) -> list[int]:
        """Give the places of what is still to come."""
        return [place for group in self.groups[at:] for place in group]

    def of(self, places: Sequence[int]) -> list[Load]:
        """Give the loads at some places."""
        return [self.loads[place] for place in places]

    def keep(self, chosen: list[int]) -> None:
        """Keep a set among the best, unless it can take one more."""
        for group in self.groups:
            more = next((place for place in group if place not in chosen), None)
            if more is not None and self.circuit.carries(self.of(sorted([*chosen, more]))):
                return
        self.best.append(self.ranked(chosen))
        self.best.sort(key=cmp_to_key(_order))
        del self.best[self.most :]

    def ranked(self, chosen: list[int]) -> _Ranked:
        """Give a set with what it is worth."""
        loads = self.of(chosen)
        watts = _total([load.watts for load in loads])
        kept = tuple(sum(load.priority == level for load in loads) for level in self.levels)
        return _Ranked(tuple(chosen), kept, watts)

    def may_be_better(self, at: int, chosen: list[int]) -> bool:
        """Say whether what is still to come may end among the best."""
        if len(self.best) < self.most:
            return True
        now, worst = self.ranked(chosen), self.best[-1]
        rest = self.rest(at)
        kept = tuple(
            count + self.most_more([place for place in rest if self.loads[place].priority == level], chosen)
            for level, count in zip(self.levels, now.kept, strict=True)
        )
        if kept != worst.kept:
            return kept > worst.kept
        return now.watts + self.most_watts(rest, chosen) >= worst.watts * (1 - _ROUNDING)

    def most_more(self, rest: list[int], chosen: list[int]) -> int:
        """Give how many of the rest may fit at most: the cheapest first, by each limit alone."""
        most = len(rest)
        for cost, capacity in self.costs:
            left, count = self.left(cost, capacity, chosen), 0
            for each in sorted(cost[place] for place in rest):
                left -= each
                if left < 0:
                    break
                count += 1
            most = min(most, count)
        return most

    def most_watts(self, rest: list[int], chosen: list[int]) -> float:
        """Give how many watts of the rest may fit at most: by each limit alone, most watts an amp first."""
        found: list[float] = []
        for cost, capacity in self.costs:
            left, watts = self.left(cost, capacity, chosen), 0.0
            for place in sorted(rest, key=lambda one: -self.loads[one].watts / cost[one]):
                share = min(1.0, left / cost[place])
                watts += share * self.loads[place].watts
                left -= cost[place]
                if left <= 0:
                    break
            found.append(watts)
        return min(found, default=_total([self.loads[place].watts for place in rest]))

    def left(self, cost: Sequence[float], capacity: float, chosen: list[int]) -> float:
        """Give what is left of a capacity, widened a little."""
        return capacity * (1 + _ROUNDING) - _total([cost[place] for place in chosen])


def _total(values: Sequence[float]) -> float:
    """Add one after the other, as the script does; sum() rounds otherwise in some versions of Python."""
    total = 0.0
    for value in values:
        total += value
    return total


def _order(one: _Ranked, other: _Ranked) -> int:
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
        )
        groups.setdefault((*what, load.priority), []).append(place)
    return sorted(
        groups.values(), key=lambda group: (loads[group[0]].priority, -loads[group[0]].watts, group[0])
    )


def _costs(loads: Sequence[Load], circuit: Circuit) -> list[tuple[list[float], float]]:
    """Give for each limit the least that each load takes of it, and how much there is.

    Notes
    -----
    Where a set runs, the volts lie between the least that loads need and those of the source: a resistance
    draws at least what it draws at the least volts, constant power what it draws at the source's.
    """
    low = circuit.tables.entries["low-stop"].value
    factor = circuit.tables.entries["continuous-factor"].value
    amps = [low * load.siemens + load.steady_watts / circuit.volts for load in loads]
    found: list[tuple[list[float], float]] = []
    if circuit.limit_amps is not None:
        weighted = [
            each * factor if load.is_continuous else each for each, load in zip(amps, loads, strict=True)
        ]
        found.append((weighted, circuit.limit_amps))
    if circuit.ohms > 0:
        found.append((amps, (circuit.volts - low) / circuit.ohms))
    return found
