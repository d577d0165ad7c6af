"""What sets may come to at best, so that most are never looked at."""

from collections.abc import Sequence
from math import inf
from typing import Final, NamedTuple

from fieldlog.engine.planning.loading import Circuit
from fieldlog.engine.planning.model import Load

_ROUNDING: Final = 1e-9
"""A bound is widened by this share, so that no set is lost by the last bit of a sum."""


class _Limit(NamedTuple):
    """The least that each load takes of a limit, how much there is, and loads of most watts for it first.

    What a load takes is a part that is fixed and one that falls with the volts, which lie below the source's
    by its ohms times the amps that each watt draws at least.
    """

    cost: list[float]
    capacity: float
    by_worth: list[int]
    fixed: list[float]
    falling: list[float]
    volts: float
    volts_a_watt: float


class SetBounds:
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
        self.sharp: tuple[float, list[_Limit]] = (0.0, self.limits)

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
        return heaviest >= least and self._most_watts(at, chosen, least, worst[1] * (1 - _ROUNDING)) >= least

    def _sharpened(self, watts: float) -> list[_Limit]:
        """Give the limits for sets of so many watts at least: these draw so much that the volts sink."""
        if watts != self.sharp[0]:
            self.sharp = (watts, [_sharpened(limit, self.watts, watts) for limit in self.limits])
        return self.sharp[1]

    def _most_added(self, at: int, level: int, free: Sequence[float]) -> int:
        """Give how many of a level may fit at most: the cheapest first, by each limit alone."""
        most = len(self.heaviest[at][level]) - 1
        for i, sums in enumerate(self.cheapest):
            own = sums[at][level]
            while most > 0 and own[most] > free[i]:
                most -= 1
        return most

    def _most_watts(self, at: int, chosen: Sequence[int], least: float, wanted: float) -> float:
        """Give how many watts may fit at most: most watts an amp first, by each limit alone."""
        most = inf
        for limit in self._sharpened(wanted):
            rest, watts = limit.capacity * (1 + _ROUNDING), 0.0
            for place in chosen:
                rest -= limit.cost[place]
            if rest < 0:
                return -inf
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
    factors = [factor if load.is_continuous else 1.0 for load in loads]
    fixed = [
        0.0 if load is None else least * load.siemens * each for load, each in zip(own, factors, strict=True)
    ]
    falling = [
        0.0 if load is None else load.steady_watts * each for load, each in zip(own, factors, strict=True)
    ]
    a_watt = inf
    for load, each in zip(loads, own, strict=True):
        amps = 0.0 if each is None else least * each.siemens + each.steady_watts / circuit.volts
        a_watt = min(a_watt, amps / load.watts)
    sinking = (circuit.volts, circuit.ohms * a_watt)
    found: list[_Limit] = []
    if circuit.limit_amps is not None:
        found.append(_limit(loads, (fixed, falling), circuit.limit_amps, sinking))
    if circuit.ohms > 0:
        running = [0.0 if load is None else low * load.siemens + load.steady_watts / most for load in own]
        none = [0.0] * len(loads)
        found.append(_limit(loads, (running, none), (circuit.volts - low) / circuit.ohms, sinking))
    for number, branch in enumerate(circuit.branches):
        parts = tuple(
            [cost if number in load.within else 0.0 for load, cost in zip(loads, each, strict=True)]
            for each in (fixed, falling)
        )
        found.append(_limit(loads, (parts[0], parts[1]), branch.amps, sinking))
    return found


def _limit(
    loads: Sequence[Load],
    parts: tuple[list[float], list[float]],
    capacity: float,
    sinking: tuple[float, float],
) -> _Limit:
    cost = [each + falling / sinking[0] for each, falling in zip(*parts, strict=True)]
    by_worth = _by_worth([load.watts for load in loads], cost)
    return _Limit(cost, capacity, by_worth, *parts, *sinking)


def _sharpened(limit: _Limit, watts: Sequence[float], wanted: float) -> _Limit:
    """Give a limit where at least some watts run: the volts are lower, what falls with them is more."""
    volts = limit.volts - limit.volts_a_watt * wanted
    if volts <= 0:
        return limit
    cost = [each + falling / volts for each, falling in zip(limit.fixed, limit.falling, strict=True)]
    return limit._replace(cost=cost, by_worth=_by_worth(watts, cost))


def _by_worth(watts: Sequence[float], cost: Sequence[float]) -> list[int]:
    worth = [each / own if own else inf for each, own in zip(watts, cost, strict=True)]
    return sorted(range(len(worth)), key=lambda at: -worth[at])
