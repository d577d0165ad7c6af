"""Sums of what loads ask, kept up load by load, and whether a circuit carries them.

It is told at once where it is clear, and by the circuit itself where the last bits of a sum decide.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt
from typing import Final, NamedTuple

from fieldlog.engine.planning.circuit import amps_to_fit, node_volts, seen_by, start_volts
from fieldlog.engine.planning.model import Branch, Load, Wire
from fieldlog.model.code_tables import CodeTables

_CLEAR: Final = 1e-9
"""Nearer than this share to a limit the circuit itself is asked."""
_NO_MOTOR: Final = -1e9


@dataclass(frozen=True)
class Circuit:
    """What sets are held against: one hot with all that hangs on it.

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
    wires : tuple of Wire
        Inside the rig, where their ohms are known.
    leg : str
        Which hot it is.
    factor : float
        Volts between the hots over those of one.
    """

    volts: float
    ohms: float
    limit_amps: float | None
    tables: CodeTables
    branches: tuple[Branch, ...] = ()
    wires: tuple[Wire, ...] = ()
    leg: str = "x"
    factor: float = 1.0

    def own(self, load: Load) -> Load | None:
        """Give a load as this hot sees it, None where it hangs on the other.

        Notes
        -----
        What hangs between the hots draws the same amps as a load of this hot alone that is made for its share
        of the volts.
        """
        if load.leg == "both":
            return replace(load, rated_volts=load.rated_volts / self.factor)
        return load if load.leg == self.leg else None

    def value(self, key: str) -> float:
        """Give a threshold of the tables."""
        return self.tables.entries[key].value

    def carries(self, loads: Sequence[Load]) -> bool:
        """Say whether all of some loads run together: amps within the rating, volts, and every motor starts.

        Notes
        -----
        What it carries it carries without one of them too: fewer loads leave higher volts and fewer amps.
        """
        at = node_volts(loads, self.volts, self.ohms, self.wires)
        low = self.value("low-stop")
        if at is None or at[0] < low:
            return False
        seen = seen_by(loads, at)
        if any(volts < low for volts in seen):
            return False
        if self.limit_amps is not None and amps_to_fit(loads, seen, self.tables) > self.limit_amps:
            return False
        for number, branch in enumerate(self.branches):
            on_it = [load for load in loads if number in load.within]
            if amps_to_fit(on_it, seen_by(on_it, at), self.tables) > branch.amps:
                return False
        return all(
            self.starts(load, [one for one in loads if one is not load]) for load in loads if load.is_motor
        )

    def starts(self, motor: Load, others: Sequence[Load]) -> bool:
        """Say whether a motor starts while others run."""
        volts = start_volts(motor, others, self.volts, self.ohms, self.wires)
        return volts is not None and volts >= self.value("start-least-volts")


class LoadSums(NamedTuple):
    """What loads ask together.

    Parameters
    ----------
    siemens, watts : float
        Of the resistances [S], and of what draws its power whatever the volts [W].
    siemens_to_fit, watts_to_fit : float
        The same, what runs for hours counted with a quarter more.
    start : float
        The most that starting one of its motors adds, at the least volts for that [A]; far below 0 where
        there is none.
    branches : tuple of float
        Siemens and watts to fit, in turn, of each branch.
    """

    siemens: float
    watts: float
    siemens_to_fit: float
    watts_to_fit: float
    start: float
    branches: tuple[float, ...]


def no_sums(circuit: Circuit) -> LoadSums:
    """Give the sums of no loads."""
    return LoadSums(0.0, 0.0, 0.0, 0.0, _NO_MOTOR, (0.0, 0.0) * len(circuit.branches))


def sums_of(load: Load, circuit: Circuit) -> LoadSums:
    """Give the sums of one load."""
    factor = circuit.value("continuous-factor") if load.is_continuous else 1.0
    least = circuit.value("start-least-volts")
    siemens, watts = load.siemens, load.steady_watts
    of_branches: list[float] = []
    for number in range(len(circuit.branches)):
        of_branches += [siemens * factor, watts * factor] if number in load.within else [0.0, 0.0]
    return LoadSums(
        siemens=siemens,
        watts=watts,
        siemens_to_fit=siemens * factor,
        watts_to_fit=watts * factor,
        start=(load.start_amps or 0.0) - (least * siemens + watts / least) if load.is_motor else _NO_MOTOR,
        branches=tuple(of_branches),
    )


def added(one: LoadSums, other: LoadSums) -> LoadSums:
    """Give the sums of two lots of loads."""
    return LoadSums(
        one.siemens + other.siemens,
        one.watts + other.watts,
        one.siemens_to_fit + other.siemens_to_fit,
        one.watts_to_fit + other.watts_to_fit,
        one.start if one.start > other.start else other.start,
        tuple(a + b for a, b in zip(one.branches, other.branches, strict=True)),
    )


def _side(value: float, most: float) -> int:
    """1 where a value is clearly within, -1 where it is clearly beyond, else 0."""
    if value > most * (1 + _CLEAR):
        return -1
    return 1 if value < most * (1 - _CLEAR) else 0


def _between(siemens: float, watts: float, rating: float, between: tuple[float, float]) -> int:
    """Say whether amps stay within a rating, the volts between two others: 1, -1, or 0 for neither."""
    below, above = between
    if below * siemens + watts / above > rating * (1 + _CLEAR):
        return -1
    return 0 if above * siemens + watts / below > rating * (1 - _CLEAR) else 1


class Carrier:
    """A circuit, with what it needs volts for read once.

    Parameters
    ----------
    circuit : Circuit
        What carries the loads.
    loads : sequence of Load
        All that may run, as the circuit sees them.
    """

    def __init__(self, circuit: Circuit, loads: Sequence[Load]) -> None:
        self.circuit = circuit
        self.low = circuit.value("low-stop")
        self.start = circuit.value("start-least-volts")
        self.drop = self._most_drop(loads, self.low)
        self.drop_at_start = self._most_drop(loads, self.start)

    def tells(self, sums: LoadSums) -> int:
        """Say whether loads run together: 1, -1, or 0 where only the circuit can tell."""
        return self._tells_behind_wires(sums) if self.circuit.wires else self._tells_at_panel(sums)

    def _most_drop(self, loads: Sequence[Load], least: float) -> float:
        """Give what is lost in the wires to a load at most [V].

        Notes
        -----
        All on, though no more than a wire's branch lets through, all above some least volts; where these are
        those of a start, one of them starting.
        """
        circuit = self.circuit
        amps, starts = [0.0] * len(circuit.wires), [0.0] * len(circuit.wires)
        for load in loads:
            drawn = circuit.volts * load.siemens + load.steady_watts / least
            wire = load.wire
            while wire >= 0:
                amps[wire] += drawn
                if least < self.low:
                    starts[wire] = max(starts[wire], load.start_amps or 0.0)
                wire = circuit.wires[wire].parent
        lost: list[float] = []
        for number, each in enumerate(circuit.wires):
            most = min(amps[number], each.amps * self.low / least) + starts[number]
            lost.append((lost[each.parent] if each.parent >= 0 else 0.0) + each.ohms * most)
        return max(lost, default=0.0)

    def _tells_behind_wires(self, sums: LoadSums) -> int:
        """Say it by bounds: volts at the loads lie between two that are known.

        Notes
        -----
        No where not even what they draw at least leaves them their least volts and amps; yes where what they
        draw at most does, the most that the wires can take added to the least volts. Else only the circuit
        can tell.
        """
        circuit = self.circuit
        opened, ohms, low = circuit.volts, circuit.ohms, self.low
        least = low * sums.siemens + sums.watts / opened
        if ohms * least > (opened - low) * (1 + _CLEAR):
            return -1
        most = opened - ohms * least
        below = max(low, opened - ohms * (opened * sums.siemens + sums.watts / low) - self.drop)
        told = 1
        if circuit.limit_amps is not None:
            told = _between(sums.siemens_to_fit, sums.watts_to_fit, circuit.limit_amps, (below, most))
        for number, branch in enumerate(circuit.branches):
            siemens, watts = sums.branches[2 * number], sums.branches[2 * number + 1]
            told = min(told, _between(siemens, watts, branch.amps, (below, most)))
        if told < 0:
            return -1
        above = low + self.drop
        if ohms * (above * sums.siemens + sums.watts / low) > (opened - above) * (1 - _CLEAR):
            return 0
        if sums.start == _NO_MOTOR:
            return told
        above = self.start + self.drop_at_start
        starting = above * sums.siemens + sums.watts / self.start + sums.start
        return told if ohms * starting < (opened - above) * (1 - _CLEAR) else 0

    def _tells_at_panel(self, sums: LoadSums) -> int:
        circuit = self.circuit
        least = self._by_volts(sums.siemens, sums.watts, sums.start)
        if least < 0:
            return -1
        opened, ohms = circuit.volts, circuit.ohms
        scale = 1 + ohms * sums.siemens
        volts = (opened + sqrt(opened * opened - 4 * scale * ohms * sums.watts)) / (2 * scale)
        if circuit.limit_amps is not None:
            asked = volts * sums.siemens_to_fit + sums.watts_to_fit / volts
            least = min(least, _side(asked, circuit.limit_amps))
        for number, branch in enumerate(circuit.branches):
            if least < 0:
                break
            asked = volts * sums.branches[2 * number] + sums.branches[2 * number + 1] / volts
            least = min(least, _side(asked, branch.amps))
        return least

    def _by_volts(self, siemens: float, watts: float, start: float) -> int:
        """Say it of the volts alone.

        Notes
        -----
        What loads draw at the least volts is what the ohms let through there, or less: then the volts are no
        lower.
        """
        opened, ohms = self.circuit.volts, self.circuit.ohms
        if ohms == 0:
            return -1 if opened < self.low or (start > _NO_MOTOR and opened < self.start) else 1
        running = _side(self.low * siemens + watts / self.low, (opened - self.low) / ohms)
        if running < 0 or start == _NO_MOTOR:
            return running
        starting = self.start * siemens + watts / self.start + start
        return min(running, _side(starting, (opened - self.start) / ohms))
