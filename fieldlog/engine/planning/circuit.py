"""Volts at the rig: a supply behind a resistance, with loads of constant resistance and of constant power."""

from collections.abc import Sequence
from math import sqrt
from typing import Final

from fieldlog.engine.planning.model import Load, Supply, Wire
from fieldlog.model.code_tables import CodeTables

_MOST_PASSES: Final = 200
_SETTLED: Final = 1e-10
"""Once no volts move by more than this share the circuit is solved; mostly after ten passes."""


def loop_ohms(supply: Supply, tables: CodeTables) -> float:
    """Give the resistance of the loop from the source to the rig [ohm].

    Notes
    -----
    A cord counts there and back, and with the contacts of both its ends.

    Examples
    --------
    50 ft of 10 AWG cord behind 0.15 ohm: 0.15 + 2 · 50 · 1.24 / 1000.

    >>> from fieldlog.engine.planning.model import Cord
    >>> from fieldlog.tables import load
    >>> supply = Supply("utility", 115.0, 0.15, 30.0, 30.0, None, (Cord(10, 50.0, 0.0),), None)
    >>> round(loop_ohms(supply, load()), 3)
    0.274

    References
    ----------
    NEC Chapter 9 Table 8: stranded uncoated copper at 75 °C.
    """
    ohms = supply.source_ohms
    for cord in supply.cords:
        ohms += (
            2 * cord.feet * tables.entries[f"ohms-stranded-{cord.awg}"].value / 1000 + 2 * cord.contacts_ohms
        )
    return ohms


def volts_with(loads: Sequence[Load], volts: float, ohms: float) -> float | None:
    """Give the volts at the rig while loads run, None where the circuit has no solution.

    Parameters
    ----------
    loads : sequence of Load
        What runs, all currents in phase.
    volts : float
        Of the source with nothing on [V].
    ohms : float
        Between it and the rig, there and back [ohm].

    Notes
    -----
    Kirchhoff: V = V0 - R (V G + P / V), with G the conductance of the resistances and P the power of the
    others; so (1 + R G) V² - V0 V + R P = 0, of which the greater root is the one at which the loads run.

    Examples
    --------
    24 A of a resistance made for 108.424 V, at 115 V behind 0.274 ohm:

    >>> heater = Load("heater", 2602.176, 24.0, 108.424, "resistive", False, None, 1, None)
    >>> round(volts_with([heater], 115.0, 0.274), 3)
    108.424
    """
    siemens = watts = 0.0
    for load in loads:
        siemens += load.siemens
        watts += load.steady_watts
    scale = 1 + ohms * siemens
    inner = volts * volts - 4 * scale * ohms * watts
    return None if volts <= 0 or inner < 0 else (volts + sqrt(inner)) / (2 * scale)


def node_volts(
    loads: Sequence[Load],
    volts: float,
    ohms: float,
    wires: Sequence[Wire] = (),
    start: tuple[int, float] | None = None,
) -> list[float] | None:
    """Give the volts at the panel and at the end of each wire [V], None where the circuit has no solution.

    Parameters
    ----------
    loads : sequence of Load
        What runs, each at the end of its wire.
    volts, ohms : float
        As for `volts_with`.
    wires : sequence of Wire
        Inside the rig.
    start : (int, float), optional
        The wire at whose end a further constant current flows, and that current [A].

    Returns
    -------
    list of float or None
        At the panel first, then wire by wire.

    Notes
    -----
    What draws its power whatever the volts is taken as the current that it draws at the volts of the pass
    before; what is left has resistances alone, and is solved from the ends of the wires to the source and
    back. From the open volts on each pass finds lower ones, down to those at which the loads run; where these
    fall to nothing or do not settle there are none.

    Examples
    --------
    12 A of a resistance at the end of 0.5 ohm of wire, at 120 V behind 0.5 ohm:

    >>> heater = Load("heater", 1296.0, 12.0, 108.0, "resistive", False, None, 1, None, wire=0)
    >>> [round(each, 3) for each in node_volts([heater], 120.0, 0.5, [Wire(0.5, 15.0, -1, "x")])]
    [114.0, 108.0]
    """
    if not wires:
        found = volts_with(loads, volts - ohms * start[1] if start else volts, ohms)
        return None if found is None else [found]
    at = [volts] * (len(wires) + 1)
    for _ in range(_MOST_PASSES):
        siemens, amps = _drawn(loads, wires, at)
        if start:
            amps[start[0] + 1] += start[1]
        for number in range(len(wires), 0, -1):
            parent, scale = wires[number - 1].parent + 1, 1 + wires[number - 1].ohms * siemens[number]
            siemens[parent] += siemens[number] / scale
            amps[parent] += amps[number] / scale
        moved = 0.0
        for number in range(len(wires) + 1):
            before = volts if number == 0 else at[wires[number - 1].parent + 1]
            own = ohms if number == 0 else wires[number - 1].ohms
            now = (before - own * amps[number]) / (1 + own * siemens[number])
            if now <= 0:
                return None
            moved = max(moved, abs(now - at[number]))
            at[number] = now
        if moved <= _SETTLED * volts:
            return at
    return None


def _drawn(
    loads: Sequence[Load], wires: Sequence[Wire], at: Sequence[float]
) -> tuple[list[float], list[float]]:
    """Give what hangs at each node: its siemens, and the amps of what draws its power whatever the volts."""
    siemens, amps = [0.0] * (len(wires) + 1), [0.0] * (len(wires) + 1)
    for load in loads:
        siemens[load.wire + 1] += load.siemens
        amps[load.wire + 1] += load.steady_watts / at[load.wire + 1]
    return siemens, amps


def seen_by(loads: Sequence[Load], at: Sequence[float]) -> list[float]:
    """Give the volts that reach each load [V], from those of `node_volts`."""
    return [at[load.wire + 1] for load in loads]


def start_volts(
    load: Load, others: Sequence[Load], volts: float, ohms: float, wires: Sequence[Wire] = ()
) -> float | None:
    """Give the volts at a load for the moment in which a load starts while others run.

    Parameters
    ----------
    load : Load
        What starts: a constant current of its start multiple.
    others : sequence of Load
        What runs meanwhile.
    volts, ohms, wires
        As for `node_volts`.

    Returns
    -------
    float or None
        None where nothing is known of its start, or the circuit has no solution.

    Examples
    --------
    60 A through 0.36 ohm take 21.6 V of 122:

    >>> compressor = Load("compressor", 1200.0, 10.0, 120.0, "motor", False, 6.0, 1, None)
    >>> round(start_volts(compressor, [], 122.0, 0.36), 1)
    100.4
    """
    amps = load.start_amps
    if amps is None:
        return None
    at = node_volts(others, volts, ohms, wires, (load.wire, amps))
    return None if at is None else at[load.wire + 1]


def amps_of(loads: Sequence[Load], seen: Sequence[float]) -> float:
    """Give what loads draw together, each at the volts that reach it [A]."""
    amps = 0.0
    for load, volts in zip(loads, seen, strict=True):
        amps += load.amps_at(volts)
    return amps


def amps_to_fit(loads: Sequence[Load], seen: Sequence[float], tables: CodeTables) -> float:
    """Give what a rating has to hold [A]: what runs for hours counts with a quarter more.

    Examples
    --------
    24 A for hours need a rating of 30 A:

    >>> from fieldlog.tables import load
    >>> heater = Load("heater", 2880.0, 24.0, 120.0, "resistive", True, None, 1, None)
    >>> amps_to_fit([heater], [120.0], load())
    30.0

    References
    ----------
    NEC 210.20(A) and 215.3.
    """
    factor = tables.entries["continuous-factor"].value
    amps = 0.0
    for load, volts in zip(loads, seen, strict=True):
        amps += load.amps_at(volts) * factor if load.is_continuous else load.amps_at(volts)
    return amps
