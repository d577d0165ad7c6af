"""A supply with two hots: each by itself, and both together over one neutral."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

from fieldlog.engine.planning.model import Legs, Load, Wire

_MOST_PASSES: Final = 200
_SETTLED: Final = 1e-10
ROOTS: Final = ("x", "y", "both")


@dataclass(frozen=True)
class LegsAtOnce:
    """What two hots give with all loads on.

    Parameters
    ----------
    volts : tuple of float
        At the panel from x to neutral, from y to neutral, and between the two [V].
    amps : tuple of float
        In hot x, in hot y, and in the neutral [A].
    at : tuple of float
        At the end of each wire [V].
    """

    volts: tuple[float, float, float]
    amps: tuple[float, float, float]
    at: tuple[float, ...]

    def volts_of(self, load: Load) -> float:
        """Give the volts that reach a load [V]."""
        return self.volts[ROOTS.index(load.leg)] if load.wire < 0 else self.at[load.wire]


def together(
    loads: Sequence[Load],
    volts_x: float,
    legs: Legs,
    hot_ohms: float,
    neutral_ohms: float,
    wires: Sequence[Wire],
) -> LegsAtOnce | None:
    """Solve both hots with all loads on, None where the circuit has no solution.

    Parameters
    ----------
    loads : sequence of Load
        Each with its leg; what hangs between the hots with the volts that it is made for between them.
    volts_x : float
        From hot x to neutral with nothing on [V].
    legs : Legs
        The other hot.
    hot_ohms, neutral_ohms : float
        Of each hot and of the neutral between source and panel [ohm].
    wires : sequence of Wire
        Inside the rig.

    Notes
    -----
    Kirchhoff with phasors, each current in phase with the volts that drive it. The neutral carries the sum of
    the currents from x and from y to it: their difference where the hots are opposed (120/240 V), more than
    that where they are two of three phases (120/208 V). What it loses there stands in series with both. What
    draws its power whatever the volts is taken as the current at the volts of the pass before.

    Examples
    --------
    20 A on x alone, then 20 A on both, 0.1 ohm in each of the three wires, 120 V each and opposed:

    >>> x = Load("x", 2320.0, 20.0, 116.0, "resistive", False, None, 1, None, leg="x")
    >>> y = Load("y", 2360.0, 20.0, 118.0, "resistive", False, None, 1, None, leg="y")
    >>> opposed = Legs(120.0, 2.0, -1.0)
    >>> [round(each, 1) for each in together([x], 120.0, opposed, 0.1, 0.1, []).volts]
    [116.0, 122.0, 238.0]
    >>> x = Load("x", 2360.0, 20.0, 118.0, "resistive", False, None, 1, None, leg="x")
    >>> [round(each, 1) + 0.0 for each in together([x, y], 120.0, opposed, 0.1, 0.1, []).amps]
    [20.0, 20.0, 0.0]
    """
    solver = _Solver(loads, (volts_x, legs.volts_y), legs.cosine, (hot_ohms, neutral_ohms), wires)
    for _ in range(_MOST_PASSES):
        moved = solver.moved()
        if moved is None:
            return None
        if moved <= _SETTLED * volts_x:
            return solver.found()
    return None


class _Solver:
    """Phasors at the panel (x, y, between them) and at the end of each wire, pass by pass."""

    def __init__(
        self,
        loads: Sequence[Load],
        volts: tuple[float, float],
        cosine: float,
        ohms: tuple[float, float],
        wires: Sequence[Wire],
    ) -> None:
        self.loads, self.wires = loads, wires
        self.hot, self.neutral = ohms
        x, y = (volts[0], 0.0), (volts[1] * cosine, volts[1] * sqrt(1 - cosine * cosine))
        self.opened = (x, y)
        roots = [x, y, (x[0] - y[0], x[1] - y[1])]
        self.at = roots + [roots[ROOTS.index(wire.leg)] for wire in wires]
        self.siemens: list[float] = []
        self.amps: list[list[float]] = []

    def node(self, load: Load) -> int:
        """Give where a load hangs: 0 to 2 at the panel, then wire by wire."""
        return ROOTS.index(load.leg) if load.wire < 0 else load.wire + 3

    def parent(self, wire: Wire) -> int:
        """Give where a wire begins."""
        return ROOTS.index(wire.leg) if wire.parent < 0 else wire.parent + 3

    def moved(self) -> float | None:
        """Work one pass; give by how much the volts moved at most [V], None where they fell to nothing."""
        self._gather()
        before = list(self.at)
        for part in (0, 1):
            self._panel(part)
        for number, wire in enumerate(self.wires, start=3):
            scale, start = 1 + wire.ohms * self.siemens[number], self.at[self.parent(wire)]
            self.at[number] = (
                (start[0] - wire.ohms * self.amps[number][0]) / scale,
                (start[1] - wire.ohms * self.amps[number][1]) / scale,
            )
        most = 0.0
        for now, once in zip(self.at, before, strict=True):
            # Once turned against the source, no load runs.
            if now[0] * once[0] + now[1] * once[1] <= 0:
                return None
            most = max(most, abs(now[0] - once[0]), abs(now[1] - once[1]))
        return most

    def _gather(self) -> None:
        """Add up what hangs at each node, from the ends of the wires to the panel."""
        self.siemens = [0.0] * len(self.at)
        self.amps = [[0.0, 0.0] for _ in self.at]
        for load in self.loads:
            node = self.node(load)
            re, im = self.at[node]
            share = load.steady_watts / (re * re + im * im)
            self.siemens[node] += load.siemens
            self.amps[node][0] += share * re
            self.amps[node][1] += share * im
        for number in range(len(self.at) - 1, 2, -1):
            wire = self.wires[number - 3]
            parent, scale = self.parent(wire), 1 + wire.ohms * self.siemens[number]
            self.siemens[parent] += self.siemens[number] / scale
            self.amps[parent][0] += self.amps[number][0] / scale
            self.amps[parent][1] += self.amps[number][1] / scale

    def _panel(self, part: int) -> None:
        """Solve the two loops, through each hot and the neutral, for one part of the phasors."""
        hot, neutral = self.hot, self.neutral
        x, y, both = self.siemens[:3]
        from_x, from_y, between = (each[part] for each in self.amps[:3])
        lost = neutral * (from_x + from_y)
        right_x = self.opened[0][part] - hot * (from_x + between) - lost
        right_y = self.opened[1][part] - hot * (from_y - between) - lost
        own_x, own_y = 1 + (hot + neutral) * x + hot * both, 1 + (hot + neutral) * y + hot * both
        other_x, other_y = neutral * y - hot * both, neutral * x - hot * both
        scale = own_x * own_y - other_x * other_y
        now_x = (right_x * own_y - other_x * right_y) / scale
        now_y = (own_x * right_y - other_y * right_x) / scale
        for number, now in enumerate((now_x, now_y, now_x - now_y)):
            re, im = self.at[number]
            self.at[number] = (now, im) if part == 0 else (re, now)

    def found(self) -> LegsAtOnce:
        """Give what was found, in volts and amps."""
        flows = [
            [self.at[number][part] * self.siemens[number] + self.amps[number][part] for part in (0, 1)]
            for number in range(3)
        ]
        x, y, between = flows
        return LegsAtOnce(
            volts=(_size(self.at[0]), _size(self.at[1]), _size(self.at[2])),
            amps=(
                _size((x[0] + between[0], x[1] + between[1])),
                _size((y[0] - between[0], y[1] - between[1])),
                _size((x[0] + y[0], x[1] + y[1])),
            ),
            at=tuple(_size(each) for each in self.at[3:]),
        )


def _size(phasor: tuple[float, float]) -> float:
    return sqrt(phasor[0] * phasor[0] + phasor[1] * phasor[1])
