"""What sets may come to at best, so that most are never looked at."""

from collections.abc import Sequence
from math import inf
from typing import Final, NamedTuple

from fieldlog.engine.planning.loading import Circuit
from fieldlog.engine.planning.model import Load

_ROUNDING: Final = 1e-9
"""A bound is widened by this share, so that no set is lost by the last bit of a sum."""


class _Limit(NamedTuple):
    """The least that each load takes of a limit, how much there is, and loads of most watts for it first."""

    cost: list[float]
    capacity: float
    by_worth: list[int]


class Bounds:
    """Bounds of sets, by where the search has got to.

    Parameters
    ----------
    loads : sequence of Load
        In the order of the search.
    levels : sequence of int
        Their priorities, ascending.
    circuits : sequence of Circuit
        What carries them, hot by hot.
    """

    def __init__(self, loads: Sequence[Load], levels: Sequence[int], circuits: Sequence[Circuit]) -> None:
        self.watts = [load.watts for load in loads]
        self.level = [levels.index(load.priority) for load in loads]
        self.count = len(levels)
        self.limits = [limit for circuit in circuits for limit in _limits(loads, circuit)]
        self.cheapest = [self._sorted_from(limit.cost, 1) for limit in self.limits]
        self.heaviest = self._sorted_from(self.watts, -1)

    def _sorted_from(self, values: Sequence[float], sign: int) -> list[list[list[float]]]:
        """Give sums of the first values in order (-1: descending), by place, level and how many."""
        return [
            [
                _running_sums(sorted((v for v, _ in self._of(values, at, level)), key=lambda v: sign * v))
                for level in range(self.count)
            ]
            for at in range(len(self.level) + 1)
        ]

    def _of(self, values: Sequence[float], at: int, level: int) -> list[tuple[float, int]]:
        pairs = zip(values[at:], self.level[at:], strict=True)
        return [(value, own) for value, own in pairs if own == level]

    def may_be_better(
        self, at: int, chosen: Sequence[int], watts: float, worst: tuple[Sequence[int], float]
    ) -> bool:
        """Say whether what is still to come may end among the best.

        Parameters
        ----------
        at : int
            How far the search has got in its order.
        chosen : sequence of int
            Places in the order.
        watts : float
            Of these [W].
        worst : tuple
            Loads kept by priority, and watts, of the worst of the best.

        Returns
        -------
        bool
            False only where nothing that is still to come can be better.
        """
        left: list[float] = []
        for limit in self.limits:
            rest = limit.capacity * (1 + _ROUNDING)
            for place in chosen:
                rest -= limit.cost[place]
            left.append(rest)
        kept = [0] * self.count
        for place in chosen:
            kept[self.level[place]] += 1
        free = left[:]
        heaviest = 0.0
        for level in range(self.count):
            wanted = worst[0][level] - kept[level]
            most = self._most_added(at, level, free)
            if most != wanted:
                return most > wanted
            for i, sums in enumerate(self.cheapest):
                free[i] -= sums[at][level][most]
            heaviest += self.heaviest[at][level][most]
        least = worst[1] * (1 - _ROUNDING) - watts
        return heaviest >= least and self._most_watts(at, left, least) >= least

    def _most_added(self, at: int, level: int, free: Sequence[float]) -> int:
        """Give how many of a level may fit at most: the cheapest first, by each limit alone."""
        most = len(self.heaviest[at][level]) - 1
        for i, sums in enumerate(self.cheapest):
            own = sums[at][level]
            while most > 0 and own[most] > free[i]:
                most -= 1
        return most

    def _most_watts(self, at: int, left: Sequence[float], least: float) -> float:
        """Give how many watts may fit at most: most watts an amp first, by each limit alone."""
        most = inf
        for i, limit in enumerate(self.limits):
            rest, watts = left[i], 0.0
            for place in limit.by_worth:
                if place < at:
                    continue
                own = limit.cost[place]
                if own > rest:
                    watts += (rest / own) * self.watts[place]
                    break
                watts += self.watts[place]
                rest -= own
            most = min(most, watts)
            if most < least:
                return most
        return most


def _running_sums(values: Sequence[float]) -> list[float]:
    sums = [0.0]
    for value in values:
        sums.append(sums[-1] + value)
    return sums


def _limits(loads: Sequence[Load], circuit: Circuit) -> list[_Limit]:
    """Give for each limit the least that each load takes of it, and how much there is.

    Notes
    -----
    Where a set runs, the volts lie between the least that loads need, or that the limit leaves, and those of
    the source: a resistance draws at least what it draws at the least volts, constant power what it draws at
    the source's. The volts stand at their least or above where the loads draw there no more than the ohms let
    through; behind wires of the rig each load has its own, and the source's are what is sure.
    """
    low, factor = circuit.value("low-stop"), circuit.value("continuous-factor")
    is_alone = circuit.limit_amps is None or bool(circuit.wires)
    least = low if is_alone else max(low, circuit.volts - circuit.ohms * (circuit.limit_amps or 0.0))
    most = circuit.volts if circuit.wires else low
    own = [circuit.own(load) for load in loads]
    to_fit = [
        0.0
        if load is None
        else (least * load.siemens + load.steady_watts / circuit.volts)
        * (factor if load.is_continuous else 1)
        for load in own
    ]
    found: list[_Limit] = []
    if circuit.limit_amps is not None:
        found.append(_limit(loads, to_fit, circuit.limit_amps))
    if circuit.ohms > 0:
        running = [0.0 if load is None else low * load.siemens + load.steady_watts / most for load in own]
        found.append(_limit(loads, running, (circuit.volts - low) / circuit.ohms))
    for number, branch in enumerate(circuit.branches):
        on_it = [cost if number in load.within else 0.0 for load, cost in zip(loads, to_fit, strict=True)]
        found.append(_limit(loads, on_it, branch.amps))
    return found


def _limit(loads: Sequence[Load], cost: list[float], capacity: float) -> _Limit:
    worth = [load.watts / own if own else inf for load, own in zip(loads, cost, strict=True)]
    return _Limit(cost, capacity, sorted(range(len(loads)), key=lambda at: -worth[at]))
